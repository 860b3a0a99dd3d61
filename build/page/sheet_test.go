package page_test

import (
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/page"
)

// pageObject finds the page objects of a PDF (ISO 32000-1, 7.7.3.3), which
// Chromium writes uncompressed.
var pageObject = regexp.MustCompile(`/Type\s*/Page[^s]`)

// printed prints the page in the tab and returns how many sides it takes.
func (b *browser) printed(t *testing.T, widthInch, heightInch float64) int {
	t.Helper()
	r, err := chromedp.Call(b.ctx, cdppage.PrintToPDF, cdppage.PrintToPDFParams{PaperWidth: widthInch, PaperHeight: heightInch})
	if err != nil {
		t.Fatal(err)
	}
	n := len(pageObject.FindAll(r.Data, -1))
	if n == 0 {
		t.Fatal("no page found in the PDF")
	}
	return n
}

var papers = map[string][2]float64{"A4": {210 / 25.4, 297 / 25.4}, "Letter": {8.5, 11}}

// longest is the town whose sheet has the most to say.
func longest(t *testing.T, b *almanac.Book, files map[string][]byte) string {
	t.Helper()
	best, id := 0, ""
	for i := range b.Towns {
		town := string(b.Towns[i].Row.ID)
		if n := strings.Count(text(t, files, "towns/"+town+"/sheet/index.html"), "<tr>"); n > best {
			best, id = n, town
		}
	}
	return id
}

// The sheet of the town with most to say fits on one side of A4 and of Letter,
// at 11 points, and so does one of a club that has
// more jobs, in smaller type, until some are left out.
func TestSheetIsOnePage(t *testing.T) {
	long(t)
	b := openBrowser(t)
	book, files := demoBook(t), demoSite(t)
	town := longest(t, book, files)
	if at := text(t, files, "towns/"+town+"/sheet/index.html"); !strings.Contains(at, `class="wall s11"`) {
		t.Error("the demonstration's sheets are meant to be set in 11 points")
	}
	b.open("towns/" + town + "/sheet/index.html")
	for name, p := range papers {
		if n := b.printed(t, p[0], p[1]); n != 1 {
			t.Errorf("the sheet of %s takes %d sides of %s", town, n, name)
		}
	}
	b.open("towns/" + town + "/index.html")
	if n := b.printed(t, papers["A4"][0], papers["A4"][1]); n < 2 {
		t.Errorf("a town's page counts as %d sides: the count sees nothing", n)
	}
	b.quiet()

	seen := map[string]bool{}
	for _, more := range []int{1, 3, 12, 60} {
		folder := t.TempDir()
		at := "towns/" + town + "/sheet/index.html"
		files := sheetWith(t, book, town, more)
		writeSite(t, files, folder)
		size := regexp.MustCompile(`class="wall (s\d+)"`).FindStringSubmatch(string(files[at]))
		if size == nil {
			t.Fatal("the sheet names no size")
		}
		seen[size[1]] = true
		b.do(chromedp.Navigate((&url.URL{Scheme: "file", Path: filepath.ToSlash(folder) + "/" + at}).String()))
		for name, p := range papers {
			if n := b.printed(t, p[0], p[1]); n != 1 {
				t.Errorf("with %d more jobs, at %s, the sheet takes %d sides of %s", more, size[1], n, name)
			}
		}
		if left := strings.Contains(string(files[at]), "more on the town’s page"); left != (more == 60) {
			t.Errorf("with %d more jobs: some are left out: %v", more, left)
		}
	}
	if len(seen) != 3 {
		t.Errorf("sizes tried: %v", seen)
	}
}

// sheetWith renders one town's pages with jobs added.
func sheetWith(t *testing.T, b *almanac.Book, town string, more int) map[string][]byte {
	t.Helper()
	c, one := *b.Club, *b
	one.Club = &c
	i := slices.IndexFunc(b.Towns, func(x almanac.Town) bool { return string(x.Row.ID) == town })
	x := b.Towns[i]
	c.Tasks, x.Tasks = slices.Clone(c.Tasks), slices.Clone(x.Tasks)
	for n := range more {
		id := fmt.Sprintf("more-%02d", n)
		c.Tasks = append(c.Tasks, club.Task{ID: club.Text(id), Name: club.Text(fmt.Sprintf("Another job of the year, number %d", n+1))})
		from := day.Of(b.PlanYear, 3, 1) + day.Date(4*n)
		d := almanac.TaskDate{Method: "pot-plain", Task: id, From: from, Until: from + 1}
		x.Tasks = append(x.Tasks, d)
	}
	one.Towns = []almanac.Town{x}
	files, _ := render(t, &one, page.Options{Content: os.DirFS("../../content")})
	return files
}

// What the sheet has to have on it.
func TestSheetSays(t *testing.T) {
	b, files := demoBook(t), demoSite(t)
	for i := range b.Towns {
		town := &b.Towns[i]
		d := parse(t, files["towns/"+string(town.Row.ID)+"/sheet/index.html"])
		all := textOf(d.root)
		for _, must := range []string{string(town.Row.Name), "A climate planning aid, not a forecast", fmt.Sprintf("%d–%d", b.Span.First, b.Span.Last), "°C·d", "°F·d", "1 year in 10",
			"Plain pot", "Pot with a head start indoors", "What to do when", "Ripens best", "Into the store", "zone", "Take care.", "Sap and sun blister skin"} {
			if !strings.Contains(all, must) {
				t.Errorf("%s: the sheet does not say %q", town.Row.ID, must)
			}
		}
	}
}
