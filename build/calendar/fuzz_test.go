package calendar

import (
	"strings"
	"testing"
	"unicode/utf8"

	"ripeward/build/day"
)

// meant is the text that a subscriber should read where the table held s: told
// once more, character by character, to compare the writer with.
func meant(s string) string {
	var b strings.Builder
	bad := false // a run of invalid bytes is one replacement character
	for i, r := range s {
		if r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD") {
			if !bad {
				b.WriteRune(r)
			}
			bad = true
			continue
		}
		bad = false
		switch {
		case r == '\n' && i > 0 && s[i-1] == '\r': // the second half of one break
		case r == '\n', r == '\r', r == 0x85, r == 0x2028, r == 0x2029:
			b.WriteByte('\n')
		case r == '\t', r >= ' ' && r != 0x7f && !(0x80 <= r && r < 0xa0):
			b.WriteRune(r)
		}
	}
	return b.String()
}

// read takes a value of TEXTs apart (RFC 5545 3.3.11).
func read(t *testing.T, value string) []string {
	texts := []string{""}
	last := func(c string) { texts[len(texts)-1] += c }
	for i := 0; i < len(value); i++ {
		switch c := value[i]; c {
		case '\\':
			i++
			if i == len(value) || !strings.Contains(`\;,n`, value[i:i+1]) {
				t.Fatalf("%q holds an escape that is none", value)
			}
			if value[i] == 'n' {
				last("\n")
			} else {
				last(value[i : i+1])
			}
		case ',':
			texts = append(texts, "")
		case ';':
			t.Fatalf("%q holds a bare semicolon", value)
		default:
			last(value[i : i+1])
		}
	}
	return texts
}

// lines checks the form of a file and returns its unfolded lines by name.
func lines(t *testing.T, file []byte) map[string][]string {
	text, whole := strings.CutSuffix(string(file), "\r\n")
	if !whole || !utf8.ValidString(text) {
		t.Fatalf("no CRLF at the end, or not UTF-8: %q", file)
	}
	physical := strings.Split(text, "\r\n")
	for _, l := range physical {
		if len(l) > 75 || strings.ContainsAny(l, "\r\n") || !utf8.ValidString(l) {
			t.Fatalf("a line of %d octets, with a break of another kind, or cut inside a character: %q", len(l), l)
		}
	}
	out := map[string][]string{}
	for _, l := range strings.Split(strings.ReplaceAll(text, "\r\n ", ""), "\r\n") {
		name, value, ok := strings.Cut(l, ":")
		if !ok {
			t.Fatalf("a line without a name: %q", l)
		}
		name, _, _ = strings.Cut(name, ";")
		out[name] = append(out[name], value)
	}
	return out
}

func FuzzBytes(f *testing.F) {
	f.Add("Repot; if due, C:\\n", "a\r\nEND:VCALENDAR\rb\n\n c\tд", "https://example.org/", "winter", "Hill Town", "en", int32(21000), int32(7))
	f.Add(strings.Repeat("ä", 50), strings.Repeat("🌳", 200), "javascript:alert(1)", "a,b;c", "\xff\xfe\x00", "f\r\nr", int32(day.None), int32(-1))
	f.Add(strings.Repeat("\\", 99), "\uFFFD\xc3", "https://exämple.org/a b?é#\"", "", "\r", "fr-CA", int32(1<<31-1), int32(1<<31-1))
	f.Fuzz(func(t *testing.T, summary, description, url, category, name, language string, from, days int32) {
		e := Event{Key: "k" + name, From: day.Date(from), Until: day.Date(from + days), Summary: summary, Description: description, URL: url, Sequence: int(days), Categories: []string{category, summary}}
		c := &Calendar{Product: name, Name: name, Language: language, Stamp: day.Date(days), Events: []Event{e, {Key: "other"}}}
		file := c.Bytes()
		got := lines(t, file)
		if len(got["BEGIN"]) != 3 || len(got["END"]) != 3 || len(got["UID"]) != 2 || len(got["DTEND"]) != 2 {
			t.Fatalf("not two events in a calendar:\n%s", file)
		}
		text := func(property string, want ...string) {
			var kept []string
			for _, w := range want {
				if w = meant(w); w != "" {
					kept = append(kept, w)
				}
			}
			if len(kept) == 0 {
				if len(got[property]) != 0 {
					t.Fatalf("%s stands for an empty text:\n%s", property, file)
				}
				return
			}
			if len(got[property]) != 1 {
				t.Fatalf("%s stands %d times:\n%s", property, len(got[property]), file)
			}
			if back := read(t, got[property][0]); strings.Join(back, "\x00") != strings.Join(kept, "\x00") {
				t.Fatalf("%s reads back as %q, want %q", property, back, kept)
			}
		}
		text("SUMMARY", summary)
		text("DESCRIPTION", description)
		text("CATEGORIES", category, summary)
		text("NAME", name)
		for i := range got["DTSTART"] {
			if a, b := got["DTSTART"][i], got["DTEND"][i]; len(a) != 8 || len(b) != 8 || a >= b {
				t.Fatalf("an event from %s to %s", a, b)
			}
		}
		for _, u := range got["URL"] {
			if !strings.HasPrefix(strings.ToLower(u), "http") || strings.ContainsAny(u, " \"<>\\") {
				t.Fatalf("an address %q", u)
			}
		}
		turned := Calendar{Product: name, Name: name, Language: language, Stamp: day.Date(days), Events: []Event{{Key: "other"}, e}}
		if string(file) != string(turned.Bytes()) {
			t.Fatal("another order gives other bytes")
		}
	})
}
