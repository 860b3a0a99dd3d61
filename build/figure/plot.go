package figure

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	chart "github.com/wcharczuk/go-chart/v2"
)

var lineKinds = []string{"ripe-1", "ripe-2", "ripe-3", "ripe-4", "ripe-5", "ripe-6", "frost", "hard-frost", "trend", "level"}

// plot is what a race and a yearly chart have in common: lines and points over
// an x and a y axis.
type plot struct {
	head           Head
	kind           string
	x, y           scale // lo and hi are given, a and b set by the layout
	xTicks, yTicks []Tick
	yLabel         string
	lines          []curve
	dots           []chart.Series
	height         float64 // of the plot's field
	band           []point // a closed field behind the lines; nil: none
	bandLabel      string
	fields         []Field // inside the y range
}

// curve is a checked line: its runs hold finite points only.
type curve struct {
	label, kind string
	runs        [][]point
}

type point struct{ x, y float64 }

func (c curve) last() point { r := c.runs[len(c.runs)-1]; return r[len(r)-1] }

// single tells whether a curve is but one point.
func (c curve) single() bool { return len(c.runs) == 1 && len(c.runs[0]) == 1 }

// mean height of a curve, to order labels whose ends meet.
func (c curve) mean() float64 {
	sum, n := 0.0, 0
	for _, r := range c.runs {
		for _, p := range r {
			sum, n = sum+p.y, n+1
		}
	}
	return sum / float64(n)
}

// checkLine splits a line at its gaps and cuts it to the x range.
func checkLine(l Line, from, until float64) (curve, error) {
	c := curve{label: clean(l.Label), kind: l.Kind}
	if !slices.Contains(lineKinds, l.Kind) {
		return c, fmt.Errorf("%w: %q of line %q", ErrKind, l.Kind, l.Label)
	}
	if len(l.X) != len(l.Y) {
		return c, fmt.Errorf("%w: line %q has %d x and %d y", ErrShape, l.Label, len(l.X), len(l.Y))
	}
	var run []point
	end := func() {
		if run = cutRun(run, from, until); len(run) > 0 {
			c.runs = append(c.runs, run)
		}
		run = nil
	}
	for i, x := range l.X {
		y := l.Y[i]
		if !finite(x) || math.Abs(y) > large {
			return c, fmt.Errorf("%w: line %q at x %v, y %v", ErrNotFinite, l.Label, x, y)
		}
		if i > 0 && x <= l.X[i-1] {
			return c, fmt.Errorf("%w: x of line %q is not rising at %v", ErrShape, l.Label, x)
		}
		if math.IsNaN(y) {
			end()
			continue
		}
		run = append(run, point{x, y})
	}
	end()
	return c, nil
}

func cutRun(run []point, from, until float64) []point {
	var out []point
	between := func(a, b point, x float64) point {
		return point{x, a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)}
	}
	for i, p := range run {
		if i > 0 {
			q := run[i-1]
			if q.x < from && p.x > from {
				out = append(out, between(q, p, from))
			}
			if q.x < until && p.x > until {
				out = append(out, between(q, p, until))
			}
		}
		if p.x >= from && p.x <= until {
			out = append(out, p)
		}
	}
	return out
}

// layer lets us draw between go-chart's own series.
type layer func(*pen)

func (layer) GetName() string           { return "" }
func (layer) GetYAxis() chart.YAxisType { return chart.YAxisPrimary }
func (layer) GetStyle() chart.Style     { return chart.Style{} }
func (layer) Validate() error           { return nil }
func (f layer) Render(r chart.Renderer, _ chart.Box, _, _ chart.Range, _ chart.Style) {
	f(r.(*pen))
}

// rangeOf is an axis for go-chart, which rounds places up to whole units: all a
// hair lower, so that a whole place that another processor has a hair too high
// stays where it is.
func rangeOf(lo, hi float64) *chart.ContinuousRange {
	hair := (hi - lo) * 1e-12
	return &chart.ContinuousRange{Min: lo + hair, Max: hi + hair}
}

// series hands a run to go-chart; a single point becomes a dot.
func series(run []point, class string) chart.Series {
	s := chart.ContinuousSeries{Style: chart.Style{ClassName: class, StrokeWidth: 2}}
	for _, p := range run {
		s.XValues, s.YValues = append(s.XValues, p.x), append(s.YValues, p.y)
	}
	return s
}

func dots(run []point, class string, radius float64) chart.Series {
	s := series(run, class).(chart.ContinuousSeries)
	s.Style.StrokeWidth, s.Style.DotWidth = chart.Disabled, radius*unit
	return s
}

// go-chart guards its default font badly against first use by several
// goroutines; here it is read once.
var font = sync.OnceValues(chart.GetDefaultFont)

