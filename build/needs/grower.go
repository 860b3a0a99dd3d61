package needs

import "math"

// A garden is one grower's reports as they enter a fit.
type garden struct {
	grower int
	cols   []int // the fit's column of each need, then of a and b, then of ρ
	needs  []int // the needs, ascending
	items  []item
	closed bool // all exact and uncorrected: the integral is a Gaussian's
}

// An item is a report with the place of its need in the garden's list.
type item struct {
	Observation
	at        int
	corrected bool // for unreported failures
}

// scale is what an item's term needs at one value of the parameters.
type scale struct {
	mu, g float64 // eta = mu + z·g
	s, w  float64 // sd of the report, ∂ ln s/∂ ln Y
}

// Limits of the integration over a garden's effect. Even nodes converge
// faster than any power of their spacing h for a smooth integrand that falls
// off like a Gaussian (Trefethen and Weideman 2014,
// SIAM Review 56, 385–458): halving h squares the
// error at least, so the sums over all nodes and over every second one need
// only agree to spread.
const (
	drop     = 32.0 // of the log integrand at the ends
	minNodes = 33
	maxNodes = 4097 // enough for any scatter within the parameters' bounds that data support
	spread   = 1e-6
)

// moments are a garden's log marginal likelihood with its gradient and
// Hessian over the garden's columns.
type moments struct {
	l    float64
	grad []float64
	hess []float64 // len(grad)², row by row
}

// integrator integrates over one garden's effect; it keeps scratch space.
type integrator struct {
	*garden
	sc     []scale
	r      float64
	size   int // of a record
	rec    []float64
	weight []float64
	nodes  int
}

// marginal returns the garden's moments at a point: by Fisher's identity the
// mean, over the garden effect given the reports, of the score, and of the
// Hessian plus the score's covariance.
func (v *integrator) marginal(g *garden, sc []scale, r float64) moments {
	v.garden, v.sc, v.r = g, sc, r
	q, m := len(g.cols), len(g.needs)
	v.size = 1 + q + 4*m + 6
	mode, curve := v.mode()
	if g.closed {
		v.gauss(mode, curve)
	} else {
		v.even(mode, curve)
	}
	return v.fold(q, m)
}

// line returns the log integrand (without the constant of the standard normal
// density) and its first two derivatives in z.
func (v *integrator) line(z float64) (f, f1, f2 float64) {
	f, f1, f2 = -0.5*z*z, -z, -1
	for i := range v.items {
		t := v.term(i, z)
		g := v.sc[i].g
		f += t.l
		f1 += t.e * g
		f2 += t.ee * g * g
	}
	return f, f1, f2
}

func (v *integrator) term(i int, z float64) term {
	it, c := &v.items[i], &v.sc[i]
	eta := c.mu + z*c.g
	t := censored(it.Kind, it.Lo, it.Hi, eta, c.s)
	if it.corrected {
		t.seen(it.Kind == Above, (it.Supply-eta)/c.s, c.s, v.r)
	}
	return t
}

// mode returns the highest point of the log integrand and the curvature
// (minus the second derivative) there. The reports' own terms are concave in
// z; a correction is not, so where there is one the climb starts from the best
// of a coarse row of points.
func (v *integrator) mode() (z, curve float64) {
	f, f1, f2 := v.line(0)
	for i := range v.items {
		if !v.items[i].corrected {
			continue
		}
		for s := -6.0; s <= 6; s++ {
			if g, g1, g2 := v.line(s); g > f {
				z, f, f1, f2 = s, g, g1, g2
			}
		}
		break
	}
	for range 100 {
		step := f1 / math.Max(-f2, 0.1)
		if math.Abs(f1*step) < 1e-9 {
			break
		}
		better := false
		for range 40 {
			if g, g1, g2 := v.line(z + step); g > f {
				z, f, f1, f2 = z+step, g, g1, g2
				better = true
				break
			}
			step /= 2
		}
		if !better {
			break
		}
	}
	return z, math.Max(-f2, 0.1)
}

// gauss lays the three nodes of Gauss and Hermite's rule, exact here: the
// integrand is a Gaussian times polynomials of degree four at most.
func (v *integrator) gauss(mode, curve float64) {
	v.reset(3)
	sd := 1 / math.Sqrt(curve)
	for j, x := range [3]float64{-math.Sqrt(1.5), 0, math.Sqrt(1.5)} {
		share := 1.0 / 6
		if j == 1 {
			share = 2.0 / 3
		}
		v.weight[j] = math.Log(share*sd*math.Sqrt(2*math.Pi)) + x*x
		v.record(j, mode+math.Sqrt2*sd*x)
	}
}

