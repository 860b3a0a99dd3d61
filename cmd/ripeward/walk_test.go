package main

import (
	"bytes"
	"context"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/ripening"
	"ripeward/build/station"
)

const (
	walkBegin = "<!-- the walk: written by go test ./cmd/ripeward -run Walk -update -->\n"
	walkEnd   = "<!-- end of the walk -->\n"
)

// walk follows one temperature and one report of an invented club through the
// house, holding each room's value against the one before.
type walk struct {
	*testing.T
	dir, site string
	book      *almanac.Book
	text      strings.Builder
}

func (w *walk) step(room, as, value string, args ...any) {
	fmt.Fprintf(&w.text, "| %s | %s | %s |\n", room, as, fmt.Sprintf(value, args...))
}

// line returns the first line of a club's file that has a text, with its number.
func (w *walk) line(file, with string) (int, string) {
	w.Helper()
	data, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(file)))
	if err != nil {
		w.Fatal(err)
	}
	n := 0
	for l := range strings.Lines(string(data)) {
		if n++; strings.Contains(l, with) {
			return n, strings.TrimSpace(l)
		}
	}
	w.Fatalf("%s has no line with %s", file, with)
	return 0, ""
}

// page returns what a pattern finds in a file of the site, without its tags.
func (w *walk) page(file, pattern string) string {
	w.Helper()
	data, err := os.ReadFile(filepath.Join(w.site, filepath.FromSlash(file)))
	if err != nil {
		w.Fatal(err)
	}
	m := regexp.MustCompile(pattern).FindSubmatch(data)
	if m == nil {
		w.Fatalf("%s has no %s", file, pattern)
	}
	plain := regexp.MustCompile(`<[^>]*>`).ReplaceAllString(string(m[1]), "")
	return strings.ReplaceAll(html.UnescapeString(plain), "\u00a0", " ")
}

func (w *walk) town(id string) *almanac.Town {
	i := slices.IndexFunc(w.book.Towns, func(t almanac.Town) bool { return string(t.Row.ID) == id })
	return &w.book.Towns[i]
}

// TestWalk writes the walk of DEVELOPERS.md.
func TestWalk(t *testing.T) {
	dir := t.TempDir()
	w := &walk{T: t, dir: filepath.Join(dir, "club"), site: filepath.Join(dir, "site")}
	rememberingClub(t, w.dir)
	publishInto(t, w.dir, w.site)
	c, problems, err := club.Load(w.dir, club.Options{})
	if err != nil || problems.Count(diag.Error) > 0 {
		t.Fatal(err, problems)
	}
	if w.book, err = almanac.Make(context.Background(), c, almanac.Options{}); err != nil {
		t.Fatal(err)
	}
	w.temperature(2015)
	w.report()

	path := filepath.Join(repoRoot(t), "DEVELOPERS.md")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok1 := bytes.Cut(data, []byte(walkBegin))
	old, after, ok2 := bytes.Cut(rest, []byte(walkEnd))
	if !ok1 || !ok2 {
		t.Fatal("DEVELOPERS.md has no place for the walk")
	}
	if string(old) == w.text.String() {
		return
	}
	if !*update {
		t.Fatalf("the walk of DEVELOPERS.md differs: %s", firstDifference(string(old), w.text.String()))
	}
	if err := os.WriteFile(path, slices.Concat(before, []byte(walkBegin), []byte(w.text.String()), []byte(walkEnd), after), 0o666); err != nil {
		t.Fatal(err)
	}
}

// temperature follows the low that ended a town's frost-free season.
func (w *walk) temperature(year int) {
	ford := w.town("ford")
	i := slices.IndexFunc(ford.Seasons, func(s climate.Season) bool { return s.Year == year })
	froze := ford.Seasons[i].First[climate.Zero]
	if froze.Outcome != climate.Found {
		w.Fatalf("%d has no autumn freeze", year)
	}
	lead := ford.Lead.StationID
	file := "data/stations/" + lead + ".csv"
	n, line := w.line(file, froze.Date.String()+",")

	fmt.Fprintf(&w.text, "One temperature, the low that ended the season of %d in the invented town Ford, 10 m above its station:\n\n| where | as what | value |\n|---|---|---|\n", year)
	w.step("`"+file+"`", "a line as it was published", "%d: `%s`", n, line)

	records, _, err := station.ReadAll([]string{filepath.Join(w.dir, filepath.FromSlash(file))}, 1)
	if err != nil || len(records) != 1 {
		w.Fatal(err)
	}
	r := &records[0]
	at := froze.Date - r.First
	if want := fmt.Sprintf(",%.1f,", float64(r.TMin[at])/10); !strings.Contains(line, want) {
		w.Errorf("the series has %d tenths, the line %s", r.TMin[at], line)
	}
	w.step("`station.Series`", "`TMin`, `int16` tenths of °C, one a day from `First` on; read once, judged, never copied", "`TMin[%d]` = %d", at, r.TMin[at])

	shift := climate.ShiftFor(w.book.Club.Settings.LapseCPerKm, ford.Lead.HeightM, 0, 0)
	d := climate.Daily{First: r.First, TMin: r.TMin, TMax: r.TMax, Precip: r.Precip, Hemisphere: day.North}
	moved := climate.Move(&d, shift)
	if moved.TMin[at] > 0 {
		w.Errorf("%d tenths in town is no freeze", moved.TMin[at])
	}
	w.step("`almanac/town.go`", "`climate.Daily`: the lead's slices, gaps filled, moved to the town's height and garden (`climate.Move`)", "%d m, %+.2f °C: `TMin[%d]` = %d", int(ford.Lead.HeightM), shift.Night, at, moved.TMin[at])

	seasons := climate.Seasons(&moved, climate.DefaultHeat())
	k := slices.IndexFunc(seasons, func(s climate.Season) bool { return s.Year == year })
	if seasons[k].First[climate.Zero] != froze {
		w.Errorf("the season has %+v, the book %+v", seasons[k].First[climate.Zero], froze)
	}
	w.step("`climate.Season`", "`First[Zero]`: the first day from August on with a low ≤ 0 °C, as a date and a day of the season", "%s, day %d", froze.Date, froze.Rank)
	normal := ford.Normal("first_autumn_freeze_0")
	w.step("`climate.Normal`", "percentiles over the reference years, a freeze date to the cautious side", "%d of %d years valid, the middle one day %.0f", normal.Years, normal.Span.Years(), normal.P[4].V)
	w.step("`almanac.Town`", "`Seasons`, `Normals`: rounded here, once", "the same")

	csv := w.page("downloads/seasons.csv", fmt.Sprintf(`(?m)^(ford,%d,.*)$`, year))
	if !strings.Contains(csv, froze.Date.String()) {
		w.Errorf("seasons.csv has %s", csv)
	}
	w.step("`page/downloads.go`", "a cell of `downloads/seasons.csv`", "%s", froze.Date)
	w.step("`page/words_town.go`", "the first sentence of `towns/ford/`", "%s", w.page("towns/ford/index.html", `<p class="lead answer">(.*?\.)[ <]`))
	w.text.WriteString("\n")
}

