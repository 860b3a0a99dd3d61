package page_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

// enter puts a value into a field as a reader does.
func (b *browser) enter(id string, value any) {
	b.t.Helper()
	if !eval[bool](b, fmt.Sprintf(`(() => { const e = document.getElementById(%q); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return e.value === %[2]q })()`, id, fmt.Sprint(value))) {
		b.t.Fatalf("#%s does not take %v", id, value)
	}
}

// says is the text of an element as it is read.
func (b *browser) says(sel string) string {
	b.t.Helper()
	b.near(sel) // what is not laid out has no text to read
	return strings.Join(strings.Fields(eval[string](b, fmt.Sprintf(`document.querySelector(%q).innerText`, sel))), " ")
}

// own is what the page has in the table of one's own odds, by line.
func (b *browser) own() map[string]float64 {
	b.t.Helper()
	return eval[map[string]float64](b, `Object.fromEntries([...document.querySelectorAll("#tree-table tbody tr")].filter(r => r.cells[2].hasAttribute("data-v")).map(r => [r.getAttribute("data-line"), Number(r.cells[2].getAttribute("data-v"))]))`)
}

// One report of a reader's own moves the odds of that crop as the formula
// says; with nothing known they stay the book's. Nothing is kept unless the
// reader says so.
func TestBrowserGarden(t *testing.T) {
	long(t)
	const id = "velloway"
	book := demoBook(t)
	var town *almanac.Town
	for i := range book.Towns {
		if string(book.Towns[i].Row.ID) == id {
			town = &book.Towns[i]
		}
	}
	b := openBrowser(t)
	b.do(chromedp.EmulateViewport(360, 740))
	b.open("towns/" + id + "/garden/index.html")
	b.loaded("garden")

	way := &town.Garden.Ways[0]
	for i := range town.Garden.Ways {
		if w := &town.Garden.Ways[i]; w.Method == "pot-plain" && w.Crop == "fig" {
			way = w
		}
	}
	b.enter("tree-way", way.Method)
	usual := b.own()
	compared := 0
	for _, o := range town.Odds {
		if v, there := usual[o.Cultivar+"/"+o.Part+"/"+o.Brebas]; there && o.Method == way.Method {
			compared++
			if math.Abs(v-o.Odds) > 1e-9 {
				t.Errorf("%s, %s: with nothing known %v, the book has %v", o.Cultivar, o.Part, v, o.Odds)
			}
		}
	}
	if compared < 20 {
		t.Fatalf("%d lines in the table: %v", compared, usual)
	}

	season := &way.Seasons[len(way.Seasons)-2]
	for _, c := range []struct {
		line string
		know string
		heat float64 // of the report, beside the need
	}{{"thimblejack/main/", "ripe", -130}, {"thimblejack/main/", "ripe", 60}, {"saltgate/main/", "not", -60}, {"hearthling/main/kept", "ripe", -40}} {
		line := lineOf(t, book, c.line)
		on := season.From
		for gardenHeatOn(season, on) < line.Mu+line.Delay+way.ExtraNeed+c.heat && int(on-season.From) < len(season.Gain) {
			on++
		}
		b.enter("tree-line", c.line)
		b.enter("tree-way", way.Method)
		b.enter("tree-know", c.know)
		b.enter("tree-day", on)
		heat := gardenHeat(line, way, season, on, c.know == "not")
		post := gardenRipe(line, heat)
		if c.know == "not" {
			post = gardenNot(line, heat)
		}
		shift := -post.mean() * line.GardenSd
		if got := eval[float64](b, `Number(document.getElementById("tree").getAttribute("data-shift"))`); math.Abs(got-shift) > 0.05 {
			t.Errorf("%+v on %s: shift %v, want %v", c, on, got, shift)
		}
		want := "warmer than the middle one"
		if shift < 0 {
			want = "cooler than the middle one"
		}
		if says := b.says("#tree-garden"); !strings.Contains(says, want) || !strings.Contains(says, "9 chances in 10") || !strings.Contains(says, "three more years") {
			t.Errorf("%+v: %q", c, says)
		}
		for line, got := range b.own() {
			l := lineOf(t, book, line)
			if w := gardenOdds(l, way, post); math.Abs(got-w) > 0.0011 {
				t.Errorf("%+v, %s: %v, want %v", c, line, got, w)
			}
			if moved := got - usual[line]; moved*shift < 0 && math.Abs(moved) > 0.03 {
				t.Errorf("%+v, %s: odds go from %v to %v with a shift of %v", c, line, usual[line], got, shift)
			}
		}
	}

	// A report that cannot be is asked about, not used.
	b.enter("tree-line", "thimblejack/main/")
	b.enter("tree-know", "ripe")
	for _, c := range []struct {
		on   day.Date
		says string
	}{{season.From - 20, "hardly in leaf"}, {season.From + 40, "look at cultivar, way and day again"}} {
		b.enter("tree-day", c.on)
		if says := b.says("#tree-garden"); !strings.Contains(says, c.says) {
			t.Errorf("ripe on %s: %q", c.on, says)
		}
		if len(b.own()) > 0 {
			t.Errorf("ripe on %s is used all the same", c.on)
		}
	}
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > 360 {
		t.Errorf("the page is %d px wide", wide)
	}

	// Kept only if the reader asks for it.
	if n := eval[int](b, `Object.keys(localStorage).filter(k => k.includes("garden")).length`); n != 0 {
		t.Errorf("%d entries are kept unasked", n)
	}
	b.press("#own-keep")
	b.open("towns/" + id + "/garden/index.html")
	b.loaded("garden")
	if got := eval[string](b, `document.getElementById("tree-day").value`); got != (season.From + 40).String() {
		t.Errorf("the day kept is %q", got)
	}
	b.press("#own-keep")
	if n := eval[int](b, `Object.keys(localStorage).filter(k => k.includes("garden")).length`); n != 0 {
		t.Errorf("%d entries are left after clearing the box", n)
	}
	b.quiet()
}

