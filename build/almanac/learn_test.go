package almanac_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/ripening"
)

const reportHead = "report_id,town_id,cultivar_id,name_as_given,crop_part,method_id,year,outcome,head_start_weeks,leafed_on,seen_on,checked_on,date_precision,brebas,dieback,tree_id,tree_age_y,grower,status\n"

// reportWriter writes reports of trees that follow the model exactly.
type reportWriter struct {
	t    *testing.T
	grow *almanac.Grow
	rows strings.Builder
	n    int
}

func newReportWriter(t *testing.T, stations ...string) *reportWriter {
	t.Helper()
	g, err := almanac.NewGrow(context.Background(), writeClub(t, baseTables, stations...), almanac.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return &reportWriter{t: t, grow: g}
}

// row adds one report as given and returns its id.
func (w *reportWriter) row(town, cultivar, name, part, method string, year int, outcome, weeks, leafed, seen, checked, precision, rest string) string {
	w.n++
	id := fmt.Sprintf("r%03d", w.n)
	fmt.Fprintf(&w.rows, "%s,%s,%s,%s,%s,%s,%d,%s,%s,%s,%s,%s,%s,%s\n", id, town, cultivar, name, part, method, year, outcome, weeks, leafed, seen, checked, precision, rest)
	return id
}

// ripe adds a report of a main crop in a plain pot whose first fruit took so
// much heat; a failure where the season had less.
func (w *reportWriter) ripe(cultivar, grower string, year int, heat float64) string {
	w.t.Helper()
	s, ok := w.grow.Season("low", "fig", "pot-plain", year)
	plan, planned := w.grow.Plan("low", "pot-plain", 0)
	if !ok || !planned {
		w.t.Fatalf("no season %d", year)
	}
	u := s.Supply(plan.Out.Rank, 0)
	leaf, end := day.North.InSeason(year, u.LeafOut), day.North.InSeason(year, u.LastDay)
	rest := "removed,,,,"
	if r, ok := u.RankWhen(heat); ok {
		return w.row("low", cultivar, "", "main", "pot-plain", year, "ripe", "", leaf.String(), day.North.InSeason(year, r).String(), "", "day", rest+grower+",reviewed")
	}
	return w.row("low", cultivar, "", "main", "pot-plain", year, "not-ripe", "", leaf.String(), end.String(), "", "day", rest+grower+",reviewed")
}

func (w *reportWriter) club() map[string]string {
	return with(map[string]string{"data/reports/all.csv": reportHead + w.rows.String(),
		"data/trees.csv": "tree_id,grower,town_id,cultivar_id,method_id,since_year,until_year\nnew-tree,g1,low,lantern,pot-plain,2018,2022\n"})
}

// mainOf returns the odds of a main crop in the town low's plain pot, brebas off.
func mainOf(t *testing.T, b *almanac.Book, cultivar string) almanac.Odds {
	t.Helper()
	for _, o := range town(t, b, "low").Odds {
		if o.Cultivar == cultivar && o.Part == "main" && o.Method == "pot-plain" && o.Brebas != "kept" {
			return o
		}
	}
	t.Fatalf("no odds of %s", cultivar)
	return almanac.Odds{}
}

func use(t *testing.T, b *almanac.Book, id string) *almanac.ReportUse {
	t.Helper()
	for i := range b.Reports {
		if string(b.Reports[i].Row.ID) == id {
			return &b.Reports[i]
		}
	}
	t.Fatalf("no report %s", id)
	return nil
}

// Reports made from a known need move the need there, and the odds follow.
func TestNeedsAreLearned(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	w := newReportWriter(t, river)
	const truth = 1020.0 // the class says 1200
	for g := range 8 {
		for y := 2015; y < 2023; y++ {
			// Gardens and years scatter evenly about the truth.
			w.ripe("lantern", fmt.Sprintf("g%d", g), y, truth+40*(float64(g)-3.5)/2+30*float64((y*7+g*3)%5-2))
		}
	}
	for g := range 2 {
		w.ripe("pale", fmt.Sprintf("g%d", g), 2016, 1000)
	}
	before := makeBook(t, baseTables, almanac.Options{}, river)
	b := makeBook(t, w.club(), almanac.Options{}, river)
	n := b.Need("lantern", "main")
	if n == nil || n.Basis != almanac.BasisReports || n.Growers != 8 || n.Reports != 64 || n.Few() {
		t.Fatalf("need of lantern: %+v", n)
	}
	if math.Abs(n.Mu-truth) > 2*n.SE || n.PriorMu != 1200 || n.PriorBasis != almanac.BasisClass {
		t.Errorf("learned %v ± %v from a truth of %v; prior %v by %s", n.Mu, n.SE, truth, n.PriorMu, n.PriorBasis)
	}
	if !(n.SE < n.PriorSE) {
		t.Errorf("64 reports leave a doubt of %v, before it was %v", n.SE, n.PriorSE)
	}
	// Two growers are too few: the prior stands, their reports wait, counted.
	p := b.Need("pale", "main")
	if p.Basis != almanac.BasisClass || p.Waiting != 2 || p.Reports != 0 || p.Mu != before.Need("pale", "main").Mu || !p.Few() {
		t.Errorf("need of pale: %+v", p)
	}
	after, was := mainOf(t, b, "lantern"), mainOf(t, before, "lantern")
	if !(after.Odds > was.Odds) || after.Basis != almanac.BasisReports || after.Reports != 64 || after.Growers != 8 || after.Mu != n.Mu {
		t.Errorf("odds %v (were %v): %+v", after.Odds, was.Odds, after)
	}
	if q := mainOf(t, b, "pale"); q.Reports != 0 || q.Growers != 0 || q.Basis != almanac.BasisClass {
		t.Errorf("odds of pale: %+v", q)
	}
	// Above three growers words may go beyond likely; below they may not.
	if after.Odds >= 0.9 && after.Likelihood != ripening.VeryLikely {
		t.Errorf("odds %v of 8 growers are called %q", after.Odds, after.Likelihood)
	}
	if b.Score == nil || b.Score.Growers != 8 || len(b.Score.Views[0].Rules) != 3 || b.Score.Views[0].Rules[0].Dates == 0 {
		t.Fatalf("score: %+v", b.Score)
	}
	// The need lies far off the class's: given the weather, reports beat the row.
	if ours, row := b.Score.Views[0].Rules[0], b.Score.Views[0].Rules[2]; row.Rule != almanac.RuleRow || row.Beaten != "yes" || !(ours.MedianError < row.MedianError) {
		t.Errorf("ours %+v, row alone %+v", ours, row)
	}
}

// A wild report is held, a person's word wins, doubles are linked, and what
// cannot be is held with its reason.
func TestReportsHeldAndLinked(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	w := newReportWriter(t, river)
	for g := range 6 {
		for y := 2016; y < 2022; y++ {
			w.ripe("lantern", fmt.Sprintf("g%d", g), y, 1100+15*float64((y*7+g*3)%5-2))
		}
	}
	wild := w.ripe("lantern", "g7", 2019, 520)
	kept := w.ripe("lantern", "g8", 2019, 560)
	first := w.ripe("lantern", "g9", 2020, 1110)
	type want struct{ id, verdict, reason string }
	row := func(part, method string, year int, outcome, leafed, seen, checked, rest string) string {
		return w.row("low", "lantern", "", part, method, year, outcome, "", leafed, seen, checked, "day", rest)
	}
	wants := []want{
		{wild, almanac.ReportHeld, "far from"},
		{kept, almanac.ReportUsed, ""},
		{first, almanac.ReportUsed, ""},
		{w.ripe("lantern", "G9", 2020, 1130), almanac.ReportDuplicate, first},
		{row("main", "pot-plain", 2019, "ripe", "2019-09-02", "2019-08-20", "", "removed,,,,h1,reviewed"), almanac.ReportHeld, "before its leaves"},
		{row("main", "pot-plain", 2018, "ripe", "", "2019-09-20", "", "removed,,,,h2,reviewed"), almanac.ReportHeld, "not in the season"},
		{row("main", "pot-plain", 2017, "ripe", "", "2017-09-20", "", "removed,,new-tree,,h3,reviewed"), almanac.ReportHeld, "since 2018"},
		{row("main", "pot-plain", 2023, "ripe", "", "2023-09-20", "", "removed,,new-tree,,h4,reviewed"), almanac.ReportHeld, "until 2022"},
		{row("main", "pot-plain", 2022, "ripe", "", "2022-09-20", "2022-09-25", "removed,,,,h5,reviewed"), almanac.ReportHeld, "the look before"},
		{row("main", "pot-plain", 2022, "ripe", "", "2022-01-20", "", "removed,,,,h6,reviewed"), almanac.ReportHeld, "before any heat"},
		{row("breba", "ground-open", 2022, "ripe", "", "2022-08-20", "", ",ground,,,h7,reviewed"), almanac.ReportHeld, "died to the ground"},
		{row("breba", "pot-plain", 2022, "not-ripe", "", "2022-09-20", "", "removed,,,,h8,reviewed"), almanac.ReportUnusable, "taken off"},
		{row("main", "pot-plain", 2021, "not-ripe", "", "2021-10-09", "", "removed,,,1,h9,reviewed"), almanac.ReportUnusable, "first year"},
		{row("main", "pot-plain", 2021, "not-ripe", "", "", "", "removed,,,,h10,reviewed"), almanac.ReportUnusable, "last look"},
		{row("main", "pot-plain", 1980, "ripe", "", "1980-09-20", "", "removed,,,,h11,reviewed"), almanac.ReportUnusable, "gaps"},
		{row("main", "pot-plain", 2023, "ripe", "", "2023-09-20", "", "removed,,,,h12,"), almanac.ReportNew, "not reviewed"},
		{row("main", "pot-plain", 2023, "ripe", "", "2023-09-20", "", "removed,,,,h13,held"), almanac.ReportHeld, "by hand"},
		{row("main", "pot-plain", 2023, "ripe", "", "2023-09-20", "", "removed,,,,h14,rejected"), almanac.ReportRejected, "by hand"},
		{w.row("low", "saint", "", "main", "pot-plain", 2022, "ripe", "", "", "2022-09-20", "", "day", ",,,,h15,reviewed"), almanac.ReportHeld, "without the wasp"},
		{w.row("low", "pale", "", "breba", "pot-plain", 2022, "ripe", "", "", "2022-09-20", "", "day", ",,,,h16,reviewed"), almanac.ReportHeld, "bears no breba"},
		{w.row("low", "lemonish", "", "main", "pot-plain", 2022, "ripe", "", "", "2022-09-20", "", "day", ",,,,h17,reviewed"), almanac.ReportUnusable, "no ripening model"},
	}
	named := w.row("low", "pale", "Lantern", "main", "pot-plain", 2022, "ripe", "", "", "2022-09-25", "", "day", ",,,,g1,reviewed")
	files := w.club()
	files["data/reports/all.csv"] = strings.Replace(files["data/reports/all.csv"], ",g8,reviewed", ",g8,kept", 1)
	b := makeBook(t, files, almanac.Options{}, river)
	for _, x := range wants {
		u := use(t, b, x.id)
		if u.Verdict != x.verdict || !strings.Contains(u.Reason.String()+" "+u.First, x.reason) {
			t.Errorf("%s: %s, %q, first %s; want %s, %q", x.id, u.Verdict, u.Reason, u.First, x.verdict, x.reason)
		}
		if (x.verdict == almanac.ReportHeld || x.verdict == almanac.ReportDuplicate || x.verdict == almanac.ReportNew) && u.Frees.Form == "" {
			t.Errorf("%s is %s, and nothing says what would free it", x.id, x.verdict)
		}
	}
	if u := use(t, b, wild); !(u.Expected > 1000) || !(u.Sd > 0) || !u.Known || !(u.High < 540) {
		t.Errorf("the wild report: %+v", u)
	}
	// Another cultivar's name is shown, and nothing is merged.
	if u := use(t, b, named); u.NamedLike != "lantern" || u.Verdict != almanac.ReportWaiting || u.Row.CultivarID != "pale" {
		t.Errorf("named like another: %+v", u)
	}
	n := b.Need("lantern", "main")
	sum := 0
	for _, u := range b.Reports {
		if u.Row.CultivarID == "lantern" && u.Row.CropPart == "main" && (u.Verdict == almanac.ReportUsed) {
			sum++
		}
	}
	if n.Reports != sum || n.Held == 0 {
		t.Errorf("%d used, the need counts %+v", sum, n)
	}
}

// The season that the record ends in is noticed, and a cool one says so.
func TestSeasonSoFar(t *testing.T) {
	river := weather(t, "river", 1985, 2025, 0, false)
	cut(t, river, "2025-08-01")
	b := makeBook(t, baseTables, almanac.Options{}, river)
	s := town(t, b, "low").SoFar
	if s == nil || s.Season != 2025 || s.Until != day.Of(2025, 7, 31) || s.Of != 30 || s.MissingDays != 0 {
		t.Fatalf("so far: %+v", s)
	}
	if !(s.Cool <= s.Normal && s.Normal <= s.Warm) || !(s.Heat > 0) || s.Rank > s.Of {
		t.Errorf("so far: heat %v, band %v %v %v, rank %d", s.Heat, s.Cool, s.Normal, s.Warm, s.Rank)
	}
	if b.CutOff != day.Of(2025, 7, 31) || b.PlanYear != 2025 || b.Span.Last != 2024 {
		t.Errorf("cut-off %v, plan year %d, span %v", b.CutOff, b.PlanYear, b.Span)
	}
	rows := 0
	for _, r := range s.Rows {
		if r.Cultivar == "lantern" && r.Method == "pot-plain" && r.Part == "main" {
			rows++
			if !r.LeafedOut || !(r.HeatSoFar > 0) || !(r.Usual > 0) {
				t.Errorf("%+v", r)
			}
		}
	}
	if rows != 2 { // brebas kept and removed
		t.Errorf("%d rows of lantern in a plain pot", rows)
	}
	// A warmer year ripens more, sooner.
	warm := weather(t, "river", 1985, 2025, 2, false)
	old := weather(t, "river", 1985, 2025, 0, false)
	cut(t, warm, "2025-08-01")
	graft(t, old, warm, "2025-01-01")
	w := town(t, makeBook(t, baseTables, almanac.Options{}, warm), "low").SoFar
	if !(w.Heat > s.Heat+100) || w.Rank <= s.Rank {
		t.Errorf("2 °C warmer: heat %v after %v, rank %d of %d", w.Heat, s.Heat, w.Rank, w.Of)
	}
	for i := range s.Rows {
		if w.Rows[i].Now < s.Rows[i].Now {
			t.Errorf("warmer, and %+v after %+v", w.Rows[i], s.Rows[i])
		}
	}
	// Between seasons there is none.
	if s := town(t, makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false)), "low").SoFar; s != nil {
		t.Errorf("a whole last year has a season so far: %+v", s)
	}
}

