package main

import (
	"bytes"
	"flag"
	"strings"
	"testing"

	"ripeward/build/diag"
)

// What is said of several lines in the same words is said once, with the other
// lines; what differs in a word, a file or a hint stays apart.
func TestSameWordsOnce(t *testing.T) {
	at := func(file string, line int, message, hint string) diag.Problem {
		return diag.Problem{Place: diag.Place{File: file, Line: line, Column: 3}, Severity: diag.Error, Message: message, Hint: hint}
	}
	ps := diag.Problems{at("a.csv", 2, "x is wrong", "write y"), at("a.csv", 3, "z is wrong", ""), at("a.csv", 4, "x is wrong", "write y"), at("b.csv", 4, "x is wrong", "write y")}
	for i := range 12 {
		ps = append(ps, at("c.csv", 10+i, "far away", ""))
	}
	ps = append(ps, diag.Problem{Severity: diag.Warning, Message: "no place"})
	var out bytes.Buffer
	list(&out, ps)
	want := `a.csv:2:3: x is wrong
  also on line 4
  hint: write y
a.csv:3:3: z is wrong
b.csv:4:3: x is wrong
  hint: write y
c.csv:10:3: far away
  also on lines 11, 12, 13, 14, 15, 16, 17, 18 and 3 more, to line 21
warning: no place
`
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

// The name of a flag's value is taken out of its words: what is left must be a
// sentence without a hole.
func TestFlagsAreWordsWithoutHoles(t *testing.T) {
	for _, c := range commands() {
		o := defaults()
		fs := newFlagSet(&c, &o)
		fs.VisitAll(func(f *flag.Flag) {
			if _, words := fs.usageOf(f); strings.Contains(words, "  ") || strings.TrimSpace(words) != words || strings.HasSuffix(words, "into") {
				t.Errorf("%s --%s: %q", c.name, f.Name, words)
			}
		})
	}
}
