package climate_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// ramp is 2880 hours evenly from 0 to 15 °C.
func ramp() []float64 {
	hours := make([]float64, 2880)
	for i := range hours {
		hours[i] = 15 * float64(i) / 2879
	}
	return hours
}

func TestChillPortionsOfARamp(t *testing.T) {
	got := climate.ChillPortions(ramp())
	// CH-2. Source: chillR run in R, 72.5697 portions (previous hour, 273 K).
	if !near(got, 72.5697, 5e-5) {
		t.Errorf("CH-2: %v portions, want 72.5697", got)
	}
	// CH-1. Source: xclim tests test_chill_portions, 72.2441765, with the same
	// hour's temperature and 273.15 K; within 1 % for that.
	if !near(got, 72.2441765, 0.01*72.2441765) {
		t.Errorf("CH-1: %v portions, want 72.2441765 within 1 %%", got)
	}
	if same := portionsOfSameHour(ramp()); !near(same, 72.2441765, 5e-7) {
		t.Errorf("CH-1, in that indexing: %v portions, want 72.2441765", same)
	}
}

// portionsOfSameHour is the Dynamic Model in the other published indexing (each
// hour by its own temperature, 0 °C = 273.15 K), written out plainly from the
// equations in CHECKS section 7: it shows that constants and equations are
// those of CH-1.
func portionsOfSameHour(hours []float64) (sum float64) {
	s := 0.0
	for _, t := range hours[1:] {
		k := t + 273.15
		xs := 139500 / 2.567e18 * math.Exp((12888.8-4153.5)/k)
		x := xs - (xs-s)*math.Exp(-2.567e18*math.Exp(-12888.8/k))
		e := math.Exp(1.6 * 277 * (k - 277) / k)
		if s = x; x >= 1 {
			sum += x * e / (1 + e)
			s = x / (1 + e)
		}
	}
	return sum
}

// CH-3. Source: chillR run in R (CHECKS section 7, status L): portions of 240
// and of 1000 hours at one temperature.
func TestChillPortionsAtOneTemperature(t *testing.T) {
	for _, c := range []struct{ celsius, in240, in1000 float64 }{
		{0, 0.769, 4.852}, {4, 6.582, 29.849}, {6, 7.821, 34.204}, {8, 8.133, 34.568}, {10, 7.095, 32.436}, {12, 6.000, 25.002}, {13, 0, 0}, {20, 0, 0},
	} {
		hours := make([]float64, 1000)
		for i := range hours {
			hours[i] = c.celsius
		}
		if got := climate.ChillPortions(hours[:240]); !near(got, c.in240, 5e-4) {
			t.Errorf("240 h at %v °C: %v portions, want %v", c.celsius, got, c.in240)
		}
		if got := climate.ChillPortions(hours); !near(got, c.in1000, 5e-4) {
			t.Errorf("1000 h at %v °C: %v portions, want %v", c.celsius, got, c.in1000)
		}
	}
	// CH-4, computed, a regression: at 6 °C the first portion comes with the
	// 30th value and has size 0.98.
	six := make([]float64, 30)
	for i := range six {
		six[i] = 6
	}
	if a, b := climate.ChillPortions(six[:29]), climate.ChillPortions(six); a != 0 || !near(b, 0.98, 5e-3) {
		t.Errorf("CH-4: %v portions after 29 values, %v after 30", a, b)
	}
	if climate.ChillPortions(nil) != 0 {
		t.Error("no hours have chill")
	}
}

func TestUtah(t *testing.T) {
	// CH-5. Source: xclim tests test_chill_units: 10 hours at 1.1, 15 at 2.0,
	// 20 at 5.6, 10 at 16.0, 5 at 20.0 °C give 17.5 units.
	sum := 0.0
	for _, c := range []struct {
		hours   float64
		celsius float64
	}{{10, 1.1}, {15, 2.0}, {20, 5.6}, {10, 16.0}, {5, 20.0}} {
		sum += c.hours * climate.UtahUnit(c.celsius)
	}
	if sum != 17.5 {
		t.Errorf("CH-5: %v units, want 17.5", sum)
	}
	// The limits, included (CHECKS section 7, chillR code).
	for _, c := range []struct{ celsius, units float64 }{
		{-20, 0}, {1.4, 0}, {1.41, 0.5}, {2.4, 0.5}, {2.41, 1}, {9.1, 1}, {9.11, 0.5}, {12.4, 0.5}, {12.41, 0}, {15.9, 0}, {15.91, -0.5}, {18, -0.5}, {18.01, -1}, {40, -1},
	} {
		if got := climate.UtahUnit(c.celsius); got != c.units {
			t.Errorf("%v °C: %v units, want %v", c.celsius, got, c.units)
		}
	}
}

