package page_test

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html/atom"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/page"
)

// listed is the list of names of a site, as its script has it.
func listed(t *testing.T, files map[string][]byte) [][]any {
	t.Helper()
	for at, data := range files {
		if !strings.HasPrefix(at, "assets/names.") {
			continue
		}
		body, ok := strings.CutPrefix(string(data), "window.ripewardNames = ")
		body, ok2 := strings.CutSuffix(body, ";\n")
		if !ok || !ok2 || strings.ContainsAny(body, "<>&") {
			t.Fatalf("%s is no list that may stand in a script: %.200s", at, data)
		}
		var list [][]any
		if err := json.Unmarshal([]byte(body), &list); err != nil {
			t.Fatalf("%s: %v", at, err)
		}
		return list
	}
	t.Fatal("there is no list of names")
	return nil
}

// Everything that can be found leads to a page, and nothing is missing.
func TestNames(t *testing.T) {
	eachSite(t, func(t *testing.T, files map[string][]byte, _ string) {
		kinds := map[string]int{}
		seen := map[string]bool{}
		for _, n := range listed(t, files) {
			kind, folder := n[0].(string), n[1].(string)
			kinds[kind]++
			if _, ok := files[folder+"index.html"]; !ok {
				t.Errorf("%v leads to no page", n)
			}
			if seen[folder] {
				t.Errorf("%s occurs twice", folder)
			}
			seen[folder] = true
		}
		pages := map[string]int{}
		for at := range files {
			if m := regexp.MustCompile(`^(town|zone|cultivar|guide)s/[^/]+/index\.html$`).FindStringSubmatch(at); m != nil {
				pages[m[1]]++
			}
		}
		for kind, n := range pages {
			if kinds[kind] != n {
				t.Errorf("%d of %d pages of kind %s can be found", kinds[kind], n, kind)
			}
		}
	})
}

// Other names and names in other languages are in the list, places to 0.01°
// and only where both coordinates are known; the page without a script has all
// of them.
func TestOtherNames(t *testing.T) {
	b := hard()
	b.Club.Cultivars[0].AlsoCalled = club.List{"Väinö's <Old> One", "Uno"}
	b.Towns[1].Row.Longitude, b.Towns[1].Row.Latitude = num(-71.23456), num(-37.005)
	b.Towns[1].Row.Other = map[string]string{"name_fr": "Saint-Œuf", "about_fr": "no name"}
	files, _ := render(t, b, page.Options{})
	found := map[string][]any{}
	for _, n := range listed(t, files) {
		found[n[1].(string)] = n
	}
	if got := found["cultivars/one/"][4]; got != "Väinö's <Old> One|Uno" {
		t.Errorf("other names of a cultivar: %v", got)
	}
	if got := found["towns/bb/"]; len(got) != 7 || got[4] != "Saint-Œuf" || got[5] != -37.01 || got[6] != -71.23 {
		t.Errorf("a town with everything: %v", got)
	}
	if got := found["towns/aa/"]; len(got) != 4 {
		t.Errorf("a town with one coordinate: %v", got)
	}
	search := text(t, files, "search/index.html")
	for _, want := range []string{"also Väinö&#39;s &lt;Old&gt; One and Uno", "also Saint-Œuf", `href="../towns/aa/index.html"`, `href="../guides/hazards/index.html"`} {
		if !strings.Contains(search, want) {
			t.Errorf("the page of everything lacks %s", want)
		}
	}
}

