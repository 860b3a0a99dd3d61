package climate

import (
	"math"
	"slices"
)

// IntervalLevel is the level of the intervals of percentiles.
const IntervalLevel = 0.9

// TrendYears is how few years with a value make a trend: below it the normal
// approximation of Mann-Kendall does not hold (Gilbert 1987, from memory).
const TrendYears = 10

// Normals returns every measure of Measures(heatBase), in that order, over the
// seasons that lie in span. Figures are not rounded, except dates: a date is a
// rank of the season, and its mean, percentiles and intervals
// are whole ranks, rounded to the cautious side (spring later, autumn
// earlier).
//
// Percentiles are type 7 quantiles. A season without a freeze stands before
// all dates in spring and after all in autumn; a percentile with any weight on
// such a season is Point.None, so that "10 % of seasons" always means of all
// valid seasons (Thom's two-part rule gives the same shares). Mean and trend
// of dates are those of the years with a freeze. Intervals are order
// statistics, see OrderInterval; an end that the sample is too small to bound
// is not OK. A trend needs TrendYears years. The hardiness zone has Zone, from
// the unrounded mean of winter_min_c, and nothing else.
func Normals(seasons []Season, span Span, heatBase float64) []Normal {
	var in []*Season
	for i := range seasons {
		if span.Has(seasons[i].Year) {
			in = append(in, &seasons[i])
		}
	}
	ms := Measures(heatBase)
	w := worker{span: span, intervals: map[int]*[9][2]int{}}
	out := make([]Normal, len(ms))
	var winter *Normal
	for i := range ms {
		n := &out[i]
		*n = Normal{Measure: ms[i].Name, Unit: ms[i].Unit, Kind: ms[i].Kind, Span: span}
		switch ms[i].Kind {
		case Zone:
			if winter != nil {
				n.Years, n.YearsWith, n.Enough = winter.Years, winter.YearsWith, winter.Enough
				if winter.Mean.OK {
					n.Zone = HardinessZone(winter.Mean.V)
				}
			}
		default:
			w.normal(n, &ms[i], in)
		}
		if n.Measure == "winter_min_c" {
			winter = n
		}
	}
	return out
}

// worker holds what the measures of one call share.
type worker struct {
	span      Span
	years, ys []float64          // the years with a value, and the values, in order of time
	sorted    []float64          // values sorted; dates of seasons without a freeze as ±Inf
	slopes    []float64          // scratch for the trend
	intervals map[int]*[9][2]int // by sample size, ends for 10, 20 ... 90 %
}

func (w *worker) normal(n *Normal, m *Measure, seasons []*Season) {
	w.years, w.ys, w.sorted = w.years[:0], w.ys[:0], w.sorted[:0]
	for _, s := range seasons {
		v, never, ok := m.at(s)
		if !ok {
			continue
		}
		n.Years++
		w.sorted = append(w.sorted, v)
		if !never {
			w.years, w.ys = append(w.years, float64(s.Year)), append(w.ys, v)
		}
	}
	n.YearsWith = len(w.ys)
	n.Enough = EnoughYears(n.Years, w.span)
	if n.Years == 0 {
		return
	}
	slices.Sort(w.sorted)
	for i := range n.P {
		n.P[i] = percentile(w.sorted, 10*(i+1), m.Kind)
	}
	ends, known := w.intervals[n.Years]
	if !known {
		ends = new([9][2]int)
		for i := range ends {
			ends[i][0], ends[i][1] = OrderInterval(n.Years, float64(10*(i+1))/100, IntervalLevel)
		}
		w.intervals[n.Years] = ends
	}
	for i, e := range ends {
		n.Low[i], n.High[i] = w.order(e[0]), w.order(e[1])
	}
	if len(w.ys) == 0 {
		return
	}
	sum := 0.0
	for _, v := range w.ys {
		sum += v
	}
	n.Mean = Value{cautious(sum/float64(len(w.ys)), m.Kind), true}
	if len(w.ys) >= TrendYears {
		w.slopes = pairSlopes(w.years, w.ys, w.slopes[:0])
		slope := medianInPlace(w.slopes)
		_, _, _, p := MannKendall(w.ys)
		n.Trend, n.TrendP = Value{10 * slope, true}, Value{p, true}
	}
}

// at returns the measure's value in a season; a season without such a freeze
// is never, with -Inf in spring and +Inf in autumn.
func (m *Measure) at(s *Season) (v float64, never, ok bool) {
	if !m.IsDate() {
		x := m.Value(s)
		return x.V, false, x.OK
	}
	switch f := m.Freeze(s); {
	case f.Outcome == Found:
		return float64(f.Rank), false, true
	case f.Outcome == Never && m.Kind == SpringFreeze:
		return math.Inf(-1), true, true
	case f.Outcome == Never:
		return math.Inf(1), true, true
	}
	return 0, false, false
}

// percentile is the type 7 quantile of percent, a multiple of 10. The place in
// the sample is kept in whole tenths, so that no rounding error gives a
// neighbour a weight or moves a date by a day.
func percentile(sorted []float64, percent int, k Kind) Point {
	place := (len(sorted) - 1) * percent / 10 // tenths of a step between values
	j, tenths := place/10, place%10
	lo := sorted[j]
	if tenths == 0 {
		return datePoint(lo)
	}
	hi := sorted[j+1]
	if math.IsInf(lo, 0) || math.IsInf(hi, 0) {
		return Point{None: true, OK: true}
	}
	if k == SpringFreeze || k == AutumnFreeze {
		step := (hi - lo) * float64(tenths) // whole tenths of a day
		if k == SpringFreeze {
			return Point{V: lo + math.Ceil(step/10), OK: true}
		}
		return Point{V: lo + math.Floor(step/10), OK: true}
	}
	return Point{V: lo + (hi-lo)*float64(tenths)/10, OK: true}
}

// order is the order statistic of number k, not OK for 0.
func (w *worker) order(k int) Point {
	if k == 0 {
		return Point{}
	}
	return datePoint(w.sorted[k-1])
}

func datePoint(v float64) Point {
	if math.IsInf(v, 0) {
		return Point{None: true, OK: true}
	}
	return Point{V: v, OK: true}
}

// cautious rounds a mean date to whole days: spring later, autumn earlier.
func cautious(v float64, k Kind) float64 {
	switch k {
	case SpringFreeze:
		return math.Ceil(v)
	case AutumnFreeze:
		return math.Floor(v)
	}
	return v
}
