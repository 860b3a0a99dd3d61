package almanac

import (
	"cmp"
	"slices"
	"strings"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// ManyTowns is the number of towns above which a club counts as large: single
// weeks of head start are answered without dates (TABLES: weeks/TOWN.csv), odds
// are downloaded town by town, and lists are by zone.
const ManyTowns = 200

// curvesEach is how many lines of a method, best first, have their curve kept.
const curvesEach = 12

// answer fills in all that depends on crops and methods: plans, odds, winter
// losses, endings, tasks, and what is said of the answers.
func (k *kit) answer(b *Book, p *place) {
	t, w, a := &p.town, p.weather, p.anchors
	t.FirstYears, t.LastYears = thenAndNow(w, b.Recent)
	dated := len(b.Club.Towns) <= ManyTowns
	for i := range k.methods {
		m := &k.methods[i]
		for _, ck := range k.cropOrder {
			r := k.run(p, ck, m)
			k.askAll(b, t, r, dated)
			k.gardenWay(b, p, r)
			if ck == k.reference {
				t.Endings = append(t.Endings, r.usual.ending())
				t.Plans = append(t.Plans, planOf(m, r.plans[r.usualAt]))
				a.supplies[string(m.row.ID)] = r.usual.supplies
			}
			if m.model.Ground {
				for c := range ck.cultivars {
					if loss, ok := winterLoss(ck, &ck.cultivars[c], m, w, b.Span); ok {
						t.Winters = append(t.Winters, loss)
					}
				}
			}
			if m == k.together[0] || m == k.together[1] {
				k.gather(t, r)
			}
		}
	}
	t.Odds, t.Weeks = sortedOdds(t.Odds), sortedOdds(t.Weeks)
	slices.SortStableFunc(t.Winters, func(a, b WinterLoss) int {
		return cmp.Or(cmp.Compare(a.Cultivar, b.Cultivar), cmp.Compare(a.Method, b.Method))
	})
	k.stores(b, p)
	t.Tasks = k.tasks(b, t, w, a)
	t.Rain = ripeningRain(t, &p.daily, b.Span)
	k.takes(b, t)
	finishTogether(t)
	k.why(b, p)
	k.soFar(b, p)
	k.tents(b, p)
	k.figlets(p)
	p.lastLows()
	if !dated {
		t.Weeks = nil // as much as a town's whole book, and shown nowhere
	}
}

// sortedOdds are the lines by cultivar, part, method, weeks and brebas. A line
// is large: their places are sorted, and each is moved once.
func sortedOdds(lines []Odds) []Odds {
	places := make([]*Odds, len(lines))
	for i := range lines {
		places[i] = &lines[i]
	}
	slices.SortStableFunc(places, compareOdds)
	sorted := make([]Odds, len(lines))
	for i, p := range places {
		sorted[i] = *p
	}
	return sorted
}

func compareOdds(a, b *Odds) int {
	if c := strings.Compare(a.Cultivar, b.Cultivar); c != 0 {
		return c
	}
	if c := strings.Compare(a.Part, b.Part); c != 0 {
		return c
	}
	if c := strings.Compare(a.Method, b.Method); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(a.Weeks, b.Weeks), strings.Compare(a.Brebas, b.Brebas))
}

// thenAndNow returns the first 15 years of a record and the last 15 of the
// club's data; none where they overlap or hold too few valid years.
func thenAndNow(w *weather, recent climate.Span) (first, last climate.Span) {
	none := climate.Span{First: 0, Last: -1}
	if len(w.record) == 0 {
		return none, none
	}
	first = climate.Span{First: w.record[0].Season, Last: w.record[0].Season + recentYears - 1}
	if first.Last >= recent.First || !climate.EnoughYears(len(w.within(first)), first) || !climate.EnoughYears(len(w.within(recent)), recent) {
		return none, none
	}
	return first, recent
}

func planOf(m *methodKit, p ripening.Plan) Plan {
	point := func(a ripening.Anchor) Point { return Point{a.Rank, !a.OK} }
	out := Plan{Method: string(m.row.ID), Weeks: p.Weeks, HardenOff: point(p.HardenOff), Out: point(p.Out), Wake: point(p.Wake), In: point(p.In), DormantOut: point(p.DormantOut)}
	if m.model.Ground {
		none := Point{None: true}
		out.DormantOut, out.HardenOff, out.Out, out.Wake, out.In = none, none, none, none, none
	}
	return out
}

