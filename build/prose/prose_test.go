package prose_test

import (
	"errors"
	"flag"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/html"

	"ripeward/build/diag"
	"ripeward/build/prose"
)

var update = flag.Bool("update", false, "rewrite the files in testdata")

const card = "%%%\ntitle: A page\n%%%\n"

// options are those of an invented club: two data blocks, one of which
// complains, and a site with two pages and one picture.
func options() prose.Options {
	return prose.Options{
		Blocks: map[string]prose.Block{
			"town-odds": func(c prose.Call) (template.HTML, error) {
				if c.Args["town"] == "" {
					return "", errors.New("town= is missing")
				}
				return template.HTML(`<section id="odds-` + template.HTMLEscapeString(c.Args["town"]) + `">` +
					template.HTMLEscapeString(c.Args["town"]+"|"+c.Args["note"]+"|"+c.Body) + `</section>`), nil
			},
			"heat-table": func(c prose.Call) (template.HTML, error) {
				return "", diag.Problem{Message: "no such crop", Hint: "there is fig"}
			},
		},
		Link: func(dest string) (string, bool) {
			to := map[string]string{"choosing.md": "../choosing/index.html", "files/pot.jpg": "../../files/pot.jpg",
				"choosing.md#früh": "../choosing/index.html#früh"}
			h, ok := to[dest]
			return h, ok
		},
	}
}

