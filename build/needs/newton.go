package needs

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// An objective is a function to be maximised; it returns its value, its
// gradient and its Hessian, and −Inf outside its domain.
type objective func(x []float64) (f float64, grad []float64, hess *mat.SymDense)

// An optimum is a local maximum with the Cholesky factor of the negative
// Hessian there.
type optimum struct {
	x     []float64
	f     float64
	chol  mat.Cholesky
	steps int
}

// Limits of Newton's method. The decrement λ² = gᵀ(−H)⁻¹g is the squared
// length of the step in standard errors.
const (
	maxSteps  = 60
	converged = 1e-16
	quadratic = 1e-6 // below it the whole step is taken
)

// newton climbs from x by damped Newton steps, bent where the negative Hessian
// is not positive definite; the metric is a positive diagonal that gives the
// parameters' units. It reports false when there is no optimum with a positive
// definite negative Hessian to be found.
func newton(fn objective, x, metric []float64) (*optimum, bool) {
	o := &optimum{x: append([]float64(nil), x...)}
	f, grad, hess := fn(o.x)
	if math.IsInf(f, -1) || math.IsNaN(f) {
		return o, false
	}
	for o.steps = 0; o.steps < maxSteps; o.steps++ {
		proper, ok := factor(&o.chol, hess, metric)
		if !ok {
			return o, false
		}
		step, decrement := solve(&o.chol, grad)
		if decrement < converged {
			o.f = f
			return o, proper
		}
		next, ok := climb(fn, o.x, step, f, decrement, proper)
		if !ok {
			return o, false
		}
		o.x, f, grad, hess = next.x, next.f, next.grad, next.hess
	}
	return o, false
}

// factor factors −hess where that is positive definite, else what bend makes
// of it; it says which, and whether it could at all.
func factor(c *mat.Cholesky, hess *mat.SymDense, metric []float64) (proper, ok bool) {
	neg := mat.NewSymDense(hess.SymmetricDim(), nil)
	neg.ScaleSym(-1, hess)
	if c.Factorize(neg) {
		return true, true
	}
	return false, bend(neg, metric) && c.Factorize(neg)
}

// bend makes a symmetric matrix positive definite: in units of the metric,
// each eigenvalue is replaced by its size, or by 1 where it is smaller. The
// Newton step then leads away from saddles, by a length that the curvature
// sets (Dauphin et al. 2014, Advances in Neural Information Processing Systems
// 27).
func bend(m *mat.SymDense, metric []float64) bool {
	n := len(metric)
	scaled := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			v := m.At(i, j) / math.Sqrt(metric[i]*metric[j])
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return false
			}
			scaled.SetSym(i, j, v)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(scaled, true) {
		return false
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	sizes := eigen.Values(nil)
	for k, v := range sizes {
		sizes[k] = math.Max(1, math.Abs(v))
	}
	for i := range n {
		for j := range i + 1 {
			sum := 0.0
			for k, size := range sizes {
				sum += vectors.At(i, k) * size * vectors.At(j, k)
			}
			m.SetSym(i, j, sum*math.Sqrt(metric[i]*metric[j]))
		}
	}
	return true
}

// solve returns the step and its decrement.
func solve(c *mat.Cholesky, grad []float64) ([]float64, float64) {
	var d mat.VecDense
	g := mat.NewVecDense(len(grad), grad)
	if err := c.SolveVecTo(&d, g); err != nil {
		// Near singular: the step is still one uphill, or the climb fails.
		if _, near := err.(mat.Condition); !near {
			return make([]float64, len(grad)), math.Inf(1)
		}
	}
	return d.RawVector().Data, mat.Dot(&d, g)
}

type point struct {
	x    []float64
	f    float64
	grad []float64
	hess *mat.SymDense
}

// climb takes the step, or the largest of its halvings that gains enough.
func climb(fn objective, x, step []float64, f, decrement float64, proper bool) (point, bool) {
	rounding := 1e-11 * (1 + math.Abs(f))
	for t := 1.0; t > 1e-10; t /= 2 {
		p := point{x: make([]float64, len(x))}
		for i := range x {
			p.x[i] = x[i] + t*step[i]
		}
		p.f, p.grad, p.hess = fn(p.x)
		near := proper && decrement < quadratic && p.f >= f-rounding
		if near || p.f >= f+1e-4*t*decrement {
			return p, true
		}
	}
	return point{}, false
}
