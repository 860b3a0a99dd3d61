package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"ripeward/build/page"
)

// On a site in two languages each has its manifest, the one worker at the top
// serves both, the header leads from a page to the same page, and without a
// connection each language says so itself.
func TestBrowserTwoLanguages(t *testing.T) {
	long(t)
	b := openBrowser(t)
	files, _ := render(t, inLanguages(hard(), "en", "fr"), page.Options{})
	h := serve(t, files)
	b.mu.Lock()
	b.root = h.URL + "/figs/"
	b.mu.Unlock()
	manifest := func(want string) {
		t.Helper()
		b.until(`!!document.querySelector("link[rel=manifest]")`) // a script puts it there
		if got := eval[string](b, `document.querySelector("link[rel=manifest]").href`); got != b.root+want {
			t.Errorf("the web manifest is at %s, want %s", got, want)
		}
	}
	b.open("fr/towns/aa/")
	b.loaded("town")
	manifest("fr/app.webmanifest")
	starts := wait[string](b, `fetch(document.querySelector("link[rel=manifest]").href).then(function (r) { return r.json().then(function (m) { return new URL(m.start_url, r.url).href + " " + new URL(m.scope, r.url).href; }); })`)
	if want := b.root + "fr/ " + b.root; starts != want {
		t.Errorf("the French application starts and reaches %q, want %q", starts, want)
	}
	if scope := wait[string](b, `navigator.serviceWorker.ready.then(function (r) { return r.scope; })`); scope != b.root {
		t.Errorf("the worker serves %s", scope)
	}
	b.until(`!!navigator.serviceWorker.controller`)
	b.until(b.kept("fr/towns/aa/index.html"))
	b.click(`.languages a[lang=en]`, "town")
	if got := eval[string](b, `document.documentElement.lang + " " + location.pathname`); got != "en /figs/towns/aa/" && got != "en /figs/towns/aa/index.html" {
		t.Errorf("the header leads to %s", got)
	}
	manifest("app.webmanifest")
	b.until(b.kept("towns/aa/index.html"))
	b.quiet()

	h.stop()
	for below, want := range map[string]string{"": "en", "fr/": "fr"} {
		b.open(below + "zones/north/")
		b.loaded("offline")
		if got := eval[string](b, `document.documentElement.lang`); got != want {
			t.Errorf("below %q the page without a connection is in %q", below, got)
		}
		if got := eval[string](b, `document.getElementById("try-again").href`); got != b.root+below+"zones/north/index.html" {
			t.Errorf("try again leads to %s", got)
		}
		// Pages of the same language come first; the others are marked. The
		// pages that stand in are no pages to be read.
		b.do(chromedp.WaitVisible(chromedp.CSS("#kept-pages a")))
		marks := eval[string](b, `Array.from(document.querySelectorAll("#kept-pages a"), function (a) { return a.lang || "own"; }).join(" ")`)
		if other := map[string]string{"en": "fr", "fr": "en"}[want]; marks != "own own "+other+" "+other {
			t.Errorf("below %q the pages kept are in: %s", below, marks)
		}
		b.click(`#kept-pages a[href$="/`+below+`towns/aa/index.html"]`, "town")
	}
}