func lineOf(t *testing.T, book *almanac.Book, id string) almanac.GardenLine {
	t.Helper()
	for _, l := range book.GardenLines {
		if l.Cultivar+"/"+l.Part+"/"+l.Brebas == id {
			return l
		}
	}
	t.Fatalf("no line %s", id)
	return almanac.GardenLine{}
}

// Cold mornings give mean, error and interval: those of the record fill
// themselves in, in both units.
func TestBrowserMornings(t *testing.T) {
	long(t)
	const id = "maplecrook" // with an offset of its own
	book := demoBook(t)
	var town *almanac.Town
	for i := range book.Towns {
		if string(book.Towns[i].Row.ID) == id {
			town = &book.Towns[i]
		}
	}
	b := openBrowser(t)
	b.do(chromedp.EmulateViewport(360, 740))
	b.open("towns/" + id + "/garden/index.html")
	b.loaded("garden")
	put := func(row, column int, value string) {
		t.Helper()
		eval[bool](b, fmt.Sprintf(`(() => { const e = document.querySelectorAll("#mornings tbody tr")[%d].cells[%d].firstChild; e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true })()`, row, column, value))
	}
	number := func(name string) float64 {
		return eval[float64](b, fmt.Sprintf(`Number(document.getElementById("morning-box").getAttribute("data-%s"))`, name))
	}
	// Ten differences with mean -1.5, standard deviation 0.7454 and error 0.2357
	// by hand.
	diffs := []float64{-1, -2, -1.5, -0.5, -2.5, -1, -2, -1.5, -0.5, -2.5}
	for i, d := range diffs {
		low := float64(town.Garden.Lows[i+3])/10 + d
		put(i, 0, (town.Garden.FirstLow + day.Date(i+3)).String())
		put(i, 1, fmt.Sprintf("%.1f", low))
		switch says := b.says("#morning-band"); {
		case i < 2 && !strings.Contains(says, "So few mornings"), i >= 2 && i < 8 && !strings.Contains(says, fmt.Sprintf("%d more mornings", 9-i)), i == 8 && !strings.Contains(says, "1 more morning makes"), i == 9 && strings.Contains(says, "more"):
			t.Errorf("after %d mornings: %q", i+1, says)
		}
	}
	for name, want := range map[string]float64{"n": 10, "mean": -1.5, "se": 0.2357, "off": 0.2357 * 1.833} {
		if got := number(name); math.Abs(got-want) > 1e-4 {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	if says := b.says("#morning-club"); !strings.Contains(says, fmt.Sprintf("night_offset_c = %.1f", town.Row.NightOffset.Or(0)-1.5)) {
		t.Errorf("for the club: %q", says)
	}
	if says := b.says("#morning-mean"); !strings.Contains(says, "1.5 °C colder") {
		t.Errorf("mean: %q", says)
	}
	if says := b.says("#morning-frost"); !strings.Contains(says, "1 year in 10") {
		t.Errorf("frost: %q", says)
	}
	// The same in °F, and a night beyond the record, with the station's low.
	b.enter("morning-unit", "f")
	if got := number("mean"); math.Abs(got+1.5) > 0.03 {
		t.Errorf("read in °F the mean is %v", got)
	}
	b.enter("morning-unit", "c")
	put(0, 0, (book.CutOff + 40).String())
	put(0, 1, "-9")
	put(0, 2, "-5")
	want := (-9 - (-5 + town.Lead.NightShiftC) + 1 + 10*-1.5) / 10
	if got := number("mean"); math.Abs(got-want) > 0.03 {
		t.Errorf("with a night of the reader's own the mean is %v, want %v", got, want)
	}
	b.do(chromedp.EmulateViewport(320, 740))
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > 320 {
		t.Errorf("the page is %d px wide", wide)
	}
	b.quiet()
}
