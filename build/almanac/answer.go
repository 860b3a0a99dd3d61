package almanac

import (
	"cmp"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
	"ripeward/build/winter"
)

// answer fills in all that depends on crops and methods: plans, odds, winter
// losses, endings and tasks.
func (k *kit) answer(b *Book, t *Town, w *weather) {
	a := anchorsOf(t, w)
	for i := range k.methods {
		m := &k.methods[i]
		plans := make([]ripening.Plan, len(m.weeks))
		for j, weeks := range m.weeks {
			plans[j] = a.plan(m, weeks)
		}
		for _, ck := range k.cropOrder {
			seasons := make([]*ripening.Season, len(w.years))
			for y := range w.years {
				seasons[y] = ripening.NewSeason(w.years[y], &ck.model, &m.model)
			}
			for j, weeks := range m.weeks {
				isDefault := weeks == m.defaultWeeks()
				supplies := make([]ripening.Supply, len(seasons))
				for y, s := range seasons {
					supplies[y] = s.Supply(plans[j].Out.Rank, weeks)
				}
				ask := asking{kit: k, crop: ck, method: m, weeks: weeks, weather: w, supplies: supplies}
				if !m.model.Ground && !plans[j].Out.OK {
					ask.supplies = nil // no date to plan by: nothing is said
				}
				for c := range ck.cultivars {
					cu := &ck.cultivars[c]
					for p := range cu.parts {
						o := ask.odds(cu, &cu.parts[p], isDefault)
						if isDefault {
							t.Odds = append(t.Odds, o)
						}
						if len(m.weeks) > 1 {
							o.Curve = nil
							t.Weeks = append(t.Weeks, o)
						}
					}
				}
				if isDefault && ck == k.reference {
					t.Endings = append(t.Endings, ask.ending())
					t.Plans = append(t.Plans, planOf(m, plans[j]))
					a.supplies[string(m.row.ID)] = supplies
				}
			}
			if m.model.Ground {
				for c := range ck.cultivars {
					if loss, ok := winterLoss(ck, &ck.cultivars[c], m, w, b.Span); ok {
						t.Winters = append(t.Winters, loss)
					}
				}
			}
		}
	}
	slices.SortStableFunc(t.Odds, compareOdds)
	slices.SortStableFunc(t.Weeks, compareOdds)
	slices.SortStableFunc(t.Winters, func(a, b WinterLoss) int {
		return cmp.Or(cmp.Compare(a.Cultivar, b.Cultivar), cmp.Compare(a.Method, b.Method))
	})
	t.Tasks = k.tasks(b, t, w, a)
}

func compareOdds(a, b Odds) int {
	return cmp.Or(cmp.Compare(a.Cultivar, b.Cultivar), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Method, b.Method),
		cmp.Compare(a.Weeks, b.Weeks), cmp.Compare(a.Brebas, b.Brebas))
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

// asking is one crop under one method and head start, over all years.
type asking struct {
	kit      *kit
	crop     *cropKit
	method   *methodKit
	weeks    int
	weather  *weather
	supplies []ripening.Supply
}

