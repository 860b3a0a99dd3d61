// Package club reads a club's folder: its settings and all its tables,
// checked, with every problem located by file:line:column. It is the only
// importer of gocsv.
package club

// Text is a text column, trimmed.
type Text string

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

// List is a column of several texts separated by ";".
type List []string
