package climate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// Source: chillR function daylength run in R (CHECKS section 1, status L):
// refraction, Spencer's declination, Almorox et al. 2005.
func TestSunlightAgainstChillR(t *testing.T) {
	for _, c := range []struct {
		latitude          float64
		day               int
		rise, set, length float64 // 0: not given
	}{
		{50.4, 15, 7.766, 16.234, 8.467},
		{50, 40, 0, 0, 9.717},
		{45, 172, 0, 0, 15.619},
		{45, 355, 0, 0, 8.767},
		{45, 101, 5.379, 18.621, 0}, // the sun of HT-2
	} {
		s := climate.SunlightAt(c.latitude, c.day)
		if c.rise != 0 && (!near(s.Rise, c.rise, 1e-3) || !near(s.Set, c.set, 1e-3)) {
			t.Errorf("%v°, day %d: from %v to %v, want %v to %v", c.latitude, c.day, s.Rise, s.Set, c.rise, c.set)
		}
		if c.length != 0 && !near(s.Length(), c.length, 1e-3) {
			t.Errorf("%v°, day %d: %v h, want %v", c.latitude, c.day, s.Length(), c.length)
		}
	}
}

// The day that is seen is longer than the geometric one of the same
// declination, at middle latitudes by about 0.2 h (CHECKS section 1); the poles
// have polar days and nights.
func TestSunlightIsLongerThanGeometric(t *testing.T) {
	for latitude := -50.0; latitude <= 50; latitude += 2.5 {
		for j := 1; j <= 366; j += 5 {
			geometric := 24 / math.Pi * climate.SunsetHourAngle(latitude, climate.SpencerDeclination(j))
			more := climate.SunlightAt(latitude, j).Length() - geometric
			if more < 0.11 || more > 0.25 {
				t.Fatalf("%v°, day %d: %v h longer", latitude, j, more)
			}
		}
	}
	for _, c := range []struct {
		latitude float64
		day      int
		length   float64
	}{{80, 172, 24}, {80, 355, 0}, {-80, 172, 0}, {-80, 355, 24}, {90, 172, 24}} {
		if s := climate.SunlightAt(c.latitude, c.day); s.Length() != c.length || !s.Polar() {
			t.Errorf("%v°, day %d: %v h", c.latitude, c.day, s.Length())
		}
	}
}

// HT-1. Source: xclim tests test_make_hourly_temperature: equator, 12 h of
// daylight, Tmin 0, Tmax 20, next Tmin 0; 24 values from sunrise on.
func TestLinvillAgainstXclim(t *testing.T) {
	want := [24]float64{0, 3.90181, 7.65367, 11.11140, 14.14214, 16.62939, 18.47759, 19.61571, 20, 19.61571, 18.47759, 16.62939, 14.14214,
		10.32039, 8.08481, 6.49865, 5.26832, 4.26307, 3.41314, 2.67690, 2.02749, 1.44657, 0.92107, 0.44132}
	sunset := climate.LinvillDay(12, 12, 0, 20)
	for i, w := range want {
		got := climate.LinvillDay(float64(i), 12, 0, 20)
		if i > 12 {
			got = climate.LinvillNight(float64(i-12), 12, sunset, 0)
		}
		if !near(got, w, 5e-6) {
			t.Errorf("hour %d: %v, want %v", i, got, w)
		}
	}
}

// HT-2. Source: chillR run in R (CHECKS section 7, status L): 45°, day 101,
// steady 5 to 20 °C. Hours 6-18 within 0.001, 19-23 within 0.01. The
// hours before sunrise are not owed: that package divides the night's log
// otherwise there, and undershoots the minimum.
func TestHoursAgainstChillR(t *testing.T) {
	want := map[int]float64{6: 6.693, 7: 9.365, 8: 11.894, 9: 14.194, 10: 16.189, 11: 17.814, 12: 19.015, 13: 19.752, 14: 20, 15: 19.752,
		16: 19.015, 17: 17.814, 18: 16.189, 19: 13.685, 20: 11.473, 21: 10.050, 22: 8.998, 23: 8.164}
	first := day.Of(2001, 4, 11) // day 101
	d := daily(day.North, first-1, first+1, func(day.Date) (lo, hi, rain quantity.Tenths) { return 50, 200, 0 })
	d.Latitude = climate.AtLatitude(45)
	got, ok := climate.HourlyTemperatures(d, first, 1)
	if !ok || len(got) != 24 {
		t.Fatalf("%d hours, %v", len(got), ok)
	}
	for h, w := range want {
		tolerance := 1e-3 // that package has -0.8333° for the horizon
		if h > 18 {
			tolerance = 0.01
		}
		if !near(got[h], w, tolerance) {
			t.Errorf("hour %d: %v, want %v", h, got[h], w)
		}
	}
	for h := range 6 {
		if got[h] < 5 || got[h] > 8.164 || h > 0 && got[h] > got[h-1] {
			t.Errorf("hour %d of the night: %v", h, got[h])
		}
	}
}

