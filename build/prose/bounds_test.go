package prose_test

import (
	"strings"
	"testing"

	"ripeward/build/prose"
)

// Texts that would keep the parser busy are refused with their place.
func TestBounds(t *testing.T) {
	for name, c := range map[string]struct {
		text, want string
	}{
		"quotes":          {"a\n" + strings.Repeat("> ", 17) + "x\n", `p.md:5:33: more than 16 quotes and lists in each other`},
		"lists":           {strings.Repeat("- 1. ", 9) + "x\n", `p.md:4:44: more than 16 quotes and lists in each other`},
		"blanks":          {strings.Repeat(" ", 401) + "x\n", `p.md:4:1: more than 400 blanks before a line`},
		"line":            {strings.Repeat("x", 65537) + "\n", `p.md:4:1: line of 65537 bytes; the limit is 65536`},
		"brackets":        {"ab" + strings.Repeat("[", 2001), `p.md:4:3: more than 2000 brackets that are not closed`},
		"text":            {strings.Repeat("x\n", 140_000), `p.md:1:1: text of 280022 bytes; the limit is 262144`},
		"a rule of stars": {strings.Repeat("*", 70) + "\n\n" + strings.Repeat("- ", 16) + "\n", ""},
		"deep code":       {"```\n" + strings.Repeat(" ", 400) + "x\n```\n", ""},
	} {
		_, ps := prose.Render("p.md", []byte(card+c.text), prose.Options{})
		got := ""
		if len(ps) > 0 {
			got = ps[0].Error()
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