const sampleWidth = 26.0

// draw lays the plot out and renders it.
func (pl plot) draw() ([]byte, error) {
	w := pl.head.width()
	left := 0.0
	for _, t := range pl.yTicks {
		left = max(left, textWidth(clean(t.Label), tickSize))
	}
	left = min(left, w*0.3) + 12
	heading, _ := wrap(pl.yLabel, tickSize, w-8, 2)
	top := 12.0
	if len(heading) > 0 {
		top = 16 + lineStep*float64(len(heading))
	}

	var named []curve
	for _, c := range pl.lines {
		if c.label != "" {
			named = append(named, c)
		}
	}
	words := make([]wrapped, len(named))
	column := 0.0
	for i, c := range named {
		lines, cut := wrap(c.label, labelSize, w*0.28-sampleWidth, 3)
		words[i] = wrapped{lines: lines}
		if cut {
			words[i].whole = c.label
		}
		column = max(column, widest(lines, labelSize)+sampleWidth+12)
	}
	direct := len(named) > 0 && !pl.head.narrow()
	right := 14.0
	if direct {
		right = column + 8
	}
	height, needed := pl.height, 0.0
	if direct {
		for _, t := range words {
			needed += t.height()
		}
		height = max(height, needed)
	}
	pl.x.a, pl.x.b = left, w-right
	pl.y.a, pl.y.b = top+height, top
	foot := top + height + 24
	var keys keyRows
	if !direct {
		for _, c := range named {
			keys.items = append(keys.items, keyItem{label: c.label, draw: sampleOf(c)})
		}
	}
	if pl.bandLabel != "" {
		keys.items = append(keys.items, keyItem{label: pl.bandLabel, draw: func(p *pen, x, y float64) {
			p.rect("rw-area rw-between", x, y-6, sampleWidth, 12, 0)
		}})
	}
	keys.set(w)
	total := math.Ceil(foot + keys.height() + 2)

	f, err := font()
	if err != nil {
		return nil, err
	}
	ch := chart.Chart{
		Width: int(w * unit), Height: int(total * unit), Font: f,
		Background: chart.Style{Padding: chart.NewBox(int(math.Round(top*unit)), int(math.Round(left*unit)),
			int(math.Round(right*unit)), int(math.Round((total-top-height)*unit)))},
		XAxis:          chart.HideXAxis(),
		YAxis:          chart.HideYAxis(),
		YAxisSecondary: chart.HideYAxis(),
	}
	ch.XAxis.Range, ch.YAxis.Range = rangeOf(pl.x.lo, pl.x.hi), rangeOf(pl.y.lo, pl.y.hi)
	ch.Series = append(ch.Series, layer(func(p *pen) { pl.under(p) }))
	for _, c := range pl.lines {
		for _, run := range c.runs {
			if len(run) == 1 {
				radius := 3.0
				if c.single() {
					radius = 5
				}
				ch.Series = append(ch.Series, dots(run, "rw-dot rw-"+c.kind, radius))
			} else {
				ch.Series = append(ch.Series, series(run, "rw-line rw-"+c.kind))
			}
		}
	}
	ch.Series = append(ch.Series, pl.dots...)
	ch.Series = append(ch.Series, layer(func(p *pen) {
		pl.axes(p, heading)
		if direct {
			pl.ends(p, named, words)
		}
		keys.draw(p, foot)
	}))
	var out bytes.Buffer
	provider := func(int, int) (chart.Renderer, error) {
		p := newPen(pl.head, pl.kind, total)
		p.hatches()
		return p, nil
	}
	if err := ch.Render(provider, &out); err != nil {
		return nil, fmt.Errorf("chart %s: %w", pl.head.ID, err)
	}
	return out.Bytes(), nil
}

// under draws what lies behind the lines: the grid, and the area of frost.
func (pl plot) under(p *pen) {
	for _, f := range pl.fields {
		top := pl.y.at(f.Until)
		class := "rw-field"
		if f.Chosen {
			class += " rw-chosen"
		}
		p.rect(class, pl.x.a, top, pl.x.b-pl.x.a, pl.y.at(f.From)-top, 0)
	}
	for _, t := range pl.yTicks {
		if t.At > pl.y.lo && t.At <= pl.y.hi {
			y := pl.y.at(t.At)
			p.line("rw-grid", pl.x.a, y, pl.x.b, y)
		}
	}
	for _, x := range gridAt(pl.xTicks, pl.x) {
		p.line("rw-grid rw-dotted", x, pl.y.a, x, pl.y.b)
	}
	if len(pl.band) > 2 {
		xy := make([]float64, 0, 2*len(pl.band))
		for _, q := range pl.band {
			xy = append(xy, pl.x.at(q.x), pl.y.at(q.y))
		}
		p.line("rw-area rw-between", xy...)
	}
	for _, c := range pl.lines {
		if c.kind != "frost" || pl.kind != "race" {
			continue
		}
		for _, run := range c.runs {
			if len(run) < 2 {
				continue
			}
			xy := []float64{pl.x.at(run[0].x), pl.y.a}
			for _, q := range run {
				xy = append(xy, pl.x.at(q.x), pl.y.at(q.y))
			}
			xy = append(xy, pl.x.at(run[len(run)-1].x), pl.y.a)
			p.area("rw-area rw-frost", xy)
		}
	}
}

