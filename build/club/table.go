package club

import (
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"ripeward/build/day"
	"ripeward/build/diag"
)

// A table is a club table read into rows of type T, with what it takes to
// find the cell behind a value again.
type table[T any] struct {
	tableBase
	rows []T
}

// tableBase is the part of a table that does not depend on the row type.
type tableBase struct {
	spec   *spec
	from   []origin  // by row
	faults [][]fault // by row
	lost   diag.Problems
	// lostIDs are what stands in the key's column of lost rows, as far as can
	// be told.
	lostIDs map[string]bool
	// broken: the file as a whole could not be read, so that its rows and
	// references to them are not checked.
	broken  bool
	dropped []bool // by row, set aside
	unused  []bool // by row, of a built-in table in a club it does not fit
	l       *loader
	// offer is the file of a candidate among from; replaced are the club's own
	// rows by the candidate's that stand for them.
	offer    string
	replaced map[int]int
	addTo    func(l *loader, file string, data []byte)
	row      func(i int) reflect.Value
}

// An origin is the place a row came from.
type origin struct {
	sheet  *sheet
	record int
	column map[string]int // column name to cell
}

// A fault is an error of one row; column is empty where the row as a whole is
// at fault. One that follows from another error (a reference to a row that
// could not be read) is told only where rows are set aside.
type fault struct {
	column  string
	problem diag.Problem
	follows bool
}

// base gives generic code its hold on a row.
func (r *Row) base() *Row { return r }

type based interface{ base() *Row }

// at returns the place of a cell.
func (t *tableBase) at(row int, column string) diag.Place {
	o := t.from[row]
	if c, ok := o.column[column]; ok {
		return o.sheet.cell(o.record, c)
	}
	return o.sheet.records[o.record].at
}

// fault notes an error of a row.
func (t *tableBase) fault(row int, column, message, hint string) {
	t.faults[row] = append(t.faults[row], fault{column: column, problem: diag.Problem{
		Place: t.at(row, column), Severity: diag.Error, Message: message, Hint: hint}})
}

// follows marks the last fault of a row as one that follows from another error.
func (t *tableBase) follows(row int) {
	t.faults[row][len(t.faults[row])-1].follows = true
}

// warn notes a warning about a row.
func (t *tableBase) warn(row int, column, message, hint string) {
	t.l.problems = append(t.l.problems, diag.Problem{
		Place: t.at(row, column), Severity: diag.Warning, Message: message, Hint: hint})
}

// faulty tells whether the cell, or the row as a whole, has an error already:
// one is enough.
func (t *tableBase) faulty(row int, column string) bool {
	return slices.ContainsFunc(t.faults[row], func(f fault) bool { return f.column == "" || f.column == column })
}

// whole tells whether the row has cells that can be checked.
func (t *tableBase) whole(row int) bool {
	return !slices.ContainsFunc(t.faults[row], func(f fault) bool { return f.column == "" })
}

// add reads one file into the table.
func (t *table[T]) add(l *loader, file string, data []byte) {
	t.l = l
	s := takeApart(file, data, strings.Join(t.spec.required(), ", "))
	defer func() {
		l.problems = append(l.problems, s.problems...)
		t.lost = append(t.lost, s.lost...)
		t.broken = t.broken || s.broken
		t.row = func(i int) reflect.Value { return reflect.ValueOf(&t.rows[i]).Elem() }
	}()
	if s.broken {
		return
	}
	m := t.spec.match(s)
	if s.broken {
		return
	}
	if k, ok := m.cell[t.spec.key]; ok {
		for _, p := range s.lost {
			if t.lostIDs == nil {
				t.lostIDs = map[string]bool{}
			}
			t.lostIDs[s.roughCell(p.Place.Line, k)] = true
		}
	}
	first := len(t.rows)
	for i := range s.records {
		t.from = append(t.from, origin{s, i, m.cell})
		t.faults = append(t.faults, nil)
		t.unused = append(t.unused, false)
		t.fit(first+i, s, i)
		m.translate(s.records[i].cells, l.club.Settings.DateOrder, func(column, message, hint string) {
			t.fault(first+i, column, message, hint)
		})
	}
	t.decode(s, m, first)
	for i := range s.records {
		r := &t.rows[first+i]
		b := any(r).(based).base()
		b.At = s.records[i].at
		for _, k := range slices.Sorted(maps.Keys(m.other)) {
			name := m.other[k]
			var text Text
			if err := text.UnmarshalCSV(s.records[i].cells[k]); err != nil {
				t.fault(first+i, name, name+": "+err.Error(), hintOf(err))
			} else if text != "" {
				if b.Other == nil {
					b.Other = map[string]string{}
				}
				b.Other[name] = string(text)
			}
		}
		// A date column that the file does not have is never handed to
		// UnmarshalCSV, and the zero day is 1970-01-01.
		for _, c := range m.noDate {
			reflect.ValueOf(r).Elem().FieldByIndex(c.index).Set(reflect.ValueOf(Date{day.None}))
		}
		s.records[i].cells = nil
	}
}

