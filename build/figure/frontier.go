package figure

import (
	"fmt"
	"math"
	"slices"
)

// Frontier sets small panels side by side, each with what effort buys for one
// thing grown: points of effort against a share of years, and a stair along
// the best that so much effort reaches.
type Frontier struct {
	Head
	Panels  []Panel
	Most    float64 // effort at the right edge of every panel
	Ticks   []Tick  // of effort
	YTicks  []Tick  // of the share, 0-1
	XLabel  string
	YLabel  string
	Targets []float64 // shares marked by a line
	Keys    []Key     // of kinds of points, with Mark set
}

// Panel is one thing grown.
type Panel struct {
	Label  string
	Points []Effort
}

// Effort is one way: At is what it takes, Share (0-1) what it gives. Kind
// names the shape, as that of a Mark.
type Effort struct {
	At, Share float64
	Kind      string
}

// SVG draws the panels, three in a row on a wide screen and two on a narrow
// one. No panel is ErrNothing; a panel may be empty. Other errors: ErrHead,
// ErrRange, ErrNotFinite, ErrShape.
func (f Frontier) SVG() ([]byte, error) {
	if err := f.verify(); err != nil {
		return nil, err
	}
	across := 3
	if f.narrow() {
		across = 2
	}
	across = min(across, len(f.Panels))
	w := f.width()
	left := 0.0
	for _, t := range f.YTicks {
		left = max(left, textWidth(clean(t.Label), tickSize))
	}
	left += 12
	const gap = 16.0
	panel := (w - left - 6 - gap*float64(across-1)) / float64(across)
	high := 118.0
	if f.narrow() {
		high = 96
	}
	labels := make([]wrapped, len(f.Panels))
	for i, p := range f.Panels {
		labels[i] = wrapText(p.Label, panel-4)
	}
	heading, _ := wrap(f.YLabel, tickSize, w-8, 2)
	y := 6 + lineStep*float64(len(heading))
	tops := make([]float64, len(f.Panels))
	for i := 0; i < len(f.Panels); i += across {
		tallest := 0.0
		for j := i; j < min(i+across, len(f.Panels)); j++ {
			tallest = max(tallest, labels[j].height())
		}
		for j := i; j < min(i+across, len(f.Panels)); j++ {
			tops[j] = y + tallest + 10
		}
		y += tallest + 10 + high + 30
	}
	foot := y
	under, _ := wrap(f.XLabel, tickSize, w-left-8, 2)
	keys := keyRows{}
	for _, k := range f.Keys {
		keys.items = append(keys.items, keyItem{label: clean(k.Label), draw: k.sample()})
	}
	keys.set(w)
	keyTop := foot + lineStep*float64(len(under)) + 2
	p := newPen(f.Head, "frontier", math.Ceil(keyTop+keys.height()+2))
	for i, l := range heading {
		p.text("rw-tick rw-strong", "start", 2, 14+float64(i)*lineStep, l, "")
	}
	for i, x := range f.Panels {
		at := left + float64(i%across)*(panel+gap)
		f.panel(p, x, labels[i], at, at+panel, tops[i], tops[i]+high, i%across == 0)
	}
	for i, l := range under {
		p.text("rw-tick rw-strong", "start", left, foot+8+float64(i)*lineStep, l, "")
	}
	keys.draw(p, keyTop)
	return p.end(), nil
}

// panel draws one panel between its edges.
func (f Frontier) panel(p *pen, x Panel, label wrapped, a, b, top, bottom float64, named bool) {
	xs, ys := scale{lo: 0, hi: f.Most, a: a, b: b}, scale{lo: 0, hi: 1, a: bottom, b: top}
	p.lines("rw-label", "start", a, top-8-float64(len(label.lines)-1)*lineStep/2-4, label.lines, label.whole)
	p.rect("rw-tint", a, top, b-a, bottom-top, 0)
	for _, t := range f.Targets {
		p.line("rw-grid", a, ys.at(t), b, ys.at(t))
	}
	stair := f.stair(x.Points)
	if len(stair) > 0 {
		xy := []float64{xs.at(stair[0].At), ys.at(0)}
		for i, q := range stair {
			if i > 0 {
				xy = append(xy, xs.at(q.At), ys.at(stair[i-1].Share))
			}
			xy = append(xy, xs.at(q.At), ys.at(q.Share))
		}
		xy = append(xy, b, ys.at(stair[len(stair)-1].Share))
		p.line("rw-line rw-ripe-1", xy...)
	}
	for _, q := range x.Points {
		shape(p, q.Kind, min(max(xs.at(q.At), a+5), b-5), min(max(ys.at(q.Share), top+5), bottom-5))
	}
	p.line("rw-rule", a, bottom, b, bottom)
	for _, l := range along(f.ticksBefore(f.Most), xs, f.width()) {
		p.text("rw-tick", "middle", l.at, bottom+17, l.text, "")
	}
	if named {
		for _, t := range thinned(f.YTicks, ys) {
			p.text("rw-tick", "end", a-7, ys.at(t.At)+4.5, clean(t.Label), "")
		}
	}
}

// ticksBefore leaves out a tick at the right edge: its label would stand
// against the next panel's first.
func (f Frontier) ticksBefore(edge float64) []Tick {
	if n := len(f.Ticks); n > 1 && f.Ticks[n-1].At >= edge {
		return f.Ticks[:n-1]
	}
	return f.Ticks
}

// stair keeps the points that no other gives more than for no more effort.
func (f Frontier) stair(points []Effort) []Effort {
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(a, b Effort) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	var out []Effort
	for _, q := range sorted {
		if len(out) == 0 || q.Share > out[len(out)-1].Share {
			out = append(out, q)
		}
	}
	return out
}

func (f Frontier) verify() error {
	if err := f.check(); err != nil {
		return err
	}
	if len(f.Panels) == 0 {
		return fmt.Errorf("frontier %s: %w", f.ID, ErrNothing)
	}
	if !finite(f.Most) || f.Most <= 0 {
		return fmt.Errorf("%w: effort to %v", ErrRange, f.Most)
	}
	for _, ts := range [][]Tick{f.Ticks, f.YTicks} {
		if err := checkTicks(ts); err != nil {
			return err
		}
	}
	for _, t := range f.Targets {
		if !finite(t) || t < 0 || t > 1 {
			return fmt.Errorf("%w: target %v", ErrRange, t)
		}
	}
	for _, x := range f.Panels {
		for _, q := range x.Points {
			if !finite(q.At, q.Share) {
				return fmt.Errorf("%w: %v, %v of %q", ErrNotFinite, q.At, q.Share, x.Label)
			}
			if q.At < 0 || q.At > f.Most || q.Share < 0 || q.Share > 1 {
				return fmt.Errorf("%w: %v, %v of %q", ErrRange, q.At, q.Share, x.Label)
			}
		}
	}
	return nil
}
