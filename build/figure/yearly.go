package figure

import (
	"fmt"
	"math"
)

// SVG draws the yearly chart. Joined points are joined from one year to the
// next only. No finite value is ErrNothing, lines or not. Other errors:
// ErrHead, ErrRange, ErrNotFinite, ErrShape (years not rising, or not as many
// as values), ErrKind.
func (y Yearly) SVG() ([]byte, error) {
	if err := y.check(); err != nil {
		return nil, err
	}
	if len(y.Years) != len(y.Values) {
		return nil, fmt.Errorf("%w: %d years and %d values", ErrShape, len(y.Years), len(y.Values))
	}
	if !finite(y.Low, y.High) {
		return nil, fmt.Errorf("%w: range from %v to %v", ErrNotFinite, y.Low, y.High)
	}
	if y.Low > y.High {
		return nil, fmt.Errorf("%w: from %v to %v", ErrRange, y.Low, y.High)
	}
	if err := checkTicks(y.YTicks); err != nil {
		return nil, err
	}
	low, high := math.Inf(1), math.Inf(-1)
	widen := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	var all []point
	var runs [][]point
	for i, v := range y.Values {
		if i > 0 && y.Years[i] <= y.Years[i-1] {
			return nil, fmt.Errorf("%w: years are not rising at %d", ErrShape, y.Years[i])
		}
		if math.Abs(float64(y.Years[i])) > 99999 {
			return nil, fmt.Errorf("%w: year %d", ErrRange, y.Years[i])
		}
		if math.IsNaN(v) {
			continue
		}
		if !finite(v) {
			return nil, fmt.Errorf("%w: %v in %d", ErrNotFinite, v, y.Years[i])
		}
		widen(v)
		p := point{float64(y.Years[i]), v}
		if n := len(all); n > 0 && all[n-1].x == p.x-1 {
			runs[len(runs)-1] = append(runs[len(runs)-1], p)
		} else {
			runs = append(runs, []point{p})
		}
		all = append(all, p)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("yearly %s: %w", y.ID, ErrNothing)
	}
	first, last := y.Years[0], y.Years[len(y.Years)-1]
	pl := plot{head: y.Head, kind: "yearly", x: scale{lo: float64(first) - 0.7, hi: float64(last) + 0.7},
		yLabel: y.YLabel, height: 230}
	if y.narrow() {
		pl.height = 190
	}
	for _, l := range y.Lines {
		c, err := checkLine(l, pl.x.lo, pl.x.hi)
		if err != nil {
			return nil, err
		}
		if len(c.runs) == 0 {
			continue
		}
		for _, r := range c.runs {
			for _, p := range r {
				widen(p.y)
			}
		}
		pl.lines = append(pl.lines, c)
	}
	if y.Low != 0 || y.High != 0 {
		widen(y.Low)
		widen(y.High)
	}
	if pl.yTicks = y.YTicks; len(pl.yTicks) == 0 {
		pl.yTicks = y.rounded(low, high, 6)
	}
	low = math.Min(low, pl.yTicks[0].At)
	high = math.Max(high, pl.yTicks[len(pl.yTicks)-1].At)
	if high-low < 1e-9 { // one tick at the one value there is
		low, high = low-0.5, high+0.5
	}
	pl.y = scale{lo: low, hi: high}
	pl.xTicks = yearTicks(first, last, y.width()*0.7)

	radius := 3.4
	if n := last - first; n > 0 {
		radius = min(max(y.width()*0.7/float64(n)*0.36, 2), radius)
	}
	if y.Joined {
		for _, r := range runs {
			if len(r) > 1 {
				pl.dots = append(pl.dots, series(r, "rw-line rw-joined"))
			}
		}
	}
	pl.dots = append(pl.dots, dots(all, "rw-dot rw-year", radius))
	return pl.draw()
}
