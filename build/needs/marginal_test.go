package needs

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// mixedSet is a made set of every kind of report by six growers, of two needs.
var mixedPriors = []Prior{
	{Mu: 1250, SE: 60, GardenSd: 110, YearSd: 80},
	{Mu: 1400, SE: 80, GardenSd: 125, YearSd: 75},
}

var mixedSet = []Observation{
	{Need: 1, Grower: 0, Kind: Above, Lo: 1315, Supply: math.NaN()},
	{Need: 0, Grower: 0, Kind: Above, Lo: 1297, Supply: 1297},
	{Need: 0, Grower: 0, Kind: Above, Lo: 1291, StartSd: 40, Supply: 1291},
	{Need: 1, Grower: 0, Kind: Above, Lo: 1320, StartSd: 40, Supply: 1320},
	{Need: 1, Grower: 0, Kind: Above, Lo: 1274, Supply: 1274},
	{Need: 0, Grower: 1, Kind: Between, Lo: 960, Hi: 1020, Supply: math.NaN()},
	{Need: 0, Grower: 1, Kind: Between, Lo: 1040, Hi: 1100, StartSd: 40, Supply: 1482},
	{Need: 0, Grower: 1, Kind: Below, Hi: 955, StartSd: 40, Supply: 1503},
	{Need: 0, Grower: 1, Kind: Below, Hi: 1134, StartSd: 80, Supply: 1189},
	{Need: 1, Grower: 1, Kind: Between, Lo: 980, Hi: 1040, Supply: 1517},
	{Need: 0, Grower: 2, Kind: Above, Lo: 1233, Supply: 1233},
	{Need: 0, Grower: 2, Kind: Between, Lo: 1160, Hi: 1220, StartSd: 80, Supply: 1424},
	{Need: 1, Grower: 2, Kind: Above, Lo: 1045, StartSd: 80, Supply: 1045},
	{Need: 1, Grower: 2, Kind: Above, Lo: 1026, StartSd: 80, Supply: 1026},
	{Need: 1, Grower: 2, Kind: Exact, Lo: 1333, Hi: 1333, Supply: 1589},
	{Need: 1, Grower: 2, Kind: Above, Lo: 1347, StartSd: 80, Supply: 1347},
	{Need: 0, Grower: 3, Kind: Exact, Lo: 1323, Hi: 1323, StartSd: 80, Supply: 1463},
	{Need: 1, Grower: 3, Kind: Above, Lo: 1230, StartSd: 40, Supply: 1230},
	{Need: 0, Grower: 3, Kind: Between, Lo: 1200, Hi: 1260, StartSd: 40, Supply: 1261},
	{Need: 1, Grower: 3, Kind: Above, Lo: 1349, Supply: 1349},
	{Need: 0, Grower: 4, Kind: Between, Lo: 1220, Hi: 1280, StartSd: 40, Supply: 1302},
	{Need: 0, Grower: 4, Kind: Below, Hi: 1258, StartSd: 40, Supply: 1370},
	{Need: 1, Grower: 4, Kind: Between, Lo: 1160, Hi: 1220, Supply: 1575},
	{Need: 1, Grower: 4, Kind: Between, Lo: 1360, Hi: 1420, StartSd: 40, Supply: 1526},
	{Need: 1, Grower: 4, Kind: Above, Lo: 1356, StartSd: 80, Supply: 1356},
	{Need: 0, Grower: 5, Kind: Between, Lo: 1280, Hi: 1340, Supply: math.NaN()},
	{Need: 1, Grower: 5, Kind: Exact, Lo: 1274, Hi: 1274, StartSd: 40, Supply: 1321},
	{Need: 0, Grower: 5, Kind: Above, Lo: 1282, Supply: 1282},
	{Need: 1, Grower: 5, Kind: Above, Lo: 1422, Supply: math.NaN()},
	{Need: 0, Grower: 5, Kind: Between, Lo: 1160, Hi: 1220, Supply: 1174},
	{Need: 1, Grower: 5, Kind: Below, Hi: 1400, Supply: 1400},
	{Need: 0, Grower: 5, Kind: Exact, Lo: 1222, Hi: 1222, StartSd: 80, Supply: 1233},
}

