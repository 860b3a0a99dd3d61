package club

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"ripeward/build/day"
)

// Date is a date column; blank is day.None.
type Date struct{ day.Date }

// Set tells whether the cell held a date.
func (d Date) Set() bool { return d.Date != day.None }

// The years that a date in a club's tables may have: records of weather begin
// in the 17th century.
const firstYear, lastYear = 1600, 2200

// UnmarshalCSV reads YYYY-MM-DD. A date with slashes or dots is an error that
// shows its readings; date_order is applied before the cell comes here.
func (d *Date) UnmarshalCSV(s string) error {
	d.Date = day.None
	s = strings.TrimSpace(s)
	if s == "" {
		return nil
	}
	v, err := day.Parse(s)
	if err != nil {
		return dateError(s)
	}
	if y := v.Year(); y < firstYear || y > lastYear {
		return cellError{message: fmt.Sprintf("the year of %s is outside %d to %d", s, firstYear, lastYear)}
	}
	d.Date = v
	return nil
}

var (
	shortDate = regexp.MustCompile(`^([0-9]{1,2})([/.-])([0-9]{1,2})[/.-]([0-9]{4})$`)
	yearFirst = regexp.MustCompile(`^([0-9]{4})[/.-]([0-9]{1,2})[/.-]([0-9]{1,2})$`)
	twoDigits = regexp.MustCompile(`^[0-9]{1,2}[/.-][0-9]{1,2}[/.-][0-9]{2}$`)
	withTime  = regexp.MustCompile(`^([0-9]{4}-[0-9]{2}-[0-9]{2})[T ][0-9]{1,2}:[0-9:.]*Z?$`)
	joined    = regexp.MustCompile(`^([0-9]{4})([0-9]{2})([0-9]{2})$`)
	dayNumber = regexp.MustCompile(`^([0-9]{5})([.,]0+)?$`)
)

// dateForm is what to write where nothing better can be said.
const dateForm = "write dates as YYYY-MM-DD"

func dateError(s string) error {
	if m := shortDate.FindStringSubmatch(s); m != nil {
		return shortDateError(s, m)
	}
	notForm := func(d day.Date) error {
		return cellError{message: quote(s) + " is not of the form YYYY-MM-DD", hint: "write " + d.String()}
	}
	for _, form := range []*regexp.Regexp{yearFirst, joined} {
		if m := form.FindStringSubmatch(s); m != nil {
			if d, ok := onCalendar(m[1], m[2], m[3]); ok {
				return notForm(d)
			}
			return cellError{message: quote(s) + " is not a day of the calendar", hint: noSuchDay(m[1], m[2])}
		}
	}
	if m := withTime.FindStringSubmatch(s); m != nil {
		if d, err := day.Parse(m[1]); err == nil {
			return cellError{message: quote(s) + " has a time of day", hint: "write " + d.String()}
		}
	}
	if m := dayNumber.FindStringSubmatch(s); m != nil {
		return cellError{message: quote(s) + " is not a date", hint: fmt.Sprintf("a spreadsheet's number for a day, mostly %s: show the column as dates, year-month-day, and save again", numberedDay(m[1]))}
	}
	if twoDigits.MatchString(s) {
		return cellError{message: quote(s) + " has a year of two digits", hint: dateForm}
	}
	return cellError{message: quote(s) + " is not a date", hint: dateForm}
}

// shortDateError speaks of a date with the year last, which has two readings.
func shortDateError(s string, m []string) error {
	a, aok := onCalendar(m[4], m[3], m[1]) // day first
	b, bok := onCalendar(m[4], m[1], m[3]) // month first
	one := func(d day.Date, order string) error {
		return cellError{quote(s) + " is not of the form YYYY-MM-DD",
			fmt.Sprintf("write %s, or set date_order = %q in data/club.toml", d, order), true}
	}
	switch {
	case aok && bok && a != b:
		return cellError{fmt.Sprintf("%s can be %s (day first) or %s (month first)", quote(s), a, b),
			dateForm + ", or set date_order = \"day-first\" or \"month-first\" in data/club.toml", true}
	case aok:
		return one(a, dayFirst)
	case bok:
		return one(b, monthFirst)
	}
	month := m[3]
	if n, _ := strconv.Atoi(month); n > 12 {
		month = m[1]
	}
	return cellError{message: quote(s) + " is not a day of the calendar", hint: noSuchDay(m[4], month)}
}

// noSuchDay says why a year and month of digits have no such day.
func noSuchDay(year, month string) string {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	if m < 1 || m > 12 {
		return fmt.Sprintf("there is no month %d", m)
	}
	return fmt.Sprintf("month %d of %d has %d days", m, y, day.DaysIn(y, m))
}

// numberedDay is the day that most spreadsheets mean by a number: they count
// from 1899-12-30 (ECMA-376, SpreadsheetML, the 1900 date base system; a few
// old files count from 1904).
func numberedDay(digits string) day.Date {
	n, _ := strconv.Atoi(digits)
	return day.Of(1899, 12, 30) + day.Date(n)
}

func onCalendar(y, m, d string) (day.Date, bool) {
	v, err := day.Parse(fmt.Sprintf("%04s-%02s-%02s", y, m, d))
	return v, err == nil
}

// inOrder turns a short date into ISO form by the club's date_order. Where s is
// a short date that has no such reading it says why not.
func inOrder(s, order string) (iso, hint string) {
	m := shortDate.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return s, ""
	}
	d, mon := m[1], m[3]
	if order == monthFirst {
		d, mon = mon, d
	}
	if v, ok := onCalendar(m[4], mon, d); ok {
		return v.String(), ""
	}
	return "", noSuchDay(m[4], mon)
}
