package ripening

import (
	"math"

	"ripeward/build/day"
)

// Ended says what ended ripening in a season.
type Ended int8

const (
	ByFreeze    Ended = iota // a felt low at or below the shoot-damage limit
	ByCold                   // the 10-day mean fell below the crop's limit for good
	ByShortDays              // days of 10 hours or less
)

func (e Ended) String() string { return [...]string{"freeze", "cold", "short-days"}[e] }

// Supply is what a method gave a tree in one season.
type Supply struct {
	Season int
	// LeafOut and LastDay are days of season; LeafOut may lie before the
	// season (below 1) and is meaningless where Leafed is false.
	Leafed           bool
	LeafOut, LastDay day.Rank
	Ended            Ended
	// Heat is H at the end of the last ripening day, °C·d.
	Heat     float64
	SetBacks int // felt freezes that took the young shoots, before 1 August
	Carried  int // nights carried indoors
	// byDay is H at the end of each day of the season, zero before the last
	// set-back so that it never falls.
	byDay []float64
	year  *Year
}

// HeatAt returns H at the end of day of season r, °C·d, counted from leaf-out
// (or from the last set-back) and never past the last ripening day.
func (s *Supply) HeatAt(r day.Rank) float64 {
	i := s.year.Index(r)
	if i < 0 || len(s.byDay) == 0 {
		return 0
	}
	return s.byDay[min(i, len(s.byDay)-1)]
}

// RankWhen returns the first day of season on which H reaches heat.
func (s *Supply) RankWhen(heat float64) (day.Rank, bool) {
	for i, h := range s.byDay {
		if h >= heat && h > 0 {
			return s.year.Rank(i), true
		}
	}
	return 0, false
}

// LastRankWith returns the last day of season after which at least heat was
// still supplied by the last ripening day.
func (s *Supply) LastRankWith(heat float64) (day.Rank, bool) {
	for i := len(s.byDay) - 1; i >= 0; i-- {
		if s.byDay[i] > 0 && s.Heat-s.byDay[i] >= heat {
			return s.year.Rank(i), true
		}
	}
	return 0, false
}

// halfRefill is the share of the leaf-out heat that new shoots need after a
// set-back (judgement).
const halfRefill = 0.5

// Season prepares one season under a method, so that every head start can be
// asked of it.
type Season struct {
	year   *Year
	crop   *Crop
	method *Method
	felt   *felt
}

// NewSeason computes the felt season once for all head starts.
func NewSeason(y *Year, c *Crop, m *Method) *Season {
	return &Season{year: y, crop: c, method: m, felt: feel(y, c, m)}
}

// Supply follows the tree through the season. out is the day the pot goes out
// (ignored in the ground), weeks the head start indoors before it: at 0 weeks,
// or for a method that wakes naturally, the tree wakes by the outdoor heat
// from the season's first day, in its store too.
func (s *Season) Supply(out day.Rank, weeks int) Supply {
	y, c, m, f := s.year, s.crop, s.method, s.felt
	r := Supply{Season: y.Season, year: y}
	outAt := 0
	if !m.Ground {
		outAt = y.Index(out)
	}
	from := 0
	headStart := m.Planned && weeks > 0
	if headStart {
		from = outAt - 7*weeks
	}
	indoorGain := m.IndoorShare * c.heat(m.IndoorC, m.IndoorC)

	last, ended := s.lastDay()
	r.LastDay, r.Ended = y.Rank(last), ended
	r.byDay = make([]float64, len(y.TMin))

	need := c.LeafOutHeat // still to fill before H counts
	filled, h := 0.0, 0.0
	refilling := false
	growing := need <= 0
	if growing {
		r.Leafed, r.LeafOut = true, y.Rank(from)
	}
	firstOfH := 0
	for i := from; i <= last; i++ {
		outdoors := i >= outAt
		carry := 0
		if outdoors && r.Leafed {
			carry = 1
			if m.carries(y.TMin[i]) {
				r.Carried++
			}
		}
		var gain float64
		switch {
		case outdoors:
			gain = f.gain[carry][i]
		case headStart:
			gain = indoorGain
		case i >= 0:
			gain = f.outdoor[i]
		}
		if outdoors && growing && i <= f.july31 && f.min[carry][i] <= c.ShootDamage {
			// The day's own heat is lost with the shoots.
			r.SetBacks++
			growing, refilling, filled, h = false, true, 0, 0
			need = halfRefill * c.LeafOutHeat
			firstOfH = i + 1
			continue
		}
		if growing {
			h += gain
		} else if filled += gain; filled >= need {
			growing = true
			if !refilling {
				r.Leafed, r.LeafOut = true, y.Rank(i)
			}
			refilling = false
		}
		if i >= 0 {
			r.byDay[i] = h
		}
	}
	for i := 0; i < firstOfH && i < len(r.byDay); i++ {
		r.byDay[i] = 0
	}
	for i := max(last+1, 0); i < len(r.byDay); i++ {
		r.byDay[i] = h
	}
	r.Heat = h
	return r
}

// lastDay finds the last ripening day, as a place in the season, and what
// ended it. Nights count as carried: carrying lasts to that very day.
func (s *Season) lastDay() (int, Ended) {
	c, f := s.crop, s.felt
	last, ended := f.shortDay, ByShortDays
	if cold := max(lastWarmDay(f.mean[1], f.decemberEnd, c.FruitEnd), f.august); cold <= last {
		last, ended = cold, ByCold
	}
	for i := f.august; i <= last; i++ {
		if f.min[1][i] <= c.ShootDamage {
			return i - 1, ByFreeze
		}
	}
	return last, ended
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
	for i := end; i >= trailing-1; i-- {
		sum, n := 0.0, 0
		for _, v := range mean[i-trailing+1 : i+1] {
			if !math.IsNaN(v) {
				sum += v
				n++
			}
		}
		// The sum is compared, with room for the rounding of ten additions.
		if 2*n >= trailing && sum >= limit*float64(n)-1e-9 {
			return i
		}
	}
	return -1
}
