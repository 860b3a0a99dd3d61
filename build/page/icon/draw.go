package icon

import (
	"cmp"
	"image"
	"image/color"
	"slices"
)

// Sub-steps of a pixel: lines are cut at 16 heights, and measured in 256ths
// along each.
const (
	heights = 16
	widths  = 256
)

// Look says how a drawing is put on a picture.
type Look struct {
	// Inset is how much of the side is left free on each side, in percent.
	Inset int
	// Paper fills the picture first; its zero value leaves it transparent.
	Paper color.RGBA
}

// Draw paints the drawing on a square of side pixels.
func (d Drawing) Draw(side int, look Look) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, side, side))
	for i := 0; i < len(m.Pix); i += 4 {
		m.Pix[i], m.Pix[i+1], m.Pix[i+2], m.Pix[i+3] = look.Paper.R, look.Paper.G, look.Paper.B, look.Paper.A
	}
	cover := make([]int64, side*side)
	for _, s := range d.shapes {
		clear(cover)
		var edges []edge
		for _, line := range s.lines {
			edges = append(edges, edgesOf(line, d, side, look.Inset)...)
		}
		fill(cover, side, edges)
		paint(m, cover, s.fill)
	}
	return m
}

// edge is a straight line downwards, in 256ths of a pixel.
type edge struct {
	x0, y0, x1, y1 int64 // y0 < y1
	turn           int   // +1 for a line drawn downwards, -1 upwards
}

func edgesOf(line []point, d Drawing, side, inset int) []edge {
	place := func(v int64) int64 { // in 256ths of a pixel
		return roundDiv(int64(side)*widths*(int64(inset)*int64(d.side)+int64(100-2*inset)*v), 100*int64(d.side))
	}
	var out []edge
	for i, a := range line {
		b := line[(i+1)%len(line)]
		e := edge{place(a.x), place(a.y), place(b.x), place(b.y), 1}
		switch {
		case e.y0 == e.y1:
			continue
		case e.y0 > e.y1:
			e = edge{e.x1, e.y1, e.x0, e.y0, -1}
		}
		out = append(out, e)
	}
	return out
}

// crossing is where an edge cuts the middle of a strip.
type crossing struct {
	x    int64
	turn int
}

// fill adds up how much of each pixel lies inside the outlines, in
// heights*widths-ths, by the non-zero rule (SVG 2, 13.4.2). A strip is a pixel
// divided by heights; its middle line stands for it.
func fill(cover []int64, side int, edges []edge) {
	const step = widths / heights
	strips := make([][]crossing, side*heights)
	for _, e := range edges {
		// The first middle at or below the edge's upper end.
		for k := max(0, floorDiv(e.y0+step/2-1, step)); k < int64(len(strips)); k++ {
			y := k*step + step/2
			if y >= e.y1 {
				break
			}
			strips[k] = append(strips[k], crossing{e.x0 + roundDiv((e.x1-e.x0)*(y-e.y0), e.y1-e.y0), e.turn})
		}
	}
	for k, cross := range strips {
		slices.SortFunc(cross, func(a, b crossing) int { return cmp.Compare(a.x, b.x) })
		line := cover[k/heights*side:][:side]
		wind := 0
		for i, c := range cross {
			if wind != 0 {
				span(line, cross[i-1].x, c.x)
			}
			wind += c.turn
		}
	}
}

// span adds the stretch from x0 to x1 of one strip to the pixels it lies on.
func span(line []int64, x0, x1 int64) {
	x0, x1 = max(x0, 0), min(x1, int64(len(line))*widths)
	for x0 < x1 {
		end := min(x1, (x0/widths+1)*widths)
		line[x0/widths] += end - x0
		x0 = end
	}
}

// paint lays a colour over the picture where it is covered.
func paint(m *image.RGBA, cover []int64, c color.RGBA) {
	const whole = heights * widths
	for i, k := range cover {
		p := m.Pix[4*i : 4*i+4]
		switch k {
		case 0:
			continue
		case whole:
			p[0], p[1], p[2], p[3] = c.R, c.G, c.B, c.A
			continue
		}
		for j, v := range [4]uint8{c.R, c.G, c.B, c.A} {
			p[j] = uint8(roundDiv(int64(v)*k+int64(p[j])*(whole-k), whole))
		}
	}
}
