package page_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"ripeward/build/almanac"
)

// texts lists what a selector finds, in order, without what is hidden.
func (b *browser) texts(sel string) []string {
	b.t.Helper()
	return eval[[]string](b, fmt.Sprintf(`Array.from(document.querySelectorAll(%q)).filter(function (e) { return e.getClientRects().length; }).map(function (e) { return e.textContent.trim(); })`, sel))
}

// shownRows are the heads of the rows that a filter leaves in a table.
func (b *browser) shownRows(table string) []string {
	b.t.Helper()
	return b.texts(table + " tbody tr th[scope=row] a")
}

// spoken checks that the browser gives screen readers each shown element of a
// selector in a role, with its text as name.
func (b *browser) spoken(role, sel string) {
	b.t.Helper()
	tree, err := chromedp.Call(b.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		b.t.Fatal(err)
	}
	n := 0
	for _, x := range tree.Nodes {
		if x.Ignored || x.Role == nil || string(x.Role.Value) != `"`+role+`"` {
			continue
		}
		n++
		if x.Name == nil || len(x.Name.Value) < len(`"x"`) {
			b.t.Errorf("a %s without a name", role)
		}
	}
	if want := eval[int](b, fmt.Sprintf("document.querySelectorAll(%q).length", sel)); n != want || n == 0 {
		b.t.Errorf("%d of %d are a %s to a screen reader", n, want, role)
	}
}

// pick chooses in a select as a reader would.
func (b *browser) pick(sel, value string) {
	b.t.Helper()
	if !eval[bool](b, fmt.Sprintf(`(function () { var s = document.querySelector(%q); s.value = %q; s.dispatchEvent(new Event("change", { bubbles: true })); return s.value === %q; })()`, sel, value, value)) {
		b.t.Fatalf("%s has no choice %q", sel, value)
	}
}

// afresh opens an address as one that was kept or passed on.
func (b *browser) afresh(at string) {
	b.t.Helper()
	b.do(chromedp.Navigate("about:blank"), chromedp.Navigate(at))
}

func (b *browser) address() string {
	b.t.Helper()
	return eval[string](b, "window.location.href")
}

