package climate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

const gone = quantity.Missing

// daily makes a record of the days first..last from a function that gives
// Tmin, Tmax and rain in tenths.
func daily(h day.Hemisphere, first, last day.Date, of func(day.Date) (lo, hi, rain quantity.Tenths)) *climate.Daily {
	n := int(last-first) + 1
	d := &climate.Daily{First: first, Hemisphere: h,
		TMin: make([]quantity.Tenths, n), TMax: make([]quantity.Tenths, n), Precip: make([]quantity.Tenths, n)}
	for i := range n {
		d.TMin[i], d.TMax[i], d.Precip[i] = of(first + day.Date(i))
	}
	return d
}

// weather is an invented daily climate of seasons first..last: a yearly wave
// with its trough 15 days into the calendar winter, noise with memory, and
// rain on a third of the days, at 45° of latitude.
func weather(h day.Hemisphere, first, last int, mean, swing float64, seed uint64) *climate.Daily {
	r := rand.New(rand.NewPCG(seed, 99))
	noise := 0.0
	record := daily(h, h.Start(first), h.End(last), func(d day.Date) (lo, hi, rain quantity.Tenths) {
		noise = 0.7*noise + 2.5*r.NormFloat64()
		m := mean - swing*math.Cos(2*math.Pi*float64(h.Rank(d)-15)/365) + noise
		half := 3 + 3*r.Float64()
		if r.Float64() < 0.33 {
			rain = quantity.ToTenths(r.Float64() * 12)
		}
		return quantity.ToTenths(m - half), quantity.ToTenths(m + half), rain
	})
	record.Latitude = climate.AtLatitude(45 * float64(h))
	return record
}

// steady is an invented year without weather: cold to the end of April, warm
// from 1 May to 30 September, cold after; dates in the north.
func steady(h day.Hemisphere, first, last int) *climate.Daily {
	warm, cold := h.RankOf(5, 1), h.RankOf(10, 1)
	return daily(h, h.Start(first), h.End(last), func(d day.Date) (lo, hi, rain quantity.Tenths) {
		if r := h.Rank(d); r >= warm && r < cold {
			return 120, 240, 10
		}
		return -50, 30, 10
	})
}

// clone copies a record so that a test may punch holes into it.
func clone(d *climate.Daily) *climate.Daily {
	c := *d
	c.TMin = append([]quantity.Tenths(nil), d.TMin...)
	c.TMax = append([]quantity.Tenths(nil), d.TMax...)
	c.Precip = append([]quantity.Tenths(nil), d.Precip...)
	c.FilledMin = append([]bool(nil), d.FilledMin...)
	c.FilledMax = append([]bool(nil), d.FilledMax...)
	return &c
}

// lose makes the days missing in the given elements.
func lose(d *climate.Daily, at day.Date, days int, elements ...[]quantity.Tenths) {
	for _, e := range elements {
		for k := range days {
			e[int(at-d.First)+k] = gone
		}
	}
}

// season returns the figures of one year.
func season(t testing.TB, d *climate.Daily, year int) climate.Season {
	t.Helper()
	for _, s := range climate.Seasons(d, climate.DefaultHeat()) {
		if s.Year == year {
			return s
		}
	}
	t.Fatalf("no season %d", year)
	return climate.Season{}
}

func normal(t testing.TB, ns []climate.Normal, measure string) climate.Normal {
	t.Helper()
	for _, n := range ns {
		if n.Measure == measure {
			return n
		}
	}
	t.Fatalf("no measure %s", measure)
	return climate.Normal{}
}

func tenth(v float64) quantity.Tenths { return quantity.ToTenths(v) }
