package station

import (
	"math"

	"ripeward/build/day"
	"ripeward/build/diag"
)

// jump looks for the one clearest break in the yearly means of a temperature.
func (q *inspector) jump() {
	var years []int
	var means []float64
	for i := 0; i < len(q.months); {
		y, n, sum := q.months[i].year, 0, int64(0)
		for ; i < len(q.months) && q.months[i].year == y; i++ {
			n += int(q.months[i].n)
			sum += int64(q.months[i].sum)
		}
		if n >= jumpDays {
			years = append(years, int(y))
			means = append(means, float64(sum)/float64(n)/10)
		}
	}
	b, ok := findBreak(means)
	if !ok || b.statistic < JumpStatistic || math.Abs(b.after-b.before) < float64(JumpLeast) ||
		hingeSquares(means) < JumpOverTrend*b.stepSquares {
		return
	}
	first := day.Of(years[b.at], 1, 1)
	q.found = append(q.found, Suspect{Kind: KindJump, Element: elementNames[q.element], First: first, Last: day.Of(years[len(years)-1], 12, 31),
		Values: len(means), Used: true, Reason: jumpReason(b, years)})
}

// levels is the best split of yearly means into a part before and one after.
type levels struct {
	at            int // first index after the break
	before, after float64
	statistic     float64 // of the standard normal homogeneity test
	stepSquares   float64 // what a step leaves
}

// findBreak is the standard normal homogeneity test of a single shift:
//
//	T = max over k of k·z̄₁² + (n-k)·z̄₂²
//
// with z̄₁ and z̄₂ the means of the standardised values before and after k. At
// least jumpYears values are asked for on either side.
func findBreak(x []float64) (b levels, ok bool) {
	n := len(x)
	if n < 2*jumpYears {
		return b, false
	}
	var sum, squares float64
	for _, v := range x {
		sum += v
	}
	mean := sum / float64(n)
	for _, v := range x {
		squares += (v - mean) * (v - mean)
	}
	if squares == 0 {
		return b, false
	}
	variance := squares / float64(n-1)
	part := 0.0
	for k := 1; k <= n-jumpYears; k++ {
		part += x[k-1] - mean
		if k < jumpYears {
			continue
		}
		z1, z2 := part/float64(k), -part/float64(n-k)
		if t := (float64(k)*z1*z1 + float64(n-k)*z2*z2) / variance; t > b.statistic {
			b.at, b.statistic, b.before, b.after = k, t, mean+z1, mean+z2
		}
	}
	b.stepSquares = squares - b.statistic*variance
	return b, b.at > 0
}

// hingeSquares is what the best line with one bend leaves of x, by least
// squares; a straight line is one of them.
func hingeSquares(x []float64) float64 {
	best := math.Inf(1)
	n := float64(len(x))
	for knot := 0; knot < len(x)-1; knot++ {
		// Deviations from the mean of x, of the year and of the years past
		// the knot, and their products.
		var mx, mt, mh float64
		for i, v := range x {
			mx += v / n
			mt += float64(i) / n
			mh += float64(max(0, i-knot)) / n
		}
		var xx, tt, hh, xt, xh, th float64
		for i, v := range x {
			v, t, h := v-mx, float64(i)-mt, float64(max(0, i-knot))-mh
			xx, tt, hh = xx+v*v, tt+t*t, hh+h*h
			xt, xh, th = xt+v*t, xh+v*h, th+t*h
		}
		left := xx - xt*xt/tt
		if d := tt*hh - th*th; d > 1e-9*tt*hh {
			a, b := (xt*hh-xh*th)/d, (xh*tt-xt*th)/d
			left = xx - a*xt - b*xh
		}
		best = min(best, left)
	}
	return best
}

func jumpReason(b levels, years []int) diag.Sentence {
	return diag.Say("the yearly mean steps from %.1f °C (%d to %d) to %.1f (%d to %d); homogeneity statistic %.0f, where %.0f is reached by chance in fewer than 1 of 100 records: a move, a new instrument or another hour of reading",
		b.before, years[0], years[b.at-1], b.after, years[b.at], years[len(years)-1], b.statistic, JumpStatistic)
}
