package climate_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// FR-1. Source: xclim tests of last spring and first day of frost: 0 K except
// 303 K on the 0-based days 180-269 of 2000. The last day of frost before 1
// July is day 180 of the year, the first one after it day 271.
func TestFreezeDatesOfOneWarmSpell(t *testing.T) {
	first := day.Of(2000, 1, 1)
	d := daily(day.North, first, day.Of(2000, 12, 31), func(x day.Date) (lo, hi, rain quantity.Tenths) {
		if i := int(x - first); i >= 180 && i <= 269 {
			return 298, 299, 0
		}
		return -2732, -2731, 0
	})
	s := season(t, d, 2000)
	for k := range climate.Thresholds {
		last, autumn := s.Last[k], s.First[k]
		if last.Outcome != climate.Found || last.Date.YearDay() != 180 {
			t.Errorf("threshold %d: last freeze %v, want day 180", k, last.Date)
		}
		if autumn.Outcome != climate.Found || autumn.Date.YearDay() != 271 {
			t.Errorf("threshold %d: first freeze %v, want day 271", k, autumn.Date)
		}
		if s.Free[k] != (climate.Value{V: 90, OK: true}) {
			t.Errorf("threshold %d: free days %v, want the 90 warm ones", k, s.Free[k])
		}
		// Day 180 of a leap year is 28 June, day 271 is 27 September: on the
		// 365-day calendar each ranks a day lower.
		if last.Rank != 179 || autumn.Rank != 270 {
			t.Errorf("threshold %d: ranks %d and %d, want 179 and 270", k, last.Rank, autumn.Rank)
		}
	}
}

// A freeze is at or below the threshold, a frost day below zero. Source: NCEI
// readme of the 1981-2010 normals (≤) and ETCCDI (<), CHECKS NF-1 and section
// 3; the thresholds 36, 32, 28, 24 °F in tenths of °C, CHECKS 16.2.
func TestThresholdsAreInclusive(t *testing.T) {
	for k, f := range []float64{36, 32, 28, 24} {
		limit := climate.Thresholds[k]
		if got := quantity.ToTenths(float64(quantity.FromFahrenheit(f))); got != limit {
			t.Errorf("%v °F is %d tenths, the threshold %d", f, got, limit)
		}
		d := daily(day.North, day.Of(2001, 1, 1), day.Of(2001, 12, 31), func(x day.Date) (lo, hi, rain quantity.Tenths) {
			switch x {
			case day.Of(2001, 4, 10), day.Of(2001, 10, 10):
				return limit, 150, 0
			case day.Of(2001, 5, 10), day.Of(2001, 9, 10):
				return limit + 1, 150, 0
			}
			return 90, 190, 0
		})
		s := season(t, d, 2001)
		if s.Last[k].Date != day.Of(2001, 4, 10) || s.First[k].Date != day.Of(2001, 10, 10) {
			t.Errorf("threshold %d: %v and %v, want 10 April and 10 October", limit, s.Last[k].Date, s.First[k].Date)
		}
		wantFrost := 0.0
		if limit < 0 {
			wantFrost = 2
			if limit+1 < 0 {
				wantFrost = 4
			}
		}
		if s.FrostDays.V != wantFrost {
			t.Errorf("threshold %d: %v frost days, want %v", limit, s.FrostDays.V, wantFrost)
		}
	}
}

func TestNoFreeze(t *testing.T) {
	d := daily(day.North, day.Of(2000, 1, 1), day.Of(2001, 12, 31), func(x day.Date) (lo, hi, rain quantity.Tenths) {
		switch x {
		case day.Of(2001, 2, 1):
			return 0, 90, 0
		}
		return 90, 190, 0
	})
	s := season(t, d, 2000)
	if s.Last[climate.Zero].Outcome != climate.Never || s.First[climate.Zero].Outcome != climate.Never || s.Free[climate.Zero].V != 366 {
		t.Errorf("a year without a freeze: %+v %+v, free %v; want never, never, 366", s.Last[climate.Zero], s.First[climate.Zero], s.Free[climate.Zero])
	}
	s = season(t, d, 2001)
	if s.Last[climate.Zero].Outcome != climate.Found || s.Free[climate.Zero].V != 365-32 {
		t.Errorf("free days after 1 February to the end: %v, want 333", s.Free[climate.Zero])
	}
	if s.Last[climate.M22].Outcome != climate.Never {
		t.Errorf("a low of 0.0 is no freeze of -2.2: %+v", s.Last[climate.M22])
	}
}

