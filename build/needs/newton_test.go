package needs

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Where there is no maximum, newton says so: a plane, a saddle started from
// its middle, a function undefined at the start.
func TestNewtonKnowsNoOptimum(t *testing.T) {
	for name, fn := range map[string]objective{
		"plane": func(x []float64) (float64, []float64, *mat.SymDense) {
			return x[0], []float64{1, 0}, mat.NewSymDense(2, nil)
		},
		"saddle": func(x []float64) (float64, []float64, *mat.SymDense) {
			return x[0]*x[0] - x[1]*x[1], []float64{2 * x[0], -2 * x[1]}, mat.NewSymDense(2, []float64{2, 0, 0, -2})
		},
		"nowhere defined": func([]float64) (float64, []float64, *mat.SymDense) { return math.NaN(), nil, nil },
		"no curvature known": func(x []float64) (float64, []float64, *mat.SymDense) {
			return -x[0] * x[0], []float64{-2 * x[0], 1}, mat.NewSymDense(2, []float64{math.NaN(), 0, 0, 1})
		},
	} {
		if o, ok := newton(fn, []float64{0, 0}, []float64{1, 1}); ok {
			t.Errorf("%s: an optimum at %v", name, o.x)
		}
	}
}

// From a place of the wrong curvature newton still finds the top:
// −(x²−1)² − (y−x)² has two, at (±1, ±1), and a saddle between.
func TestNewtonLeavesSaddle(t *testing.T) {
	fn := func(p []float64) (float64, []float64, *mat.SymDense) {
		x, y := p[0], p[1]
		u, v := x*x-1, y-x
		return -u*u - v*v, []float64{-4*x*u + 2*v, -2 * v},
			mat.NewSymDense(2, []float64{-4*u - 8*x*x - 2, 2, 2, -2})
	}
	o, ok := newton(fn, []float64{0.05, 0}, []float64{1, 1})
	if !ok || math.Abs(o.x[0]-1) > 1e-6 || math.Abs(o.x[1]-1) > 1e-6 {
		t.Errorf("found %v, %v", o.x, ok)
	}
}

// A club that falls back has its priors and all reports waiting.
func TestFallBack(t *testing.T) {
	d, err := newData(mixedPriors, mixedSet, Options{})
	if err != nil {
		t.Fatal(err)
	}
	use := make([]bool, len(mixedSet))
	for i := range use {
		use[i] = true
	}
	l := d.fallBack(&Learned{Judgements: make([]Judgement, len(mixedSet))}, use)
	waiting := 0
	for c, e := range l.Estimates {
		p := mixedPriors[c]
		if e.Learned || e.Mu != p.Mu || e.SE != p.SE || e.GardenSd != p.GardenSd || e.Reports != 0 {
			t.Errorf("need %d: %+v", c, e)
		}
		waiting += e.Waiting
	}
	if !l.FellBack || waiting != len(mixedSet) {
		t.Errorf("fell back: %v, %d of %d reports wait", l.FellBack, waiting, len(mixedSet))
	}
}

// Clubs of which up to half the reports are rubbish, kept or not, have a
// proper optimum all the same.
func TestRubbishHasAnOptimum(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 77))
		m := makeClub(clubPlan{needs: 6 + rng.IntN(10), growers: 4 + rng.IntN(8), each: 1 + rng.IntN(5), reported: rng.Float64()}, rng)
		for i := range m.obs {
			if o := &m.obs[i]; rng.Float64() < 0.5 {
				times := [4]float64{0, 1.8, 4, 0.5}[rng.IntN(4)]
				o.Lo, o.Hi, o.Kept = o.Lo*times, o.Hi*times, seed%2 == 0
			}
		}
		l, err := Learn(m.priors, m.obs, Options{UnreportedFailures: seed%3 == 0})
		if err != nil {
			t.Fatal(err)
		}
		if l.FellBack {
			t.Errorf("club %d fell back", seed)
		}
		for c, e := range l.Estimates {
			if !(e.SE > 0) || !(e.VarLnSd > 0) || math.IsNaN(e.Mu+e.CovMuLnSd) {
				t.Errorf("club %d, need %d: %+v", seed, c, e)
			}
		}
	}
}
