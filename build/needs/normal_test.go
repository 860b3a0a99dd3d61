package needs

import (
	"math"
	"testing"
)

// near says whether two figures agree to a relative tolerance.
func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Max(1e-300, math.Abs(want))
}

// R 4.2.2: pnorm(q, log.p = TRUE), printed to 17 digits.
func TestLnCDF(t *testing.T) {
	for _, c := range [][2]float64{
		{-1000, -5.0000782669481216e+05}, {-100, -5.0055242086942053e+03},
		{-40, -8.0460844201375380e+02}, {-37, -6.8903058557689064e+02},
		{-20, -2.0391715537109727e+02}, {-8.001, -3.5021559020864885e+01},
		{-7.999, -3.5005316284639321e+01}, {-3, -6.6077262215103492e+00},
		{-1, -1.8410216450092636e+00}, {0, -6.9314718055994529e-01},
		{0.5, -3.6894641528865652e-01}, {3, -1.3508099647481938e-03},
		{8, -6.2209605742717868e-16}, {20, -2.7536241186062337e-89},
	} {
		if ln, _, _ := lnCDF(c[0]); !near(ln, c[1], 1e-13) {
			t.Errorf("ln Φ(%g) = %.17g, R gives %.17g", c[0], ln, c[1])
		}
	}
}

// The ratio φ/Φ is the derivative of ln Φ, and −m(m+u) that of the ratio; both
// pass smoothly from erfc to the continued fraction.
func TestMillsRatio(t *testing.T) {
	for _, u := range []float64{-300, -30, -9, -8.0001, -7.9999, -7, -2, 0, 1, 5} {
		h := 1e-4 * math.Max(1, math.Abs(u))
		lo, mLo, _ := lnCDF(u - h)
		hi, mHi, _ := lnCDF(u + h)
		_, m, sum := lnCDF(u)
		if d := (hi - lo) / (2 * h); !near(m, d, 1e-6) && math.Abs(m-d) > 1e-9 {
			t.Errorf("at %g: ratio %g, slope of ln Φ %g", u, m, d)
		}
		if d := (mHi - mLo) / (2 * h); math.Abs(-m*sum-d) > 1e-6 {
			t.Errorf("at %g: derivative of the ratio %g, by difference %g", u, -m*sum, d)
		}
	}
	_, before, sumBefore := lnCDF(math.Nextafter(tailFrom, 0))
	_, after, sumAfter := lnCDF(tailFrom)
	if !near(before, after, 1e-13) || !near(sumBefore, sumAfter, 1e-11) {
		t.Errorf("a step at %g: %.17g to %.17g, %.17g to %.17g", tailFrom, before, after, sumBefore, sumAfter)
	}
}

func TestLnBetween(t *testing.T) {
	// R 4.2.2: pnorm(−10) and pnorm(−10.5), logs, differenced with log1p.
	const want = -5.3236969371752501e+01
	for _, got := range []float64{lnBetween(-10.5, -10), lnBetween(10, 10.5)} {
		if !near(got, want, 1e-13) {
			t.Errorf("ln(Φ(−10) − Φ(−10.5)) = %.17g, want %.17g", got, want)
		}
	}
	// The two ways meet where one passes into the other.
	before, after := lnBetween(-30.5, math.Nextafter(-30, 0)), lnBetween(-30.5, -30)
	if !near(before, after, 1e-12) {
		t.Errorf("a step at −30: %.17g to %.17g", before, after)
	}
}