// CH-6. Source: chillR code (status C).
func TestChillingHourEdges(t *testing.T) {
	for celsius, want := range map[float64]bool{-0.1: false, 0: true, 7.2: true, 7.3: false} {
		if got := climate.ChillingHour(celsius); got != want {
			t.Errorf("%v °C: %v", celsius, got)
		}
	}
}

// The fast sums of a season are those of the plain functions on the hours: the
// counts exactly, portions within 1 % each and far nearer on the whole. They
// cannot agree always: the Dynamic Model banks when its intermediate product
// has reached 1, so the least difference may put a portion into another hour.
func TestSeasonChillIsThatOfItsHours(t *testing.T) {
	var off float64
	var winters int
	for _, h := range []day.Hemisphere{day.North, day.South} {
		for seed, mean := range []float64{2, 6, 9, 13, 16, 19} {
			d := weather(h, 2000, 2005, mean, 11, uint64(seed))
			for _, y := range []int{2001, 2003, 2004} {
				first, last := day.Of(y-1, 11, 1), day.Of(y, 3, 31)
				if h == day.South {
					first, last = day.Of(y, 5, 1), day.Of(y, 9, 30)
				}
				hours, ok := climate.HourlyTemperatures(d, first, int(last-first)+1)
				if !ok {
					t.Fatal("no hours")
				}
				var count, utah float64
				for _, v := range hours {
					// Hours that are a measured value but for rounding, as at
					// the peak, must fall on the right side of a limit.
					v = math.Round(v*1e9) / 1e9
					if climate.ChillingHour(v) {
						count++
					}
					utah += climate.UtahUnit(v)
				}
				s := season(t, d, y)
				if s.ChillHours.V != count || s.Utah.V != utah {
					t.Errorf("mean %v, %d: %v h and %v units, hour by hour %v and %v", mean, y, s.ChillHours.V, s.Utah.V, count, utah)
				}
				want := climate.ChillPortions(hours)
				if !s.Chill.OK || !near(s.Chill.V, want, 0.01*want) {
					t.Errorf("mean %v, %d: %v portions, hour by hour %v", mean, y, s.Chill.V, want)
				}
				off += math.Abs(s.Chill.V - want)
				winters++
			}
		}
	}
	if off /= float64(winters); off > 0.05 {
		t.Errorf("portions are off by %v on average over %d winters", off, winters)
	} else {
		t.Logf("portions are off by %v on average over %d winters", off, winters)
	}
}

// Records of one temperature go through the tables at their edges.
func TestSeasonChillAtTheLimits(t *testing.T) {
	for _, c := range []struct {
		tenths      quantity.Tenths
		hour, units float64
	}{
		{-1, 0, 0}, {0, 1, 0}, {1, 1, 0}, {14, 1, 0}, {15, 1, 0.5}, {24, 1, 0.5}, {25, 1, 1}, {72, 1, 1}, {73, 0, 1}, {91, 0, 1}, {92, 0, 0.5}, {124, 0, 0.5},
		{125, 0, 0}, {159, 0, 0}, {160, 0, -0.5}, {180, 0, -0.5}, {181, 0, -1}, {-599, 0, 0}, {-600, 0, 0}, {-601, 0, 0}, {-900, 0, 0}, {599, 0, -1}, {600, 0, -1}, {601, 0, -1}, {900, 0, -1},
	} {
		d := daily(day.North, day.Of(2001, 7, 1), day.Of(2002, 6, 30), func(day.Date) (lo, hi, rain quantity.Tenths) { return c.tenths, c.tenths, 0 })
		d.Latitude = climate.AtLatitude(45)
		s := season(t, d, 2002)
		const hours = 151 * 24
		if s.ChillHours.V != hours*c.hour || s.Utah.V != hours*c.units || !s.Chill.OK {
			t.Errorf("%v °C: %v h, %v units; want %v and %v", c.tenths.Celsius(), s.ChillHours, s.Utah, hours*c.hour, hours*c.units)
		}
		steady := make([]float64, hours)
		for i := range steady {
			steady[i] = float64(c.tenths) / 10
		}
		if want := climate.ChillPortions(steady); math.Abs(float64(c.tenths)) <= 600 && !near(s.Chill.V, want, 1e-9) {
			t.Errorf("%v °C: %v portions, want %v", c.tenths.Celsius(), s.Chill.V, want)
		}
	}
}