// Every explained year adds up to the odds, and its last day is led back to
// the line that holds it.
func TestExplain(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	b := makeBook(t, baseTables, almanac.Options{}, river)
	low := town(t, b, "low")
	if len(low.Why) != 3 {
		t.Fatalf("%d explanations", len(low.Why))
	}
	for _, e := range low.Why {
		sum, traced := 0.0, 0
		for _, y := range e.Years {
			sum += y.P
			months := 0.0
			for _, m := range y.ByMonth {
				months += m
			}
			if math.Abs(months-y.Heat) > 7 {
				t.Errorf("%s %d: the months add up to %v, the heat is %v", e.Odds.Cultivar, y.Year, months, y.Heat)
			}
			if y.Place.Line > 0 {
				traced++
				if line := lineOf(t, river, y.Place.Line); !strings.HasPrefix(line, y.EndDay.String()) {
					t.Errorf("%s is led to the line %q", y.EndDay, line)
				}
			}
			if y.Ended == "short-days" != (y.Place.Line == 0) {
				t.Errorf("%s %d ended by %s at %v", e.Odds.Cultivar, y.Year, y.Ended, y.Place)
			}
		}
		if got := sum / float64(len(e.Years)); math.Abs(got-e.Odds.Odds) > 0.011 {
			t.Errorf("%s: the years' chances make %v, the odds are %v", e.Odds.Cultivar, got, e.Odds.Odds)
		}
	}
	c := writeClub(t, baseTables, river)
	e, err := almanac.Explain(context.Background(), c, almanac.Options{}, almanac.Ask{Town: "low", Cultivar: "lantern", Method: "pot-head-start", Weeks: 4, Year: 1990})
	if err != nil || len(e.Years) != 1 || e.Years[0].Year != 1990 || e.Years[0].Counts || e.Odds.Weeks != 4 || e.Odds.Brebas != "removed" {
		t.Fatalf("%+v, %v", e, err)
	}
	if y := e.Years[0]; y.Wake == day.None || y.Out-y.Wake != 28 || y.LeafOut <= y.Wake {
		t.Errorf("woke %v, out %v, leafed %v", y.Wake, y.Out, y.LeafOut)
	}
	if o := oddsOf(t, low.Weeks, "lantern", "pot-head-start", 4); o.Odds != e.Odds.Odds && o.Brebas == "removed" {
		t.Errorf("explained odds %v, the book has %v", e.Odds.Odds, o.Odds)
	}
	for _, ask := range []almanac.Ask{{Town: "x", Cultivar: "lantern", Method: "pot-plain"}, {Town: "low", Cultivar: "x", Method: "pot-plain"}, {Town: "low", Cultivar: "lantern", Method: "x"},
		{Town: "low", Cultivar: "lantern", Method: "pot-plain", Weeks: 3}, {Town: "low", Cultivar: "pale", Method: "pot-plain", Part: "breba"}} {
		if _, err := almanac.Explain(context.Background(), c, almanac.Options{}, ask); err == nil || !strings.Contains(err.Error(), almanac.ErrUnknown.Error()) {
			t.Errorf("%+v: %v", ask, err)
		}
	}
}

