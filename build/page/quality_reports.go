package page

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"

	"ripeward/build/almanac"
)

// verdictWords says what became of a report.
func verdictWords(verdict string) string {
	switch verdict {
	case almanac.ReportUsed:
		return "used"
	case almanac.ReportWaiting:
		return "waiting"
	case almanac.ReportHeld:
		return "held back"
	case almanac.ReportNew:
		return "not reviewed yet"
	case almanac.ReportRejected:
		return "rejected by hand"
	case almanac.ReportDuplicate:
		return "a repeat of another"
	case almanac.ReportUnusable:
		return "says nothing about the heat need"
	}
	return verdict
}

// reportsBlock is what the page about data quality says of reports: counts,
// and the held ones by their id. It names no grower and shows no report.
type reportsBlock struct {
	Words   string
	Counts  *sheet
	Reasons []countLine // of those not used, grouped
	Held    []heldRow
	Failing string // chance that a failure is reported
}

type heldRow struct{ ID, Place, Reason, Frees string }

func (s *site) reportsBlock() *reportsBlock {
	b := &reportsBlock{}
	verdicts := []string{almanac.ReportUsed, almanac.ReportWaiting, almanac.ReportHeld, almanac.ReportNew, almanac.ReportRejected, almanac.ReportDuplicate, almanac.ReportUnusable}
	count := map[string]int{}
	reasons := map[string]int{}
	growers := map[string]bool{}
	for i := range s.book.Reports {
		r := &s.book.Reports[i]
		count[r.Verdict]++
		if r.Row == nil {
			continue
		}
		if r.Verdict == almanac.ReportUsed {
			growers[string(r.Row.Grower)] = true
			continue
		}
		switch reason := openReason(r); {
		case r.Verdict == almanac.ReportHeld:
			b.Held = append(b.Held, heldRow{string(r.Row.ID), r.Row.At.String(), upperFirst(reason), r.Frees})
		case reason == "" || r.Verdict == almanac.ReportDuplicate: // the count says it all
		default:
			reasons[upperFirst(verdictWords(r.Verdict))+": "+reason]++
		}
	}
	total := len(s.book.Reports)
	if total == 0 {
		b.Words = "The club has no reports yet."
		return b
	}
	b.Words = fmt.Sprintf("Of %s %s used, of %s.", s.countDigits(total, "report"), s.numberWord(count[almanac.ReportUsed])+are(count[almanac.ReportUsed], " is", " are"), s.growersWords(len(growers)))
	b.Counts = &sheet{Caption: "What became of the reports", Head: []string{"Report is", "How many"}}
	for _, v := range verdicts {
		if count[v] > 0 {
			b.Counts.Rows = append(b.Counts.Rows, htmlRow(verdictWords(v), s.Whole(count[v])))
		}
	}
	for text, n := range reasons {
		b.Reasons = append(b.Reasons, countLine{text, s.Whole(n)})
	}
	slices.SortFunc(b.Reasons, func(x, y countLine) int {
		return cmp.Or(cmp.Compare(reasons[y.Reason], reasons[x.Reason]), cmp.Compare(x.Reason, y.Reason))
	})
	if len(b.Reasons) > listedAside {
		b.Reasons = b.Reasons[:listedAside]
	}
	b.Failing = s.failingWords()
	return b
}

// failingWords says how often a failure is reported.
func (s *site) failingWords() string {
	r := s.book.Reporting
	if !r.OK {
		return "How often a failure goes unreported cannot be told yet: that takes trees on the club’s list whose years have no report."
	}
	return fmt.Sprintf("About %d of 10 failures to ripen are reported (band: %d to %d of 10); the need allows for the others.", tenths(r.R), tenths(r.Low), tenths(r.High))
}

var isoDate = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)

// openReason is the reason as it may be published: without the days of a
// report whose grower has not agreed to have it shown, and blank where it only
// repeats the verdict.
func openReason(r *almanac.ReportUse) string {
	reason := r.Reason
	if r.Row.Consent != "public" {
		reason = isoDate.ReplaceAllString(reason, "[date]")
	}
	if reason == verdictWords(r.Verdict) {
		return ""
	}
	return reason
}

// tenths is a share in whole tenths.
func tenths(share float64) int { return (hundredths(share) + 5) / 10 }