// axes draws the base line, the words along both axes and the heading of the
// y axis.
func (pl plot) axes(p *pen, heading []string) {
	for _, f := range pl.fields {
		if y := pl.y.at(f.Until); pl.y.at(f.From)-y >= lineStep {
			lines, _ := wrap(f.Label, tickSize, pl.x.b-pl.x.a-8, 1)
			p.lines("rw-tick rw-over", "end", pl.x.b-4, (y+pl.y.at(f.From))/2, lines, "")
		}
	}
	p.line("rw-rule", pl.x.a, pl.y.a, pl.x.b, pl.y.a)
	for _, t := range pl.xTicks {
		if t.At >= pl.x.lo && t.At <= pl.x.hi {
			x := pl.x.at(t.At)
			p.line("rw-rule", x, pl.y.a, x, pl.y.a+4)
		}
	}
	for _, l := range along(pl.xTicks, pl.x, pl.head.width()) {
		p.text("rw-tick", "middle", l.at, pl.y.a+18, l.text, "")
	}
	for i, l := range heading {
		p.text("rw-tick rw-strong", "start", 2, 14+float64(i)*lineStep, l, "")
	}
	for _, t := range thinned(pl.yTicks, pl.y) {
		lines, cut := wrap(t.Label, tickSize, pl.x.a-10, 1)
		if len(lines) > 0 {
			whole := ""
			if cut {
				whole = t.Label
			}
			p.text("rw-tick", "end", pl.x.a-8, pl.y.at(t.At)+4.5, lines[0], whole)
		}
	}
}

// thinned leaves out y ticks whose labels would touch.
func thinned(ts []Tick, s scale) []Tick {
	var in []Tick
	for _, t := range ts {
		if t.At >= s.lo && t.At <= s.hi {
			in = append(in, t)
		}
	}
	for k := 1; ; k++ {
		var out []Tick
		ok := true
		for i := 0; i < len(in); i += k {
			if n := len(out); n > 0 && math.Abs(s.at(in[i].At)-s.at(out[n-1].At)) < lineStep {
				ok = false
				break
			}
			out = append(out, in[i])
		}
		if ok {
			return out
		}
	}
}

// wrapped is a label broken into lines; whole is set if its end is left out.
type wrapped struct {
	lines []string
	whole string
}

func (t wrapped) height() float64 { return float64(len(t.lines))*lineStep + 3 }

// ends writes each line's name at its right end, with a piece of the line.
func (pl plot) ends(p *pen, named []curve, words []wrapped) {
	order := make([]int, len(named))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(named[b].last().y, named[a].last().y), cmp.Compare(named[b].mean(), named[a].mean()))
	})
	wish, height := make([]float64, len(order)), make([]float64, len(order))
	for k, i := range order {
		wish[k], height[k] = pl.y.at(named[i].last().y), words[i].height()
	}
	at := spread(wish, height, pl.y.b-2, pl.y.a+2)
	for k, i := range order {
		end := named[i].last()
		x0, y0 := pl.x.at(end.x), pl.y.at(end.y)
		x1 := pl.x.b + 10
		if math.Abs(at[k]-y0) > 0.5 || x1-x0 > 30 {
			p.line("rw-leader", x0, y0, x1, at[k])
		} else {
			x1 = x0
		}
		if named[i].single() {
			p.disc("rw-dot rw-"+named[i].kind, pl.x.b+16, at[k], 5)
		} else {
			p.line("rw-line rw-"+named[i].kind, x1, at[k], pl.x.b+sampleWidth+2, at[k])
		}
		p.lines("rw-label", "start", pl.x.b+sampleWidth+8, at[k], words[i].lines, words[i].whole)
	}
}

// area fills a closed outline and hatches it.
func (p *pen) area(class string, xy []float64) {
	p.line(class, xy...)
	start := len(p.out)
	p.line("rw-hatched", xy...)
	p.out = bytes.TrimSuffix(p.out, []byte("/>\n"))
	if len(p.out) > start {
		p.printf(` fill="url(#%s-hatch)"/>`+"\n", p.id)
	}
}
