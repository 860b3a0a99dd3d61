package page_test

import (
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/page"
	"ripeward/build/tables"
)

// bilingual is the demonstration club's site in English and French.
func bilingual(t testing.TB, change func(b *almanac.Book)) map[string][]byte {
	t.Helper()
	c, b := *demoBook(t).Club, *demoBook(t)
	b.Club = &c
	c.Settings.Languages = []string{"en", "fr"}
	if change != nil {
		change(&b)
	}
	files, _ := render(t, &b, page.Options{Content: os.DirFS("../../content")})
	return files
}

// sides opens a file below a folder and checks how many sides it prints to on
// each paper.
func (b *browser) sides(t *testing.T, folder, at string, want int) {
	t.Helper()
	b.t = t
	b.do(chromedp.Navigate((&url.URL{Scheme: "file", Path: filepath.ToSlash(folder) + "/" + at}).String()))
	for name, p := range papers {
		if n := b.printed(t, p[0], p[1]); n != want {
			t.Errorf("%s takes %d sides of %s, not %d", at, n, name, want)
		}
	}
}

// The cultivar's sheet, the report form and the roll-call fit on one side of
// A4 and of Letter in both languages; the form has its codes on a second one.
// The sheet of every cultivar is printed, in clubs of few and of many towns.
func TestPapersFit(t *testing.T) {
	long(t)
	b := openBrowser(t)
	check := func(t *testing.T, files map[string][]byte, whole bool) {
		folder := t.TempDir()
		writeSite(t, files, folder)
		for _, lang := range []string{"", "fr/"} {
			b.sides(t, folder, lang+"report/roll-call/index.html", 1)
			form := 2
			if !whole {
				form = 3 // the codes of many towns
			}
			b.sides(t, folder, lang+"report/index.html", form)
			for _, c := range demoBook(t).Club.Cultivars {
				b.sides(t, folder, lang+"cultivars/"+string(c.ID)+"/sheet/index.html", 1)
			}
		}
	}
	t.Run("as it is", func(t *testing.T) { check(t, bilingual(t, nil), true) })
	t.Run("many towns, long notice", func(t *testing.T) {
		check(t, bilingual(t, func(b *almanac.Book) { manifold(b, 9) }), false)
	})
	t.Run("fourteen towns", func(t *testing.T) {
		check(t, bilingual(t, func(b *almanac.Book) {
			manifold(b, 2)
			b.Towns = b.Towns[:14]
		}), true)
	})
}

// manifold repeats a book's towns under other names, n of each, and gives the
// club a long notice.
func manifold(b *almanac.Book, n int) {
	c := *b.Club
	b.Club = &c
	c.Settings.Notice = strings.Repeat("This notice is long, as a club's may be. ", 6)
	c.Settings.Other = nil
	var towns []almanac.Town
	c.Towns = nil
	for _, t := range b.Towns {
		for i := range n {
			x := t
			if i > 0 {
				x.Row.ID, x.Row.Name = club.Text(fmt.Sprintf("%s-%d", t.Row.ID, i)), club.Text(fmt.Sprintf("%s-upon-the-Water %d", t.Row.Name, i))
			}
			towns, c.Towns = append(towns, x), append(c.Towns, x.Row)
		}
	}
	b.Towns = towns
}

