package climate_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/quantity"
)

// Source: the test-suite of the Python package lmoments (a port of J. R. M.
// Hosking's LMOMENTS), also used by xclim: a sample of eleven, its L-moments,
// the parameters by PELGEV and quantiles by QUAGEV.
func TestGEVWorkedExample(t *testing.T) {
	x := []float64{2.0, 3.0, 4.0, 2.4, 5.5, 1.2, 5.4, 2.2, 7.1, 1.3, 1.5}
	slices.Sort(x)
	l1, l2, t3 := climate.LMoments(x)
	if !near(l1, 3.2363636, 1e-7) || !near(l2, 1.1418182, 1e-7) || !near(t3, 0.2738854, 1e-7) {
		t.Errorf("L-moments %v, %v, %v; want 3.2363636, 1.1418182, 0.2738854", l1, l2, t3)
	}
	g := climate.FitGEV(l1, l2, t3)
	if !near(g.Location, 2.1792884, 1e-6) || !near(g.Scale, 1.3956404, 1e-6) || !near(g.Shape, -0.1555609, 1e-6) {
		t.Errorf("fitted %+v; want 2.1792884, 1.3956404, -0.1555609", g)
	}
	for f, want := range map[float64]float64{0.2: 1.539112, 0.5: 2.705672, 0.8: 4.537048} {
		if got := g.Quantile(f); !near(got, want, 2e-6) {
			t.Errorf("quantile %v is %v, want %v", f, got, want)
		}
	}
}

// A fit gives back the distribution that L-moments were taken from (Hosking
// 1990, table 1), Gumbel's among them.
func TestFitGEVInverts(t *testing.T) {
	for _, k := range []float64{-0.6, -0.3, -0.1, -1e-4, 0, 1e-4, 0.1, 0.28, 0.5, 1, 2} {
		l1, l2, t3 := 0.57721566490153286, math.Ln2, 2*math.Log(3)/math.Ln2-3
		if k != 0 {
			g := math.Gamma(1 + k)
			l1, l2, t3 = (1-g)/k, (1-math.Pow(2, -k))*g/k, 2*(1-math.Pow(3, -k))/(1-math.Pow(2, -k))-3
		}
		got := climate.FitGEV(3+2*l1, 2*l2, t3)
		if !near(got.Location, 3, 1e-4) || !near(got.Scale, 2, 1e-4) || !near(got.Shape, k, 1e-5) {
			t.Errorf("shape %v: fitted %+v, want 3, 2", k, got)
		}
	}
}

// draw makes n winter minima of a distribution of negated minima.
func draw(r *rand.Rand, g climate.GEV, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = -g.Quantile(r.Float64())
	}
	return out
}

// The 90 % interval holds the true level in about 90 % of simulated records.
func TestReturnLevelCoverage(t *testing.T) {
	const runs = 250
	for _, c := range []struct {
		shape float64
		n     int
	}{{0.2, 30}, {0, 30}, {0.2, 60}, {-0.1, 25}} {
		r := rand.New(rand.NewPCG(uint64(c.n), uint64(100+100*c.shape)))
		g := climate.GEV{Location: 22, Scale: 4, Shape: c.shape}
		var held [2]int
		for range runs {
			for i, l := range climate.ReturnLevels(draw(r, g, c.n), 10, 30) {
				truth := -g.Quantile(1 - 1/float64(l.Winters))
				if !l.OK || l.Low > l.V || l.V > l.High {
					t.Fatalf("level %+v", l)
				}
				if l.Low <= truth && truth <= l.High {
					held[i]++
				}
			}
		}
		for i, h := range held {
			share := float64(h) / runs
			t.Logf("shape %v, %d winters, level %d: %.3f", c.shape, c.n, []int{10, 30}[i], share)
			if share < 0.82 || share > 0.97 {
				t.Errorf("shape %v, %d winters, level %d: the interval holds the truth in %.3f of records", c.shape, c.n, []int{10, 30}[i], share)
			}
		}
	}
}

// Shifted or scaled winters give shifted or scaled levels, the order of winters
// does not matter, colder levels are rarer.
func TestReturnLevelProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	minima := draw(r, climate.GEV{Location: 20, Scale: 4, Shape: 0.15}, 40)
	base := climate.ReturnLevels(minima, 10, 30)
	if base[1].V >= base[0].V || base[0].Winters != 10 || base[1].Winters != 30 {
		t.Errorf("levels %+v", base)
	}
	moved := make([]float64, len(minima))
	for i, v := range minima {
		moved[len(minima)-1-i] = 1.8*v + 32 // °F
	}
	for i, l := range climate.ReturnLevels(moved, 10, 30) {
		b := base[i]
		if !near(l.V, 1.8*b.V+32, 1e-6) || !near(l.Low, 1.8*b.Low+32, 1e-6) || !near(l.High, 1.8*b.High+32, 1e-6) {
			t.Errorf("in °F %+v, in °C %+v", l, b)
		}
	}
	if again := climate.ReturnLevels(minima, 10, 30); !slices.Equal(again, base) {
		t.Error("the same winters give other levels")
	}
	if few := climate.ReturnLevels(minima[:climate.ReturnWinters-1], 10); few[0].OK || few[0].Winters != 10 {
		t.Errorf("19 winters give %+v", few)
	}
	if enough := climate.ReturnLevels(minima[:climate.ReturnWinters], 10); !enough[0].OK {
		t.Error("20 winters give no level")
	}
	alike := make([]float64, 25)
	for i := range alike {
		alike[i] = -12.3
	}
	if l := climate.ReturnLevels(alike, 30)[0]; !near(l.V, -12.3, 1e-9) || !near(l.Low, -12.3, 1e-9) || !l.OK {
		t.Errorf("winters alike give %+v", l)
	}
}

// Over a span of seasons, only valid winters count, and the levels are those of
// their minima.
func TestWinterReturnLevels(t *testing.T) {
	var seasons []climate.Season
	var minima []float64
	r := rand.New(rand.NewPCG(7, 8))
	for i, v := range draw(r, climate.GEV{Location: 20, Scale: 4, Shape: 0.15}, 40) {
		v = quantity.Step(v, 0.1)
		s := climate.Season{Year: 1981 + i, WinterMin: climate.Value{V: v, OK: i%7 != 0}}
		seasons = append(seasons, s)
		if s.WinterMin.OK && s.Year >= 1991 {
			minima = append(minima, v)
		}
	}
	got, n := climate.WinterReturnLevels(seasons, climate.Span{First: 1991, Last: 2020})
	if n != len(minima) || n >= 30 || !slices.Equal(got[:], climate.ReturnLevels(minima, 10, 30)) {
		t.Errorf("%d winters: %+v", n, got)
	}
}
