package figure

// keyItem is a look and its meaning under a chart.
type keyItem struct {
	label string
	draw  func(p *pen, x, y float64) // in a field of sampleWidth whose middle is at y
	x, y  float64                    // left, and middle below the block's top
	lines []string
	whole string
}

// keyRows sets key items in rows.
type keyRows struct {
	items []keyItem
	rows  float64 // height
}

func (k *keyRows) set(width float64) {
	x, y, tallest := 2.0, 0.0, 0.0
	for i := range k.items {
		it := &k.items[i]
		var cut bool
		if it.lines, cut = wrap(it.label, labelSize, width-sampleWidth-12, 2); cut {
			it.whole = it.label
		}
		w := sampleWidth + 6 + widest(it.lines, labelSize)
		if x > 2 && x+w > width-2 {
			x, y, tallest = 2, y+tallest+4, 0
		}
		h := float64(max(1, len(it.lines))) * lineStep
		tallest = max(tallest, h)
		it.x, it.y = x, y+h/2
		x += w + 18
	}
	k.rows = y + tallest
}

func (k *keyRows) height() float64 {
	if len(k.items) == 0 {
		return 0
	}
	return k.rows + 10
}

func (k *keyRows) draw(p *pen, top float64) {
	for _, it := range k.items {
		y := top + 6 + it.y
		it.draw(p, it.x, y)
		p.lines("rw-label", "start", it.x+sampleWidth+6, y, it.lines, it.whole)
	}
}

func lineSample(kind string) func(*pen, float64, float64) {
	return func(p *pen, x, y float64) { p.line("rw-line rw-"+kind, x, y, x+sampleWidth, y) }
}

// sampleOf is a piece of a curve: a line, or the disc of a single point.
func sampleOf(c curve) func(*pen, float64, float64) {
	if !c.single() {
		return lineSample(c.kind)
	}
	return func(p *pen, x, y float64) { p.disc("rw-dot rw-"+c.kind, x+sampleWidth/2, y, 5) }
}
