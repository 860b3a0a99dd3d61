package climate

import (
	"math"

	"ripeward/build/quantity"
)

// Placed is a station's record and where it was taken: degrees, m.
type Placed struct {
	ID                           string
	Latitude, Longitude, HeightM float64
	Daily                        *Daily
	Seasons                      []Season // of Daily, where they are known already
}

// Comparison says how far predicted figures lay from measured ones over the
// years that had both: predicted minus measured.
type Comparison struct {
	Years     int
	Bias, MAE float64 // mean and mean absolute error; 0 where Years is 0
}

// add takes in one year.
func (c *Comparison) add(predicted, measured float64) {
	n := float64(c.Years)
	c.Bias = (c.Bias*n + predicted - measured) / (n + 1)
	c.MAE = (c.MAE*n + math.Abs(predicted-measured)) / (n + 1)
	c.Years++
}

// pool takes in the years of another comparison.
func (c *Comparison) pool(o Comparison) {
	if n := float64(c.Years + o.Years); n > 0 {
		c.Bias = (c.Bias*float64(c.Years) + o.Bias*float64(o.Years)) / n
		c.MAE = (c.MAE*float64(c.Years) + o.MAE*float64(o.Years)) / n
		c.Years += o.Years
	}
}

// LeftOut is how well one station was predicted from another.
type LeftOut struct {
	ID, Lead            string // Lead is empty where no other station would do
	DistanceKm, HeightM float64
	LastFreeze          Comparison // last spring freeze at 0 °C, days
	FirstFreeze         Comparison // first autumn freeze at 0 °C, days
	OneSided            int        // freezes that only one of the two had
	Heat                Comparison // °C·d
	WinterMin           Comparison // °C
}

// LeaveOneOut predicts each station as if it were a town without a record of
// its own: from the lead that ChooseLead takes among the others, moved by the
// lapse rate in °C per km as ShiftFor has it, without offsets. Predicted and
// measured seasons are compared over the years of span in which both are valid.
// Stations come back in their order.
func LeaveOneOut(stations []Placed, lapseCPerKm float64, span Span, o HeatOptions) []LeftOut {
	own := make([][]Season, len(stations))
	valid := make([]int, len(stations))
	for i := range stations {
		if own[i] = stations[i].Seasons; own[i] == nil {
			own[i] = Seasons(stations[i].Daily, o)
		}
		for k := range own[i] {
			if own[i][k].Heat.OK {
				valid[i]++
			}
		}
	}
	out := make([]LeftOut, len(stations))
	for i := range stations {
		a := &stations[i]
		out[i].ID = a.ID
		var others []int
		var rated []Candidate
		for k := range stations {
			if b := &stations[k]; k != i {
				others = append(others, k)
				rated = append(rated, Candidate{ID: b.ID, ValidYears: valid[k], HeightM: a.HeightM - b.HeightM,
					DistanceKm: DistanceKm(a.Latitude, a.Longitude, b.Latitude, b.Longitude)})
			}
		}
		lead, _ := ChooseLead(rated)
		if lead < 0 {
			continue
		}
		k := others[lead]
		out[i].Lead, out[i].DistanceKm, out[i].HeightM = stations[k].ID, rated[lead].DistanceKm, rated[lead].HeightM
		predicted := own[k]
		if shift := ShiftFor(lapseCPerKm, rated[lead].HeightM, 0, 0); shift != (Shift{}) {
			moved := Move(stations[k].Daily, shift)
			moved.Latitude = Latitude{} // no chill: it is not compared
			predicted = Seasons(&moved, o)
		}
		out[i].compare(predicted, own[i], span)
	}
	return out
}

// compare sets the comparisons; both slices are in order of years.
func (l *LeftOut) compare(predicted, measured []Season, span Span) {
	for len(predicted) > 0 && len(measured) > 0 {
		p, m := &predicted[0], &measured[0]
		if p.Year <= m.Year {
			predicted = predicted[1:]
		}
		if m.Year <= p.Year {
			measured = measured[1:]
		}
		if p.Year != m.Year || !span.Has(p.Year) {
			continue
		}
		l.freeze(&l.LastFreeze, p.Last[Zero], m.Last[Zero])
		l.freeze(&l.FirstFreeze, p.First[Zero], m.First[Zero])
		if p.Heat.OK && m.Heat.OK {
			l.Heat.add(p.Heat.V, m.Heat.V)
		}
		if p.WinterMin.OK && m.WinterMin.OK {
			l.WinterMin.add(p.WinterMin.V, m.WinterMin.V)
		}
	}
}