func TestProblems(t *testing.T) {
	tests := []struct{ name, src, want string }{
		{"clean", card + "## One\n\nText.\n", ""},
		{"blank lines before the card", "\n\n" + card + "Text.\n", ""},
		{"bom and crlf", "\uFEFF%%%\r\ntitle: A\r\n%%%\r\n<b>x\r\n", `p.md:4:1: HTML is not used in pages: "<b>"`},
		{"no card", "## One\n", "p.md:1:1: the page has no card"},
		{"another card form", "---\ntitle: x\n---\n", "p.md:1:1: the page has no card"},
		{"empty file", "", "p.md:1:1: the page has no card"},
		{"card not closed", "%%%\ntitle: x\n\nText\n", "p.md:1:1: the card is not closed\np.md:4:1: this line of the card is not of the form key: value"},
		{"no title", "%%%\norder: 3\n%%%\n", "p.md:1:1: the card has no title"},
		{"blank title", "%%%\n  title:  \n%%%\n", "p.md:2:3: the title is blank"},
		{"unknown key", "%%%\ntitle: x\n  sumary: y\n%%%\n", `p.md:3:3: the card knows no "sumary"`},
		{"key twice", "%%%\ntitle: x\ntitle: y\n%%%\n", `p.md:3:1: "title" stands twice in the card, first on line 2`},
		{"order not whole", "%%%\ntitle: x\norder:  2.5\n%%%\n", `p.md:3:9: order "2.5" is not a whole number`},
		{"language", "%%%\ntitle: x\nlanguage: English\n%%%\n", `p.md:3:11: "English" is not a language code`},
		{"not utf-8", card + "caf\xe9\n", "p.md:4:4: not UTF-8: byte 0xE9"},
		{"html block", card + "\n<div class=x>\nhello\n</div>\n", `p.md:5:1: HTML is not used in pages: "<div class=x>"`},
		{"html inline", card + "a <em>b</em>\n", "p.md:4:3: HTML is not used in pages: \"<em>\"\np.md:4:8: HTML is not used in pages: \"</em>\""},
		{"html comment", card + "<!-- note -->\n", `p.md:4:1: HTML is not used in pages: "<!-- note -->"`},
		{"script link", card + "see [x](javascript:alert) now\n", `p.md:4:5: a link may not start with "javascript:"`},
		{"script link, odd case", card + "[x](JaVaScript:alert)\n", `p.md:4:1: a link may not start with "JaVaScript:"`},
		{"script link, entity", card + "[x](java&#115;cript:alert)\n", `p.md:4:1: a link may not start with "javascript:"`},
		{"script link, tab", card + "[x](<java&#9;script:alert>)\n", `p.md:4:1: the address "java\tscript:alert" cannot be used`},
		{"script link, entity twice", card + "[x](java&amp;#115;cript:alert)\n", `p.md:4:1: the link "java&#115;cript:alert" leads nowhere`},
		{"script autolink", card + "a <javascript:x>\n", `p.md:4:3: a link may not start with "javascript:"`},
		{"data picture", card + "![a](data:image/png;base64,AAAA)\n", `p.md:4:1: the picture "data:image/png;base64,AAAA" would be fetched from elsewhere`},
		{"picture from elsewhere", card + "![a](https://example.org/a.png)\n", `p.md:4:1: the picture "https://example.org/a.png" would be fetched from elsewhere`},
		{"host without scheme", card + "[x](//example.org)\n", `p.md:4:1: the address "//example.org" cannot be used`},
		{"dead link", card + "- a\n- see [x](chosing.md)\n", `p.md:5:7: the link "chosing.md" leads nowhere`},
		{"dead picture", card + "![a pot](files/pt.jpg)\n", `p.md:4:1: the picture "files/pt.jpg" leads nowhere`},
		{"dead place", card + "## Früh\n\n[a](#früh) [b](#fr%C3%BCh) [c](#frueh)\n", `p.md:6:29: no place "#frueh" on this page`},
		{"no address", card + "[x]()\n", "p.md:4:1: a link without an address"},
		{"picture without words", card + "![](files/pot.jpg)\n", "p.md:4:1: warning: a picture without a description"},
		{"level 1", card + "# One\n", "p.md:4:1: warning: a heading of level 1 inside the page"},
		{"level left out", card + "## One\n\ntext\n\n#### Two\n", "p.md:8:1: warning: a heading of level 4 follows one of level 2"},
		{"undefined reference", card + "see [the guide][guide] and [x][]\n", "p.md:4:5: warning: link to \"guide\", which is not defined\np.md:4:28: warning: link to \"\", which is not defined"},
		{"undefined reference, marked", card + "see [*the* guide][guide]\n", `p.md:4:17: warning: link to "guide", which is not defined`},
		{"escaped brackets", card + "see \\[x\\][y] and `[a][b]`\n", ""},
		{"link with a space", card + "see [x](my file.md)\n", "p.md:4:5: warning: a link that could not be read"},
		{"footnote", card + "so[^1]\n", "p.md:4:3: warning: footnotes are not used in pages: [^1]"},
		{"defined reference", card + "see [x][y]\n\n[y]: choosing.md\n", ""},
		{"unknown block", card + "```ripeward:town-ods town=a\n```\n", `p.md:4:4: no data block is called "town-ods"`},
		{"unknown prefix", card + "```ripewrd:town-odds town=a\n```\n", `p.md:4:4: "ripewrd:town-odds" calls no data block`},
		{"block complains", card + "text\n\n- item\n\n  ~~~ ripeward:town-odds\n  ~~~\n", "p.md:8:7: ripeward:town-odds: town= is missing"},
		{"block complains with a hint", card + "```ripeward:heat-table\n```\n", "p.md:4:4: ripeward:heat-table: no such crop"},
		{"argument without value", card + "```ripeward:town-odds town=a big\n```\n", `p.md:4:30: "big" is not of the form key=value`},
		{"argument twice", card + "```ripeward:town-odds town=a town=b\n```\n", `p.md:4:30: "town" stands twice`},
		{"open quote", card + "```ripeward:town-odds town=\"a\n```\n", "p.md:4:28: the quote after town= is not closed"},
		{"place in a block", card + "```ripeward:town-odds town=lowmarsh\n```\n[x](#odds-lowmarsh)\n", ""},
		{"in a table cell", card + "| a | b |\n|---|---|\n| x | [y](no.md) |\n", `p.md:6:7: the link "no.md" leads nowhere`},
		{"in a quote", card + "> a\n> <i>b\n", `p.md:5:3: HTML is not used in pages: "<i>"`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, ps := prose.Render("p.md", []byte(tt.src), options())
			var got []string
			for _, p := range ps {
				got = append(got, p.Error())
			}
			if s := strings.Join(got, "\n"); s != tt.want {
				t.Errorf("got\n%s\nwant\n%s", s, tt.want)
			}
		})
	}
}

func TestHints(t *testing.T) {
	tests := []struct{ name, src, want string }{
		{"card key", "%%%\ntitle: x\nsumary: y\n%%%\n", "did you mean summary?"},
		{"block", card + "```ripeward:town-ods\n```\n", "did you mean ripeward:town-odds?"},
		{"far block", card + "```ripeward:zzz\n```\n", "there are heat-table, town-odds"},
		{"block's own", card + "```ripeward:heat-table\n```\n", "there is fig"},
		{"place", card + "## Feeding pots\n\n[x](#feding-pots)\n", "did you mean #feeding-pots?"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, ps := prose.Render("p.md", []byte(tt.src), options())
			if len(ps) != 1 || ps[0].Hint != tt.want {
				t.Errorf("got %+v, want the hint %q", ps, tt.want)
			}
		})
	}
}

