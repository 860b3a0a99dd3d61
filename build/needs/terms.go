package needs

import "math"

// A term is the log likelihood of one report of a quantity that is normal
// with mean eta and standard deviation s, with its first and second
// derivatives in eta, in λ = ln s and, where unreported failures are allowed
// for, in ρ = logit r.
type term struct {
	l              float64
	e, s           float64 // ∂/∂eta, ∂/∂λ
	ee, es, ss     float64
	r, er, sr, rrr float64 // ∂/∂ρ, ∂²/∂eta∂ρ, ∂²/∂λ∂ρ, ∂²/∂ρ²
}

// narrow is the width in standard deviations (times the distance from the
// mean, where that is above 1) below which an interval's probability is
// integrated rather than differenced.
const narrow = 0.1

// censored returns the term of one report. An interval of no width is an
// exact report: no heat fell while it was open.
func censored(kind Kind, lo, hi, eta, s float64) term {
	switch kind {
	case Above:
		return above((lo-eta)/s, s)
	case Below:
		return below((hi-eta)/s, s)
	case Between:
		if hi > lo {
			return between((lo-eta)/s, (hi-eta)/s, s)
		}
	}
	return exact((lo-eta)/s, s)
}

// exact: ln φ(x) − ln s with x = (h − eta)/s.
func exact(x, s float64) term {
	return term{
		l: -0.5*x*x - lnSqrt2Pi - math.Log(s),
		e: x / s, s: x*x - 1,
		ee: -1 / (s * s), es: -2 * x / s, ss: -2 * x * x,
	}
}

// below: ln Φ(x).
func below(x, s float64) term {
	ln, m, mx := lnCDF(x)
	return standard(ln, m, -m*mx, x, s)
}

// above: ln Φ(−x).
func above(x, s float64) term {
	ln, m, mx := lnCDF(-x)
	return standard(ln, -m, -m*mx, x, s)
}

// standard turns a function of x = (h − eta)/s with derivatives f1, f2 in x
// into one of eta and λ.
func standard(f, f1, f2, x, s float64) term {
	return term{
		l: f,
		e: -f1 / s, s: -x * f1,
		ee: f2 / (s * s), es: (f2*x + f1) / s, ss: x * (x*f2 + f1),
	}
}

// between: ln(Φ(b) − Φ(a)).
func between(a, b, s float64) term {
	if far := math.Max(1, math.Max(math.Abs(a), math.Abs(b))); (b-a)*far < narrow {
		return sliver(a, b, s)
	}
	ln := lnBetween(a, b)
	fa := math.Exp(-0.5*a*a - lnSqrt2Pi - ln)
	fb := math.Exp(-0.5*b*b - lnSqrt2Pi - ln)
	e, t := fa-fb, a*fa-b*fb
	return term{
		l: ln,
		e: e / s, s: t,
		ee: (t - e*e) / (s * s),
		es: (a*a*fa - b*b*fb - e - e*t) / s,
		ss: a*(a*a-1)*fa - b*(b*b-1)*fb - t*t,
	}
}

// Nodes and weights of Gauss and Legendre's five-point rule on [−1, 1]
// (Abramowitz and Stegun 1964, table 25.4).
var legendre = [5][2]float64{
	{-0.906179845938664, 0.236926885056189},
	{-0.538469310105683, 0.478628670499366},
	{0, 0.568888888888889},
	{0.538469310105683, 0.478628670499366},
	{0.906179845938664, 0.236926885056189},
}

// sliver is between for an interval so narrow that a difference of
// probabilities would cancel. Its derivatives are those of the exact report,
// averaged over the interval (Fisher's identity).
func sliver(a, b, s float64) term {
	mid, half := 0.5*(a+b), 0.5*(b-a)
	var v, w [len(legendre)]float64
	var p, mean float64
	for i, g := range legendre {
		v[i] = half * g[0]
		w[i] = g[1] * math.Exp(-v[i]*(mid+0.5*v[i]))
		p += w[i]
		mean += w[i] * v[i]
	}
	mean /= p
	var m2, m3, m4 float64 // central moments
	for i := range v {
		c := v[i] - mean
		m2 += w[i] / p * c * c
		m3 += w[i] / p * c * c * c
		m4 += w[i] / p * c * c * c * c
	}
	x := mid + mean
	x2 := x*x + m2
	return term{
		l: math.Log(half*p) - 0.5*mid*mid - lnSqrt2Pi,
		e: x / s, s: x2 - 1,
		ee: (m2 - 1) / (s * s),
		es: (2*x*m2 + m3 - 2*x) / s,
		ss: 4*x*x*m2 + 4*x*m3 + m4 - m2*m2 - 2*x2,
	}
}

// seen adds what it tells that a report was seen at all: with F the chance of
// a success, minus ln(F + r(1−F)), and ln r for a failure. x is
// (Supply − eta)/s.
func (t *term) seen(failure bool, x, s, r float64) {
	f, d := 0.5*math.Erfc(-x/math.Sqrt2), density(x)
	q := r + (1-r)*f
	d1 := (1 - r) * d / q
	d2 := -x*d1 - d1*d1
	c := standard(math.Log(q), d1, d2, x, s)
	r1 := r * (1 - r) * (1 - f) / q
	xr := -r*(1-r)*d/q - d1*r1
	t.l -= c.l
	t.e -= c.e
	t.s -= c.s
	t.ee -= c.ee
	t.es -= c.es
	t.ss -= c.ss
	t.r -= r1
	t.er += xr / s
	t.sr += x * xr
	t.rrr -= (1-2*r)*r1 - r1*r1
	if failure {
		t.l += math.Log(r)
		t.r += 1 - r
		t.rrr -= r * (1 - r)
	}
}
