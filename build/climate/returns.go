package climate

import (
	"math"
	"math/rand/v2"
	"slices"
)

// ReturnWinters is how few winters give a return level (judgement: the shape of
// a tail cannot be told from fewer).
const ReturnWinters = 20

// ReturnLevel is the winter minimum that is reached or passed in one winter of
// so many, with its interval at IntervalLevel, °C.
type ReturnLevel struct {
	Winters      int // 10: one winter in ten is as cold or colder
	V, Low, High float64
	OK           bool
}

// WinterReturnLevels returns the levels of one winter in ten and one in thirty
// over the seasons of span that have a valid winter minimum, and how many those
// are.
func WinterReturnLevels(seasons []Season, span Span) (levels [2]ReturnLevel, winters int) {
	var minima []float64
	for i := range seasons {
		if s := &seasons[i]; span.Has(s.Year) && s.WinterMin.OK {
			minima = append(minima, s.WinterMin.V)
		}
	}
	copy(levels[:], ReturnLevels(minima, 10, 30))
	return levels, len(minima)
}

// Settings of the interval of return levels. The seed is fixed so that the same
// winters give the same figures.
const (
	returnDraws = 500
	returnSeed  = 20
)

// ReturnLevels returns the level that one of so many winters reaches or passes,
// for each of periods, in order. minima are the winters' lowest temperatures,
// in any order and unit; fewer than ReturnWinters give levels that are not OK.
//
// A generalised extreme value distribution is fitted to the negated minima by
// L-moments (Hosking, Wallis & Wood 1985, Technometrics 27:251-261; Hosking
// 1990, J. R. Stat. Soc. B 52:105-124), which at the sizes of climate records
// is steadier than maximum likelihood and always has an answer. The interval
// is a parametric bootstrap of the pivot (estimate - true level) / second
// L-moment, which does not depend on place and scale: shifted or scaled minima
// give shifted or scaled ends, and for a known shape the level would be exact.
// The simpler interval of bootstrap percentiles is too narrow for 30 winters.
func ReturnLevels(minima []float64, periods ...int) []ReturnLevel {
	out := make([]ReturnLevel, len(periods))
	for i, p := range periods {
		out[i].Winters = p
	}
	if len(minima) < ReturnWinters {
		return out
	}
	x := make([]float64, len(minima))
	for i, v := range minima {
		x[i] = -v
	}
	slices.Sort(x)
	l1, l2, t3 := LMoments(x)
	if !(l2 > 1e-9*max(1, math.Abs(l1))) { // all winters alike
		for i := range out {
			out[i].V, out[i].Low, out[i].High, out[i].OK = -l1, -l1, -l1, !math.IsNaN(l1)
		}
		return out
	}
	fit := FitGEV(l1, l2, t3)
	standard := GEV{Scale: 1, Shape: fit.Shape}
	pivots := make([][]float64, len(periods))
	r := rand.New(rand.NewPCG(returnSeed, uint64(len(x))))
	sample := make([]float64, len(x))
	for range returnDraws {
		standard.sortedSample(r, sample)
		m1, m2, m3 := LMoments(sample)
		g := FitGEV(m1, m2, m3)
		for i, p := range periods {
			f := 1 - 1/float64(p)
			pivots[i] = append(pivots[i], (g.Quantile(f)-standard.Quantile(f))/m2)
		}
	}
	const tail = (1 - IntervalLevel) / 2
	for i, p := range periods {
		slices.Sort(pivots[i])
		level := fit.Quantile(1 - 1/float64(p))
		out[i].V, out[i].OK = -level, true
		out[i].Low = -(level - l2*Quantile(pivots[i], tail))
		out[i].High = -(level - l2*Quantile(pivots[i], 1-tail))
	}
	return out
}

// LMoments returns the first two sample L-moments and the L-skewness of sorted
// values, unbiased (Hosking 1990, section 3). Fewer than three values give NaN.
func LMoments(sorted []float64) (l1, l2, t3 float64) {
	n := float64(len(sorted))
	if n < 3 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	var b0, b1, b2 float64
	for i, x := range sorted {
		k := float64(i)
		b0 += x
		b1 += x * k
		b2 += x * k * (k - 1)
	}
	b0, b1, b2 = b0/n, b1/(n*(n-1)), b2/(n*(n-1)*(n-2))
	l2 = 2*b1 - b0
	return b0, l2, (6*b2 - 6*b1 + b0) / l2
}

// GEV is a generalised extreme value distribution for maxima. Shape is
// Hosking's k: positive for a tail with an end, 0 for Gumbel's.
type GEV struct{ Location, Scale, Shape float64 }

// gumbel is the |Shape| below which Gumbel's formulas are the better rounded.
const gumbel = 1e-6

// Quantile returns the value that a share f of maxima stays below, 0 < f < 1.
func (g GEV) Quantile(f float64) float64 {
	y := -math.Log(f)
	if math.Abs(g.Shape) < gumbel {
		return g.Location - g.Scale*math.Log(y)
	}
	return g.Location - g.Scale*math.Expm1(g.Shape*math.Log(y))/g.Shape
}

// FitGEV returns the distribution with the given L-moments and L-skewness
// (Hosking, Wallis & Wood 1985): their approximation of the shape, made exact
// by Newton's method.
func FitGEV(l1, l2, t3 float64) GEV {
	c := 2/(3+t3) - math.Ln2/math.Log(3)
	k := 7.8590*c + 2.9554*c*c
	for range 20 {
		if math.Abs(k) < gumbel {
			break
		}
		// τ3 = 2 (1 - 3^-k) / (1 - 2^-k) - 3
		a, b := -math.Expm1(-k*math.Log(3)), -math.Expm1(-k*math.Ln2)
		slope := 2 * (math.Log(3)*(1-a)*b - math.Ln2*(1-b)*a) / (b * b)
		step := (2*a/b - 3 - t3) / slope
		if math.IsNaN(step) || math.Abs(step) > 1 {
			break // far tails, where the approximation has to do
		}
		k -= step
		if math.Abs(step) < 1e-10 {
			break
		}
	}
	k = max(k, -0.99) // below -1 there is no mean
	if math.Abs(k) < gumbel {
		scale := l2 / math.Ln2
		return GEV{Location: l1 - 0.57721566490153286*scale, Scale: scale}
	}
	g := math.Gamma(1 + k)
	scale := l2 * k / (-math.Expm1(-k*math.Ln2) * g)
	return GEV{Location: l1 - scale*(1-g)/k, Scale: scale, Shape: k}
}

// sortedSample fills to with a sorted sample. The spacings of sorted
// exponential values are exponential (Rényi 1953), and -ln of a uniform value is
// one, so nothing has to be sorted.
func (g GEV) sortedSample(r *rand.Rand, to []float64) {
	y, n := 0.0, len(to)
	for i := range to {
		y += r.ExpFloat64() / float64(n-i)
		v := -math.Log(y)
		if math.Abs(g.Shape) >= gumbel {
			v = (1 - math.Exp(-g.Shape*v)) / g.Shape
		}
		to[n-1-i] = g.Location + g.Scale*v
	}
}
