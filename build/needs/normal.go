package needs

import "math"

const (
	lnSqrt2Pi  = 0.91893853320467274178 // ln √(2π)
	invSqrt2Pi = 0.39894228040143267794 // 1/√(2π)
)

// tailFrom is where the lower tail passes from erfc to the continued
// fraction, and tailTerms the terms that give it there to the last bits.
const (
	tailFrom  = -8.0
	tailTerms = 24
)

// density is the standard normal density φ(u).
func density(u float64) float64 { return invSqrt2Pi * math.Exp(-0.5*u*u) }

// lnCDF returns ln Φ(u), the ratio m = φ(u)/Φ(u) and the sum m + u, each to
// nearly full relative precision however far out: beyond tailFrom by Laplace's
// continued fraction, Φ(−x) = φ(x)/(x + 1/(x + 2/(x + 3/(x + …)))) (Abramowitz
// and Stegun 1964, 26.2.14).
func lnCDF(u float64) (ln, m, mPlusU float64) {
	switch {
	case u > 0:
		q := 0.5 * math.Erfc(u/math.Sqrt2)
		m = density(u) / (1 - q)
		return math.Log1p(-q), m, m + u
	case u > tailFrom:
		p := 0.5 * math.Erfc(-u/math.Sqrt2)
		m = density(u) / p
		return math.Log(p), m, m + u
	}
	x := -u
	t := x
	for j := float64(tailTerms); j > 1; j-- {
		t = x + j/t
	}
	mPlusU = 1 / t
	m = x + mPlusU
	return -0.5*u*u - lnSqrt2Pi - math.Log(m), m, mPlusU
}

// lnBetween returns ln(Φ(b) − Φ(a)), a < b, without loss where both lie in
// the same tail; intervals much narrower than their distance from 0 are not for
// it (see sliver).
func lnBetween(a, b float64) float64 {
	if a+b > 0 {
		a, b = -b, -a
	}
	if b > -30 { // far from where erfc underflows
		return math.Log(0.5 * (math.Erfc(-b/math.Sqrt2) - math.Erfc(-a/math.Sqrt2)))
	}
	lb, _, _ := lnCDF(b)
	la, _, _ := lnCDF(a)
	return lb + math.Log1p(-math.Exp(la-lb))
}
