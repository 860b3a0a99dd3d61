package ripening

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The table against the standard library's error function.
func TestNormalTable(t *testing.T) {
	worstCDF, worstPDF, before := 0.0, 0.0, 0.0
	for k := -90_000; k <= 90_000; k++ {
		z := float64(k) / 10_007
		p, d := normal(z)
		worstCDF = math.Max(worstCDF, math.Abs(p-math.Erfc(-z/math.Sqrt2)/2))
		worstPDF = math.Max(worstPDF, math.Abs(d-math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)))
		if p < before-3e-10 {
			t.Fatalf("Φ falls at %v", z)
		}
		before = p
	}
	t.Logf("largest errors: Φ %.2g, φ %.2g", worstCDF, worstPDF)
	if worstCDF > 1.5e-10 || worstPDF > 1.5e-7 {
		t.Errorf("largest errors: Φ %v, φ %v", worstCDF, worstPDF)
	}
	for _, c := range []struct{ z, want float64 }{{math.Inf(-1), 0}, {math.Inf(1), 1}, {-1e300, 0}, {1e300, 1}, {0, 0.5}} {
		if p, _ := normal(c.z); p != c.want {
			t.Errorf("Φ(%v) = %v", c.z, p)
		}
	}
	for _, p := range []float64{1e-9, 0.001, 0.2, 0.5, 0.9, 0.9999} {
		if z, d := probit(p); z != distuv.UnitNormal.Quantile(p) || math.Abs(d-distuv.UnitNormal.Prob(z)) > 1.5e-7 {
			t.Errorf("probit of %v: %v, density %v", p, z, d)
		}
	}
}

// Days of ten hours by the table of tangents are those of the full formula.
func TestLastLongDay(t *testing.T) {
	for latitude := -89.0; latitude <= 89; latitude += 0.5 {
		for season := 1999; season <= 2004; season++ {
			y := madeYear(season, latitude)
			got, want := lastLongDay(y, y.Index(y.Hemisphere.RankOf(8, 1))), slowLastLongDay(y)
			if got != want {
				t.Fatalf("latitude %v, season %d: place %d, want %d", latitude, season, got, want)
			}
		}
	}
}
