package winter

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"
)

// Reading is a minimum-maximum thermometer in a store: reset on one day, read
// on another, both counted from the first day of the hours and both at noon,
// since a log has no hours (judgement).
type Reading struct {
	Reset, Read int
	LowC, HighC float64
}

// A fit needs so many readings, and outdoor lows between the coldest and the
// mildest of them that are so far apart, °C (SCIENCE 9).
const (
	FitReadings = 8
	FitSpanC    = 10
)

// What a fit may find. Beyond ten days a store no longer answers the weather
// that a log of weeks sees.
const (
	leastTau, mostTau = 0.5, 240.0
	spinUp            = 4 * mostTau // h followed before a reading
)

// Fitted is a store with the time constant and the house share that its log
// asks for.
type Fitted struct {
	Store
	// Standard errors, NaN where the log does not tell. HouseShareSe is 0
	// where the share was not fitted, for want of a house temperature.
	TimeConstantSe, HouseShareSe float64
	ResidualC                    float64 // root of the mean square of what the fit misses, °C
	Readings                     int     // used
	SpanC                        float64 // of their outdoor lows
	// AtEdge tells that one of the two ran into the end of its range: 0 or 1,
	// half an hour or ten days. Its error then says too little.
	AtEdge bool
}

// Fit finds the time constant and the house share of a store, by least squares
// of the lows and highs of a log; all else of the store stays as it is given.
// hours are the outdoor temperatures (°C) of whole days, NaN where unknown.
// Readings without a low or a high, or of days whose weather is not known, are
// left out. Fewer than FitReadings, or outdoor lows less than FitSpanC apart,
// are an error that says how far it got. Standard errors come from the Jacobian
// at the optimum. The same log always gives the same store.
func Fit(s Store, hours []float64, annualMean float64, log []Reading) (Fitted, error) {
	p := problem{store: s, hours: hours, annual: annualMean, free: 2}
	if math.IsNaN(s.HouseC) {
		p.free, p.store.HouseShare = 1, 0
	}
	p.take(log)
	out := Fitted{Store: s, Readings: len(p.log), SpanC: p.span}
	if len(p.log) < FitReadings {
		return out, fmt.Errorf("%d readings can be compared with the weather, a fit needs %d: give low_c, high_c and reset_on of more days", len(p.log), FitReadings)
	}
	if p.span < FitSpanC {
		return out, fmt.Errorf("the outdoor lows of the readings are %.1f °C apart, a fit needs %d: read on in colder or milder weather", p.span, FitSpanC)
	}
	x := p.solve()
	out.Store = p.with(x)
	out.AtEdge = x[0] <= math.Log(leastTau)+1e-4 || x[0] >= math.Log(mostTau)-1e-4
	if p.free == 2 {
		out.AtEdge = out.AtEdge || x[1] <= 1e-4 || x[1] >= 1-1e-4
	}
	out.ResidualC = math.Sqrt(p.squares(x) / float64(2*len(p.log)))
	out.TimeConstantSe, out.HouseShareSe = p.errors(x)
	return out, nil
}

// problem is a log beside its weather.
type problem struct {
	store  Store
	hours  []float64
	annual float64
	free   int // parameters: ln τ and, where there is a house, its share
	log    []Reading
	span   float64
}

// take keeps the readings that can be compared, in order of time.
func (p *problem) take(log []Reading) {
	coldest, mildest := math.Inf(1), math.Inf(-1)
	for _, r := range log {
		from, to := window(r)
		if from < 0 || to >= len(p.hours) || from >= to || math.IsNaN(r.LowC) || math.IsNaN(r.HighC) || r.LowC > r.HighC || gap(p.hours[from:to+1]) {
			continue
		}
		low := slices.Min(p.hours[from : to+1])
		coldest, mildest = math.Min(coldest, low), math.Max(mildest, low)
		p.log = append(p.log, r)
	}
	slices.SortFunc(p.log, func(a, b Reading) int {
		return cmp.Or(cmp.Compare(a.Reset, b.Reset), cmp.Compare(a.Read, b.Read), cmp.Compare(a.LowC, b.LowC), cmp.Compare(a.HighC, b.HighC))
	})
	if len(p.log) > 0 {
		p.span = mildest - coldest
	}
}

// window is the first and last hour of a reading.
func window(r Reading) (from, to int) { return 24*r.Reset + 12, 24*r.Read + 12 }

// with returns the store of a trial: x[0] is ln τ, x[1] the share, held within
// their ranges.
func (p *problem) with(x []float64) Store {
	s := p.store
	s.TimeConstantH = min(max(math.Exp(x[0]), leastTau), mostTau)
	if p.free == 2 {
		s.HouseShare = min(max(x[1], 0), 1)
	}
	return s
}

