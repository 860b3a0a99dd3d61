package climate

import (
	"math"
	"sync"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// ChillingHour tells whether an hour at t °C counts as a chilling hour: 0 to
// 7.2 °C, both included (Bennett 1949; Weinberger 1950, with the lower bound of
// later use).
func ChillingHour(t float64) bool { return t >= 0 && t <= 7.2 }

// utahLimits are the upper limits, included, in tenths of °C, and the half
// units of the hours up to each; above the last an hour counts -1 unit.
var utahLimits = [...]struct {
	limit     float64
	halfUnits int
}{{14, 0}, {24, 1}, {91, 2}, {124, 1}, {159, 0}, {180, -1}}

// utahHalfUnits returns twice the chill of an hour in Utah units (Richardson,
// Seeley & Walker 1974, HortScience 9:331-332).
func utahHalfUnits(tenths float64) int {
	for _, l := range utahLimits {
		if tenths <= l.limit {
			return l.halfUnits
		}
	}
	return -2
}

// The constants of the Dynamic Model (Fishman, Erez & Couvillon 1987, J. Theor.
// Biol. 124:473-483 and 126:309-321; Erez et al. 1990, Acta Hort. 276:165-174).
const (
	dynE0    = 4153.5   // K
	dynE1    = 12888.8  // K
	dynA0    = 139500   // h-1
	dynA1    = 2.567e18 // h-1
	dynSlope = 1.6
	dynTf    = 277 // K
	dynZero  = 273 // K at 0 °C, as the model was fitted
)

// dynamicHour is what an hour at one temperature does to the intermediate
// product x of the Dynamic Model: x becomes gain + keep·x, and once it has
// reached 1 the share bank of it turns into chill portions for good.
type dynamicHour struct{ gain, keep, bank float64 }

func dynamicAt(celsius float64) dynamicHour {
	k := celsius + dynZero
	xs := dynA0 / dynA1 * math.Exp((dynE1-dynE0)/k)
	keep := math.Exp(-dynA1 * math.Exp(-dynE1/k))
	s := math.Exp(dynSlope * dynTf * (k - dynTf) / k)
	return dynamicHour{xs * (1 - keep), keep, s / (1 + s)}
}

// step moves the intermediate product by an hour and returns it with the
// portion that was banked, most often 0.
func (e dynamicHour) step(x float64) (moved, portion float64) {
	x = e.gain + e.keep*x
	if x >= 1 {
		portion = x * e.bank
		x -= portion
	}
	return x, portion
}

// chillRange is how far from 0 °C, in tenths, the tables of chill reach; what
// lies beyond counts as their ends.
const chillRange = 600

// chillTables has the chill of an hour by its temperature in tenths of °C.
type chillTables struct {
	// dynamic is by tenths, i standing for i - chillRange, each with what it
	// changes by to the next: between tenths the table is read linearly. Whole
	// tenths alone would move the hour at which a portion is banked, and a
	// winter's sum by up to 1 %.
	dynamic [2*chillRange + 1]struct{ at, by dynamicHour }
	// counts is by whole tenths, so that a limit given in tenths parts two
	// entries: i is temperatures above chillRange - i - 1 and up to chillRange
	// - i. A chilling hour at 0 °C itself is not in it.
	counts [2*chillRange + 1]struct{ hours, halfUnits int8 }
}

// chillTable is made once: the exponentials of the Dynamic Model would cost far
// more than reading a record.
var chillTable = sync.OnceValue(func() *chillTables {
	var t chillTables
	for i := range t.dynamic {
		e, next := dynamicAt(float64(i-chillRange)/10), dynamicAt(float64(i+1-chillRange)/10)
		t.dynamic[i].at = e
		t.dynamic[i].by = dynamicHour{next.gain - e.gain, next.keep - e.keep, next.bank - e.bank}
		top := float64(chillRange - i)
		t.counts[i].halfUnits = int8(utahHalfUnits(top))
		if top > 0 && ChillingHour(top/10) {
			t.counts[i].hours = 1
		}
	}
	return &t
})

// chillSum adds up the three measures of chill, hour by hour.
type chillSum struct {
	tables           *chillTables
	last             dynamicHour // of the hour before
	x, portions      float64
	hours, halfUnits int
}

func newChillSum() chillSum {
	return chillSum{tables: chillTable(), last: dynamicHour{keep: 1}}
}

// day adds 24 hours, in tenths of °C.
func (s *chillSum) day(tenths *[24]float64) {
	tables, last, x := s.tables, s.last, s.x
	portions, hours, halfUnits := 0.0, 0, 0
	for _, t := range tenths {
		var portion float64
		x, portion = last.step(x)
		portions += portion
		p := t + chillRange
		if p < 0 {
			p = 0
		} else if p > 2*chillRange {
			p = 2 * chillRange
		}
		i := int(p)
		e, f := &tables.dynamic[i], p-float64(i)
		last = dynamicHour{e.at.gain + f*e.by.gain, e.at.keep + f*e.by.keep, e.at.bank + f*e.by.bank}
		c := tables.counts[int(2*chillRange-p)]
		hours += int(c.hours)
		halfUnits += int(c.halfUnits)
		if t == 0 {
			hours++
		}
	}
	s.last, s.x = last, x
	s.portions += portions
	s.hours += hours
	s.halfUnits += halfUnits
}

// chillWindow returns the first day of the chill of row y and its days: 1
// November to 31 March, in the south 1 May to 30 September, of the winter
// around the season's start.
func chillWindow(h day.Hemisphere, y int) (first day.Date, n int) {
	first, after := day.Of(y-1, 11, 1), day.Of(y, 4, 1)
	if h == day.South {
		first, after = day.Of(y, 5, 1), day.Of(y, 10, 1)
	}
	return first, int(after - first)
}

// chill sets the chill of the winter of the row, where the latitude is known
// and ChillSum accepts it.
func (r *record) chill(s *Season) {
	if r.curves == nil {
		return
	}
	first, n := chillWindow(r.h, s.Year)
	at := int(first - r.First)
	missing := 0
	for i := at; i < at+n; i++ {
		if i < 0 || i >= len(r.TMin) || r.TMin[i] == quantity.Missing || r.TMax[i] == quantity.Missing {
			if missing++; missing > ChillSum.MaxMissing {
				return
			}
		}
	}
	tmin, tmax := r.chillMin[:n+2], r.chillMax[:n+2]
	fillLinear(r.TMin, at-1, tmin)
	fillLinear(r.TMax, at-1, tmax)
	for i := range tmin {
		tmin[i] *= 10
		tmax[i] *= 10
	}
	sum, whole := newChillSum(), true
	r.curves.days(first, tmin, tmax, func(_ int, hours *[24]float64) {
		// A day has all its hours or none.
		if whole = whole && !math.IsNaN(hours[0]); whole {
			sum.day(hours)
		}
	})
	if !whole {
		return
	}
	s.Chill = Value{sum.portions, true}
	s.ChillHours = Value{float64(sum.hours), true}
	s.Utah = Value{float64(sum.halfUnits) / 2, true}
}
