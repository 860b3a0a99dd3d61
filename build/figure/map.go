package figure

import (
	"fmt"
	"math"
	"slices"
)

// Map shows places from above, north up, with what is known of their heights
// as shading between them. Unlike the other charts it is no single picture:
// each place is a link with a name of its own.
type Map struct {
	Head
	Places []Place
	Zones  []string  // names of the zones that Place.Zone counts, for the key
	Levels []float64 // heights at which the shading darkens, rising, m
	Relief string    // the key's words on the shading
}

// Place is a marked point of a map. A Height that is NaN takes no part in the
// shading.
type Place struct {
	Name, Note          string // Note follows the name in the tooltip
	Href                string
	Latitude, Longitude float64 // degrees
	HeightM             float64
	Zone                int
}

// Sizes of a map in units of the viewBox.
const (
	mapEdge   = 34.0 // least room between a place and the frame
	mapFoot   = 34.0 // the strip with the scale under the map
	markReach = 8.0  // from a mark's middle to its outer edge
	hitReach  = 16.0 // half of the square that can be pressed
)

// kmPerDegree is the length of a degree of latitude on a sphere of 6,371 km.
const kmPerDegree = 6371 * math.Pi / 180

// spot is a place on the picture.
type spot struct {
	Place
	x, y  float64
	label string
	box   frame // of the label; empty where none fits
	at    [2]float64
	far   bool // the label stands apart and needs a line to its mark
}

// frame is a rectangle of the picture.
type frame struct{ x0, y0, x1, y1 float64 }

func (a frame) meets(b frame) bool { return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 }

// SVG draws the map. No place is ErrNothing. Other errors: ErrHead,
// ErrNotFinite, ErrRange for coordinates that are none, ErrShape for levels
// that do not rise, ErrKind for a zone without a name.
func (m Map) SVG() ([]byte, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if len(m.Places) == 0 {
		return nil, fmt.Errorf("map %s: %w", m.ID, ErrNothing)
	}
	for _, p := range m.Places {
		switch {
		case !finite(p.Latitude, p.Longitude) || math.IsInf(p.HeightM, 0):
			return nil, fmt.Errorf("%w: %q at %v, %v, %v m", ErrNotFinite, p.Name, p.Latitude, p.Longitude, p.HeightM)
		case math.Abs(p.Latitude) > 90 || math.Abs(p.Longitude) > 180:
			return nil, fmt.Errorf("%w: %q at %v, %v", ErrRange, p.Name, p.Latitude, p.Longitude)
		case p.Zone < 0 || p.Zone >= len(m.Zones):
			return nil, fmt.Errorf("%w: %q has zone %d of %d", ErrKind, p.Name, p.Zone, len(m.Zones))
		}
	}
	if !finite(m.Levels...) || !slices.IsSorted(m.Levels) {
		return nil, fmt.Errorf("%w: levels %v", ErrShape, m.Levels)
	}
	spots, km, field := m.lay()
	place(spots, field)

	keys := m.keys()
	keys.set(m.width())
	p := newPen(m.Head, "map", field.y1+mapFoot+keys.height())
	p.asGroup()
	p.rect("rw-tint", field.x0, field.y0, field.x1-field.x0, field.y1-field.y0, 0)
	m.relief(p, spots, field)
	p.line("rw-rule", field.x0, field.y0, field.x1, field.y0, field.x1, field.y1, field.x0, field.y1, field.x0, field.y0)
	for _, s := range spots {
		if s.far {
			p.line("rw-leader", s.x, s.y, s.at[0], s.at[1])
		}
	}
	for _, s := range spots {
		s.draw(p, field)
	}
	m.foot(p, field, km)
	keys.draw(p, field.y1+mapFoot)
	return p.end(), nil
}

