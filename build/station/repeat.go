package station

import (
	"encoding/binary"

	"ripeward/build/quantity"
)

// mould is a row of the bulk (see table.row) as a pattern for those after it: in
// the file of one station a row mostly differs from the one before only in its
// day and its values, and these stand at the same places. Such a row is known
// by comparing all its other bytes, eight at a time, and needs no splitting.
type mould struct {
	size  int // of the row with its line end; 0: there is none
	of    *builder
	fixed []fixedWord
	end   fixedWord // the last eight bytes
	date  int       // where the date stands
	at    [nElements]int
	// missed is how many rows in a row were of another kind. One is passed
	// over, as a day with a trace of rain is; after that a new mould is made
	// whenever their number has doubled, so that a file without likeness
	// between its rows does not pay for one each.
	missed int
}

// fixedWord is what eight bytes of a row must be; mask leaves out some.
type fixedWord struct{ want, mask uint64 }

// Widths of what a mould leaves free: a date with its marks, and a value as
// GHCN-Daily pads it.
const (
	mouldDate  = 10
	mouldValue = 5
)

// keep makes a mould of the row last handed out, which was of the bulk.
func (t *table) keep() {
	m := &t.mould
	if m.missed++; m.size > 0 && (m.missed == 1 || m.missed&(m.missed-1) != 0) {
		return
	}
	m.size = 0
	row := t.buf[t.last:t.start]
	if row[len(row)-1] != t.eol {
		return // the last row of a file
	}
	free := make([]bool, len(row))
	leave := func(c fieldCell, width int) bool {
		if int(c.to-c.from) != width {
			return false
		}
		for i := c.from; i < c.to; i++ {
			free[i] = true
		}
		return true
	}
	m.date = int(t.cells[roleDate].from)
	fits := leave(t.cells[roleDate], mouldDate)
	for _, e := range t.values {
		c := t.cells[roleValue+role(e)]
		m.at[e] = int(c.from)
		fits = leave(c, mouldValue) && m.at[e]+8 <= len(row) && fits
	}
	if !fits {
		return
	}
	word := func(i int) (w fixedWord) {
		for k := range 8 {
			if !free[i+k] {
				w.mask |= 0xff << (8 * k)
			}
		}
		w.want = binary.LittleEndian.Uint64(row[i:]) & w.mask
		return w
	}
	m.fixed = m.fixed[:0]
	for i := 0; i+8 <= len(row); i += 8 {
		m.fixed = append(m.fixed, word(i))
	}
	m.end = word(len(row) - 8)
	m.size, m.of = len(row), t.cur
}

// again takes the next row if it is of the mould, and otherwise does nothing:
// the row is left to next and row.
func (t *table) again() bool {
	m := &t.mould
	if m.size == 0 || t.end-t.start < m.size || m.of != t.cur {
		return false
	}
	row := t.buf[t.start : t.start+m.size]
	odd := binary.LittleEndian.Uint64(row[len(row)-8:])&m.end.mask ^ m.end.want
	rest := row
	for i := range m.fixed {
		w := &m.fixed[i]
		odd |= binary.LittleEndian.Uint64(rest)&w.mask ^ w.want
		rest = rest[8:]
	}
	if odd != 0 {
		return false
	}
	// What is free cannot hold a quote or a line end: it would be no date and
	// no number.
	y, mon, d, why := t.month.date(row[m.date : m.date+mouldDate])
	if why != none {
		return false
	}
	b := m.of
	c := b.at(y, mon, d)
	var values [nElements]quantity.Tenths
	for _, e := range t.values {
		v, quick := fiveTenths(binary.LittleEndian.Uint64(row[m.at[e]:])&(1<<(8*mouldValue)-1), e)
		if old := c.value[e]; !quick || old != quantity.Missing && old != v {
			return false
		}
		values[e] = v
	}
	m.missed = 0
	t.line++
	t.last, t.start = t.start, t.start+m.size
	for _, e := range t.values {
		c.put(e, values[e], t.line, m.at[e]+1)
	}
	b.rows++
	b.sourced += int64(len(t.values))
	return true
}
