package almanac

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"ripeward/build/climate"
	"ripeward/build/needs"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// How the predictions are judged (SCIENCE 8).
const (
	scoreGrowers = 3      // fewer cannot be held out
	lastLookDays = 14     // a not-ripe report counts if its last look came so near the last ripening day
	z80          = 1.2816 // half of the 80 % band, in standard deviations
)

// otherBases are the base temperatures (°C) compared with the crop's own.
var otherBases = [...]float64{8, 10, 12, 15}

// call is one prediction of one report by one rule.
type call struct {
	odds     float64 // chance of ripe fruit by the last ripening day
	date     float64 // day of season of the first ripe fruit
	low, top float64 // of the 80 % band; +Inf where it is open
}

// trial is one held-out report with what the rules said of it.
type trial struct {
	s         *sighting
	seen      float64 // day of season of the first ripe fruit; NaN where it is no date
	ripe      float64 // 1 or 0; NaN where the report does not tell
	residual  float64 // heat seen less heat expected, °C·d; NaN where it is no date
	rules     [2][3]call
	predicted [2]bool // whether there is a prediction of either view
}

// score holds out one grower after another, predicts their reports by the
// others', and puts the outcome into the book.
func (g *Grow) score(l *lessons) {
	trials := g.holdOut(l, true)
	growers := map[string]bool{}
	for i, j := range l.learned.Judgements {
		if j.Verdict != needs.Held {
			growers[l.cases[i].who()] = true
		}
	}
	if len(growers) < scoreGrowers || len(trials) == 0 {
		return
	}
	s := &Score{Reports: len(trials), Growers: len(growers)}
	for v, id := range [2]string{"weather", "season"} {
		s.Views[v] = viewOf(id, v, trials)
	}
	s.Methods = residuals(trials)
	for _, base := range otherBases {
		s.Bases = append(s.Bases, g.scoreBase(l, base))
	}
	g.book.Score = s
}

// holdOut predicts every report that counts from the reports of the other
// growers; with plans also before the season.
func (g *Grow) holdOut(l *lessons, plans bool) []trial {
	trials := make([][]trial, len(l.byGrowers))
	work := func(grower int) {
		without := l.learned.Without(grower)
		var days *dayRule
		if plans {
			days = l.dayRuleWithout(grower)
		}
		for _, i := range l.byGrowers[grower] {
			if l.learned.Judgements[i].Verdict == needs.Held {
				continue
			}
			t := trial{s: l.cases[i]}
			t.observe()
			g.predict(l, &t, i, &without[l.seen[i].Need], days, plans)
			trials[grower] = append(trials[grower], t)
		}
	}
	for grower := range l.byGrowers {
		work(grower)
	}
	return slices.Concat(trials...)
}

// observe reads off a report what there is to predict.
func (t *trial) observe() {
	s := t.s
	h := s.supply.Year().Hemisphere
	t.seen, t.ripe, t.residual = nan, nan, nan
	last := s.supply.LastDay
	switch s.row.Outcome {
	case "ripe":
		t.seen = (float64(h.Rank(s.window.after)) + 1 + float64(h.Rank(s.window.until))) / 2
		t.ripe = 0
		if h.Rank(s.window.after) < last {
			t.ripe = 1
		}
	case "already-ripe":
		t.ripe = 1
	case "not-ripe":
		if int(last)-int(h.Rank(s.row.SeenOn.Date)) <= lastLookDays {
			t.ripe = 0
		}
	}
	if !s.whole { // whether it will ripen is not known yet
		t.ripe = nan
	}
}