// The completeness rule of freeze dates. The invented station freezes every
// day to 30 April and from 1 October on, so that a missing day may hide a
// freeze up to the week after 30 April, and no later.
func TestFreezeDateCompleteness(t *testing.T) {
	whole := steady(day.North, 2001, 2010)
	type want struct{ last, first climate.Outcome }
	found, invalid := climate.Found, climate.Invalid
	for _, c := range []struct {
		name  string
		punch func(*climate.Daily)
		want
	}{
		{"whole", func(*climate.Daily) {}, want{found, found}},
		{"10 summer days missing", func(d *climate.Daily) { lose(d, day.Of(2005, 7, 1), 10, d.TMin) }, want{found, found}},
		{"11 of them", func(d *climate.Daily) { lose(d, day.Of(2005, 7, 1), 11, d.TMin) }, want{invalid, found}},
		{"10 days of August", func(d *climate.Daily) { lose(d, day.Of(2005, 8, 1), 10, d.TMin) }, want{found, found}},
		{"11 days of August", func(d *climate.Daily) { lose(d, day.Of(2005, 8, 1), 11, d.TMin) }, want{found, invalid}},
		{"all of January and February", func(d *climate.Daily) { lose(d, day.Of(2005, 1, 1), 59, d.TMin) }, want{found, found}},
		{"10 days of March, before the date found", func(d *climate.Daily) { lose(d, day.Of(2005, 3, 1), 10, d.TMin) }, want{found, found}},
		{"3 May: 5 of 15 days freeze", func(d *climate.Daily) { lose(d, day.Of(2005, 5, 3), 1, d.TMin) }, want{invalid, found}},
		{"6 May: 2 of 15 days freeze", func(d *climate.Daily) { lose(d, day.Of(2005, 5, 6), 1, d.TMin) }, want{invalid, found}},
		{"7 May: 1 of 15 days freezes", func(d *climate.Daily) { lose(d, day.Of(2005, 5, 7), 1, d.TMin) }, want{found, found}},
		{"30 April itself", func(d *climate.Daily) { lose(d, day.Of(2005, 4, 30), 1, d.TMin) }, want{invalid, found}},
		{"25 September: 2 of 15 days freeze", func(d *climate.Daily) { lose(d, day.Of(2005, 9, 25), 1, d.TMin) }, want{found, invalid}},
		{"24 September: 1 of 15 days freezes", func(d *climate.Daily) { lose(d, day.Of(2005, 9, 24), 1, d.TMin) }, want{found, found}},
		{"9 days of November, after the date found", func(d *climate.Daily) { lose(d, day.Of(2005, 11, 1), 9, d.TMin) }, want{found, found}},
		{"Tmax does not matter", func(d *climate.Daily) { lose(d, day.Of(2005, 1, 1), 365, d.TMax) }, want{found, found}},
		{"no freeze found, a missing day in January counts", func(d *climate.Daily) {
			for i := day.Of(2005, 1, 1); i < day.Of(2005, 5, 1); i++ {
				d.TMin[i-d.First] = 60
			}
			lose(d, day.Of(2005, 1, 15), 1, d.TMin)
		}, want{invalid, found}},
		{"no freeze found, none missing", func(d *climate.Daily) {
			for i := day.Of(2005, 1, 1); i < day.Of(2005, 5, 1); i++ {
				d.TMin[i-d.First] = 60
			}
		}, want{climate.Never, found}},
		{"no freeze found, a missing day in July does not matter", func(d *climate.Daily) {
			for i := day.Of(2005, 1, 1); i < day.Of(2005, 5, 1); i++ {
				d.TMin[i-d.First] = 60
			}
			lose(d, day.Of(2005, 7, 15), 1, d.TMin)
		}, want{climate.Never, found}},
		{"a filled freeze is a missing day", func(d *climate.Daily) {
			d.FilledMin = make([]bool, len(d.TMin))
			d.FilledMin[day.Of(2005, 4, 30)-d.First] = true
		}, want{invalid, found}},
		{"a filled freeze in June sets no date", func(d *climate.Daily) {
			d.TMin[day.Of(2005, 6, 15)-d.First] = -30
			d.FilledMin = make([]bool, len(d.TMin))
			d.FilledMin[day.Of(2005, 6, 15)-d.First] = true
		}, want{found, found}},
	} {
		d := clone(whole)
		c.punch(d)
		s := season(t, d, 2005)
		if got := (want{s.Last[climate.Zero].Outcome, s.First[climate.Zero].Outcome}); got != c.want {
			t.Errorf("%s: outcomes %v, want %v", c.name, got, c.want)
		}
		if s.Last[climate.Zero].Outcome == found && s.Last[climate.Zero].Date != day.Of(2005, 4, 30) {
			t.Errorf("%s: last freeze %v, want 30 April", c.name, s.Last[climate.Zero].Date)
		}
		valid := s.Last[climate.Zero].Outcome != invalid && s.First[climate.Zero].Outcome != invalid
		if s.Free[climate.Zero].OK != valid || s.Complete && !valid {
			t.Errorf("%s: free days valid %v, complete %v, dates valid %v", c.name, s.Free[climate.Zero].OK, s.Complete, valid)
		}
	}
}