// TestBrowserFinding: a town by its name, from the map, and everything by the
// search.
func TestBrowserFinding(t *testing.T) {
	long(t)
	b := openBrowser(t)
	book := demoBook(t)
	town := book.Towns[len(book.Towns)-1].Row

	t.Run("town by name", func(t *testing.T) {
		b.t = t
		b.open("index.html")
		b.loaded("home")
		if len(b.texts("[data-near]")) > 0 {
			t.Error("from a plain folder no browser gives a position, but the button is there")
		}
		// Typed with accents and capitals that the name does not have.
		typed := strings.NewReplacer("o", "ö", "e", "É", "a", "à").Replace(string(town.Name)[:5])
		b.do(chromedp.SendKeys(chromedp.CSS("#find-town"), typed), chromedp.WaitVisible(chromedp.CSS("[data-finder='town zone'] .found a"))) // the list of names comes by itself
		if got := b.texts("[data-finder='town zone'] .found a"); len(got) == 0 || got[0] != string(town.Name) {
			t.Fatalf("%q finds %q", typed, got)
		}
		b.do(chromedp.SendKeys(chromedp.CSS("#find-town"), kb.ArrowDown))
		if got := eval[string](b, `document.activeElement.textContent`); got != string(town.Name) {
			t.Errorf("the down arrow leads to %q", got)
		}
		b.do(chromedp.SendKeys(chromedp.CSS("#find-town"), kb.Enter))
		b.loaded("town")
		if got := eval[string](b, `document.querySelector("h1").textContent`); got != string(town.Name) {
			t.Errorf("the first result leads to %q", got)
		}
		b.open("index.html")
		b.do(chromedp.SendKeys(chromedp.CSS("#find-town"), "qqqq"), chromedp.WaitVisible(chromedp.CSS("[data-finder='town zone'] .said:not(:empty)")))
		if got := b.texts("[data-finder='town zone'] .said"); len(got) != 1 || !strings.HasPrefix(got[0], "No town") {
			t.Errorf("what nothing is called gets %q", got)
		}
		b.quiet()
	})

	t.Run("map", func(t *testing.T) {
		b.t = t
		for width, class := range map[int64]string{1280: "rw-wide", 360: "rw-narrow"} {
			b.do(chromedp.EmulateViewport(width, 900))
			b.open("index.html")
			b.loaded("home")
			shown := eval[int](b, `Array.from(document.querySelectorAll(".where .rw-place")).filter(function (a) { return a.getClientRects().length; }).length`)
			labels := b.texts(".where ." + class + " .rw-place text")
			if shown != len(book.Towns) || len(labels) != shown {
				t.Errorf("at %d: %d places and %d names for %d towns", width, shown, len(labels), len(book.Towns))
			}
			// No name lies on another, as drawn by the browser.
			if got := eval[string](b, `(function () {
				var t = Array.from(document.querySelectorAll(".where .`+class+` text")).map(function (e) { return [e.textContent, e.getBoundingClientRect()]; });
				var f = document.querySelector(".where .`+class+`").getBoundingClientRect(), bad = "";
				t.forEach(function (a, i) {
					if (a[1].left < f.left || a[1].right > f.right + 0.5 || a[1].top < f.top || a[1].bottom > f.bottom) { bad += a[0] + " is clipped; "; }
					t.slice(0, i).forEach(function (c) { if (a[1].left < c[1].right && c[1].left < a[1].right && a[1].top + 2 < c[1].bottom - 2 && c[1].top + 2 < a[1].bottom - 2) { bad += a[0] + " on " + c[0] + "; "; } });
				});
				return bad; })()`); got != "" {
				t.Errorf("at %d: %s", width, got)
			}
			b.click(".where ."+class+" .rw-place:nth-of-type(3) .rw-mark", "town")
		}
		b.quiet()
	})

	t.Run("search", func(t *testing.T) {
		b.t = t
		b.open("search/index.html")
		b.loaded("search")
		also, name := "", ""
		for i := range book.Club.Cultivars {
			if c := &book.Club.Cultivars[i]; len(c.AlsoCalled) > 0 {
				also, name = c.AlsoCalled[0], string(c.Name)
				break
			}
		}
		for _, c := range []struct{ typed, first string }{
			{also, name},
			{strings.ToUpper(name), name},
			{string(town.Name), string(town.Name)},
			{strings.Replace(string(town.Name), "e", "r", 1), string(town.Name)}, // one letter off
			{"hazard", "Hazards"},
		} {
			eval[bool](b, `(function () { document.getElementById("find-any").value = ""; return true; })()`)
			b.do(chromedp.SendKeys(chromedp.CSS("#find-any"), c.typed))
			got := b.texts(".found a")
			if len(got) == 0 || !strings.HasPrefix(got[0], c.first) {
				t.Errorf("%q finds %q, not first %q", c.typed, got, c.first)
			}
		}
		at := b.address()
		b.afresh(at)
		b.loaded("search")
		if got := b.texts(".found a"); !strings.Contains(at, "#find=hazard") || len(got) == 0 || !strings.HasPrefix(got[0], "Hazards") {
			t.Errorf("%s opens with %q", at, got)
		}
		b.click(".found a", "guide")
		b.quiet()
	})
}

// TestBrowserNearest: over http the position is asked for when the button is
// pressed, and not before; the nearest towns come first; nothing is kept.
func TestBrowserNearest(t *testing.T) {
	long(t)
	b := openBrowser(t)
	files := demoSite(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		data, ok := files[strings.TrimPrefix(r.URL.Path, "/")]
		if !ok {
			http.NotFound(w, r)
			return
		}
		switch {
		case strings.HasSuffix(r.URL.Path, ".css"):
			w.Header().Set("Content-Type", "text/css")
		case strings.HasSuffix(r.URL.Path, ".js"):
			w.Header().Set("Content-Type", "text/javascript")
		case strings.HasSuffix(r.URL.Path, ".svg"):
			w.Header().Set("Content-Type", "image/svg+xml")
		}
		_, _ = w.Write(data)
	}))
	defer server.Close()
	b.root = server.URL + "/"
	want := demoBook(t).Towns[2].Row
	if _, err := chromedp.Call(b.ctx, cdpbrowser.SetPermission, cdpbrowser.SetPermissionParams{Permission: &cdpbrowser.PermissionDescriptor{Name: "geolocation"}, Setting: cdpbrowser.PermissionSettingGranted, Origin: server.URL}); err != nil {
		t.Fatal(err)
	}
	lat, lon, within := want.Latitude.Value+0.01, want.Longitude.Value-0.01, 50.0
	if _, err := chromedp.Call(b.ctx, emulation.SetGeolocationOverride, emulation.SetGeolocationOverrideParams{Latitude: &lat, Longitude: &lon, Accuracy: &within}); err != nil {
		t.Fatal(err)
	}
	b.open("index.html")
	b.loaded("home")
	if got := b.texts("[data-finder='town zone'] .found a"); len(got) != 0 {
		t.Errorf("before the button is pressed there is %q", got)
	}
	b.press("[data-near]")
	b.do(chromedp.WaitVisible(chromedp.CSS("[data-finder='town zone'] .found a")))
	got := b.texts("[data-finder='town zone'] .found li")
	if len(got) != 3 || !strings.HasPrefix(got[0], string(want.Name)) || !strings.Contains(got[0], "1.4\u00a0km") {
		t.Errorf("nearest: %q", got)
	}
	if kept := eval[string](b, `JSON.stringify(window.localStorage) + JSON.stringify(window.sessionStorage) + document.cookie + window.location.hash`); kept != "{}{}" {
		t.Errorf("kept on the device: %s", kept)
	}
	b.quiet()
}