// report follows one row of the reports to the odds.
func (w *walk) report() {
	use := &w.book.Reports[0]
	n, line := w.line("data/reports/all.csv", "r0,")
	row := use.Row
	w.text.WriteString("One report, to the odds of its cultivar:\n\n| where | as what | value |\n|---|---|---|\n")
	w.step("`data/reports/all.csv`", "a member's row", "%d: `%s`", n, line)
	if string(row.ID) != "r0" || row.SeenOn.Date.String() != "2005-09-03" {
		w.Fatalf("the first report is %s of %s", row.ID, row.SeenOn.Date)
	}
	w.step("`club.Report`", "typed cells, checked against the other tables, with their place in the file", "%s, %s, seen %s", row.TownID, row.MethodID, row.SeenOn.Date)

	g, err := almanac.NewGrow(context.Background(), w.book.Club, almanac.Options{})
	if err != nil {
		w.Fatal(err)
	}
	plan, _ := g.Plan(string(row.TownID), string(row.MethodID), 0)
	s, ok := g.Season(string(row.TownID), "fig", string(row.MethodID), row.Year.Or(0))
	if !ok || !use.Known {
		w.Fatal("the season of the report is not known")
	}
	u := s.Supply(plan.Out.Rank, 0)
	w.step("`ripening.Season`", "its tree followed through its own year (`almanac/observe.go`): heat from leaf-out to the days between which the fruit was ripe", "in leaf on day %d, %.0f °C·d by the day it was seen; window %s", u.LeafOut, u.HeatOn(row.SeenOn.Date), window(use.Low, use.High))
	w.step("`needs.Fit`", "an observation with its doubt, censored on either side, in one joint fit of all reports", "verdict: %s", use.Verdict)
	var need *almanac.HeatNeed
	for i := range w.book.Needs {
		if x := &w.book.Needs[i]; x.Cultivar == string(row.CultivarID) && x.Part == string(row.CropPart) {
			need = x
		}
	}
	if need == nil || need.Reports == 0 {
		w.Fatalf("no need is learned: %+v", need)
	}
	w.step("`almanac.HeatNeed`", "what is known of the cultivar's need, before and after the reports", "%.0f ± %.0f °C·d, now %.0f ± %.0f from %d reports of %d growers", need.PriorMu, need.PriorSE, need.Mu, need.SE, need.Reports, need.Growers)
	for _, o := range w.town(string(row.TownID)).Odds {
		if o.Cultivar != need.Cultivar || o.Part != need.Part || o.Method != string(row.MethodID) || o.Brebas == "kept" {
			continue
		}
		if o.Mu != need.Mu {
			w.Errorf("the odds rest on %v °C·d, the need is %v", o.Mu, need.Mu)
		}
		w.step("`ripening.Ask`", "the need held against the heat of every reference year: the mean of Φ", "%.2f (%.2f to %.2f) over %d years: %s", o.Odds, o.Low, o.High, o.N, ripening.Likelihood(o.Odds, o.Growers, o.N))
		w.step("`page/town.go`", "a cell of `towns/"+string(row.TownID)+"/`", "%s", w.page("towns/"+string(row.TownID)+"/index.html", `(?s)<a href="[^"]*cultivars/`+need.Cultivar+`/[^"]*">[^<]*</a>.*?(<b>[^<]*</b> in(?:&nbsp;|.)10)`))
	}
}

func window(low, high float64) string {
	switch {
	case low < 0:
		return fmt.Sprintf("up to %.0f", high)
	case high > 1e6:
		return fmt.Sprintf("from %.0f on", low)
	}
	return fmt.Sprintf("%.0f to %.0f", low, high)
}
