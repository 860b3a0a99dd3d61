package club

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"ripeward/build/day"
	"ripeward/build/diag"
)

// A cellError is what a column type says of a cell that it cannot read. It
// reaches the table reader through gocsv, which keeps the cause.
type cellError struct{ message, hint string }

func (e cellError) Error() string { return e.message }

// quote puts a cell in quotation marks, cut short where it is long.
func quote[S ~string](s S) string {
	const longest = 60
	if r := []rune(s); len(r) > longest {
		return strconv.Quote(string(r[:longest-3]) + "...")
	}
	return strconv.Quote(string(s))
}

// Text is a text column, trimmed.
type Text string

// UnmarshalCSV trims s; control characters other than line ends and tabs are
// an error.
func (t *Text) UnmarshalCSV(s string) error {
	*t = ""
	for _, r := range s {
		if unicode.IsControl(r) && r != '\n' && r != '\r' && r != '\t' {
			return cellError{fmt.Sprintf("control character %U in a text", r), "delete the cell and type it again"}
		}
		if diag.Turns(r) { // it would turn round the figures that stand behind the text
			return cellError{fmt.Sprintf("character %U, which turns the direction of writing, in a text", r), "delete the cell and type it again"}
		}
	}
	*t = Text(strings.TrimSpace(s))
	return nil
}

// Number is a number column; a blank cell is not set.
type Number struct {
	Value float64
	Set   bool
}

// Or returns the value, or d where the cell is blank.
func (n Number) Or(d float64) float64 {
	if n.Set {
		return n.Value
	}
	return d
}

// maxNumber bounds what a cell may hold; no column of ours comes near.
const maxNumber = 1e9

