package page_test

import (
	"fmt"
	"io"
	"maps"
	"mime"
	"net/http"
	"net/http/httptest"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/page"
)

// host serves a site under /figs/, as strict hosts do: a policy in the header
// with a place for reports, nothing kept by the browser of itself, a page's
// index.html redirected to its folder, the site's own page for what is lost.
type host struct {
	*httptest.Server
	mu      sync.Mutex
	files   map[string][]byte
	asked   []string
	reports chan string   // of the policy broken
	hold    chan struct{} // if set, pages wait until it is closed
	down    bool          // if set, pages are answered with 503
}

func serve(t *testing.T, files map[string][]byte) *host {
	t.Helper()
	h := &host{files: files, reports: make(chan string, 100)}
	h.Server = httptest.NewServer(h)
	t.Cleanup(h.stop)
	return h
}

// stop ends the server at once; once stopped it stays so.
func (h *host) stop() {
	h.CloseClientConnections()
	h.Close()
}

func (h *host) publish(files map[string][]byte) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.files, h.asked = files, nil
}

func (h *host) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.URL.Path == "/report" {
		body, _ := io.ReadAll(r.Body)
		h.reports <- string(body)
		return
	}
	h.mu.Lock()
	hold, down := h.hold, h.down
	h.mu.Unlock()
	if isPage := strings.HasSuffix(r.URL.Path, "/"); isPage && down {
		http.Error(w, "down", http.StatusServiceUnavailable)
		return
	} else if isPage && hold != nil {
		<-hold
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.asked = append(h.asked, r.URL.Path)
	w.Header().Set("Content-Security-Policy", "default-src 'self'; report-uri /report")
	w.Header().Set("Cache-Control", "no-store")
	if folder, ok := strings.CutSuffix(r.URL.Path, "/index.html"); ok {
		http.Redirect(w, r, folder+"/", http.StatusMovedPermanently)
		return
	}
	at := strings.TrimPrefix(r.URL.Path, "/figs/")
	if at == "" || strings.HasSuffix(at, "/") {
		at += "index.html"
	}
	data, ok := h.files[at]
	w.Header().Set("Content-Type", mime.TypeByExtension(path.Ext(at)))
	if !ok {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusNotFound)
		data = h.files["404.html"]
	}
	w.Write(data)
}

