package almanac

import (
	"math"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/winter"
)

// TentStart is what heating a tent takes from a start date on, to the last
// ripening day of the club's first crop (SCIENCE 9).
type TentStart struct {
	Method  string
	Start   day.Rank
	KWhMean float64 // a year, to 1
	KWhP90  float64 // not exceeded in 9 years of 10, to 1
	PeakW   float64 // most that the heater draws, W to 10
	NeedW   float64 // most that holding the floor would take in 9 years of 10, W to 10
	Short   float64 // nights a year, mean, on which the heater cannot hold it; to 0.1
	Cost    float64 // of the mean year, in the club's currency, to 1
}

// heated is one method's heating, day by day of each reference year.
type heated struct {
	kwh, peak, need [][]float64 // by year, then place in the season
	short           [][]bool
}

// tent returns a method's tent.
func (m *methodKit) tent() winter.Tent {
	return winter.Tent{AreaM2: m.row.TentAreaM2.Or(0), VolumeM3: m.row.TentVolumeM3.Or(0), U: m.row.TentU.Or(0),
		AirChangesH: m.row.AirChangesH.Or(0), SunShare: m.row.SunShare.Or(0), HeaterW: m.row.HeaterW.Or(0)}
}

// heating works out what a method's heater draws on every day of the reference
// years; nil for a method without a heater, or where the latitude is unknown.
func (p *place) heating(m *methodKit) *heated {
	if !m.row.HeatFloorC.Set {
		return nil
	}
	id := string(m.row.ID)
	if h, done := p.heatings[id]; done {
		return h
	}
	if p.heatings == nil {
		p.heatings = map[string]*heated{}
	}
	p.heatings[id] = nil
	h := &heated{}
	tent := m.tent()
	for _, y := range p.weather.years {
		n := len(y.TMin)
		hours, up, ok := p.hours(y.Start(), n)
		if !ok {
			return nil
		}
		kwh, peak, need, short := make([]float64, n), make([]float64, n), make([]float64, n), make([]bool, n)
		for i := range n {
			x := tent.Energy(hours[24*i:24*i+24], up[24*i:24*i+24], m.row.HeatFloorC.Value)
			kwh[i], peak[i], need[i], short[i] = x.KWh, x.PeakW, x.NeedW, x.ShortHours > 0
		}
		h.kwh, h.peak, h.need, h.short = append(h.kwh, kwh), append(h.peak, peak), append(h.need, need), append(h.short, short)
	}
	p.heatings[id] = h
	return h
}

// energy works out what the heater draws each year, from the day the pot goes
// out to the last ripening day.
func (a *asking) energy() {
	h := a.place.heating(a.method)
	a.kwh = nil
	if h == nil || len(a.supplies) != len(h.kwh) {
		return
	}
	out := a.place.anchors.plan(a.method, a.weeks).Out.Rank
	for i := range a.supplies {
		y := a.supplies[i].Year()
		sum := 0.0
		for d := max(y.Index(out), 0); d <= y.Index(a.supplies[i].LastDay) && d < len(h.kwh[i]); d++ {
			sum += h.kwh[i][d]
		}
		a.kwh = append(a.kwh, sum)
	}
}

// tentStarts are the dates a tent's heating is priced from: the 1st and 15th of
// the months from February to June (S August to December).
func tentStarts(h day.Hemisphere) []day.Rank {
	var out []day.Rank
	for m := 2; m <= 5; m++ {
		out = append(out, h.RankOf(m, 1), h.RankOf(m, 15))
	}
	return append(out, h.RankOf(6, 1))
}

// tents prices the heated tents of a town by start date.
func (k *kit) tents(b *Book, p *place) {
	t := &p.town
	for i := range k.methods {
		m := &k.methods[i]
		h := p.heating(m)
		last := lastDays(p.anchors, m)
		if h == nil || len(last) != len(h.kwh) {
			continue
		}
		for _, start := range tentStarts(t.Hemisphere) {
			t.Tents = append(t.Tents, h.from(m, start, last, p, b.Club.Settings.EnergyPrice))
		}
	}
}

// lastDays returns the last ripening day of each reference year under a method.
func lastDays(a *anchors, m *methodKit) []day.Rank {
	var out []day.Rank
	for _, s := range a.supplies[string(m.row.ID)] {
		out = append(out, s.LastDay)
	}
	return out
}

func (h *heated) from(m *methodKit, start day.Rank, last []day.Rank, p *place, price float64) TentStart {
	s := TentStart{Method: string(m.row.ID), Start: start}
	var kwh, need []float64
	short := 0
	for i, y := range p.weather.years {
		sum, most := 0.0, 0.0
		for d := max(y.Index(start), 0); d <= y.Index(last[i]) && d < len(h.kwh[i]); d++ {
			sum += h.kwh[i][d]
			most = math.Max(most, h.need[i][d])
			s.PeakW = math.Max(s.PeakW, h.peak[i][d])
			if h.short[i][d] {
				short++
			}
		}
		kwh, need = append(kwh, sum), append(need, most)
	}
	s.KWhMean = quantity.Step(mean(kwh), 1)
	s.Cost = quantity.Step(s.KWhMean*price, 1)
	slices.Sort(kwh)
	slices.Sort(need)
	s.KWhP90, s.NeedW = quantity.Step(climate.Quantile(kwh, 0.9), 1), quantity.Step(climate.Quantile(need, 0.9), 10)
	s.PeakW, s.Short = quantity.Step(s.PeakW, 10), quantity.Step(float64(short)/float64(len(last)), stepDays)
	return s
}
