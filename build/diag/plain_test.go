package diag_test

import (
	"testing"

	"ripeward/build/diag"
)

func TestPlain(t *testing.T) {
	for in, want := range map[string]string{
		"data/été.csv":     "data/été.csv",
		"a\nb\x1b]0;x\x07": `a\nb\x1b]0;x\a`,
		"\u009b31m":        `\u009b31m`,
		"a\u202eb\u2066":   `a\u202eb\u2066`,
		"\xffx":            `\xffx`,
		"שלום \u200f":      "שלום \u200f",
	} {
		if got := diag.Plain(in); got != want {
			t.Errorf("%q is printed as %q, want %q", in, got, want)
		}
	}
	p := diag.Problem{Place: diag.Place{File: "data/a\nb.csv", Line: 1}, Severity: diag.Error, Message: "no \x1b[2J"}
	if got, want := p.Error(), `data/a\nb.csv:1: no \x1b[2J`; got != want {
		t.Errorf("%q", got)
	}
}