// wait runs a script that gives a promise.
func wait[T any](b *browser, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits in the page until a promise's value is true, and gives up after
// a thousand looks.
func (b *browser) until(condition string) {
	b.t.Helper()
	came := wait[bool](b, `new Promise(function (done) {
		var left = 1000;
		(function look() { Promise.resolve(`+condition+`).then(function (yes) { if (yes || left-- === 0) { done(yes); } else { setTimeout(look, 20); } }); })();
	})`)
	if !came {
		b.t.Fatalf("never came true: %s", condition)
	}
}

// kept is a script: whether the worker keeps the page at a path of the site.
func (b *browser) kept(at string) string {
	return fmt.Sprintf(`caches.match(%q).then(function (r) { return !!r; })`, b.root+at)
}

// republished is the demonstration with one method called otherwise, which
// changes the style sheet's bytes and with them its name.
func republished(t *testing.T) map[string][]byte {
	t.Helper()
	b := demoBook(t)
	next, c := almanac.Book(*b), club.Club(*b.Club)
	c.Methods = slices.Clone(c.Methods)
	for i := range c.Methods {
		c.Methods[i].Name += " again"
	}
	next.Club = &c
	files, _ := render(t, &next, page.Options{Version: "0.0.1-test"})
	return files
}

func TestBrowserOffline(t *testing.T) {
	long(t)
	b := openBrowser(t)

	// From a plain folder nothing is registered, linked or complained of.
	b.open("index.html")
	b.loaded("home")
	if eval[bool](b, `document.querySelector("link[rel=manifest]") !== null`) {
		t.Error("from a plain folder the web manifest is linked")
	}
	if n := wait[int](b, `navigator.serviceWorker ? navigator.serviceWorker.getRegistrations().then(function (r) { return r.length; }, function () { return 0; }) : Promise.resolve(0)`); n != 0 {
		t.Errorf("from a plain folder %d workers are registered", n)
	}
	b.open("offline.html")
	b.loaded("offline")
	b.quiet()

	first := demoSite(t)
	h := serve(t, first)
	b.mu.Lock()
	b.root = h.URL + "/figs/"
	b.mu.Unlock()
	towns := demoBook(t).Towns
	town, unseen := "towns/"+string(towns[0].Row.ID)+"/", "towns/"+string(towns[1].Row.ID)+"/"
	plan := "plan/" + string(townToPlan(t).Row.ID) + "/"

	t.Run("first visit", func(t *testing.T) {
		b.t = t
		b.open(plan)
		b.loaded("plan")
		if got := eval[string](b, `document.querySelector("link[rel=manifest]").href`); got != b.root+"app.webmanifest" {
			t.Errorf("the web manifest is at %s", got)
		}
		scope := wait[string](b, `navigator.serviceWorker.ready.then(function (r) { return r.scope; })`)
		if scope != b.root {
			t.Errorf("the worker serves %s", scope)
		}
		// The page was open before there was a worker.
		b.until(b.kept(plan + "index.html"))
		b.until(b.kept(plan + "sets.js"))
		b.until(`!!navigator.serviceWorker.controller`)
		b.open(town)
		b.loaded("town")
		b.until(b.kept(town + "index.html"))
		if wait[bool](b, b.kept(unseen+"index.html")) {
			t.Error("a page that nobody opened is kept")
		}
		b.open("downloads/datapackage.json")
		b.open("index.html")
		b.loaded("home")
		if n := wait[int](b, `caches.keys().then(function (k) { return k.length; })`); n != 1 {
			t.Errorf("%d caches", n)
		}
		if wait[bool](b, b.kept("downloads/datapackage.json")) {
			t.Error("a download is kept")
		}
		b.quiet()
		// The demonstration's site has no address of its own, so that its page
		// for lost links cannot be right at any depth but through the worker.
		b.open("towns/no-such-town/at/all/")
		b.loaded("lost")
		b.click("main a.button", "home")
	})

	t.Run("next publish", func(t *testing.T) {
		b.t = t
		before := wait[string](b, `caches.keys().then(function (k) { return k[0]; })`)
		old := workerSettings(t, first)
		h.publish(republished(t))
		now := workerSettings(t, h.files)
		style := func(names []string) string {
			return names[slices.IndexFunc(names, func(at string) bool { return path.Ext(at) == ".css" })]
		}
		if style(now.First) == style(old.First) {
			t.Fatal("the second site should have another style sheet")
		}
		b.open("index.html")
		b.loaded("home")
		if got := eval[string](b, `document.querySelector("link[rel=stylesheet]").href`); got != b.root+style(now.First) {
			t.Errorf("the network's page should come first; its style sheet is %s", got)
		}
		b.until(`caches.keys().then(function (k) { return k.length === 1 && k[0] !== ` + fmt.Sprintf("%q", before) + `; })`)
		if wait[bool](b, b.kept(style(old.First))) {
			t.Error("the old style sheet is still kept")
		}
		// What was kept of the old site is there as the new site has it.
		same := fmt.Sprintf(`caches.match(%q).then(function (r) { return r.text(); }).then(function (x) { return x.indexOf(%q) > 0; })`, b.root+town+"index.html", path.Base(style(now.First)))
		if !wait[bool](b, same) {
			t.Error("the town's page was not fetched anew")
		}
		b.quiet()
	})

	t.Run("asset from the cache", func(t *testing.T) {
		b.t = t
		h.publish(h.files)
		b.open(town)
		b.loaded("town")
		h.mu.Lock()
		defer h.mu.Unlock()
		t.Logf("asked for: %s", strings.Join(h.asked, " "))
		if !slices.Contains(h.asked, "/figs/"+town) {
			t.Error("a page should come from the network first")
		}
		for _, at := range h.asked {
			// A browser asks for the icon of a tab by itself.
			if strings.HasPrefix(at, "/figs/assets/") && !strings.Contains(at, "icon") {
				t.Errorf("%s was asked for again", at)
			}
		}
		b.quiet()
	})

	t.Run("icons", func(t *testing.T) { b.t = t; sameDrawing(t, b, h) })

	// The header's policy was never broken, and breaking it is reported.
	t.Run("policy", func(t *testing.T) {
		b.t = t
		b.quiet()
		eval[bool](b, `(function () { new Image().src = "http://elsewhere.invalid/x.png"; return true; })()`)
		for seen := false; !seen; {
			select {
			case r := <-h.reports:
				// Reports come in order: any before this one is a fault.
				if seen = strings.Contains(r, "elsewhere.invalid"); !seen {
					t.Errorf("the policy was broken: %s", r)
				}
			case <-b.ctx.Done():
				t.Fatal("a broken policy is not reported")
			}
		}
		b.mu.Lock()
		defer b.mu.Unlock()
		b.faults = nil
	})

	t.Run("no connection", func(t *testing.T) {
		b.t = t
		h.stop()
		b.open(town)
		b.loaded("town")
		if got, want := eval[string](b, `document.querySelector("h1").textContent`), string(towns[0].Row.Name); !strings.Contains(got, want) {
			t.Errorf("the page is headed %q, not %q", got, want)
		}
		if !eval[bool](b, `getComputedStyle(document.querySelector(".top")).borderBottomStyle === "double"`) {
			t.Error("the style sheet is not there")
		}
		b.click(".brand a", "home") // as index.html
		b.open("")                  // and as a folder
		b.loaded("home")
		b.open(plan)
		b.loaded("plan")
		if !eval[bool](b, `!document.getElementById("set-form").hidden`) {
			t.Error("the planner's data are not there")
		}
		// A page never opened: another says so, under any depth, and leads on.
		b.open(unseen + "all/")
		b.loaded("offline")
		if got := eval[string](b, `document.getElementById("try-again").href`); got != b.root+unseen+"all/index.html" {
			t.Errorf("try again leads to %s", got)
		}
		b.do(chromedp.WaitVisible(chromedp.CSS("#kept-pages a")))
		b.click(`#kept-pages a[href$="`+town+`index.html"]`, "town")
	})
}

// hurried is a site whose worker keeps three pages and waits hardly at all for
// the network, so that both bounds can be watched.
func hurried(t *testing.T, files map[string][]byte) map[string][]byte {
	t.Helper()
	out := maps.Clone(files)
	script := string(files["worker.js"])
	for _, x := range [][2]string{{"const MOST = 120;", "const MOST = 3;"}, {"const PATIENCE = 4000;", "const PATIENCE = 50;"}} {
		if strings.Count(script, x[0]) != 1 {
			t.Fatalf("the worker has no %q", x[0])
		}
		script = strings.Replace(script, x[0], x[1], 1)
	}
	out["worker.js"] = []byte(script)
	return out
}

// The worker keeps no more than so many pages, the last ones opened, and a
// kept page does for a host that is slow or out of order.
func TestBrowserBounds(t *testing.T) {
	long(t)
	b := openBrowser(t)
	h := serve(t, hurried(t, demoSite(t)))
	b.mu.Lock()
	b.root = h.URL + "/figs/"
	b.mu.Unlock()
	b.open("index.html")
	b.loaded("home")
	wait[string](b, `navigator.serviceWorker.ready.then(function (r) { return r.scope; })`)
	b.until(`!!navigator.serviceWorker.controller`)
	var towns []string
	for i := range 5 {
		towns = append(towns, "towns/"+string(demoBook(t).Towns[i].Row.ID)+"/")
		b.open(towns[i])
		b.loaded("town")
		b.until(b.kept(towns[i] + "index.html"))
	}
	for i, at := range towns {
		want := i >= 2
		b.until(strings.Replace(b.kept(at+"index.html"), "!!r", fmt.Sprintf("!!r === %t", want), 1))
	}
	b.until(b.kept("index.html"))
	b.quiet()

	hold := make(chan struct{})
	release := sync.OnceFunc(func() { close(hold) })
	t.Cleanup(release)
	h.mu.Lock()
	h.hold = hold
	h.mu.Unlock()
	b.open(towns[4])
	b.loaded("town")
	release()
	h.mu.Lock()
	h.hold, h.down = nil, true
	h.mu.Unlock()
	b.open(towns[3])
	b.loaded("town")
	if got := eval[string](b, `document.querySelector("h1").textContent`); !strings.Contains(got, string(demoBook(t).Towns[3].Row.Name)) {
		t.Errorf("the page is headed %q", got)
	}
}

// sameDrawing compares the PNG icon with what the browser makes of the drawing
// it comes from: the mean difference of a channel is under two of 255.
func sameDrawing(t *testing.T, b *browser, h *host) {
	var svg, png string
	for at := range h.files {
		switch {
		case strings.HasPrefix(at, "assets/icon-192."):
			png = at
		case strings.HasPrefix(at, "assets/icon.") && path.Ext(at) == ".svg":
			svg = at
		}
	}
	off := wait[float64](b, fmt.Sprintf(`Promise.all([%q, %q].map(function (at) {
		return new Promise(function (done, fail) {
			var i = new Image(192, 192);
			i.onload = function () {
				var c = document.createElement("canvas");
				c.width = c.height = 192;
				var p = c.getContext("2d");
				p.fillStyle = "white";
				p.fillRect(0, 0, 192, 192);
				p.drawImage(i, 0, 0, 192, 192);
				done(p.getImageData(0, 0, 192, 192).data);
			};
			i.onerror = fail;
			i.src = at;
		});
	})).then(function (d) {
		var sum = 0;
		for (var k = 0; k < d[0].length; k++) { sum += Math.abs(d[0][k] - d[1][k]); }
		return sum / d[0].length;
	})`, b.root+svg, b.root+png))
	if off > 2 {
		t.Errorf("the drawings differ by %.2f", off)
	}
	t.Logf("mean difference from the browser's drawing: %.3f of 255", off)
}