// What is set side by side is the book's: names with markup, odds as letters,
// reasons as none.
func TestCompareFiles(t *testing.T) {
	b := hard()
	files, _ := render(t, b, page.Options{})
	read := func(at string) (c struct {
		Name  string
		Facts [][2]any
		Odds  [][3]string
	}) {
		t.Helper()
		whole := text(t, files, "compare/"+at+".js")
		body, ok := strings.CutPrefix(whole, fmt.Sprintf("window.ripewardCompare(%q, ", at))
		body, ok2 := strings.CutSuffix(body, ");\n")
		if !ok || !ok2 || strings.ContainsAny(body, "<>&") {
			t.Fatalf("compare/%s.js: %.200s", at, whole)
		}
		if err := json.Unmarshal([]byte(body), &c); err != nil {
			t.Fatal(err)
		}
		return c
	}
	town := read("towns/aa")
	if town.Name != `A&A's "Town"` {
		t.Errorf("the town is called %q", town.Name)
	}
	want := map[string]string{`One "<em>1</em>", main crop`: "", `One "<em>1</em>", breba`: ""}
	for _, o := range town.Odds {
		if _, ok := want[o[0]]; !ok {
			t.Errorf("a row without odds: %q", o)
		}
		want[o[0]] = o[2]
	}
	// Plain pot first, then the others as listed: 0.82 and 0.97 by all three.
	if want[`One "<em>1</em>", main crop`] != "iii" || want[`One "<em>1</em>", breba`] != "kkk" {
		t.Errorf("odds %v", want)
	}
	facts := map[string]any{}
	for _, f := range town.Facts {
		facts[f[0].(string)] = f[1]
	}
	if facts["Hardiness zone"] != "5b" || fmt.Sprint(facts["Heat of the season"]) != "[map[m:1,140\u00a0°C·d u:2,052\u00a0°F·d]]" {
		t.Errorf("facts %v", facts)
	}
	cultivar := read("cultivars/one")
	if len(cultivar.Odds) != 2 || cultivar.Odds[0][2] != "iii" {
		t.Errorf("a cultivar's odds %v", cultivar.Odds)
	}
	if bare := read("towns/bb"); len(bare.Odds) != 0 || bare.Facts == nil {
		t.Errorf("a town with next to no data: %+v", bare)
	}
	if lemon := read("cultivars/lemon"); len(lemon.Odds) != 0 || fmt.Sprint(lemon.Facts[1]) != "[Ripening odds not counted]" {
		t.Errorf("a crop that is not counted: %v", lemon.Facts)
	}
}

// crowd is the awkward book with n towns around a circle, in two zones.
func crowd(n int) *almanac.Book {
	b := hard()
	first := b.Towns[0]
	b.Club.Towns, b.Towns = nil, nil
	for i := range n {
		x := first
		a := 2 * math.Pi * float64(i) / float64(n)
		x.Row.ID, x.Row.Name, x.Row.ZoneID = textID(i), "Town "+textID(i), []club.Text{"north", "south"}[i%2]
		x.Row.Latitude, x.Row.Longitude, x.Row.ElevationM = num(45+math.Sin(a)), num(8+math.Cos(a)), num(float64(100+3*i))
		b.Club.Towns = append(b.Club.Towns, x.Row)
		b.Towns = append(b.Towns, x)
	}
	return b
}

// The map links every town, or, of many towns, every zone; without coordinates
// there is none.
func TestWhereMap(t *testing.T) {
	places := func(b *almanac.Book) []string {
		files, _ := render(t, b, page.Options{})
		d := parse(t, files["index.html"])
		var out []string
		for n := range d.root.Descendants() {
			if n.DataAtom == atom.A && attr(n, "class") == "rw-place" {
				out = append(out, attr(n, "href"))
			}
		}
		slices.Sort(out)
		return slices.Compact(out)
	}
	if got := places(hard()); len(got) != 0 {
		t.Errorf("towns without coordinates are on the map: %q", got)
	}
	if got := places(crowd(70)); len(got) != 70 || got[0] != "towns/t00/index.html" {
		t.Errorf("70 towns: %d places, %q", len(got), got[0])
	}
	if got := strings.Join(places(crowd(130)), " "); got != "zones/north/index.html zones/south/index.html" {
		t.Errorf("130 towns: %q", got)
	}
	home := text(t, demoSite(t), "index.html")
	for _, want := range []string{"Pinderfell is the highest at 550\u00a0m (1,804\u00a0ft)", "Ostermere the lowest", "Ten towns, north up", `<a class="town" href="towns/pinderfell/index.html">`} {
		if !strings.Contains(home, want) {
			t.Errorf("home lacks %q", want)
		}
	}
}
