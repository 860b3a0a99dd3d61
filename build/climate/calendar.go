package climate

import (
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// calendar is the layout of one season year, by offset from its first day. The
// four of them (hemisphere, with and without 29 February) are made once, so
// that the loops over days never ask for a date.
type calendar struct {
	n          int        // days
	rank       [366]int16 // day of season on the 365-day calendar, from 1
	months     [12]int8   // calendar month of each month of the season
	starts     [13]int    // first offset of each month of the season, and n
	spring     int        // 1 March
	autumn     int        // 1 August: the first day of the autumn half
	heatEnd    int        // 1 November, after the last day of the heat rule
	midseason  int        // 1 July north, 1 January south, for GSL
	hemisphere day.Hemisphere
}

var calendars = [2][2]*calendar{
	{newCalendar(day.North, 2001), newCalendar(day.North, 2000)},
	{newCalendar(day.South, 2000), newCalendar(day.South, 1999)},
}

// calendarOf returns the layout of season y.
func calendarOf(h day.Hemisphere, y int) *calendar {
	side, feb := 0, y
	if h == day.South {
		side, feb = 1, y+1
	}
	if day.IsLeap(feb) {
		return calendars[side][1]
	}
	return calendars[side][0]
}

func newCalendar(h day.Hemisphere, y int) *calendar {
	first := h.Start(y)
	c := &calendar{n: int(h.Start(y+1) - first), hemisphere: h}
	at := func(m, dom int) int { return int(h.On(y, m, dom) - first) }
	for i := range c.n {
		c.rank[i] = int16(h.Rank(first + day.Date(i)))
	}
	for k := range 12 {
		c.months[k] = int8(h.Northern(k + 1))
		c.starts[k] = at(k+1, 1)
	}
	c.starts[12] = c.n
	c.spring, c.autumn, c.heatEnd = at(3, 1), at(8, 1), at(11, 1)
	c.midseason = at(7, 1)
	return c
}

// winterOf returns the first day of the winter of row y, its length, and the
// stretch of offsets that must be nearly whole: December-February in a
// July-June year, in the south June-August of the calendar year.
func winterOf(h day.Hemisphere, y int) (first day.Date, n, coreFrom, coreTo int) {
	from, to := 12, 3
	last := day.Of(y, 6, 30)
	first = day.Of(y-1, 7, 1)
	coreYear := y - 1
	if h == day.South {
		from, to = 6, 9
		first, last = day.Of(y, 1, 1), day.Of(y, 12, 31)
		coreYear = y
	}
	return first, int(last-first) + 1, int(day.Of(coreYear, from, 1) - first), int(day.Of(y, to, 1) - first)
}

// window returns the n days of from that start at offset; days outside it are
// missing. Where the stretch lies inside, no copy is made; buffer serves
// otherwise and must hold n.
func window(from []quantity.Tenths, offset, n int, buffer []quantity.Tenths) []quantity.Tenths {
	if offset >= 0 && offset+n <= len(from) {
		return from[offset : offset+n]
	}
	w := buffer[:n]
	for i := range w {
		w[i] = quantity.Missing
		if k := offset + i; k >= 0 && k < len(from) {
			w[i] = from[k]
		}
	}
	return w
}