func TestPage(t *testing.T) {
	src := "%%%\n# a remark\ntitle: Waking & hardening: off\norder: -3\nlanguage: fr-CA\nsummary: When: to carry\n%%%\n" +
		"## Früh *und* `spät`\n\nOne two wo**rd** [three](choosing.md).\n\n## Früh und spät\n\n### 春の鉢\n\n" +
		"[again](choosing.md) <https://example.org/a?b=1&c=2> [p](#früh-und-spät-2)\n"
	o := options()
	o.IDPrefix = "g-"
	p, ps := prose.Render("p.md", []byte(src), o)
	if len(ps) != 0 {
		t.Fatal(ps)
	}
	if want := (prose.Card{Title: "Waking & hardening: off", Order: -3, Language: "fr-CA", Summary: "When: to carry"}); p.Card != want {
		t.Errorf("card %+v, want %+v", p.Card, want)
	}
	if want := []prose.Heading{{2, "g-früh-und-spät", "Früh und spät"}, {2, "g-früh-und-spät-2", "Früh und spät"}, {3, "g-春の鉢", "春の鉢"}}; !reflect.DeepEqual(p.Headings, want) {
		t.Errorf("headings %v, want %v", p.Headings, want)
	}
	if want := []string{"../choosing/index.html", "https://example.org/a?b=1&c=2", "#g-fr%C3%BCh-und-sp%C3%A4t-2"}; !reflect.DeepEqual(p.Links, want) {
		t.Errorf("links %q, want %q", p.Links, want)
	}
	// 3 + (One two word three) + 3 + 1 + (again, the address, p)
	if p.Words != 14 {
		t.Errorf("%d words, want 14", p.Words)
	}
	for _, want := range []string{`<h2 id="g-früh-und-spät">`, `href="#g-fr%C3%BCh-und-sp%C3%A4t-2"`, `href="../choosing/index.html"`} {
		if !strings.Contains(string(p.Body), want) {
			t.Errorf("no %s in\n%s", want, p.Body)
		}
	}
}