// lay puts the places on the picture: equal distances north and east where the
// places lie. km is the length of a kilometre.
func (m Map) lay() (spots []spot, km float64, field frame) {
	lat, lon := make([]float64, len(m.Places)), make([]float64, len(m.Places))
	for i, p := range m.Places {
		lat[i], lon[i] = p.Latitude, p.Longitude
	}
	if slices.Max(lon)-slices.Min(lon) > 180 { // on both sides of the date line
		for i := range lon {
			if lon[i] < 0 {
				lon[i] += 360
			}
		}
	}
	midLat, midLon := (slices.Max(lat)+slices.Min(lat))/2, (slices.Max(lon)+slices.Min(lon))/2
	east := kmPerDegree * math.Max(math.Cos(midLat*math.Pi/180), 0.01)
	const least = 4.0 // km shown even for a single place
	wide := max((slices.Max(lon)-slices.Min(lon))*east, least)
	high := max((slices.Max(lat)-slices.Min(lat))*kmPerDegree, least)
	w := m.width()
	height, low := 560.0, 320.0
	if m.narrow() {
		height, low = 480, 260
	}
	height = min(height, max(low, (w-2*mapEdge)*high/wide+2*mapEdge))
	km = min((w-2-2*mapEdge)/wide, (height-2*mapEdge)/high)
	field = frame{1, 1, w - 1, height - 1}
	most := 170.0
	if m.narrow() {
		most = 130
	}
	for i, p := range m.Places {
		s := spot{Place: p, x: w/2 + (lon[i]-midLon)*east*km, y: height/2 - (lat[i]-midLat)*kmPerDegree*km}
		if lines, _ := wrap(p.Name, labelSize, most, 1); len(lines) > 0 {
			s.label = lines[0]
		}
		spots = append(spots, s)
	}
	return spots, km, field
}

// place finds room for every label: close to its mark, else apart with a line
// to it, else nowhere (the name is still the link's).
func place(spots []spot, field frame) {
	marks := make([]frame, len(spots))
	for i, s := range spots {
		marks[i] = frame{s.x - markReach, s.y - markReach, s.x + markReach, s.y + markReach}
	}
	var taken, leaders []frame
	free := func(b frame, self int) bool {
		if b.x0 < field.x0+2 || b.x1 > field.x1-2 || b.y0 < field.y0+2 || b.y1 > field.y1-2 {
			return false
		}
		for i, k := range marks {
			if (i != self || b != k) && b.meets(k) {
				return false
			}
		}
		return !slices.ContainsFunc(taken, b.meets) && !slices.ContainsFunc(leaders, b.meets)
	}
	for i := range spots {
		s := &spots[i]
		if s.label == "" {
			continue
		}
		w := textWidth(s.label, labelSize)
		for _, c := range labelSeats {
			dx, dy := c.far*c.x, c.far*c.y
			b := frame{s.x + dx - w*(1-c.x)/2, s.y + dy - 8.5, 0, 0}
			b.x1, b.y1 = b.x0+w, b.y0+17
			if !free(b, i) {
				continue
			}
			end := [2]float64{min(max(s.x, b.x0), b.x1), min(max(s.y, b.y0), b.y1)}
			far := c.far > 15
			if far {
				leader := beads(s.x, s.y, end[0], end[1])
				if crosses(leader, i, marks, taken) {
					continue
				}
				leaders = append(leaders, leader...)
			}
			s.box, s.at, s.far = b, end, far
			taken = append(taken, b)
			break
		}
	}
}

// seat is a place for a label beside its mark: a direction and how far.
type seat struct{ x, y, far float64 }

// labelSeats are tried in turn: right and left first, then above and below,
// then further off.
var labelSeats = func() []seat {
	var out []seat
	for _, far := range []float64{12, 30, 46, 64, 84} {
		for _, d := range [][2]float64{{1, 0}, {-1, 0}, {1, -0.8}, {1, 0.8}, {-1, -0.8}, {-1, 0.8}, {0, -1.5}, {0, 1.5}} {
			out = append(out, seat{d[0], d[1], far})
		}
	}
	return out
}()

// beads is a line as a row of small squares.
func beads(x0, y0, x1, y1 float64) []frame {
	const steps = 24
	out := make([]frame, 0, steps)
	for k := 1; k < steps; k++ {
		x, y := x0+(x1-x0)*float64(k)/steps, y0+(y1-y0)*float64(k)/steps
		out = append(out, frame{x - 1, y - 1, x + 1, y + 1})
	}
	return out
}

// crosses tells whether a line to a label runs over another mark or label.
func crosses(leader []frame, self int, marks, taken []frame) bool {
	for _, at := range leader {
		if slices.ContainsFunc(taken, at.meets) {
			return true
		}
		for i, m := range marks {
			if i != self && at.meets(m) {
				return true
			}
		}
	}
	return false
}

