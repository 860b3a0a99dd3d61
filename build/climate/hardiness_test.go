package climate_test

import (
	"fmt"
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/quantity"
)

func TestHardinessZone(t *testing.T) {
	for _, c := range []struct {
		id   string
		c    float64
		want string
	}{
		// Source: xclim test_hardiness_zones (zero-based indices 1, 16, 25).
		{"HZ-1", -47, "1b"}, {"HZ-2", -6, "9a"}, {"HZ-3", 19, "13b"},
		// Computed from the limits of the USDA map: lower limit inclusive.
		{"HZ-4", -17.778, "7a"}, {"HZ-4 exact", float64(quantity.FromFahrenheit(0)), "7a"}, {"HZ-5", -17.9, "6b"},
		{"just below", -17.78, "6b"},
		{"coldest", float64(quantity.FromFahrenheit(-60)), "1a"}, {"colder", -51.2, "below 1a"},
		{"warmest", 21.1, "13b"}, {"warmer", float64(quantity.FromFahrenheit(70)), "above 13b"},
	} {
		if got := climate.HardinessZone(c.c); got != c.want {
			t.Errorf("%s: %v °C is %q, want %q", c.id, c.c, got, c.want)
		}
	}
	if got := climate.HardinessZone(math.NaN()); got != "" {
		t.Errorf("no mean gives %q", got)
	}
}

// Source: USDA-ARS Plant Hardiness Zone Map 2012 and 2023: lower limits from
// -60 °F in steps of 5 °F, halves a and b; all 26 of them.
func TestHardinessLimits(t *testing.T) {
	for i := range 26 {
		limit := float64(-60 + 5*i)
		want := fmt.Sprintf("%d%s", i/2+1, []string{"a", "b"}[i%2])
		for _, f := range []float64{limit, limit + 4.99} {
			if got := climate.HardinessZone(float64(quantity.FromFahrenheit(f))); got != want {
				t.Errorf("%v °F is %q, want %q", f, got, want)
			}
		}
	}
}
