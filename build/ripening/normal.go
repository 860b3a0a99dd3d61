package ripening

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// The normal distribution is read from a table with nodes 1/64 apart and
// carried on from the nearest one by Taylor's series of the third order; φ is
// that cubic's derivative. The largest errors are 1e-10 in Φ and 1e-7 in φ.
// Beyond ±7 they are 0 or 1 and 0, which is 1.3e-12 off in Φ.
const (
	normalReach = 7
	normalSteps = 64 // nodes in one standard deviation
	normalLast  = 2 * normalReach * normalSteps
)

// normalNode holds the cubic around a node, by u, the distance from it in
// steps.
type normalNode struct{ c0, c1, c2, c3 float64 }

var normalTable = func() (t [normalLast + 1]normalNode) {
	const step = 1.0 / normalSteps
	for k := range t {
		z := float64(k)*step - normalReach
		pdf := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
		// φ has the derivatives −zφ and (z²−1)φ.
		t[k] = normalNode{math.Erfc(-z/math.Sqrt2) / 2, pdf * step, -z * pdf * step * step / 2, (z*z - 1) * pdf * step * step * step / 6}
	}
	t[0], t[normalLast] = normalNode{}, normalNode{c0: 1}
	return t
}()

// normalZero is the place of z = 0, in steps, half a step on so that cutting
// off the fraction finds the nearest node.
const normalZero = normalReach*normalSteps + 0.5

// nodeAt returns the node nearest to z and the distance from it in steps, for
// t = z·normalSteps + normalZero.
func nodeAt(t float64) (*normalNode, float64) {
	if !(t > 0) {
		t = 0
	} else if t > normalLast {
		t = normalLast
	}
	k := int(t)
	return &normalTable[k], t - 0.5 - float64(k)
}

func (n *normalNode) cdf(u float64) float64 { return n.c0 + u*(n.c1+u*(n.c2+u*n.c3)) }

// slope is the derivative of cdf by u: φ over normalSteps.
func (n *normalNode) slope(u float64) float64 { return n.c1 + u*(2*n.c2+3*u*n.c3) }

// normal returns Φ(z) and φ(z) of the standard normal distribution.
func normal(z float64) (cdf, pdf float64) {
	n, u := nodeAt(z*normalSteps + normalZero)
	return n.cdf(u), n.slope(u) * normalSteps
}

// inverse returns 1/sd; without scatter a number so large that Φ is a step.
func inverse(sd float64) float64 {
	if sd > 0 {
		return 1 / sd
	}
	return 1e12
}

// phi is Φ(gap/sd); without scatter it is a step at any gap but 0, where it is
// a half.
func phi(gap, sd float64) float64 {
	p, _ := normal(gap * inverse(sd))
	return p
}

// probit returns the quantile of a chance in 0...1 and its density.
func probit(p float64) (z, density float64) {
	z = distuv.UnitNormal.Quantile(p)
	_, density = normal(z)
	return z, density
}
