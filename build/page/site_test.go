package page_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"ripeward/build/club"
	"ripeward/build/page"
)

// The sites that every check runs over: the demonstration club's, and a small
// one made of awkward cases, without and with the rest of the year.
func eachSite(t *testing.T, check func(t *testing.T, files map[string][]byte, base string)) {
	t.Run("demo", func(t *testing.T) { check(t, demoSite(t), "") })
	t.Run("hard", func(t *testing.T) {
		files, _ := render(t, hard(), page.Options{Version: "0"})
		check(t, files, "/figs/")
	})
	t.Run("wintry", func(t *testing.T) {
		files, _ := render(t, wintry(), page.Options{Version: "0"})
		check(t, files, "/figs/")
	})
}

// doc is a parsed page.
type doc struct {
	root *html.Node
	ids  map[string]bool
}

func parse(t *testing.T, data []byte) doc {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	d := doc{root: root, ids: map[string]bool{}}
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			if id := attr(n, "id"); id != "" {
				if d.ids[id] {
					t.Errorf("id %q occurs twice", id)
				}
				d.ids[id] = true
			}
		}
	}
	return d
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
}

func textOf(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.TrimSpace(b.String())
}

func TestEveryPage(t *testing.T) {
	eachSite(t, func(t *testing.T, files map[string][]byte, base string) {
		docs := map[string]doc{}
		for _, at := range slices.Sorted(maps.Keys(files)) {
			if isPage(at) {
				docs[at] = parse(t, files[at])
			}
		}
		if len(docs) < 15 {
			t.Fatalf("only %d pages", len(docs))
		}
		for _, at := range slices.Sorted(maps.Keys(docs)) {
			t.Run(at, func(t *testing.T) {
				strict(t, docs[at])
				headings(t, docs[at])
				tableCells(t, docs[at])
				links(t, at, base, docs, files)
				drawings(t, files[at])
				words(t, at, docs[at], files[at])
			})
		}
	})
}

// strict checks that a strict content security policy holds: no inline style,
// script or handler.
func strict(t *testing.T, d doc) {
	csp := ""
	for n := range d.root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s> has an inline %s", n.Data, a.Key)
			}
		}
		switch {
		case n.Data == "style":
			t.Error("a style element")
		case n.Data == "script" && attr(n, "type") == "application/ld+json": // data, which no browser runs
			if n.FirstChild == nil || !json.Valid([]byte(n.FirstChild.Data)) {
				t.Error("the page's description is no JSON")
			}
		case n.Data == "script" && (attr(n, "src") == "" || n.FirstChild != nil):
			t.Error("an inline script")
		case n.Data == "meta" && attr(n, "http-equiv") == "Content-Security-Policy":
			csp = attr(n, "content")
		case n.Data == "html" && attr(n, "lang") == "":
			t.Error("the page has no language")
		}
	}
	if !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") {
		t.Errorf("policy %q", csp)
	}
}

// headings checks one h1, first, and no level left out.
func headings(t *testing.T, d doc) {
	last, ones := 0, 0
	for n := range d.root.Descendants() {
		if n.Type != html.ElementNode || len(n.Data) != 2 || n.Data[0] != 'h' || n.Data[1] < '1' || n.Data[1] > '6' {
			continue
		}
		level := int(n.Data[1] - '0')
		if level == 1 {
			ones++
		}
		if level > last+1 {
			t.Errorf("heading %q of level %d follows level %d", textOf(n), level, last)
		}
		if textOf(n) == "" {
			t.Errorf("an empty heading of level %d", level)
		}
		last = level
	}
	if ones != 1 {
		t.Errorf("%d headings of level 1", ones)
	}
}

