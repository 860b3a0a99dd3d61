package ripening

import (
	"math"

	"ripeward/build/day"
)

// Anchor is a date that a plan hangs on: a day of season, or none.
type Anchor struct {
	Rank day.Rank
	OK   bool
}

// Plus moves an anchor by days.
func (a Anchor) Plus(days int) Anchor { return Anchor{a.Rank + day.Rank(days), a.OK} }

// Plan holds a method's dates: percentiles of the reference years, as a grower
// would plan, never the year's own weather.
type Plan struct {
	Weeks                                int
	DormantOut, HardenOff, Out, Wake, In Anchor
}

// hardenDays is how long leafed plants are hardened off before they stay out.
const hardenDays = 14

// MakePlan returns the plan of a pot method. dormantOut is the 1-in-10 last
// date of Tmin ≤ -4.4 °C; leafedOut and in are the method's own anchors with
// their offsets, already applied. At 0 weeks the pot is a cold pot: out with
// the dormant ones, waking by itself.
func MakePlan(dormantOut, leafedOut, in Anchor, planned bool, weeks int) Plan {
	p := Plan{Weeks: weeks, DormantOut: dormantOut, In: in}
	if !planned || weeks == 0 {
		p.Weeks = 0
		p.Out = dormantOut
		return p
	}
	p.Out = leafedOut
	p.HardenOff = leafedOut.Plus(-hardenDays)
	p.Wake = leafedOut.Plus(-7 * weeks)
	return p
}

// warmEnough is the normal 10-day mean (°C) at which pots go out where a place
// has no such freeze.
const warmEnough = 10

// NormalMean10 returns, for each day of season (index rank−1), the mean over
// years of the outdoor daily mean, averaged over the 10 days up to that day;
// NaN where nothing is known. Windows reach back into the season's end.
func NormalMean10(years []*Year) [365]float64 {
	var sum, count [365]float64
	for _, y := range years {
		for i := range y.TMin {
			if v := (y.TMin[i] + y.TMax[i]) / 2; !math.IsNaN(v) {
				r := y.Rank(i) - 1
				sum[r] += v
				count[r]++
			}
		}
	}
	var out [365]float64
	for r := range out {
		var s, n float64
		for k := range trailing {
			j := (r - k + 365) % 365
			if count[j] > 0 {
				s += sum[j] / count[j]
				n++
			}
		}
		out[r] = math.NaN()
		if n > 0 {
			out[r] = s / n
		}
	}
	return out
}

// FirstWarm returns the fall-back date for a place without the freeze that a
// plan asks for: the first day the normal 10-day mean reaches 10 °C, not
// before 15 February (S 15 August).
func FirstWarm(h day.Hemisphere, mean10 [365]float64) Anchor {
	for r := h.RankOf(2, 15); r <= 365; r++ {
		if mean10[r-1] >= warmEnough {
			return Anchor{r, true}
		}
	}
	return Anchor{}
}