// What it takes: more years ask for more, and no way listed beats another.
func TestTakesAndSets(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, -1, false))
	low := town(t, b, "low")
	least := map[string]float64{}
	for _, k := range low.Takes {
		switch {
		case k.Cultivar == "twine" && k.Reason != almanac.NoWasp, k.Cultivar == "lemonish" && k.Reason != almanac.NoModel:
			t.Errorf("%s: %q", k.Cultivar, k.Reason)
		case len(k.Ways) == 0 && k.Reason == "":
			t.Errorf("%s %s %v: neither a way nor a reason", k.Cultivar, k.Part, k.Target)
		case k.Reason == almanac.TooLittleHeat && k.Best != nil && k.Best.Odds >= k.Target:
			t.Errorf("%s %s: too little heat, and yet %+v", k.Cultivar, k.Part, k.Best)
		}
		for i, w := range k.Ways {
			if w.Odds < k.Target || i > 0 && w.Hours < k.Ways[i-1].Hours {
				t.Errorf("%s %v: way %+v", k.Cultivar, k.Target, w)
			}
		}
		key := k.Cultivar + k.Part
		if len(k.Ways) > 0 {
			if k.Ways[0].Hours < least[key] {
				t.Errorf("%s: %v years in ten take %v h, fewer years more", k.Cultivar, k.Target, k.Ways[0].Hours)
			}
			least[key] = k.Ways[0].Hours
		}
	}
	if len(low.Together) != 2 {
		t.Fatalf("sets for %d methods", len(low.Together))
	}
	for _, g := range low.Together {
		sum := 0.0
		for _, x := range g.Gardens {
			sum += x
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("the gardens weigh %v", sum)
		}
		for i, r := range g.Rows {
			if alone := g.AnyRipe([]int{i}); math.Abs(alone-r.Odds) > 0.011 {
				t.Errorf("%s alone ripens in %v, its odds are %v", r.Cultivar, alone, r.Odds)
			}
		}
		for _, b := range g.Best {
			for _, r := range b.Rows {
				if b.Share < g.Rows[r].Odds-0.011 {
					t.Errorf("a set of %v, of which one alone has %v", b.Share, g.Rows[r].Odds)
				}
			}
		}
	}
}

// Days 130-150 and 145-160 make 31 days in one year of two; a day picked from
// two trees counts once.
func TestPickingWeeks(t *testing.T) {
	g := almanac.Together{Years: []int{2001, 2002}, Rows: []almanac.TogetherRow{
		{Picking: [][2]int16{{130, 150}, {0, 0}}}, {Picking: [][2]int16{{145, 160}, {0, 0}}}, {Picking: [][2]int16{{132, 140}, {0, 0}}}}}
	for _, c := range []struct {
		rows []int
		want float64
	}{{[]int{0, 1}, 2.2}, {[]int{0, 1, 2}, 2.2}, {[]int{0}, 1.5}, {nil, 0}} {
		if got := g.PickingWeeks(c.rows); got != c.want {
			t.Errorf("rows %v: %v weeks, want %v", c.rows, got, c.want)
		}
	}
}
