package page_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"ripeward/build/almanac"
	"ripeward/build/page"
)

// inFrenchToo is the demonstration's book with one town and pages in French.
func inFrenchToo(t *testing.T, town *almanac.Town) map[string][]byte {
	t.Helper()
	two := *demoBook(t)
	c := *two.Club
	two.Club, c.Settings.Languages = &c, []string{"en", "fr"}
	two.Towns = []almanac.Town{*town}
	files, _ := render(t, &two, page.Options{})
	return files
}

// The planner speaks French where its page does, and reckons the same.
func TestBrowserPlannerInFrench(t *testing.T) {
	long(t)
	town := townToPlan(t)
	b := openBrowserOn(t, func() map[string][]byte { return inFrenchToo(t, town) })
	b.do(chromedp.EmulateViewport(360, 800))
	b.open("fr/plan/" + string(town.Row.ID) + "/index.html")
	b.loaded("plan")
	if !eval[bool](b, `!document.getElementById("planner").hidden && !document.getElementById("set-form").hidden`) {
		t.Fatal("the script does not bring the planner up")
	}
	chosen := 0
	for i, x := range town.Together {
		for _, best := range x.Best {
			got := eval[string](b, fmt.Sprintf(`(function () {
				var m = document.getElementById("set-method"), f = document.getElementById("set-form"); m.value = "%d"; m.dispatchEvent(new Event("change"));
				[%d, %d, %d].forEach(function (r, i) { var s = document.getElementById("set-" + (i + 1)); s.value = String(r); s.dispatchEvent(new Event("change")); });
				return f.getAttribute("data-share") + " " + f.getAttribute("data-weeks") + " " + document.getElementById("set-weeks").textContent; })()`, i, best.Rows[0], best.Rows[1], best.Rows[2]))
			weeks := fmt.Sprintf("%.1f", best.Weeks)
			want := fmt.Sprintf("%.2f %s %s", best.Share, weeks, strings.TrimSuffix(strings.Replace(weeks, ".", ",", 1), ",0"))
			if got != want {
				t.Errorf("%s, rows %v: the page says %s, the book has %s", x.Method, best.Rows, got, want)
			}
			chosen++
		}
	}
	if chosen == 0 {
		t.Fatal("no set to choose")
	}
	for _, c := range []struct{ what, script, want string }{
		{"the sentence of the set", `document.querySelector("#set-form [role=status]").textContent`, `^Au moins une mûrit .+\. Semaines de cueillette en année moyenne : \d+(,\d)?\.$`},
		{"no cultivar", `document.getElementById("set-1").options[0].textContent`, `^aucune$`},
		{"the slider", `document.getElementById("plan-weeks").getAttribute("aria-valuetext")`, `^\d+ : .+ sur 10$`},
		{"what the slider shows", `document.querySelector("#planner [data-out='4']").textContent`, `^\d+(,\d)?$`},
	} {
		if got := strings.ReplaceAll(eval[string](b, c.script), "\u00a0", " "); !regexp.MustCompile(c.want).MatchString(got) {
			t.Errorf("%s says %q", c.what, got)
		}
	}
	b.quiet()
}

// English words that charts are made of, and no name of the demonstration has.
var englishInCharts = regexp.MustCompile(`(?i)\b(the|of|and|with|year|years|each|by|freeze|ripe|season|middle|hours|work|in)\b`)

// Charts of French pages hold French words and machine coordinates.
func TestChartsInFrench(t *testing.T) {
	town := townToPlan(t)
	files := inFrenchToo(t, town)
	id := string(town.Row.ID)
	at := []string{"fr/plan/" + id + "/index.html"}
	if town.SoFar != nil {
		at = append(at, "fr/towns/"+id+"/this-season/index.html")
	}
	coordinate := regexp.MustCompile(`^[MLHVQZ0-9. -]*$`)
	texts, paths := 0, 0
	for _, file := range at {
		for n := range parse(t, []byte(text(t, files, file))).root.Descendants() {
			if n.Type != html.ElementNode || n.Namespace != "svg" {
				continue
			}
			switch n.Data {
			case "title", "desc", "text":
				texts++
				if got := textOf(n); englishInCharts.MatchString(got) {
					t.Errorf("%s: %q", file, got)
				}
			}
			for _, a := range n.Attr {
				switch a.Key {
				case "d", "x", "y", "cx", "cy", "r", "width", "height", "viewBox":
					paths++
					if !coordinate.MatchString(a.Val) {
						t.Errorf("%s: %s=%q", file, a.Key, a.Val)
					}
				}
			}
		}
	}
	if texts < 20 || paths < 100 {
		t.Errorf("%d texts and %d coordinates found", texts, paths)
	}
}

// What a town's plan says of one crop, of all and of none reads as one
// sentence in French too.
func TestFrenchOfPlan(t *testing.T) {
	b := hard()
	b.Club.Settings.Languages = []string{"en", "fr"}
	files, _ := render(t, b, page.Options{})
	says(t, files, "fr/plan/aa/index.html", "8 années sur 10, on peut obtenir à ", "la seule récolte comptée ici, mais pas sans pots à rentrer",
		"9 années sur 10 : ", "Le mieux possible : ", "aucune ; au mieux ", ", 1 nuit par an.", "(figues-fleurs gardées)", "2,6")
	says(t, files, "fr/towns/aa/why/index.html", "Gel meurtrier le 4 oct. : 27,7 °F (−2,4 °C)", "Froid le 4 oct. : 53,2 °F (11,8 °C) en moyenne sur dix jours", "Jours courts le 20 oct. : 10 h de jour",
		"25 mai et 2 juin", "1993 (ne compte pas)", "pas à temps", "Aucune année ne compte")
	says(t, files, "fr/towns/aa/this-season/index.html", "Avec les données jusqu’au 8 août 2021, la saison 2021 se présente ainsi à ", "1 année sur 10 dépasse ", "pas encore de feuilles")
}