// run is one crop under one method in one town: its seasons, ready to be asked
// at any head start.
type run struct {
	kit     *kit
	place   *place
	crop    *cropKit
	method  *methodKit
	plans   []ripening.Plan // for each of method.weeks
	usualAt int             // place of the default weeks
	made    map[*ripening.Year]*ripening.Season
	usual   *asking
	then    [2]*asking // the first and the last 15 years; nil where too short
	room    []ripening.YearOf
	store   string // with the crop, of pots that winter in one; once it is asked for
}

func (k *kit) run(p *place, ck *cropKit, m *methodKit) *run {
	r := &run{kit: k, place: p, crop: ck, method: m, made: map[*ripening.Year]*ripening.Season{}}
	for i, weeks := range m.weeks {
		r.plans = append(r.plans, p.anchors.plan(m, weeks))
		if weeks == m.defaultWeeks() {
			r.usualAt = i
		}
	}
	r.usual = r.ask(p.weather.years, r.usualAt)
	for i, span := range [2]climate.Span{p.town.FirstYears, p.town.LastYears} {
		if span.Last >= span.First {
			r.then[i] = r.ask(p.weather.within(span), r.usualAt)
		}
	}
	r.usual.energy()
	return r
}

// season returns the felt season of a year, made once.
func (r *run) season(y *ripening.Year) *ripening.Season {
	s := r.made[y]
	if s == nil {
		s = ripening.NewSeason(y, &r.crop.model, &r.method.model)
		r.made[y] = s
	}
	return s
}

// ask follows the tree through years at one of the method's head starts.
func (r *run) ask(years []*ripening.Year, at int) *asking {
	a := &asking{run: r, weeks: r.method.weeks[at]}
	plan := r.plans[at]
	if !r.method.model.Ground && !plan.Out.OK {
		return a // no date to plan by: nothing is said
	}
	a.supplies = make([]ripening.Supply, len(years))
	a.grown = make([]grown, len(years))
	for i, y := range years {
		a.supplies[i] = r.season(y).Supply(plan.Out.Rank, a.weeks)
		u := &a.supplies[i]
		a.grown[i] = grown{u.Season, u.Heat, u.SetBacks, u.Carried}
	}
	return a
}

// everyWeek follows the tree at every head start from 1 week on, heat and
// nights alone: weeks shift the heat by a constant.
func (r *run) everyWeek() []*asking {
	most, years := r.method.weeks[len(r.method.weeks)-1], r.place.weather.years
	out := make([]*asking, most)
	for w := range out {
		out[w] = &asking{run: r, weeks: w + 1}
		if r.plans[w+1].Out.OK {
			out[w].grown = make([]grown, len(years))
		}
	}
	if !r.plans[most].Out.OK {
		return out
	}
	var yields []ripening.Yield
	for i, year := range years {
		yields = r.season(year).Weeks(r.plans[most].Out.Rank, most, yields[:0])
		for w, y := range yields {
			out[w].grown[i] = grown{year.Season, y.Heat, y.SetBacks, y.Carried}
		}
	}
	for _, a := range out {
		a.kwh = r.usual.kwh // the pot goes out on the same day
	}
	return out
}

// askAll answers every line of a crop under a method.
func (k *kit) askAll(b *Book, t *Town, r *run, dated bool) {
	from := len(t.Odds)
	for c := range r.crop.cultivars {
		cu := &r.crop.cultivars[c]
		for p := range cu.parts {
			part := &cu.parts[p]
			o := r.usual.odds(cu, part)
			for i, at := range []*float64{&o.First15, &o.Last15} {
				if r.then[i] != nil && o.Reason == "" {
					*at = r.then[i].share(cu, part)
				}
			}
			t.Odds = append(t.Odds, o)
			t.noteUnkilled(r.usual, cu, part)
		}
	}
	r.curves(t.Odds[from:])
	if len(r.method.weeks) == 1 {
		return
	}
	var asks []*asking
	if dated {
		for at := range r.method.weeks {
			a := r.ask(r.place.weather.years, at)
			a.kwh = r.usual.kwh
			if at == 0 {
				a.energy() // a cold pot goes out on another day
			}
			asks = append(asks, a)
		}
	} else {
		cold := r.ask(r.place.weather.years, 0)
		cold.supplies = nil
		asks = append([]*asking{cold}, r.everyWeek()...)
	}
	for _, a := range asks {
		for c := range r.crop.cultivars {
			cu := &r.crop.cultivars[c]
			for p := range cu.parts {
				if dated {
					t.Weeks = append(t.Weeks, a.odds(cu, &cu.parts[p]))
				} else {
					t.Weeks = append(t.Weeks, a.briefly(cu, &cu.parts[p]))
				}
			}
		}
	}
}

