package page_test

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"ripeward/build/almanac"
)

// browser is a tab that notes what goes wrong in it.
type browser struct {
	t    *testing.T
	ctx  context.Context
	root string // address of the site's folder

	mu     sync.Mutex
	faults []string
}

// openBrowser starts a browser on the demonstration's site, written to a plain
// folder.
func openBrowser(t *testing.T) *browser {
	t.Helper()
	return openBrowserOn(t, func() map[string][]byte { return demoSite(t) })
}

// openBrowserOn is openBrowser with another site.
func openBrowserOn(t *testing.T, site func() map[string][]byte) *browser {
	t.Helper()
	exe := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "headless-shell"} {
		if at, err := exec.LookPath(name); err == nil {
			exe = at
			break
		}
	}
	if exe == "" {
		if os.Getenv("RIPEWARD_NEED_BROWSER") != "" {
			t.Fatal("no chromium or chrome in the path, and RIPEWARD_NEED_BROWSER asks for one")
		}
		t.Skip("no chromium or chrome in the path: the site is not opened in a browser")
	}
	if os.Getenv("RIPEWARD_NO_BROWSER") != "" {
		t.Skip("RIPEWARD_NO_BROWSER: the site is not opened in a browser")
	}
	folder := t.TempDir()
	writeSite(t, site(), folder)
	limit := 2 * time.Minute // of a test: none waits for ever
	if os.Getenv("RIPEWARD_LONG")+os.Getenv("RIPEWARD_AXE") != "" {
		limit = 20 * time.Minute
	}
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	t.Cleanup(cancel)
	options := []chromedp.ExecAllocatorOption{chromedp.ExecPath(exe), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(t.TempDir())}
	for _, f := range []string{"disable-quic", "disable-background-networking", "disable-component-update", "disable-sync"} {
		options = append(options, chromedp.Flag(f, true))
	}
	ctx, cancel = chromedp.NewContext(ctx, chromedp.WithAllocatorOptions(options...))
	t.Cleanup(cancel)
	b := &browser{t: t, ctx: ctx, root: (&url.URL{Scheme: "file", Path: filepath.ToSlash(folder) + "/"}).String()}
	err := chromedp.Listen(ctx, func(ev any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		switch e := ev.(type) {
		case *runtime.EventExceptionThrown:
			b.faults = append(b.faults, "script: "+e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			b.faults = append(b.faults, fmt.Sprintf("console: %s", e.Type))
		case *log.EventEntryAdded:
			b.faults = append(b.faults, fmt.Sprintf("log: %s %s", e.Entry.Level, e.Entry.Text))
		case *network.EventRequestWillBeSent:
			if u := e.Request.URL; !strings.HasPrefix(u, b.root) && !strings.HasPrefix(u, "data:") {
				b.faults = append(b.faults, "request for "+u)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	// Without smooth scrolling a place on the screen stays where it is
	// between looking for it and pressing it.
	still := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}}
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, still); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, log.Enable, cdp.Empty{}); err != nil {
		t.Fatal(err)
	}
	return b
}

// long skips a test of many seconds unless RIPEWARD_LONG asks for all, as CI
// does. Long tests run beside each other: a browser keeps one processor busy.
func long(t *testing.T) {
	t.Helper()
	if os.Getenv("RIPEWARD_LONG") == "" {
		t.Skip("a long test: RIPEWARD_LONG=1 runs it")
	}
	t.Parallel()
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *browser) open(at string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.root + at))
}

// click presses what sel finds and waits for a page of the given kind.
func (b *browser) click(sel, kind string) {
	b.t.Helper()
	eval[bool](b, `document.body.classList.add("left-behind") || true`) // the next one may be of the same kind
	b.press(sel)
	b.loaded(kind)
}

// press clicks what sel finds, once it stands still on the screen: sections
// are laid out when they come near, which moves what is below them.
func (b *browser) press(sel string) {
	b.t.Helper()
	b.near(sel)
	b.do(chromedp.Click(chromedp.CSS(sel)))
}

