// Package diag holds what the house has to say about its inputs: a message
// with its place (file:line:column), how bad it is, and a hint on what to try.
// A problem is a value: readers collect them and go on, commands print them
// sorted.
package diag

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Severity tells whether a problem stops a build.
type Severity int8

// An Error stops publish; a Warning is printed; a Note is for the record.
const (
	Note Severity = iota
	Warning
	Error
)

func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// Place is where a problem stands. Line and Column are counted from 1; Column
// counts bytes. Zero means "not known".
type Place struct {
	File         string
	Line, Column int
}

func (p Place) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Problem is one message about an input. Message is lower-case and has no full
// stop; Hint, if any, says what to try.
type Problem struct {
	Place    Place
	Severity Severity
	Message  string
	Hint     string
}

// Error prints file:line:column: message, without the hint. What could steer a
// terminal is printed as Plain prints it.
func (p Problem) Error() string { return Plain(p.text()) }

func (p Problem) text() string {
	s := p.Message
	if p.Severity != Error {
		s = p.Severity.String() + ": " + s
	}
	if at := p.Place.String(); at != "" {
		return at + ": " + s
	}
	return s
}

// Plain returns s as one line that steers no terminal: a control character, a
// mark that turns the direction of writing, and a byte that is not UTF-8 stand
// in it as Go escapes. Names of files and ids of stations come from strangers.
func Plain(s string) string {
	if utf8.ValidString(s) && strings.IndexFunc(s, steers) < 0 {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case steers(r):
			q := strconv.QuoteRuneToASCII(r)
			b.WriteString(q[1 : len(q)-1])
		default:
			b.WriteRune(r)
		}
		i += n
	}
	return b.String()
}

func steers(r rune) bool { return unicode.IsControl(r) || Turns(r) }

// Turns tells whether r is one of the marks that override, embed or isolate a
// direction of writing, and reach over what follows them (Unicode Standard
// Annex 9, "Explicit Directional Formatting Characters").
func Turns(r rune) bool { return r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069 }

// Problems is a collection of problems.
type Problems []Problem

// Sort orders problems by file, line, column and message, and drops exact
// repeats.
func (ps Problems) Sort() Problems {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Place.File, b.Place.File), cmp.Compare(a.Place.Line, b.Place.Line),
			cmp.Compare(a.Place.Column, b.Place.Column), cmp.Compare(a.Message, b.Message))
	})
	return slices.Compact(ps)
}

// Count returns how many problems have severity s.
func (ps Problems) Count(s Severity) int {
	n := 0
	for _, p := range ps {
		if p.Severity == s {
			n++
		}
	}
	return n
}

// maxWord is the longest word, in bytes, that can be a slip of another: the
// work of comparing grows with its length.
const maxWord = 100

// Nearest returns the candidate closest to word for a did-you-mean, or "" if
// none is near enough (more than a third of the word's letters differ). Case,
// spaces, "_" and "-" do not count as differences.
func Nearest(word string, candidates []string) string {
	if len(word) > maxWord {
		return ""
	}
	best, bestDistance := "", 1<<30
	w := fold(word)
	for _, c := range candidates {
		d := distance(w, fold(c))
		if d < bestDistance || d == bestDistance && c < best {
			best, bestDistance = c, d
		}
	}
	if bestDistance > max(1, len(w)/3) {
		return ""
	}
	return best
}

func fold(s string) string {
	return strings.NewReplacer(" ", "", "_", "", "-", "").Replace(strings.ToLower(s))
}

// distance is the optimal string alignment distance (insert, delete, replace,
// swap of neighbours), in bytes.
func distance(a, b string) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(a)][len(b)]
}

// Step says how far a long piece of work has come: Done pieces of Of. Of is 0
// where the number is not known.
type Step struct {
	What     string
	Done, Of int
}
