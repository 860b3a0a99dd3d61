package needs

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Prior standard deviations of the crop's factors on the logs of its scatters
// and of the logit of r.
const (
	lnScatterSd = 0.35
	logitRSd    = 1.5
)

// Bounds of the parameters: far beyond what priors and data can reach, near
// enough for every exponential to stay finite.
const (
	maxLnScatter = 5.0
	maxLogitR    = 30.0
)

// A state is a value of every parameter, fitted or not.
type state struct {
	mu   []float64 // by need
	a, b []float64 // by crop
	rho  float64
}

// A fit is the model on some of the reports, over the parameters they touch.
type fit struct {
	d       *data
	gardens []*garden
	col     []int // need → column; −1 where it keeps its prior
	aCol    []int // crop → column of a, that of b following; −1
	rCol    int   // column of ρ; −1
	dim     int
	centre  []float64 // prior means
	metric  []float64 // prior precisions
}

// A solution is an optimum with each garden's moments there.
type solution struct {
	*optimum
	parts []moments
}

// newFit lays out the fit of the reports marked in use, of the needs marked
// in learned.
func newFit(d *data, use, learned []bool) *fit {
	f := &fit{d: d, col: fill(len(d.priors), -1), aCol: fill(d.crops, -1), rCol: -1}
	for c, yes := range learned {
		if yes {
			f.col[c] = f.add(d.priors[c].Mu, d.priors[c].SE)
		}
	}
	for c, yes := range learned {
		if k := d.crop[c]; yes && f.aCol[k] < 0 {
			f.aCol[k] = f.add(0, lnScatterSd)
			f.add(0, lnScatterSd)
		}
	}
	for g, rows := range d.rows {
		if n := f.garden(d.growers[g], rows, use, learned); len(n.items) > 0 {
			f.gardens = append(f.gardens, n)
		}
	}
	f.finish()
	return f
}

func (f *fit) add(mean, sd float64) int {
	f.centre = append(f.centre, mean)
	f.metric = append(f.metric, 1/(sd*sd))
	f.dim++
	return f.dim - 1
}

func fill(n, v int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// garden gathers one grower's reports; rows are sorted by need.
func (f *fit) garden(grower int, rows []int, use, learned []bool) *garden {
	n := &garden{grower: grower, closed: true}
	for _, i := range rows {
		o := f.d.obs[i]
		if !use[i] || !learned[o.Need] {
			continue
		}
		if k := len(n.needs); k == 0 || n.needs[k-1] != o.Need {
			n.needs = append(n.needs, o.Need)
			n.cols = append(n.cols, f.col[o.Need])
		}
		corrected := f.d.opt.UnreportedFailures && !math.IsNaN(o.Supply)
		n.closed = n.closed && !corrected && (o.Kind == Exact || o.Kind == Between && o.Lo == o.Hi)
		n.items = append(n.items, item{o, len(n.needs) - 1, corrected})
	}
	return n
}

// finish gives the fit its ρ if a report calls for it, and the gardens the
// columns they share.
func (f *fit) finish() {
	for _, n := range f.gardens {
		for i := range n.items {
			if n.items[i].corrected && f.rCol < 0 {
				f.rCol = f.add(0, logitRSd)
			}
		}
	}
	for _, n := range f.gardens {
		a := f.aCol[f.d.crop[n.needs[0]]]
		n.cols = append(n.cols, a, a+1)
		if f.rCol >= 0 {
			n.cols = append(n.cols, f.rCol)
		}
	}
}

// vector and state pass between the fit's columns and all parameters.
func (f *fit) vector(s state) []float64 {
	x := make([]float64, f.dim)
	for c, j := range f.col {
		if j >= 0 {
			x[j] = s.mu[c]
		}
	}
	for k, j := range f.aCol {
		if j >= 0 {
			x[j], x[j+1] = s.a[k], s.b[k]
		}
	}
	if f.rCol >= 0 {
		x[f.rCol] = s.rho
	}
	return x
}

func (f *fit) state(x []float64) state {
	s := f.d.start()
	for c, j := range f.col {
		if j >= 0 {
			s.mu[c] = x[j]
		}
	}
	for k, j := range f.aCol {
		if j >= 0 {
			s.a[k], s.b[k] = x[j], x[j+1]
		}
	}
	if f.rCol >= 0 {
		s.rho = x[f.rCol]
	}
	return s
}

// inside says whether a point is within the parameters' bounds.
func (f *fit) inside(x []float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.Abs(v) > maxHeat {
			return false
		}
	}
	for _, j := range f.aCol {
		if j >= 0 && (math.Abs(x[j]) > maxLnScatter || math.Abs(x[j+1]) > maxLnScatter) {
			return false
		}
	}
	return f.rCol < 0 || math.Abs(x[f.rCol]) <= maxLogitR
}