// draw writes a place as a link: a square to press, the mark and the name.
func (s spot) draw(p *pen, field frame) {
	whole := clean(s.Name)
	if s.Note != "" {
		whole += ", " + clean(s.Note)
	}
	p.printf(`<a class="rw-place" href="%s"><title>%s</title>`+"\n", escape(s.Href), escape(whole))
	hit := frame{max(s.x-hitReach, field.x0), max(s.y-hitReach, field.y0), min(s.x+hitReach, field.x1), min(s.y+hitReach, field.y1)}
	p.rect("rw-hit", hit.x0, hit.y0, hit.x1-hit.x0, hit.y1-hit.y0, 4)
	zoneMark(p, s.Zone, s.x, s.y)
	if s.box != (frame{}) {
		p.rect("rw-hit", s.box.x0, s.box.y0, s.box.x1-s.box.x0, s.box.y1-s.box.y0, 4)
		p.text("rw-label", "start", s.box.x0, s.box.y0+8.5+4.8, s.label, "")
	}
	p.printf("</a>\n")
}

// zoneMark tells zones apart by shape and by tone; after six the shapes come
// again with a hole.
func zoneMark(p *pen, zone int, x, y float64) {
	class := fmt.Sprintf("rw-mark rw-zone-%d", zone%6+1)
	switch zone % 6 {
	case 0:
		p.disc(class, x, y, 6)
	case 1:
		p.line(class, x-5.5, y-5.5, x+5.5, y-5.5, x+5.5, y+5.5, x-5.5, y+5.5, x-5.5, y-5.5)
	case 2:
		p.line(class, x, y-6.5, x+6.5, y+5, x-6.5, y+5, x, y-6.5)
	case 3:
		p.line(class, x, y-7, x+7, y, x, y+7, x-7, y, x, y-7)
	case 4:
		p.line(class, x, y+6.5, x+6.5, y-5, x-6.5, y-5, x, y+6.5)
	case 5:
		p.line(class, x-2.5, y-6.5, x+2.5, y-6.5, x+2.5, y-2.5, x+6.5, y-2.5, x+6.5, y+2.5, x+2.5, y+2.5, x+2.5, y+6.5, x-2.5, y+6.5, x-2.5, y+2.5, x-6.5, y+2.5, x-6.5, y-2.5, x-2.5, y-2.5, x-2.5, y-6.5)
	}
	if zone/6%2 == 1 {
		p.disc("rw-hole", x, y, 2)
	}
}

// foot writes the scale in km and miles, and which way is north, by symbols
// that do not change with the language.
func (m Map) foot(p *pen, field frame, km float64) {
	y := field.y1 + 13
	bar := func(x, unit float64, name string) float64 {
		n := roundBelow((field.x1 - field.x0) * 0.24 / unit)
		end := x + n*unit
		p.line("rw-rule", x, y-4, x, y, end, y, end, y-4)
		label := m.number(n, max(0, int(math.Ceil(-math.Log10(n)-1e-9)))) + "\u00a0" + name
		p.text("rw-tick", "start", x, y+14, label, "")
		return max(end, x+textWidth(label, tickSize)) + 26
	}
	x := bar(field.x0+1, km, "km")
	bar(x, km*1.609344, "mi")
	x = field.x1 - 22
	p.line("rw-mark", x, y-7, x+5, y+9, x, y+5, x-5, y+9, x, y-7)
	p.text("rw-tick", "start", x+9, y+6, "N", "")
}

// roundBelow is the largest of 1, 2, 5 times a power of ten not above v.
func roundBelow(v float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{5, 2} {
		if k*ten <= v {
			return k * ten
		}
	}
	return ten
}

// keys explains marks and shading.
func (m Map) keys() keyRows {
	var k keyRows
	for i, name := range m.Zones {
		if slices.ContainsFunc(m.Places, func(p Place) bool { return p.Zone == i }) {
			k.items = append(k.items, keyItem{label: name, draw: func(p *pen, x, y float64) { zoneMark(p, i, x+sampleWidth/2, y) }})
		}
	}
	if m.Relief != "" && len(m.Levels) > 0 {
		k.items = append(k.items, keyItem{label: m.Relief, draw: func(p *pen, x, y float64) {
			for i := range 3 {
				step := sampleWidth / 3 * float64(i)
				p.line("rw-relief", x+step, y-6, x+sampleWidth, y-6, x+sampleWidth, y+6, x+step, y+6)
			}
		}})
	}
	return k
}
