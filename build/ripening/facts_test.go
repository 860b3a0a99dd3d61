package ripening_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/ripening"
)

// Trade facts, common practice.

// waveTown is a town of a sinusoidal year: July 21.5 °C, the year 7 °C, mean =
// 7 + 14.5·cos(2π(d−201)/365) on day d, daily range 11 °C, all of it warmer by
// warmer.
func waveTown(warmer float64) *ripening.Year {
	y := steady(day.North, 0, 0, nil)
	for i := range y.TMin {
		mean := 7 + 14.5*math.Cos(2*math.Pi*float64(i+1-201)/365) + warmer
		y.TMin[i], y.TMax[i] = mean-5.5, mean+5.5
	}
	return y
}

// 100 °C·d cost 9 days in the middle of July, 20 in the middle of September
// and 40 at the start of October (common practice): 100 over the day's gain,
// which the floor of ripening does not cut.
func TestWhatHundredDegreeDaysCost(t *testing.T) {
	y := waveTown(0)
	for _, c := range []struct {
		month, dom   int
		days, within float64
	}{{7, 15, 9, 1}, {9, 15, 20, 2}, {10, 1, 40, 4}} {
		i := y.Index(day.North.RankOf(c.month, c.dom))
		if got := 100 / climate.SineDegreeDays(y.TMin[i], y.TMax[i], 10, 30); math.Abs(got-c.days) > c.within {
			t.Errorf("100 °C·d cost %.1f days on %d-%d, want %v ± %v", got, c.month, c.dom, c.days, c.within)
		} else {
			t.Logf("100 °C·d cost %.1f days on %d-%d", got, c.month, c.dom)
		}
	}
}

// A degree warmer all season adds 100-140 °C·d (common practice), counted over
// the same days, 23 May to 5 October.
func TestADegreeWarmer(t *testing.T) {
	cool, warm := waveTown(0), waveTown(1)
	from, until := day.North.RankOf(5, 23), day.North.RankOf(10, 5)
	sum := 0.0
	for r := from; r <= until; r++ {
		i := cool.Index(r)
		sum += climate.SineDegreeDays(warm.TMin[i], warm.TMax[i], 10, 30) - climate.SineDegreeDays(cool.TMin[i], cool.TMax[i], 10, 30)
	}
	if t.Logf("from 23 May to 5 October: %.0f °C·d", sum); sum < 100 || sum > 140 {
		t.Errorf("a degree adds %v °C·d from 23 May to 5 October", sum)
	}
}

// A head start brings ripening forward by its heat over the midsummer daily
// rate (common practice).
func TestWhatAHeadStartBrings(t *testing.T) {
	y, m := waveTown(0), plainPot
	m.Planned, m.IndoorC, m.IndoorShare = true, 21, 1
	out, july := day.North.RankOf(5, 23), y.Index(day.North.RankOf(7, 20))
	rate := climate.SineDegreeDays(y.TMin[july], y.TMax[july], 10, 30)
	six, eight := supply(y, m, out, 6), supply(y, m, out, 8)
	extra := eight.HeatAt(out) - six.HeatAt(out)
	const heat = 900 // is reached in the second half of July
	a, ok1 := six.RankWhen(heat)
	b, ok2 := eight.RankWhen(heat)
	if want := extra / rate; !ok1 || !ok2 || math.Abs(float64(a-b)-want) > 1.5 {
		t.Errorf("two weeks more bring %.0f °C·d and %d days (day %d, not %d), want %.1f", extra, a-b, b, a, want)
	} else {
		t.Logf("two weeks more bring %.0f °C·d and %d days; %.1f at midsummer's rate", extra, a-b, want)
	}
}
