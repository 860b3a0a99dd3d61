package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/tables"
)

// review prints the review sheet of the ripening reports.
func (a *app) review() int {
	c, code := a.checked(true)
	if c == nil {
		return code
	}
	b := &almanac.Book{Club: c}
	if len(c.Reports) == 0 {
		a.note("the club has no ripening reports yet", "they stand in data/reports/*.csv")
	} else if made, err := a.book(c); err != nil {
		return a.failed(err)
	} else {
		b = made
	}
	s := newReview(a.club, b)
	if a.format == "text" {
		return a.print(s.text())
	}
	if err := a.showTable(s.table()); err != nil {
		return a.failed(err)
	}
	return done
}

// reviewSheet turns what became of the reports into words.
type reviewSheet struct {
	dir       string // the club's folder, for FILE:LINE
	club      *club.Club
	uses      []almanac.ReportUse
	basis     map[[2]string]string // what a need rests on, by cultivar and part
	names     map[club.Text]string // of cultivars
	townNames map[club.Text]string
}

func newReview(dir string, b *almanac.Book) *reviewSheet {
	s := &reviewSheet{dir: dir, club: b.Club, uses: b.Reports, basis: map[[2]string]string{}, names: map[club.Text]string{}, townNames: map[club.Text]string{}}
	for i := range b.Needs {
		s.basis[[2]string{b.Needs[i].Cultivar, b.Needs[i].Part}] = b.Needs[i].Basis
	}
	for i := range b.Club.Cultivars {
		s.names[b.Club.Cultivars[i].ID] = oneLine(string(b.Club.Cultivars[i].Name))
	}
	for i := range b.Club.Towns {
		s.townNames[b.Club.Towns[i].ID] = oneLine(string(b.Club.Towns[i].Name))
	}
	return s
}

// misnamed is a group of reports beside the verdicts: used, but under a name
// of another cultivar.
const misnamed = "misnamed"

// reviewGroups are the reports that need a look, in the order of the sheet.
var reviewGroups = []struct{ verdict, title, about string }{
	{almanac.ReportHeld, "held", "Something does not fit. Mend the row, or decide by its status: kept uses it as it is."},
	{almanac.ReportNew, "new", "Nobody has looked at these yet. Status reviewed takes them in."},
	{almanac.ReportDuplicate, "duplicate", "The same tree, crop and year twice: the first one counts."},
	{almanac.ReportUnusable, "unusable", "These say nothing about heat; no harm in keeping them."},
	{almanac.ReportWaiting, "waiting", "Good reports that wait for others: three growers make a figure."},
	{misnamed, "used under the name of another cultivar", "name_as_given is another cultivar's name: is cultivar_id right?"},
}

func (s *reviewSheet) in(u *almanac.ReportUse, group string) bool {
	if group == misnamed {
		return u.Verdict == almanac.ReportUsed && u.NamedLike != ""
	}
	return u.Verdict == group
}

// text is the sheet for reading.
func (s *reviewSheet) text() string {
	if len(s.uses) == 0 {
		return ""
	}
	var b strings.Builder
	counts := map[string]int{}
	for i := range s.uses {
		counts[s.uses[i].Verdict]++
	}
	fmt.Fprintf(&b, "%s: %s\n", oneLine(s.club.Settings.Name), count(len(s.uses), "ripening report"))
	width := len(strconv.Itoa(len(s.uses)))
	for _, v := range []string{almanac.ReportUsed, almanac.ReportHeld, almanac.ReportNew, almanac.ReportDuplicate, almanac.ReportUnusable, almanac.ReportWaiting, almanac.ReportRejected} {
		if counts[v] > 0 {
			fmt.Fprintf(&b, "  %*d %s\n", width, counts[v], v)
		}
	}
	b.WriteString(s.manyHeld())
	giveOrTake := false
	for _, g := range reviewGroups {
		var uses []*almanac.ReportUse
		for i := range s.uses {
			if u := &s.uses[i]; s.in(u, g.verdict) {
				uses = append(uses, u)
				giveOrTake = giveOrTake || s.heatWords(u) != ""
			}
		}
		if len(uses) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n%d %s. %s\n", len(uses), g.title, g.about)
		frees := uses[0].Frees.String() // told once where it is the same for all
		for _, u := range uses {
			if u.Frees.String() != frees {
				frees = ""
			}
		}
		if len(uses) > 1 && frees != "" {
			b.WriteString("To free them: " + oneLine(frees) + "\n")
		} else {
			frees = ""
		}
		for _, u := range uses {
			b.WriteString(s.entry(u, frees == ""))
		}
	}
	if giveOrTake {
		b.WriteString("\nHeat is counted in degree-days (°C·d) from leaf-out. About two reports in three\nlie within \"give or take\", nearly all within three times that.\n")
	}
	return b.String()
}

// tooManyHeld is the share of weighed reports beyond which the rule's holds
// speak against the model rather than the reports (SCIENCE 6).
const tooManyHeld = 0.05

// manyHeld warns where the rule holds more reports than it should.
func (s *reviewSheet) manyHeld() string {
	held, weighed := 0, 0
	for i := range s.uses {
		if u := &s.uses[i]; u.Expected != 0 { // hands and dates are not the rule
			weighed++
			if u.Verdict == almanac.ReportHeld {
				held++
			}
		}
	}
	if float64(held) <= tooManyHeld*float64(weighed) {
		return ""
	}
	return fmt.Sprintf("\n%d of %d weighed reports lie too far off, more than 5 in 100: doubt the heat needs,\nthe methods and the stations too, not the reports alone.\n", held, weighed)
}

