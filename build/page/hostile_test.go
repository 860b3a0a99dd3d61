package page_test

import (
	"encoding/csv"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/page"
)

// hostile returns 200 texts that strangers could send, each with its number in
// it: scripts, handlers, addresses that run, template marks of the house, cells
// that a spreadsheet runs, Markdown, tricks of writing, and length.
func hostile() []string {
	forms := []string{
		`<script>pwned=%d</script>`, `</title><script>pwned=%d</script>`, `"><script>pwned=%d</script>`, `'><script>pwned=%d</script>`, `<ScRiPt src=//x.example/%d></sCrIpT>`,
		`<img src=x onerror=pwned=%d>`, `"><img src=x onerror="pwned=%d">`, `" onmouseover="pwned=%d" x="`, `' onfocus='pwned=%d' autofocus tabindex='1`, `<svg onload=pwned=%d>`,
		`<svg><script>pwned=%d</script></svg>`, `<details open ontoggle=pwned=%d>`, `<body onload=pwned=%d>`, `<iframe srcdoc="<script>pwned=%d</script>">`, `<iframe src="javascript:pwned=%d">`,
		`<a href="javascript:pwned=%d">x</a>`, `javascript:pwned=%d`, `data:text/html,<script>pwned=%d</script>`, `<base href="https://x.example/%d/">`, `<meta http-equiv="refresh" content="0;url=https://x.example/%d">`,
		`<link rel=stylesheet href=https://x.example/%d.css>`, `<style>*{background:url(https://x.example/%d)}</style>`, `</style><script>pwned=%d</script>`, `</script><script>pwned=%d</script>`, `</textarea><script>pwned=%d</script>`,
		`<!--><script>pwned=%d</script>-->`, `--><script>pwned=%d</script>`, `]]><script>pwned=%d</script>`, `<![CDATA[<script>pwned=%d</script>]]>`, `&lt;script&gt;pwned=%d&lt;/script&gt;`,
		`{{.Club}} %d`, `{{template "base" .}} %d`, `[[What ripens, {{.Year}}]] %d`, `[[x]] %d`, `${pwned=%d}`,
		"`${pwned=%d}`", `";pwned=%d;//`, `';pwned=%d;//`, `\";pwned=%d;//`, "\u2028pwned=%d\u2029",
		`=HYPERLINK("https://x.example/%d")`, `+cmd|'/c calc'!A%d`, `-2+3+cmd|' /c calc'!A%d`, `@SUM(A%d)`, `%%s %%d %%!x(%d)`,
		`[x](javascript:pwned=%d)`, `![x](https://x.example/%d.png)`, `%%%%%% title: x %d`, "```ripeward:zones %d", `../../../etc/passwd %d`,
		`..\..\windows\%d`, `/etc/passwd?%d`, `x' OR '1'='1 %d`, `"quoted" & <b>bold</b> %d`, `&#x3C;script&#x3E;pwned=%d`,
		`＜script＞pwned=%d＜/script＞`, "a\u0301\u0302\u0303\u0304\u0305\u0306\u0307\u0308 %d", "\u200bzero\u200dwidth\ufeff %d", "שלום \u200f%d עולם", "🏳️‍🌈👨‍👩‍👧‍👦 %d",
		`<x-y z="%d">`, `<form action=https://x.example/%d><button>`, `<input autofocus onfocus=pwned=%d>`, `<math><mtext><script>pwned=%d</script>`, `<noscript><p title="</noscript><img src=x onerror=pwned=%d>">`,
		strings.Repeat("verylongword", 60) + "%d",
	}
	all := make([]string, 200)
	for i := range all {
		all[i] = fmt.Sprintf(forms[i%len(forms)], 1000+i)
	}
	return all
}

// freeTexts are the columns that hold words of people; the rest are ids,
// numbers and words of closed lists, which loading checks.
var freeTexts = []string{"name", "about", "latin", "also_called", "source", "eye", "skin", "flavour", "notes", "why", "caution", "cautions", "part", "credit", "licence", "name_as_given", "observation_time"}

