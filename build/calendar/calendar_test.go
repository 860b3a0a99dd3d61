package calendar

import (
	"bytes"
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/day"
)

var update = flag.Bool("update", false, "rewrite the files in testdata")

// orchard is an invented calendar: windows over a new year and a leap day, two
// on one day, a title with every character that TEXT escapes.
func orchard() *Calendar {
	key := func(task string) string { return UID("Verger Club", "hill-town", "pot-plain", task) }
	return &Calendar{
		Product: "-//Verger Club//Almanac//EN", Name: "Hill Town: plain pot", Language: "en", Stamp: day.Of(2027, 10, 31),
		Events: []Event{
			{Key: key("out"), From: day.Of(2028, 5, 12), Until: day.Of(2028, 5, 12), Summary: "Out for good", URL: "https://example.org/guides/out.html#when"},
			{Key: key("check"), From: day.Of(2027, 12, 20), Until: day.Of(2028, 3, 5), Summary: "Check the store", Sequence: 4,
				Description: "Every two to four weeks: read the thermometer; feel the mix.\nWanted is 0 to 5 °C, barely moist.", Categories: []string{"winter", "store, shed"}},
			{Key: key("repot"), From: day.Of(2028, 2, 28), Until: day.Of(2028, 2, 29), Summary: `Repot; if due, C:\notes`},
			{Key: key("wake"), From: day.Of(2028, 2, 28), Until: day.Of(2028, 3, 6), Summary: "Wake the pots"},
		},
	}
}

// awkward holds what a club's tables can do to a calendar.
func awkward() *Calendar {
	long := strings.Repeat("Über-wintern 🌳 ", 30)
	return &Calendar{
		Product: "-//A;B,C//\\//FR", Name: "Forêt d’Ü\r\nBEGIN:VEVENT", Language: "fr-CA", Stamp: day.Of(2026, 9, 30),
		Events: []Event{
			{Key: "1", From: day.Of(2027, 1, 1), Until: day.Of(2027, 1, 1), Summary: long, Description: "a\r\nEND:VCALENDAR\rb\n\n\\n c\tд" + long,
				URL: "https://exämple.org/a b\"<é>?q=x y#ß", Categories: []string{"", "a;b", "c,d"}},
			{Key: "2\r\nX:y", From: day.Of(2027, 1, 1), Until: day.Of(2026, 1, 1), Summary: "\x00\x1b[1m\xff\xfeend\u2028next", URL: "javascript:alert(1)", Sequence: -3},
			{Key: "3", From: day.None, Until: day.Date(1<<31 - 1), Summary: strings.Repeat("\\", 80) + strings.Repeat(";", 80)},
		},
	}
}

func TestGoldens(t *testing.T) {
	for name, c := range map[string]*Calendar{"orchard": orchard(), "awkward": awkward()} {
		path, got := filepath.Join("testdata", name+".ics"), c.Bytes()
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs; if that is meant, run with -update and read the diff:\n%s", path, got)
		}
	}
}

// CHECKS IC-1, IC-2: RFC 5545 3.1; 112 octets in lines of 74 and 39, because
// the 75th octet would be the first half of an ä.
func TestFoldsBetweenCharacters(t *testing.T) {
	line := "DESCRIPTION:" + strings.Repeat("ä", 50)
	if len(line) != 112 {
		t.Fatalf("%d octets", len(line))
	}
	got := strings.Split(string(appendFolded(nil, line)), "\r\n")
	if len(got) != 3 || len(got[0]) != 74 || len(got[1]) != 39 || got[1][0] != ' ' || got[2] != "" {
		t.Errorf("folded into %q", got)
	}
	// The same through the calendar; and 75 octets are not folded, 76 are.
	c := &Calendar{Events: []Event{{Description: strings.Repeat("ä", 50), Summary: strings.Repeat("x", 67)}, {Summary: strings.Repeat("x", 68)}}}
	for _, want := range []string{"\r\n" + got[0] + "\r\n" + got[1] + "\r\n", "\r\nSUMMARY:" + strings.Repeat("x", 67) + "\r\nDESC", "\r\nSUMMARY:" + strings.Repeat("x", 67) + "\r\n x\r\n"} {
		if !strings.Contains(string(c.Bytes()), want) {
			t.Errorf("%q is missing", want)
		}
	}
}

// CHECKS IC-3 to IC-6: RFC 5545 3.4, 3.6.1, 3.7, 3.8.2.2, 3.8.7.2; the dates of
// IC-5 are its own.
func TestEventAsTheStandardAsks(t *testing.T) {
	c := &Calendar{Product: "-//x//y//EN", Stamp: day.Of(2026, 9, 30), Events: []Event{{Key: "k", From: day.Of(2027, 5, 12), Until: day.Of(2027, 5, 12), Summary: "s"}}}
	got := string(c.Bytes())
	for _, line := range []string{"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//x//y//EN", "BEGIN:VEVENT", "UID:k", "DTSTAMP:20260930T000000Z", "SEQUENCE:0",
		"DTSTART;VALUE=DATE:20270512", "DTEND;VALUE=DATE:20270513", "SUMMARY:s", "TRANSP:TRANSPARENT", "END:VEVENT", "END:VCALENDAR"} {
		if n := strings.Count("\r\n"+got, "\r\n"+line+"\r\n"); n != 1 {
			t.Errorf("%s stands %d times", line, n)
		}
	}
	if !strings.HasPrefix(got, "BEGIN:VCALENDAR\r\n") || !strings.HasSuffix(got, "\r\nEND:VCALENDAR\r\n") {
		t.Errorf("the calendar is not one object:\n%s", got)
	}
	// DURATION would be a second end; METHOD would ask for an organizer.
	for _, never := range []string{"DURATION:", "TZID", "METHOD", "VALARM", "LANGUAGE", "NAME", "URL", "CATEGORIES"} {
		if strings.Contains(got, "\r\n"+never) || strings.Contains(got, ";"+never) {
			t.Errorf("%s stands in\n%s", never, got)
		}
	}
}

