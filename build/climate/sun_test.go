package climate_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
)

// Source: FAO-56 (Allen et al. 1998), examples 8 (p. 80) and 9 (p. 83): 3
// September, day 246, at 20° south.
func TestDayLengthExamples(t *testing.T) {
	if dr := climate.RelativeDistance(246); !near(dr, 0.985, 5e-4) {
		t.Errorf("ET-1: relative distance %v, printed 0.985", dr)
	}
	// ET-2: 32.2 MJ m-2 d-1, 13.1 mm.
	if ra := climate.ExtraterrestrialRadiation(-20, 246); !near(ra, 32.2, 0.05) || !near(ra*climate.EvaporationPerMJ, 13.1, 0.05) {
		t.Errorf("ET-2: %v MJ, printed 32.2", ra)
	}
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

// ET-5. Source: FAO-56, examples 15 and 20: Lyon, 45°43' N, day 196.
func TestRadiationOfLyon(t *testing.T) {
	ra := climate.ExtraterrestrialRadiation(45+43.0/60, 196)
	if !near(ra, 40.6, 0.1) || !near(ra*climate.EvaporationPerMJ, 16.55, 0.06) {
		t.Errorf("%v MJ, printed 40.6 (16.5-16.6 mm)", ra)
	}
}

// Regressions, not evidence: ET-13 (the clamp) and tables in the style of
// FAO-56 annex 2, the 15th of each month, computed from eq. 21 and 34 (CHECKS
// section 1, status C); the printed tables should agree to 0.1.
func TestRadiationAndDayLengthTables(t *testing.T) {
	for j, want := range map[int]float64{15: 0, 172: 42.69, 355: 0} {
		if got := climate.ExtraterrestrialRadiation(70, j); !near(got, want, 5e-3) {
			t.Errorf("ET-13, day %d: %v, want %v", j, got, want)
		}
	}
	days := [12]int{15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349}
	for latitude, row := range map[float64][12]float64{
		60: {3.3, 8.3, 16.6, 27.5, 36.7, 41.2, 39.1, 31.3, 20.5, 10.8, 4.4, 2.2},
		50: {8.9, 14.4, 22.2, 31.5, 38.5, 41.7, 40.2, 34.3, 25.6, 16.8, 10.2, 7.5},
		48: {10.1, 15.7, 23.3, 32.2, 38.8, 41.8, 40.4, 34.9, 26.5, 18.0, 11.4, 8.7},
		45: {11.9, 17.5, 24.8, 33.2, 39.2, 41.9, 40.6, 35.6, 27.9, 19.7, 13.2, 10.5},
		40: {15.0, 20.4, 27.2, 34.7, 39.7, 41.8, 40.8, 36.7, 29.9, 22.5, 16.3, 13.6},
		0:  {36.2, 37.4, 37.9, 36.8, 34.8, 33.4, 33.9, 35.6, 37.2, 37.3, 36.3, 35.6},
	} {
		for m, want := range row {
			if got := climate.ExtraterrestrialRadiation(latitude, days[m]); !near(got, want, 0.05+1e-9) {
				t.Errorf("%v°, month %d: %v MJ, want %v", latitude, m+1, got, want)
			}
		}
	}
	for latitude, row := range map[float64][12]float64{
		60: {6.4, 8.8, 11.4, 14.2, 16.8, 18.4, 17.7, 15.3, 12.5, 9.7, 7.1, 5.6},
		50: {8.3, 9.8, 11.6, 13.5, 15.2, 16.1, 15.7, 14.3, 12.3, 10.4, 8.7, 7.9},
		45: {9.0, 10.2, 11.6, 13.3, 14.7, 15.4, 15.1, 13.9, 12.3, 10.7, 9.3, 8.6},
		40: {9.5, 10.5, 11.7, 13.1, 14.2, 14.8, 14.6, 13.6, 12.2, 10.9, 9.7, 9.2},
		0:  {12, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12},
	} {
		for m, want := range row {
			if got := climate.DayLength(latitude, days[m]); !near(got, want, 0.05+1e-9) {
				t.Errorf("%v°, month %d: %v h, want %v", latitude, m+1, got, want)
			}
		}
	}
}
