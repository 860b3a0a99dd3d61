package main

import (
	"reflect"
	"strings"
	"testing"
)

func TestWrap(t *testing.T) {
	cases := []struct {
		name, text string
		width      int
		indent     string
		want       []string
	}{
		{"nothing", "", 10, "  ", []string{""}},
		{"one line", "a b  c", 10, "  ", []string{"a b c"}},
		{"at spaces", "one two three", 8, "  ", []string{"one two", "  three"}},
		{"to the last column", "one two", 7, "", []string{"one two"}},
		{"a word longer than a line", "ab abcdefgh", 6, " ", []string{"ab", " abcde", " fgh"}},
		{"marks take no room", "é é e\u0301", 5, "", []string{"é é e\u0301"}},
		{"wide letters", "無花果 無花果", 7, "", []string{"無花果", "無花果"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := wrap("", c.indent, c.text, c.width); !reflect.DeepEqual(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
	for _, l := range wrap("- ", "  ", strings.Repeat("無", 50), 7) {
		if columns(l) > 7 {
			t.Errorf("%q is wider than 7", l)
		}
	}
}

func TestHeatWords(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 999.6: "1,000", 1720: "1,720", 12: "12", -1234: "-1,234", 1234567: "1,234,567"} {
		if got := heat(v); got != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
	}
}