// predict lets the three rules speak.
func (g *Grow) predict(l *lessons, t *trial, i int, e *needs.Estimate, days *dayRule, plans bool) {
	s := t.s
	prior := l.priors[l.seen[i].Need]
	ours := ripening.Need{Mu: e.Mu, SE: e.SE, GardenSd: e.GardenSd, YearSd: e.YearSd, VarLnSd: e.VarLnSd, CovMuLnSd: e.CovMuLnSd, Learned: e.Learned}
	row := ripening.Need{Mu: prior.Mu, SE: prior.SE, GardenSd: prior.GardenSd, YearSd: prior.YearSd}
	if o := l.seen[i]; o.Kind == needs.Exact || o.Kind == needs.Between {
		t.residual = (o.Lo+o.Hi)/2 - e.Mu
	}
	t.rules[0][0] = givenWeather(s, ours)
	t.rules[0][2] = givenWeather(s, row)
	t.predicted[0] = true
	if !plans {
		return
	}
	after, doubt, known := days.of(s)
	t.predicted[0] = known
	leaf, last := float64(s.supply.LeafOut), float64(s.supply.LastDay)
	t.rules[0][1] = call{odds: distuv.UnitNormal.CDF((last - leaf - after) / doubt), date: leaf + after, low: leaf + after - z80*doubt, top: leaf + after + z80*doubt}
	others, leafs, ok := g.planned(s)
	if !ok || !known {
		return
	}
	t.predicted[1] = true
	t.rules[1][0] = g.beforeSeason(s, ours, others)
	t.rules[1][2] = g.beforeSeason(s, row, others)
	c := &t.rules[1][1]
	for _, u := range others {
		c.odds += distuv.UnitNormal.CDF((float64(u.LastDay)-float64(u.LeafOut)-after)/doubt) / float64(len(others))
	}
	slices.Sort(leafs)
	mid := climate.Quantile(leafs, 0.5) + after
	spread := math.Hypot(doubt, climate.Quantile(leafs, 0.84)-climate.Quantile(leafs, 0.5))
	c.date, c.low, c.top = mid, mid-z80*spread, mid+z80*spread
}

// givenWeather predicts from the year's own weather and start.
func givenWeather(s *sighting, n ripening.Need) call {
	mu := n.Mu + s.delay
	sd := math.Sqrt(n.SE*n.SE + n.GardenSd*n.GardenSd + n.YearSd*n.YearSd + s.startSd*s.startSd)
	when := func(heat float64, never float64) float64 {
		if heat <= 0 {
			return float64(s.supply.LeafOut)
		}
		if r, ok := s.supply.RankWhen(heat); ok {
			return float64(r)
		}
		return never
	}
	last := float64(s.supply.LastDay)
	return call{odds: distuv.UnitNormal.CDF((s.supply.Heat - mu) / sd), date: when(mu, last), low: when(mu-z80*sd, last), top: when(mu+z80*sd, math.Inf(1))}
}

// planned follows the report's method, as planned, through the other reference
// years of its town.
func (g *Grow) planned(s *sighting) (others []ripening.Supply, leafs []float64, ok bool) {
	plan := s.place.anchors.plan(s.method, s.weeks)
	if !s.method.model.Ground && !plan.Out.OK {
		return nil, nil, false
	}
	for _, y := range s.place.weather.years {
		if y.Season == s.row.Year.Value {
			continue
		}
		u := ripening.NewSeason(y, s.model, &s.method.model).Supply(plan.Out.Rank, s.weeks)
		if u.Leafed {
			others = append(others, u)
			leafs = append(leafs, float64(u.LeafOut))
		}
	}
	return others, leafs, len(others) > 0
}

// beforeSeason predicts as the pages do, from plan and other years.
func (g *Grow) beforeSeason(s *sighting, n ripening.Need, others []ripening.Supply) call {
	q := ripening.Question{Need: n, Delay: s.delay, OnOldWood: s.part == "breba"}
	years := make([]ripening.YearOf, len(others))
	for i, u := range others {
		years[i] = ripening.YearOf{Heat: u.Heat, Lost: q.OnOldWood && u.SetBacks > 0}
	}
	c := call{odds: ripening.Ask(years, q).Odds, top: math.Inf(1)}
	last := 0.0
	for _, u := range others {
		last += float64(u.LastDay) / float64(len(others))
	}
	c.date, c.low = last, last
	for i, at := range []*float64{&c.low, &c.date, &c.top} {
		if r, ok := ripening.FirstRipe(others, years, q, [...]float64{0.1, 0.5, 0.9}[i]); ok {
			*at = float64(r)
		}
	}
	return c
}

// dayRule is the plain rule of a fixed number of days from leaf-out to the
// first ripe fruit: the median of a cultivar's reports, else of its class's,
// else of its crop's.
type dayRule struct {
	median map[string]float64
	doubt  float64 // standard deviation of a report about its median, days
}

func dayKeys(s *sighting) [3]string {
	return [3]string{"cultivar " + string(s.cultivar.row.ID) + " " + s.part, "class " + string(s.cultivar.row.ClassID) + " " + s.part, "crop " + string(s.crop.row.ID) + " " + s.part}
}

