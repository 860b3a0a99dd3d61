package climate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Quantile returns the p-quantile (0 ≤ p ≤ 1) of sorted by linear
// interpolation, type 7 of Hyndman & Fan 1996 (Am. Stat. 50:361-365), the one
// of WMO-No. 1203, 4.5. An empty sample gives NaN.
func Quantile(sorted []float64, p float64) float64 {
	n := len(sorted)
	if n == 0 || math.IsNaN(p) {
		return math.NaN()
	}
	h := float64(n-1) * min(max(p, 0), 1)
	j := int(h)
	if j >= n-1 {
		return sorted[n-1]
	}
	g := h - float64(j)
	if g == 0 {
		return sorted[j]
	}
	return sorted[j] + g*(sorted[j+1]-sorted[j])
}

// medianInPlace returns the median and leaves s in another order. Selection
// instead of sorting matters to trends, which take medians of hundreds of
// slopes for every measure.
func medianInPlace(s []float64) float64 {
	n := len(s)
	if n == 0 {
		return math.NaN()
	}
	upper := selectNth(s, n/2)
	if n%2 == 1 {
		return upper
	}
	return (slices.Max(s[:n/2]) + upper) / 2
}

// selectNth moves the k-th smallest value of s to s[k], nothing greater before
// it and nothing smaller after it, and returns it (Hoare's selection).
func selectNth(s []float64, k int) float64 {
	lo, hi := 0, len(s)-1
	for lo < hi {
		a, b, c := s[lo], s[(lo+hi)/2], s[hi]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for s[i] < pivot {
				i++
			}
			for s[j] > pivot {
				j--
			}
			if i <= j {
				s[i], s[j] = s[j], s[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return s[k]
		}
	}
	return s[k]
}

// OrderInterval returns the numbers low and high (from 1) of the order
// statistics of a sample of n that bracket the p-quantile of its population
// with at least the given level, by the binomial distribution of the number of
// values below it: the distribution-free interval (David & Nagaraja, Order
// Statistics, 7.1; cited from memory). The tails are equal, (1-level)/2 at
// most each. Where the sample is too small for that on one side but its
// extreme still leaves room, the extreme serves and the other side gets the
// rest of 1-level. Where even that fails, that end is 0: the sample cannot
// bound the quantile on that side, and the other end is one-sided.
func OrderInterval(n int, p, level float64) (low, high int) {
	if n < 1 {
		return 0, 0
	}
	alpha := 1 - level
	b := distuv.Binomial{N: float64(n), P: p}
	below := func(k int) float64 { // chance that k or more values lie below is 1-below(k)
		if k <= 0 {
			return 0
		}
		return b.CDF(float64(k - 1))
	}
	// The low end misses when fewer than low values lie below the quantile,
	// the high end when high or more do.
	lowEnd := func(tail float64) int {
		k := 0
		for k < n && below(k+1) <= tail {
			k++
		}
		return k
	}
	highEnd := func(tail float64) int {
		k := n + 1
		for k > 1 && 1-below(k-1) <= tail {
			k--
		}
		return k % (n + 1)
	}
	low, high = lowEnd(alpha/2), highEnd(alpha/2)
	switch least, most := below(1), 1-below(n); {
	case low == 0 && high != 0 && least < alpha:
		if h := highEnd(alpha - least); h != 0 {
			low, high = 1, h
		}
	case high == 0 && low != 0 && most < alpha:
		if l := lowEnd(alpha - most); l != 0 {
			low, high = l, n
		}
	}
	return low, high
}

// Z90 is the z-value of a two-sided interval of 90 % of a normal distribution.
const Z90 = 1.6448536269514722

// Wilson returns the score interval of a share of k out of n (Wilson 1927, J.
// Am. Stat. Assoc. 22:209-212), without continuity correction, for a z-value
// like Z90. n = 0 gives 0 and 1.
func Wilson(k, n int, z float64) (low, high float64) {
	if n <= 0 {
		return 0, 1
	}
	N := float64(n)
	p := float64(k) / N
	q := z * z / N
	centre := p + q/2
	half := z * math.Sqrt(p*(1-p)/N+q/(4*N))
	low, high = (centre-half)/(1+q), (centre+half)/(1+q)
	// Rounding must not push an end past the ends it reaches exactly.
	if k == 0 {
		low = 0
	}
	if k == n {
		high = 1
	}
	return low, high
}