// even lays even nodes over all of the integrand that counts.
func (v *integrator) even(mode, curve float64) {
	sd := 1 / math.Sqrt(curve)
	lo, hi := v.reach(mode, -sd), v.reach(mode, sd)
	n := max(minNodes, 1+2*int(math.Min(maxNodes/2, math.Ceil(1.5*(hi-lo)/sd))))
	for {
		v.reset(n)
		h := (hi - lo) / float64(n-1)
		for j := range n {
			v.weight[j] = math.Log(h)
			v.record(j, lo+float64(j)*h)
		}
		if 2*n-1 > maxNodes || v.settled() {
			return
		}
		n = 2*n - 1
	}
}

// reach steps out from the mode until the log integrand has dropped enough.
func (v *integrator) reach(mode, step float64) float64 {
	top, _, _ := v.line(mode)
	z := mode
	for {
		z += step
		f, _, _ := v.line(z)
		if top = math.Max(top, f); top-f > drop {
			return z
		}
		step *= 1.2
	}
}

func (v *integrator) reset(n int) {
	v.nodes = n
	if len(v.rec) < n*v.size {
		v.rec = make([]float64, n*v.size)
	}
	if len(v.weight) < n {
		v.weight = make([]float64, n)
	}
	clear(v.rec[:n*v.size])
}

// settled says whether all nodes and every second one give the same integral.
func (v *integrator) settled() bool {
	top := math.Inf(-1)
	for j := range v.nodes {
		top = math.Max(top, v.rec[j*v.size])
	}
	var all, half float64
	for j := range v.nodes {
		p := math.Exp(v.rec[j*v.size] - top)
		all += p
		if j%2 == 0 {
			half += 2 * p
		}
	}
	return math.Abs(half/all-1) < spread
}

// record computes, at one node, the log integrand, the score over the
// garden's columns and the Hessian's parts: for each need its entries with
// itself, a, b and ρ; then aa, ab, aρ, bb, bρ, ρρ.
func (v *integrator) record(j int, z float64) {
	q, m := len(v.cols), len(v.needs)
	rec := v.rec[j*v.size : (j+1)*v.size]
	score, byNeed, rest := rec[1:1+q], rec[1+q:1+q+4*m], rec[1+q+4*m:]
	rec[0] = -0.5*z*z - lnSqrt2Pi
	for i := range v.items {
		t, c, at := v.term(i, z), &v.sc[i], v.items[i].at
		zg := z * c.g
		rec[0] += t.l
		score[at] += t.e
		score[m] += t.e * zg
		score[m+1] += t.s * c.w
		h := byNeed[4*at : 4*at+4]
		h[0] += t.ee
		h[1] += t.ee * zg
		h[2] += t.es * c.w
		rest[0] += t.ee*zg*zg + t.e*zg
		rest[1] += t.es * c.w * zg
		rest[3] += t.ss*c.w*c.w + t.s*2*c.w*(1-c.w)
		if q > m+2 {
			score[m+2] += t.r
			h[3] += t.er
			rest[2] += t.er * zg
			rest[4] += t.sr * c.w
			rest[5] += t.rrr
		}
	}
}

// fold weighs the records into the moments.
func (v *integrator) fold(q, m int) moments {
	top := math.Inf(-1)
	for j := range v.nodes {
		top = math.Max(top, v.weight[j]+v.rec[j*v.size])
	}
	sum := 0.0
	for j := range v.nodes {
		v.weight[j] = math.Exp(v.weight[j] + v.rec[j*v.size] - top)
		sum += v.weight[j]
	}
	out := moments{l: top + math.Log(sum), grad: make([]float64, q), hess: make([]float64, q*q)}
	mean := make([]float64, v.size)
	for j := range v.nodes {
		v.weight[j] /= sum
		for i, x := range v.rec[j*v.size : (j+1)*v.size] {
			mean[i] += v.weight[j] * x
		}
	}
	copy(out.grad, mean[1:])
	for j := range v.nodes {
		w, s := v.weight[j], v.rec[j*v.size+1:j*v.size+1+q]
		if w < 1e-20 {
			continue
		}
		for a := range q {
			wa := w * (s[a] - out.grad[a])
			row := out.hess[a*q : a*q+a+1]
			for b := range row {
				row[b] += wa * (s[b] - out.grad[b])
			}
		}
	}
	out.spread(mean[1+q:], q, m)
	return out
}

// spread adds the mean Hessian's parts and fills the upper triangle.
func (o *moments) spread(parts []float64, q, m int) {
	for c := range m {
		h := parts[4*c : 4*c+4]
		o.hess[c*q+c] += h[0]
		for k := m; k < q; k++ {
			o.hess[k*q+c] += h[1+k-m]
		}
	}
	rest := parts[4*m:]
	a, b := m, m+1
	o.hess[a*q+a] += rest[0]
	o.hess[b*q+a] += rest[1]
	o.hess[b*q+b] += rest[3]
	if r := m + 2; r < q {
		o.hess[r*q+a] += rest[2]
		o.hess[r*q+b] += rest[4]
		o.hess[r*q+r] += rest[5]
	}
	for i := range q {
		for k := range i {
			o.hess[k*q+i] = o.hess[i*q+k]
		}
	}
}
