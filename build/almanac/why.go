package almanac

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
	"ripeward/build/station"
)

// why explains a town's top answers: the surest main crop of the plain pot,
// the surest other one with a head start, and the one most in the balance.
func (k *kit) why(b *Book, p *place) {
	t := &p.town
	seen := map[string]bool{}
	pick := func(m *methodKit, better func(a, b *Odds) bool) {
		if m == nil {
			return
		}
		var best *Odds
		for i := range t.Odds {
			o := &t.Odds[i]
			if o.Method != string(m.row.ID) || o.Part != "main" || o.Brebas == "kept" || o.Reason != "" || seen[o.Cultivar] {
				continue
			}
			if best == nil || better(o, best) {
				best = o
			}
		}
		if best != nil {
			seen[best.Cultivar] = true
			t.Why = append(t.Why, k.explain(b, p, *best, p.weather.years))
		}
	}
	surest := func(a, b *Odds) bool { return a.Odds > b.Odds || a.Odds == b.Odds && a.CropShare > b.CropShare }
	balance := func(a, b *Odds) bool { return math.Abs(a.Odds-0.5) < math.Abs(b.Odds-0.5) }
	pick(k.together[0], surest)
	pick(k.together[1], surest)
	pick(cmp.Or(k.together[0], k.together[1]), balance)
}

// explain follows one line through years.
func (k *kit) explain(b *Book, p *place, o Odds, years []*ripening.Year) Explanation {
	cu, ck := k.cultivar(o.Cultivar)
	m := k.method(o.Method)
	part := partOf(cu, o.Part, o.Brebas)
	e := Explanation{Town: string(p.town.Row.ID), Odds: o}
	if n := b.Need(o.Cultivar, o.Part); n != nil {
		e.Need = *n
	}
	e.Odds.Curve = nil
	r := &run{kit: k, place: p, crop: ck, method: m, made: map[*ripening.Year]*ripening.Season{}, plans: []ripening.Plan{p.anchors.plan(m, o.Weeks)}}
	e.Plan = planOf(m, r.plans[0])
	if part == nil || !m.model.Ground && !r.plans[0].Out.OK {
		return e
	}
	a := &asking{run: r, weeks: o.Weeks}
	e.Delay = quantity.Step(a.question(part).Delay, stepNeed)
	stories := make([]ripening.Story, len(years))
	for i, y := range years {
		stories[i] = r.season(y).Story(r.plans[0].Out.Rank, o.Weeks, ripening.NoDates)
		s := &stories[i].Supply
		a.grown = append(a.grown, grown{s.Season, s.Heat, s.SetBacks, s.Carried})
	}
	chances := a.yearsOf(cu, part)
	for i := range stories {
		e.Years = append(e.Years, a.tell(&stories[i], chances[i], part, b.Span))
	}
	return e
}

func partOf(cu *cultivarKit, name, brebas string) *part {
	for i := range cu.parts {
		if q := &cu.parts[i]; q.name == name && q.brebas == brebas {
			return q
		}
	}
	return nil
}

// tell puts one season into the book's words and steps.
func (a *asking) tell(s *ripening.Story, chance ripening.YearOf, p *part, span climate.Span) ExplainedYear {
	h := s.Year().Hemisphere
	on := func(r day.Rank, ok bool) day.Date {
		if !ok {
			return day.None
		}
		return h.InSeason(s.Season, r)
	}
	q := a.question(p)
	ripe, reached := s.RankWhen(q.Need.Mu + q.Delay)
	y := ExplainedYear{Year: s.Season, Counts: span.Has(s.Season), Wake: on(s.Wake, s.HasWake), LeafOut: on(s.LeafOut, s.Leafed), Out: on(s.Out, s.HasOut),
		LostHeat: quantity.Step(s.LostHeat, stepHeat), Heat: quantity.Step(s.Heat, stepHeat), FirstRipe: on(ripe, reached && !chance.Lost),
		LastDay: on(s.LastDay, true), Ended: s.Ended.String(), EndDay: on(s.EndDay, true), EndValue: quantity.Step(float64(floor(s.EndValue*10))/10, 0.1), // it lies below a limit: rounded up it might not
		Carried: s.Carried, Kill: quantity.Step(chance.Kill, stepOdds), P: quantity.Step(ripening.Ask([]ripening.YearOf{chance}, q).Odds, stepOdds)}
	for _, r := range s.SetBackDays {
		y.SetBacks = append(y.SetBacks, on(r, true))
	}
	for m := range y.ByMonth {
		y.ByMonth[m] = quantity.Step(s.ByMonth[m], stepHeat)
	}
	return y
}