// tableCells checks captions and the scope of every heading cell, and that rows
// are equally long.
func tableCells(t *testing.T, d doc) {
	for n := range d.root.Descendants() {
		if n.DataAtom != atom.Table {
			continue
		}
		caption, columns := "", 0
		for c := range n.Descendants() {
			switch c.DataAtom {
			case atom.Caption:
				caption = textOf(c)
			case atom.Th:
				if s := attr(c, "scope"); s != "col" && s != "row" {
					t.Errorf("heading cell %q has scope %q", textOf(c), s)
				}
			case atom.Tr:
				k := 0
				for x := range c.ChildNodes() {
					if x.DataAtom == atom.Td || x.DataAtom == atom.Th {
						k++
					}
				}
				if columns == 0 {
					columns = k
				} else if k != columns {
					t.Errorf("table %q: a row of %d cells under %d columns", caption, k, columns)
				}
			}
		}
		inProse := false
		for a := range n.Ancestors() {
			inProse = inProse || a.DataAtom == atom.Article
		}
		if caption == "" && !inProse {
			t.Errorf("a table without a caption: %.80q", textOf(n))
		}
	}
}

// links checks that every address inside the site names a file and, with a
// fragment, a place in it; that nothing is fetched from elsewhere; and that
// pages are linked in the form that opens from a plain folder.
func links(t *testing.T, at, base string, docs map[string]doc, files map[string][]byte) {
	for n := range docs[at].root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		for _, key := range []string{"href", "src"} {
			if !has(n, key) {
				continue
			}
			to := attr(n, key)
			if strings.Contains(to, ":") {
				canonical := n.Data == "link" && attr(n, "rel") == "canonical"
				if n.Data != "a" && !canonical {
					t.Errorf("<%s> fetches %s", n.Data, to)
				}
				if strings.HasPrefix(strings.ToLower(to), "javascript:") {
					t.Errorf("a script address: %s", to)
				}
				continue
			}
			file, frag, _ := strings.Cut(to, "#")
			where := at
			switch {
			case file == "":
			case strings.HasPrefix(file, "/"):
				if at != "404.html" || !strings.HasPrefix(file, base) {
					t.Errorf("%s is not relative", to)
					continue
				}
				where = strings.TrimPrefix(file, base)
			default:
				where = path.Join(path.Dir(at), file)
			}
			if _, ok := files[where]; !ok {
				t.Errorf("link to %s: there is no %s", to, where)
				continue
			}
			if strings.Contains(frag, "=") {
				continue // a choice that the page's script reads
			}
			if plain, err := url.PathUnescape(frag); err == nil {
				frag = plain // as a browser looks for it
			}
			if frag != "" && !docs[where].ids[frag] {
				t.Errorf("link to %s: no such place in %s", to, where)
			}
		}
	}
}

var svgElement = regexp.MustCompile(`(?s)<svg.*?</svg>`)

// drawings checks that every chart is well-formed XML with a name and a text
// alternative.
func drawings(t *testing.T, data []byte) {
	for _, svg := range svgElement.FindAll(data, -1) {
		dec := xml.NewDecoder(bytes.NewReader(svg))
		seen := map[string]bool{}
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Errorf("a chart is not XML: %v in %.120s", err, svg)
				break
			}
			if e, ok := tok.(xml.StartElement); ok {
				seen[e.Name.Local] = true
			}
		}
		if !seen["title"] || !seen["desc"] {
			t.Errorf("a chart without title or desc: %.120s", svg)
		}
	}
}

var (
	percentileWord = regexp.MustCompile(`\b[pP][1-9]0\b`)
	twiceEscaped   = regexp.MustCompile(`&amp;(amp|lt|gt|quot|#\d+);`)
	oneMany        = regexp.MustCompile(`(?:^|[^.\d\w])(1|one) (years|winters|days|weeks|towns|cultivars|stations)\b`)
	leftOver       = regexp.MustCompile(`%!|<no value>|\bNaN\b|\+Inf|ZgotmplZ|\{\{`)
)

// words checks what every page has to say, and marks of broken printing.
func words(t *testing.T, at string, d doc, data []byte) {
	all := textOf(d.root)
	if twiceEscaped.Match(data) {
		t.Errorf("escaped twice: %s", around(data, twiceEscaped))
	}
	if leftOver.Match(data) {
		t.Errorf("left over: %s", around(data, leftOver))
	}
	if percentileWord.MatchString(all) {
		t.Errorf("a percentile's short name on a page: %s", around([]byte(all), percentileWord))
	}
	for _, must := range []string{"Please note.", "A planning aid, not a forecast.", "Check your national weather service", "Data to", "station"} {
		if !strings.Contains(all, must) {
			t.Errorf("the page does not say %q", must)
		}
	}
	if oneMany.MatchString(all) {
		t.Errorf("one of many: %s", around([]byte(all), oneMany))
	}
	if strings.HasSuffix(at, "/index.html") && !strings.Contains(string(data), `name="description"`) && !strings.HasPrefix(at, "guides/") {
		t.Error("no description")
	}
}

