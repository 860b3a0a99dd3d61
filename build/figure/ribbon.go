package figure

import (
	"fmt"
	"math"
	"slices"
)

var stretchKinds = []string{"frost", "wake", "grow", "ripe-early", "ripe-middle", "ripe-late", "autumn-frost"}

// thickness of a stretch in a row; kinds differ by height and hatching as well
// as by colour.
var thickness = map[string]float64{"wake": 4, "grow": 8, "ripe-early": 13, "ripe-middle": 18, "ripe-late": 13, "frost": 18, "autumn-frost": 18}

func hatched(kind string) bool { return kind == "frost" || kind == "autumn-frost" }

func checkStretches(ss []Stretch, of string) error {
	for _, s := range ss {
		switch {
		case !slices.Contains(stretchKinds, s.Kind):
			return fmt.Errorf("%w: %q of a stretch in %q", ErrKind, s.Kind, of)
		case !finite(s.From, s.Until):
			return fmt.Errorf("%w: stretch from %v to %v in %q", ErrNotFinite, s.From, s.Until, of)
		case s.From > s.Until:
			return fmt.Errorf("%w: stretch from %v to %v in %q", ErrRange, s.From, s.Until, of)
		}
	}
	return nil
}

// row is a ribbon row laid out.
type row struct {
	label, note wrapped
	textAt, at  float64 // middles of the words and of the bars
	top, height float64
}

// SVG draws the season ribbon. What lies outside From to Until is cut off. A
// ribbon without rows is ErrNothing; a row may be empty. Other errors: ErrHead,
// ErrRange, ErrNotFinite, ErrShape, ErrKind.
func (r Ribbon) SVG() ([]byte, error) {
	if err := r.verify(); err != nil {
		return nil, err
	}
	w, narrow := r.width(), r.narrow()

	noteRoom, labelRoom := w*0.2, w*0.28
	if narrow {
		noteRoom = w * 0.4
	}
	rows := make([]row, len(r.Rows))
	noteWidth, labelWidth := 0.0, 0.0
	for i, x := range r.Rows {
		rows[i].note = wrapText(x.Note, noteRoom)
		noteWidth = max(noteWidth, widest(rows[i].note.lines, labelSize))
	}
	if narrow && noteWidth > 0 {
		labelRoom = w - 4 - noteWidth - 12
	} else if narrow {
		labelRoom = w - 4
	}
	for i, x := range r.Rows {
		rows[i].label = wrapText(x.Label, labelRoom)
		labelWidth = max(labelWidth, widest(rows[i].label.lines, labelSize))
	}

	const head = 24.0 // months at the top
	x := scale{lo: r.From, hi: r.Until, a: 4, b: w - 4}
	if !narrow {
		x.a = labelWidth + 14
		x.b = w - 8
		if noteWidth > 0 {
			x.b = w - noteWidth - 14
		}
	}
	y := head
	for i := range rows {
		lines := float64(max(len(rows[i].label.lines), len(rows[i].note.lines)))
		if narrow {
			rows[i].height = lines*lineStep + 32
			rows[i].textAt = y + 5 + lines*lineStep/2
			rows[i].at = y + 8 + lines*lineStep + 10
		} else {
			rows[i].height = max(30, lines*lineStep+8)
			rows[i].textAt = y + rows[i].height/2
			rows[i].at = rows[i].textAt
		}
		rows[i].top = y
		y += rows[i].height
	}
	bottom := y
	foot := bottom + 4
	long := len(rows) > 8 // then the months stand below as well
	if long {
		foot = bottom + 24
	}
	keys := keyRows{}
	for _, k := range r.Keys {
		keys.items = append(keys.items, keyItem{label: clean(k.Label), draw: k.sample()})
	}
	keys.set(w)
	p := newPen(r.Head, "ribbon", math.Ceil(foot+keys.height()+2))
	p.hatches()

	for i := 1; i < len(r.Ticks); i += 2 { // every other month on a tint, as in a printed table
		if r.Ticks[i].Between {
			until := r.Until
			if i+1 < len(r.Ticks) {
				until = r.Ticks[i+1].At
			}
			if a, b, ok := r.cut(r.Ticks[i].At, until); ok {
				p.rect("rw-tint", x.at(a), head, x.at(b)-x.at(a), bottom-head, 0)
			}
		}
	}
	for _, s := range r.Behind {
		a, b, ok := r.cut(s.From, s.Until)
		if !ok {
			continue
		}
		band := func(top, height float64) {
			p.rect("rw-band rw-"+s.Kind, x.at(a), top, x.at(b)-x.at(a), height, 0)
			if hatched(s.Kind) {
				p.hatch(x.at(a), top, x.at(b)-x.at(a), height)
			}
		}
		if !narrow {
			band(head, bottom-head)
			continue
		}
		for _, row := range rows { // only behind the bars: words stay on clear ground
			band(row.at-11, 22)
		}
	}
	for _, g := range gridAt(r.Ticks, x) {
		p.line("rw-grid rw-dotted", g, head, g, bottom)
	}
	for i, row := range rows {
		if i > 0 {
			p.line("rw-grid", 2, row.top, w-2, row.top)
		}
		r.drawRow(p, x, r.Rows[i], row)
	}
	p.line("rw-rule", 2, head, w-2, head)
	p.line("rw-rule", 2, bottom, w-2, bottom)
	for _, l := range along(r.Ticks, x, w) {
		p.text("rw-tick", "middle", l.at, head-8, l.text, "")
		if long {
			p.text("rw-tick", "middle", l.at, bottom+17, l.text, "")
		}
	}
	keys.draw(p, foot)
	return p.end(), nil
}

