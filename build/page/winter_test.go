package page_test

import (
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/page"
)

// The pages on winter, tents, figlets and pots say what the awkward book has.
func TestRestOfYearSays(t *testing.T) {
	files, _ := render(t, wintry(), page.Options{Version: "0"})
	says(t, files, "towns/aa/winter/index.html",
		`For bare fig pots, which should not fall below 27 °F (−3 °C), the shed <b>"old"</b> is too cold in most winters; the cellar & stairs is never too cold.`,
		"it falls below 27 °F (−3 °C) in 25 of 27 winters, on 11 days in the middle one and on 30 days or more in 1 winter in 10",
		"Wrapping keeps the lowest of the middle winter 3.6 °F (2.0 °C) higher and takes the days below 27 °F (−3 °C) from 11 to 9 in the middle winter, the winters with such a day from 25 to 23.",
		"in none of 27 winters did it fall below",
		"It is too warm to sleep on in: they wake around 20 March, in an early year, 1 in 10, around 1 March.",
		"no fit yet. 3 readings <can> be compared.", "(its error cannot be told)", "0.40 (± less than 0.01)", "ran into the end of its range",
		"in 25 of 27 winters, no day in the middle one", "common practice; nobody has published what it buys, so it is given no degrees here",
		"Take care: Heaters: fire and carbon monoxide.", "Take care: Garages and fumes.", "Take care: Mould and dust.", "Take care: Mice, traps and bait.",
		"In the ground: winter kills the wood of the hardiest, One \"<em>1</em>\", in 3 to 6 winters in 10.", "before 2019")
	says(t, files, "towns/aa/tents/index.html",
		"Keeping a tent at 41 °F (5 °C) from 1 June on takes 200 kWh", "Started on 1 February it takes 1,400 kWh",
		"the coldest hour of the year asks for 4,570 W or less in 9 years of 10. The heater reckoned with has 1,500 W: it is too small for such an hour, and on 20 nights a year",
		"Started on 1 June or later, it suffices in 9 years of 10.", "ask a licensed electrician and follow your local code", "Pot in a heated tent and another heated & tent",
		"7.2 °F (4.0 °C) warmer by day, until it is vented at 82 °F (28 °C), and 1.8 °F (1.0 °C) by night")
	says(t, files, "towns/aa/figlets/index.html",
		"figlets still finish in 5 years of 10 if they show by 5 June", "For one of 2 cultivars no date is early enough.", "never in 5 years of 10", "Take care: Sap burns in sunlight.")
	says(t, files, "towns/aa/pots/index.html", "Feed it from about 30 May to 10 August.", "Evaporation a day")
	says(t, files, "pots/index.html", "62.5 %", "dry, at the label’s rate", "a large step", "prune the roots instead", "Liquid & <strong>, 100 ppm N", "The label is the ceiling")
	for _, at := range []string{"winter", "tents", "figlets", "pots"} {
		text(t, files, "towns/bb/"+at+"/index.html") // in the south
	}
	if tents := text(t, files, "towns/aa/tents/index.html"); strings.Index(tents, "carbon monoxide") > strings.Index(tents, "1,400") {
		t.Error("the cautions do not come before the figures")
	}
}

// What a town has nothing to say of gets no page and no link.
func TestRestOfYearNothingToSay(t *testing.T) {
	b := wintry()
	x := &b.Towns[0]
	x.Stores, x.Winters, x.Tents, x.Figlets, x.StoreFits = nil, nil, nil, almanac.Figlets{}, nil
	x.Evaporation, x.Tasks = almanac.Town{}.Evaporation, nil
	b.Club.Methods = b.Club.Methods[:3]
	files, _ := render(t, b, page.Options{Version: "0"})
	for _, at := range []string{"winter", "tents", "figlets", "pots"} {
		if _, there := files["towns/aa/"+at+"/index.html"]; there {
			t.Errorf("there is a page %s without anything on it", at)
		}
		if strings.Contains(text(t, files, "towns/aa/index.html"), `href="`+at+`/index.html"`) {
			t.Errorf("the town links to %s", at)
		}
	}
}

// The downloads of stores and tents have one row a row of the book, and a cost
// only where there is a currency.
func TestWinterDownloads(t *testing.T) {
	b := wintry()
	files, _ := render(t, b, page.Options{Version: "0"})
	for _, c := range []struct{ file, line string }{
		{"winter.csv", "town_id,store_id,crop_id,wrapped,lowest_p10_c,lowest_p50_c,days_below_p50,days_below_p90,days_above_p50,days_above_p90,move_in,move_out,wakes_p10,wakes_p50\n"},
		{"winter.csv", "aa,shed,fig,no,-9.0,-6.2,11,30,12,20,11-01,04-20,none,none\n"},
		{"winter.csv", "aa,shed,fig,yes,-7.0,-4.2,9,28,12,20,11-01,04-20,none,none\n"},
		{"winter.csv", "bb,cellar,fig,no,17.0,19.8,0,4,12,20,05-01,10-20,09-01,09-20\n"},
		{"tents.csv", "town_id,method_id,start_date,kwh_mean,kwh_p90,peak_w,cost\n"},
		{"tents.csv", "aa,warm-tent,02-01,1400,1600,1500,280\n"},
		{"tents.csv", "bb,warm-tent,08-01,1400,1600,1500,280\n"},
	} {
		if !strings.Contains(string(files["downloads/"+c.file]), c.line) {
			t.Errorf("%s has no line %q:\n%s", c.file, c.line, files["downloads/"+c.file])
		}
	}
	b.Club.Settings.Currency = ""
	files, _ = render(t, b, page.Options{Version: "0"})
	if got := string(files["downloads/tents.csv"]); !strings.Contains(got, "aa,warm-tent,02-01,1400,1600,1500,\n") {
		t.Errorf("a cost without a currency:\n%s", got)
	}
}
