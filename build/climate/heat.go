package climate

import (
	"math"

	"ripeward/build/quantity"
)

// HeatSeries returns Tmin and Tmax in °C for each day of a season, 365 or 366
// of them, gaps of at most HeatSum.MaxRun days filled linearly per element;
// NaN where still missing. filled counts the single values so filled. valid is
// the rule for heat sums, the policy HeatSum: in March-October (S
// September-April) at most 10 days without Tmin or Tmax, and none left after
// filling. Filled Tmin and Tmax may cross; SineDegreeDays takes that.
func HeatSeries(d *Daily, season int) (tmin, tmax []float64, filled int, valid bool) {
	c := calendarOf(d.Hemisphere, season)
	h := c.hemisphere
	tmin, tmax = make([]float64, c.n), make([]float64, c.n)
	filled, valid = heatDays(d, int(h.Start(season)-d.First), c, tmin, tmax)
	return tmin, tmax, filled, valid
}

// heatDays fills tmin and tmax, c.n long, for the season that starts at offset
// at of the record.
func heatDays(d *Daily, at int, c *calendar, tmin, tmax []float64) (filled int, valid bool) {
	filled = fillLinear(d.TMin, at, tmin) + fillLinear(d.TMax, at, tmax)
	missing := 0
	for i := c.spring; i < c.heatEnd; i++ {
		k := at + i
		if k < 0 || k >= len(d.TMin) || d.TMin[k] == quantity.Missing || d.TMax[k] == quantity.Missing {
			missing++
		}
		if math.IsNaN(tmin[i]) || math.IsNaN(tmax[i]) {
			return filled, false
		}
	}
	return filled, missing <= HeatSum.MaxMissing
}

// fillLinear writes from[at:at+len(to)] to to, in °C. A gap of at most
// HeatSum.MaxRun days between two values is filled on the straight line
// between them, also across the ends of the stretch; other missing days and
// those outside the record are NaN. It returns how many days it filled.
func fillLinear(from []quantity.Tenths, at int, to []float64) (filled int) {
	for i := range to {
		k := at + i
		if k < 0 || k >= len(from) {
			to[i] = math.NaN()
			continue
		}
		if v := from[k]; v != quantity.Missing {
			to[i] = float64(v) / 10
			continue
		}
		// before and after are the values around the gap.
		before, after := k-1, k+1
		for before >= 0 && from[before] == quantity.Missing && k-before <= HeatSum.MaxRun {
			before--
		}
		for after < len(from) && from[after] == quantity.Missing && after-k <= HeatSum.MaxRun {
			after++
		}
		if before < 0 || after >= len(from) || after-before-1 > HeatSum.MaxRun {
			to[i] = math.NaN()
			continue
		}
		a, b := float64(from[before]), float64(from[after])
		to[i] = (a + (b-a)*float64(k-before)/float64(after-before)) / 10
		filled++
	}
	return filled
}

// heatSum sets the heat sums. They run over the whole season; a day missing
// outside March-October adds nothing.
func (r *record) heatSum(s *Season, c *calendar, at int) {
	tmin, tmax := r.heatMin[:c.n], r.heatMax[:c.n]
	filled, valid := heatDays(r.Daily, at, c, tmin, tmax)
	s.HeatFilled = filled
	if !valid {
		return
	}
	var sine, mean float64
	for i, lo := range tmin {
		hi := tmax[i]
		if math.IsNaN(lo) || math.IsNaN(hi) {
			continue
		}
		sine += SineDegreeDays(lo, hi, r.heat.Base, r.heat.Upper)
		mean += MeanDegreeDays(lo, hi, r.heat.Base, r.heat.Upper)
	}
	s.Heat, s.HeatMean = Value{sine, true}, Value{mean, true}
	if r.heat.Mean {
		s.Heat = s.HeatMean
	}
}
