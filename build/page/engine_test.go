package page_test

import (
	"html"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/page"
)

var tags = regexp.MustCompile(`<[^>]*>`)

// visible is a page's text without its tags.
func visible(page []byte) string {
	return strings.Join(strings.Fields(html.UnescapeString(tags.ReplaceAllString(string(page), " "))), " ")
}

// Every figure of the catalogue stands on the methods page with its
// definition, formula and source, the months of a measure as one.
func TestMethodsPageHasTheCatalogue(t *testing.T) {
	text := visible(demoSite(t)["methods/index.html"])
	for _, e := range climate.Catalogue() {
		name := e.Name
		if m := regexp.MustCompile(`^(t(?:min|max)_mean|precip)_\d\d$`).FindStringSubmatch(name); m != nil {
			name = m[1] + "_01 to _12"
		} else if !strings.Contains(text, strings.Join(strings.Fields(e.Formula), " ")) {
			t.Errorf("%s: the formula %q is not there", name, e.Formula)
		}
		for _, want := range []string{name, e.Source, e.Policy.Basis.English} {
			if !strings.Contains(text, strings.Join(strings.Fields(want), " ")) {
				t.Errorf("%s: %q is not there", e.Name, want)
			}
		}
	}
}

// Every form of station files that can be read stands on the methods page with
// the document that defines it.
func TestMethodsPageHasTheFormsOfFiles(t *testing.T) {
	forms := demoBook(t).Dialects
	if len(forms) == 0 {
		t.Fatal("the book has no forms of files")
	}
	text := visible(demoSite(t)["methods/index.html"])
	for _, d := range forms {
		if !strings.Contains(text, d.About) || !strings.Contains(text, d.Format) {
			t.Errorf("%s is not there", d.Name)
		}
	}
}

// The demonstration's stuck thermometer, its spike and the errors of prediction
// stand on the page about data quality.
func TestQualityPageTellsDoubts(t *testing.T) {
	text := visible(demoSite(t)["data-quality/index.html"])
	for _, want := range []string{"24 days in a row with the same value", "(not used).", "Spike, highest temperature, 15 July 2018", "−0.5 °C (not used)",
		"How far off is a town without a station?", "from Brindlemouth Bridge", "of height, warm days would change by"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not there", want)
		}
	}
}

func TestTownPageTellsTheSeason(t *testing.T) {
	site := demoSite(t)
	text := visible(site["towns/velloway/index.html"])
	for _, want := range []string{"Years in 10 in which a freeze still comes after", "1 winter in 30, estimated", "within three days falls in", "In July, the thirstiest month, a pot of 38 L", "Winter chill: the middle winter brings"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	if !strings.Contains(visible(site["towns/velloway/all/index.html"]), "Heat gathered above 10 °C") {
		t.Error("no heat by date")
	}
}

// A middle year outside the band of the reference years is marked in the row
// that shows it, and only there.
func TestThenAndNowMarksTheMiddleYear(t *testing.T) {
	b := demoBook(t)
	copied := *b
	copied.Towns = slices.Clone(b.Towns)
	town := &copied.Towns[0]
	town.Recent = slices.Clone(town.Recent)
	for i := range town.Recent {
		if n := &town.Recent[i]; n.Measure == "last_spring_freeze_0" {
			n.P[4].V -= 40 // forty days earlier
			n.P[8].V -= 40
		}
	}
	files, _ := render(t, &copied, page.Options{Content: os.DirFS("../../content")})
	text := visible(files["towns/"+string(town.Row.ID)+"/index.html"])
	i := strings.Index(text, "Then and now")
	if i < 0 {
		t.Fatal("no comparison")
	}
	text = text[i:]
	late, middle, autumn := strings.Index(text, "later in 1 year in 10"), strings.Index(text, "Last spring freeze, middle year"), strings.Index(text, "First autumn freeze, middle year")
	if late < 0 || middle < late || autumn < middle {
		t.Fatalf("rows at %d, %d, %d", late, middle, autumn)
	}
	if strings.Contains(text[late:middle], "differs") || !strings.Contains(text[middle:autumn], "differs") {
		t.Errorf("marks stand wrongly: %s", text[late:autumn])
	}
}