var (
	plainNumber  = regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]+)?|\.[0-9]+)$`)
	plainWhole   = regexp.MustCompile(`^[+-]?[0-9]+$`)
	commaNumber  = regexp.MustCompile(`^[+-]?[0-9]+,[0-9]+$`)
	startsNumber = regexp.MustCompile(`^[+-]?[0-9][0-9.]*\s*[^0-9.,]+$`)
	groupedWhole = regexp.MustCompile("^[+-]?[0-9]{1,3}([ _'\u2019\u00a0\u202f][0-9]{3})+([.,][0-9]+)?$")
)

// UnmarshalCSV reads a decimal number with a point, and nothing else: no
// thousands marks, no exponents, no hexadecimal, no NaN.
func (n *Number) UnmarshalCSV(s string) error {
	*n = Number{}
	s = strings.TrimSpace(s)
	if s == "" {
		return nil
	}
	if !plainNumber.MatchString(s) {
		return cellError{quote(s) + " is not a number", numberHint(s)}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v > maxNumber || v < -maxNumber {
		return cellError{quote(s) + " is too large a number", ""}
	}
	*n = Number{Value: v, Set: true}
	return nil
}

// numberHint says what to try instead of s.
func numberHint(s string) string {
	switch {
	case strings.ContainsAny(s, "\u2212\u2013\u2014"):
		return "write the minus sign as a plain hyphen"
	case commaNumber.MatchString(s):
		return "write a decimal point and no thousands mark; a decimal comma is read only in files separated by \";\""
	case groupedWhole.MatchString(s):
		return "write the number without thousands marks"
	case strings.EqualFold(s, "nan"), strings.EqualFold(s, "na"), strings.EqualFold(s, "n/a"),
		s == "-", s == "?", strings.EqualFold(s, "null"), strings.EqualFold(s, "none"):
		return "leave the cell blank where nothing is known"
	case startsNumber.MatchString(s):
		return "write the number alone; the column's name says the unit"
	}
	return "write digits with a decimal point, like -3.5"
}

// Whole is a whole-number column; a blank cell is not set.
type Whole struct {
	Value int
	Set   bool
}

// Or returns the value, or d where the cell is blank.
func (w Whole) Or(d int) int {
	if w.Set {
		return w.Value
	}
	return d
}

// UnmarshalCSV reads decimal digits with an optional sign; 010 is ten.
func (w *Whole) UnmarshalCSV(s string) error {
	*w = Whole{}
	s = strings.TrimSpace(s)
	if s == "" {
		return nil
	}
	if !plainWhole.MatchString(s) {
		hint := "write digits only, like 12"
		if !plainNumber.MatchString(s) && !commaNumber.MatchString(s) {
			hint = numberHint(s)
		}
		return cellError{quote(s) + " is not a whole number", hint}
	}
	v, err := strconv.ParseInt(s, 10, 64)
	if err != nil || v > maxNumber || v < -maxNumber {
		return cellError{quote(s) + " is too large a number", ""}
	}
	*w = Whole{Value: int(v), Set: true}
	return nil
}

// List is a column of several texts separated by ";".
type List []string

// UnmarshalCSV splits s at ";" and leaves out empty parts.
func (l *List) UnmarshalCSV(s string) error {
	*l = nil
	var t Text
	if err := t.UnmarshalCSV(s); err != nil {
		return err
	}
	for part := range strings.SplitSeq(string(t), ";") {
		if part = strings.TrimSpace(part); part != "" {
			*l = append(*l, part)
		}
	}
	return nil
}

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
		return cellError{fmt.Sprintf("the year of %s is outside %d to %d", s, firstYear, lastYear), ""}
	}
	d.Date = v
	return nil
}

var (
	shortDate = regexp.MustCompile(`^([0-9]{1,2})([/.-])([0-9]{1,2})[/.-]([0-9]{4})$`)
	yearFirst = regexp.MustCompile(`^([0-9]{4})[/.-]([0-9]{1,2})[/.-]([0-9]{1,2})$`)
	twoDigits = regexp.MustCompile(`^[0-9]{1,2}[/.-][0-9]{1,2}[/.-][0-9]{2}$`)
)

func dateError(s string) error {
	const form = "write dates as YYYY-MM-DD"
	if m := shortDate.FindStringSubmatch(s); m != nil {
		a, aok := onCalendar(m[4], m[3], m[1]) // day first
		b, bok := onCalendar(m[4], m[1], m[3]) // month first
		switch {
		case aok && bok && a != b:
			return cellError{fmt.Sprintf("%s can be %s (day first) or %s (month first)", quote(s), a, b),
				form + ", or set date_order = \"day-first\" or \"month-first\" in data/club.toml"}
		case aok:
			return cellError{quote(s) + " is not of the form YYYY-MM-DD", "write " + a.String()}
		case bok:
			return cellError{quote(s) + " is not of the form YYYY-MM-DD", "write " + b.String()}
		}
		return cellError{quote(s) + " is not a day of the calendar", form}
	}
	if m := yearFirst.FindStringSubmatch(s); m != nil {
		if a, ok := onCalendar(m[1], m[2], m[3]); ok {
			return cellError{quote(s) + " is not of the form YYYY-MM-DD", "write " + a.String()}
		}
		return cellError{quote(s) + " is not a day of the calendar", form}
	}
	if twoDigits.MatchString(s) {
		return cellError{quote(s) + " has a year of two digits", form}
	}
	if len(s) == len("YYYY-MM-DD") && s[4] == '-' && s[7] == '-' {
		return cellError{quote(s) + " is not a day of the calendar", form}
	}
	return cellError{quote(s) + " is not a date", form}
}

func onCalendar(y, m, d string) (day.Date, bool) {
	v, err := day.Parse(fmt.Sprintf("%04s-%02s-%02s", y, m, d))
	return v, err == nil
}

// inOrder turns a short date into ISO form by the club's date_order. It
// reports false where s is a short date that has no such reading.
func inOrder(s, order string) (string, bool) {
	m := shortDate.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return s, true
	}
	d, mon := m[1], m[3]
	if order == monthFirst {
		d, mon = mon, d
	}
	v, ok := onCalendar(m[4], mon, d)
	return v.String(), ok
}
