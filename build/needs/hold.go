package needs

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// The rule of held reports.
const (
	holdAt   = 3.5    // predictive standard deviations
	madFrom  = 8      // exact reports of the need
	madTimes = 3.0    // scaled median absolute deviations
	madScale = 1.4826 // makes the deviation a normal's standard deviation
	madLeast = 2.0    // predictive standard deviations within which it holds nothing: few gardens make a narrow middle
)

// checkNear is how near to holdAt a report may come, by one Newton step, before
// the fit without its grower is carried to the end; checkShare of the step is
// added for what the step may have missed.
const (
	checkNear  = 0.2
	checkShare = 0.3
)

// checkSd is the change of a predictive sd's logarithm from which that is done
// whatever the distance.
const checkSd = 0.2

// outside returns how far a report lies from a value v, by its nearest end;
// 0 where v is within its bounds.
func (o Observation) outside(v float64) float64 {
	lo, hi := o.Lo, o.Hi
	switch o.Kind {
	case Above:
		hi = math.Inf(1)
	case Below:
		lo = math.Inf(-1)
	}
	switch {
	case v < lo:
		return lo - v
	case v > hi:
		return hi - v
	}
	return 0
}

// against judges a report by a need's mean, its standard error and scatters.
func (o Observation) against(mu, se, g, y float64) Judgement {
	sd := math.Sqrt(se*se + g*g + y*y + o.StartSd*o.StartSd)
	return Judgement{Expected: mu, Sd: sd, Distance: o.outside(mu) / sd}
}

// mayHold says whether the rule applies to the report.
func (o Observation) mayHold() bool { return !o.Kept && (o.Kind == Exact || o.Kind == Between) }

// judgeByPrior judges every report by its need's prior.
func (d *data) judgeByPrior(out []Judgement) {
	for i, o := range d.obs {
		p := d.priors[o.Need]
		out[i] = o.against(p.Mu, p.SE, p.GardenSd, p.YearSd)
	}
}

// judge judges the reports in the fit by the fit without their grower. That
// fit keeps the needs it has, also one that only two other growers speak of:
// two who agree are a better measure of a third than the prior alone.
func (f *fit) judge(s *solution, use []bool, out []Judgement) {
	type verdicts struct {
		rows []int
		by   []Judgement
	}
	all := make([]verdicts, len(f.gardens))
	var info mat.SymDense
	s.chol.ToSym(&info)
	share(len(f.gardens), func() func(int) {
		return func(i int) {
			g, _ := slices.BinarySearch(f.d.growers, f.gardens[i].grower)
			for _, row := range f.d.rows[g] {
				if use[row] && f.col[f.d.obs[row].Need] >= 0 {
					all[i].rows = append(all[i].rows, row)
				}
			}
			all[i].by = f.judgeGarden(s, &info, i, all[i].rows)
		}
	})
	for _, v := range all {
		for k, row := range v.rows {
			out[row] = v.by[k]
		}
	}
}

// judgeGarden judges one garden's reports, by one Newton step from the whole
// fit; where that step does not settle every verdict, by the fit carried to
// the end.
func (f *fit) judgeGarden(s *solution, info *mat.SymDense, garden int, rows []int) []Judgement {
	chol, x, ok := f.stepWithout(s, info, garden)
	if ok {
		by := f.predict(chol, x, rows)
		if f.certain(chol, s.x, rows, by) {
			return by
		}
	} else {
		x = s.x
	}
	return f.judgeFully(s, garden, rows, x)
}

// judgeFully judges one garden's reports by the whole fit without it.
func (f *fit) judgeFully(s *solution, garden int, rows []int, from []float64) []Judgement {
	o, ok := newton(f.posterior(garden, nil), from, f.metric)
	if !ok {
		if o, ok = newton(f.posterior(garden, nil), s.x, f.metric); !ok {
			o = s.optimum // no fit without it: judge by the one with it
		}
	}
	return f.predict(&o.chol, o.x, rows)
}

// certain says whether the step from the whole fit leaves no report near
// enough to the bound for what the step has missed to matter; a step that
// changes a scatter much may have gone astray.
func (f *fit) certain(chol *mat.Cholesky, before []float64, rows []int, by []Judgement) bool {
	for k, was := range f.predict(chol, before, rows) {
		if !f.d.obs[rows[k]].mayHold() {
			continue
		}
		d := by[k].Distance
		if math.Abs(math.Abs(d)-holdAt) < checkNear+checkShare*math.Abs(d-was.Distance) || math.Abs(math.Log(by[k].Sd/was.Sd)) > checkSd {
			return false
		}
	}
	return true
}

// stepWithout takes one Newton step from the whole fit, of negative Hessian
// info, towards the one without a garden; false if the negative Hessian
// without it is not positive definite.
func (f *fit) stepWithout(s *solution, info *mat.SymDense, garden int) (*mat.Cholesky, []float64, bool) {
	left := mat.NewSymDense(f.dim, nil)
	left.CopySym(info)
	grad := make([]float64, f.dim) // the garden's; the whole fit's is 0
	f.gardens[garden].addTo(s.parts[garden], 1, grad, left)
	chol := &mat.Cholesky{}
	if !chol.Factorize(left) {
		return nil, nil, false
	}
	step, _ := solve(chol, grad)
	x := slices.Clone(s.x)
	for j := range x {
		x[j] -= step[j]
	}
	return chol, x, f.inside(x)
}

// predict judges reports by the parameters x and the factor of the negative
// Hessian.
func (f *fit) predict(chol *mat.Cholesky, x []float64, rows []int) []Judgement {
	variance := map[int]float64{}
	out := make([]Judgement, len(rows))
	for k, i := range rows {
		o := f.d.obs[i]
		j := f.col[o.Need]
		if _, known := variance[j]; !known {
			unit := make([]float64, f.dim)
			unit[j] = 1
			_, variance[j] = solve(chol, unit)
		}
		g, y := f.scatters(o.Need, x)
		out[k] = o.against(x[j], math.Sqrt(variance[j]), g, y)
	}
	return out
}

// hold takes the reports out of use that either rule holds, and says whether
// there were any.
func (d *data) hold(use []bool, by []Judgement) bool {
	middle, reach := d.medians(use)
	learned := d.enough(use)
	any := false
	for i, o := range d.obs {
		if !use[i] || !learned[o.Need] || !o.mayHold() {
			continue
		}
		far := math.Abs(by[i].Distance) > holdAt
		stray := math.Abs(o.outside(middle[o.Need])) > reach[o.Need] && math.Abs(by[i].Distance) > madLeast
		if far || stray {
			by[i].Verdict, by[i].ByMAD = Held, !far
			use[i], any = false, true
		}
	}
	return any
}

// medians returns each need's median exact report and how far from it a
// report may lie: without bound where there are too few, or where more than
// half are the same, which says nothing of the scatter.
func (d *data) medians(use []bool) (middle, reach []float64) {
	exact := make([][]float64, len(d.priors))
	for i, o := range d.obs {
		if use[i] && o.Kind == Exact {
			exact[o.Need] = append(exact[o.Need], o.Lo)
		}
	}
	middle, reach = make([]float64, len(exact)), make([]float64, len(exact))
	for c, h := range exact {
		reach[c] = math.Inf(1)
		if len(h) < madFrom {
			continue
		}
		middle[c] = median(h)
		for i := range h {
			h[i] = math.Abs(h[i] - middle[c])
		}
		if mad := median(h); mad > 0 {
			reach[c] = madTimes * madScale * mad
		}
	}
	return middle, reach
}

// median sorts its argument.
func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return 0.5 * (v[(n-1)/2] + v[n/2])
}
