package tables

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Column declares one column of a Table. Type is a type of the Frictionless
// Table Schema: string, integer, number, year, date, any. A cell of an "any"
// column is a number or a text, row by row. Unit is empty where there is none.
type Column struct {
	Name, Type, Unit, Description string
	// Pattern is a regular expression that every cell that is not empty
	// matches; empty means no such promise.
	Pattern string
	// Allowed lists the only values a cell that is not empty may have.
	Allowed []string
}

// Table is a table as it is published: cells are already printed, an empty
// cell means "not known". Key names the columns that identify a row.
type Table struct {
	Name    string
	Key     []string
	Columns []Column
	Rows    [][]string
}

// CSV writes the table as RFC 4180 text in UTF-8 with a header. Lines end in
// LF, which the CSV readers in use accept, so that diffs stay readable. A text
// that a spreadsheet would run as a formula gets an apostrophe in front, which
// makes it a text there too (OWASP, CSV injection).
func (t Table) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	if err := out.Write(t.header()); err != nil {
		return err
	}
	row := make([]string, len(t.Columns))
	for _, cells := range t.Rows {
		row = append(row[:0], cells...)
		for i, c := range cells {
			if i < len(t.Columns) && (t.Columns[i].Type == "string" || t.Columns[i].Type == "any") {
				row[i] = inert(c)
			}
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// inert makes a text harmless that a spreadsheet would run. Numbers keep their
// sign.
func inert(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell
	}
	return "'" + cell
}

func (t Table) header() []string {
	names := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		names[i] = c.Name
	}
	return names
}

// JSON writes the table as an array of objects, one a line, keys in the order
// of the columns. Numbers are numbers, an empty cell is null.
func (t Table) JSON(w io.Writer) error {
	keys := make([][]byte, len(t.Columns))
	for i, c := range t.Columns {
		keys[i] = quoteJSON(c.Name)
	}
	var line bytes.Buffer
	for n, row := range t.Rows {
		line.Reset()
		if n == 0 {
			line.WriteString("[\n")
		} else {
			line.WriteString(",\n")
		}
		line.WriteByte('{')
		for i, cell := range row {
			if i > 0 {
				line.WriteString(", ")
			}
			line.Write(keys[i])
			line.WriteString(": ")
			line.Write(t.Columns[i].json(cell))
		}
		line.WriteByte('}')
		if _, err := w.Write(line.Bytes()); err != nil {
			return err
		}
	}
	end := "\n]\n"
	if len(t.Rows) == 0 {
		end = "[]\n"
	}
	_, err := io.WriteString(w, end)
	return err
}

func (c Column) json(cell string) []byte {
	switch {
	case cell == "":
		return []byte("null")
	case c.numeric(cell):
		return []byte(cell)
	}
	return quoteJSON(cell)
}

// numeric tells whether a cell of the column is a number and is printed as
// JSON allows one (no leading zeros, no plus sign, no bare point).
func (c Column) numeric(cell string) bool {
	switch c.Type {
	case "integer", "number", "year", "any":
		return cell != "" && (cell[0] == '-' || cell[0] >= '0' && cell[0] <= '9') && json.Valid([]byte(cell))
	}
	return false
}

func quoteJSON(s string) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic(fmt.Sprintf("a string cannot be encoded: %v", err)) // cannot happen
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// Text writes the table with aligned columns, two spaces apart: texts to the
// left, columns of numbers to the right, "-" for an empty cell.
func (t Table) Text(w io.Writer) error {
	width := make([]int, len(t.Columns))
	right := make([]bool, len(t.Columns))
	for i, c := range t.Columns {
		width[i] = utf8.RuneCountInString(c.Name)
		right[i] = c.Type == "integer" || c.Type == "number" || c.Type == "any"
	}
	for _, row := range t.Rows {
		for i, cell := range row {
			width[i] = max(width[i], utf8.RuneCountInString(cell), 1)
		}
	}
	var line strings.Builder
	print := func(row []string) error {
		line.Reset()
		for i, cell := range row {
			if cell == "" {
				cell = "-"
			}
			if i > 0 {
				line.WriteString("  ")
			}
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell))
			if right[i] {
				line.WriteString(pad + cell)
			} else {
				line.WriteString(cell + pad)
			}
		}
		_, err := io.WriteString(w, strings.TrimRight(line.String(), " ")+"\n")
		return err
	}
	if err := print(t.header()); err != nil {
		return err
	}
	for _, row := range t.Rows {
		if err := print(row); err != nil {
			return err
		}
	}
	return nil
}