// mixedFit lays out the fit of the mixed set, nothing held.
func mixedFit(t testing.TB, o Options) *fit {
	t.Helper()
	return fitOf(t, mixedPriors, mixedSet, o)
}

// fitOf lays out the fit of all reports.
func fitOf(t testing.TB, priors []Prior, obs []Observation, o Options) *fit {
	t.Helper()
	d, err := newData(priors, obs, o)
	if err != nil {
		t.Fatal(err)
	}
	use := make([]bool, len(obs))
	for i := range use {
		use[i] = true
	}
	return newFit(d, use, d.enough(use))
}

// scipy 1.10.1: integrate.quad over z (epsrel 1e-12) of the product of the
// reports' likelihoods, by stats.norm and special.log_ndtr, and the normal
// density; optimize.minimize (Nelder-Mead to 1e-9) of the log posterior with
// those integrals; standard errors from second differences there
// (Richardson). Priors' densities without their constants.
func TestMarginalAgainstScipy(t *testing.T) {
	for _, c := range []struct {
		name      string
		o         Options
		at        []float64
		gardens   []float64
		posterior float64
		best      []float64
		se        []float64
		highest   float64
		covMuA    float64
	}{
		{
			name: "all reported", at: []float64{1280, 1390, 0.1, -0.2},
			gardens: []float64{-1.116970030421, -9.394778654531, -9.034245075832,
				-8.298029737429, -8.701045492759, -19.091732057436},
			posterior: -55.973695181060,
			best:      []float64{1253.56360, 1359.45835, 0.112625734, -0.0129093315},
			se:        []float64{38.63849538, 46.05412038, 0.24454095, 0.21147621},
			highest:   -55.212454205427, covMuA: 1.2766733360067866,
		}, {
			name: "unreported failures", o: Options{UnreportedFailures: true},
			at: []float64{1280, 1390, 0.1, -0.2, -0.7},
			gardens: []float64{-1.495491688025, -9.370811475369, -9.996145959589,
				-7.916951214473, -9.404122681810, -17.219849296537},
			posterior: -55.849155337344,
			best:      []float64{1260.91002, 1364.67105, 0.143370627, -0.00777133536, 0.0495802964},
			se:        []float64{39.27741885, 46.68048404, 0.24218341, 0.21478886, 1.13878738},
			highest:   -54.935588990074, covMuA: 1.004691201138485,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := mixedFit(t, c.o)
			for i, m := range f.parts(c.at, -1) {
				if math.Abs(m.l-c.gardens[i]) > 1e-8 {
					t.Errorf("garden %d: log marginal likelihood %.12f, scipy %.12f", i, m.l, c.gardens[i])
				}
			}
			if l, _, _ := f.posterior(-1, nil)(c.at); math.Abs(l-c.posterior) > 1e-8 {
				t.Errorf("log posterior %.12f, scipy %.12f", l, c.posterior)
			}
			s, ok := f.solve(f.d.start())
			if !ok {
				t.Fatalf("no optimum: %v", s.x)
			}
			if math.Abs(s.f-c.highest) > 1e-8 {
				t.Errorf("highest log posterior %.12f, scipy %.12f", s.f, c.highest)
			}
			var cov mat.SymDense
			if err := s.chol.InverseTo(&cov); err != nil {
				t.Fatal(err)
			}
			for i := range c.best {
				se := math.Sqrt(cov.At(i, i))
				if math.Abs(s.x[i]-c.best[i]) > 1e-4*c.se[i] || !near(se, c.se[i], 1e-4) {
					t.Errorf("parameter %d: %.8g ± %.8g, scipy %.8g ± %.8g", i, s.x[i], se, c.best[i], c.se[i])
				}
			}
			if !near(cov.At(0, 2), c.covMuA, 1e-3) {
				t.Errorf("covariance of mu and a: %g, scipy %g", cov.At(0, 2), c.covMuA)
			}
		})
	}
}