func TestCall(t *testing.T) {
	var got prose.Call
	o := prose.Options{Blocks: map[string]prose.Block{"probe": func(c prose.Call) (template.HTML, error) { got = c; return "<hr>", nil }}}
	src := card + "text\n\n````ripeward:probe  town=lowmarsh  label=\"two \\\"words\\\" \\\\\" empty= x=\"\"\nline one\n  <b>two</b>\n````\n"
	p, ps := prose.Render("p.md", []byte(src), o)
	want := prose.Call{Word: "probe", Args: map[string]string{"town": "lowmarsh", "label": `two "words" \`, "empty": "", "x": ""},
		Body: "line one\n  <b>two</b>\n", Place: diag.Place{File: "p.md", Line: 6, Column: 5}}
	if len(ps) > 0 || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v %v, want %+v", got, ps, want)
	}
	if want := "<p>text</p>\n<hr>\n"; string(p.Body) != want {
		t.Errorf("body %q, want %q", p.Body, want)
	}
}

func TestNothingIsLost(t *testing.T) {
	// What cannot stand as it is leaves its words in the page.
	p, _ := prose.Render("p.md", []byte(card+"a <b>bold</b> [word](javascript:x) ![pot](https://example.org/p.png) <vbscript:y&z>\n\n<table>cell</table>\n\n```go\nx <- y\n```\n"), options())
	want := "<p>a &lt;b&gt;bold&lt;/b&gt; word pot vbscript:y&amp;z</p>\n<pre><code>&lt;table&gt;cell&lt;/table&gt;\n</code></pre>\n" +
		"<pre><code class=\"language-go\">x &lt;- y\n</code></pre>\n"
	if string(p.Body) != want {
		t.Errorf("got\n%s\nwant\n%s", p.Body, want)
	}
}

func TestFragment(t *testing.T) {
	p, ps := prose.Render("zones.csv", []byte("Warm *walls*.\n"), prose.Options{Fragment: true})
	if len(ps) != 0 || p.Body != "<p>Warm <em>walls</em>.</p>\n" {
		t.Errorf("%q %v", p.Body, ps)
	}
}

func TestSlug(t *testing.T) {
	for in, want := range map[string]string{
		"Choosing a cultivar": "choosing-a-cultivar", "  --A  b--": "a-b", "Früh": "früh", "L’été, à 30 °C": "lété-à-30-c",
		"grower's": "growers", "冬": "冬", "!?": "", "İstanbul": "istanbul",
	} {
		if got := prose.Slug(in); got != want {
			t.Errorf("Slug(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestManyAtOnce(t *testing.T) {
	src, err := os.ReadFile("testdata/guide.md")
	if err != nil {
		t.Fatal(err)
	}
	want, _ := prose.Render("guide.md", src, options())
	var wg sync.WaitGroup
	for range 16 {
		wg.Go(func() {
			for range 5 {
				if got, _ := prose.Render("guide.md", src, options()); !reflect.DeepEqual(got, want) {
					t.Error("another page from the same source")
				}
			}
		})
	}
	wg.Wait()
}

func TestGolden(t *testing.T) {
	files, _ := filepath.Glob("testdata/*.md")
	if len(files) == 0 {
		t.Fatal("no pages in testdata")
	}
	known := map[string]bool{}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			src, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			p, ps := prose.Render(filepath.Base(f), src, options())
			if _, err := html.Parse(strings.NewReader(string(p.Body))); err != nil {
				t.Error(err)
			}
			if m := regexp.MustCompile(`(?i)\sstyle=|<style|<script|\son\w+=`).FindString(string(p.Body)); m != "" {
				t.Errorf("the page carries %q", m)
			}
			var b strings.Builder
			fmt.Fprintf(&b, "card %+v\nwords %d\nlinks %q\n", p.Card, p.Words, p.Links)
			for _, h := range p.Headings {
				fmt.Fprintf(&b, "heading %d #%s %s\n", h.Level, h.ID, h.Text)
			}
			for _, problem := range ps {
				fmt.Fprintf(&b, "%v\n  %s\n", problem, problem.Hint)
			}
			fmt.Fprintf(&b, "\n%s", p.Body)
			golden := strings.TrimSuffix(f, ".md") + ".html"
			if *update {
				if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if b.String() != string(want) {
				t.Errorf("%s differs (go test -update rewrites it); got\n%s", golden, b.String())
			}
		})
		known[strings.TrimSuffix(f, ".md")+".html"] = true
	}
	goldens, _ := filepath.Glob("testdata/*.html")
	for _, g := range goldens {
		if !known[g] {
			t.Errorf("%s belongs to no page", g)
		}
	}
}

func FuzzRender(f *testing.F) {
	files, _ := filepath.Glob("testdata/*.md")
	for _, name := range files {
		src, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(src))
	}
	for _, s := range []string{"", "%%%", "%%%\n%%%", "%%%\ntitle:x\n%%%\n<script>alert(1)</script>", card + "[x](javascript:y)",
		card + "<javascript:y>", card + "![a](<x\" onload=y>)", card + "```ripeward:town-odds town=\"<script>\"\n```",
		card + "| <script> |\n|---|\n| `</script>` |", card + "# <script>\n[a][b]\n\n[b]: data:text/html,x 'onerror=\"'", "\x00\r%%%\r", card + "***a** [b*][c]`]("} {
		f.Add(s)
	}
	o := options()
	f.Fuzz(func(t *testing.T, src string) {
		p, ps := prose.Render("p.md", []byte(src), o)
		lines := strings.Count(strings.ReplaceAll(strings.ReplaceAll(src, "\r\n", "\n"), "\r", "\n"), "\n") + 1
		for _, x := range ps {
			if x.Place.File != "p.md" || x.Place.Line < 1 || x.Place.Line > lines || x.Place.Column < 1 {
				t.Errorf("place %v of %q is not in a file of %d lines", x.Place, x.Message, lines)
			}
		}
		z := html.NewTokenizer(strings.NewReader(string(p.Body)))
		for {
			kind := z.Next()
			if kind == html.ErrorToken {
				break
			}
			token := z.Token()
			if kind != html.StartTagToken && kind != html.SelfClosingTagToken {
				continue
			}
			switch token.Data {
			case "script", "style", "iframe", "object", "embed", "svg", "form", "base", "meta", "link":
				t.Errorf("<%s> in the page", token.Data)
			}
			for _, a := range token.Attr {
				v := strings.ToLower(strings.TrimSpace(a.Val))
				if a.Key == "style" || strings.HasPrefix(a.Key, "on") || (a.Key == "href" || a.Key == "src") &&
					(strings.HasPrefix(v, "javascript:") || strings.HasPrefix(v, "data:") || strings.HasPrefix(v, "vbscript:")) {
					t.Errorf("%s=%q in the page", a.Key, a.Val)
				}
			}
		}
	})
}

func BenchmarkRender(b *testing.B) {
	src, err := os.ReadFile("testdata/guide.md")
	if err != nil {
		b.Fatal(err)
	}
	o := options()
	b.ReportAllocs()
	for b.Loop() {
		prose.Render("guide.md", src, o)
	}
}
