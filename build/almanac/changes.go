package almanac

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
)

// Changes is what has moved since the club last closed a year. Only what the
// pages say otherwise is listed: dates and sums whose middle year left its
// interval of then, odds that crossed a likelihood word, needs that moved by
// more than their doubt.
type Changes struct {
	PlanYear   int      // that was closed
	DataCutOff day.Date // then
	Years      [2]string
	Reports    [2]int // used, then and now
	Stations   []StationChange
	NewTowns   []string
	GoneTowns  []string
	NewParts   []PartKey // cultivars, part by part, that had no heat need then
	GoneParts  []PartKey
	Needs      []NeedChange
	Measures   []MeasureChange
	Odds       []OddsChange
}

// PartKey names a cultivar's part of the crop.
type PartKey struct{ Cultivar, Part string }

// StationChange is a station whose record reaches farther, or that is new
// (Before is day.None) or gone (After is).
type StationChange struct {
	Station       string
	Before, After day.Date
}

// NeedChange is a heat need (°C·d) that moved by more than its standard error.
type NeedChange struct {
	PartKey
	Before, After float64
}

// MeasureChange is a measure of a town whose middle year lies outside its
// interval of then: a day of season, or a value in the measure's unit.
type MeasureChange struct {
	Town, Measure string
	Before, After float64
	Date          bool
}

// OddsChange is an answer whose likelihood word is another one now.
type OddsChange struct {
	Town, Cultivar, Part, Method string
	Before, After                float64 // odds
	WordBefore, WordAfter        string
}