// Warming every day never moves the last freeze later nor the first earlier,
// and a colder threshold has an earlier last and a later first freeze (NF-7).
func TestFreezeOrdering(t *testing.T) {
	for seed := range uint64(6) {
		d := weather(day.North, 1991, 2020, 9, 11, seed)
		order := func(f climate.Freeze, never float64) float64 {
			if f.Outcome == climate.Never {
				return never
			}
			return float64(f.Rank)
		}
		for y, s := range climate.Seasons(d, climate.DefaultHeat()) {
			for k := 1; k < 4; k++ {
				if order(s.Last[k], math.Inf(-1)) > order(s.Last[k-1], math.Inf(-1)) ||
					order(s.First[k], inf) < order(s.First[k-1], inf) || s.Free[k].V < s.Free[k-1].V {
					t.Fatalf("seed %d, year %d: a colder threshold has a later last, an earlier first or fewer free days", seed, y)
				}
			}
		}
		warmer := climate.Move(d, climate.Shift{Day: 0.7, Night: 0.7})
		was, is := climate.Seasons(d, climate.DefaultHeat()), climate.Seasons(&warmer, climate.DefaultHeat())
		moved := false
		for i := range was {
			for k := range climate.Thresholds {
				a, b := order(was[i].Last[k], math.Inf(-1)), order(is[i].Last[k], math.Inf(-1))
				c, e := order(was[i].First[k], inf), order(is[i].First[k], inf)
				if b > a || e < c {
					t.Fatalf("seed %d, year %d: warming moved the last freeze from %v to %v, the first from %v to %v", seed, was[i].Year, a, b, c, e)
				}
				moved = moved || b < a
			}
		}
		if !moved {
			t.Errorf("seed %d: 0.7 °C moved no last freeze in 30 years", seed)
		}
	}
}

// A missing day matters when more than 10 % of the days around it freeze: not
// at 10 % exactly, and wherever there is no day to tell by.
func TestFreezeRiskBoundary(t *testing.T) {
	for _, c := range []struct {
		freezes int
		want    climate.Outcome
	}{{15, climate.Found}, {16, climate.Invalid}} {
		d := daily(day.North, day.Of(2001, 1, 1), day.Of(2011, 12, 31), func(x day.Date) (lo, hi, rain quantity.Tenths) {
			switch _, m, _ := x.YMD(); {
			case m <= 3 || m >= 11:
				return -50, 30, 0
			}
			return 90, 190, 0
		})
		// Of the 11 × 15 days within 7 of 20 June, 150 are there.
		lose(d, day.Of(2005, 6, 20), 1, d.TMin)
		lose(d, day.Of(2011, 6, 13), 14, d.TMin)
		for i := range c.freezes {
			d.TMin[day.Of(2001+i%4, 6, 14+i/4)-d.First] = -10
		}
		if got := season(t, d, 2005).Last[climate.Zero].Outcome; got != c.want {
			t.Errorf("%d of 150 days freeze: outcome %v, want %v", c.freezes, got, c.want)
		}
	}
	mild := daily(day.North, day.Of(2001, 1, 1), day.Of(2001, 12, 31), func(day.Date) (lo, hi, rain quantity.Tenths) { return 90, 190, 0 })
	lose(mild, day.Of(2001, 2, 1), 14, mild.TMin)
	if got := season(t, mild, 2001).Last[climate.Zero].Outcome; got != climate.Never {
		t.Errorf("14 days missing where the 15th never freezes: outcome %v, want never", got)
	}
	lose(mild, day.Of(2001, 2, 1), 15, mild.TMin)
	if got := season(t, mild, 2001).Last[climate.Zero].Outcome; got != climate.Invalid {
		t.Errorf("a day with no other to tell by: outcome %v, want invalid", got)
	}
}