// The boundaries of the policy, and what the latitude decides.
func TestChillCompleteness(t *testing.T) {
	north := steady(day.North, 2001, 2004)
	north.Latitude = climate.AtLatitude(45)
	south := steady(day.South, 2001, 2004)
	south.Latitude = climate.AtLatitude(-38)
	scatter := func(d *climate.Daily, from day.Date, n int) {
		for k := range n {
			lose(d, from+day.Date(3*k), 1, d.TMin)
		}
	}
	for _, c := range []struct {
		name  string
		of    *climate.Daily
		punch func(*climate.Daily)
		ok    bool
	}{
		{"whole", north, func(*climate.Daily) {}, true},
		{"10 scattered", north, func(d *climate.Daily) { scatter(d, day.Of(2002, 12, 1), 10) }, true},
		{"11 scattered", north, func(d *climate.Daily) { scatter(d, day.Of(2002, 12, 1), 11) }, false},
		{"6 of Tmin and 5 of Tmax", north, func(d *climate.Daily) {
			scatter(d, day.Of(2002, 12, 1), 6)
			for k := range 5 {
				lose(d, day.Of(2003, 2, 1)+day.Date(2*k), 1, d.TMax)
			}
		}, false},
		{"4 in a row", north, func(d *climate.Daily) { lose(d, day.Of(2002, 12, 30), 4, d.TMin, d.TMax) }, true},
		{"5 in a row", north, func(d *climate.Daily) { lose(d, day.Of(2002, 12, 30), 5, d.TMax) }, false},
		{"October gone", north, func(d *climate.Daily) { lose(d, day.Of(2002, 10, 1), 31, d.TMin, d.TMax) }, true},
		{"31 October to 4 November", north, func(d *climate.Daily) { lose(d, day.Of(2002, 10, 31), 5, d.TMin) }, false},
		{"31 October to 3 November", north, func(d *climate.Daily) { lose(d, day.Of(2002, 10, 31), 4, d.TMin) }, true},
		{"31 March to 4 April", north, func(d *climate.Daily) { lose(d, day.Of(2003, 3, 31), 5, d.TMin) }, false},
		{"April gone", north, func(d *climate.Daily) { lose(d, day.Of(2003, 4, 1), 30, d.TMin, d.TMax) }, true},
		{"latitude unknown", north, func(d *climate.Daily) { d.Latitude = climate.Latitude{} }, false},
		{"the equator is known", north, func(d *climate.Daily) { d.Latitude = climate.AtLatitude(0) }, true},
		{"polar night", north, func(d *climate.Daily) { d.Latitude = climate.AtLatitude(72) }, false},
		{"south, whole", south, func(*climate.Daily) {}, true},
		{"south, 1-5 May", south, func(d *climate.Daily) { lose(d, day.Of(2003, 5, 1), 5, d.TMin) }, false},
		{"south, April gone", south, func(d *climate.Daily) { lose(d, day.Of(2003, 4, 1), 30, d.TMin) }, true},
		{"south, 30 September gone for 5", south, func(d *climate.Daily) { lose(d, day.Of(2003, 9, 30), 5, d.TMax) }, false},
		{"south, October gone", south, func(d *climate.Daily) { lose(d, day.Of(2003, 10, 1), 31, d.TMax) }, true},
		{"filled days count", north, func(d *climate.Daily) {
			d.FilledMin = make([]bool, len(d.TMin))
			for i := range d.FilledMin {
				d.FilledMin[i] = true
			}
		}, true},
	} {
		d := clone(c.of)
		c.punch(d)
		s := season(t, d, 2003)
		if s.Chill.OK != c.ok || s.ChillHours.OK != c.ok || s.Utah.OK != c.ok {
			t.Errorf("%s: valid %v %v %v, want %v", c.name, s.Chill.OK, s.ChillHours.OK, s.Utah.OK, c.ok)
		}
		if c.of == north && c.name != "filled days count" && s.Complete != season(t, without(d), 2003).Complete {
			t.Errorf("%s: chill decides whether a season is complete", c.name)
		}
	}
	// The first and the last winter lie half outside the record.
	ss := climate.Seasons(north, climate.DefaultHeat())
	if ss[0].Chill.OK || !ss[1].Chill.OK {
		t.Errorf("chill of the first winters: %v, %v", ss[0].Chill, ss[1].Chill)
	}
}

// without is the record at an unknown place.
func without(d *climate.Daily) *climate.Daily {
	c := clone(d)
	c.Latitude = climate.Latitude{}
	return c
}
