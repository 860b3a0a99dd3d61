package needs

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// A regression is the plain censored Gaussian one: mean x·β, one standard
// deviation, flat priors, no gardens. It is built on the very terms and the
// very optimiser of the model.
type regression struct {
	x   [][]float64
	obs []Observation
}

// logLikelihood is the objective in β and ln sd.
func (r regression) logLikelihood(p []float64) (float64, []float64, *mat.SymDense) {
	k := len(p) - 1
	l, grad, hess := 0.0, make([]float64, k+1), mat.NewSymDense(k+1, nil)
	add := func(i, j int, v float64) { hess.SetSym(i, j, hess.At(i, j)+v) }
	for i, o := range r.obs {
		eta := 0.0
		for j, v := range r.x[i] {
			eta += v * p[j]
		}
		t := censored(o.Kind, o.Lo, o.Hi, eta, math.Exp(p[k]))
		l += t.l
		for j, v := range r.x[i] {
			grad[j] += t.e * v
			add(j, k, t.es*v)
			for m := 0; m <= j; m++ {
				add(m, j, t.ee*v*r.x[i][m])
			}
		}
		grad[k] += t.s
		add(k, k, t.ss)
	}
	return l, grad, hess
}

// An outsideFit is what R's survreg found: β and ln scale, their standard
// errors and the log likelihood.
type outsideFit struct {
	coef, se []float64
	loglik   float64
}

// check fits from a start and compares to 1e-3 of a standard error or better.
func (r regression) check(t *testing.T, start []float64, want outsideFit) {
	t.Helper()
	metric := make([]float64, len(start))
	for i := range metric {
		metric[i] = 1
	}
	o, ok := newton(r.logLikelihood, start, metric)
	if !ok {
		t.Fatalf("no optimum after %d steps: %v", o.steps, o.x)
	}
	var cov mat.SymDense
	if err := o.chol.InverseTo(&cov); err != nil {
		t.Fatal(err)
	}
	if math.Abs(o.f-want.loglik) > 1e-3 {
		t.Errorf("log likelihood %.8f, survreg %.8f", o.f, want.loglik)
	}
	for i := range want.coef {
		se := math.Sqrt(cov.At(i, i))
		if math.Abs(o.x[i]-want.coef[i]) > 1e-3 || math.Abs(se-want.se[i]) > 1e-3 {
			t.Errorf("parameter %d: %.8f ± %.8f, survreg %.8f ± %.8f", i, o.x[i], se, want.coef[i], want.se[i])
		}
	}
}

// tobin is the 20 households of Tobin, J. (1958), Estimation of relationships
// for limited dependent variables, Econometrica 26, 24–36, as in R's survival
// package: durable goods bought, age, liquidity ratio × 1000.
var tobin = [20][3]float64{
	{0, 57.7, 236}, {0.7, 50.9, 283}, {0, 48.5, 207}, {0, 41.7, 220}, {0, 47.7, 238},
	{0, 59.8, 216}, {0, 44.3, 284}, {3.7, 45.1, 221}, {0, 51.7, 275}, {3, 50, 269},
	{10.4, 46.8, 207}, {0, 58, 249}, {0, 58.9, 246}, {0, 40, 277}, {1.5, 34.1, 231},
	{0, 39.9, 219}, {0, 33.4, 240}, {3.5, 48.1, 266}, {6.1, 46.6, 214}, {0, 53.1, 251},
}

// R 4.2.2 with survival 3.5-3:
//
//	survreg(Surv(durable, durable > 0, type = "left") ~ 1, data = tobin, dist = "gaussian")
//	survreg(Surv(durable, durable > 0, type = "left") ~ age + quant, data = tobin, dist = "gaussian")
func TestTobin(t *testing.T) {
	var one, two regression
	for _, row := range tobin {
		o := Observation{Kind: Exact, Lo: row[0], Hi: row[0]}
		if row[0] == 0 {
			o.Kind = Below
		}
		one.obs, one.x = append(one.obs, o), append(one.x, []float64{1})
		two.obs, two.x = append(two.obs, o), append(two.x, []float64{1, row[1], row[2]})
	}
	one.check(t, []float64{0, 1}, outsideFit{
		coef: []float64{-2.227439440, 1.782594636},
		se:   []float64{2.0602983396, 0.3085429238}, loglik: -29.49219955,
	})
	two.check(t, []float64{0, 0, 0, 1}, outsideFit{
		coef: []float64{15.14486633222, -0.12905928386, -0.04554166289, 1.71785092237},
		se:   []float64{16.07945320238, 0.21858359672, 0.05825411551, 0.31032272019}, loglik: -28.9401332,
	})
}

// madeSet makes 300 reports of 1300 + 90x + 130e °C·d, everything from
// fractional parts of multiples of irrational numbers, so that any program
// can make them too: x = 2{i(√5−1)/2} − 1, e = 2({i√2} + {i√3} + {i√7} − 1.5),
// limit = 1300 + 150(2{i√11} − 1), weeks cut at multiples of 60 °C·d.
func madeSet(kind func(i int) Kind) regression {
	fraction := func(v float64) float64 { return v - math.Floor(v) }
	var r regression
	for i := 1; i <= 300; i++ {
		n := float64(i)
		x := 2*fraction(n*(math.Sqrt(5)-1)/2) - 1
		e := 2 * (fraction(n*math.Sqrt(2)) + fraction(n*math.Sqrt(3)) + fraction(n*math.Sqrt(7)) - 1.5)
		h := 1300 + 90*x + 130*e
		limit := 1300 + 150*(2*fraction(n*math.Sqrt(11))-1)
		o := Observation{Kind: Exact, Lo: h, Hi: h}
		switch k := kind(i); {
		case k == Below && h <= limit:
			o = Observation{Kind: Below, Hi: limit}
		case k == Above && h > limit:
			o = Observation{Kind: Above, Lo: limit}
		case k == Between:
			week := 60 * math.Floor(h/60)
			o = Observation{Kind: Between, Lo: week, Hi: week + 60}
		}
		r.obs, r.x = append(r.obs, o), append(r.x, []float64{1, x})
	}
	return r
}

// R 4.2.2 with survival 3.5-3 on the same numbers: survreg(Surv(lo, hi,
// type = "interval2") ~ x, dist = "gaussian", rel.tolerance 1e-14).
func TestMadeSets(t *testing.T) {
	all := func(k Kind) func(int) Kind { return func(int) Kind { return k } }
	for _, c := range []struct {
		name string
		kind func(int) Kind
		want outsideFit
	}{
		{"left", all(Below), outsideFit{
			[]float64{1306.139246999, 89.680680979, 4.821486886},
			[]float64{8.92344245859, 14.60489634372, 0.05887437624}, -1048.221948}},
		{"right", all(Above), outsideFit{
			[]float64{1308.03480374, 84.87098571, 4.93005844},
			[]float64{10.28128541127, 16.44018751202, 0.06134474122}, -1005.371014}},
		{"interval", all(Between), outsideFit{
			[]float64{1300.86664750, 84.82246887, 4.86356873},
			[]float64{7.54245844406, 13.10434600515, 0.04155457418}, -659.1147567}},
		{"mixed", func(i int) Kind { return [4]Kind{Exact, Below, Above, Between}[i%4] }, outsideFit{
			[]float64{1305.161545036, 83.936998298, 4.882753237},
			[]float64{8.1227145761, 14.0815726395, 0.0465667541}, -1153.962959}},
	} {
		t.Run(c.name, func(t *testing.T) {
			madeSet(c.kind).check(t, []float64{1200, 0, 5}, c.want)
		})
	}
}
