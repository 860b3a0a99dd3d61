package climate

import (
	"math"
	"slices"
)

// pairSlopes appends the slopes between all pairs of points of different x to
// buffer; the trend is their median (Theil 1950; Sen 1968, J. Am. Stat. Assoc.
// 63:1379-1389).
func pairSlopes(x, y, buffer []float64) []float64 {
	n := len(x)
	buffer = slices.Grow(buffer, n*(n-1)/2)
	for i := range n {
		for j := i + 1; j < n; j++ {
			if dx := x[j] - x[i]; dx != 0 {
				buffer = append(buffer, (y[j]-y[i])/dx)
			}
		}
	}
	return buffer
}

// MannKendall tests y, in order of time, for a monotone trend (Mann 1945;
// Kendall 1975; in the form of Gilbert 1987, with the correction for ties). s
// is the number of rising minus falling pairs, varS its variance without a
// trend, z the normal score with continuity correction, and p the two-sided
// chance of a larger |z| by luck alone; p is 1 where nothing varies. The
// normal approximation wants 10 values or more (Gilbert 1987, from memory).
func MannKendall(y []float64) (s int, varS, z, p float64) {
	n := len(y)
	for i, a := range y {
		for _, b := range y[i+1:] {
			if b > a {
				s++
			} else if b < a {
				s--
			}
		}
	}
	sorted := slices.Clone(y)
	slices.Sort(sorted)
	ties := 0 // Σ t(t-1)(2t+5) over groups of t equal values
	for from, to := 0, 0; from < n; from = to {
		for to < n && sorted[to] == sorted[from] {
			to++
		}
		t := to - from
		ties += t * (t - 1) * (2*t + 5)
	}
	varS = float64(n*(n-1)*(2*n+5)-ties) / 18
	switch {
	case varS <= 0 || s == 0:
		return s, varS, 0, 1
	case s > 0:
		z = float64(s-1) / math.Sqrt(varS)
	default:
		z = float64(s+1) / math.Sqrt(varS)
	}
	return s, varS, z, math.Erfc(math.Abs(z) / math.Sqrt2)
}