// misses returns what a store is off by at each low and high, °C.
func (p *problem) misses(s *Store) []float64 {
	out := make([]float64, 0, 2*len(p.log))
	var air []float64 // of one stretch, from hour start on
	start, end := 0, -1
	for i, r := range p.log {
		from, to := window(r)
		if i == 0 || from > end {
			start, end = max(0, from-spinUp), to
			for _, later := range p.log[i+1:] { // readings that follow closely share a stretch
				if f, t := window(later); f-spinUp <= end {
					end = max(end, t)
				}
			}
			air = s.air(p.hours[start:end+1], p.annual, air)
		}
		part := air[from-start : to-start+1]
		low, high := slices.Min(part), slices.Max(part)
		out = append(out, low-r.LowC, high-r.HighC)
	}
	return out
}

// air is the store's temperature at each hour, in the memory of into. After a
// gap it starts from the target.
func (s *Store) air(hours []float64, annualMean float64, into []float64) []float64 {
	into = into[:0]
	lag := NewLag(s.TimeConstantH, 0)
	before := math.NaN()
	for _, out := range hours {
		target := s.Target(out, annualMean)
		if before != before {
			lag.T = target
		} else {
			lag.Hour(before, target)
		}
		before = target
		t := lag.T
		if s.HeaterFloorC > t { // never where it is NaN
			t = s.HeaterFloorC
		}
		into = append(into, t)
	}
	return into
}

func (p *problem) squares(x []float64) float64 {
	s := p.with(x)
	sum := 0.0
	for _, m := range p.misses(&s) {
		sum += m * m
	}
	return sum
}

// solve looks over a grid and goes on from its best with Nelder and Mead's
// simplex (1965, Computer J. 7:308-313): lows and highs jump from hour to hour,
// so that gradients mislead.
func (p *problem) solve() []float64 {
	const steps = 8
	best, least := []float64{0, 0}, math.Inf(1)
	for i := range steps + 1 {
		for k := range steps + 1 {
			x := []float64{
				math.Log(leastTau) + float64(i)/steps*math.Log(mostTau/leastTau),
				float64(k) / steps,
			}
			if q := p.squares(x); q < least {
				best, least = x, q
			}
			if p.free == 1 {
				break
			}
		}
	}
	cost := func(x []float64) float64 {
		outside := math.Max(0, math.Log(leastTau)-x[0]) + math.Max(0, x[0]-math.Log(mostTau))
		if p.free == 2 {
			outside += math.Max(0, -x[1]) + math.Max(0, x[1]-1)
		}
		return p.squares(x) + 1e3*outside
	}
	r, _ := optimize.Minimize(optimize.Problem{Func: cost}, slices.Clone(best[:p.free]),
		&optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-9, Iterations: 30}, MajorIterations: 2000},
		&optimize.NelderMead{SimplexSize: 0.1})
	if r != nil && r.F <= least {
		best = []float64{r.X[0], 0}
		if p.free == 2 {
			best[1] = r.X[1]
		}
	}
	best[0] = min(max(best[0], math.Log(leastTau)), math.Log(mostTau))
	best[1] = min(max(best[1], 0), 1)
	return best
}

// errors returns the standard errors of time constant and share:
// s²(JᵀJ)⁻¹, s² the sum of squares over readings less parameters.
func (p *problem) errors(x []float64) (tau, share float64) {
	at := p.with(x)
	base := p.misses(&at)
	slope := func(change func(*Store, float64), step float64) []float64 {
		up, down := at, at
		change(&up, step)
		change(&down, -step)
		width := 2 * step
		if p.free == 2 && (up.HouseShare > 1 || down.HouseShare < 0) { // one-sided at the ends
			width = step
			if up.HouseShare > 1 {
				up = at
			} else {
				down = at
			}
		}
		hi, lo := p.misses(&up), p.misses(&down)
		for i := range hi {
			hi[i] = (hi[i] - lo[i]) / width
		}
		return hi
	}
	j0 := slope(func(s *Store, d float64) { s.TimeConstantH += d }, 0.01*at.TimeConstantH)
	var a, b, c, rss float64 // JᵀJ = [a b; b c]
	for i, m := range base {
		rss += m * m
		a += j0[i] * j0[i]
	}
	variance := rss / float64(len(base)-p.free)
	if p.free == 1 {
		return root(variance / a), 0
	}
	j1 := slope(func(s *Store, d float64) { s.HouseShare += d }, 0.005)
	for i := range j1 {
		b += j0[i] * j1[i]
		c += j1[i] * j1[i]
	}
	det := a*c - b*b
	return root(variance * c / det), root(variance * a / det)
}

// root is NaN for what is no variance.
func root(v float64) float64 {
	if !(v >= 0) || math.IsInf(v, 1) {
		return math.NaN()
	}
	return math.Sqrt(v)
}
