package club

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"ripeward/build/diag"
)

// Limits of a club table. The line limit keeps a missing quotation mark or a
// wrong file from being read as one enormous row.
const (
	maxLineBytes = 64 << 10
	maxBadQuotes = 100
)

// saveAsUTF8 says in a spreadsheet's words what to do with a table in another
// encoding.
const saveAsUTF8 = `save the file as CSV in UTF-8: in the spreadsheet's "Save as", the kind "CSV UTF-8" or the character set UTF-8`

// Variables for the sake of tests.
var (
	maxFileBytes int64 = 256 << 20
	maxRows            = 1_000_000
)

// A sheet is one CSV file taken apart: its header and its records, each with
// the place where it stands. It knows nothing of what the columns mean.
type sheet struct {
	file    string
	data    []byte // from the header on
	before  int    // lines before data
	comma   rune
	header  []headerCell
	records []record
	// problems stand for the file as a whole, lost for rows that could not
	// be taken apart.
	problems, lost diag.Problems
	broken         bool
}

type headerCell struct {
	text string
	at   diag.Place
}

// A record keeps where it begins instead of the place of each cell: places
// are wanted for the few cells that have a problem.
type record struct {
	cells  []string
	offset int64 // in data; blank lines may follow before the record
	at     diag.Place
}

// fail notes a problem that makes the whole file useless.
func (s *sheet) fail(at diag.Place, message, hint string) {
	s.broken = true
	s.problems = append(s.problems, diag.Problem{Place: at, Severity: diag.Error, Message: message, Hint: hint})
}

// place turns a line and column of the CSV reader into those of the file. A
// byte order mark does not count as a column: no editor shows it.
func (s *sheet) place(line, column int) diag.Place {
	return diag.Place{File: s.file, Line: s.before + line, Column: column}
}

// takeApart reads data into a sheet. Problems are kept in it.
func takeApart(file string, data []byte, columns string) *sheet {
	s := &sheet{file: file, data: data}
	if !s.checkBytes() {
		return s
	}
	if !s.preamble(columns) {
		return s
	}
	s.read()
	return s
}