// curves works out the curves of the best lines of a crop.
func (r *run) curves(odds []Odds) {
	a := r.usual
	if a.calendar == nil {
		return
	}
	type line struct {
		*Odds
		cultivar *cultivarKit
		part     *part
	}
	var best []line
	i := 0
	for c := range r.crop.cultivars {
		cu := &r.crop.cultivars[c]
		for p := range cu.parts {
			if o := &odds[i]; o.Reason == "" && o.Odds >= 0.05 {
				best = append(best, line{o, cu, &cu.parts[p]})
			}
			i++
		}
	}
	slices.SortStableFunc(best, func(a, b line) int { return cmp.Compare(b.Odds.Odds, a.Odds.Odds) })
	for _, l := range best[:min(curvesEach, len(best))] {
		years, q := a.yearsOf(l.cultivar, l.part), a.question(l.part)
		l.Curve = new(Curve)
		for i := range l.Curve {
			l.Curve[i] = float32(quantity.Step(ripening.RipeBy(years, a.calendar.On(RankAt(i)), q), 0.001))
		}
	}
}

// grown is what one season gave, without its days.
type grown struct {
	season            int
	heat              float64 // °C·d by the last ripening day
	setBacks, carried int
}

// asking is one crop under one method and head start, over a span of years.
type asking struct {
	*run
	weeks    int
	grown    []grown            // nil where no date can be planned
	supplies []ripening.Supply  // with their days; nil where no dates are asked
	kwh      []float64          // of the heater in each year; nil without one
	calendar *ripening.Calendar // of supplies, made when dates are first asked for
	asks     *effort            // once it is asked for
}

// line is what an answer says before it is worked out.
func (a *asking) line(cu *cultivarKit, p *part) Odds {
	o := Odds{Cultivar: string(cu.row.ID), Part: p.name, Method: string(a.method.row.ID), Weeks: a.weeks, Brebas: p.brebas,
		Reason: p.reason, Basis: p.basis, Reports: p.reports, Growers: p.growers, First15: nan, Last15: nan}
	for i := range o.FirstRipe {
		o.FirstRipe[i].None = true
	}
	if n := len(a.grown); n > 0 {
		e := a.effort()
		o.CarriedMean, o.CarriedP90, o.SetBacksPer10, o.KWhMean, o.KWhP90, o.Hours = e.carriedMean, e.carriedP90, e.setBacksPer10, e.kwhMean, e.kwhP90, e.hours
	} else if o.Reason == "" {
		o.Reason = NoYears
	}
	return o
}

// briefly answers one line with its odds alone: what it takes to tell what it
// would take.
func (a *asking) briefly(cu *cultivarKit, p *part) Odds {
	o := a.line(cu, p)
	if o.Reason == "" {
		o.Odds = a.share(cu, p)
	}
	return o
}

// odds answers one line; the days of first ripening where the supplies are
// there.
func (a *asking) odds(cu *cultivarKit, p *part) Odds {
	o := a.line(cu, p)
	if p.need.Mu != 0 && o.Reason != NoModel {
		o.Mu, o.Sd = quantity.Step(p.need.Mu, stepNeed), quantity.Step(p.need.Sd(), stepNeed)
	}
	if o.Reason != "" {
		return o
	}
	q := a.question(p)
	years := a.yearsOf(cu, p)
	ask := ripening.AskOdds
	if a.supplies != nil {
		ask = ripening.Ask
	}
	answer := ask(years, q)
	o.N = answer.N
	o.Years = climate.Span{First: a.grown[0].season, Last: a.grown[len(a.grown)-1].season}
	o.RipeYears = quantity.Step(answer.RipeYears, 0.1)
	o.Odds, o.Low, o.High = quantity.Step(answer.Odds, stepOdds), quantity.Step(answer.Low, stepOdds), quantity.Step(answer.High, stepOdds)
	o.Cool, o.Warm = quantity.Step(answer.Cool, stepOdds), quantity.Step(answer.Warm, stepOdds)
	o.CropShare = quantity.Step(answer.CropShare, stepOdds)
	o.Likelihood = ripening.Likelihood(o.Odds, p.growers, o.N)
	if a.supplies != nil {
		a.dates(&o, years, q)
	}
	return o
}

