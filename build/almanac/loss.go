package almanac

import (
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
	"ripeward/build/winter"
)

// yearsOf joins the heat of each year with the winter before it. A winter
// whose lowest temperature is not known takes the mean chance of the others.
// The slice is the run's own: it holds until the next call.
func (a *asking) yearsOf(cu *cultivarKit, p *part) []ripening.YearOf {
	years := a.room[:0]
	kills := a.kills(cu)
	for i := range a.grown {
		s := &a.grown[i]
		y := ripening.YearOf{Heat: s.heat, Lost: p.onOldWood && s.setBacks > 0}
		if kills != nil {
			y.Kill = kills[i]
		}
		years = append(years, y)
	}
	a.room = years
	return years
}

// killKey is what the chances of winter kill rest on within a town.
type killKey struct {
	wood           winter.Wood
	cover          winter.Cover
	store          string // with the crop; blank outdoors
	first, last, n int    // seasons
}

// kills are the chances that winter kills a cultivar's wood before each of the
// seasons asked for; nil where it takes nothing. Many cultivars are equally
// hardy, so a town works each out once.
func (a *asking) kills(cu *cultivarKit) []float64 {
	wood, cover, ok := woodOf(a.crop, cu, a.method)
	if !ok || len(a.grown) == 0 {
		return nil
	}
	key := killKey{wood: wood, cover: cover, first: a.grown[0].season, last: a.grown[len(a.grown)-1].season, n: len(a.grown)}
	lowOf := a.place.weather.low
	if !a.method.model.Ground {
		if a.method.row.StoreID == "" {
			return nil // winter takes nothing, and pages say so
		}
		if a.store == "" {
			a.store = string(a.method.row.StoreID) + " " + string(a.crop.row.ID)
		}
		key.store = a.store
	}
	if kills, done := a.place.kills[key]; done {
		return kills
	}
	if key.store != "" {
		lowOf = a.kit.storeLow(a.place, a.crop, a.method)
	}
	var kills []float64
	if lowOf != nil {
		kills = make([]float64, len(a.grown))
		sum, n := 0.0, 0
		for i := range kills {
			kills[i] = nan
			if low := lowOf(a.grown[i].season); low == low {
				kills[i] = winter.Kill(low, wood, cover)
				sum += kills[i]
				n++
			}
		}
		for i := range kills {
			if kills[i] != kills[i] {
				kills[i] = 0
				if n > 0 {
					kills[i] = sum / float64(n)
				}
			}
		}
	}
	if a.place.kills == nil {
		a.place.kills = map[killKey][]float64{}
	}
	a.place.kills[key] = kills
	return kills
}

// storeLow returns the lowest temperature (°C) that a crop's pots met in their
// method's store in the winter before a season, NaN where it is not known; nil
// for a method without a store: then winter takes nothing, and pages say so.
func (k *kit) storeLow(p *place, ck *cropKit, m *methodKit) func(season int) float64 {
	if m.row.StoreID == "" {
		return nil
	}
	key := string(m.row.StoreID) + " " + string(ck.row.ID)
	lows, done := p.storeLows[key]
	if !done {
		lows = k.storeLowsOf(p, ck, m.row.StoreID)
		if p.storeLows == nil {
			p.storeLows = map[string]map[int]float64{}
		}
		p.storeLows[key] = lows
	}
	if lows == nil {
		return nil
	}
	return func(season int) float64 {
		if low, ok := lows[season]; ok {
			return low
		}
		return nan
	}
}

func (k *kit) storeLowsOf(p *place, ck *cropKit, id club.Text) map[int]float64 {
	annual, out := annualMean(&p.town), p.anchors.byName["dormant_out"]
	in, ok := moveIn(p, ck)
	row := k.club.Store(id)
	if row == nil || annual != annual || !out.OK || !ok {
		return nil
	}
	f := k.follow(p, row, annual)
	h := p.weather.hemisphere
	lows := map[int]float64{}
	for season, days := range f.bare {
		if s := days.Stay(h.InSeason(season-1, in), h.InSeason(season, out.Rank), h.Start(season), winter.Crop{}); s.Days > 0 {
			lows[season] = s.LowestC
		}
	}
	return lows
}

// woodOf returns a cultivar's hardiness and a method's cover, none for pots;
// false for wood of unknown hardiness.
func woodOf(ck *cropKit, cu *cultivarKit, m *methodKit) (winter.Wood, winter.Cover, bool) {
	if !cu.row.WoodKillC.Set {
		return winter.Wood{}, winter.Cover{}, false
	}
	if !m.model.Ground {
		return winter.Wood{KillC: cu.row.WoodKillC.Value, SdC: ck.row.WoodKillSdC.Or(0)}, winter.Cover{}, true
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
