package station

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/bits"
	"strconv"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// form is what a dialect says about its table.
type form struct {
	roles  []role // per column of the header
	sep    byte
	units  [nElements]unit
	comma  bool // decimal comma allowed
	dates  dateForm
	latin1 bool
	id     string // station id where rows carry none
	// flag reads the flag cell of an element: why its value is not used, or
	// what to count when it is; sourced tells that it names a source.
	flag func(e element, b []byte) (why reason, note remark, sourced bool)
	// attributes: flag is ghcnAttributes, every element has a flag column, and
	// all units are wholeTenths.
	attributes bool
	// traceMark allows "T" in place of an amount of rain.
	traceMark bool
	// unfinished tells by the quality cell whether the publisher has yet to
	// review the row; nil: whenever there is something in it.
	unfinished func([]byte) bool
}

// step is one move of the splitter along a row.
type step struct {
	role  role
	first bool // begins a run of columns that often stay the same row after row
	run   int  // how many columns it has
	skip  bool // nothing in it is needed
	width int  // of the cell in the row before, if it was quoted
	memo  []byte
	toEnd bool // memo reaches to the end of the row
}

// fieldCell is where the content of a cell stands in its row, or in the memo of
// its run.
type fieldCell struct{ from, to int32 }

// table reads the rows of a form. The columns that describe the station hardly
// ever change, so their bytes are compared with those of the row before in one
// go and only read again when they differ.
type table struct {
	*scanner
	form
	steps   []step
	cells   [nRoles]fieldCell
	stated  [nRoles][]byte // cells of the constant columns
	month   monthMemo
	has     [nRoles]bool
	fresh   bool      // the station's columns differ from the row before
	marks   *Settings // marks of the file's own for missing values and traces
	values  []element
	nothing string // what may stand after the last column
	mould   mould
}

// columns that are compared with the row before come in two kinds: those that
// describe the station, and those that nobody needs, which are mostly empty.
const (
	varying = iota
	describing
	unneeded
)

func kindOf(r role) int {
	switch {
	case r == roleSkip:
		return unneeded
	case r <= roleElevation:
		return describing
	}
	return varying
}

func newTable(s *scanner, f form) *table {
	t := &table{scanner: s, form: f, fresh: true, nothing: string(rune(f.sep)) + " \""}
	if o := s.options.Settings; o != nil && len(o.missing)+len(o.trace) > 0 {
		t.marks, t.attributes = o, false
	}
	s.latin1 = f.latin1
	for i, r := range f.roles {
		t.has[r] = true
		st := step{role: r}
		if kind := kindOf(r); kind != varying && (i == 0 || kindOf(f.roles[i-1]) != kind) {
			st.first, st.skip = true, kind == unneeded
			for st.run = 1; i+st.run < len(f.roles) && kindOf(f.roles[i+st.run]) == kind; st.run++ {
			}
		}
		t.steps = append(t.steps, st)
	}
	for e := tmin; e < nElements; e++ {
		if t.has[roleValue+role(e)] {
			t.values = append(t.values, e)
		}
	}
	return t
}

// field returns the content of the field that begins at p, still with doubled
// quotes, and where the next one begins: len(line)+1 after the last.
func field(line []byte, p int, sep byte) (content []byte, next int, why reason) {
	from, to, next, why := bounds(line, p, sep)
	if why != none {
		return nil, 0, why
	}
	return line[from:to], next, none
}

func bounds(line []byte, p int, sep byte) (from, to, next int, why reason) {
	if p >= len(line) || line[p] != '"' {
		q := find(line, p, sep)
		return p, q, q + 1, none
	}
	q := p + 1
	for {
		q = find(line, q, '"')
		switch {
		case q >= len(line):
			return 0, 0, 0, misplacedQuote
		case q+1 == len(line) || line[q+1] == sep:
			return p + 1, q, q + 2, none
		case line[q+1] != '"':
			return 0, 0, 0, misplacedQuote
		}
		q += 2
	}
}

const (
	everyByte = 0x0101010101010101
	topBits   = 0x8080808080808080
)

// find returns the index of the first c from p on, or len(line). Cells are
// short, so eight bytes at a time beat a call of bytes.IndexByte: c becomes a
// zero byte, and the lowest zero byte is the lowest top bit that the borrow of
// a subtraction sets.
func find(line []byte, p int, c byte) int {
	for ; p+8 <= len(line); p += 8 {
		w := binary.LittleEndian.Uint64(line[p:]) ^ everyByte*uint64(c)
		if z := (w - everyByte) &^ w & topBits; z != 0 {
			return p + bits.TrailingZeros64(z)>>3
		}
	}
	for p < len(line) && line[p] != c {
		p++
	}
	return p
}