// odds answers one line. The days of first ripening and the curve are worked
// out only where full is set.
func (a *asking) odds(cu *cultivarKit, p *part, full bool) Odds {
	o := Odds{Cultivar: string(cu.row.ID), Part: p.name, Method: string(a.method.row.ID), Weeks: a.weeks, Brebas: p.brebas,
		Reason: p.reason, Basis: p.basis}
	for i := range o.FirstRipe {
		o.FirstRipe[i].None = true
	}
	carried := make([]float64, len(a.supplies))
	setBacks := 0
	for i, s := range a.supplies {
		carried[i] = float64(s.Carried)
		setBacks += s.SetBacks
	}
	if n := len(a.supplies); n > 0 {
		o.CarriedMean = quantity.Step(mean(carried), stepDays)
		slices.Sort(carried)
		o.CarriedP90 = quantity.Step(climate.Quantile(carried, 0.9), 1)
		o.SetBacksPer10 = quantity.Step(10*float64(setBacks)/float64(n), stepDays)
		o.Hours = a.kit.hours(a.method, a.weeks, o.CarriedMean)
	}
	if p.need.Mu != 0 && o.Reason != NoModel {
		o.Mu, o.Sd = quantity.Step(p.need.Mu, stepNeed), quantity.Step(p.need.Sd(), stepNeed)
	}
	if o.Reason == "" && len(a.supplies) == 0 {
		o.Reason = NoYears
	}
	if o.Reason != "" {
		return o
	}
	q := ripening.Question{Need: p.need, Delay: p.delay + a.method.model.ExtraNeed, DiebackDelay: a.crop.model.DiebackDelay,
		OnOldWood: p.onOldWood, Spread: a.crop.model.CropSpread}
	years := a.yearsOf(cu, p)
	answer := ripening.Ask(years, q)
	o.N = answer.N
	o.Years = climate.Span{First: a.supplies[0].Season, Last: a.supplies[len(a.supplies)-1].Season}
	o.RipeYears = quantity.Step(answer.RipeYears, 0.1)
	o.Odds, o.Low, o.High = quantity.Step(answer.Odds, stepOdds), quantity.Step(answer.Low, stepOdds), quantity.Step(answer.High, stepOdds)
	o.Cool, o.Warm = quantity.Step(answer.Cool, stepOdds), quantity.Step(answer.Warm, stepOdds)
	o.CropShare = quantity.Step(answer.CropShare, stepOdds)
	o.Likelihood = ripening.Likelihood(o.Odds, 0, o.N)
	if !full {
		return o
	}
	for i, share := range [3]float64{0.1, 0.5, 0.9} {
		if r, ok := ripening.FirstRipe(a.supplies, years, q, share); ok {
			o.FirstRipe[i] = Point{Rank: r}
		}
	}
	heat := make([]float64, len(a.supplies))
	o.Curve = new(Curve)
	for i := range o.Curve {
		for j := range a.supplies {
			heat[j] = a.supplies[j].HeatAt(RankAt(i))
		}
		o.Curve[i] = float32(quantity.Step(ripening.RipeBy(years, heat, q), 0.001))
	}
	return o
}

// yearsOf joins the heat of each year with the winter before it. A winter
// whose lowest temperature is not known takes the mean chance of the others.
func (a *asking) yearsOf(cu *cultivarKit, p *part) []ripening.YearOf {
	years := make([]ripening.YearOf, len(a.supplies))
	for i, s := range a.supplies {
		years[i] = ripening.YearOf{Heat: s.Heat, Lost: p.onOldWood && s.SetBacks > 0}
	}
	wood, cover, ok := a.wood(cu)
	if !ok {
		return years
	}
	sum, n := 0.0, 0
	for i := range years {
		if low := a.weather.winterLow[i]; low == low {
			years[i].Kill = winter.Kill(low, wood, cover)
			sum += years[i].Kill
			n++
		}
	}
	for i := range years {
		if low := a.weather.winterLow[i]; low != low && n > 0 {
			years[i].Kill = sum / float64(n)
		}
	}
	return years
}

func (a *asking) wood(cu *cultivarKit) (winter.Wood, winter.Cover, bool) {
	return woodOf(a.crop, cu, a.method)
}

// woodOf returns a cultivar's hardiness and a ground method's cover; false for
// pots, whose store is not modelled, and for wood of unknown hardiness.
func woodOf(ck *cropKit, cu *cultivarKit, m *methodKit) (winter.Wood, winter.Cover, bool) {
	if !m.model.Ground || !cu.row.WoodKillC.Set {
		return winter.Wood{}, winter.Cover{}, false
	}
	return winter.Wood{KillC: cu.row.WoodKillC.Value, SdC: ck.row.WoodKillSdC.Or(0)},
		winter.Cover{LowC: m.row.WinterGainLowC.Or(0), HighC: m.row.WinterGainHighC.Or(0)}, true
}

func winterLoss(ck *cropKit, cu *cultivarKit, m *methodKit, w *weather, span climate.Span) (WinterLoss, bool) {
	wood, cover, ok := woodOf(ck, cu, m)
	if !ok {
		return WinterLoss{}, false
	}
	loss := WinterLoss{Cultivar: string(cu.row.ID), Method: string(m.row.ID)}
	var lows []float64
	for _, l := range w.allLows {
		if winter.Kill(l.low, wood, cover) >= 0.5 {
			loss.LastKillWinter = l.year
		}
		if span.Has(l.year) {
			lows = append(lows, l.low)
		}
	}
	if len(lows) == 0 {
		return WinterLoss{}, false
	}
	least, most := winter.Range(lows, wood, cover)
	loss.KillLow, loss.KillHigh = quantity.Step(least, stepOdds), quantity.Step(most, stepOdds)
	return loss, true
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