// checkBytes finds what is wrong with the file before any cell is looked at.
func (s *sheet) checkBytes() bool {
	if bytes.HasPrefix(s.data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(s.data, []byte{0xFE, 0xFF}) {
		s.fail(s.place(1, 1), fmt.Sprintf("byte 0x%02X is not UTF-8", s.data[0]), "this looks like UTF-16; "+saveAsUTF8)
		return false
	}
	for _, begins := range []string{"PK\x03\x04", "\xD0\xCF\x11\xE0"} { // ZIP, and the compound files of old workbooks
		if bytes.HasPrefix(s.data, []byte(begins)) {
			s.fail(s.place(1, 1), "a workbook, not a CSV table", "open it in the spreadsheet and save the table as CSV in UTF-8; another ending does not change what is in it")
			return false
		}
	}
	s.data = bytes.TrimPrefix(s.data, []byte("\uFEFF"))
	line := 0
	for rest := s.data; len(rest) > 0; {
		line++
		text, after, _ := bytes.Cut(rest, []byte("\n"))
		rest = after
		if i := firstBadByte(text); i >= 0 {
			hint := saveAsUTF8
			if text[i] == 0 {
				hint = "this looks like UTF-16 or no text at all; " + hint
			}
			s.fail(s.place(line, i+1), fmt.Sprintf("byte 0x%02X is not UTF-8 text", text[i]), hint)
			return false
		}
		if len(text) > maxLineBytes {
			s.fail(s.place(line, 0), fmt.Sprintf("line of %d bytes; the limit is %d", len(text), maxLineBytes), "look for a missing quotation mark or line end")
			return false
		}
		if i := bytes.IndexByte(text, '\r'); i >= 0 && i < len(text)-1 && len(after) == 0 && line == 1 {
			s.fail(s.place(1, i+1), "lines end in a lone carriage return", "save the file with line ends LF or CRLF")
			return false
		}
	}
	return true
}

// firstBadByte returns the index of the first byte that is not UTF-8 or is
// NUL, or -1.
func firstBadByte(b []byte) int {
	for i := 0; i < len(b); {
		if b[i] == 0 {
			return i
		}
		if b[i] < utf8.RuneSelf {
			i++
			continue
		}
		r, n := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// preamble skips comments and a "sep=" line and finds the separator.
func (s *sheet) preamble(columns string) bool {
	for len(s.data) > 0 {
		text, after, _ := bytes.Cut(s.data, []byte("\n"))
		text = bytes.TrimRight(text, "\r")
		bare := strings.Trim(string(text), "\" ")
		switch {
		case strings.TrimSpace(bare) == "":
		case bytes.HasPrefix(text, []byte("#")), bytes.HasPrefix(text, []byte(`"#`)):
			// A spreadsheet puts quotation marks round a comment that holds
			// the separator.
		case len(bare) >= 4 && strings.EqualFold(bare[:4], "sep="):
			switch sep := bare[4:]; sep {
			case ",", ";", "\t":
				s.comma = rune(sep[0])
			default:
				s.fail(s.place(1, 1), fmt.Sprintf("separator %q is not one of comma, semicolon and tab", sep), "save the file with one of these separators")
				return false
			}
		default:
			if s.comma == 0 {
				s.comma = separator(string(text))
			}
			return true
		}
		s.before++
		s.data = after
	}
	what := "the file is empty"
	if s.before > 0 {
		what = "the file has no header"
	}
	s.fail(diag.Place{File: s.file, Line: 1, Column: 1}, what, "its first line names the columns: "+columns)
	return false
}

// separator returns the separator that stands most often in a header line
// outside of quotation marks; a comma where none does.
func separator(header string) rune {
	count := map[rune]int{}
	quoted := false
	for _, r := range header {
		switch {
		case r == '"':
			quoted = !quoted
		case !quoted:
			count[r]++
		}
	}
	best := ','
	for _, r := range []rune{';', '\t'} {
		if count[r] > count[best] {
			best = r
		}
	}
	return best
}

// from returns a CSV reader of data at offset.
func (s *sheet) from(offset int64) *csv.Reader {
	r := csv.NewReader(bytes.NewReader(s.data[offset:]))
	r.Comma = s.comma
	r.FieldsPerRecord = -1
	return r
}

// read takes the header and the records.
func (s *sheet) read() {
	start, lines := int64(0), 0 // where the CSV reader began
	r := s.from(0)
	bad, remarked := 0, false
	for {
		offset := start + r.InputOffset()
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			at, message, hint := s.badQuotes(offset, lines, err)
			if s.header == nil {
				s.fail(at, message, hint)
				return
			}
			s.lost = append(s.lost, diag.Problem{Place: at, Severity: diag.Error, Message: message, Hint: hint})
			if bad++; bad == maxBadQuotes {
				s.fail(at, "too many rows with misplaced quotation marks", "the rest of the file was not read")
				return
			}
			// Go on with the line after the quotation mark, so that one that
			// is never closed does not swallow the rows below.
			start = s.afterLine(at.Line - s.before)
			lines = at.Line - s.before
			r = s.from(start)
			continue
		}
		line, column := r.FieldPos(0)
		at := s.place(lines+line, column)
		if s.header == nil {
			for i, c := range cells {
				l, c0 := r.FieldPos(i)
				s.header = append(s.header, headerCell{strings.TrimSpace(c), s.place(lines+l, c0)})
			}
			continue
		}
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			continue // an empty row of a spreadsheet
		}
		if strings.HasPrefix(cells[0], "#") { // sorting moves remarks below the header
			if !remarked {
				s.warn(at, "a line that begins with # below the header is not read", "remarks stand above the header")
			}
			remarked = true
			continue
		}
		if len(s.records) == maxRows {
			s.fail(at, fmt.Sprintf("more than %d rows", maxRows), "split the table, or leave out rows that are no longer needed")
			return
		}
		s.records = append(s.records, record{cells: cells, offset: offset, at: at})
	}
}

// cell returns the place of a cell; one past the end of a short row gets the
// place of the row.
func (s *sheet) cell(rec, col int) diag.Place {
	at := s.records[rec].at
	r := s.from(s.records[rec].offset)
	if cells, err := r.Read(); err != nil || col < 0 || col >= len(cells) {
		return at
	}
	first, _ := r.FieldPos(0)
	line, column := r.FieldPos(col)
	return diag.Place{File: s.file, Line: at.Line + line - first, Column: column}
}

// roughCell returns cell k of a line whose quotation marks are wrong, taken
// apart at the separators alone.
func (s *sheet) roughCell(line, k int) string {
	text, _, _ := bytes.Cut(s.data[s.afterLine(line-s.before-1):], []byte("\n"))
	cells := strings.Split(string(text), string(s.comma))
	if k >= len(cells) {
		return ""
	}
	return strings.Trim(cells[k], " \t\r\"")
}

// afterLine returns the offset in data after its line n.
func (s *sheet) afterLine(n int) int64 {
	offset := 0
	for ; n > 0; n-- {
		i := bytes.IndexByte(s.data[offset:], '\n')
		if i < 0 {
			return int64(len(s.data))
		}
		offset += i + 1
	}
	return int64(offset)
}

// badQuotes says what encoding/csv found wrong with the record at offset.
// lines is the number of lines of data before the CSV reader began.
func (s *sheet) badQuotes(offset int64, lines int, err error) (diag.Place, string, string) {
	pe, ok := err.(*csv.ParseError)
	if !ok {
		return s.place(lines+1, 0), err.Error(), ""
	}
	if pe.Err == csv.ErrBareQuote {
		return s.place(lines+pe.Line, pe.Column), "a quotation mark inside a cell that does not begin with one",
			`put the whole cell in quotation marks and double the one inside: "6"" pot"`
	}
	line, column, closed := s.openQuote(offset)
	at := s.place(bytes.Count(s.data[:offset], []byte("\n"))+line, column)
	if !closed {
		return at, "a quotation mark opens here and is never closed", `put one at the end of the cell`
	}
	return at, "a cell in quotation marks goes on after the closing one",
		`double a quotation mark inside such a cell: "6"" pot"`
}

// openQuote finds the quotation mark that opens the faulty cell of the record
// at offset: its line, counted from offset, its column, and whether there is
// another one after it.
func (s *sheet) openQuote(offset int64) (line, column int, closed bool) {
	b := s.data[offset:]
	line, column = 1, 1
	next := func(i int) int { // steps over byte i
		if b[i] == '\n' {
			line, column = line+1, 1
		} else {
			column++
		}
		return i + 1
	}
	for i := 0; i < len(b); {
		if b[i] != '"' {
			for i < len(b) && b[i] != byte(s.comma) && b[i] != '\n' {
				i = next(i)
			}
			if i < len(b) {
				i = next(i)
			}
			continue
		}
		atLine, atColumn := line, column
		i = next(i)
		end := -1
		for i < len(b) {
			if b[i] != '"' {
				i = next(i)
				continue
			}
			if i+1 < len(b) && b[i+1] == '"' {
				i = next(next(i))
				continue
			}
			end = i
			i = next(i)
			break
		}
		if end < 0 {
			return atLine, atColumn, false
		}
		if rest := bytes.TrimLeft(b[i:min(i+2, len(b))], "\r"); len(rest) > 0 && rest[0] != byte(s.comma) && rest[0] != '\n' {
			return atLine, atColumn, true
		}
	}
	return 1, 1, true
}