func around(data []byte, re *regexp.Regexp) string {
	at := re.FindIndex(data)
	return string(data[max(0, at[0]-60):min(len(data), at[1]+60)])
}

// Limits of a page's weight in bytes, uncompressed.
func TestWeight(t *testing.T) {
	for at, data := range demoSite(t) {
		limit := 120_000
		switch {
		case strings.HasSuffix(at, "/all/index.html"), strings.HasPrefix(at, "plan/") && at != "plan/index.html":
			limit = 300_000
		case strings.HasSuffix(at, "/why/index.html"), strings.HasSuffix(at, "/this-season/index.html"), strings.HasSuffix(at, "/year/index.html"):
			limit = 210_000
		case oneFile.MatchString(at):
			limit = 250_000
		case strings.HasPrefix(at, "downloads/") && !isPage(at):
			continue
		case strings.HasPrefix(at, "towns/"):
			limit = 100_000
		case strings.HasPrefix(at, "assets/"):
			limit = 45_000
		}
		if len(data) > limit {
			t.Errorf("%s weighs %d bytes, more than %d", at, len(data), limit)
		}
	}
}

// Nothing in the assets asks for anything beyond the site.
func TestNothingLeaves(t *testing.T) {
	banned := regexp.MustCompile(`(?i)https?:|@import|url\(|fetch\(|XMLHttpRequest|sendBeacon|WebSocket|EventSource|importScripts|import\(`)
	n := 0
	for at, data := range demoSite(t) {
		if !strings.HasPrefix(at, "assets/") {
			continue
		}
		n++
		if strings.HasSuffix(at, ".svg") {
			data = bytes.ReplaceAll(data, []byte("http://www.w3.org/2000/svg"), nil)
		}
		if banned.Match(data) {
			t.Errorf("%s: %s", at, around(data, banned))
		}
	}
	if n < 4 {
		t.Errorf("only %d assets", n)
	}
}

func TestSameBytes(t *testing.T) {
	b := demoBook(t)
	one, _ := render(t, b, page.Options{Jobs: 1})
	four, _ := render(t, b, page.Options{Jobs: 4})
	if len(one) != len(four) {
		t.Fatalf("%d files with one job, %d with four", len(one), len(four))
	}
	for at := range one {
		if !bytes.Equal(one[at], four[at]) {
			t.Errorf("%s differs between one job and four", at)
		}
	}
}

// A zone of 70 towns has a grid in two parts, none wider than 60 towns.
func TestGridParts(t *testing.T) {
	b := hard()
	first := b.Towns[0]
	b.Club.Towns, b.Towns = nil, nil
	for i := range 70 {
		x := first
		x.Row.ID, x.Row.Name, x.Row.ZoneID = textID(i), textID(i), "north"
		b.Club.Towns = append(b.Club.Towns, x.Row)
		b.Towns = append(b.Towns, x)
	}
	files, _ := render(t, b, page.Options{})
	seen := 0
	for _, at := range []string{"grid/pot/north/index.html", "grid/pot/north/2/index.html"} {
		d := parse(t, files[at])
		columns := 0
		for n := range d.root.Descendants() {
			if n.DataAtom == atom.Th && attr(n, "scope") == "col" {
				columns++
			}
		}
		if columns-1 > 60 || columns < 2 {
			t.Errorf("%s has %d towns", at, columns-1)
		}
		seen += columns - 1
	}
	if seen != 70 {
		t.Errorf("%d of 70 towns in the parts", seen)
	}
}

func textID(i int) club.Text { return club.Text(fmt.Sprintf("t%02d", i)) }