func TestEndIsTheDayAfter(t *testing.T) {
	for _, c := range []struct{ from, until, want string }{
		{"2028-02-28", "2028-02-28", "20280229"},
		{"2027-02-28", "2027-02-28", "20270301"},
		{"2027-12-20", "2027-12-31", "20280101"},
	} {
		from, _ := day.Parse(c.from)
		until, _ := day.Parse(c.until)
		cal := &Calendar{Events: []Event{{From: from, Until: until}}}
		if want := "\r\nDTSTART;VALUE=DATE:" + strings.ReplaceAll(c.from, "-", "") + "\r\nDTEND;VALUE=DATE:" + c.want + "\r\n"; !strings.Contains(string(cal.Bytes()), want) {
			t.Errorf("%s to %s: no %q", c.from, c.until, want)
		}
	}
}

// CHECKS IC-7: RFC 5545 3.3.11.
func TestEscapes(t *testing.T) {
	for in, want := range map[string]string{
		`a\b`: `a\\b`, "a,b;c": `a\,b\;c`, "8:30": "8:30", "a\nb": `a\nb`, "a\r\nb\rc": `a\nb\nc`, `\n`: `\\n`, "\"x\"": `"x"`, "a\tb": "a\tb", "a\x00\x7f\u0085b": `a\nb`,
	} {
		if got := escape(clean(in)); got != want {
			t.Errorf("%q is written %q, want %q", in, got, want)
		}
	}
}

func TestWebAddress(t *testing.T) {
	for in, want := range map[string]string{
		"https://example.org/fr/x/?a=b,c;d#e": "https://example.org/fr/x/?a=b,c;d#e",
		"http://example.org/a b/é\"<":         "http://example.org/a%20b/%C3%A9%22%3C",
		"https://example.org/%C3%A9":          "https://example.org/%C3%A9",
		"":                                    "", "towns/x/": "", "//example.org/": "", "javascript:alert(1)": "", "data:text/html,x": "", "https://": "", "https://a/\r\nX:y": "",
	} {
		if got := webAddress(in); got != want {
			t.Errorf("%q is written %q, want %q", in, got, want)
		}
	}
}

func TestSameBytesInAnyOrder(t *testing.T) {
	want := orchard().Bytes()
	r := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		c := orchard()
		r.Shuffle(len(c.Events), func(i, j int) { c.Events[i], c.Events[j] = c.Events[j], c.Events[i] })
		before := slices.Clone(c.Events)
		if !bytes.Equal(c.Bytes(), want) {
			t.Fatal("another order gives other bytes")
		}
		for i := range before {
			if before[i].Key != c.Events[i].Key {
				t.Fatal("Bytes reorders the caller's events")
			}
		}
	}
}

func TestCheck(t *testing.T) {
	if err := orchard().Check(); err != nil {
		t.Errorf("a good calendar: %v", err)
	}
	for want, spoil := range map[string]func(*Calendar){
		"no event":           func(c *Calendar) { c.Events = nil },
		"no product":         func(c *Calendar) { c.Product = "" },
		"no data cut-off":    func(c *Calendar) { c.Stamp = day.None },
		"no key":             func(c *Calendar) { c.Events[1].Key = "" },
		"of another event":   func(c *Calendar) { c.Events[1].Key = c.Events[0].Key },
		"no title":           func(c *Calendar) { c.Events[1].Summary = "" },
		"before it begins":   func(c *Calendar) { c.Events[1].Until = c.Events[1].From - 1 },
		`from "" to`:         func(c *Calendar) { c.Events[1].From = day.None },
		"of the years 1-999": func(c *Calendar) { c.Events[1].Until = day.Of(10000, 1, 1) },
	} {
		c := orchard()
		spoil(c)
		if err := c.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// A town's year: 30 tasks.
func BenchmarkBytes(b *testing.B) {
	c := &Calendar{Product: "-//x//y//EN", Name: "n", Language: "en", Stamp: day.Of(2026, 9, 30)}
	for i := range 30 {
		from := day.Of(2027, 1, 1) + day.Date(i*11)
		c.Events = append(c.Events, Event{Key: UID("c", "t", "m", string(rune('A'+i))), From: from, Until: from + 14, Summary: "Check the store", Description: strings.Repeat("Every two to four weeks, read the thermometer. ", 8)})
	}
	for b.Loop() {
		c.Bytes()
	}
}
