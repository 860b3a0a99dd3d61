package climate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ripeward/build/climate"
)

func TestQuantileType7(t *testing.T) {
	ten := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	dates := []float64{95, 100, 104, 108, 112, 115, 118, 121, 126, 140}
	for _, c := range []struct {
		id      string
		sample  []float64
		p, want float64
	}{
		// QU-1: numpy test_linear_interpolation, type 7.
		{"QU-1", []float64{15, 20, 35, 40, 50}, 0.40, 29},
		// QU-2, QU-3: base R quantile(), type 7.
		{"QU-2", ten, 0.1, 1.9}, {"QU-2", ten, 0.25, 3.25}, {"QU-2", ten, 0.5, 5.5}, {"QU-2", ten, 0.9, 9.1},
		{"QU-3", dates, 0.1, 99.5}, {"QU-3", dates, 0.5, 113.5}, {"QU-3", dates, 0.9, 127.4},
		// Ends, by definition.
		{"ends", ten, 0, 1}, {"ends", ten, 1, 10}, {"one value", []float64{7}, 0.3, 7},
	} {
		if got := climate.Quantile(c.sample, c.p); !near(got, c.want, 1e-9) {
			t.Errorf("%s: quantile %v = %v, want %v", c.id, c.p, got, c.want)
		}
	}
	if !math.IsNaN(climate.Quantile(nil, 0.5)) || !math.IsNaN(climate.Median(nil)) {
		t.Error("an empty sample has a quantile")
	}
}

func TestQuantileIsMonotoneAndMedianIsItsMiddle(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		s := make([]float64, 1+r.IntN(60))
		for i := range s {
			s[i] = float64(r.IntN(30)) // with ties
		}
		before := slices.Clone(s)
		median := climate.Median(s)
		if !slices.Equal(s, before) {
			t.Fatal("Median changed its argument")
		}
		slices.Sort(s)
		if want := climate.Quantile(s, 0.5); !near(median, want, 1e-12) {
			t.Fatalf("median of %v is %v, quantile 0.5 %v", s, median, want)
		}
		last := s[0]
		for p := 0.0; p <= 1; p += 0.01 {
			q := climate.Quantile(s, p)
			if q < last || q > s[len(s)-1] {
				t.Fatalf("quantile %v of %v is %v after %v", p, s, q, last)
			}
			last = q
		}
	}
}

func TestOrderInterval(t *testing.T) {
	for _, c := range []struct {
		n         int
		p         float64
		low, high int
		why       string
	}{
		// Source: binomial tails worked out by hand from the definition.
		{10, 0.5, 2, 9, "P(B≤1) = 11/1024 = .0107, P(B≤2) = .0547"},
		{30, 0.1, 1, 7, "P(B=0) = .9^30 = .0424; P(B≥7) = .0258, P(B≥6) = .0732"},
		{30, 0.9, 24, 30, "mirror of 0.1"},
		{30, 0.5, 11, 20, "P(B≤10) = .0494"},
		{24, 0.1, 1, 7, "P(B=0) = .0798 leaves .0202 above: P(B≥6) = .0277, P(B≥7) = .0075"},
		{15, 0.1, 0, 5, "P(B=0) = .206: no lower end; P(B≥4) = .0556, P(B≥5) = .0127"},
		{1, 0.5, 0, 0, "one value bounds nothing"},
		{0, 0.5, 0, 0, "no value"},
	} {
		low, high := climate.OrderInterval(c.n, c.p, 0.9)
		if low != c.low || high != c.high {
			t.Errorf("n %d, p %v: %d..%d, want %d..%d (%s)", c.n, c.p, low, high, c.low, c.high, c.why)
		}
	}
	// The interval covers the true quantile as often as it says: by simulation.
	r := rand.New(rand.NewPCG(7, 8))
	for _, n := range []int{22, 24, 30, 60} {
		for _, p := range []float64{0.1, 0.5, 0.9} {
			low, high := climate.OrderInterval(n, p, 0.9)
			if low == 0 || high == 0 || low > high {
				t.Errorf("n %d, p %v: %d..%d is no interval", n, p, low, high)
				continue
			}
			const runs = 4000
			hits := 0
			for range runs {
				s := make([]float64, n)
				for i := range s {
					s[i] = r.Float64()
				}
				slices.Sort(s)
				if s[low-1] <= p && p <= s[high-1] {
					hits++
				}
			}
			if share := float64(hits) / runs; share < 0.885 {
				t.Errorf("n %d, p %v: covered %v of the time", n, p, share)
			}
		}
	}
}

func TestWilson(t *testing.T) {
	for _, c := range []struct {
		id        string
		k, n      int
		low, high float64
		tolerance float64
	}{
		// WI-1..4: R prop.test(correct=FALSE) on cases of Newcombe 1998.
		{"WI-1", 81, 263, 0.2552885, 0.3662096, 5e-8},
		{"WI-2", 15, 148, 0.0624, 0.1605, 5e-5},
		{"WI-3", 0, 20, 0, 0.1611, 5e-5},
		{"WI-4", 1, 29, 0.0061, 0.1718, 5e-5},
		// WI-5, 6: R binom.wilson; WI-7: an R notebook; WI-8: R prop.test.
		{"WI-5", 18, 20, 0.6989664, 0.9721335, 5e-8},
		{"WI-6", 10, 10, 0.7224672, 1, 5e-8},
		{"WI-7", 6, 32, 0.08889545, 0.35309155, 5e-9},
		{"WI-8", 0, 30, 0, 0.1135134, 5e-8},
		{"WI-8", 3, 30, 0.0345999, 0.2562108, 5e-8},
		{"WI-8", 15, 30, 0.3315413, 0.6684587, 5e-8},
	} {
		low, high := climate.Wilson(c.k, c.n, z95)
		if !near(low, c.low, c.tolerance) || !near(high, c.high, c.tolerance) {
			t.Errorf("%s: %d/%d gives %v-%v, want %v-%v", c.id, c.k, c.n, low, high, c.low, c.high)
		}
		l90, h90 := climate.Wilson(c.k, c.n, climate.Z90)
		if l90 < low || h90 > high {
			t.Errorf("%s: the 90 %% interval is wider than the 95 %% one", c.id)
		}
	}
	// By definition an end p solves |k/n - p| = z·sqrt(p(1-p)/n).
	for k := 1; k < 30; k++ {
		low, high := climate.Wilson(k, 30, climate.Z90)
		for _, p := range []float64{low, high} {
			if got, want := math.Abs(float64(k)/30-p), climate.Z90*math.Sqrt(p*(1-p)/30); !near(got, want, 1e-12) {
				t.Errorf("%d/30: the end %v does not solve the score equation", k, p)
			}
		}
	}
	if low, high := climate.Wilson(0, 0, z95); low != 0 || high != 1 {
		t.Errorf("no trial gives %v-%v, want 0-1", low, high)
	}
}

func ExampleWilson() {
	low, high := climate.Wilson(3, 30, z95)
	fmt.Printf("%.3f-%.3f", low, high)
	// Output: 0.035-0.256
}

// z95 is that of 95 %, at which the published intervals stand.
const z95 = 1.959963984540054
