package station

import (
	"bytes"
	"fmt"
	"slices"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// measurementRemark reads a GHCN-Daily measurement flag (readme.txt, section
// III, MFLAG): B, D and H are totals or extremes from part-day or hourly
// values, P is missing presumed zero, T a trace; K, L, O and W remain.
func measurementRemark(flag byte) remark {
	switch flag {
	case ' ':
		return plainValue
	case 'T':
		return trace
	case 'P':
		return presumedZero
	case 'B', 'D', 'H':
		return otherTotal
	}
	return measurementFlag
}

// ghcnAttributes reads "m,q,s" or "m,q,s,time", each part possibly empty. Any
// quality flag means that the value failed a check of the publisher.
func ghcnAttributes(_ element, b []byte) (why reason, note remark, sourced bool) {
	if len(b) == 0 {
		return none, plainValue, false
	}
	part := 0
	for _, c := range b {
		switch {
		case c == ',':
			if part++; part > 2 {
				return why, note, sourced
			}
		case c == ' ':
		case part == 0:
			note = measurementRemark(c)
		case part == 1:
			why = failedCheck
		case part == 2:
			sourced = true
		}
	}
	return why, note, sourced
}

var nceiColumns = map[string]role{
	"station": roleStation, "name": roleName, "date": roleDate,
	"latitude": roleLat, "longitude": roleLon, "elevation": roleElevation,
	"tmin": roleValue + role(tmin), "tmax": roleValue + role(tmax), "prcp": roleValue + role(precip),
	"tmin_attributes": roleFlag + role(tmin), "tmax_attributes": roleFlag + role(tmax), "prcp_attributes": roleFlag + role(precip),
	"mdpr": roleSeveralDays,
}

// nceiForm is the form of both kinds of NCEI table, or nil for another file.
// Hourly-based summaries (GSOD) share column names, not units: DEWP tells them.
func nceiForm(h *head, u [nElements]unit) (*form, *diag.Problem) {
	if !h.has("station") || !h.has("date") || h.has("dewp") || !h.has("tmin") && !h.has("tmax") && !h.has("prcp") {
		return nil, nil
	}
	roles, problem := h.roles(nceiColumns)
	return &form{roles: roles, sep: h.sep, units: u, flag: ghcnAttributes}, problem
}

func recogniseWide(h *head, _ Options) (func(*scanner), *diag.Problem) {
	f, problem := nceiForm(h, [nElements]unit{})
	if f == nil || problem != nil || h.evidence().verdict() != sayTenths {
		return nil, problem
	}
	f.attributes = true
	for e := tmin; e < nElements; e++ {
		if slices.Contains(f.roles, roleValue+role(e)) && !slices.Contains(f.roles, roleFlag+role(e)) {
			f.attributes = false
		}
	}
	return func(s *scanner) { newTable(s, *f).read(h) }, nil
}

func recogniseOrderMetric(h *head, o Options) (func(*scanner), *diag.Problem) {
	f, problem := nceiForm(h, [nElements]unit{wholeUnits, wholeUnits, wholeUnits})
	if f == nil || problem != nil {
		return nil, problem
	}
	ev := h.evidence()
	switch v := ev.verdict(); {
	case o.Units == "metric", o.Units == "" && v == sayMetric:
		return func(s *scanner) { newTable(s, *f).read(h) }, nil
	case o.Units == "" && v == sayNothing && ev.rows > 0:
		return nil, ev.problem(h)
	case o.Units == "" && ev.rows == 0:
		return func(s *scanner) { newTable(s, *f).read(h) }, nil // header only: reported as such
	}
	return nil, nil
}

func recogniseOrderUS(h *head, _ Options) (func(*scanner), *diag.Problem) {
	f, problem := nceiForm(h, [nElements]unit{fahrenheit, fahrenheit, inches})
	if f == nil || problem != nil {
		return nil, problem
	}
	return func(s *scanner) { newTable(s, *f).read(h) }, nil
}

// clues is what the first rows of an NCEI table tell of its units.
//
// The two products share their column names, and an order may leave the
// attributes in. In the first buffer of rows (years of one station, some
// hundred days of several) the following is decisive, in this order:
//
//  1. Most temperatures have decimals: metric order. °F come whole and GHCN
//     values are whole tenths.
//  2. The temperatures are whole and most amounts of rain have two decimals
//     (hundredths of an inch): US order. Metric rain has one decimal.
//  3. No temperatures: rain with one decimal is metric.
//  4. Everything is whole and there are attributes beside the values: GHCN
//     tenths, if the columns stand in the order of that product (DATE second)
//     or more than 1 in 100 temperatures is above 140 or below -130, which
//     neither °F nor °C reach.
//  5. The temperatures are whole and more than 1 in 100 is above 60, which °C
//     do not reach, and none of rule 4 holds: US order.
//
// Shares of 1 in 100 keep a few wrong values from deciding. Anything else is
// not decided here.
type clues struct {
	rows, temperatures, decimalTemperatures int
	amounts, oneDecimal, twoDecimals        int
	hot, beyond                             int
	low, high                               float64
	attributes, dateSecond                  bool
}

type verdict int

const (
	sayNothing verdict = iota
	sayTenths
	sayMetric
	sayUS
)

// evidence gathers the clues once per file.
func (h *head) evidence() clues {
	if h.clues == nil {
		c := gather(h)
		h.clues = &c
	}
	return *h.clues
}

func gather(h *head) clues {
	c := clues{
		attributes: h.has("tmin_attributes") || h.has("tmax_attributes") || h.has("prcp_attributes"),
		dateSecond: len(h.columns) > 1 && h.columns[1].name == "date",
	}
	roles := make([]role, len(h.columns))
	for i, col := range h.columns {
		roles[i] = nceiColumns[col.name]
	}
	// Some hundred rows from all over the buffer tell as much as all of them.
	stride := max(1, len(h.lines)/200)
	for k := 1; k < len(h.lines); k += stride {
		l := h.lines[k]
		c.rows++
		for i, p := 0, 0; i < len(roles) && p <= len(l.text); i++ {
			b, next, why := field(l.text, p, h.sep)
			if why != none {
				break
			}
			p = next
			r := roles[i]
			if r < roleValue || r >= roleFlag || missingMark(trim(b)) {
				continue
			}
			m, k, why := decimal(b, false)
			if why != none {
				continue
			}
			if r == roleValue+role(precip) {
				c.amounts++
				if k == 1 {
					c.oneDecimal++
				} else if k > 1 {
					c.twoDecimals++
				}
				continue
			}
			x := float64(m) / float64(powers[k])
			if c.temperatures == 0 {
				c.low, c.high = x, x
			}
			c.temperatures++
			c.low, c.high = min(c.low, x), max(c.high, x)
			if k > 0 {
				c.decimalTemperatures++
			}
			if x > 60 {
				c.hot++
			}
			if x > 140 || x < -130 {
				c.beyond++
			}
		}
	}
	return c
}

func (c clues) verdict() verdict {
	few := c.temperatures / 100
	switch {
	case c.decimalTemperatures*2 > c.temperatures:
		return sayMetric
	case c.twoDecimals*2 > c.amounts:
		return sayUS
	case c.temperatures == 0 && c.oneDecimal*2 > c.amounts:
		return sayMetric
	case c.attributes && c.oneDecimal*2 <= c.amounts && (c.dateSecond || c.beyond > few):
		return sayTenths
	case c.hot > few && c.beyond <= few:
		return sayUS
	}
	return sayNothing
}

func (c clues) problem(h *head) *diag.Problem {
	p := &diag.Problem{
		Place:   diag.Place{Line: h.lines[0].number},
		Message: "cannot tell whether this NCEI order is in metric or in US units",
		Hint:    `put a file NAME.toml beside it that says units = "metric" or units = "us", or order it again in metric units`,
	}
	if c.temperatures > 0 {
		p.Message += fmt.Sprintf(": the %d temperatures looked at are whole numbers from %g to %g", c.temperatures, c.low, c.high)
	}
	for _, col := range h.columns {
		if r := nceiColumns[col.name]; r >= roleValue && r < roleFlag {
			p.Place.Column = col.at
			break
		}
	}
	return p
}

// Fixed columns of a .dly line (readme.txt, section III): id 1-11, year 12-15,
// month 16-17, element 18-21, then 31 times value (5), MFLAG, QFLAG, SFLAG.
const (
	dlyValues = 21
	dlyDay    = 8
)

func isDly(line []byte) bool {
	if len(line) < dlyValues+5 {
		return false
	}
	for _, c := range line[:11] {
		if !(c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_') {
			return false
		}
	}
	m := digits(line[15:17])
	return digits(line[11:15]) >= 0 && m >= 0 && m <= 99 && isElement(line[17:21])
}

func isElement(b []byte) bool {
	for i, c := range b {
		if !(c >= 'A' && c <= 'Z' || i > 1 && c >= '0' && c <= '9') {
			return false
		}
	}
	return true
}

// recogniseDly needs one good line among the first, so that a broken first line
// does not hide the file.
func recogniseDly(h *head, _ Options) (func(*scanner), *diag.Problem) {
	for _, l := range h.lines[:min(len(h.lines), 20)] {
		if isDly(l.text) {
			return readDly, nil
		}
	}
	return nil, nil
}

func readDly(s *scanner) {
	for {
		line, ok := s.next()
		if !ok {
			return
		}
		if len(trim(line)) == 0 || s.cur == nil && line[0] == '#' {
			continue
		}
		if s.readable(line) {
			s.dlyRow(line)
		}
	}
}

func (s *scanner) dlyRow(line []byte) {
	if !isDly(line) {
		s.rowAside(day.None, otherForm, 1)
		return
	}
	b, why := s.station(line[:11])
	if why != none {
		s.rowAside(day.None, why, 1)
		return
	}
	y, m := digits(line[11:15]), digits(line[15:17])
	if why := calendar(y, m, 1); why != none {
		s.rowAside(day.None, why, 12)
		return
	}
	b.rows++
	var e element
	severalDays := false
	switch string(line[17:21]) {
	case "TMIN":
		e = tmin
	case "TMAX":
		e = tmax
	case "PRCP":
		e = precip
	case "MDPR":
		e, severalDays = precip, true
	default:
		return
	}
	month := day.Of(y, m, 1)
	for d := 1; d <= 31; d++ {
		at := dlyValues + (d-1)*dlyDay
		inMonth := d <= day.DaysIn(y, m)
		if len(line) < at+5 {
			if inMonth {
				b.setAside(s.name, wholeRow, month+day.Date(d)-1, rowTooShort, spot{s.line, len(line) + 1})
			}
			return
		}
		s.dlyValue(b, e, severalDays, line, at, month, d, inMonth)
	}
	const end = dlyValues + 31*dlyDay
	if len(line) > end && len(trim(line[end:])) > 0 {
		b.setAside(s.name, wholeRow, month, otherForm, spot{s.line, end + 1})
	}
}

func (s *scanner) dlyValue(b *builder, e element, severalDays bool, line []byte, at int, month day.Date, d int, inMonth bool) {
	raw := line[at : at+5]
	if bytes.Equal(raw, []byte("-9999")) {
		return
	}
	place, on := spot{s.line, at + 1}, month+day.Date(d)-1
	if !inMonth {
		if len(trim(raw)) > 0 {
			b.setAside(s.name, e, day.None, noSuchDay, place)
		}
		return
	}
	var flags [3]byte
	copy(flags[:], "   ")
	copy(flags[:], line[at+5:min(at+8, len(line))])
	v, why := value(raw, e, wholeTenths, false)
	note := measurementRemark(flags[0])
	switch {
	case severalDays:
		why = accumulated
	case flags[1] != ' ':
		why = failedCheck
	}
	if why != none {
		b.setAside(s.name, e, on, why, place)
		return
	}
	if note == trace {
		v = quantity.Tenths(0)
	}
	y, m, _ := month.YMD()
	if !b.at(y, m, d).put(e, v, place.line, place.column) {
		b.setAside(s.name, e, on, repeated, place)
		return
	}
	if note != plainValue {
		b.notes[note]++
	}
	if flags[2] != ' ' {
		b.sourced++
	}
}