// share is the odds alone, to their step.
func (a *asking) share(cu *cultivarKit, p *part) float64 {
	if len(a.grown) == 0 {
		return nan
	}
	return quantity.Step(ripening.Share(a.yearsOf(cu, p), a.question(p)), stepOdds)
}

func (a *asking) question(p *part) ripening.Question {
	return ripening.Question{Need: p.need, Delay: p.delay + a.method.model.ExtraNeed, DiebackDelay: a.crop.model.DiebackDelay,
		OnOldWood: p.onOldWood, Spread: a.crop.model.CropSpread}
}

// effort is what a way of growing asks of the grower, whatever the cultivar.
type effort struct{ carriedMean, carriedP90, setBacksPer10, kwhMean, kwhP90, hours float64 }

// effort is worked out once.
func (a *asking) effort() *effort {
	if a.asks != nil {
		return a.asks
	}
	n := len(a.grown)
	e := &effort{}
	carried, setBacks := make([]float64, n), 0
	for i, s := range a.grown {
		carried[i] = float64(s.carried)
		setBacks += s.setBacks
	}
	e.carriedMean = quantity.Step(mean(carried), stepDays)
	slices.Sort(carried)
	e.carriedP90 = quantity.Step(climate.Quantile(carried, 0.9), 1)
	e.setBacksPer10 = quantity.Step(10*float64(setBacks)/float64(n), stepDays)
	if len(a.kwh) > 0 {
		kwh := slices.Clone(a.kwh)
		slices.Sort(kwh)
		e.kwhMean, e.kwhP90 = quantity.Step(mean(kwh), 1), quantity.Step(climate.Quantile(kwh, 0.9), 1)
	}
	e.hours = a.kit.hours(a.method, a.weeks, e.carriedMean)
	a.asks = e
	return e
}

func (a *asking) dates(o *Odds, years []ripening.YearOf, q ripening.Question) {
	if a.calendar == nil {
		a.calendar = ripening.NewCalendar(a.supplies)
	}
	from := day.Rank(1)
	for i, share := range [3]float64{0.1, 0.5, 0.9} {
		r, ok := a.calendar.FirstRipeFrom(from, years, q, share)
		if !ok {
			break // so many years never ripen, and no more do
		}
		o.FirstRipe[i], from = Point{Rank: r}, r
	}
}

// ending sums up why ripening ended, and the heat each year gave.
func (a *asking) ending() Ending {
	e := Ending{Method: string(a.method.row.ID), Crop: string(a.crop.row.ID)}
	for i := range e.LastDay {
		e.LastDay[i].None = true
	}
	var last, heat []float64
	for _, s := range a.supplies {
		switch s.Ended {
		case ripening.ByFreeze:
			e.Freeze++
		case ripening.ByCold:
			e.Cold++
		case ripening.ByShortDays:
			e.ShortDays++
		}
		last = append(last, float64(s.LastDay))
		heat = append(heat, s.Heat)
		e.HeatByYear = append(e.HeatByYear, YearHeat{Year: s.Season, Heat: quantity.Step(s.Heat, stepHeat), LeafOut: s.LeafOut, LastDay: s.LastDay, Ended: s.Ended.String()})
	}
	if len(last) > 0 {
		e.HeatMean = quantity.Step(mean(heat), stepNeed)
		slices.Sort(last)
		for i, p := range [3]float64{0.1, 0.5, 0.9} {
			// An end of season rounds to the earlier day, the cautious side.
			e.LastDay[i] = Point{Rank: day.Rank(floor(climate.Quantile(last, p)))}
		}
	}
	return e
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
