package shallow_test

import (
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"ripeward/build/shallow"
)

func TestCheck(t *testing.T) {
	many := func(s string) string { return strings.Repeat(s, 17) }
	for name, c := range map[string]struct {
		text, message string
		at            int
	}{
		"plain":                {"name = \"T\"\n[columns]\ndate = \"d\"\n", "", 0},
		"brackets in a text":   {"name = \"" + many("[{") + "\"\nabout = '" + many("[") + "'\n", "", 0},
		"in a long text":       {"a = \"\"\"\n\\\"" + many("[") + "\"\n\"\"\"\nb = '''\n" + many("{") + "'''\n", "", 0},
		"in a comment":         {"# " + many("[") + "\na = 1\n", "", 0},
		"many on many lines":   {strings.Repeat("a = [[1], {b = 2}]\n", 500), "", 0},
		"arrays":               {"a = " + many("["), "more than 16 levels deep", 20},
		"arrays on lines":      {"a = " + many("[\n"), "more than 16 levels deep", 36},
		"tables":               {"a = " + many("{a="), "more than 16 levels deep", 52},
		"a dotted key":         {many("a.") + "a = 1\n", "more than 16 levels deep", 33},
		"quoted parts":         {many("\"a\".") + "a = 1\n", "more than 16 levels deep", 67},
		"after an open mark":   {"a = \"x\nb = " + many("["), "more than 16 levels deep", 27},
		"long line":            {"\na = \"" + strings.Repeat("x", 70_000) + "\"\n" + "b = 1\n", "line of more than 65536 bytes", 1},
		"long file":            {strings.Repeat("a = 1\n", 200_000), "file of 1200000 bytes; the limit is 1048576", 0},
		"decimal points":       {"a = [" + strings.Repeat("1.5, ", 100) + "]\n", "", 0},
		"last of a long array": {"a = [\n" + strings.Repeat("\"1.5\",\n", 100) + "]\n", "", 0},
	} {
		if at, message := shallow.Check(c.text); at != c.at || message != c.message {
			t.Errorf("%s: %q at %d, want %q at %d", name, message, at, c.message, c.at)
		}
	}
}

// Whatever passes is parsed, or refused, without a panic; places are inside.
func FuzzCheck(f *testing.F) {
	f.Add("a = [[1], {b.c = 2}] # x\n\"q\" = '''\n'''\n[t.u]\n")
	f.Add("a = \"\\\"[\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		at, message := shallow.Check(text)
		if at < 0 || at > len(text) {
			t.Errorf("offset %d of %d", at, len(text))
		}
		if message == "" {
			var v map[string]any
			_, _ = toml.Decode(text, &v)
		}
	})
}