// The posterior's gradient and Hessian against differences of its value and
// of its gradient.
func TestPosteriorDerivatives(t *testing.T) {
	for _, o := range []Options{{}, {UnreportedFailures: true}} {
		f := mixedFit(t, o)
		fn := f.posterior(-1, nil)
		x := []float64{1230, 1410, 0.2, -0.3, -0.6}[:f.dim]
		step := []float64{2, 2, 0.01, 0.01, 0.02}
		_, grad, hess := fn(x)
		for j := range x {
			at := func(h float64) (float64, []float64) {
				y := append([]float64(nil), x...)
				y[j] += h
				l, g, _ := fn(y)
				return l, g
			}
			slope := func(h float64) (float64, []float64) {
				up, gUp := at(h)
				down, gDown := at(-h)
				g := make([]float64, len(x))
				for k := range g {
					g[k] = (gUp[k] - gDown[k]) / (2 * h)
				}
				return (up - down) / (2 * h), g
			}
			d1, h1 := slope(step[j])
			d2, h2 := slope(step[j] / 2)
			if want := (4*d2 - d1) / 3; math.Abs(grad[j]-want)*step[j] > 1e-8 {
				t.Errorf("%+v: gradient %d is %.12g, by difference %.12g", o, j, grad[j], want)
			}
			for k := range x {
				want := (4*h2[k] - h1[k]) / 3
				if math.Abs(hess.At(j, k)-want)*step[j]*step[k] > 1e-9 {
					t.Errorf("%+v: Hessian %d, %d is %.12g, by difference %.12g", o, j, k, hess.At(j, k), want)
				}
			}
		}
	}
}

// exactClub makes exact reports of two needs by three growers, n each.
func exactClub(n int) []Observation {
	rng := rand.New(rand.NewPCG(5, 5))
	var obs []Observation
	for g := range 3 {
		z := rng.NormFloat64()
		for i := range n {
			c := i % 2
			h := mixedPriors[c].Mu + 110*z + 80*rng.NormFloat64()
			obs = append(obs, Observation{Need: c, Grower: g, Kind: Exact, Lo: h, Hi: h, StartSd: float64(40 * (i % 3)), Supply: 1400})
		}
	}
	return obs
}

// Where all of a grower's reports are exact their joint density is the
// multivariate normal one, here by a Cholesky factor of the whole covariance.
func TestExactGardenIsMultivariateNormal(t *testing.T) {
	x := []float64{1270, 1380, 0.3, -0.2}
	for _, n := range []int{1, 2, 7, 60, 500} {
		f := fitOf(t, mixedPriors, exactClub(max(n, 2)), Options{})
		garden := f.gardens[0]
		garden.items = garden.items[:n]
		got := f.parts(x, -1)[0].l
		cov, residual := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		for i, it := range garden.items {
			gi, yi := f.scatters(it.Need, x)
			residual.SetVec(i, it.Lo-x[it.Need])
			for j := range i + 1 {
				gj, _ := f.scatters(garden.items[j].Need, x)
				cov.SetSym(i, j, gi*gj)
			}
			cov.SetSym(i, i, gi*gi+yi*yi+it.StartSd*it.StartSd)
		}
		var chol mat.Cholesky
		if !chol.Factorize(cov) {
			t.Fatal("covariance is not positive definite")
		}
		var solved mat.VecDense
		if err := chol.SolveVecTo(&solved, residual); err != nil {
			t.Fatal(err)
		}
		want := -0.5*(chol.LogDet()+mat.Dot(residual, &solved)) - float64(n)*lnSqrt2Pi
		if !near(got, want, 1e-11) {
			t.Errorf("%d reports: %.12f, multivariate normal %.12f", n, got, want)
		}
	}
}