// quotedCell tells whether the first quote of b is at w, which is at most
// cellWidest; b has 16 bytes or more. Cells are mostly as wide as
// in the row before, and a guess that holds lets the processor go on with the
// next cell before it has seen the end of this one.
func quotedCell(b []byte, w int) bool {
	x := binary.LittleEndian.Uint64(b) ^ everyByte*'"'
	z := (x - everyByte) &^ x & topBits
	if w < 8 {
		return bits.TrailingZeros64(z)>>3 == w
	}
	if z != 0 {
		return false
	}
	x = binary.LittleEndian.Uint64(b[8:]) ^ everyByte*'"'
	return bits.TrailingZeros64((x-everyByte)&^x&topBits)>>3 == w-8
}

const (
	cellWidest = 15
	cellAhead  = 19 // a quote, as many bytes and the next cell's first: what quotedCell and the mark after it read
)

// split fills the cells from a row. at is the byte column of what is wrong.
func (t *table) split(line []byte) (why reason, at int) {
	p, steps, sep := 0, t.steps, t.sep
	for i := 0; i < len(steps); i++ {
		st := &steps[i]
		if st.first {
			if n := len(st.memo); n > 0 && len(line)-p >= n && (!st.toEnd || len(line)-p == n) && bytes.Equal(line[p:p+n], st.memo) {
				p += n
				if st.toEnd {
					p++
				}
				i += st.run - 1
				continue
			}
			t.fresh = t.fresh || !st.skip
			next, why := t.reread(i, line, p)
			if why != none {
				return why, min(next, len(line)) + 1
			}
			p = next
			i += st.run - 1
			continue
		}
		if p > len(line) {
			return fieldCount, len(line) + 1
		}
		if w := st.width; p+cellAhead < len(line) && line[p] == '"' && quotedCell(line[p+1:], w) && line[p+2+w] == sep {
			t.cells[st.role] = fieldCell{int32(p + 1), int32(p + 1 + w)}
			p += w + 3
			continue
		}
		if p < len(line) && line[p] == '"' { // bounds for most quoted cells, in place
			if q := find(line, p+1, '"'); q+1 < len(line) && line[q+1] == sep {
				t.cells[st.role] = fieldCell{int32(p + 1), int32(q)}
				st.width = min(q-p-1, cellWidest)
				p = q + 2
				continue
			}
		}
		from, to, next, why := bounds(line, p, sep)
		if why != none {
			return why, p + 1
		}
		t.cells[st.role] = fieldCell{int32(from), int32(to)}
		p = next
	}
	if p <= len(line) && len(bytes.Trim(line[p:], t.nothing)) > 0 {
		return fieldCount, p + 1
	}
	return none, 0
}

// reread splits a run of columns and keeps its bytes, so that cells
// stay valid for the rows after.
func (t *table) reread(i int, line []byte, p int) (int, reason) {
	st := &t.steps[i]
	q := p
	for range st.run {
		if q > len(line) {
			return q, fieldCount
		}
		_, next, why := field(line, q, t.sep)
		if why != none {
			return q, why
		}
		q = next
	}
	// With its separator the memo is whole cells; without one, at the end of
	// the row, it must be the end of the next row too.
	st.toEnd = q > len(line)
	st.memo = append(st.memo[:0], line[p:min(q, len(line))]...)
	if st.skip {
		return q, none
	}
	at := 0
	for k := range st.run {
		content, next, _ := field(st.memo, at, t.sep)
		r := t.steps[i+k].role
		t.stated[r] = content
		t.cells[r] = fieldCell{from: int32(p + at)}
		at = next
	}
	return q, none
}

// read reads all rows after the header.
func (t *table) read(h *head) {
	header := h.lines[0].number
	if t.id != "" {
		t.line = header
		t.station([]byte(t.id))
		t.line = 0
	}
	for {
		if t.again() {
			continue
		}
		line, ok := t.next()
		if !ok {
			return
		}
		if t.line <= header || len(line) == 0 {
			continue
		}
		t.row(line)
	}
}