// trace leads the days that ended each explained season back to their lines in
// the station files.
func (g *Grow) trace(es []*Explanation) error {
	want := map[string][]station.Day{}
	leads := map[string]string{}
	for _, e := range es {
		lead := g.leadOf(e.Town)
		leads[e.Town] = lead
		for _, y := range e.Years {
			if y.EndDay != day.None && y.Ended != ripening.ByShortDays.String() {
				want[lead] = append(want[lead], station.Day{Date: y.EndDay, Element: station.TMin})
			}
		}
	}
	for _, lead := range slices.Sorted(maps.Keys(want)) {
		found, err := station.Places(g.filesOf(lead), lead, want[lead])
		if err != nil {
			return err
		}
		for _, e := range es {
			if leads[e.Town] != lead {
				continue
			}
			for i := range e.Years {
				y := &e.Years[i]
				if at, ok := found[station.Day{Date: y.EndDay, Element: station.TMin}]; ok && y.Ended != ripening.ByShortDays.String() {
					at.File = g.book.within(at.File)
					y.Place, y.Station = at, lead
				}
			}
		}
	}
	return nil
}

func (g *Grow) leadOf(town string) string {
	for i := range g.book.Towns {
		if string(g.book.Towns[i].Row.ID) == town {
			return g.book.Towns[i].Lead.StationID
		}
	}
	if p := g.place(town); p != nil {
		return p.town.Lead.StationID
	}
	return ""
}

// filesOf returns the paths of a station's files.
func (g *Grow) filesOf(id string) []string {
	var out []string
	for i := range g.book.Stations {
		if g.book.Stations[i].ID == id {
			for _, f := range g.book.Stations[i].Account.Files {
				if !filepath.IsAbs(f) {
					f = filepath.Join(g.book.Club.Dir, filepath.FromSlash(f))
				}
				out = append(out, f)
			}
		}
	}
	return out
}

// within tells a path relative to the club's folder: where that folder lies is
// nobody's business, and the same inputs must give the same bytes.
func (b *Book) within(path string) string {
	if rel, err := filepath.Rel(b.Club.Dir, path); err == nil && filepath.IsLocal(rel) {
		return filepath.ToSlash(rel)
	}
	return filepath.ToSlash(path)
}

// Ask names one answer to be explained.
type Ask struct {
	Town, Cultivar, Method string
	Part                   string // blank: main, or what the cultivar bears
	Brebas                 string // blank: removed where the cultivar bears both
	Weeks                  int    // -1: the method's default
	Year                   int    // 0: all reference years
}

// ErrUnknown means that an answer was asked of a town, cultivar, method, part
// or head start that the club does not have.
var ErrUnknown = errors.New("nothing of that name")

// Explain follows one answer of a club through the years, back to the
// readings. The error is about I/O, ErrNoRecord, or wraps ErrUnknown.
func Explain(ctx context.Context, c *club.Club, o Options, ask Ask) (*Explanation, error) {
	g, err := NewGrow(ctx, c, o)
	if err != nil {
		return nil, err
	}
	p, m := g.place(ask.Town), g.kit.method(ask.Method)
	cu, ck := g.kit.cultivar(ask.Cultivar)
	switch {
	case p == nil:
		return nil, fmt.Errorf("town %q: %w", ask.Town, ErrUnknown)
	case cu == nil:
		return nil, fmt.Errorf("cultivar %q: %w", ask.Cultivar, ErrUnknown)
	case m == nil:
		return nil, fmt.Errorf("method %q: %w", ask.Method, ErrUnknown)
	case p.weather == nil:
		return nil, ErrNoRecord
	}
	if ask.Weeks < 0 {
		ask.Weeks = m.defaultWeeks()
	}
	if !slices.Contains(m.weeks, ask.Weeks) {
		return nil, fmt.Errorf("a head start of %d weeks under %s: %w", ask.Weeks, ask.Method, ErrUnknown)
	}
	if _, err := g.learn(ctx); err != nil {
		return nil, err
	}
	var line *part
	for i := range cu.parts {
		q := &cu.parts[i]
		if (ask.Part == "" || q.name == ask.Part) && (q.brebas == ask.Brebas || ask.Brebas == "" && (line == nil || q.name == "main" && q.brebas != "kept")) {
			line = q
		}
	}
	if line == nil {
		return nil, fmt.Errorf("a %s crop of %s: %w", cropWord(ask.Part), ask.Cultivar, ErrUnknown)
	}
	r := g.kit.run(p, ck, m)
	odds := r.ask(p.weather.years, slices.Index(m.weeks, ask.Weeks)).odds(cu, line)
	years := p.weather.years
	if ask.Year != 0 {
		years = p.weather.within(climate.Span{First: ask.Year, Last: ask.Year})
	}
	e := g.kit.explain(g.book, p, odds, years)
	return &e, g.trace([]*Explanation{&e})
}
