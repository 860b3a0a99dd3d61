package club

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"ripeward/build/diag"
)

// A cellError is what a column type says of a cell that it cannot read. It
// reaches the table reader through gocsv, which keeps the cause.
type cellError struct {
	message, hint string
	ordered       bool // a date that date_order in club.toml would read
}

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
			return cellError{message: fmt.Sprintf("control character %U in a text", r), hint: "delete the cell and type it again"}
		}
		if diag.Turns(r) { // it would turn round the figures that stand behind the text
			return cellError{message: fmt.Sprintf("character %U, which turns the direction of writing, in a text", r), hint: "delete the cell and type it again"}
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
		return cellError{message: quote(s) + " is not a number", hint: numberHint(s)}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v > maxNumber || v < -maxNumber {
		return cellError{message: quote(s) + " is too large a number", hint: ""}
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
	case strings.HasPrefix(s, "#"):
		return "the spreadsheet could not reckon this cell: mend its formula, or leave it blank"
	case strings.ContainsAny(s, "°′") && len(s) > len("45.38°"):
		return "write degrees with a decimal point, minutes divided by 60; south and west are negative"
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
		return cellError{message: quote(s) + " is not a whole number", hint: hint}
	}
	v, err := strconv.ParseInt(s, 10, 64)
	if err != nil || v > maxNumber || v < -maxNumber {
		return cellError{message: quote(s) + " is too large a number", hint: ""}
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
