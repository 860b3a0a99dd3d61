package needs

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// z90 is the standard normal quantile of a central 90 % interval.
const z90 = 1.6448536269514722

// Learn fits the needs to the reports.
//
// A need whose reports come from fewer than [MinGrowers] growers keeps its
// prior, and its reports wait. Then exact and interval reports are held that
// the other growers' reports contradict (see [Judgement]), and the rest is
// fitted again.
//
// A prior standard deviation under 1 °C·d, zero included, counts as 1 °C·d.
// An interval of no width (no heat fell while it was open) counts as exact.
// The order of the reports makes no difference.
func Learn(priors []Prior, obs []Observation, o Options) (*Learned, error) {
	d, err := newData(priors, obs, o)
	if err != nil {
		return nil, err
	}
	l := d.run(nil, d.start())
	l.data = d
	return l, nil
}

// Without returns the estimates with every report of one grower left out,
// what is held and what waits decided again. It may be called from several
// goroutines at once.
func (l *Learned) Without(grower int) []Estimate {
	if _, known := slices.BinarySearch(l.data.growers, grower); !known {
		return slices.Clone(l.Estimates)
	}
	return l.data.run(&grower, l.mode).Estimates
}

// run is one whole round: fit, hold, fit again.
func (d *data) run(without *int, from state) *Learned {
	use := make([]bool, len(d.obs))
	for i, o := range d.obs {
		use[i] = without == nil || o.Grower != *without
	}
	out := &Learned{Judgements: make([]Judgement, len(d.obs)), mode: from}
	d.judgeByPrior(out.Judgements)
	learned := d.enough(use)
	if !slices.Contains(learned, true) {
		return d.report(out, use, learned, nil, nil)
	}
	f := newFit(d, use, learned)
	s, ok := f.solve(from)
	if !ok {
		return d.fallBack(out, use)
	}
	f.judge(s, use, out.Judgements)
	if !d.hold(use, out.Judgements) {
		return d.report(out, use, learned, f, s)
	}
	learned = d.enough(use)
	if !slices.Contains(learned, true) {
		return d.report(out, use, learned, nil, nil)
	}
	again := newFit(d, use, learned)
	if s, ok = again.solve(f.state(s.x)); !ok {
		return d.fallBack(out, use)
	}
	return d.report(out, use, learned, again, s)
}

// enough marks the needs that reports of enough growers speak of.
func (d *data) enough(use []bool) []bool {
	out := make([]bool, len(d.priors))
	for c, n := range d.growersOf(use) {
		out[c] = n >= MinGrowers
	}
	return out
}

// growersOf counts each need's growers among the reports in use.
func (d *data) growersOf(use []bool) []int {
	n, last := make([]int, len(d.priors)), fill(len(d.priors), -1)
	for g, rows := range d.rows {
		for _, i := range rows {
			if c := d.obs[i].Need; use[i] && last[c] != g {
				n[c]++
				last[c] = g
			}
		}
	}
	return n
}

// fallBack reports the priors, everything not held waiting.
func (d *data) fallBack(out *Learned, use []bool) *Learned {
	out.FellBack = true
	return d.report(out, use, make([]bool, len(d.priors)), nil, nil)
}

// report fills in the estimates, the verdicts and r.
func (d *data) report(out *Learned, use, learned []bool, f *fit, s *solution) *Learned {
	out.Estimates = d.priorEstimates()
	if f != nil && !f.estimate(s, out) {
		return d.fallBack(out, use)
	}
	for c, n := range d.growersOf(use) {
		out.Estimates[c].Growers = n
	}
	for i, o := range d.obs {
		e, j := &out.Estimates[o.Need], &out.Judgements[i]
		switch {
		case use[i] && learned[o.Need]:
			e.Reports++
			if o.Kind == Above || o.Kind == Below {
				e.Censored++
			}
		case j.Verdict == Held:
			e.Held++
		case use[i]:
			j.Verdict = Waiting
			e.Waiting++
		}
	}
	return out
}

// priorEstimates are the figures without a report.
func (d *data) priorEstimates() []Estimate {
	out := make([]Estimate, len(d.priors))
	for c, p := range d.priors {
		wg, wy := shares(p.GardenSd, p.YearSd)
		out[c] = Estimate{
			Mu: p.Mu, SE: p.SE, GardenSd: p.GardenSd, YearSd: p.YearSd,
			VarLnSd: (wg*wg + wy*wy) * lnScatterSd * lnScatterSd,
		}
	}
	return out
}

// shares are the parts of the whole variance that lie between gardens and
// between years: the derivatives of ln √(g² + y²) in ln g and ln y.
func shares(g, y float64) (wg, wy float64) {
	wg = g * g / (g*g + y*y)
	return wg, 1 - wg
}

// estimate puts the fit's figures in place; false if there is no covariance.
func (f *fit) estimate(s *solution, out *Learned) bool {
	var cov mat.SymDense
	if err := s.chol.InverseTo(&cov); err != nil {
		if _, near := err.(mat.Condition); !near {
			return false
		}
	}
	for c, j := range f.col {
		if j < 0 {
			continue
		}
		a := f.aCol[f.d.crop[c]]
		g, y := f.scatters(c, s.x)
		wg, wy := shares(g, y)
		out.Estimates[c] = Estimate{
			Mu: s.x[j], SE: math.Sqrt(cov.At(j, j)), GardenSd: g, YearSd: y, Learned: true,
			VarLnSd:   wg*wg*cov.At(a, a) + 2*wg*wy*cov.At(a, a+1) + wy*wy*cov.At(a+1, a+1),
			CovMuLnSd: wg*cov.At(j, a) + wy*cov.At(j, a+1),
		}
	}
	if j := f.rCol; j >= 0 {
		logistic := func(v float64) float64 { return 1 / (1 + math.Exp(-v)) }
		half := z90 * math.Sqrt(cov.At(j, j))
		out.Reporting = Reporting{R: logistic(s.x[j]), Low: logistic(s.x[j] - half), High: logistic(s.x[j] + half), OK: true}
	}
	out.mode = f.state(s.x)
	return true
}
