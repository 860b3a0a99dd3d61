package climate

import (
	"math"
	"slices"
)

// HeatYears is the heat gathered by the end of each day of season, °C·d, index
// rank - 1, in a normal, a warm and a cool year.
//
// Each curve is taken day by day over the years: the median, the sum that one
// year in ten reaches or passes (the 90 % point), the one that one in ten stays
// at or below (the 10 % point), all type 7. So a curve is no single year, but
// on each day the chances are as said, and no curve ever falls.
type HeatYears struct {
	Years              int  // years with a valid heat sum
	Enough             bool // at least 80 % of the span
	Normal, Warm, Cool [365]float64
}

// HeatByDay returns the heat by day over the years of span whose heat sum the
// policy HeatSum accepts; ok is false where there are none. 29 February adds to
// the 28th. A day missing outside March-October adds nothing, as in
// Season.Heat, whose value each year's sum ends with.
func HeatByDay(d *Daily, span Span, o HeatOptions) (h HeatYears, ok bool) {
	var sums [][365]float64
	var tmin, tmax [366]float64
	for y := span.First; y <= span.Last; y++ {
		c := calendarOf(d.Hemisphere, y)
		lo, hi := tmin[:c.n], tmax[:c.n]
		if _, valid := heatDays(d, int(c.hemisphere.Start(y)-d.First), c, lo, hi); !valid {
			continue
		}
		var year [365]float64
		sum := 0.0
		for i, a := range lo {
			if b := hi[i]; !math.IsNaN(a) && !math.IsNaN(b) {
				sum += o.degreeDays(a, b)
			}
			year[c.rank[i]-1] = sum
		}
		sums = append(sums, year)
	}
	h.Years = len(sums)
	h.Enough = EnoughYears(h.Years, span)
	if h.Years == 0 {
		return h, false
	}
	column := make([]float64, len(sums))
	for i := range h.Normal {
		for k := range sums {
			column[k] = sums[k][i]
		}
		slices.Sort(column)
		h.Cool[i], h.Normal[i], h.Warm[i] = Quantile(column, 0.1), Quantile(column, 0.5), Quantile(column, 0.9)
	}
	return h, true
}

// degreeDays is one day's heat by the method of o.
func (o HeatOptions) degreeDays(tmin, tmax float64) float64 {
	if o.Mean {
		return MeanDegreeDays(tmin, tmax, o.Base, o.Upper)
	}
	return SineDegreeDays(tmin, tmax, o.Base, o.Upper)
}
