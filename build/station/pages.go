package station

import (
	"math"
	"sync"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// Years that a date may have.
const (
	firstYear = 1700
	lastYear  = 2200
)

// maxStations bounds what one file can make the reader hold.
const maxStations = 1000

// cell is one day while a file is read: values, and where each stands (lines
// past the range of uint32 stay at its end).
type cell struct {
	value  [nElements]quantity.Tenths
	column [nElements]uint16
	line   [nElements]uint32
}

// page is one year, 31 cells a month: a row finds its cell without counting
// days, and one wrong year costs one page.
type page [12 * 31]cell

var blankPage = func() (p page) {
	for i := range p {
		p[i].value = [nElements]quantity.Tenths{quantity.Missing, quantity.Missing, quantity.Missing}
	}
	return
}()

// Pages and buffers go from one file to the next.
var (
	pagePool   = sync.Pool{New: func() any { return new(page) }}
	bufferPool = sync.Pool{New: func() any { return new([bufferSize]byte) }}
)

// release hands back what the scanner holds; it cannot be used afterwards.
func (s *scanner) release() {
	for _, b := range s.stations {
		for i, p := range b.pages {
			if p != nil {
				pagePool.Put(p)
				b.pages[i] = nil
			}
		}
	}
	s.releaseBuffer()
}

// releaseBuffer hands back the buffer once all lines are read.
func (s *source) releaseBuffer() {
	if s.buf != nil {
		bufferPool.Put((*[bufferSize]byte)(s.buf))
		s.buf, s.start, s.end = nil, 0, 0
	}
}

// builder collects one station of one file.
type builder struct {
	tally
	id, name  string
	lat, lon  float64
	elevation float64
	firstLine int
	crossed   []day.Date
	pages     [lastYear - firstYear + 1]*page
}

func newBuilder(id string) *builder {
	return &builder{id: id, lat: math.NaN(), lon: math.NaN(), elevation: math.NaN()}
}

// at returns the cell of a day of the calendar within the years allowed.
func (b *builder) at(y, m, d int) *cell {
	p := b.pages[y-firstYear]
	if p == nil {
		p = pagePool.Get().(*page)
		*p = blankPage
		b.pages[y-firstYear] = p
	}
	return &p[(m-1)*31+d-1]
}

// peek is at for reading back; nil where nothing was put.
func (b *builder) peek(date day.Date) *cell {
	y, m, d := date.YMD()
	if y < firstYear || y > lastYear || b.pages[y-firstYear] == nil {
		return nil
	}
	return &b.pages[y-firstYear][(m-1)*31+d-1]
}

// put stores v unless the day has another value of e already, in which case
// the first is kept and false returned.
func (c *cell) put(e element, v quantity.Tenths, line, column int) bool {
	if old := c.value[e]; old != quantity.Missing {
		return old == v
	}
	c.value[e] = v
	c.line[e] = uint32(min(line, math.MaxUint32))
	c.column[e] = uint16(min(column, math.MaxUint16))
	return true
}

func (c *cell) spot(e element) spot { return spot{int(c.line[e]), int(c.column[e])} }

// series lays the pages out day by day, from the first to the last day with a
// value, after setting aside both temperatures of days with tmin above tmax.
func (b *builder) series(file string) Series {
	s := Series{ID: b.id, Name: b.name, Latitude: b.lat, Longitude: b.lon, ElevationM: b.elevation}
	first, last := day.None, day.None
	b.months(func(d day.Date, cells []cell) {
		for i := range cells {
			c := &cells[i]
			lo, hi := c.value[tmin], c.value[tmax]
			if lo > hi && hi != quantity.Missing { // Missing is below all values
				b.setAside(file, tmin, d+day.Date(i), crossed, c.spot(tmin))
				b.setAside(file, tmax, d+day.Date(i), crossed, c.spot(tmax))
				c.value[tmin], c.value[tmax] = quantity.Missing, quantity.Missing
				b.crossed = append(b.crossed, d+day.Date(i))
			}
			if c.empty() {
				continue
			}
			if last = d + day.Date(i); first == day.None {
				first = last
			}
		}
	})
	if first == day.None {
		return s
	}
	n := int(last-first) + 1
	all := make([]quantity.Tenths, 3*n)
	for i := range all {
		all[i] = quantity.Missing
	}
	s.First, s.TMin, s.TMax, s.Precip = first, all[:n:n], all[n:2*n:2*n], all[2*n:]
	b.months(func(d day.Date, cells []cell) {
		for i := range cells {
			if k := int(d-first) + i; k >= 0 && k < n {
				v := &cells[i].value
				s.TMin[k], s.TMax[k], s.Precip[k] = v[tmin], v[tmax], v[precip]
			}
		}
	})
	return s
}

func (c *cell) empty() bool {
	return c.value == [nElements]quantity.Tenths{quantity.Missing, quantity.Missing, quantity.Missing}
}

// months walks the pages in order, giving the first day and the cells of each
// month.
func (b *builder) months(f func(day.Date, []cell)) {
	for i, p := range b.pages {
		if p == nil {
			continue
		}
		y := firstYear + i
		date := day.Of(y, 1, 1)
		for m := range 12 {
			n := day.DaysIn(y, m+1)
			f(date, p[m*31:m*31+n])
			date += day.Date(n)
		}
	}
}