// near brings what sel finds onto the screen and waits until it stands still.
func (b *browser) near(sel string) {
	b.t.Helper()
	script := fmt.Sprintf(`new Promise((done) => {
		const e = document.querySelector(%q);
		if (e) { e.scrollIntoView({ block: "center" }); }
		requestAnimationFrame(() => requestAnimationFrame(() => { if (e) { e.scrollIntoView({ block: "center" }); } requestAnimationFrame(() => done(true)); }));
	})`, sel)
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise)); err != nil {
		b.t.Fatal(err)
	}
}

// loaded waits until a page of the given kind is there with its scripts run.
func (b *browser) loaded(kind string) {
	b.t.Helper()
	b.do(chromedp.WaitReady(chromedp.CSS("body.k-" + kind + ":not(.left-behind) .switches:not([hidden])")))
	b.until(`document.readyState === "complete"`)
}

func eval[T any](b *browser, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script))
	if err != nil {
		b.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// quiet fails if anything went wrong in the tab so far.
func (b *browser) quiet() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, f := range b.faults {
		b.t.Error(f)
	}
	b.faults = nil
}

// The site opens from a plain folder, under its strict policy, and a reader
// gets from home to a town to a cultivar and back by clicking.
func TestBrowser(t *testing.T) {
	b := openBrowser(t)

	b.open("index.html")
	if !eval[bool](b, `document.documentElement.getAttribute("data-scripts") === "yes" && !document.querySelector(".switches").hidden`) {
		t.Error("the scripts did not run from a plain folder")
	}
	if !eval[bool](b, `getComputedStyle(document.querySelector(".top")).borderBottomStyle === "double"`) {
		t.Error("the style sheet did not apply from a plain folder")
	}
	b.click("#towns a.town", "town")
	town := eval[string](b, `document.querySelector("h1").textContent`)
	b.click("#ripens ~ .tools ~ table tbody th a", "cultivar")
	if got := eval[string](b, `document.querySelector("h1").textContent`); got == town || got == "" {
		t.Errorf("the cultivar's page is headed %q", got)
	}
	b.do(chromedp.NavigateBack())
	b.loaded("town")
	if got := eval[string](b, `document.querySelector("h1").textContent`); got != town {
		t.Errorf("back leads to %q, not to %q", got, town)
	}
	b.click(".brand a", "home")
	b.quiet()

	t.Run("units", func(t *testing.T) {
		b.t = t
		b.open("towns/" + string(demoBook(t).Towns[0].Row.ID) + "/index.html")
		shown := func(class string) bool {
			return eval[bool](b, `getComputedStyle(document.querySelector("main .`+class+`")).display !== "none"`)
		}
		if !shown("m") || shown("u") {
			t.Error("the club's own units are not the ones shown first")
		}
		b.press(`[data-switch=units] [data-set=u]`)
		if shown("m") || !shown("u") {
			t.Error("the switch to °F does nothing")
		}
		if got := eval[string](b, `document.querySelector("main .u").innerText`); strings.Contains(got, "(") || !strings.Contains(got, "°F") {
			t.Errorf("°F alone prints %q", got)
		}
		b.open("methods/index.html")
		if shown("m") || !shown("u") {
			t.Error("the choice is not kept on the next page")
		}
		b.press(`[data-switch=units] [data-set=b]`)
		if !shown("m") || !shown("u") {
			t.Error("the switch to both does nothing")
		}
		b.press(`[data-switch=units] [data-set=m]`)
		b.quiet()
	})

	t.Run("theme", func(t *testing.T) {
		b.t = t
		paper := func() string { return eval[string](b, `getComputedStyle(document.body).backgroundColor`) }
		b.press(`[data-switch=theme] [data-set=light]`)
		light := paper()
		b.press(`[data-switch=theme] [data-set=dark]`)
		if dark := paper(); dark == light {
			t.Errorf("light and dark are both %s", dark)
		}
		b.press(`[data-switch=theme] [data-set=auto]`)
		b.quiet()
	})

	t.Run("filter and sort", func(t *testing.T) {
		b.t = t
		b.open("cultivars/index.html")
		rows := func() int { return eval[int](b, `document.querySelectorAll("tbody tr:not([hidden])").length`) }
		all := rows()
		name := eval[string](b, `document.querySelector("tbody tr:nth-child(3) th a").textContent`)
		b.do(chromedp.SendKeys(chromedp.CSS(".tools input"), strings.ToUpper(name)))
		if got := rows(); got < 1 || got >= all {
			t.Errorf("filtering by %q leaves %d of %d rows", name, got, all)
		}
		if got := eval[string](b, `document.querySelector(".tools [role=status]").textContent`); !strings.Contains(got, fmt.Sprintf("of %d rows", all)) {
			t.Errorf("the filter says %q", got)
		}
		b.press("thead th:first-child .sort")
		sorted := `(function () { var a = Array.from(document.querySelectorAll("tbody th a"), function (x) { return x.textContent; });
			return a.every(function (x, i) { return i === 0 || a[i-1].localeCompare(x, "en") <= 0; }); })()`
		if !eval[bool](b, sorted) || eval[string](b, `document.querySelector("thead th").getAttribute("aria-sort")`) != "ascending" {
			t.Error("sorting by name does not sort")
		}
		b.quiet()
	})

	// The planner's slider and the set of three, on a phone.
	t.Run("planner", func(t *testing.T) {
		b.t = t
		b.do(chromedp.EmulateViewport(360, 800))
		town := townToPlan(t)
		b.open("plan/" + string(town.Row.ID) + "/index.html")
		b.loaded("plan")
		if !eval[bool](b, `!document.getElementById("planner").hidden && !document.getElementById("set-form").hidden`) {
			t.Fatal("the script does not bring the planner up")
		}
		shown := func() string {
			return eval[string](b, `Array.from(document.querySelectorAll("#planner [data-out]"), function (e) { return e.textContent; }).join(" | ")`)
		}
		// What the slider shows is the row of the table, for every week.
		table := `(function () {
			var d = document.querySelectorAll("details[data-crop]"), c = document.getElementById("plan-crop"), name = c.selectedOptions[0].textContent;
			d = Array.from(d).find(function (x) { return x.getAttribute("data-crop") === name; });
			return Array.from(d.querySelectorAll("table[data-weeks]")[document.getElementById("plan-method").selectedIndex].tBodies[0].rows);
		})()`
		n := eval[int](b, table+".length")
		if n < 3 {
			t.Fatalf("%d weeks to choose from", n)
		}
		seen := map[string]bool{}
		for range n {
			week := eval[string](b, `document.getElementById("plan-n").textContent`)
			row := eval[string](b, table+`.filter(function (r) { return r.cells[0].textContent.trim() === "`+week+`"; }).map(function (r) { return Array.from(r.cells).slice(1).map(function (x) { return x.textContent.trim(); }).join(" | "); })[0]`)
			if got := shown(); got != row || got == "" {
				t.Errorf("week %s: the planner says %q, the table %q", week, got, row)
			}
			seen[week] = true
			if eval[bool](b, `document.getElementById("plan-weeks").value === document.getElementById("plan-weeks").min`) {
				b.do(chromedp.SendKeys(chromedp.CSS("#plan-weeks"), kb.End))
			} else {
				b.do(chromedp.SendKeys(chromedp.CSS("#plan-weeks"), kb.ArrowLeft))
			}
		}
		if len(seen) != n {
			t.Errorf("the slider reached %d of %d weeks", len(seen), n)
		}
		before := shown()
		eval[bool](b, `(function () { var c = document.getElementById("plan-crop"); c.selectedIndex = c.options.length - 1; c.dispatchEvent(new Event("change")); return true; })()`)
		if shown() == before {
			t.Error("another cultivar changes nothing")
		}

		// The script's arithmetic is the book's.
		for i, x := range town.Together {
			for _, best := range x.Best {
				eval[bool](b, fmt.Sprintf(`(function () {
					var m = document.getElementById("set-method"); m.value = "%d"; m.dispatchEvent(new Event("change"));
					[%d, %d, %d].forEach(function (r, i) { var s = document.getElementById("set-" + (i + 1)); s.value = String(r); s.dispatchEvent(new Event("change")); });
					return true; })()`, i, best.Rows[0], best.Rows[1], best.Rows[2]))
				got := eval[string](b, `document.getElementById("set-form").getAttribute("data-share") + " " + document.getElementById("set-form").getAttribute("data-weeks")`)
				if want := fmt.Sprintf("%.2f %.1f", best.Share, best.Weeks); got != want {
					t.Errorf("%s, rows %v: the page reckons %s, the book has %s", x.Method, best.Rows, got, want)
				}
			}
		}
		three := eval[string](b, `document.getElementById("set-share").textContent`)
		eval[bool](b, `(function () { ["set-1", "set-2", "set-3"].forEach(function (id) { var s = document.getElementById(id); s.value = ""; s.dispatchEvent(new Event("change")); }); return true; })()`)
		if got := eval[string](b, `document.getElementById("set-share").textContent`); got == three || !strings.Contains(got, "fewer than 1 year in 10") {
			t.Errorf("no cultivar at all ripens %q", got)
		}

		// A name in the table opens its details.
		b.press(".takes tbody tr:nth-child(2) th a")
		if !eval[bool](b, `document.querySelector(window.location.hash).open`) {
			t.Error("the details of a cultivar stay shut")
		}
		if got := eval[int64](b, "document.documentElement.scrollWidth"); got > 360 {
			t.Errorf("the planner is %d wide on a screen of 360", got)
		}
		b.quiet()
	})

	// No page scrolls sideways; what is wider scrolls inside its own region.
	t.Run("width", func(t *testing.T) {
		long(t)
		b.t = t
		book := demoBook(t)
		town, cultivar := string(book.Towns[0].Row.ID), string(book.Club.Cultivars[0].ID)
		zone, method := string(book.Club.Zones[0].ID), string(book.Club.Methods[0].ID)
		some := []string{"", "towns/" + town + "/", "cultivars/" + cultivar + "/", "grid/" + method + "/" + zone + "/"}
		more := []string{"towns/" + town + "/all/", "towns/" + town + "/why/", "towns/" + town + "/year/", "towns/" + town + "/sheet/", "calendar/", "towns/" + town + "/this-season/", "plan/", "plan/" + town + "/", "how-good/", "cultivars/", "zones/" + zone + "/", "grid/", "guides/", "guides/hazards/",
			"guides/potting-and-feeding/", "methods/", "data-quality/", "downloads/"}
		for width, pages := range map[int64][]string{320: append(more, some...), 360: some, 1280: some} {
			b.do(chromedp.EmulateViewport(width, 800))
			for _, at := range pages {
				b.open(at + "index.html")
				if got := eval[int64](b, "document.documentElement.scrollWidth"); got > width {
					t.Errorf("%s is %d wide on a screen of %d", at, got, width)
				}
				small := `Array.from(document.querySelectorAll("nav a, button, input, select, summary, .button, .target, a.town"))
					.filter(function (e) { var r = e.getBoundingClientRect(); return r.height > 0 && r.height < 43.5; })
					.map(function (e) { return e.textContent.trim(); }).slice(0, 3).join(" | ")`
				if got := eval[string](b, small); got != "" {
					t.Errorf("%s at %d: targets under 44 px: %s", at, width, got)
				}
			}
		}
		b.quiet()
	})

	// Links within a page lead to their heading also past sections that are laid
	// out only when they come near: the way there is a jump, for every reader.
	t.Run("jumps", func(t *testing.T) {
		b.t = t
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{}); err != nil {
			t.Fatal(err)
		}
		b.do(chromedp.EmulateViewport(360, 740))
		b.open("towns/" + string(demoBook(t).Towns[0].Row.ID) + "/index.html")
		b.loaded("town")
		for _, id := range []string{"jobs", "winter", "reading"} {
			b.press(`.onpage a[href="#` + id + `"]`)
			if top := eval[float64](b, `document.getElementById("`+id+`").getBoundingClientRect().top`); top < 0 || top > 60 {
				t.Errorf("the link to #%s leaves its heading at %.0f", id, top)
			}
		}
		b.quiet()
	})

	// The policy is in force from a plain folder too, and the watch over the
	// console sees what it refuses.
	t.Run("policy", func(t *testing.T) {
		b.t = t
		b.open("index.html")
		b.quiet()
		if eval[bool](b, `(function () { var s = document.createElement("script"); s.textContent = "window.inline = true"; document.head.append(s); return window.inline === true; })()`) {
			t.Error("an inline script ran")
		}
		b.mu.Lock()
		defer b.mu.Unlock()
		if len(b.faults) == 0 {
			t.Error("the refused script went unnoticed")
		}
		b.faults = nil
	})

	// Without scripts both units are there and nothing is hidden.
	t.Run("no script", func(t *testing.T) {
		b.t = t
		if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
			t.Fatal(err)
		}
		b.open("plan/" + string(townToPlan(t).Row.ID) + "/index.html")
		if !eval[bool](b, `document.getElementById("planner").hidden && document.querySelectorAll("table[data-weeks]").length > 0 && document.querySelectorAll("table.sets tbody tr").length > 0`) {
			t.Error("the planner's numbers should stand in tables")
		}
		b.open("towns/" + string(demoBook(t).Towns[0].Row.ID) + "/index.html")
		visible, err := chromedp.Run(b.ctx, chromedp.Text(chromedp.CSS(".answers")))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(visible, "°C") || !strings.Contains(visible, "°F)") {
			t.Errorf("both units should stand there: %.300s", visible)
		}

		// On a phone a menu holds the pages, and opens without a script too.
		b.do(chromedp.EmulateViewport(360, 740))
		shown := `Array.from(document.querySelectorAll(".top nav a, .languages > li > *"), function (e) { return e.getBoundingClientRect(); }).filter(function (r) { return r.height >= 24 && r.width >= 24; }).length`
		if got := eval[float64](b, `document.querySelector(".top").getBoundingClientRect().height`); got > 74 {
			t.Errorf("the masthead takes %.0f of the 740 pixels of a phone", got)
		}
		if got := eval[int](b, shown); got != 0 {
			t.Errorf("%d links stand outside the shut menu", got)
		}
		b.do(chromedp.Click(chromedp.CSS(".menu summary")))
		if got, want := eval[int](b, shown), eval[int](b, `document.querySelectorAll(".top nav a, .languages > li").length`); got != want || got == 0 {
			t.Errorf("the menu shows %d of %d links, large enough to press", got, want)
		}
		b.do(chromedp.EmulateViewport(1280, 800))
		if !eval[bool](b, `getComputedStyle(document.querySelector(".menu")).display === "none" && document.querySelector(".top nav a").getClientRects().length > 0`) {
			t.Error("on a wide screen the pages should stand there without a menu")
		}
	})
}

// townToPlan is a town of the demonstration with weeks to choose and sets.
func townToPlan(t *testing.T) *almanac.Town {
	t.Helper()
	book := demoBook(t)
	for i := range book.Towns {
		if x := &book.Towns[i]; len(x.Weeks) > 0 && len(x.Together) > 0 && len(x.Together[0].Best) > 0 {
			return x
		}
	}
	t.Fatal("no town has sets")
	return nil
}
