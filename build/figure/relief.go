package figure

import (
	"math"

	"ripeward/build/quantity"
)

// reliefCell is the width of the net over which heights are guessed.
const reliefCell = 16.0

// relief shades the field by height. Between the places the height is guessed
// from theirs, each weighing by the inverse square of its distance (Shepard
// 1968, Proc. 23rd ACM National Conf., 517-524). Each level adds a layer, so
// that the tone deepens with height.
func (m Map) relief(p *pen, spots []spot, field frame) {
	if len(m.Levels) == 0 {
		return
	}
	var known []spot
	for _, s := range spots {
		if !math.IsNaN(s.HeightM) {
			known = append(known, s)
		}
	}
	if len(known) < 2 {
		return
	}
	n := newNet(known, field)
	for _, level := range m.Levels {
		rings := n.rings(level)
		if len(rings) == 0 {
			continue
		}
		p.printf(`<path class="rw-relief" d="`)
		for _, ring := range rings {
			for i, q := range ring {
				letter := byte('L')
				if i == 0 {
					letter = 'M'
				}
				p.out = append(p.out, letter)
				p.out = appendTenths(p.out, int(quantity.Round(q.x))*unit)
				p.out = append(p.out, ' ')
				p.out = appendTenths(p.out, int(quantity.Round(q.y))*unit)
			}
			p.out = append(p.out, 'Z')
		}
		p.printf("\"/>\n")
	}
}

// net has heights at its nodes. Its outermost rows and columns lie on the
// frame a second time with the lowest height there is, so that every line of
// equal height is a closed ring.
type net struct {
	x, y   []float64
	height []float64 // row by row
}

func newNet(known []spot, field frame) net {
	axis := func(lo, hi float64) []float64 {
		k := int(math.Ceil((hi - lo) / reliefCell))
		out := []float64{lo}
		for i := range k + 1 {
			out = append(out, lo+(hi-lo)*float64(i)/float64(k))
		}
		return append(out, hi)
	}
	n := net{x: axis(field.x0, field.x1), y: axis(field.y0, field.y1)}
	for j, y := range n.y {
		for i, x := range n.x {
			h := math.Inf(-1)
			if i > 0 && j > 0 && i < len(n.x)-1 && j < len(n.y)-1 {
				h = guess(known, x, y)
			}
			n.height = append(n.height, h)
		}
	}
	return n
}

func guess(known []spot, x, y float64) float64 {
	sum, weight := 0.0, 0.0
	for _, s := range known {
		d := (s.x-x)*(s.x-x) + (s.y-y)*(s.y-y)
		if d < 1 {
			return s.HeightM
		}
		sum += s.HeightM / d
		weight += 1 / d
	}
	return sum / weight
}

// side is a side of a cell: of node (i, j) to the right, or down.
type side struct {
	i, j int
	down bool
}

// rings are the outlines of what lies at level or higher, by marching squares
// (Lorensen & Cline 1987, in two dimensions): within a cell each outline runs
// from side to side with the higher ground on its left.
func (n net) rings(level float64) [][]point {
	next := map[side]side{}
	var order []side
	cols := len(n.x)
	for j := range len(n.y) - 1 {
		for i := range cols - 1 {
			top, right, bottom, left := side{i, j, false}, side{i + 1, j, true}, side{i, j + 1, false}, side{i, j, true}
			in := 0
			for k, at := range []int{j*cols + i, j*cols + i + 1, (j+1)*cols + i + 1, (j+1)*cols + i} {
				if n.height[at] >= level {
					in |= 1 << k
				}
			}
			add := func(a, b side) {
				next[a] = b
				order = append(order, a)
			}
			switch in {
			case 1:
				add(left, top)
			case 2:
				add(top, right)
			case 3:
				add(left, right)
			case 4:
				add(right, bottom)
			case 5:
				add(left, top)
				add(right, bottom)
			case 6:
				add(top, bottom)
			case 7:
				add(left, bottom)
			case 8:
				add(bottom, left)
			case 9:
				add(bottom, top)
			case 10:
				add(top, right)
				add(bottom, left)
			case 11:
				add(bottom, right)
			case 12:
				add(right, left)
			case 13:
				add(right, top)
			case 14:
				add(top, left)
			}
		}
	}
	var out [][]point
	for _, from := range order {
		var ring []point
		for at, ok := next[from]; ok; at, ok = next[from] {
			delete(next, from)
			q := n.cross(from, level)
			if k := len(ring); k == 0 || quantity.Round(ring[k-1].x) != quantity.Round(q.x) || quantity.Round(ring[k-1].y) != quantity.Round(q.y) {
				ring = append(ring, q)
			}
			from = at
		}
		if len(ring) > 2 {
			out = append(out, ring)
		}
	}
	return out
}

// cross is where a side meets the level.
func (n net) cross(s side, level float64) point {
	i, j := s.i, s.j
	if s.down {
		j++
	} else {
		i++
	}
	a, b := n.height[s.j*len(n.x)+s.i], n.height[j*len(n.x)+i]
	t := 0.5
	switch {
	case math.IsInf(a, -1):
		t = 1
	case math.IsInf(b, -1):
		t = 0
	case a != b:
		t = (level - a) / (b - a)
	}
	return point{n.x[s.i] + (n.x[i]-n.x[s.i])*t, n.y[s.j] + (n.y[j]-n.y[s.j])*t}
}
