package climate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"ripeward/build/climate"
)

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

var inf = math.Inf(1)

// Source: Zalom, Goodell, Wilson, Barnett & Bentley 1983, UC Leaflet 21373,
// table 7 (lower 55 °F, upper 90 °F, horizontal cut-off), columns single sine
// and double sine; the formula does not care for the unit. The double sine is
// half of a sine with each of the two minima, so it checks the same function.
func TestSineAgainstLeafletTable7(t *testing.T) {
	for _, c := range []struct {
		id                 string
		tmin, tmax, single float64
		nextMin, double    float64
	}{
		{"DD-1", 96, 110, 35.00, 91, 35.00},
		{"DD-2", 91, 105, 35.00, 96, 35.00},
		{"DD-3", 45, 54, 0, 38, 0},
		{"DD-4", 38, 50, 0, 45, 0},
		{"DD-5", 60, 80, 15.00, 75, 18.75},
		{"DD-6", 75, 88, 26.50, 60, 22.75},
		{"DD-7", 50, 82, 11.85, 45, 11.31},
		{"DD-8", 45, 70, 5.31, 50, 5.70},
		{"DD-9", 60, 100, 22.82, 75, 26.26},
		{"DD-10", 75, 95, 28.91, 60, 25.30},
		{"DD-11", 50, 101, 18.95, 48, 18.69},
		{"DD-12", 48, 95, 16.96, 50, 17.23},
	} {
		got := climate.SineDegreeDays(c.tmin, c.tmax, 55, 90)
		if !near(got, c.single, 0.01) {
			t.Errorf("%s: single sine %v, printed %v", c.id, got, c.single)
		}
		double := (got + climate.SineDegreeDays(c.nextMin, c.tmax, 55, 90)) / 2
		if !near(double, c.double, 0.01) {
			t.Errorf("%s: double sine %v, printed %v", c.id, double, c.double)
		}
		if swapped := climate.SineDegreeDays(c.tmax, c.tmin, 55, 90); swapped != got {
			t.Errorf("%s: with the two swapped %v, want %v", c.id, swapped, got)
		}
	}
}

// Source: closed forms of the integral of a sine (10/π, 5/π; the middle one
// computed), CHECKS section 2; the integral itself by the midpoint rule.
func TestSineAgainstIntegral(t *testing.T) {
	for _, c := range []struct{ tmin, tmax, base, want, tolerance float64 }{
		{0, 20, 10, 10 / math.Pi, 1e-12},
		{5, 15, 10, 5 / math.Pi, 1e-12},
		{5, 25, 10, 6.0900, 5e-5},
		{10, 10, 10, 0, 0},
		{12, 12, 10, 2, 0},
	} {
		if got := climate.SineDegreeDays(c.tmin, c.tmax, c.base, inf); !near(got, c.want, c.tolerance) {
			t.Errorf("sine(%v, %v, base %v) = %v, want %v", c.tmin, c.tmax, c.base, got, c.want)
		}
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		tmin := r.Float64()*40 - 15
		tmax, base := tmin+r.Float64()*25, r.Float64()*15
		upper := base + r.Float64()*25
		const steps = 20000
		sum := 0.0
		for i := range steps {
			v := (tmin+tmax)/2 + (tmax-tmin)/2*math.Sin(2*math.Pi*(float64(i)+0.5)/steps)
			sum += math.Max(0, math.Min(v, upper)-base)
		}
		if got := climate.SineDegreeDays(tmin, tmax, base, upper); !near(got, sum/steps, 1e-4) {
			t.Errorf("sine(%v, %v, %v, %v) = %v, integral %v", tmin, tmax, base, upper, got, sum/steps)
		}
	}
	if got := climate.SineDegreeDays(math.NaN(), 20, 10, inf); !math.IsNaN(got) {
		t.Errorf("a missing Tmin gave %v degree-days", got)
	}
}