// TestBrowserChoices: filters and orders of tables have an address each, which
// opens the same again; the grid goes by arrow keys.
func TestBrowserChoices(t *testing.T) {
	long(t)
	b := openBrowser(t)
	book := demoBook(t)
	town := &book.Towns[0]
	at := "towns/" + string(town.Row.ID) + "/index.html"

	t.Run("town", func(t *testing.T) {
		b.t = t
		b.open(at)
		b.loaded("town")
		table := "table.byway"
		all := b.shownRows(table)
		b.pick(".tools select[id^=pick-way]", "plain-pot")
		b.pick(".tools select[id^=pick-odds]", "8")
		got := b.shownRows(table)
		if want := ripeRows(town, "pot-plain", 0.75); len(got) != want || want == 0 || want == len(all) {
			t.Errorf("%d of %d rows ripen 8 years in 10 in a plain pot, the book has %d", len(got), len(all), want)
		}
		b.press(table + " thead th:nth-last-child(3) .sort")
		sorted := b.shownRows(table)
		if b.texts(table + " thead th[aria-sort=ascending]")[0] != "First ripe" {
			t.Error("the first press does not put the earliest first")
		}
		address := b.address()
		for _, part := range []string{"#ripens?", "way=plain-pot", "odds=8", "by=first-ripe"} {
			if !strings.Contains(address, part) {
				t.Errorf("%s lacks %s", address, part)
			}
		}
		b.afresh(address)
		b.loaded("town")
		if again := b.shownRows(table); strings.Join(again, "|") != strings.Join(sorted, "|") {
			t.Errorf("%s opens with %q, was %q", address, again, sorted)
		}
		if columns := b.texts(table + " thead th"); len(columns) != 6 {
			t.Errorf("one way of growing leaves the columns %q", columns)
		}
		b.press(".tools button.button:not(.opener)")
		if back := b.shownRows(table); strings.Join(back, "|") != strings.Join(all, "|") || strings.Contains(b.address(), "?") {
			t.Errorf("showing all leaves %d of %d rows at %s", len(back), len(all), b.address())
		}
		// Less work never shows more.
		few := -1
		for _, h := range []string{"2", "5", "10", "20"} {
			if !eval[bool](b, `Array.from(document.querySelector(".tools select[id^=pick-hours]").options).some(function (o) { return o.value === "`+h+`"; })`) {
				continue
			}
			b.pick(".tools select[id^=pick-hours]", h)
			n := len(b.shownRows(table))
			if n < few {
				t.Errorf("%s hours show %d rows, fewer hours %d", h, n, few)
			}
			few = n
		}
		if few <= 0 || few == len(all) {
			t.Errorf("hours leave %d of %d rows", few, len(all))
		}
		b.quiet()
	})

	t.Run("phone", func(t *testing.T) {
		b.t = t
		b.do(chromedp.EmulateViewport(360, 800))
		b.open(at)
		b.loaded("town")
		if got := b.texts(".tools select[id^=pick-by]"); len(got) != 0 {
			t.Error("the choices are not folded away")
		}
		b.press(".tools .opener")
		b.pick(".tools select[id^=pick-by]", "cultivar")
		if !eval[bool](b, `(function () { var a = Array.from(document.querySelectorAll("table.byway tbody th a"), function (x) { return x.textContent; });
			return a.every(function (x, i) { return i === 0 || a[i-1].localeCompare(x, "en") <= 0; }); })()`) {
			t.Error("the list of orders does not sort")
		}
		if got := eval[int64](b, "document.documentElement.scrollWidth"); got > 360 {
			t.Errorf("%d wide on a screen of 360", got)
		}
		b.do(chromedp.EmulateViewport(1280, 800))
		b.quiet()
	})

	t.Run("grid", func(t *testing.T) {
		b.t = t
		zone := string(town.Row.ZoneID)
		b.open("grid/pot-plain/" + zone + "/index.html")
		b.loaded("grid")
		all := b.shownRows("table.grid")
		b.pick(".tools select[id^=pick-odds]", "8")
		some := b.shownRows("table.grid")
		if len(some) == 0 || len(some) >= len(all) {
			t.Errorf("%d of %d rows", len(some), len(all))
		}
		// Another way of growing opens with the same choice.
		b.click(".onpage li:last-child a", "grid")
		if v := eval[string](b, `document.querySelector(".tools select[id^=pick-odds]").value`); v != "8" {
			t.Errorf("the choice is lost on the way: %q", v)
		}
		// One stop of the Tab key; arrows go from cell to cell, headings included.
		if n := eval[int](b, `document.querySelectorAll("table.grid [tabindex='0']").length`); n != 1 {
			t.Errorf("%d stops of the Tab key in the grid", n)
		}
		eval[bool](b, `(document.querySelector("table.grid [tabindex='0']").focus(), true)`)
		here := func() string {
			return eval[string](b, `(function () { var c = document.activeElement.closest("th, td"), rows = Array.from(document.querySelectorAll("table.grid tr:not([hidden])")); return c ? rows.indexOf(c.parentNode) + "," + c.cellIndex : "outside"; })()`)
		}
		for _, step := range []struct{ key, at string }{{"", "1,0"}, {kb.ArrowRight, "1,1"}, {kb.ArrowDown, "2,1"}, {kb.ArrowLeft, "2,0"}, {kb.ArrowUp, "1,0"}, {kb.ArrowUp, "0,0"}, {kb.End, "0," + fmt.Sprint(eval[int](b, `document.querySelector("table.grid tr").cells.length - 1`))}} {
			if step.key != "" {
				b.do(chromedp.KeyEvent(step.key))
			}
			if got := here(); got != step.at {
				t.Errorf("after %q the focus is in %s, not %s", step.key, got, step.at)
			}
		}
		roles := eval[string](b, `[document.querySelector("table.grid").getAttribute("role"), document.querySelectorAll("table.grid thead th:not([scope=col]), table.grid tbody th:not([scope=row])").length].join(" ")`)
		if roles != "grid 0" {
			t.Errorf("role and heading cells without a scope: %s", roles)
		}
		// What a screen reader is given: rows of cells under headings.
		b.spoken("gridcell", "table.grid tr:not([hidden]) td:not([hidden])")
		b.spoken("columnheader", "table.grid thead th:not([hidden])")
		b.spoken("rowheader", "table.grid tbody tr:not([hidden]) th")
		b.quiet()
	})

	// A cultivar is found on a town's page by its other names too.
	t.Run("other names", func(t *testing.T) {
		b.t = t
		b.open(at)
		b.loaded("town")
		for i := range book.Club.Cultivars {
			c := &book.Club.Cultivars[i]
			if len(c.AlsoCalled) == 0 {
				continue
			}
			b.do(chromedp.SendKeys(chromedp.CSS(".tools input"), c.AlsoCalled[0]))
			if got := b.shownRows("table.byway"); len(got) == 0 || got[0] != string(c.Name) {
				t.Errorf("%q finds %q", c.AlsoCalled[0], got)
			}
			break
		}
		b.quiet()
	})
}

