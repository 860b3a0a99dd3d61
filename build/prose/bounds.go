package prose

import (
	"fmt"
	"strings"

	"ripeward/build/diag"
)

// Limits of a text: far beyond any page that is read, and such that none keeps
// the Markdown parser busy, whose work grows with the square of the depth of
// quotes and lists.
const (
	maxBytes = 256 << 10
	maxLine  = 64 << 10 // bytes
	maxDepth = 16       // of quotes and lists in each other
	maxMarks = 2000     // square brackets that open and are not closed on a line
	maxEmpty = 400      // bytes of blanks at the start of a line
)

// beyond says where a text goes beyond the limits, or returns nil.
func beyond(file, src string) *diag.Problem {
	problem := func(line, column int, hint, format string, args ...any) *diag.Problem {
		return &diag.Problem{Place: diag.Place{File: file, Line: line, Column: column}, Severity: diag.Error,
			Message: fmt.Sprintf(format, args...), Hint: hint}
	}
	if len(src) > maxBytes {
		return problem(1, 1, "make several pages of it", "text of %d bytes; the limit is %d", len(src), maxBytes)
	}
	n := 0
	for line := range strings.SplitSeq(src, "\n") {
		n++
		if len(line) > maxLine {
			return problem(n, 1, "break the line", "line of %d bytes; the limit is %d", len(line), maxLine)
		}
		if depth, at := containers(line); depth > maxDepth {
			return problem(n, at+1, "", "more than %d quotes and lists in each other", maxDepth)
		}
		if blanks := len(line) - len(strings.TrimLeft(line, " \t")); blanks > maxEmpty && blanks < len(line) {
			return problem(n, 1, "", "more than %d blanks before a line", maxEmpty)
		}
		if strings.Count(line, "[")-strings.Count(line, "]") > maxMarks {
			return problem(n, strings.IndexByte(line, '[')+1, `write \[ for a plain bracket`, "more than %d brackets that are not closed", maxMarks)
		}
	}
	return nil
}

// containers counts the marks of quotes and lists at the start of a line, and
// returns where the last begins.
func containers(line string) (n, last int) {
	for i := 0; i < len(line); {
		switch c := line[i]; {
		case c == ' ' || c == '\t':
			i++
			continue
		case c == '>':
		case strings.IndexByte("-+*", c) >= 0 && gap(line, i+1):
		case c >= '0' && c <= '9':
			for i+1 < len(line) && line[i+1] >= '0' && line[i+1] <= '9' {
				i++
			}
			if i++; i >= len(line) || line[i] != '.' && line[i] != ')' || !gap(line, i+1) {
				return n, last
			}
		default:
			return n, last
		}
		n, last = n+1, i
		i++
	}
	return n, last
}

func gap(line string, i int) bool {
	return i >= len(line) || line[i] == ' ' || line[i] == '\t'
}
