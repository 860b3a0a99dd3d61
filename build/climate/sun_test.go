package climate_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
)

// Source: FAO-56 (Allen et al. 1998), examples 8 (p. 80) and 9 (p. 83): 3
// September, day 246, at 20° south. The example's dr belongs to eq. 21, which
// nothing here needs.
func TestDayLengthExamples(t *testing.T) {
	delta := climate.Declination(246)
	if !near(delta, 0.120, 5e-4) {
		t.Errorf("ET-1: declination %v, printed 0.120", delta)
	}
	if ws := climate.SunsetHourAngle(-20, delta); !near(ws, 1.527, 5e-4) {
		t.Errorf("ET-1: sunset hour angle %v, printed 1.527", ws)
	}
	if n := climate.DayLength(-20, 246); !near(n, 11.7, 0.05) {
		t.Errorf("ET-3: day length %v, printed 11.7", n)
	}
}

// Source: xclim tests test_day_lengths, 21 June and 21 December: ET-11 with the
// true declination of ±23.44°, ET-12 the clamp at 80° north.
func TestDayLengthAtSolstice(t *testing.T) {
	tilt := 23.44 * math.Pi / 180
	hours := func(latitude, delta float64) float64 {
		return 24 / math.Pi * climate.SunsetHourAngle(latitude, delta)
	}
	for _, c := range []struct{ latitude, june, december float64 }{
		{30, 13.93, 10.07}, {45, 15.43, 8.57}, {60, 18.49, 5.51}, {80, 24, 0},
	} {
		if got := hours(c.latitude, tilt); !near(got, c.june, 0.01) {
			t.Errorf("%v°, 21 June: %v h, want %v", c.latitude, got, c.june)
		}
		if got := hours(c.latitude, -tilt); !near(got, c.december, 0.01) {
			t.Errorf("%v°, 21 December: %v h, want %v", c.latitude, got, c.december)
		}
	}
	// With FAO's declination of day 172 (re-computed, CHECKS ET-11).
	for latitude, want := range map[float64]float64{30: 13.93, 45: 15.42, 60: 18.49, 80: 24} {
		if got := climate.DayLength(latitude, 172); !near(got, want, 0.01) {
			t.Errorf("%v°, day 172: %v h, want %v", latitude, got, want)
		}
	}
	if got := climate.DayLength(80, 355); got != 0 {
		t.Errorf("80°, day 355: %v h, want 0", got)
	}
}

func TestDayLengthMirrors(t *testing.T) {
	for latitude := 0.0; latitude <= 89; latitude += 3.5 {
		for j := 1; j <= 366; j += 5 {
			if sum := climate.DayLength(latitude, j) + climate.DayLength(-latitude, j); !near(sum, 24, 1e-9) {
				t.Fatalf("latitude ±%v, day %d: the two days add to %v h", latitude, j, sum)
			}
		}
	}
}
