package needs

import (
	"fmt"
	"math"
	"testing"
)

// slopes differences a term numerically: its first derivatives from the log
// likelihood, its second ones from the first, by Richardson's extrapolation.
func slopes(at func(eta, lambda, rho float64) term, eta, lambda, rho, s float64) term {
	diff := func(h float64, f func(float64) float64) float64 {
		d := func(h float64) float64 { return (f(h) - f(-h)) / (2 * h) }
		return (4*d(h/2) - d(h)) / 3
	}
	const h = 2e-3
	byEta := func(f func(term) float64) float64 {
		return diff(h*s, func(d float64) float64 { return f(at(eta+d, lambda, rho)) })
	}
	byLambda := func(f func(term) float64) float64 {
		return diff(h, func(d float64) float64 { return f(at(eta, lambda+d, rho)) })
	}
	byRho := func(f func(term) float64) float64 {
		return diff(h, func(d float64) float64 { return f(at(eta, lambda, rho+d)) })
	}
	l := func(t term) float64 { return t.l }
	e := func(t term) float64 { return t.e }
	sd := func(t term) float64 { return t.s }
	r := func(t term) float64 { return t.r }
	return term{
		l: at(eta, lambda, rho).l, e: byEta(l), s: byLambda(l), r: byRho(l),
		ee: byEta(e), es: byEta(sd), ss: byLambda(sd),
		er: byRho(e), sr: byRho(sd), rrr: byRho(r),
	}
}

func (t term) parts() [10]float64 {
	return [10]float64{t.l, t.e, t.s, t.ee, t.es, t.ss, t.r, t.er, t.sr, t.rrr}
}

// Every term's derivatives against differences, near and far from the mean,
// in narrow and wide intervals, with and without the correction.
func TestTermDerivatives(t *testing.T) {
	const s = 80.0
	for _, kind := range []Kind{Exact, Between, Above, Below} {
		for _, x := range []float64{-12, -3, -0.4, 0, 1.1, 6} {
			for _, width := range []float64{1e-5, 0.01, 0.3, 4} {
				for _, supply := range []float64{math.NaN(), -4, 0.5, 3} {
					at := func(eta, lambda, rho float64) term {
						sd := math.Exp(lambda)
						lo := 1300 + x*s
						c := censored(kind, lo, lo+width*s, eta, sd)
						if !math.IsNaN(supply) {
							c.seen(kind == Above, (1300+supply*s-eta)/sd, sd, 1/(1+math.Exp(-rho)))
						}
						return c
					}
					want := slopes(at, 1300, math.Log(s), -0.8, s).parts()
					got := at(1300, math.Log(s), -0.8).parts()
					name := fmt.Sprintf("%v at %g, width %g, supply %g", kind, x, width, supply)
					for i := range got {
						if math.Abs(got[i]-want[i]) > 1e-6*(1+math.Abs(want[i])) {
							t.Errorf("%s: part %d is %.10g, by difference %.10g", name, i, got[i], want[i])
						}
					}
					if kind != Between {
						break
					}
				}
			}
		}
	}
}

// Where the integrated interval passes into the differenced one, both agree.
func TestSliverMeetsBetween(t *testing.T) {
	const s = 75.0
	for _, a := range []float64{-20, -2, 0, 0.7, 9} {
		b := a + narrow/math.Max(1, math.Abs(a))
		got, want := sliver(a, b, s).parts(), between(a, b+1e-12, s).parts()
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-7*(1+math.Abs(want[i])) {
				t.Errorf("from %g: part %d: %.12g integrated, %.12g differenced", a, i, got[i], want[i])
			}
		}
	}
}

// A narrow interval tells what an exact report tells, up to its width.
func TestSliverIsExactInTheLimit(t *testing.T) {
	s, x := 80.0, 1.3
	got, want := sliver(x-5e-10, x+5e-10, s), exact(x, s)
	if math.Abs(got.l-math.Log(1e-9)-(want.l+math.Log(s))) > 1e-6 ||
		!near(got.e, want.e, 1e-9) || !near(got.ee, want.ee, 1e-9) || !near(got.ss, want.ss, 1e-9) {
		t.Errorf("sliver %+v, exact %+v", got, want)
	}
}

// With r = 1 every failure is reported and nothing is corrected.
func TestSeenOfEverything(t *testing.T) {
	for _, kind := range []Kind{Below, Above} {
		plain := censored(kind, 1310, 1310, 1290, 70)
		got := plain
		got.seen(kind == Above, 0.3, 70, 1)
		if math.Abs(got.l-plain.l) > 1e-12 || math.Abs(got.e-plain.e) > 1e-12 || math.Abs(got.ss-plain.ss) > 1e-12 {
			t.Errorf("%v: with r = 1 %+v, plain %+v", kind, got, plain)
		}
	}
}
