package page_test

import (
	"encoding/json"
	"maps"
	"os"
	"regexp"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"ripeward/build/page"
)

// axeFinding is what axe-core says of a page.
type axeFinding struct {
	ID    string
	Help  string
	Nodes []struct {
		HTML   string
		Target []json.RawMessage
	}
}

// Every kind of page, at both widths, in light, dark and forced colours, has
// nothing that axe-core finds fault with (WCAG 2.2 A and AA, best practices).
// RIPEWARD_AXE names axe.min.js of the npm package axe-core; without it the
// test is skipped.
func TestAccessible(t *testing.T) {
	path := os.Getenv("RIPEWARD_AXE")
	if path == "" {
		t.Skip("RIPEWARD_AXE does not name axe.min.js: pages are not run through axe-core")
	}
	axe, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, language := range []string{"en", "fr"} {
		t.Run(language, func(t *testing.T) {
			t.Parallel() // a browser uses one processor
			accessibleIn(t, language, string(axe))
		})
	}
}

func accessibleIn(t *testing.T, language, axe string) {
	files, _ := render(t, inLanguages(demoBook(t), language), page.Options{Content: os.DirFS("../../content"), Version: "0"})
	b := openBrowserOn(t, func() map[string][]byte { return files })
	kinds := kindsOfPages(t, files)
	for _, look := range []struct{ scheme, forced string }{{"light", "none"}, {"dark", "none"}, {"light", "active"}} {
		for _, width := range []int64{1280, 360} {
			if language == "fr" && (look.scheme == "dark" || look.forced == "active") == (width == 360) && os.Getenv("RIPEWARD_EVERY_LOOK") == "" {
				continue // other words in the same colours: every width and every look once
			}
			media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"},
				{Name: "prefers-color-scheme", Value: look.scheme}, {Name: "forced-colors", Value: look.forced}}}
			if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, media); err != nil {
				t.Fatal(err)
			}
			b.do(chromedp.EmulateViewport(width, 900))
			for _, at := range kinds {
				b.open(at)
				b.walkThrough()
				run := axe + `;axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"]}).then(r => r.violations.map(v => ({ID: v.id, Help: v.help, Nodes: v.nodes.map(n => ({HTML: n.html, Target: n.target}))})))`
				found, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]axeFinding](run, chromedp.EvalAwaitPromise))
				if err != nil {
					t.Fatalf("%s: %v", at, err)
				}
				for _, f := range found {
					first := ""
					if len(f.Nodes) > 0 {
						first = f.Nodes[0].HTML
					}
					t.Errorf("%s at %d px, %s, forced colours %s: %s (%s), %d places, first %s", at, width, look.scheme, look.forced, f.ID, f.Help, len(f.Nodes), first)
				}
			}
		}
	}
}

// walkThrough scrolls to the end of a page and back: sections have their true
// size once they have been near, and before that lie over each other for a
// program that measures them.
func (b *browser) walkThrough() {
	b.t.Helper()
	const script = `(async () => {
		const frame = () => new Promise((done) => requestAnimationFrame(done));
		for (let y = 0; y < document.documentElement.scrollHeight; y += innerHeight) { scrollTo(0, y); await frame(); await frame(); }
		scrollTo(0, 0); await frame(); await frame();
		return true;
	})()`
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise)); err != nil {
		b.t.Fatal(err)
	}
}

// kindsOfPages returns one page of every kind.
func kindsOfPages(t *testing.T, files map[string][]byte) []string {
	t.Helper()
	body := regexp.MustCompile(`<body class="k-([a-z-]+)"`)
	seen := map[string]bool{}
	var out []string
	for _, at := range slices.Sorted(maps.Keys(files)) {
		if m := body.FindSubmatch(files[at]); m != nil && !seen[string(m[1])] {
			seen[string(m[1])] = true
			out = append(out, at)
		}
	}
	if len(out) < 10 {
		t.Fatalf("only %d kinds of pages: %v", len(out), out)
	}
	return out
}