func (r Ribbon) verify() error {
	if err := r.check(); err != nil {
		return err
	}
	if err := checkRange(r.From, r.Until); err != nil {
		return err
	}
	if err := checkTicks(r.Ticks); err != nil {
		return err
	}
	if err := checkStretches(r.Behind, "bands"); err != nil {
		return err
	}
	for _, x := range r.Rows {
		if err := checkStretches(x.Stretches, x.Label); err != nil {
			return err
		}
		for _, m := range x.Marks {
			if !finite(m.At) {
				return fmt.Errorf("%w: mark %q at %v in %q", ErrNotFinite, m.Kind, m.At, x.Label)
			}
		}
	}
	for _, k := range r.Keys {
		if !k.Mark && !slices.Contains(stretchKinds, k.Kind) {
			return fmt.Errorf("%w: %q of key %q", ErrKind, k.Kind, k.Label)
		}
	}
	if len(r.Rows) == 0 {
		return fmt.Errorf("ribbon %s: %w", r.ID, ErrNothing)
	}
	return nil
}

// cut is the part of a stretch inside the season shown.
func (r Ribbon) cut(from, until float64) (a, b float64, ok bool) {
	a, b = math.Max(from, r.From), math.Min(until, r.Until)
	return a, b, a < b
}

func wrapText(s string, width float64) wrapped {
	lines, cut := wrap(s, labelSize, width, 2)
	t := wrapped{lines: lines}
	if cut {
		t.whole = s
	}
	return t
}

func (r Ribbon) drawRow(p *pen, x scale, from RibbonRow, at row) {
	p.lines("rw-label", "start", 2, at.textAt, at.label.lines, at.label.whole)
	p.lines("rw-label rw-note", "end", r.width()-2, at.textAt, at.note.lines, at.note.whole)
	for _, s := range from.Stretches {
		if a, b, ok := r.cut(s.From, s.Until); ok {
			bar(p, s.Kind, x.at(a), x.at(b), at.at)
		}
	}
	for _, m := range from.Marks {
		if m.At >= r.From && m.At <= r.Until {
			// A mark at the very edge stays inside the field.
			shape(p, m.Kind, min(max(x.at(m.At), x.a+6), x.b-6), at.at)
		}
	}
}

// bar draws a stretch; a very short one keeps a width that can be seen.
func bar(p *pen, kind string, a, b, y float64) {
	if b-a < 1.5 {
		a, b = (a+b)/2-0.75, (a+b)/2+0.75
	}
	t := thickness[kind]
	p.rect("rw-bar rw-"+kind, a, y-t/2, b-a, t, 2)
	if hatched(kind) {
		p.hatch(a, y-t/2, b-a, t)
	}
}

// shape draws a mark about 12 units wide.
func shape(p *pen, kind string, x, y float64) {
	switch kind {
	case "ripe":
		p.line("rw-mark rw-mark-ripe", x, y-6, x+5, y, x, y+6, x-5, y, x, y-6)
	case "wake":
		p.line("rw-mark rw-mark-wake", x, y-5.5, x+5.5, y+4.5, x-5.5, y+4.5, x, y-5.5)
	case "out":
		p.line("rw-mark rw-mark-out", x-4, y-5.5, x+5, y, x-4, y+5.5, x-4, y-5.5)
	case "in":
		p.line("rw-mark rw-mark-in", x+4, y-5.5, x-5, y, x+4, y+5.5, x+4, y-5.5)
	case "freeze":
		const c, s = 5.2, 3.0 // 6·cos 30°, 6·sin 30°
		for _, class := range []string{"rw-star rw-star-edge", "rw-star"} {
			p.printf(`<path class="%s" d="M%s %sV%sM%s %sL%s %sM%s %sL%s %s"/>`+"\n", class,
				number(x), number(y-6), number(y+6),
				number(x-c), number(y-s), number(x+c), number(y+s),
				number(x-c), number(y+s), number(x+c), number(y-s))
		}
	default:
		p.printf(`<circle class="rw-mark" cx="%s" cy="%s" r="4.5"/>`+"\n", number(x), number(y))
	}
}

func (k Key) sample() func(*pen, float64, float64) {
	return func(p *pen, x, y float64) {
		if k.Mark {
			shape(p, k.Kind, x+sampleWidth/2, y)
			return
		}
		bar(p, k.Kind, x+1, x+sampleWidth-1, y)
	}
}
