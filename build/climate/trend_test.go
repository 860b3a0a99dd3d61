package climate_test

import (
	"math/rand/v2"
	"testing"

	"ripeward/build/climate"
)

func upTo(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(i)
	}
	return x
}

// TR-1. Source: J. Little, Holy Cross College, "A Mann-Kendall example by
// hand"; two-sided p re-computed.
func TestMannKendallByHand(t *testing.T) {
	y := []float64{12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7}
	s, v, z, p := climate.MannKendall(y)
	if s != 54 || !near(v, 332.667, 5e-4) || !near(z, 2.9058, 5e-5) || !near(p, 0.003663, 5e-7) {
		t.Errorf("S %d, Var %v, Z %v, p %v; want 54, 332.667, 2.9058, 0.003663", s, v, z, p)
	}
	// TR-2, computed: Sen slope of the same series.
	if slope, _ := climate.TheilSen(upTo(len(y)), y); !near(slope, 0.566667, 5e-7) {
		t.Errorf("slope %v, want 0.566667", slope)
	}
}

func TestTheilSen(t *testing.T) {
	// TR-3. Source: Sen 1968, J. Am. Stat. Assoc. 63:1379-1389, by way of
	// scipy test_theilslopes: slope 4, separate intercept 4.
	slope, at0 := climate.TheilSen([]float64{1, 2, 3, 4, 10, 12, 18}, []float64{9, 15, 19, 20, 45, 55, 78})
	if slope != 4 || at0 != 4 {
		t.Errorf("TR-3: %v and %v, want 4 and 4", slope, at0)
	}
	// TR-4. Source: scipy tests, method "separate".
	if slope, at0 = climate.TheilSen(upTo(3), []float64{0, 1, 1}); slope != 0.5 || at0 != 0.5 {
		t.Errorf("TR-4: %v and %v, want 0.5 and 0.5", slope, at0)
	}
}

func TestTrendOfPlainSeries(t *testing.T) {
	// TR-5. Source: pyMannKendall tests, a constant series.
	constant := make([]float64, 360)
	s, _, z, p := climate.MannKendall(constant)
	slope, _ := climate.TheilSen(upTo(360), constant)
	if s != 0 || z != 0 || p != 1 || slope != 0 {
		t.Errorf("TR-5: S %d, Z %v, p %v, slope %v; want 0, 0, 1, 0", s, z, p, slope)
	}
	// TR-6. Source: pyMannKendall tests, 0..359: S 64620, tau 1, slope 1.
	s, _, _, p = climate.MannKendall(upTo(360))
	slope, _ = climate.TheilSen(upTo(360), upTo(360))
	if tau := float64(s) / (360 * 359 / 2); s != 64620 || tau != 1 || slope != 1 || p > 1e-9 {
		t.Errorf("TR-6: S %d, tau %v, slope %v, p %v; want 64620, 1, 1, 0", s, tau, slope, p)
	}
}

// The test holds its level: of random series about 5 % come out below p 0.05.
func TestMannKendallLevel(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	const runs = 4000
	hits := 0
	for range runs {
		y := make([]float64, 30)
		for i := range y {
			y[i] = r.NormFloat64()
		}
		if _, _, _, p := climate.MannKendall(y); p < 0.05 {
			hits++
		}
	}
	if share := float64(hits) / runs; share < 0.035 || share > 0.065 {
		t.Errorf("%v of random series have p < 0.05", share)
	}
}
