package page_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Every kind of page from a strict host under a sub-path, and from a plain
// folder: nothing breaks the policy, nothing is said in the console, no other
// host is asked, nothing scrolls sideways at 320 px. Without scripts the page
// says as much.
func TestBrowserStrictHost(t *testing.T) {
	long(t)
	b := openBrowser(t)
	// A page in one file carries its style and scripts inside, which this policy
	// forbids: it is downloaded, and TestOneFileOpens opens it where it is read.
	kinds := slices.DeleteFunc(kindsOfPages(t, demoSite(t)), oneFile.MatchString)
	h := serve(t, demoSite(t))
	b.do(chromedp.EmulateViewport(320, 800))
	folder := b.root
	for _, root := range []string{folder, h.URL + "/figs/"} {
		b.mu.Lock()
		b.root = root
		b.mu.Unlock()
		words := map[string]int{}
		for _, at := range kinds {
			b.open(at)
			if got := eval[int64](b, "document.documentElement.scrollWidth"); got > 320 {
				t.Errorf("%s is %d wide on a screen of 320", root+at, got)
			}
			// Texts that a script adds do not count: those hidden without one do.
			words[at] = eval[int](b, `document.querySelectorAll("main td, main p, main li, main dd").length`)
		}
		b.quiet()
		without(t, b, true)
		for _, at := range kinds {
			b.open(at)
			// What is hidden without scripts is a script's own: fields and their
			// fellows. Every cell of every table is shown or in a fold.
			lost := eval[[]string](b, `Array.from(document.querySelectorAll("main table td, main dd, main svg[role=img]")).filter(function (e) {
				return e.closest("[hidden]") && !e.closest(".only-script, .form, #planner, #set-form");
			}).slice(0, 3).map(function (e) { return e.textContent.trim().slice(0, 60); })`)
			if len(lost) > 0 {
				t.Errorf("%s hides without scripts: %s", root+at, strings.Join(lost, " | "))
			}
			if text := eval[string](b, `document.querySelector("main").innerText`); len(strings.Fields(text)) < 5 || words[at] == 0 {
				t.Errorf("%s says nothing without scripts: %q", root+at, text)
			}
			if got := eval[int64](b, "document.documentElement.scrollWidth"); got > 320 {
				t.Errorf("%s is %d wide on a screen of 320 without scripts", root+at, got)
			}
		}
		without(t, b, false)
		b.quiet()
	}
	for {
		select {
		case r := <-h.reports:
			t.Errorf("the policy was broken: %s", r)
			continue
		default:
		}
		break
	}
}

// without turns the page's own scripts off or on again.
func without(t *testing.T, b *browser, off bool) {
	t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: off}); err != nil {
		t.Fatal(err)
	}
}
