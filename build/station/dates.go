package station

import "ripeward/build/day"

// dateForm is how a table writes its days.
type dateForm uint8

const (
	datesISO       dateForm = iota // one column, ISO 8601
	datesYearFirst                 // one column, three numbers with any marks between, year first
	datesDayFirst
	datesMonthFirst
	datesYearMonthDay // three columns
	datesDayOfYear    // two columns, the day counted from 1 on 1 January
)

// otherDate reads the day of a row that is not ISO 8601; at is the cell that
// is wrong, if one is.
func (t *table) otherDate(line []byte) (y, m, d int, at fieldCell, why reason) {
	number := func(r role) int {
		at = t.cells[r]
		n := wholeNumber(line[at.from:at.to])
		if n < 0 {
			why = otherDateForm
		}
		return n
	}
	switch t.dates {
	case datesDayOfYear:
		if y = number(roleYear); why != none {
			return
		}
		n := number(roleDayOfYear)
		switch {
		case why != none:
		case y < firstYear || y > lastYear:
			at, why = t.cells[roleYear], dateRange
		case n < 1 || n > 365 && !(n == 366 && day.IsLeap(y)):
			why = noSuchDay
		default:
			_, m, d = (day.Of(y, 1, 1) + day.Date(n) - 1).YMD()
		}
		return
	case datesYearMonthDay:
		if y = number(roleYear); why != none {
			return
		}
		if m = number(roleMonth); why != none {
			return
		}
		if d = number(roleDayOfMonth); why == none {
			why = calendar(y, m, d)
		}
		return
	}
	at = t.cells[roleDate]
	a, b, c, ok := threeNumbers(line[at.from:at.to])
	if !ok {
		return 0, 0, 0, at, otherDateForm
	}
	switch t.dates {
	case datesYearFirst:
		y, m, d = a, b, c
	case datesDayFirst:
		d, m, y = a, b, c
	case datesMonthFirst:
		m, d, y = a, b, c
	}
	if m > 99 || d > 99 { // the year stands elsewhere
		return 0, 0, 0, at, otherDateForm
	}
	return y, m, d, at, calendar(y, m, d)
}

// threeNumbers splits "31.12.2020", "31/12/2020 00:00" and the like.
func threeNumbers(b []byte) (x, y, z int, ok bool) {
	b = trim(b)
	var ns [3]int
	i := 0
	for k := range ns {
		from := i
		for i < len(b) && b[i] >= '0' && b[i] <= '9' {
			i++
		}
		if i == from || i-from > 4 {
			return 0, 0, 0, false
		}
		ns[k] = digits(b[from:i])
		if k == 2 {
			break
		}
		if i >= len(b) || b[i] != '.' && b[i] != '/' && b[i] != '-' {
			return 0, 0, 0, false
		}
		i++
	}
	return ns[0], ns[1], ns[2], i == len(b) || b[i] == ' ' || b[i] == 'T'
}

// wholeNumber reads a number of at most four digits, "304" or "304.0"; -1 if it
// is not one.
func wholeNumber(b []byte) int {
	m, k, why := decimal(b, false)
	if why != none || m < 0 || m%powers[k] != 0 || m/powers[k] > 9999 {
		return -1
	}
	return int(m / powers[k])
}
