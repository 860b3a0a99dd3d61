package page_test

import (
	"crypto/sha256"
	"encoding/base64"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

var oneFile = regexp.MustCompile(`^([a-z]{2}/)?towns/([^/]+)/ripeward-([a-z0-9-]+)\.html$`)

// standsAlone checks that a page in one file is allowed its own style and
// scripts and nothing else, asks for no other file, and has no link that leads
// nowhere: inside the page, or to a whole address below site.
func standsAlone(t *testing.T, data []byte, site string) {
	t.Helper()
	d := parse(t, data)
	policy, inside := "", []string{}
	for n := range d.root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		for _, a := range n.Attr {
			if a.Key == "style" || a.Key == "src" || strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s> has %s=%q", n.Data, a.Key, a.Val)
			}
		}
		switch {
		case n.DataAtom == atom.Style || n.DataAtom == atom.Script:
			sum := sha256.Sum256([]byte(n.FirstChild.Data))
			inside = append(inside, "'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
		case n.DataAtom == atom.Meta && attr(n, "http-equiv") == "Content-Security-Policy":
			policy = attr(n, "content")
		case n.DataAtom == atom.Link && attr(n, "href") != "data:,":
			t.Errorf("a link element to %s", attr(n, "href"))
		case n.DataAtom == atom.A && strings.HasPrefix(attr(n, "href"), "#"):
			if id := attr(n, "href")[1:]; !d.ids[id] {
				t.Errorf("no place %q in the page", id)
			}
		case n.DataAtom == atom.A && (site == "" || !strings.HasPrefix(attr(n, "href"), site)):
			t.Errorf("a link to %q", attr(n, "href"))
		}
	}
	if len(inside) != 3 || policy != "default-src 'none'; img-src data:; style-src "+inside[0]+"; script-src "+inside[1]+" "+inside[2]+"; base-uri 'none'; form-action 'none'" {
		t.Errorf("the policy is %q, the parts are %v", policy, inside)
	}
	if !strings.Contains(string(data), `<meta name="robots" content="noindex">`) {
		t.Error("the page may be found by searching")
	}
}

// Every town has a page in one file: whole, not heavier than 250 kB, named by
// no sitemap, kept by no service worker, and linked from the town's page.
func TestOneFile(t *testing.T) {
	eachSite(t, func(t *testing.T, files map[string][]byte, base string) {
		site, n := "", 0
		if base != "" {
			site = "https://almanac.example.org" + base
		}
		for _, at := range slices.Sorted(maps.Keys(files)) {
			if !oneFile.MatchString(at) {
				continue
			}
			n++
			standsAlone(t, files[at], site)
			d := parse(t, files[at])
			headings(t, d)
			tableCells(t, d)
			drawings(t, files[at])
			words(t, at, d, files[at])
			if len(files[at]) > 250_000 {
				t.Errorf("%s weighs %d bytes", at, len(files[at]))
			}
			town := text(t, files, path.Dir(at)+"/index.html")
			if !strings.Contains(town, `href="../../`+at+`" download`) {
				t.Errorf("the town's page does not offer %s", at)
			}
			if a, b := len(svgElement.FindAllString(town, -1)), len(svgElement.FindAll(files[at], -1)); a != b {
				t.Errorf("%s has %d charts, the town's page %d", at, b, a)
			}
			if strings.Contains(string(files["sitemap.xml"]), "ripeward-") {
				t.Error("the sitemap names it")
			}
		}
		if n == 0 || n != strings.Count(strings.Join(slices.Collect(maps.Keys(files)), "\n"), "/sheet/index.html")-countCultivarSheets(files) {
			t.Errorf("%d pages in one file", n)
		}
	})
}

func countCultivarSheets(files map[string][]byte) int {
	n := 0
	for at := range files {
		if strings.HasPrefix(at, "cultivars/") && strings.HasSuffix(at, "/sheet/index.html") {
			n++
		}
	}
	return n
}

// From a stick, with nothing beside it, the page shows its style and charts,
// its switches work, and it asks for nothing.
func TestOneFileOpens(t *testing.T) {
	long(t)
	b := openBrowser(t)
	files := bilingual(t, nil)
	for _, at := range slices.Sorted(maps.Keys(files)) {
		if m := oneFile.FindStringSubmatch(at); m == nil || m[2] != string(demoBook(t).Towns[0].Row.ID) {
			continue
		}
		folder := t.TempDir()
		writeSite(t, map[string][]byte{path.Base(at): files[at]}, folder)
		b.root = "file://" + folder + "/" + path.Base(at) // the one request there may be
		b.open("")
		shown := func(class string) bool {
			return eval[bool](b, `getComputedStyle(document.querySelector("main .`+class+`")).display !== "none"`)
		}
		if !eval[bool](b, `getComputedStyle(document.querySelector(".top")).borderBottomStyle === "double" && !document.querySelector(".switches").hidden`) {
			t.Errorf("%s: style or scripts do not apply", at)
		}
		if eval[float64](b, `document.querySelector("main svg").getBoundingClientRect().width`) < 100 {
			t.Errorf("%s: no chart to be seen", at)
		}
		if !shown("m") || shown("u") {
			t.Errorf("%s: the club's own units are not the ones shown first", at)
		}
		b.press(`[data-switch=units] [data-set=u]`)
		if shown("m") || !shown("u") {
			t.Errorf("%s: the switch to °F does nothing", at)
		}
		b.press(`[data-switch=theme] [data-set=dark]`)
		if !eval[bool](b, `document.documentElement.getAttribute("data-theme") === "dark" && getComputedStyle(document.body).backgroundColor !== "rgb(252, 249, 242)"`) {
			t.Errorf("%s: the switch to dark does nothing", at)
		}
		for _, width := range []int64{320, 360, 740, 800, 1020, 1280} {
			b.do(chromedp.EmulateViewport(width, 900))
			if by := eval[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); by > 0 {
				t.Errorf("%s scrolls sideways by %d px at a width of %d", at, by, width)
			}
		}
		b.press(`[data-switch=units] [data-set=m]`)
		b.press(`[data-switch=theme] [data-set=auto]`)
		b.quiet()
	}
}