// Whatever the weather, an hour lies within its day's extremes and those
// beside; on steady days the highest is the maximum, within what whole hours
// leave out, and no hour is below the minimum by more than 0.3 (CHECKS HT-2).
func TestHoursStayWithinExtremes(t *testing.T) {
	for _, h := range []day.Hemisphere{day.North, day.South} {
		d := weather(h, 2001, 2003, 9, 12, 7)
		for _, latitude := range []float64{0, 30, 45, 55, 60} {
			d.Latitude = climate.AtLatitude(latitude * float64(h))
			hours, ok := climate.HourlyTemperatures(d, d.First+1, len(d.TMin)-2)
			if !ok {
				t.Fatal("no hours")
			}
			for i := 1; i < len(d.TMin)-1; i++ {
				lo := float64(min(d.TMin[i-1], d.TMin[i], d.TMin[i+1])) / 10
				hi := float64(max(d.TMax[i-1], d.TMax[i])) / 10
				peak := -99.0
				for _, v := range hours[24*(i-1) : 24*i] {
					if v < lo-0.3 || v > hi+1e-9 {
						t.Fatalf("%v°, day %d: %v outside %v to %v", latitude, i, v, lo, hi)
					}
					peak = max(peak, v)
				}
				// The peak is at 14 h, a whole hour.
				if top := float64(d.TMax[i]) / 10; !near(peak, max(top, peak), 1e-9) || peak < top-1e-9 {
					t.Fatalf("%v°, day %d: peak %v, maximum %v", latitude, i, peak, top)
				}
			}
		}
	}
}

// Ends of the record, gaps, unknown places and the polar night.
func TestHoursAtTheEnds(t *testing.T) {
	first := day.Of(2001, 3, 1)
	d := daily(day.North, first, first+19, func(day.Date) (lo, hi, rain quantity.Tenths) { return 50, 200, 0 })
	if hours, ok := climate.HourlyTemperatures(d, first, 20); ok || hours != nil {
		t.Error("hours without a latitude")
	}
	d.Latitude = climate.AtLatitude(45)
	whole, _ := climate.HourlyTemperatures(d, first, 20)
	for i, v := range whole {
		// A lone day is as one among its like: steady weather has no ends.
		if !(v >= 5 && v <= 20) {
			t.Fatalf("hour %d: %v", i, v)
		}
	}
	if !near(whole[0], whole[24], 0.05) || !near(whole[23], whole[47], 0.05) {
		t.Errorf("first hour %v, a day later %v", whole[0], whole[24])
	}
	beyond, _ := climate.HourlyTemperatures(d, first-1, 22)
	if !math.IsNaN(beyond[0]) || !math.IsNaN(beyond[23]) || math.IsNaN(beyond[24]) || !math.IsNaN(beyond[22*24-1]) {
		t.Error("hours outside the record")
	}
	holed := clone(d)
	lose(holed, first+5, 4, holed.TMin) // filled
	lose(holed, first+12, 5, holed.TMax)
	hours, _ := climate.HourlyTemperatures(holed, first, 20)
	for i := range 20 {
		if missing := math.IsNaN(hours[24*i+12]); missing != (i >= 12 && i < 17) {
			t.Errorf("day %d: missing %v", i, missing)
		}
	}
	// Days beside a gap stand on their own.
	if v := hours[24*11+23]; !near(v, whole[24*11+23], 1e-9) {
		t.Errorf("evening before a gap: %v, want %v", v, whole[24*11+23])
	}
	d.Latitude = climate.AtLatitude(75)
	dark, _ := climate.HourlyTemperatures(d, first, 20)
	if math.IsNaN(dark[0]) {
		t.Error("75° north has sunrise and sunset in March")
	}
	d.First = day.Of(2001, 12, 10)
	dark, _ = climate.HourlyTemperatures(d, d.First, 20)
	if !math.IsNaN(dark[12]) {
		t.Errorf("polar night has %v", dark[12])
	}
}

// Adding a constant to a record adds it to every hour.
func TestHoursMoveWithTheDays(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	d := weather(day.North, 2001, 2001, 9, 12, 8)
	by := quantity.Tenths(1 + r.IntN(50))
	warm := clone(d)
	for i := range warm.TMin {
		warm.TMin[i] += by
		warm.TMax[i] += by
	}
	a, _ := climate.HourlyTemperatures(d, d.First, len(d.TMin))
	b, _ := climate.HourlyTemperatures(warm, d.First, len(d.TMin))
	for i := range a {
		if !near(b[i]-a[i], float64(by)/10, 1e-9) {
			t.Fatalf("hour %d moved by %v, want %v", i, b[i]-a[i], float64(by)/10)
		}
	}
}

func TestUnknownLatitude(t *testing.T) {
	for _, l := range []climate.Latitude{{}, climate.AtLatitude(math.NaN()), climate.AtLatitude(91), climate.AtLatitude(math.Inf(-1))} {
		if v, known := l.Degrees(); known || !math.IsNaN(v) {
			t.Errorf("%v is known", v)
		}
	}
	if v, known := climate.AtLatitude(0).Degrees(); !known || v != 0 {
		t.Error("the equator is a latitude")
	}
}