func (l *LeftOut) freeze(c *Comparison, predicted, measured Freeze) {
	switch {
	case predicted.Outcome == Invalid || measured.Outcome == Invalid:
	case predicted.Outcome == Found && measured.Outcome == Found:
		c.add(float64(predicted.Rank), float64(measured.Rank))
	case predicted.Outcome != measured.Outcome:
		l.OneSided++
	}
}

// Pool returns the errors of several stations together, each year of each
// counting once: those of a zone. ID and Lead of the result are empty, its
// distance and height are the means of the stations that had a lead, height
// without its sign.
func Pool(parts []LeftOut) LeftOut {
	var all LeftOut
	n := 0.0
	for i := range parts {
		p := &parts[i]
		all.LastFreeze.pool(p.LastFreeze)
		all.FirstFreeze.pool(p.FirstFreeze)
		all.Heat.pool(p.Heat)
		all.WinterMin.pool(p.WinterMin)
		all.OneSided += p.OneSided
		if p.Lead != "" {
			n++
			all.DistanceKm += p.DistanceKm
			all.HeightM += math.Abs(p.HeightM)
		}
	}
	if n > 0 {
		all.DistanceKm /= n
		all.HeightM /= n
	}
	return all
}

// Lapse is a lapse rate as the stations have it, to be shown beside the one
// that is used.
type Lapse struct {
	CPerKm   float64 // fall of the yearly mean Tmax with height
	Stations int     // that took part
	RangeM   float64 // between the highest and the lowest of them
	OK       bool    // at least LapseStations
}

// LapseStations is how few stations make a fitted lapse rate: through two, any
// line fits (judgement).
const LapseStations = 3

// FittedLapse returns the slope of the yearly mean Tmax against height by least
// squares within years: each year's means are taken from that year's stations,
// so that stations need not have the same years. A yearly mean is that of
// twelve valid monthly means.
func FittedLapse(stations []Placed, span Span) Lapse {
	type point struct {
		station   int
		height, t float64
	}
	byYear := make([][]point, max(0, span.Years()))
	for i := range stations {
		s := &stations[i]
		if math.IsNaN(s.HeightM) {
			continue
		}
		for y := span.First; y <= span.Last; y++ {
			if t, ok := yearlyTMax(s.Daily, y); ok {
				byYear[y-span.First] = append(byYear[y-span.First], point{i, s.HeightM, t})
			}
		}
	}
	var above, below float64
	took := make([]bool, len(stations))
	for _, year := range byYear {
		if len(year) < 2 {
			continue
		}
		var h, t float64
		for _, p := range year {
			h += p.height / float64(len(year))
			t += p.t / float64(len(year))
		}
		for _, p := range year {
			above += (p.height - h) * (p.t - t)
			below += (p.height - h) * (p.height - h)
			took[p.station] = true
		}
	}
	var l Lapse
	lowest, highest := math.Inf(1), math.Inf(-1)
	for i, yes := range took {
		if yes {
			l.Stations++
			lowest, highest = min(lowest, stations[i].HeightM), max(highest, stations[i].HeightM)
		}
	}
	if l.Stations > 0 {
		l.RangeM = highest - lowest
	}
	if l.OK = l.Stations >= LapseStations && below > 0; l.OK {
		l.CPerKm = -1000 * above / below
	}
	return l
}

// yearlyTMax is the mean of the twelve monthly mean Tmax of a season, °C.
func yearlyTMax(d *Daily, y int) (mean12 float64, ok bool) {
	c := calendarOf(d.Hemisphere, y)
	var buffer [366]quantity.Tenths
	days := window(d.TMax, int(c.hemisphere.Start(y)-d.First), c.n, buffer[:])
	for k := range 12 {
		m := mean(days[c.starts[k]:c.starts[k+1]], MonthlyMean)
		if !m.OK {
			return 0, false
		}
		mean12 += m.V / 12
	}
	return mean12, true
}