func (t *table) row(line []byte) {
	if !t.readable(line) {
		return
	}
	if why, at := t.split(line); why != none {
		if len(trim(line)) > 0 {
			t.rowAside(day.None, why, at)
		}
		return
	}
	b := t.cur
	if t.fresh || b == nil {
		if t.has[roleStation] {
			var why reason
			if b, why = t.station(t.stated[roleStation]); why != none {
				t.rowAside(day.None, why, int(t.cells[roleStation].from)+1)
				return
			}
		}
		t.describe(b)
		t.fresh = false
	}
	dc := t.cells[roleDate]
	var y, m, d int
	var why reason
	if t.dates == datesISO {
		y, m, d, why = t.month.date(line[dc.from:dc.to])
	} else {
		y, m, d, dc, why = t.otherDate(line)
	}
	if why != none {
		t.rowAside(day.None, why, int(dc.from)+1)
		return
	}
	b.rows++
	used, quickly := false, 0
	var c *cell
	for _, e := range t.values {
		if t.attributes { // the bulk of all rows: whole tenths, no flag but the source
			vc, fc := t.cells[roleValue+role(e)], t.cells[roleFlag+role(e)]
			flags := line[fc.from:fc.to]
			if len(flags) > 2 && flags[0] == ',' && flags[1] == ',' && flags[2] > ',' {
				if v, quick := quickTenths(line[vc.from:vc.to], e); quick {
					if c == nil {
						c = b.at(y, m, d)
					}
					if c.put(e, v, t.line, int(vc.from)+1) {
						b.sourced++
						quickly++
					} else {
						t.valueAside(b, e, y, m, d, repeated, vc)
					}
					continue
				}
			}
		}
		used = t.value(b, e, line, y, m, d) || used
	}
	if used && t.has[roleQuality] {
		c := t.cells[roleQuality]
		q := trim(line[c.from:c.to])
		if t.unfinished == nil && len(q) > 0 || t.unfinished != nil && t.unfinished(q) {
			b.notes[preliminary]++
		}
	}
	if t.has[roleSeveralDays] {
		if c := t.cells[roleSeveralDays]; !missingMark(trim(line[c.from:c.to])) {
			t.valueAside(b, precip, y, m, d, accumulated, c)
			return
		}
	}
	if quickly == len(t.values) { // of the bulk
		t.keep()
	}
}

// value takes the value of one element from a row that was split, or sets it
// aside; it tells whether the value was used.
func (t *table) value(b *builder, e element, line []byte, y, m, d int) bool {
	c := t.cells[roleValue+role(e)]
	raw := line[c.from:c.to]
	v, zero := quantity.Missing, false
	raw = trim(raw)
	if (missingMark(raw) || t.marks.missingMark(raw)) && (len(raw) > 0 || !t.has[roleFlag+role(e)]) {
		return false
	}
	note, sourced := plainValue, false
	if t.has[roleFlag+role(e)] {
		f := t.cells[roleFlag+role(e)]
		var why reason
		why, note, sourced = t.flag(e, line[f.from:f.to])
		if len(raw) == 0 {
			if note != trace {
				return false
			}
			zero = true
		}
		if why != none {
			t.valueAside(b, e, y, m, d, why, c)
			return false
		}
	}
	switch {
	case zero:
	case e == precip && (t.traceMark && len(raw) == 1 && (raw[0] == 'T' || raw[0] == 't') || t.marks.traceMark(raw)):
		note = trace
	default:
		var why reason
		if v, why = value(raw, e, t.units[e], t.comma); why != none {
			t.valueAside(b, e, y, m, d, why, c)
			return false
		}
	}
	if note == trace {
		v = 0
	}
	if !b.at(y, m, d).put(e, v, t.line, int(c.from)+1) {
		t.valueAside(b, e, y, m, d, repeated, c)
		return false
	}
	if note != plainValue {
		b.notes[note]++
	}
	if sourced {
		b.sourced++
	}
	return true
}

func (t *table) valueAside(b *builder, e element, y, m, d int, why reason, at fieldCell) {
	b.setAside(t.name, e, day.Of(y, m, d), why, spot{t.line, int(at.from) + 1})
}

// describe notes what the row says of its station; what was said first holds.
func (t *table) describe(b *builder) {
	if b.name == "" && t.has[roleName] {
		b.name = t.text(bytes.ReplaceAll(trim(t.stated[roleName]), []byte(`""`), []byte(`"`)))
	}
	set := func(to *float64, r role, low, high float64) {
		if !t.has[r] || !math.IsNaN(*to) {
			return
		}
		x := string(trim(t.stated[r]))
		if t.comma {
			x = string(bytes.ReplaceAll([]byte(x), []byte(","), []byte(".")))
		}
		if v, err := strconv.ParseFloat(x, 64); err == nil && v >= low && v <= high {
			*to = v
		}
	}
	set(&b.lat, roleLat, -90, 90)
	set(&b.lon, roleLon, -180, 180)
	set(&b.elevation, roleElevation, -450, 9000)
}