// Towns counts the towns that tell other answers: ids, sorted.
func (c *Changes) Towns() []string {
	var out []string
	for _, m := range c.Measures {
		out = append(out, m.Town)
	}
	for _, o := range c.Odds {
		out = append(out, o.Town)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Empty tells whether nothing has moved at all.
func (c *Changes) Empty() bool {
	return len(c.Stations)+len(c.NewTowns)+len(c.GoneTowns)+len(c.NewParts)+len(c.GoneParts)+len(c.Needs)+len(c.Measures)+len(c.Odds) == 0 &&
		c.Reports[0] == c.Reports[1] && c.Years[0] == c.Years[1]
}

// comparedMeasures are looked at from one year to the next.
var comparedMeasures = []string{"last_spring_freeze_0", "first_autumn_freeze_0", "freeze_free_days_0", "heat_cd_base10", "winter_min_c"}

func years(s climate.Span) string { return fmt.Sprintf("%d-%d", s.First, s.Last) }

// Told is what the book's pages say, for the baseline of a closed year.
func (b *Book) Told() *club.Told {
	t := &club.Told{Years: years(b.Span), Reports: b.used(), Stations: map[string]string{}, Needs: map[string]club.ToldNeed{}, Towns: map[string]club.ToldTown{}}
	for i := range b.Stations {
		if s := &b.Stations[i]; s.Last != day.None {
			t.Stations[s.ID] = s.Last.String()
		}
	}
	for _, n := range b.Needs {
		t.Needs[n.Cultivar+" "+n.Part] = club.ToldNeed{Heat: n.Mu, SE: n.SE}
	}
	for i := range b.Towns {
		t.Towns[string(b.Towns[i].Row.ID)] = b.Towns[i].told()
	}
	return t
}

func (b *Book) used() int {
	n := 0
	for i := range b.Reports {
		if b.Reports[i].Verdict == ReportUsed {
			n++
		}
	}
	return n
}

func (t *Town) told() club.ToldTown {
	out := club.ToldTown{Measures: map[string]club.ToldMeasure{}, Odds: map[string]club.ToldOdds{}}
	for _, name := range comparedMeasures {
		n := t.Normal(name)
		if n == nil || !n.P[4].OK || n.P[4].None || !n.Low[4].OK || !n.High[4].OK || n.Low[4].None || n.High[4].None {
			continue
		}
		out.Measures[name] = club.ToldMeasure{Middle: n.P[4].V, Low: n.Low[4].V, High: n.High[4].V}
	}
	for i := range t.Odds {
		// With brebas kept the main crop is a line of its own; the usual one
		// is told.
		if o := &t.Odds[i]; o.Reason == "" && !(o.Part == "main" && o.Brebas == "kept") {
			out.Odds[o.Cultivar+" "+o.Part+" "+o.Method] = club.ToldOdds{Odds: o.Odds, Word: o.Likelihood}
		}
	}
	return out
}

// compare fills in Book.Changes; there are none without a baseline.
func (b *Book) compare() {
	y := b.Club.LastYear.Baseline(b.PlanYear)
	if y == nil {
		return
	}
	c := b.since(y.Told)
	c.PlanYear, c.DataCutOff = y.PlanYear, y.DataCutOff
	b.Changes = c
}

// since is what has moved between what was told then and the book.
func (b *Book) since(then *club.Told) *Changes {
	now := b.Told()
	c := &Changes{DataCutOff: day.None, Years: [2]string{then.Years, now.Years}, Reports: [2]int{then.Reports, now.Reports}}
	for _, id := range bothKeys(then.Stations, now.Stations) {
		s := StationChange{Station: id, Before: dayOf(then.Stations[id]), After: dayOf(now.Stations[id])}
		if s.Before != s.After {
			c.Stations = append(c.Stations, s)
		}
	}
	for i := range b.Needs {
		n := &b.Needs[i]
		k := PartKey{n.Cultivar, n.Part}
		old, had := then.Needs[n.Cultivar+" "+n.Part]
		switch {
		case !had:
			c.NewParts = append(c.NewParts, k)
		case math.Abs(n.Mu-old.Heat) > math.Max(old.SE, 1):
			c.Needs = append(c.Needs, NeedChange{k, old.Heat, n.Mu})
		}
	}
	for _, key := range bothKeys(then.Needs, nil) {
		if _, still := now.Needs[key]; !still {
			if k, ok := partKey(key); ok {
				c.GoneParts = append(c.GoneParts, k)
			}
		}
	}
	for i := range b.Towns {
		t := &b.Towns[i]
		old, had := then.Towns[string(t.Row.ID)]
		if !had {
			c.NewTowns = append(c.NewTowns, string(t.Row.ID))
			continue
		}
		c.ofTown(t, old, now.Towns[string(t.Row.ID)])
	}
	for _, id := range bothKeys(then.Towns, nil) {
		if _, still := now.Towns[id]; !still {
			c.GoneTowns = append(c.GoneTowns, id)
		}
	}
	return c
}

func (c *Changes) ofTown(t *Town, old, now club.ToldTown) {
	id := string(t.Row.ID)
	for _, name := range comparedMeasures {
		a, had := old.Measures[name]
		z, has := now.Measures[name]
		if had && has && (z.Middle < a.Low || z.Middle > a.High) {
			n := t.Normal(name)
			c.Measures = append(c.Measures, MeasureChange{id, name, a.Middle, z.Middle, n != nil && n.Unit == "date"})
		}
	}
	for i := range t.Odds {
		o := &t.Odds[i]
		key := o.Cultivar + " " + o.Part + " " + o.Method
		a, had := old.Odds[key]
		z, has := now.Odds[key]
		if had && has && a.Word != z.Word && z.Odds == o.Odds && !(o.Part == "main" && o.Brebas == "kept") {
			c.Odds = append(c.Odds, OddsChange{id, o.Cultivar, o.Part, o.Method, a.Odds, z.Odds, a.Word, z.Word})
		}
	}
}

func bothKeys[T any](a, b map[string]T) []string {
	var out []string
	for k := range a {
		out = append(out, k)
	}
	for k := range b {
		if _, there := a[k]; !there {
			out = append(out, k)
		}
	}
	slices.SortFunc(out, cmp.Compare[string])
	return out
}

func partKey(key string) (PartKey, bool) {
	cultivar, part, ok := strings.Cut(key, " ")
	return PartKey{cultivar, part}, ok
}

func dayOf(text string) day.Date {
	d, err := day.Parse(text)
	if err != nil {
		return day.None
	}
	return d
}
