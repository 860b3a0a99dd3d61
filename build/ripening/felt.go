package ripening

import (
	"math"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// felt is one season as a method makes it felt. Days are places in the season;
// sums have one entry more, so that sum[i] is the heat of the days before i.
type felt struct {
	outdoor, outdoorSum []float64 // heat outdoors, °C·d
	bare                []float64 // heat in the open or the tent, before leaf-out
	leafed, leafedSum   []float64 // the same from leaf-out on: nights may be carried
	min, mean           []float64 // felt low and daily mean from leaf-out on, °C
	carried             []int16   // nights carried before this place; nil where never
	freezes             []int32   // places to 31 July with a low that kills young shoots
	august              int       // 1 August (S 1 February)
	last                int       // the last ripening day
	ended               Ended
}

// feel computes a season day by day. Missing days add no heat.
func feel(y *Year, c *Crop, m *Method) *felt {
	n := len(y.TMin)
	carries := !math.IsNaN(m.CarryBelow)
	f := newFelt(n, carries)
	f.august = y.Index(y.Hemisphere.RankOf(8, 1))
	for i := range n {
		f.day(i, y.TMin[i], y.TMax[i], c, m)
		f.outdoorSum[i+1] = f.outdoorSum[i] + f.outdoor[i]
		f.leafedSum[i+1] = f.leafedSum[i] + f.leafed[i]
		if carries {
			f.carried[i+1] = f.carried[i]
			if m.carries(y.TMin[i]) {
				f.carried[i+1]++
			}
		}
		if i < f.august && f.min[i] <= c.ShootDamage {
			f.freezes = append(f.freezes, int32(i))
		}
	}
	f.last, f.ended = f.lastDay(y, c)
	return f
}

// newFelt makes room for n days, in one block.
func newFelt(n int, carries bool) *felt {
	f := &felt{freezes: make([]int32, 0, n/2)}
	block := make([]float64, 7*n+2)
	take := func(k int) []float64 {
		s := block[:k:k]
		block = block[k:]
		return s
	}
	f.outdoor, f.outdoorSum = take(n), take(n+1)
	f.leafed, f.leafedSum = take(n), take(n+1)
	f.min, f.mean = take(n), take(n)
	f.bare = f.leafed
	if carries {
		f.bare = take(n)
		f.carried = make([]int16, n+1)
	}
	return f
}

// day fills in place i.
func (f *felt) day(i int, lo, hi float64, c *Crop, m *Method) {
	low := m.feltMin(lo, true)
	f.min[i] = low
	if math.IsNaN(lo) || math.IsNaN(hi) {
		f.mean[i] = math.NaN()
		return
	}
	f.outdoor[i] = c.heat(lo, hi)
	top := m.feltMax(hi)
	f.mean[i] = (low + top) / 2
	gain := func(low float64) float64 {
		switch {
		case i >= f.august && (low+top)/2 < c.RipeningFloor:
			return 0
		case low == lo && top == hi:
			return f.outdoor[i]
		}
		return c.heat(low, top)
	}
	f.leafed[i] = gain(low)
	if f.carried == nil {
		return // bare is the same slice
	}
	if at := m.feltMin(lo, false); at != low {
		f.bare[i] = gain(at)
	} else {
		f.bare[i] = f.leafed[i]
	}
}

// lastDay finds the last ripening day, as a place in the season, and what
// ended it. Nights count as carried: carrying lasts to that very day.
func (f *felt) lastDay(y *Year, c *Crop) (int, Ended) {
	last, ended := lastLongDay(y, f.august), ByShortDays
	if cold := max(lastWarmDay(f.mean, len(f.mean)-1, c.FruitEnd), f.august); cold <= last {
		last, ended = cold, ByCold
	}
	for i := f.august; i <= last; i++ {
		if f.min[i] <= c.ShootDamage {
			return i - 1, ByFreeze
		}
	}
	return last, ended
}

// tenHours is the day length that ends ripening (FAO-56 eq. 34, sun's centre
// on the horizon).
const tenHours = 10

// tanDeclination is the tangent of the sun's declination by day of the
// calendar year (1-366).
var tanDeclination = func() (t [367]float64) {
	for d := 1; d < len(t); d++ {
		t[d] = math.Tan(climate.Declination(d))
	}
	return t
}()

// cosTenHours is the cosine of the sunset hour angle of a day of ten hours.
var cosTenHours = math.Cos(math.Pi * tenHours / 24)

// lastLongDay returns the place of the day before the first one of ten hours or
// less from a place on. The sunset hour angle ω has cos ω = −tan φ tan δ
// (FAO-56 eq. 25), so no day needs an inverse cosine.
func lastLongDay(y *Year, from int) int {
	tan := math.Tan(y.Latitude * math.Pi / 180)
	for i := from; i < len(y.TMin); i++ {
		if -tan*tanDeclination[y.yearDay(i)] >= cosTenHours {
			return i - 1
		}
	}
	return len(y.TMin) - 1
}

// yearDay returns the day of the calendar year (1-366) of place i.
func (y *Year) yearDay(i int) int {
	if y.Hemisphere == day.North {
		return i + 1
	}
	first := 182 // 1 July
	if day.IsLeap(y.Season) {
		first++
	}
	if d, end := first+i, first+183; d > end {
		return d - end
	} else {
		return d
	}
}

// trailing is the number of days of the running mean that ends ripening.
const trailing = 10

// LastWarm returns the last day of season whose trailing 10-day outdoor mean
// is at or above limit (°C), and whether there is one.
func (y *Year) LastWarm(limit float64) (day.Rank, bool) {
	mean := make([]float64, len(y.TMin))
	for i := range mean {
		mean[i] = (y.TMin[i] + y.TMax[i]) / 2
	}
	i := lastWarmDay(mean, len(mean)-1, limit)
	return y.Rank(i), i >= 0
}

// lastWarmDay returns the last place up to end whose trailing mean is at or
// above limit, or -1. Missing days are left out of the mean; with fewer than
// half of them it is unknown, and not warm.
func lastWarmDay(mean []float64, end int, limit float64) int {
	sum, n := 0.0, 0
	for i := end; i >= 0; i-- {
		if v := mean[i]; v == v {
			sum += v
			n++
		}
		last := i + trailing - 1 // of the window that begins at i
		if last > end {
			continue
		}
		// The sum is compared, with room for the rounding of the running sum.
		if 2*n >= trailing && sum >= limit*float64(n)-1e-9 {
			return last
		}
		if v := mean[last]; v == v {
			sum -= v
			n--
		}
	}
	return -1
}

// trailingMean is the mean of the days up to i that lastWarmDay compares; NaN
// where too few are known.
func trailingMean(mean []float64, i int) float64 {
	sum, n := 0.0, 0
	for _, v := range mean[max(0, i-trailing+1) : i+1] {
		if v == v {
			sum += v
			n++
		}
	}
	if 2*n < trailing {
		return math.NaN()
	}
	return sum / float64(n)
}
