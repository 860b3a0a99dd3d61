package page_test

import (
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ripeward/build/page"
)

// inFrench is the demonstration club's site as a club has it that speaks
// French alone, opened in the browser's place of the English one.
func inFrench(t *testing.T, b *browser) map[string][]byte {
	t.Helper()
	book := *demoBook(t)
	c := *book.Club
	book.Club, c.Settings.Languages = &c, []string{"fr"}
	files, _ := render(t, &book, page.Options{Content: os.DirFS("../../content")})
	folder := t.TempDir()
	writeSite(t, files, folder)
	b.root = (&url.URL{Scheme: "file", Path: filepath.ToSlash(folder) + "/"}).String()
	return files
}

// The calculators answer in French, with the decimal comma, and say what the
// tables of their pages say.
func TestBrowserCalculatorsInFrench(t *testing.T) {
	long(t)
	b := openBrowser(t)
	inFrench(t, b)
	b.do(chromedp.EmulateViewport(360, 740))
	choose := func(id string, value any) {
		eval[bool](b, fmt.Sprintf(`(() => { const e = document.getElementById(%q); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true })()`, id, fmt.Sprint(value)))
	}
	words := func(script string) string { return strings.Join(strings.Fields(eval[string](b, script)), " ") }
	says := func(id string) string { return words(fmt.Sprintf(`document.getElementById(%q).textContent`, id)) }
	points := regexp.MustCompile(`\d\.\d`)

	b.open("pots/index.html")
	if got := eval[string](b, `document.documentElement.lang`); got != "fr" {
		t.Fatalf("the page is in %q", got)
	}
	choose("r-pot", 2)
	weighs := words(`document.querySelector("#sizes ~ .scroll table tbody").rows[2].cells[2].textContent`)
	volume := words(`document.querySelector("#sizes ~ .scroll table tbody").rows[2].cells[0].textContent`)
	for _, x := range []struct {
		pots       int
		id, begins string
		holds      []string
	}{
		{1, "r-says-mix", "1 pot demande " + volume + " de mélange : ", []string{"écorce", " ; perlite, ", "Mouillé, le mélange d’un pot pèse " + weighs + "."}},
		{10, "r-says-mix", "10 pots demandent ", []string{"écorce", " ; perlite, ", weighs}},
		{1, "r-says-feed", "Pour ", []string{" ppm N : ", " par litre d’eau. Mouiller 1 pot sec demande environ "}},
		{10, "r-says-feed", "Pour ", []string{"Mouiller 10 pots secs demande environ ", " d’engrais dedans."}},
		{1, "r-says-water", "En ", []string{"chaque pot boit environ ", " par jour.", "Un pot mouillé tient ", " sans pluie.", "fertilisez un pot simple du "}},
		{10, "r-says-water", "En ", []string{"les 10 ensemble "}},
	} {
		choose("r-n", x.pots)
		got := says(x.id)
		if !strings.HasPrefix(got, x.begins) {
			t.Errorf("%d pots: %q does not begin with %q", x.pots, got, x.begins)
		}
		for _, h := range x.holds {
			if !strings.Contains(got, h) {
				t.Errorf("%d pots: %q does not say %q", x.pots, got, h)
			}
		}
		if points.MatchString(got) || strings.Contains(got, "#") {
			t.Errorf("%d pots: %q", x.pots, got)
		}
	}
	choose("r-dilution", 100)
	if got := says("r-says-feed"); !strings.Contains(got, "par litre de solution mère, donnée à 1:100.") {
		t.Errorf("stock: %q", got)
	}
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > 360 {
		t.Errorf("the pots page is %d px wide", wide)
	}

	b.open("towns/brindlemouth/figlets/index.html")
	column := -1
	var number string
	for i := range eval[int](b, `document.querySelector("table.figlets").tHead.rows[0].cells.length`) - 2 {
		number = words(fmt.Sprintf(`document.querySelector("table.figlets tbody").rows[0].cells[%d].textContent`, i+2))
		if n, err := strconv.Atoi(number); err == nil && n > 1 {
			column = i
			break
		}
	}
	if column < 0 {
		t.Fatal("no date of the first cultivar has a plain number")
	}
	choose("count-cultivar", 0)
	choose("count-day", column)
	got := says("count-says")
	for _, h := range []string{"Les petites figues de ", " vues dès le ", "mûrissent " + number + " ", "Ôtez celles qui paraissent après le "} {
		if !strings.Contains(got, h) {
			t.Errorf("figlets: %q does not say %q", got, h)
		}
	}
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > 360 {
		t.Errorf("the figlets page is %d px wide", wide)
	}
	b.quiet()
}

// The sheets in French fit on one side as the English ones do: every town's.
func TestFrenchSheetIsOnePage(t *testing.T) {
	long(t)
	b := openBrowser(t)
	files := inFrench(t, b)
	for i := range demoBook(t).Towns {
		at := "towns/" + string(demoBook(t).Towns[i].Row.ID) + "/sheet/index.html"
		size := regexp.MustCompile(`class="wall (s\d+)"`).FindSubmatch(files[at])
		if size == nil {
			t.Fatalf("%s names no size", at)
		}
		b.open(at)
		for name, p := range papers {
			if n := b.printed(t, p[0], p[1]); n != 1 {
				t.Errorf("%s, at %s, takes %d sides of %s", at, size[1], n, name)
			}
		}
		if strings.Contains(string(files[at]), "de plus à la page de la localité") {
			t.Errorf("%s leaves jobs out", at)
		}
		t.Logf("%s: %s", at, size[1])
	}
	b.quiet()
}
