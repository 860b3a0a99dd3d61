package station

import (
	"slices"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// Columns of a GHCN-Daily by-year file: one value a row.
const (
	longID = iota
	longDate
	longElement
	longValue
	longMeasurement
	longQuality
	longSource
	longTime
	nLong
)

// longNames is the header that some copies of these files have.
var longNames = []string{"id", "date", "element", "data_value", "m_flag", "q_flag", "s_flag", "obs_time"}

// longRow is a row taken apart; the time of observation is not needed and may
// be left out.
type longRow struct {
	cell [nLong][]byte
	at   [nLong]int // byte columns
}

func (r *longRow) split(line []byte) (why reason, column int) {
	p, n := 0, 0
	for ; p <= len(line); n++ {
		if n == nLong {
			return fieldCount, p + 1
		}
		content, next, why := field(line, p, ',')
		if why != none {
			return why, p + 1
		}
		r.cell[n], r.at[n] = content, p+1
		p = next
	}
	if n < longTime {
		return fieldCount, len(line) + 1
	}
	return none, 0
}

// like tells whether the row has the form of this dialect, whatever its values.
func (r *longRow) like() bool {
	id := trim(r.cell[longID])
	if len(id) == 0 || len(id) > 11 || len(trim(r.cell[longDate])) != 8 || digits(trim(r.cell[longDate])) < 0 {
		return false
	}
	e := trim(r.cell[longElement])
	return len(e) == 4 && isElement(e)
}

// recogniseLong needs one good row among the first, so that a broken first row
// does not hide the file.
func recogniseLong(h *head, _ Options) (func(*scanner), *diag.Problem) {
	if h.sep != ',' {
		return nil, nil
	}
	var names []string
	for _, c := range h.columns {
		names = append(names, c.name)
	}
	header := slices.Equal(names, longNames)
	for _, l := range h.lines[:min(len(h.lines), 20)] {
		var r longRow
		if why, _ := r.split(l.text); why == none && r.like() {
			first := 0
			if header {
				first = h.lines[0].number
			}
			return func(s *scanner) { s.readLong(first) }, nil
		}
	}
	return nil, nil
}

func (s *scanner) readLong(header int) {
	for {
		line, ok := s.next()
		if !ok {
			return
		}
		if s.line <= header || len(trim(line)) == 0 || s.cur == nil && line[0] == '#' {
			continue
		}
		if s.readable(line) {
			s.longRow(line)
		}
	}
}

// longRow takes one value. Rows of other elements are not counted: most rows
// of such a file are of stations and elements that nobody asked for.
func (s *scanner) longRow(line []byte) {
	var r longRow
	if why, column := r.split(line); why != none {
		s.rowAside(day.None, why, column)
		return
	}
	var e element
	severalDays := false
	switch string(trim(r.cell[longElement])) {
	case "TMIN":
		e = tmin
	case "TMAX":
		e = tmax
	case "PRCP":
		e = precip
	case "MDPR":
		e, severalDays = precip, true
	default:
		if !r.like() {
			s.rowAside(day.None, otherForm, 1)
		}
		return
	}
	b, why := s.station(r.cell[longID])
	if why != none {
		s.rowAside(day.None, why, 1)
		return
	}
	y, m, d, why := date(r.cell[longDate])
	if why != none {
		s.rowAside(day.None, why, r.at[longDate])
		return
	}
	b.rows++
	raw := trim(r.cell[longValue])
	if missingMark(raw) {
		return
	}
	place := spot{s.line, r.at[longValue]}
	v, why := value(raw, e, wholeTenths, false)
	note := plainValue
	if f := trim(r.cell[longMeasurement]); len(f) > 0 {
		note = measurementRemark(f[0])
	}
	switch {
	case severalDays:
		why = accumulated
	case len(trim(r.cell[longQuality])) > 0:
		why = failedCheck
	}
	if why != none {
		b.setAside(s.name, e, day.Of(y, m, d), why, place)
		return
	}
	if note == trace {
		v = quantity.Tenths(0)
	}
	if !b.at(y, m, d).put(e, v, place.line, place.column) {
		b.setAside(s.name, e, day.Of(y, m, d), repeated, place)
		return
	}
	if note != plainValue {
		b.notes[note]++
	}
	if len(trim(r.cell[longSource])) > 0 {
		b.sourced++
	}
}
