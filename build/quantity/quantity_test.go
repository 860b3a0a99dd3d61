package quantity_test

import (
	"math"
	"testing"

	"ripeward/build/quantity"
)

// 36, 32, 28, 24 °F in tenths of °C (CHECKS 16.2 and SCIENCE 3).
func TestFreezeThresholds(t *testing.T) {
	for f, want := range map[float64]quantity.Tenths{36: 22, 32: 0, 28: -22, 24: -44} {
		if got := quantity.ToTenths(float64(quantity.FromFahrenheit(f))); got != want {
			t.Errorf("%v °F is %d tenths, want %d", f, got, want)
		}
	}
	if quantity.ToTenths(math.NaN()) != quantity.Missing || quantity.ToTenths(4000) != quantity.Missing {
		t.Error("what is no temperature must be missing")
	}
	if !math.IsNaN(float64(quantity.Missing.Celsius())) {
		t.Error("missing must not become a temperature")
	}
}

func TestThereAndBack(t *testing.T) {
	for f := -80.0; f <= 130; f++ {
		if got := quantity.FromFahrenheit(f).Fahrenheit(); math.Abs(got-f) > 1e-9 {
			t.Errorf("%v °F comes back as %v", f, got)
		}
		// Whole °F survive the rounding to tenths of °C.
		if got := math.Round(quantity.ToTenths(float64(quantity.FromFahrenheit(f))).Celsius().Fahrenheit()); got != f {
			t.Errorf("%v °F comes back from tenths as %v", f, got)
		}
	}
}

func TestStep(t *testing.T) {
	for _, c := range []struct{ v, step, want float64 }{
		{1.25, 0.1, 1.3}, {-1.25, 0.1, -1.3}, {0.30000000000000004, 0.1, 0.3}, {-0.04, 0.1, 0}, {1142, 5, 1140}, {0.665, 0.01, 0.67}, {7.5, 1, 8},
		// A half that came out a hair too small, as on another processor.
		{math.Nextafter(7.5, 0), 1, 8}, {-math.Nextafter(0.25, 0), 0.1, -0.3}, {7.4999, 1, 7},
	} {
		got := quantity.Step(c.v, c.step)
		if got != c.want || math.Signbit(got) != math.Signbit(c.want) {
			t.Errorf("%v to %v is %v, want %v", c.v, c.step, got, c.want)
		}
		if again := quantity.Step(got, c.step); again != got {
			t.Errorf("rounding %v again gives %v", got, again)
		}
	}
}