// attacked is a book with hostile texts in every text of every table and of the
// settings, in two languages, beginning with the text of number from; n is how
// many were put.
func attacked(b *almanac.Book, from int) (book *almanac.Book, n int) {
	texts := hostile()
	next := func() string { n++; return texts[(from+n-1)%len(texts)] }
	c := b.Club
	tables := reflect.ValueOf(c).Elem()
	for i := range tables.NumField() {
		rows := tables.Field(i)
		if rows.Kind() != reflect.Slice || rows.Type().Elem().Kind() != reflect.Struct {
			continue
		}
		for r := range rows.Len() {
			row := rows.Index(r)
			base := row.FieldByName("Row")
			if !base.IsValid() {
				continue
			}
			other := map[string]string{}
			for f := range row.NumField() {
				column := row.Type().Field(f).Tag.Get("csv")
				if !slices.Contains(freeTexts, column) {
					continue
				}
				switch row.Field(f).Interface().(type) {
				case club.Text:
					row.Field(f).SetString(next())
				case club.List:
					row.Field(f).Set(reflect.ValueOf(club.List{next(), next()}))
				}
				other[column+"_fr"] = next()
			}
			base.Set(reflect.ValueOf(club.Row{Other: other}))
		}
	}
	if from == 0 {
		c.Methods[0].Name = `</style><script>pwned=1</script>`
	}
	s := &c.Settings
	for _, x := range []*string{&s.Name, &s.Tagline, &s.Notice, &s.DataLicence, &s.Contact, &s.Currency} {
		*x = next()
	}
	s.Other = map[string]string{"name_fr": next(), "tagline_fr": next(), "notice_fr": next()}
	s.Languages = []string{"en", "fr"}
	for i := range b.Towns {
		for _, row := range c.Towns {
			if row.ID == b.Towns[i].Row.ID {
				b.Towns[i].Row = row
			}
		}
	}
	for i := range b.Stations {
		b.Stations[i].Name = next()
	}
	for i := range c.Dropped {
		c.Dropped[i].Message = next()
	}
	for i := range b.Problems {
		b.Problems[i].Message, b.Problems[i].Hint = next(), next()
	}
	return b, n
}

// attackedSite has them in Markdown too, a paragraph, a heading and a cell each.
func attackedSite(t *testing.T, from int) map[string][]byte {
	b, n := attacked(wintry(), from)
	if n < 150 {
		t.Fatalf("only %d texts are put", n)
	}
	var text strings.Builder
	text.WriteString("%%%\ntitle: <script>pwned=1</script>{{.}}\nsummary: \"><img src=x onerror=pwned=2>\n%%%\n")
	for i, x := range hostile() {
		fmt.Fprintf(&text, "\n## %d %s\n\n%s\n\n| a |\n|---|\n| %s |\n\n[x%d](<%s>)\n\n> %s\n", i, x, x, x, i, strings.NewReplacer("<", "", ">", "").Replace(x), x)
	}
	files, _ := render(t, b, page.Options{Content: fstest.MapFS{"guides/hostile.md": {Data: []byte(text.String())}, "home.md": {Data: []byte("%%%\ntitle: x\n%%%\n<script>pwned=3</script>\n\n<img src=x onerror=pwned=4>\n")}}})
	return files
}

// Nothing of what strangers write becomes an element, an attribute or an
// address that runs, and nothing is fetched; it is shown as it is.
func TestHostileTexts(t *testing.T) {
	seen := map[string]bool{}
	for _, from := range []int{0, 100} { // the book has fewer places than there are texts
		shown(t, attackedSite(t, from), seen)
	}
	for _, x := range []string{"{{.Club}} 1030", "[[What ripens, {{.Year}}]] 1032", "[[x]] 1033", "<script>pwned=1000</script>", `<img src=x onerror=pwned=1005>`} {
		if !seen[x] {
			t.Errorf("%s is on no page as it was written", x)
		}
	}
	if len(seen) < 150 {
		t.Errorf("only %d of the texts are shown as they were written", len(seen))
	}
}

// shown checks every file of a site and notes the texts that its pages show.
func shown(t *testing.T, files map[string][]byte, seen map[string]bool) {
	t.Helper()
	pages := 0
	for _, at := range slices.Sorted(maps.Keys(files)) {
		if strings.Contains(at, "..") {
			t.Errorf("a path that climbs: %s", at)
		}
		switch {
		case strings.HasSuffix(at, ".csv"):
			spreadsheet(t, at, files[at])
		case strings.HasSuffix(at, ".html"):
			pages++
			root, err := html.Parse(strings.NewReader(string(files[at])))
			if err != nil {
				t.Fatal(err)
			}
			for n := range root.Descendants() {
				if n.Type == html.ElementNode {
					harmless(t, at, n, oneFile.MatchString(at))
				}
			}
			all := textOf(root)
			for _, x := range hostile() {
				if strings.Contains(all, x) {
					seen[x] = true
				}
			}
		}
	}
	if pages < 30 {
		t.Errorf("only %d pages", pages)
	}
}