// dayRuleWithout makes the rule from the reports of all growers but one.
func (l *lessons) dayRuleWithout(grower int) *dayRule {
	days, growers := map[string][]float64{}, map[string]map[int]bool{}
	type one struct {
		keys [3]string
		days float64
	}
	var all []one
	for i, s := range l.cases {
		o := l.seen[i]
		if o.Grower == grower || l.learned.Judgements[i].Verdict == needs.Held || s.row.Outcome != "ripe" || !s.supply.Leafed {
			continue
		}
		t := trial{s: s}
		t.observe()
		d := one{dayKeys(s), t.seen - float64(s.supply.LeafOut)}
		all = append(all, d)
		for _, k := range d.keys {
			days[k] = append(days[k], d.days)
			if growers[k] == nil {
				growers[k] = map[int]bool{}
			}
			growers[k][o.Grower] = true
		}
	}
	r := &dayRule{median: map[string]float64{}}
	for k, v := range days {
		if len(growers[k]) < scoreGrowers {
			continue
		}
		slices.Sort(v)
		r.median[k] = climate.Quantile(v, 0.5)
	}
	sum, n := 0.0, 0
	for _, d := range all {
		if m, ok := r.pick(d.keys); ok {
			sum += (d.days - m) * (d.days - m)
			n++
		}
	}
	if n > 1 {
		r.doubt = math.Sqrt(sum / float64(n-1))
	}
	return r
}

func (r *dayRule) pick(keys [3]string) (float64, bool) {
	for _, k := range keys {
		if m, ok := r.median[k]; ok {
			return m, true
		}
	}
	return 0, false
}

// of returns the rule's days for a report, and their doubt.
func (r *dayRule) of(s *sighting) (days, doubt float64, ok bool) {
	days, ok = r.pick(dayKeys(s))
	return days, r.doubt, ok && r.doubt > 0 && s.supply.Leafed
}

// viewOf scores the three rules on the same reports.
func viewOf(id string, view int, trials []trial) View {
	v := View{ID: id}
	for k, name := range [3]string{RuleOurs, RuleDays, RuleRow} {
		v.Rules = append(v.Rules, scoreRule(name, view, k, trials))
	}
	ours := v.Rules[0]
	for k := 1; k < 3; k++ {
		v.Rules[k].Beaten = beaten(ours, v.Rules[k])
	}
	v.Reliability = reliability(view, trials)
	return v
}

// beaten tells whether ours beats a rule: lower in both scores (SCIENCE 8).
func beaten(ours, rule RuleScore) string {
	switch {
	case ours.Brier < rule.Brier && ours.MedianError < rule.MedianError:
		return "yes"
	case ours.Brier == rule.Brier && ours.MedianError == rule.MedianError:
		return "tie"
	}
	return "no"
}

func scoreRule(name string, view, k int, trials []trial) RuleScore {
	r := RuleScore{Rule: name}
	var errors []float64
	inside := 0
	for i := range trials {
		t := &trials[i]
		if !t.predicted[view] {
			continue
		}
		c := t.rules[view][k]
		if t.ripe == t.ripe {
			r.Chances++
			r.Brier += (c.odds - t.ripe) * (c.odds - t.ripe)
		}
		// The same reports for every rule: those that ours gave a date.
		if t.seen == t.seen && t.rules[view][0].odds >= 0.5 {
			r.Dates++
			errors = append(errors, math.Abs(c.date-t.seen))
			r.Bias += c.date - t.seen
			if c.low <= t.seen && t.seen <= c.top {
				inside++
			}
		}
	}
	if r.Chances > 0 {
		r.Brier = quantity.Step(r.Brier/float64(r.Chances), 0.001)
	}
	if r.Dates > 0 {
		slices.Sort(errors)
		r.MedianError = quantity.Step(climate.Quantile(errors, 0.5), 0.1)
		r.Bias = quantity.Step(r.Bias/float64(r.Dates), 0.1)
		r.Coverage = quantity.Step(float64(inside)/float64(r.Dates), stepOdds)
	}
	return r
}

// reliability groups our chances in bands of a fifth.
func reliability(view int, trials []trial) []Reliability {
	const bands = 5
	out := make([]Reliability, bands)
	for i := range trials {
		t := &trials[i]
		if !t.predicted[view] || t.ripe != t.ripe {
			continue
		}
		p := t.rules[view][0].odds
		b := &out[min(int(p*bands), bands-1)]
		b.N++
		b.Said += p
		b.Ripe += t.ripe
	}
	for i := range out {
		b := &out[i]
		b.From, b.To = float64(i)/bands, float64(i+1)/bands
		if b.N > 0 {
			b.Said, b.Ripe = quantity.Step(b.Said/float64(b.N), stepOdds), quantity.Step(b.Ripe/float64(b.N), stepOdds)
		}
	}
	return out
}