// scatters returns a need's sds between gardens and between years at x.
func (f *fit) scatters(need int, x []float64) (g, y float64) {
	p, j := f.d.priors[need], f.aCol[f.d.crop[need]]
	return p.GardenSd * math.Exp(x[j]), p.YearSd * math.Exp(x[j+1])
}

// parts returns the gardens' moments at x; skip is a garden to leave out, or
// −1. The gardens are shared among goroutines, each writing its own place.
func (f *fit) parts(x []float64, skip int) []moments {
	out := make([]moments, len(f.gardens))
	r := 1.0
	if f.rCol >= 0 {
		r = 1 / (1 + math.Exp(-x[f.rCol]))
	}
	share(len(f.gardens), func() func(int) {
		var v integrator
		var sc []scale
		return func(i int) {
			if i == skip {
				return
			}
			n := f.gardens[i]
			sc = f.scales(sc[:0], n, x)
			out[i] = v.marginal(n, sc, r)
		}
	})
	return out
}

// scales prepares a garden's items at x.
func (f *fit) scales(sc []scale, n *garden, x []float64) []scale {
	for i := range n.items {
		it := &n.items[i]
		g, y := f.scatters(it.Need, x)
		s2 := y*y + it.StartSd*it.StartSd
		sc = append(sc, scale{mu: x[f.col[it.Need]], g: g, s: math.Sqrt(s2), w: y * y / s2})
	}
	return sc
}

// posterior returns the log posterior density (up to a constant) of all but
// one garden, and keeps the parts it was summed from.
func (f *fit) posterior(skip int, keep *[]moments) objective {
	return func(x []float64) (float64, []float64, *mat.SymDense) {
		if !f.inside(x) {
			return math.Inf(-1), nil, nil
		}
		parts := f.parts(x, skip)
		if keep != nil {
			*keep = parts
		}
		l, grad, hess := 0.0, make([]float64, f.dim), mat.NewSymDense(f.dim, nil)
		for j, v := range x {
			d := v - f.centre[j]
			l -= 0.5 * d * d * f.metric[j]
			grad[j] -= d * f.metric[j]
			hess.SetSym(j, j, -f.metric[j])
		}
		for i := range parts {
			if i != skip {
				l += parts[i].l
				f.gardens[i].addTo(parts[i], 1, grad, hess)
			}
		}
		return l, grad, hess
	}
}

// addTo adds a garden's moments, times a sign, to a gradient and a Hessian.
func (n *garden) addTo(m moments, sign float64, grad []float64, hess *mat.SymDense) {
	q := len(n.cols)
	for i, a := range n.cols {
		grad[a] += sign * m.grad[i]
		for k := 0; k <= i; k++ {
			b := n.cols[k]
			hess.SetSym(a, b, hess.At(a, b)+sign*m.hess[i*q+k])
		}
	}
}

// solve fits from a start.
func (f *fit) solve(from state) (*solution, bool) {
	s := &solution{}
	var ok bool
	s.optimum, ok = newton(f.posterior(-1, &s.parts), f.vector(from), f.metric)
	return s, ok
}