// ripeRows counts the rows of a town whose odds by a way of growing reach a
// share.
func ripeRows(town *almanac.Town, method string, share float64) int {
	seen := map[string]bool{}
	for _, o := range town.Odds {
		if o.Method == method && o.Reason == "" && o.Odds >= share && o.Brebas != "kept" {
			seen[o.Cultivar+o.Part] = true
		}
	}
	for _, o := range town.Odds {
		if o.Method == method && o.Reason == "" && o.Odds >= share && o.Part == "breba" {
			seen[o.Cultivar+o.Part] = true
		}
	}
	return len(seen)
}

// TestBrowserCompare: towns and cultivars side by side on a phone; the address
// opens the same again; what is shown is the book's.
func TestBrowserCompare(t *testing.T) {
	long(t)
	b := openBrowser(t)
	book := demoBook(t)
	b.do(chromedp.EmulateViewport(360, 800))
	b.open("compare/index.html")
	b.loaded("compare")
	one, two, three := &book.Towns[0], &book.Towns[1], &book.Towns[2]
	for i, x := range []*almanac.Town{one, two, three} {
		b.pick(fmt.Sprintf("#town-%d", i+1), string(x.Row.ID))
	}
	b.do(chromedp.WaitVisible(chromedp.CSS("#side-towns table.n3")))
	heads := b.texts("#side-towns thead th")
	if strings.Join(heads, "|") != string(one.Row.Name)+"|"+string(two.Row.Name)+"|"+string(three.Row.Name) {
		t.Errorf("heads %q", heads)
	}
	// The odds of one cultivar, cell by cell, by two ways of growing.
	cells := func(name string) string {
		return eval[string](b, fmt.Sprintf(`Array.from(document.querySelectorAll("#side-towns tbody tr")).filter(function (r) { return r.cells[0].textContent === %q; }).map(function (r) { return Array.from(r.cells).slice(1).map(function (c) { return c.textContent; }).join("|"); })[0] || ""`, name))
	}
	var probe *almanac.Odds
	for i := range one.Odds {
		if o := &one.Odds[i]; o.Method == "pot-head-start" && o.Reason == "" && o.Brebas == "" && o.Odds > 0.3 && o.Odds < 0.7 {
			probe = o
		}
	}
	if probe == nil {
		t.Fatal("no odds to look at")
	}
	name := ""
	for i := range book.Club.Cultivars {
		if string(book.Club.Cultivars[i].ID) == probe.Cultivar {
			name = string(book.Club.Cultivars[i].Name)
		}
	}
	for _, way := range []string{"pot-plain", "pot-head-start"} {
		b.pick("#town-way", way)
		var want []string
		for _, x := range []*almanac.Town{one, two, three} {
			for _, o := range x.Odds {
				if o.Cultivar == probe.Cultivar && o.Part == probe.Part && o.Method == way {
					want = append(want, inTen(o.Odds)+"\u00a0in\u00a010")
				}
			}
		}
		if got := cells(name); got != strings.Join(want, "|") {
			t.Errorf("%s, %s: the page shows %q, the book %q", name, way, got, want)
		}
	}
	if got := eval[int64](b, "document.documentElement.scrollWidth"); got > 360 {
		t.Errorf("%d wide on a screen of 360", got)
	}
	first, second := string(book.Club.Cultivars[0].ID), string(book.Club.Cultivars[1].ID)
	b.pick("#cultivar-1", first)
	b.pick("#cultivar-3", second)
	b.do(chromedp.WaitVisible(chromedp.CSS("#side-cultivars table.n2")))
	address, shown := b.address(), eval[string](b, `document.getElementById("compare").innerText`)
	if want := "#towns=" + string(one.Row.ID) + "," + string(two.Row.ID) + "," + string(three.Row.ID) + "&cultivars=" + first + "," + second + "&town-way=pot-head-start"; !strings.HasSuffix(address, want) {
		t.Errorf("the address %s does not end in %s", address, want)
	}
	b.afresh(address)
	b.do(chromedp.WaitVisible(chromedp.CSS("#side-towns table.n3")), chromedp.WaitVisible(chromedp.CSS("#side-cultivars table.n2")))
	if again := eval[string](b, `document.getElementById("compare").innerText`); again != shown {
		t.Errorf("%s opens with\n%.600s\nit was\n%.600s", address, again, shown)
	}
	b.do(chromedp.EmulateViewport(320, 800))
	if got := eval[int64](b, "document.documentElement.scrollWidth"); got > 320 {
		t.Errorf("%d wide on a screen of 320", got)
	}
	b.quiet()

	// An address of towns that are gone does no harm.
	b.afresh(b.root + "compare/index.html#towns=no-such-town,../../x&cultivars=" + first)
	b.do(chromedp.WaitVisible(chromedp.CSS("#side-cultivars table.n1")))
	if n := eval[int](b, `document.querySelectorAll("#side-towns table").length`); n != 0 {
		t.Error("a town that is not there is shown")
	}
	b.quiet()

	// Without scripts the figures of all towns stand there.
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open("compare/index.html")
	if got := b.texts("main table tbody th"); len(got) != len(book.Towns) {
		t.Errorf("without scripts: %q", got)
	}
	b.open("search/index.html")
	if got := b.texts("main ul.everything a"); len(got) < len(book.Towns)+len(book.Club.Cultivars) {
		t.Errorf("without scripts the search lists %d", len(got))
	}
	b.open("index.html")
	if got := b.texts(".where a, a.town"); len(got) != 2*len(book.Towns) {
		t.Errorf("without scripts home has %d links to towns", len(got))
	}
}

// inTen is how a share of years is printed in a cell.
func inTen(share float64) string {
	switch n := int(share*100 + 0.5); {
	case n >= 95:
		return "over 9"
	case n < 5:
		return "under 1"
	default:
		return fmt.Sprint((n + 5) / 10)
	}
}