// entry is one report: its row and reason on a line, then what else there is
// to say, each on a line of its own.
func (s *reviewSheet) entry(u *almanac.ReportUse, frees bool) string {
	r := u.Row
	var b strings.Builder
	at := placed(s.dir, r.At)
	at.Column = 0
	fmt.Fprintf(&b, "%s: %s, %s, %s, %d, %s", at, r.ID, s.named(r), s.townNames[r.TownID], r.Year.Value, outcomeWords(r))
	if reason := u.Reason.String(); reason != "" {
		b.WriteString(": " + oneLine(reason))
	}
	b.WriteByte('\n')
	if h := s.heatWords(u); h != "" {
		b.WriteString("  " + h + "\n")
	}
	if u.NamedLike != "" {
		fmt.Fprintf(&b, "  named %s, which is a name of %s\n", strconv.Quote(oneLine(string(r.NameAsGiven))), u.NamedLike)
	}
	if u.First != "" && !strings.Contains(u.Reason.String(), u.First) {
		fmt.Fprintf(&b, "  first reported as %s\n", u.First)
	}
	if how := u.Frees.String(); how != "" && frees {
		b.WriteString("  to free it: " + oneLine(how) + "\n")
	}
	return b.String()
}

func (s *reviewSheet) named(r *club.Report) string {
	name := s.names[r.CultivarID]
	if name == "" {
		name = string(r.CultivarID)
	}
	return name + " (" + partWords(string(r.CropPart)) + ")"
}

// outcomeWords says what was seen: "ripe on 4 September 2025".
func outcomeWords(r *club.Report) string {
	what := map[club.Text]string{"ripe": "ripe", "not-ripe": "not ripe", "already-ripe": "already ripe"}[r.Outcome]
	if what == "" {
		what = string(r.Outcome)
	}
	if r.SeenOn.Set() {
		what += " on " + fullDate(r.SeenOn.Date)
	}
	return what
}

// heatWords sets the heat of a held report beside what the others lead to
// expect; blank where one of the two is not known.
func (s *reviewSheet) heatWords(u *almanac.ReportUse) string {
	if u.Verdict != almanac.ReportHeld || !u.Known || u.Expected == 0 {
		return ""
	}
	var had string
	low, high := u.Low, u.High
	switch {
	case math.IsInf(low, -1) && math.IsInf(high, 1):
		return ""
	case math.IsInf(high, 1):
		had = "was not ripe after " + heat(math.Max(low, 0)) + " °C·d"
	case math.IsInf(low, -1):
		had = "had ripened by " + heat(math.Max(high, 0)) + " °C·d"
	case heat(low) == heat(high):
		had = "ripened after " + heat(math.Max(low, 0)) + " °C·d"
	default:
		had = "ripened after " + heat(math.Max(low, 0)) + " to " + heat(math.Max(high, 0)) + " °C·d"
	}
	who := "this cultivar's reports elsewhere point"
	switch s.basis[[2]string{string(u.Row.CultivarID), string(u.Row.CropPart)}] {
	case almanac.BasisCultivar:
		who = "this cultivar's row in the table points"
	case almanac.BasisClass:
		who = "the class of this cultivar points"
	case almanac.BasisCrop:
		who = "the crop as a whole points"
	}
	return fmt.Sprintf("%s; %s to about %s, give or take %s", had, who, heat(u.Expected), heat(u.Sd))
}

// table is the sheet as rows, one for every report.
func (s *reviewSheet) table() tables.Table {
	t := tables.Table{Name: "reports", Key: []string{"report_id"}}
	text := func(names ...string) {
		for _, n := range names {
			t.Columns = append(t.Columns, tables.Column{Name: n, Type: "string"})
		}
	}
	number := func(names ...string) {
		for _, n := range names {
			t.Columns = append(t.Columns, tables.Column{Name: n, Type: "integer", Unit: "°C·d"})
		}
	}
	text("report_id", "file")
	t.Columns = append(t.Columns, tables.Column{Name: "line", Type: "integer"})
	text("grower", "town_id", "cultivar_id", "name_as_given", "crop_part", "method_id")
	t.Columns = append(t.Columns, tables.Column{Name: "year", Type: "year"})
	text("outcome")
	t.Columns = append(t.Columns, tables.Column{Name: "seen_on", Type: "date"})
	text("verdict", "reason", "to_free_it", "first_report", "named_like")
	number("heat_low_cd", "heat_high_cd", "expected_cd", "spread_cd")
	for i := range s.uses {
		t.Rows = append(t.Rows, s.row(&s.uses[i]))
	}
	return t
}

func (s *reviewSheet) row(u *almanac.ReportUse) []string {
	r := u.Row
	at := placed(s.dir, r.At)
	seen := ""
	if r.SeenOn.Set() {
		seen = r.SeenOn.Date.String()
	}
	whole := func(v float64, known bool) string {
		if !known || math.IsInf(v, 0) || math.IsNaN(v) {
			return ""
		}
		return strconv.Itoa(int(math.Round(v)))
	}
	return []string{string(r.ID), at.File, strconv.Itoa(at.Line), string(r.Grower), string(r.TownID), string(r.CultivarID), string(r.NameAsGiven),
		string(r.CropPart), string(r.MethodID), strconv.Itoa(r.Year.Value), string(r.Outcome), seen, u.Verdict, u.Reason.String(), u.Frees.String(), u.First, u.NamedLike,
		whole(u.Low, u.Known), whole(u.High, u.Known), whole(u.Expected, u.Expected != 0), whole(u.Sd, u.Expected != 0)}
}
