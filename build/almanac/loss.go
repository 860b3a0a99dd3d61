package almanac

import (
	"ripeward/build/climate"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
	"ripeward/build/winter"
)

// yearsOf joins the heat of each year with the winter before it. A winter
// whose lowest temperature is not known takes the mean chance of the others.
func (a *asking) yearsOf(cu *cultivarKit, p *part) []ripening.YearOf {
	years := make([]ripening.YearOf, len(a.grown))
	for i, s := range a.grown {
		years[i] = ripening.YearOf{Heat: s.heat, Lost: p.onOldWood && s.setBacks > 0}
	}
	wood, cover, ok := woodOf(a.crop, cu, a.method)
	if !ok {
		return years
	}
	sum, n := 0.0, 0
	for i := range years {
		if low := a.place.weather.low(a.grown[i].season); low == low {
			years[i].Kill = winter.Kill(low, wood, cover)
			sum += years[i].Kill
			n++
		}
	}
	for i := range years {
		if low := a.place.weather.low(a.grown[i].season); low != low && n > 0 {
			years[i].Kill = sum / float64(n)
		}
	}
	return years
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

// energy works out what the heater draws each year, from the day the pot goes
// out to the last ripening day (SCIENCE 9). Without a known latitude there are
// no hours, and no energy.
func (a *asking) energy() {
	m := a.method
	a.kwh = nil
	if !m.row.HeatFloorC.Set || len(a.supplies) == 0 {
		return
	}
	tent := winter.Tent{AreaM2: m.row.TentAreaM2.Or(0), VolumeM3: m.row.TentVolumeM3.Or(0), U: m.row.TentU.Or(0),
		AirChangesH: m.row.AirChangesH.Or(0), SunShare: m.row.SunShare.Or(0), HeaterW: m.row.HeaterW.Or(0)}
	out := a.place.anchors.plan(m, a.weeks).Out.Rank
	for i := range a.supplies {
		s := &a.supplies[i]
		h := s.Year().Hemisphere
		from, days := h.InSeason(s.Season, out), 0
		if s.LastDay >= out {
			days = int(s.LastDay-out) + 1
		}
		hours, ok := climate.HourlyTemperatures(&a.place.daily, from, days)
		if !ok {
			return
		}
		a.kwh = append(a.kwh, tent.Energy(hours, climate.SunUp(a.place.daily.Latitude, from, days), m.row.HeatFloorC.Value).KWh)
	}
}
