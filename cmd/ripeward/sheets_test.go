package main

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

func noDates() club.Report {
	none := club.Date{Date: day.None}
	return club.Report{WokeOn: none, LeafedOn: none, MovedOutOn: none, FigletOn: none, SeenOn: none, CheckedOn: none}
}

func TestHeldHeat(t *testing.T) {
	r := noDates()
	r.CultivarID, r.CropPart = "quickling", "main"
	s := &reviewSheet{basis: map[[2]string]string{{"quickling", "main"}: almanac.BasisReports}}
	open := math.Inf(1)
	cases := []struct {
		name      string
		low, high float64
		want      string
	}{
		{"window", 1650, 1720, "ripened after 1,650 to 1,720 °C·d; this cultivar's reports elsewhere point to about 1,300, give or take 130"},
		{"a day", 1720, 1720, "ripened after 1,720 °C·d; this cultivar's reports elsewhere point to about 1,300, give or take 130"},
		{"not ripe", 2500, open, "was not ripe after 2,500 °C·d; this cultivar's reports elsewhere point to about 1,300, give or take 130"},
		{"already ripe", -open, 300, "had ripened by 300 °C·d; this cultivar's reports elsewhere point to about 1,300, give or take 130"},
		{"less than nothing once delays are taken off", -40, 20, "ripened after 0 to 20 °C·d; this cultivar's reports elsewhere point to about 1,300, give or take 130"},
		{"nothing said", -open, open, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			u := almanac.ReportUse{Row: &r, Verdict: almanac.ReportHeld, Known: true, Low: c.low, High: c.high, Expected: 1300, Sd: 130}
			if got := s.heatWords(&u); got != c.want {
				t.Errorf("got  %q\nwant %q", got, c.want)
			}
			u.Expected = 0
			if got := s.heatWords(&u); got != "" {
				t.Errorf("nothing is expected, but: %q", got)
			}
		})
	}
}

func TestReviewTellsWhatIsSharedOnce(t *testing.T) {
	rows := make([]club.Report, 3)
	var uses []almanac.ReportUse
	for i := range rows {
		rows[i] = noDates()
		rows[i].At = diag.Place{File: "data/reports/a.csv", Line: i + 2}
		uses = append(uses, almanac.ReportUse{Row: &rows[i], Verdict: almanac.ReportNew, Reason: diag.Say("not reviewed yet"), Frees: diag.Say("look")})
	}
	s := newReview("club", &almanac.Book{Club: &club.Club{}, Reports: uses})
	if got := s.text(); strings.Count(got, "To free them: look") != 1 || strings.Contains(got, "to free it") {
		t.Errorf("not told once:\n%s", got)
	}
	uses[2].Frees = diag.Say("other")
	if got := s.text(); strings.Count(got, "  to free it: ") != 3 || strings.Contains(got, "free them") {
		t.Errorf("not told for each:\n%s", got)
	}
}

// At one in twenty nothing is said; beyond it the model is doubted. Holds by
// hand or for a date, of which nothing is expected, do not count.
func TestManyHeld(t *testing.T) {
	for held, want := range map[int]bool{0: false, 1: false, 2: true} {
		s := &reviewSheet{}
		for i := range 20 {
			u := almanac.ReportUse{Verdict: almanac.ReportUsed, Expected: 1300}
			if i < held {
				u.Verdict = almanac.ReportHeld
			}
			s.uses = append(s.uses, u, almanac.ReportUse{Verdict: almanac.ReportHeld})
		}
		if got := s.manyHeld(); (got != "") != want {
			t.Errorf("%d of 20 held: %q", held, got)
		}
	}
}

// bigRollCall has growers with many trees, and names of every width.
func bigRollCall() *rollCall {
	c := &club.Club{Settings: club.Settings{Name: strings.Repeat("A club with a long name ", 5)}}
	c.Towns = []club.Town{{ID: "far", Name: club.Text(strings.Repeat("無花果の町", 12)), Latitude: club.Number{Value: -41, Set: true}}}
	c.Cultivars = []club.Cultivar{{ID: "both", CropsBorne: "both", Name: club.Text(strings.Repeat("unbroken", 20))}, {ID: "main", Name: "Short"}}
	c.Methods = []club.Method{{ID: "pot", Name: "Pot", HeadStartWeeks: club.Whole{Value: 6, Set: true}}}
	for i := range 60 {
		t := club.Tree{ID: club.Text(fmt.Sprintf("tree-%03d", i)), TownID: "far", CultivarID: "both", MethodID: "pot"}
		if i < 40 {
			t.Grower = "gx"
		}
		if i%2 == 0 {
			t.CultivarID = "main"
		}
		c.Trees = append(c.Trees, t)
	}
	return newRollCall(c, 2026)
}

