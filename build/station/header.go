package station

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"ripeward/build/diag"
)

// head is the first look at a file: what its buffer holds before any line is
// handed out.
type head struct {
	lines []headLine // not blank, no comment, no sep= line
	// header of a table: the first of lines, split
	sep     byte
	columns []column
	latin1  bool
	clues   *clues
}

type headLine struct {
	text   []byte
	number int
}

// column is one cell of the header: its name as fold leaves it, as written, and
// its byte column.
type column struct {
	name, written string
	at            int
}

// look splits the buffer into lines without consuming it. sep is 0 unless the
// separator is known.
func look(s *source, sep byte) *head {
	h := &head{sep: sep}
	text := s.buf[s.start:s.end]
	for n := 1; len(text) > 0; n++ {
		var line []byte
		i := bytes.IndexByte(text, s.eol)
		switch {
		case i >= 0:
			line, text = text[:i], text[i+1:]
		case s.eof && (s.damage == nil || len(h.lines) == 0), len(h.lines) == 0:
			line, text = text, nil
		default:
			text = nil // half a line
			continue
		}
		line = s.bare(line)
		if len(trim(line)) == 0 || len(h.lines) == 0 && line[0] == '#' {
			continue
		}
		if len(h.lines) == 0 && h.sep == 0 && len(line) == 5 && bytes.EqualFold(line[:4], []byte("sep=")) && strings.IndexByte(",;\t|", line[4]) >= 0 {
			h.sep = line[4]
			continue
		}
		if h.lines == nil {
			h.lines = make([]headLine, 0, len(text)/(len(line)+1)+16)
		}
		h.lines = append(h.lines, headLine{line, n})
	}
	if len(h.lines) > 0 && len(h.lines[0].text) <= maxLine {
		h.split()
	}
	return h
}

// split takes the first line apart as the header of a table. The separator is
// what a sep= line says, else the one of ";", tab and "," that is there most.
func (h *head) split() {
	line := h.lines[0].text
	if h.sep == 0 {
		h.sep = ','
		for _, c := range []byte("\t;") {
			if bytes.Count(line, []byte{c}) > bytes.Count(line, []byte{h.sep}) {
				h.sep = c
			}
		}
	}
	h.latin1 = !utf8.Valid(line)
	for p := 0; p <= len(line); {
		content, next, why := field(line, p, h.sep)
		if why != none {
			h.columns = nil
			return
		}
		written := string(trim(content))
		h.columns = append(h.columns, column{fold(written), strings.ToValidUTF8(written, "?"), p + 1})
		p = next
	}
}

// fold reduces a column name to what all copies of a file agree on: lower-case
// ASCII without the degree sign, which comes as UTF-8, as Latin-1 or garbled.
func fold(name string) string {
	var b strings.Builder
	for i := range len(name) {
		switch c := name[i]; {
		case c >= 'A' && c <= 'Z':
			b.WriteByte(c + 'a' - 'A')
		case c < 0x80:
			b.WriteByte(c)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func (h *head) has(name string) bool {
	for _, c := range h.columns {
		if c.name == name {
			return true
		}
	}
	return false
}

func (h *head) place(c column) diag.Place {
	return diag.Place{Line: h.lines[0].number, Column: c.at}
}

// role is what a column is to the reader; unused columns are roleSkip.
type role uint8

const (
	roleSkip role = iota
	roleStation
	roleName
	roleLat
	roleLon
	roleElevation
	roleDate
	roleYear
	roleMonth
	roleDayOfMonth
	roleDayOfYear
	roleQuality
	roleSeveralDays
	roleValue                               // + element
	roleFlag  = roleValue + role(nElements) // + element
	nRoles    = int(roleFlag) + int(nElements)
)

// roles maps the header's columns; a role given twice is a problem.
func (h *head) roles(names map[string]role) ([]role, *diag.Problem) {
	out := make([]role, len(h.columns))
	seen := map[role]string{}
	for i, c := range h.columns {
		r := names[c.name]
		out[i] = r
		if r == roleSkip {
			continue
		}
		if before, twice := seen[r]; twice {
			return nil, &diag.Problem{
				Place:   h.place(c),
				Message: fmt.Sprintf("column %q stands for the same thing as column %q before it", c.written, before),
				Hint:    "keep one of the two",
			}
		}
		seen[r] = c.written
	}
	return out, nil
}