// residuals tells by method how much more heat fruit took than expected.
func residuals(trials []trial) []MethodResidual {
	heat, days := map[string][]float64{}, map[string][]float64{}
	for i := range trials {
		t := &trials[i]
		if t.residual != t.residual || t.seen != t.seen {
			continue
		}
		m := string(t.s.method.row.ID)
		heat[m] = append(heat[m], t.residual)
		days[m] = append(days[m], t.seen-t.rules[0][0].date)
	}
	var out []MethodResidual
	for m, h := range heat {
		r := MethodResidual{Method: m, N: len(h)}
		centre := mean(h)
		r.Mean, r.MeanDays = quantity.Step(centre, stepNeed), quantity.Step(mean(days[m]), stepDays)
		half := math.Inf(1)
		if n := len(h); n > 1 {
			sum := 0.0
			for _, x := range h {
				sum += (x - centre) * (x - centre)
			}
			t := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}
			half = t.Quantile(0.95) * math.Sqrt(sum/float64(n-1)/float64(n))
		}
		r.Low, r.High = quantity.Step(centre-half, stepNeed), quantity.Step(centre+half, stepNeed)
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b MethodResidual) int { return cmp.Compare(a.Method, b.Method) })
	return out
}

// scoreBase scores the needs as they would be above another base: every heat
// of the crop and every prior scaled by how much heat a season has above that
// base.
func (g *Grow) scoreBase(own *lessons, base float64) BaseScore {
	out := BaseScore{BaseC: base, Used: base == g.kit.reference.model.Base}
	l := own
	if !out.Used {
		l = &lessons{keys: own.keys, place: own.place, growers: own.growers, priors: slices.Clone(own.priors), byGrowers: make([][]int, len(own.byGrowers))}
		scale := map[*cropKit]float64{}
		for i, s := range own.cases {
			if own.learned.Judgements[i].Verdict == needs.Held {
				continue
			}
			if scale[s.crop] == 0 {
				scale[s.crop] = own.heatRatio(s.crop, base)
			}
			again := *s
			again.rebase(base, scale[s.crop])
			again.supply = ripening.NewSeason(s.supply.Year(), again.model, &s.method.model).SupplyFrom(g.outOf(s), s.weeks, s.start)
			if again.heat() != nil {
				again.low, again.high = s.low*scale[s.crop], s.high*scale[s.crop]
			}
			o := again.observation(own.seen[i].Need, own.seen[i].Grower)
			o.Kept = true // the same reports for every base
			l.byGrowers[o.Grower] = append(l.byGrowers[o.Grower], len(l.cases))
			l.cases = append(l.cases, &again)
			l.seen = append(l.seen, o)
		}
		for i, k := range own.keys {
			_, ck := g.kit.cultivar(k.cultivar)
			if r := scale[ck]; r != 0 {
				p := &l.priors[i]
				p.Mu, p.SE, p.GardenSd, p.YearSd = p.Mu*r, p.SE*r, p.GardenSd*r, p.YearSd*r
			}
		}
		var err error
		if l.learned, err = needs.Learn(l.priors, l.seen, needs.Options{UnreportedFailures: true}); err != nil {
			return out
		}
	}
	r := scoreRule(RuleOurs, 0, 0, g.holdOut(l, false))
	out.Dates, out.MedianError, out.Brier = r.Dates, r.MedianError, r.Brier
	return out
}

// heatRatio is the heat of a crop's reported seasons above another base, as a
// share of that above its own.
func (l *lessons) heatRatio(ck *cropKit, base float64) float64 {
	own, other := 0.0, 0.0
	for _, s := range l.cases {
		if s.crop == ck && s.whole {
			y := s.supply.Year()
			own += heatBetween(y, ck.model.Base, ck.model.Upper, 365)
			other += heatBetween(y, base, ck.model.Upper, 365)
		}
	}
	if own == 0 {
		return 1
	}
	return other / own
}

// rebase gives a report its crop's limits above another base.
func (s *sighting) rebase(base, scale float64) {
	m := *s.model
	m.Base = base
	m.LeafOutHeat *= scale
	m.BrebaDelay *= scale
	m.DiebackDelay *= scale
	m.CropSpread *= scale
	s.model = &m
	s.startSd *= scale
}
