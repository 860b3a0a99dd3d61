package page

import (
	"cmp"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/tables"
)

// verdictSaid is what became of a report, in the page's language.
func (v voice) verdictSaid(verdict string) string {
	if key := tables.Verdicts[verdict]; key != "" {
		return v.Say(key)
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
		switch reason := s.openReason(r); {
		case r.Verdict == almanac.ReportHeld:
			b.Held = append(b.Held, heldRow{string(r.Row.ID), r.Row.At.String(), upperFirst(reason), s.sentence(r.Frees)})
		case reason == "" || r.Verdict == almanac.ReportDuplicate: // the count says it all
		default:
			reasons[s.Say("%s: %s", upperFirst(s.verdictSaid(r.Verdict)), reason)]++
		}
	}
	total := len(s.book.Reports)
	if total == 0 {
		b.Words = s.Say("The club has no reports yet.")
		return b
	}
	b.Words = s.Say("Of %s none is used.", s.countDigits(total, "report"))
	if n := count[almanac.ReportUsed]; n > 0 {
		b.Words = s.Count(n, "Of %s %s is used, of %s.", "Of %s %s are used, of %s.", s.countDigits(total, "report"), s.numberWord(n), s.growersWords(len(growers)))
	}
	b.Counts = &sheet{Caption: s.Say("What became of the reports"), Head: []string{s.Say("Report is"), s.Say("How many|reports")}}
	for _, v := range verdicts {
		if count[v] > 0 {
			b.Counts.Rows = append(b.Counts.Rows, htmlRow(s.verdictSaid(v), s.Whole(count[v])))
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
		return s.Say("How often a failure goes unreported cannot be told yet: that takes trees on the club’s list whose years have no report.")
	}
	return s.Say("About %d of 10 failures to ripen are reported (band: %d to %d of 10); the need allows for the others.", tenths(r.R), tenths(r.Low), tenths(r.High))
}

// openReason is the reason as it may be published, in the page's language.
func (s *site) openReason(r *almanac.ReportUse) string {
	return tables.Masked(r, s.sentence(r.Reason), s.Say("[date]"))
}

// tenths is a share in whole tenths.
func tenths(share float64) int { return (hundredths(share) + 5) / 10 }