// fit gives a record as many cells as the header has, and notes an error
// where it had more or less.
func (t *tableBase) fit(row int, s *sheet, rec int) {
	cells, want := s.records[rec].cells, len(s.header)
	have := len(cells)
	if have == want {
		return
	}
	if have > want {
		s.records[rec].cells = cells[:want]
		t.faults[row] = append(t.faults[row], fault{problem: diag.Problem{Place: s.cell(rec, want), Severity: diag.Error,
			Message: rowHas(have, want),
			Hint:    tooManyHint(s.comma)}})
		return
	}
	t.faults[row] = append(t.faults[row], fault{problem: diag.Problem{Place: s.records[rec].at, Severity: diag.Error,
		Message: rowHas(have, want),
		Hint:    "leave a cell blank rather than out"}})
	s.records[rec].cells = append(cells, make([]string, want-have)...)
}

// tooManyHint says what to try with a row of too many cells.
func tooManyHint(comma rune) string {
	hint := fmt.Sprintf("put a cell that holds %q in quotation marks", comma)
	if comma == ',' {
		hint += "; numbers have a decimal point"
	}
	return hint
}

func rowHas(have, want int) string {
	cells := "cells"
	if have == 1 {
		cells = "cell"
	}
	return fmt.Sprintf("row has %d %s, the header has %d", have, cells, want)
}

// decode hands the records to gocsv. Its own error stops a decode, so it gets
// them in portions, and goes on behind a cell that it could not read.
func (t *table[T]) decode(s *sheet, m *match, first int) {
	const least, most = 4, 256
	portion := most
	t.rows = slices.Grow(t.rows, len(s.records))
	for done := 0; done < len(s.records); {
		f := feed{m.names, s.records[done:min(done+portion, len(s.records))]}
		var out []T
		err := gocsv.UnmarshalCSV(f, &out)
		if err == nil {
			t.rows = append(t.rows, out...)
			done += len(f.records)
			portion = min(2*portion, most)
			continue
		}
		var pe *csv.ParseError
		if !errors.As(err, &pe) {
			// Nothing but a row type without columns leads here.
			panic(fmt.Sprintf("club: %s: %v", t.spec.name, err))
		}
		// gocsv counts rows from 2 and cells from 1, whatever the file's
		// lines are.
		k, c := pe.Line-2, pe.Column-1
		portion = max(portion/2, least)
		t.rows = append(t.rows, out[:k]...)
		done += k
		column := m.names[c]
		if !t.faulty(first+done, column) {
			var c cellError
			errors.As(pe.Err, &c)
			t.fault(first+done, column, column+": "+pe.Err.Error(), c.hint)
			if c.ordered && t.l.unsettled {
				t.follows(first + done)
			}
		}
		s.records[done].cells[c] = ""
	}
}

func hintOf(err error) string {
	var c cellError
	if errors.As(err, &c) {
		return c.hint
	}
	return ""
}

// A feed is the CSV reader that gocsv sees: a header of our own column names
// and some records.
type feed struct {
	names   []string
	records []record
}

var _ gocsv.CSVReader = feed{}

func (f feed) ReadAll() ([][]string, error) {
	rows := make([][]string, 0, len(f.records)+1)
	rows = append(rows, f.names)
	for _, r := range f.records {
		rows = append(rows, r.cells)
	}
	return rows, nil
}

// Read is there for the interface; gocsv reads slices with ReadAll.
func (f feed) Read() ([]string, error) { return nil, errors.ErrUnsupported }