// The even nodes give what the closed form gives, also where 500 reports pin
// the garden down: value, gradient and Hessian.
func TestEvenNodesEqualClosedForm(t *testing.T) {
	x := []float64{1150, 1380, 0.3, -0.2}
	for _, n := range []int{2, 30, 500} {
		f := fitOf(t, mixedPriors, exactClub(n), Options{})
		closed := f.parts(x, -1)
		for _, g := range f.gardens {
			if !g.closed {
				t.Fatal("a garden of exact reports is not marked so")
			}
			g.closed = false
		}
		for i, even := range f.parts(x, -1) {
			if !near(even.l, closed[i].l, 1e-11) {
				t.Errorf("%d reports: %.12f by nodes, %.12f closed", n, even.l, closed[i].l)
			}
			for j := range even.hess {
				if math.Abs(even.hess[j]-closed[i].hess[j]) > 1e-8*(1+math.Abs(closed[i].hess[j])) {
					t.Errorf("%d reports: Hessian entry %d is %g by nodes, %g closed", n, j, even.hess[j], closed[i].hess[j])
				}
			}
			for j := range even.grad {
				if math.Abs(even.grad[j]-closed[i].grad[j]) > 1e-8*(1+math.Abs(closed[i].grad[j])) {
					t.Errorf("%d reports: gradient %d is %g by nodes, %g closed", n, j, even.grad[j], closed[i].grad[j])
				}
			}
		}
	}
}

// Hard gardens: walls of bounds on both sides of a hair's breadth, scatters
// that make the terms steep, and failures that the correction makes lopsided.
// Against the plainest sum there is, over 60,001 even nodes.
func TestHardGardens(t *testing.T) {
	many := func(n int, os ...Observation) []Observation {
		var out []Observation
		for range n {
			out = append(out, os...)
		}
		return out
	}
	nan := math.NaN()
	for _, c := range []struct {
		name string
		obs  []Observation
		x    []float64
	}{
		{"wall", many(300, Observation{Kind: Above, Lo: 1500, Supply: nan}), []float64{1250, 0, 0, -2}},
		{"walls", many(60, Observation{Kind: Above, Lo: 1340, Supply: nan}, Observation{Kind: Below, Hi: 1341, Supply: nan}), []float64{1250, 0, 0, -1}},
		{"steep", many(1, Observation{Kind: Above, Lo: 1340, Supply: nan}), []float64{1250, 0, 1, -4}},
		{"far", many(2, Observation{Kind: Between, Lo: 300, Hi: 310, Supply: nan}), []float64{1250, 0, -1, -1}},
		{"corrected", append(many(20, Observation{Kind: Below, Hi: 1200, Supply: 1210}), Observation{Kind: Above, Lo: 1500, Supply: 1500}), []float64{1250, 0, 0.2, -0.5, -3}},
		{"only failures", many(15, Observation{Kind: Above, Lo: 1300, Supply: 1300}), []float64{1250, 0, 0, 0, -4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			obs := append([]Observation{}, c.obs...)
			for g := 1; g < 3; g++ { // company, for the rule of three growers
				obs = append(obs, Observation{Grower: g, Kind: Exact, Lo: 1250, Hi: 1250, Supply: nan})
			}
			x := append([]float64{c.x[0]}, c.x[2:]...)
			f := fitOf(t, mixedPriors[:1], obs, Options{UnreportedFailures: len(c.x) > 4})
			got := f.parts(x, -1)[0].l
			r := 1.0
			if f.rCol >= 0 {
				r = 1 / (1 + math.Exp(-x[f.rCol]))
			}
			v := integrator{garden: f.gardens[0], sc: f.scales(nil, f.gardens[0], x), r: r}
			if want := v.plainSum(); math.Abs(got-want) > 1e-8 {
				t.Errorf("%.12f, by the plain sum %.12f", got, want)
			}
		})
	}
}

// plainSum integrates over z = ±30 by 60,001 even nodes, alike reports
// counted together.
func (v *integrator) plainSum() float64 {
	count := map[item]float64{}
	first := map[item]int{}
	var order []item
	for i, it := range v.items {
		if math.IsNaN(it.Supply) {
			it.Supply = -1
		}
		if count[it]++; count[it] == 1 {
			first[it] = i
			order = append(order, it)
		}
	}
	const n = 60_000
	f := make([]float64, n+1)
	top := math.Inf(-1)
	for j := range f {
		z := -30 + 60*float64(j)/n
		f[j] = -0.5*z*z - lnSqrt2Pi
		for _, it := range order {
			f[j] += count[it] * v.term(first[it], z).l
		}
		top = math.Max(top, f[j])
	}
	sum := 0.0
	for _, l := range f {
		sum += math.Exp(l - top)
	}
	return top + math.Log(sum*60/n)
}
