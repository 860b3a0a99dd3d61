package ripening

import "math"

// z90 is the standard normal quantile of 0.95.
const z90 = 1.6448536269514722

// LogSdPrior is the prior doubt of ln garden_sd and of ln year_sd, each
// (SCIENCE 6).
const LogSdPrior = 0.35

// certain is how near to 0 or 1 a chance is the end itself: the quantiles of the
// normal distribution there are noise.
const certain = 1e-12

// doubt is what is not known of a need: mu and ln sd as jointly normal, with
// mu = Mu + muU·u and ln sd = ln Sd + shift + lnU·u + lnV·v for independent
// standard normal u and v.
type doubt struct{ muU, lnU, lnV, shift float64 }

// doubt of a learned need is that of its fit. Otherwise it follows from the
// priors: independent doubts of ln garden_sd and ln year_sd, with
// d ln sd / d ln g = g²/sd² and likewise for y; by the second derivatives the
// mean of ln sd then lies 2·(g²/sd²)·(y²/sd²)·prior² above that of the two
// middle values (half a variance for each, times 2·g²·y²/sd⁴).
func (n Need) doubt() doubt {
	if n.Learned {
		d := doubt{muU: n.SE}
		if n.SE > 0 {
			d.lnU = n.CovMuLnSd / n.SE
		}
		d.lnV = math.Sqrt(math.Max(0, n.VarLnSd-d.lnU*d.lnU))
		return d
	}
	g, y := n.GardenSd*n.GardenSd, n.YearSd*n.YearSd
	if g+y == 0 {
		return doubt{muU: n.SE}
	}
	wg, wy := g/(g+y), y/(g+y)
	return doubt{muU: n.SE, lnV: math.Hypot(wg, wy) * LogSdPrior, shift: 2 * wg * wy * LogSdPrior * LogSdPrior}
}

// interval is the 90 % interval of the odds: what more data would shrink. The
// variance on the probit scale is s²_p/n + (∂o/∂mu)²·Var(mu) +
// (∂o/∂ln sd)²·Var(ln sd) + 2·∂o/∂mu·∂o/∂ln sd·Cov (SCIENCE 6, which names the
// logit scale), over φ² of the probit. A need may be so doubtful that the
// derivatives at its middle say little of the ends. So each end is sought where
// it lies: at the most likely mu, ln sd and run of years that are 1.645 standard
// deviations from the middle (the first-order reliability method: Hasofer &
// Lind 1974; Rackwitz & Fiessler 1978).
func (t *tally) interval(centre chances, sd float64) (low, high float64) {
	o := centre.mean
	if o <= certain || o >= 1-certain || centre.dMu == 0 {
		return o, o
	}
	e := newEnds(&t.q.Need, t.q.Delay, centre, sd)
	return math.Min(o, e.at(t, -z90)), math.Max(o, e.at(t, z90))
}

// ends seeks the ends of an interval. The derivatives away from the middle are
// taken from a normal distribution of the years' heat, of such mean and variance
// that the odds and their derivative by mu at the middle are the years' own:
// there the probit is (heat − mu)/√(sd² + variance).
type ends struct {
	doubt
	mu, sd         float64
	u, v, run      float64 // derivatives of the probit at the middle
	heat, variance float64
}

func newEnds(n *Need, delay float64, c chances, sd float64) ends {
	middle, density := probit(c.mean)
	width := density / -c.dMu
	e := ends{doubt: n.doubt(), mu: n.Mu + delay, sd: sd}
	e.heat, e.variance = e.mu+middle*width, math.Max(0, width*width-sd*sd)
	e.u, e.v = (c.dMu*e.muU+c.dLnSd*e.lnU)/density, c.dLnSd*e.lnV/density
	e.run = math.Sqrt(c.variance) / density
	return e
}

// at is the end z standard deviations from the middle.
func (e *ends) at(t *tally, z float64) float64 {
	u, v, _ := e.point(e.u, e.v, z)
	grow := math.Exp(2 * (e.shift + e.lnU*u + e.lnV*v))
	total := e.sd*e.sd*grow + e.variance
	byMu := -1 / math.Sqrt(total)
	byLnSd := (e.heat - e.mu - e.muU*u) * e.sd * e.sd * grow / total * byMu
	u, v, years := e.point(byMu*e.muU+byLnSd*e.lnU, byLnSd*e.lnV, z)
	r := t.run(e.mu+e.muU*u, e.sd*math.Exp(e.shift+e.lnU*u+e.lnV*v))
	if r.mean <= certain || r.mean >= 1-certain {
		return r.mean
	}
	middle, density := probit(r.mean)
	if density == 0 {
		return r.mean
	}
	width := math.Sqrt(r.variance) / density
	p, _ := normal(middle + width*(years+skewed(r.skew+3*middle*width, z, years/z)))
	return p
}

// skewed is how many standard deviations of a run of years its quantile moves
// where its skewness is more by skew than what the probit scale itself gives,
// -3·probit·width. It is the second term of Cornish & Fisher's expansion, for a
// run that makes up share of the way to the end; held to where that holds.
func skewed(skew, z, share float64) float64 {
	return (z*z - 1) / 6 * share * share * math.Max(-1, math.Min(1, skew))
}

// point is the place z standard deviations from the middle in the direction in
// which the probit changes most, of which u and v are two parts and the run of
// years the third.
func (e *ends) point(u, v, z float64) (pu, pv, years float64) {
	length := math.Sqrt(u*u + v*v + e.run*e.run)
	if length == 0 {
		return 0, 0, 0
	}
	return z * u / length, z * v / length, z * e.run / length
}