func TestRollCallFitsThePaper(t *testing.T) {
	text := bigRollCall().text()
	pages := strings.Split(text, "\f")
	if len(pages) < 4 {
		t.Fatalf("only %d pages", len(pages))
	}
	trees := 0
	for i, p := range pages {
		lines := strings.Split(strings.TrimSuffix(p, "\n"), "\n")
		if len(lines) > sheetLines {
			t.Errorf("page %d has %d lines, more than %d", i+1, len(lines), sheetLines)
		}
		if !strings.Contains(lines[0], "Roll-call 2026") || !strings.Contains(p, ownUse) {
			t.Errorf("page %d has no head", i+1)
		}
		// A block that is begun ends on its page.
		if a, b := strings.Count(p, "\ntree-"), strings.Count(p, "[ ] gone"); a != b {
			t.Errorf("page %d begins %d trees and ends %d", i+1, a, b)
		} else {
			trees += a
		}
		for _, l := range lines {
			if columns(l) > sheetColumns {
				t.Errorf("%d columns: %s", columns(l), l)
			}
		}
	}
	if trees != 60 {
		t.Errorf("%d trees are asked after, want 60", trees)
	}
	if !strings.Contains(pages[0], "Grower gx: 40 trees") || !strings.Contains(pages[len(pages)-1], "No code: 20 trees") {
		t.Error("the trees without a code are not last")
	}
	// A southern season has two calendar years: none is printed before the day.
	if strings.Contains(text, "on 2026-") {
		t.Error("a year is given where there are two")
	}
}

func TestRollCallRowsFitReports(t *testing.T) {
	table := bigRollCall().table()
	seen := map[string]bool{}
	for _, row := range table.Rows {
		if seen[row[0]] {
			t.Errorf("report_id %s twice", row[0])
		}
		seen[row[0]] = true
	}
	if len(table.Rows) != 90 { // 30 trees bear two crops
		t.Errorf("%d rows, want 90", len(table.Rows))
	}
	if c := table.Columns; c[0].Name != "report_id" || c[len(c)-1].Name != "notes" || len(c) != 24 {
		t.Errorf("columns are %v", c)
	}
}

func TestReportThatNamesNoTree(t *testing.T) {
	r := noDates()
	r.Grower, r.TownID, r.CultivarID, r.CropPart, r.MethodID, r.Year = "G1", "low", "quick", "main", "pot", club.Whole{Value: 2025, Set: true}
	tree := club.Tree{ID: "a", Grower: "g1", TownID: "low", CultivarID: "quick", MethodID: "pot"}
	c := &club.Club{Trees: []club.Tree{tree}, Reports: []club.Report{r}}
	if reportOf(c, &c.Trees[0], "main", 2025) == nil {
		t.Error("the only tree that fits is not found")
	}
	if reportOf(c, &c.Trees[0], "breba", 2025) != nil || reportOf(c, &c.Trees[0], "main", 2024) != nil {
		t.Error("another crop or year is taken")
	}
	tree.ID = "b"
	c.Trees = append(c.Trees, tree)
	if reportOf(c, &c.Trees[0], "main", 2025) != nil {
		t.Error("two trees fit, but one was taken")
	}
	c.Reports[0].TreeID = "b"
	if reportOf(c, &c.Trees[0], "main", 2025) != nil || reportOf(c, &c.Trees[1], "main", 2025) == nil {
		t.Error("the tree that is named does not win")
	}
}

// brokenPipe is an output that nobody reads.
type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, errors.New("nobody reads") }

func TestNobodyReads(t *testing.T) {
	var errs strings.Builder
	a := &app{ctx: t.Context(), stdout: brokenPipe{}, stderr: &errs, options: defaults()}
	if code := a.print("x"); code != wrong || !strings.Contains(errs.String(), "nobody reads") {
		t.Errorf("text: exit %d, %q", code, errs.String())
	}
	for _, format := range []string{"csv", "json", "text"} {
		a.format = format
		if err := a.showTable(bigRollCall().table()); err == nil {
			t.Errorf("%s: no error", format)
		}
	}
}
