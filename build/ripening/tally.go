package ripening

import "math"

// tally goes over a question's years, as often as its answer needs. Years in
// which no wood can have died are most: their heats lie side by side.
type tally struct {
	q      *Question
	plain  []float64 // heat of the years without winter kill, °C·d
	years  []YearOf
	killed bool // some years have winter kill
	// least and most are the bounds of plain.
	least, most float64
}

// noKill is a chance of winter kill that counts as none: it moves no odds by
// more than itself.
const noKill = 1e-9

// newTally sorts the years into room, which grows where it is too small. Lost
// years add nothing but count.
func newTally(years []YearOf, q *Question, room []float64) tally {
	t := tally{q: q, plain: room, years: years, least: math.Inf(1), most: math.Inf(-1)}
	for i := range years {
		switch y := &years[i]; {
		case y.Lost:
		case y.Kill > noKill:
			t.killed = true
		default:
			t.plain = append(t.plain, y.Heat)
			if y.Heat < t.least {
				t.least = y.Heat
			}
			if y.Heat > t.most {
				t.most = y.Heat
			}
		}
	}
	return t
}

// plainly tells where nothing need be counted: every year ripens (1) or none
// does (0), in a cool garden too and to the last fruit, as far as the table of
// the normal distribution goes.
func (t *tally) plainly(mu, sd, garden float64) (odds float64, plain bool) {
	q := t.q
	if t.killed {
		return 0, false
	}
	reach := normalReach * sd
	if t.most < min(mu-reach, mu-garden-normalReach*q.Need.YearSd) {
		return 0, true
	}
	return 1, len(t.plain) == len(t.years) && t.least > max(mu+q.Spread+reach, mu+garden+normalReach*q.Need.YearSd)
}

// chances is what the yearly chances come to.
type chances struct {
	mean, variance float64 // of the chances; the variance is that of the mean
	dMu, dLnSd     float64 // derivatives of the mean by mu (1/(°C·d)) and ln sd
	g              float64 // mean of g(z) = zΦ(z) + φ(z)
}

// chances passes over the years once.
func (t *tally) chances(mu, sd float64) chances {
	inv := inverse(sd)
	scale := inv * normalSteps
	zero := normalZero - mu*scale
	var sum, sumSq, d, dx, px float64 // x is z in steps
	for _, heat := range t.plain {
		x := heat*scale + zero
		n, u := nodeAt(x)
		p, slope := n.cdf(u), n.slope(u)
		x -= normalZero
		sum += p
		sumSq += p * p
		px += p * x
		d += slope
		dx += slope * x
	}
	d, dz, g := d*normalSteps, dx, px/normalSteps+d*normalSteps
	if t.killed {
		for i := range t.years {
			if y := &t.years[i]; y.Kill > noKill && !y.Lost {
				k := t.killedYear(y, mu, inv)
				sum, sumSq, d, dz, g = sum+k.p, sumSq+k.p*k.p, d+k.d, dz+k.dz, g+k.g
			}
		}
	}
	f := float64(len(t.years))
	return chances{mean: sum / f, variance: varianceOfMean(sum, sumSq, f), dMu: -d * inv / f, dLnSd: -dz / f, g: g / f}
}

// mean is the mean of the chances alone.
func (t *tally) mean(mu, sd float64) float64 {
	inv := inverse(sd)
	scale := inv * normalSteps
	zero := normalZero - mu*scale
	sum := 0.0
	for _, heat := range t.plain {
		n, u := nodeAt(heat*scale + zero)
		sum += n.cdf(u)
	}
	if t.killed {
		for i := range t.years {
			if y := &t.years[i]; y.Kill > noKill && !y.Lost {
				sum += t.killedChance(y, mu, inv)
			}
		}
	}
	return sum / float64(len(t.years))
}

// g is the g of chances alone.
func (t *tally) g(mu, sd float64) float64 {
	inv := inverse(sd)
	scale := inv * normalSteps
	zero := normalZero - mu*scale
	px, d := 0.0, 0.0
	for _, heat := range t.plain {
		x := heat*scale + zero
		n, u := nodeAt(x)
		px += n.cdf(u) * (x - normalZero)
		d += n.slope(u)
	}
	g := px/normalSteps + d*normalSteps
	if t.killed {
		for i := range t.years {
			if y := &t.years[i]; y.Kill > noKill && !y.Lost {
				g += t.killedYear(y, mu, inv).g
			}
		}
	}
	return g / float64(len(t.years))
}

// run is the mean of the chances with what so short a run of years leaves in
// doubt of it: its variance and its skewness.
type run struct{ mean, variance, skew float64 }

func (t *tally) run(mu, sd float64) run {
	inv := inverse(sd)
	scale := inv * normalSteps
	zero := normalZero - mu*scale
	var sum, sq, cube float64
	for _, heat := range t.plain {
		n, u := nodeAt(heat*scale + zero)
		p := n.cdf(u)
		sum += p
		sq += p * p
		cube += p * p * p
	}
	if t.killed {
		for i := range t.years {
			if y := &t.years[i]; y.Kill > noKill && !y.Lost {
				p := t.killedChance(y, mu, inv)
				sum, sq, cube = sum+p, sq+p*p, cube+p*p*p
			}
		}
	}
	f := float64(len(t.years))
	r := run{mean: sum / f, variance: varianceOfMean(sum, sq, f)}
	if m2 := sq/f - r.mean*r.mean; m2 > noise*sq/f {
		r.skew = (cube/f - r.mean*(3*m2+r.mean*r.mean)) / (m2 * math.Sqrt(m2*f))
	}
	return r
}

// terms are one year's part: its chance, and what its derivatives and g come
// from.
type terms struct{ p, d, dz, g float64 }

// killedYear weighs the year with live wood, and the delayed year after wood
// was killed; killed old wood bears nothing.
func (t *tally) killedYear(y *YearOf, mu, inv float64) terms {
	at := func(z, w float64) terms {
		p, d := normal(z)
		return terms{w * p, w * d, w * d * z, w * (z*p + d)}
	}
	z := (y.Heat - mu) * inv
	a := at(z, 1-y.Kill)
	if !t.q.OnOldWood {
		b := at(z-t.q.DiebackDelay*inv, y.Kill)
		a = terms{a.p + b.p, a.d + b.d, a.dz + b.dz, a.g + b.g}
	}
	return a
}

// killedChance is the chance of killedYear alone.
func (t *tally) killedChance(y *YearOf, mu, inv float64) float64 {
	x := (y.Heat-mu)*inv*normalSteps + normalZero
	n, u := nodeAt(x)
	p := (1 - y.Kill) * n.cdf(u)
	if !t.q.OnOldWood {
		n, u = nodeAt(x - t.q.DiebackDelay*inv*normalSteps)
		p += y.Kill * n.cdf(u)
	}
	return p
}

// noise is what of a difference of sums is rounding alone.
const noise = 1e-12

// varianceOfMean is s²/n, from the sum and the sum of squares of n numbers.
func varianceOfMean(sum, sumSq, n float64) float64 {
	if n < 2 {
		return 0
	}
	d := sumSq - sum*sum/n
	if d < noise*sumSq {
		return 0
	}
	return d / (n - 1) / n
}
