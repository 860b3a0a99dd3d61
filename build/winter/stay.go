package winter

import (
	"math"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// Crop is what a crop asks of a store, °C: to stay between LowC and HighC. The
// rest tells when it wakes there: Heat (°C·d) above BaseC with the cut-off
// UpperC (+Inf: none). A crop without Heat (0 or NaN) is not said to wake.
type Crop struct{ LowC, HighC, BaseC, UpperC, Heat float64 }

// Stay is one winter of a pot in its store.
type Stay struct {
	Days         int      // with a known temperature
	Missing      int      // without
	LowestC      float64  // NaN where no day is known
	Coldest      day.Date // the first day with it
	Below, Above int      // days that went below the crop's low, above its high
	Wakes        day.Date // None: not in the store
}

// Stay looks at the days from the move in to the move out, both included. A day
// is below if its lowest is below the crop's low, above if its highest is above
// the crop's high.
//
// The crop wakes in its store on the day on which the heat in it since the
// season's first day, by the single sine, fills the crop's Heat. That is the
// heat and the start that a naturally waking pot's leaf-out has (SCIENCE 5), with
// the store's temperatures; that a tree in the dark keeps to it is judgement.
// Growers' reports, "above 10 °C for weeks wakes early", go with it.
func (d *Days) Stay(in, out, season day.Date, c Crop) Stay {
	s := Stay{LowestC: math.NaN(), Coldest: day.None, Wakes: day.None}
	heat := 0.0
	for at := in; at <= out; at++ {
		i := int(at - d.First)
		if i < 0 || i >= len(d.Low) || d.Low[i] != d.Low[i] {
			s.Missing++
			continue
		}
		s.Days++
		low, high := d.Low[i], d.High[i]
		if !(s.LowestC <= low) {
			s.LowestC, s.Coldest = low, at
		}
		if low < c.LowC {
			s.Below++
		}
		if high > c.HighC {
			s.Above++
		}
		if at < season || s.Wakes != day.None || !(c.Heat > 0) {
			continue
		}
		if heat += climate.SineDegreeDays(low, high, c.BaseC, c.UpperC); heat >= c.Heat {
			s.Wakes = at
		}
	}
	return s
}

// Winters sums up several stays: percentiles of type 7 (WMO-No. 1203, 4.5) over
// the winters, and how many of them had it at all.
type Winters struct {
	Winters                                int
	LowestP10, LowestP50                   float64 // °C; in one winter of ten it is at or below the first
	BelowP50, BelowP90, AboveP50, AboveP90 float64 // days a winter
	WithBelow, WithAbove, Woken            int     // winters with such a day, woken in the store
	// WakesP10 and WakesP50 are the day of the season by which it has woken in
	// one winter of ten and in one of two, fractions cut; 0: it does not.
	WakesP10, WakesP50 day.Rank
}

// Summarise sums up stays of valid winters; which are valid is the caller's to
// say (as for the winter minimum, SCIENCE 2). Stays without a known day are
// left out.
func Summarise(stays []Stay, h day.Hemisphere) Winters {
	var w Winters
	var lowest, below, above, wakes []float64
	for _, s := range stays {
		if s.Days == 0 {
			continue
		}
		w.Winters++
		lowest = append(lowest, s.LowestC)
		below = append(below, float64(s.Below))
		above = append(above, float64(s.Above))
		w.WithBelow += min(s.Below, 1)
		w.WithAbove += min(s.Above, 1)
		wakes = append(wakes, math.Inf(1))
		if s.Wakes != day.None {
			w.Woken++
			wakes[len(wakes)-1] = float64(h.Rank(s.Wakes))
		}
	}
	for _, x := range [][]float64{lowest, below, above, wakes} {
		slices.Sort(x)
	}
	w.LowestP10, w.LowestP50 = climate.Quantile(lowest, 0.1), climate.Quantile(lowest, 0.5)
	w.BelowP50, w.BelowP90 = climate.Quantile(below, 0.5), climate.Quantile(below, 0.9)
	w.AboveP50, w.AboveP90 = climate.Quantile(above, 0.5), climate.Quantile(above, 0.9)
	w.WakesP10, w.WakesP50 = wakeRank(wakes, 0.1), wakeRank(wakes, 0.5)
	return w
}

// wakeRank is a percentile with winters without waking after all others; with
// weight on one of those there is none.
func wakeRank(sorted []float64, p float64) day.Rank {
	q := climate.Quantile(sorted, p)
	if math.IsNaN(q) || math.IsInf(q, 1) {
		return 0
	}
	return day.Rank(q)
}
