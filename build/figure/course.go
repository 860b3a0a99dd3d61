package figure

import (
	"fmt"
	"math"
)

// Course shows quantities over an axis of numbers or days, with a band behind
// the lines. A line of one point is drawn as a dot.
type Course struct {
	Head
	From, Until float64
	Ticks       []Tick
	YTicks      []Tick  // none: chosen round
	Low, High   float64 // least range shown; widened to the data
	YLabel      string
	Band        *Band
	Lines       []Line  // X rising
	Fields      []Field // behind everything
}

// Field is a level strip across a course, from one value to another, with its
// name inside where there is room for it. An end beyond the range shown is cut.
type Field struct {
	From, Until float64
	Label       string
	Chosen      bool // the one to be in
}

// Band is the field between two lines over the same places.
type Band struct {
	Label        string
	X, Low, High []float64 // X rising
}

// SVG draws the course. Nothing inside the range is ErrNothing. Other errors:
// ErrHead, ErrRange, ErrNotFinite, ErrShape, ErrKind.
func (c Course) SVG() ([]byte, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if err := checkRange(c.From, c.Until); err != nil {
		return nil, err
	}
	for _, ts := range [][]Tick{c.Ticks, c.YTicks} {
		if err := checkTicks(ts); err != nil {
			return nil, err
		}
	}
	if !finite(c.Low, c.High) || c.Low > c.High {
		return nil, fmt.Errorf("%w: from %v to %v", ErrRange, c.Low, c.High)
	}
	pl := plot{head: c.Head, kind: "course", x: scale{lo: c.From, hi: c.Until}, xTicks: c.Ticks, yLabel: c.YLabel, height: 280}
	if c.narrow() {
		pl.height = 230
	}
	low, high := c.Low, c.High
	widen := func(p point) { low, high = math.Min(low, p.y), math.Max(high, p.y) }
	for _, l := range c.Lines {
		line, err := checkLine(l, c.From, c.Until)
		if err != nil {
			return nil, err
		}
		for _, run := range line.runs {
			for _, p := range run {
				widen(p)
			}
		}
		if len(line.runs) > 0 {
			pl.lines = append(pl.lines, line)
		}
	}
	if c.Band != nil {
		band, err := c.Band.outline(c.From, c.Until)
		if err != nil {
			return nil, err
		}
		for _, p := range band {
			widen(p)
		}
		pl.band, pl.bandLabel = band, clean(c.Band.Label)
	}
	if len(pl.lines) == 0 && len(pl.band) == 0 {
		return nil, fmt.Errorf("course %s: %w", c.ID, ErrNothing)
	}
	if pl.yTicks = c.YTicks; len(pl.yTicks) == 0 {
		pl.yTicks = c.rounded(low, high, 6)
	}
	low = math.Min(low, pl.yTicks[0].At)
	high = math.Max(high, pl.yTicks[len(pl.yTicks)-1].At)
	if high-low < 1e-9 {
		low, high = low-0.5, high+0.5
	}
	pl.y = scale{lo: low, hi: high}
	for _, f := range c.Fields {
		if math.IsNaN(f.From) || math.IsNaN(f.Until) || f.From >= f.Until {
			return nil, fmt.Errorf("%w: field %q from %v to %v", ErrRange, f.Label, f.From, f.Until)
		}
		if f.From, f.Until = math.Max(f.From, low), math.Min(f.Until, high); f.From < f.Until {
			pl.fields = append(pl.fields, Field{f.From, f.Until, clean(f.Label), f.Chosen})
		}
	}
	return pl.draw()
}

// outline walks along the upper edge and back along the lower one.
func (b Band) outline(from, until float64) ([]point, error) {
	if len(b.Low) != len(b.X) || len(b.High) != len(b.X) {
		return nil, fmt.Errorf("%w: band %q has %d x, %d and %d y", ErrShape, b.Label, len(b.X), len(b.Low), len(b.High))
	}
	up, err := checkLine(Line{Label: b.Label, Kind: "level", X: b.X, Y: b.High}, from, until)
	if err != nil {
		return nil, err
	}
	down, err := checkLine(Line{Label: b.Label, Kind: "level", X: b.X, Y: b.Low}, from, until)
	if err != nil {
		return nil, err
	}
	if len(up.runs) != 1 || len(down.runs) != 1 {
		return nil, fmt.Errorf("%w: band %q has gaps or lies outside the range", ErrShape, b.Label)
	}
	out := up.runs[0]
	for i := len(down.runs[0]) - 1; i >= 0; i-- {
		out = append(out, down.runs[0][i])
	}
	return out, nil
}
