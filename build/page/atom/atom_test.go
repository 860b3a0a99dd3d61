package atom

import (
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"ripeward/build/day"
)

func sample() Feed {
	return Feed{ID: "urn:uuid:00000000-0000-5000-8000-000000000001", Title: `Figs & <b>Friends</b>`, Subtitle: "What ripens", Author: "Circle", Email: "circle@example.org", Rights: "CC0-1.0",
		Language: "en", Self: "https://example.org/a/feed.xml", Page: "https://example.org/a/", Version: "1",
		Entries: []Entry{
			{ID: "urn:uuid:00000000-0000-5000-8000-000000000002", Title: "Older", Summary: "s < t", Page: "https://example.org/a/towns/x/?a=1&b=2", Updated: day.Of(2025, 12, 31)},
			{ID: "urn:uuid:00000000-0000-5000-8000-000000000003", Title: "Newer", Summary: "t", Page: "https://example.org/a/", Updated: day.Of(2026, 6, 30)},
		}}
}

const namespace = "http://www.w3.org/2005/Atom"

// element is a parsed element, read without any of the types that wrote it.
type element struct {
	name  xml.Name
	attr  map[string]string
	text  string
	child []*element
}

func parse(t *testing.T, data []byte) *element {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(string(data)))
	root := &element{}
	stack := []*element{root}
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return root.child[0]
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, data)
		}
		top := stack[len(stack)-1]
		switch x := tok.(type) {
		case xml.StartElement:
			e := &element{name: x.Name, attr: map[string]string{}}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			top.child = append(top.child, e)
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			top.text += string(x)
		}
	}
}

func (e *element) all(name string) []*element {
	var out []*element
	for _, c := range e.child {
		if c.name.Local == name {
			out = append(out, c)
		}
	}
	return out
}

// one returns the text of the child that must stand exactly once.
func (e *element) one(t *testing.T, name string) string {
	t.Helper()
	found := e.all(name)
	if len(found) != 1 || found[0].text == "" {
		t.Fatalf("%s has %d of %s", e.name.Local, len(found), name)
	}
	return found[0].text
}

func encode(t *testing.T, f Feed) *element {
	t.Helper()
	data, err := f.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return parse(t, data)
}

// RFC 4287 4.1.1: exactly one id, title and updated, an author, and a link
// rel=self.
func TestFeedElement(t *testing.T) {
	root := encode(t, sample())
	if root.name != (xml.Name{Space: namespace, Local: "feed"}) {
		t.Errorf("the root is %v", root.name)
	}
	for _, e := range append(root.child, root) {
		if e.name.Space != namespace {
			t.Errorf("%s is in %q", e.name.Local, e.name.Space)
		}
	}
	root.one(t, "id")
	if got := root.one(t, "title"); got != `Figs & <b>Friends</b>` {
		t.Errorf("title %q", got)
	}
	if got := root.one(t, "updated"); got != "2026-06-30T00:00:00Z" {
		t.Errorf("updated %q is not the newest entry's", got)
	}
	if authors := root.all("author"); len(authors) != 1 || authors[0].one(t, "name") != "Circle" {
		t.Error("no author")
	}
	rels := map[string]string{}
	for _, l := range root.all("link") {
		rels[l.attr["rel"]] = l.attr["href"]
	}
	if rels["self"] != "https://example.org/a/feed.xml" || rels["alternate"] != "https://example.org/a/" {
		t.Errorf("links %v", rels)
	}
}

// RFC 4287 4.1.2: exactly one id, title and updated, and a link rel=alternate
// where there is no content.
func TestEntryElements(t *testing.T) {
	entries := encode(t, sample()).all("entry")
	if len(entries) != 2 {
		t.Fatalf("%d entries", len(entries))
	}
	for _, e := range entries {
		e.one(t, "id")
		e.one(t, "title")
		e.one(t, "updated")
		if len(e.all("content")) != 0 {
			t.Error("an entry has content: is its link still needed?")
		}
		if l := e.all("link"); len(l) != 1 || l[0].attr["rel"] != "alternate" || l[0].attr["href"] == "" {
			t.Error("an entry has not one link rel=alternate")
		}
	}
	if got := entries[0].one(t, "summary"); got != "s < t" {
		t.Errorf("summary %q", got)
	}
	if got := entries[0].all("link")[0].attr["href"]; got != "https://example.org/a/towns/x/?a=1&b=2" {
		t.Errorf("link %q", got)
	}
}

// RFC 4287 3.3 and RFC 3339: upper-case T and Z; 4.2.6: ids are absolute.
func TestDatesAndIDs(t *testing.T) {
	form := regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(Z|[+-]\d\d:\d\d)$`)
	root := encode(t, sample())
	for _, e := range append(root.all("entry"), root) {
		if got := e.one(t, "updated"); !form.MatchString(got) {
			t.Errorf("date %q", got)
		}
		if got := e.one(t, "id"); !strings.HasPrefix(got, "urn:uuid:") {
			t.Errorf("id %q", got)
		}
	}
}

func TestRefused(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Feed)
		says  string
	}{
		"no title":       {func(f *Feed) { f.Title = "" }, "title"},
		"no author":      {func(f *Feed) { f.Author = "" }, "author"},
		"no entry":       {func(f *Feed) { f.Entries = nil }, "entry"},
		"no id":          {func(f *Feed) { f.ID = "" }, "IRI"},
		"relative id":    {func(f *Feed) { f.Entries[0].ID = "towns/x/" }, "IRI"},
		"no entry title": {func(f *Feed) { f.Entries[1].Title = "" }, "title"},
		"no entry page":  {func(f *Feed) { f.Entries[1].Page = "" }, "page"},
		"no entry date":  {func(f *Feed) { f.Entries[1].Updated = day.None }, "date"},
		// RFC 4287 4.1.1: two entries with one id are one entry.
		"one id twice":      {func(f *Feed) { f.Entries[1].ID = f.Entries[0].ID }, "twice"},
		"the feed's own id": {func(f *Feed) { f.Entries[1].ID = f.ID }, "twice"},
	} {
		t.Run(name, func(t *testing.T) {
			f := sample()
			c.spoil(&f)
			if _, err := f.Encode(); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("says %v, want %q", err, c.says)
			}
		})
	}
}