// ourScript is where a page's scripts stand: among the assets, or a list of
// numbers beside the page.
var ourScript = regexp.MustCompile(`^(/figs/|(\.\./)*)(assets/[a-z0-9.-]+\.js|sets\.js|reckon\.js)$`)

// inCSSText is a text in quotation marks of a style sheet.
var inCSSText = regexp.MustCompile(`"(\\.|[^"\\])*"`)

// harmless checks one element of a page; one file to carry away has its own
// style and script inside, allowed by their hashes, which its own test checks.
func harmless(t *testing.T, at string, n *html.Node, carried bool) {
	t.Helper()
	switch n.Data {
	case "script":
		if !carried && attr(n, "type") != "application/ld+json" && (n.FirstChild != nil || !ourScript.MatchString(attr(n, "src"))) {
			t.Errorf("%s: a script of %q", at, attr(n, "src"))
		}
		if n.FirstChild != nil && attr(n, "type") != "application/ld+json" && strings.Contains(n.FirstChild.Data, "pwned") {
			t.Errorf("%s: a text inside a script", at)
		}
	case "style":
		// The names of methods are labels of narrow tables: texts of the sheet.
		if !carried || strings.ContainsAny(inCSSText.ReplaceAllString(n.FirstChild.Data, ""), "<") || strings.Contains(inCSSText.ReplaceAllString(n.FirstChild.Data, ""), "x.example") {
			t.Errorf("%s: a style", at)
		}
	case "iframe", "object", "embed", "base", "math", "x-y", "frame", "applet":
		t.Errorf("%s: <%s>", at, n.Data)
	case "meta":
		if attr(n, "http-equiv") == "refresh" {
			t.Errorf("%s: leads elsewhere by itself", at)
		}
	case "form":
		if strings.Contains(attr(n, "action"), ":") {
			t.Errorf("%s: a form that sends to %s", at, attr(n, "action"))
		}
	}
	for _, a := range n.Attr {
		v := strings.ToLower(strings.TrimSpace(a.Val))
		switch {
		case strings.HasPrefix(a.Key, "on"), a.Key == "style", a.Key == "srcdoc", a.Key == "autofocus":
			t.Errorf("%s: <%s %s=%q>", at, n.Data, a.Key, a.Val)
		case a.Key == "href" || a.Key == "src" || a.Key == "xlink:href" || a.Key == "action":
			if strings.HasPrefix(v, "javascript:") || strings.HasPrefix(v, "vbscript:") || strings.HasPrefix(v, "data:") && !carried {
				t.Errorf("%s: <%s %s=%q>", at, n.Data, a.Key, a.Val)
			}
			if n.Data != "a" && n.Data != "link" && (strings.Contains(v, "://") || strings.HasPrefix(v, "//")) {
				t.Errorf("%s: <%s> fetches %q", at, n.Data, a.Val)
			}
			if n.Data == "link" && strings.Contains(v, "x.example") {
				t.Errorf("%s: <link> to %q", at, a.Val)
			}
		}
	}
}

// spreadsheet checks that no cell of a table would be run.
func spreadsheet(t *testing.T, at string, data []byte) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff"))).ReadAll()
	if err != nil {
		t.Errorf("%s: %v", at, err)
	}
	for _, row := range rows {
		for _, cell := range row {
			if strings.HasPrefix(cell, "=") || strings.HasPrefix(cell, "@") || strings.HasPrefix(cell, "+cmd") || strings.HasPrefix(cell, "-2+3") {
				t.Errorf("%s: a cell %q", at, cell)
			}
		}
	}
}

// In a browser nothing of it runs, no dialog opens, the policy has nothing to
// report, and no other host is asked.
func TestBrowserHostileTexts(t *testing.T) {
	long(t)
	for _, from := range []int{0, 100} {
		nothingRuns(t, attackedSite(t, from))
	}
}

func nothingRuns(t *testing.T, files map[string][]byte) {
	t.Helper()
	b := openBrowserOn(t, func() map[string][]byte { return files })
	pages := 0
	for _, at := range slices.Sorted(maps.Keys(files)) {
		if !strings.HasSuffix(at, ".html") || strings.HasSuffix(at, "404.html") { // which knows its style by the address of the site
			continue
		}
		pages++
		b.open(at)
		b.do(chromedp.WaitReady(chromedp.CSS("body")))
		got := eval[string](b, `String(window.pwned) + " " + document.querySelectorAll("iframe, object, embed, base, [onerror], [onload], [onclick], [onfocus]").length`)
		if got != "undefined 0" {
			t.Errorf("%s: %s", at, got)
		}
	}
	b.quiet()
	t.Logf("%d pages opened, nothing ran", pages)
}
