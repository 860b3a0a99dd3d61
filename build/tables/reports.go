package tables

import (
	"cmp"
	"reflect"
	"regexp"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// Verdicts say what became of a report, as a page says it.
var Verdicts = map[string]string{
	almanac.ReportUsed:      words.Mark("used|a report"),
	almanac.ReportWaiting:   words.Mark("waiting|a report"),
	almanac.ReportHeld:      words.Mark("held back|a report"),
	almanac.ReportNew:       words.Mark("not reviewed yet|a report"),
	almanac.ReportRejected:  words.Mark("rejected by hand|a report"),
	almanac.ReportDuplicate: words.Mark("a repeat of another|a report"),
	almanac.ReportUnusable:  words.Mark("says nothing about the heat need|a report"),
}

// Verdict is what became of a report, in the English of the downloads.
func Verdict(verdict string) string {
	text, _, _ := strings.Cut(Verdicts[verdict], "|")
	return cmp.Or(text, verdict)
}

var isoDate = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)

// OpenReason is the reason as it may be published: without the days of a
// report whose grower has not agreed to have it shown, and blank where it only
// repeats the verdict.
func OpenReason(r *almanac.ReportUse) string { return Masked(r, r.Reason.String(), "[date]") }

// Masked is OpenReason for a reason in any language.
func Masked(r *almanac.ReportUse, reason, mask string) string {
	if r.Reason.String() == Verdict(r.Verdict) {
		return ""
	}
	if r.Row.Consent != "public" {
		reason = isoDate.ReplaceAllLiteralString(reason, mask)
	}
	return reason
}

// ReportColumns are the columns of data/reports, as its reader has them.
func ReportColumns() []Column {
	var out []Column
	for _, f := range reflect.VisibleFields(reflect.TypeFor[club.Report]()) {
		if name := f.Tag.Get("csv"); name != "" && name != "-" && len(f.Index) == 1 {
			kind := "string"
			if f.Type == reflect.TypeFor[club.Date]() {
				kind = "date"
			} else if f.Type == reflect.TypeFor[club.Whole]() {
				kind = "integer"
			}
			out = append(out, Column{Name: name, Type: kind})
		}
	}
	return out
}