// A cultivar's sheet says what it is, what it needs and where it ripens; in a
// club of many towns zone by zone.
func TestCultivarSheetSays(t *testing.T) {
	files := demoSite(t)
	for _, c := range demoBook(t).Club.Cultivars {
		at := "cultivars/" + string(c.ID) + "/sheet/index.html"
		all := textOf(parse(t, files[at]).root)
		for _, must := range []string{string(c.Name), "A climate planning aid, not a forecast", "Crop:"} {
			if !strings.Contains(all, must) {
				t.Errorf("%s does not say %q", at, must)
			}
		}
		if !strings.Contains(text(t, files, "cultivars/"+string(c.ID)+"/index.html"), `href="sheet/index.html"`) {
			t.Errorf("the page of %s does not lead to its sheet", c.ID)
		}
	}
	first := demoBook(t).Club.Cultivars[0]
	at := "cultivars/" + string(first.ID) + "/sheet/index.html"
	all := textOf(parse(t, files[at]).root)
	for _, must := range []string{"°C·d", "°F·d", "reports of", "Take care.", "Sap and sun blister skin", "Eat ripe fruit only", "Plain pot, years in 10", "h a year", "in the ground"} {
		if !strings.Contains(strings.ToLower(all), strings.ToLower(must)) {
			t.Errorf("%s does not say %q", at, must)
		}
	}
	many := text(t, bilingual(t, func(b *almanac.Book) { manifold(b, 3) }), at)
	for _, z := range demoBook(t).Club.Zones {
		if !strings.Contains(many, `<th scope="row">`+string(z.Name)) {
			t.Errorf("with 30 towns the sheet has no row of %s", z.Name)
		}
	}
}

// The empty table has the columns that reports are read by, and nothing else.
func TestReportTable(t *testing.T) {
	got := string(demoSite(t)["contribute/reports.csv"])
	var names []string
	for _, c := range tables.ReportColumns() {
		names = append(names, c.Name)
	}
	if got != strings.Join(names, ",")+"\n" {
		t.Errorf("%q", got)
	}
	for _, must := range []string{"report_id", "town_id", "cultivar_id", "crop_part", "method_id", "year", "outcome", "seen_on", "consent", "status"} {
		if !slices.Contains(names, must) {
			t.Errorf("no column %s", must)
		}
	}
	if _, twice := bilingual(t, nil)["fr/contribute/reports.csv"]; twice {
		t.Error("the table stands there twice")
	}
}

// rollOf is a club's roll-call of a few growers, three trees each.
func rollOf(t *testing.T, languages ...string) []byte {
	t.Helper()
	c := *demoBook(t).Club
	c.Settings.Languages = languages
	var growers []page.RollGrower
	for g := range 3 {
		x := page.RollGrower{Code: fmt.Sprintf("g<%d>", g)}
		for i := range 3 {
			tree := &c.Trees[3*g+i]
			last := &c.Reports[g]
			x.Trees = append(x.Trees, page.RollTree{Tree: tree, Cultivar: c.Cultivar(tree.CultivarID), Town: c.Town(tree.TownID), Method: c.Method(tree.MethodID),
				Parts: []page.RollPart{{Name: "breba", Last: last}, {Name: "main", This: last}}})
		}
		growers = append(growers, x)
	}
	data, err := page.PrintRollCall(&c, 2026, growers, "0.0.0-test")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Each grower's roll-call begins on a side of its own, in both languages, in a
// file that stands alone.
func TestRollCallPrints(t *testing.T) {
	long(t)
	b := openBrowser(t)
	b.root = "file:///" // the policy of the page is what keeps it from asking for more
	for _, lang := range []string{"en", "fr"} {
		folder := t.TempDir()
		writeSite(t, map[string][]byte{"roll.html": rollOf(t, lang)}, folder)
		b.sides(t, folder, "roll.html", 3)
	}
	b.quiet()
}

func TestRollCallSays(t *testing.T) {
	data := rollOf(t, "en")
	standsAlone(t, data, "")
	d := parse(t, data)
	headings(t, d)
	tableCells(t, d)
	all := textOf(d.root)
	for _, must := range []string{"Roll-call 2026: grower g<0>", "last year: ", "reported already: ", "Not ripe counts just as much", string(demoBook(t).Club.Trees[0].ID)} {
		if !strings.Contains(all, must) {
			t.Errorf("the roll-call does not say %q", must)
		}
	}
	if french := string(rollOf(t, "fr", "en")); !strings.Contains(french, `lang="fr"`) || !strings.Contains(french, "jardinier g&lt;0&gt;") {
		t.Error("the roll-call of a French club is not in French")
	}
}