// Source: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300, table 1,
// base 0 °C, method 1, exact; total computed.
func TestMeanMethod(t *testing.T) {
	sum := 0.0
	for _, c := range []struct {
		id               string
		tmax, tmin, want float64
	}{
		{"DD-20", 20, 10, 15}, {"DD-21", 10, 1, 5.5}, {"DD-22", 8, -2, 3}, {"DD-23", 6, 0, 3}, {"DD-24", 10, 5, 7.5},
		{"DD-25", 5, -5, 0}, {"DD-26", -2, -7, 0}, {"DD-27", -5, -10, 0}, {"DD-28", 10, -2, 4}, {"DD-29", 15, 2, 8.5},
	} {
		got := climate.MeanDegreeDays(c.tmin, c.tmax, 0, inf)
		if got != c.want {
			t.Errorf("%s: %v, printed %v", c.id, got, c.want)
		}
		sum += got
	}
	if sum != 46.5 {
		t.Errorf("total %v, want 46.5", sum)
	}
}

// Source: xclim unit tests of heating, cooling and growing degree-days, which
// are sums over daily means; a day of Tmin = Tmax has that mean in every
// method. Heating degree-days below 17 °C are the growing ones of the mirrored
// temperatures.
func TestDegreeDaysOfDailyMeans(t *testing.T) {
	for name, method := range map[string]func(a, b, base, upper float64) float64{
		"sine": climate.SineDegreeDays, "mean": climate.MeanDegreeDays,
	} {
		sum := func(sign, base float64, means ...float64) (total float64) {
			for _, m := range means {
				total += method(sign*m, sign*m, sign*base, inf)
			}
			return total
		}
		if got := sum(-1, 17, 14, 15, 16, 17, 18, 19, 20, 17, 17); got != 6 {
			t.Errorf("%s: heating degree-days %v, want 6", name, got)
		}
		if got := sum(1, 18, 20, 25, -15, 19); got != 10 {
			t.Errorf("%s: cooling degree-days %v, want 10", name, got)
		}
		if got := sum(1, 4, 0, 5, 4, -3); got != 1 {
			t.Errorf("%s: growing degree-days %v, want 1", name, got)
		}
	}
}

func TestDegreeDayProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 5000 {
		tmin := math.Round(r.Float64()*500-250) / 10
		tmax := tmin + math.Round(r.Float64()*250)/10
		base := math.Round(r.Float64()*150) / 10
		upper := base + math.Round(r.Float64()*250)/10
		for name, method := range map[string]func(a, b, base, upper float64) float64{
			"sine": climate.SineDegreeDays, "mean": climate.MeanDegreeDays,
		} {
			dd := method(tmin, tmax, base, upper)
			if dd < 0 || dd > upper-base+1e-6 {
				t.Fatalf("%s(%v, %v, %v, %v) = %v is outside 0..upper-base", name, tmin, tmax, base, upper, dd)
			}
			if lower := method(tmin, tmax, base-1, upper); lower < dd-1e-6 {
				t.Fatalf("%s(%v, %v): base %v gives %v, a degree lower %v", name, tmin, tmax, base, dd, lower)
			}
			if warmer := method(tmin+0.1, tmax+0.1, base, upper); warmer < dd-1e-6 {
				t.Fatalf("%s(%v, %v, %v, %v) = %v falls to %v on a warmer day", name, tmin, tmax, base, upper, dd, warmer)
			}
		}
		m1 := climate.MeanDegreeDays(tmin, tmax, base, inf)
		m2 := (max(base, tmin)+max(base, tmax))/2 - base // method 2: held above base first
		sine := climate.SineDegreeDays(tmin, tmax, base, inf)
		// The part above base is convex, so averaging first gives the least.
		if m2 < m1-1e-6 || sine < m1-1e-6 || sine > m2+1e-6 {
			t.Fatalf("(%v, %v, base %v): mean %v, sine %v, clamped %v are out of order", tmin, tmax, base, m1, sine, m2)
		}
	}
}
