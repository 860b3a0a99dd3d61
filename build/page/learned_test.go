package page_test

import (
	"bytes"
	"encoding/json"
	"html/template"
	"regexp"
	"strings"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/page"
)

// hardSite is the site of the awkward book.
func hardSite(t *testing.T) map[string][]byte {
	t.Helper()
	files, _ := render(t, hard(), page.Options{Version: "0"})
	return files
}

// says checks sentences of a page's visible text.
func says(t *testing.T, files map[string][]byte, at string, want ...string) {
	t.Helper()
	got := textOf(parse(t, []byte(text(t, files, at))).root)
	got = strings.Join(strings.Fields(strings.ReplaceAll(got, "\u00a0", " ")), " ")
	for _, w := range want {
		if !strings.Contains(got, w) {
			t.Errorf("%s does not say %q", at, w)
		}
	}
}

// No grower's code leaves the build: not in a page, not in a download, not in
// a script's data.
func TestGrowersStayAtHome(t *testing.T) {
	check := func(t *testing.T, files map[string][]byte, growers map[string]bool) {
		if len(growers) < 3 {
			t.Fatalf("only %d growers to look for", len(growers))
		}
		for code := range growers {
			for _, form := range []string{code, template.HTMLEscapeString(code), template.JSEscapeString(code)} {
				re := regexp.MustCompile(`(^|[^\pL\pN-])` + regexp.QuoteMeta(form) + `($|[^\pL\pN-])`)
				for at, data := range files {
					if bytes.Contains(data, []byte(form)) && re.Match(data) {
						t.Errorf("%s holds the grower code %q", at, code)
					}
				}
			}
		}
	}
	t.Run("demo", func(t *testing.T) {
		growers := map[string]bool{}
		for _, r := range demoBook(t).Club.Reports {
			if r.Grower != "" {
				growers[string(r.Grower)] = true
			}
		}
		for _, x := range demoBook(t).Club.Trees {
			if x.Grower != "" {
				growers[string(x.Grower)] = true
			}
		}
		check(t, demoSite(t), growers)
	})
	t.Run("hard", func(t *testing.T) {
		growers := map[string]bool{}
		for _, c := range codes {
			growers[c] = true
		}
		check(t, hardSite(t), growers)
	})
}

// Of one or two growers nothing is counted.
func TestTwoGrowersAreNotCounted(t *testing.T) {
	files := hardSite(t)
	for file, line := range map[string]string{
		"downloads/heat-needs.csv": "one,breba,10,820,60,90,110,,,,,class\n",
		"downloads/odds.csv":       "aa,one,breba,pot,0,,0,0,30,0.0,0.97,0.87,1.00,0.9,0.48,1.00,likely,,,class,",
	} {
		if !strings.Contains(text(t, files, file), line) {
			t.Errorf("%s has no %q", file, line)
		}
	}
	says(t, files, "cultivars/one/index.html", "Not yet enough reports: rests on its class.", "Reports of fewer than 3 growers are kept waiting",
		"Learned from 14 reports of 6 growers.", "5 of them say only “not yet ripe” or “already ripe”, which counts too; 1 report is held back because it does not fit; 1 report waits.")
}

func TestPlanPage(t *testing.T) {
	files := hardSite(t)
	says(t, files, "plan/aa/index.html", "the one crop counted here can be had in 8 years of 10, none of them without carrying",
		"9 years in 10: no way of growing brings enough heat here. The best there is: pot with a head start, 2 weeks, 8 years in 10, for 5 h, 1 night a year.",
		"5 years in 10: needs the wasp.", "no way; best 8 in 10", `8 € & "ct"`, "from 20 Aug, not in 3 of 10", "9 in 10", "2.6", "(brebas kept)")
	says(t, files, "plan/index.html", "What would it take?", `A&A's "Town"`)
	var data struct {
		Words   []string
		Methods []struct {
			Name    string
			Years   int
			Gardens []float64
			Rows    []struct {
				Name, Chance string
				Picking      []int
			}
			First []int
		}
	}
	js := text(t, files, "plan/aa/sets.js")
	if err := json.Unmarshal([]byte(strings.TrimSuffix(strings.TrimPrefix(js, "window.ripewardSets = "), ";\n")), &data); err != nil {
		t.Fatal(err)
	}
	if strings.ContainsAny(js, "<>&") {
		t.Error("the data of the script hold markup")
	}
	if len(data.Words) != 11 || data.Words[0] != "fewer than 1 year in 10" || data.Words[10] != "more than 9 years in 10" {
		t.Errorf("words %q", data.Words)
	}
	m := data.Methods[0]
	if m.Years != 2 || len(m.Rows) != 3 || m.Rows[0].Chance != "3c506432505a" || len(m.First) != 3 || m.Rows[1].Picking[3] != 196 {
		t.Errorf("data %+v", m)
	}
}

func TestWhyPage(t *testing.T) {
	says(t, hardSite(t), "towns/aa/why/index.html", "about 8 years in 10 across gardens here; 4 in a cool spot, nearly every year in a warm one",
		"25 May and 2 Jun", "Killing freeze 4 Oct: 27.7 °F (−2.4 °C)", "a<b.csv:277", "Cold 4 Oct: ten days’ mean 53.2 °F (11.8 °C)", "Short days 20 Oct: 10 h of day", "31 %", "12 %",
		"May 90, Jun 378, Jul 594, Aug 576, Sep 288, Oct 22", "1993 (not counted)", "not in time", "12 Sep", "brebas left on, or a need of the method’s own",
		"learned from 14 reports of 6 growers", "not yet enough reports: rests on its class", "No year counts, so there are no odds.")
	says(t, demoSite(t), "towns/velloway/why/index.html", "How the odds follow: each year’s heat is set against the need", "data/stations/")
}

func TestSeasonSoFar(t *testing.T) {
	files := hardSite(t)
	says(t, files, "towns/aa/this-season/index.html", "With data to 8 August 2021, the season 2021 looks like this", "It is not a forecast", "more than in any of the 30 years of reference by that day",
		"One day so far has no reading.", "1 year in 10 passes 1,782 °F·d (990 °C·d)", "18 Aug – 12 Sep", "from 28 Aug, not in 4 of 10", "no leaves yet", "hardly ever")
	if _, there := files["towns/bb/this-season/index.html"]; there {
		t.Error("a season so far without data of it")
	}
}

func TestHowGood(t *testing.T) {
	files := hardSite(t)
	says(t, files, "how-good/index.html", "When the almanac said 8 years in 10, fruit ripened in 7.6 of 10 (23 reports).", "41 reports of 9 growers were predicted",
		"the almanac beats it", "a tie", "the almanac does not beat it", "1.2 days early on average", "Of 10 dates, 7.7 lay in the band that should hold 8.", "+1.4 days", "the one used", "0.081")
	for _, line := range []string{"weather,rule,almanac,brier,0.081,41\n", "weather,rule,cultivar-row,beaten_by_almanac,tie,41\n", "season,rule,days-after-leaf-out,beaten_by_almanac,no,4\n",
		"weather,band,0.75-1,ripe,0.76,23\n", "weather,band,0.5-0.75,n,0,0\n", "weather,method,pot,mean_days,1.4,22\n", "weather,base,10,used,yes,30\n", "all,reports,,growers,9,41\n"} {
		if !strings.Contains(text(t, files, "downloads/how-good.csv"), line) {
			t.Errorf("how-good.csv has no %q", line)
		}
	}
	if strings.Contains(text(t, files, "downloads/how-good.csv"), "NaN") {
		t.Error("a figure that is not known is printed")
	}

	b := hard()
	b.Score = nil
	files, _ = render(t, b, page.Options{})
	says(t, files, "how-good/index.html", "There is no record yet", "at least 3 growers", "3 reports are used and one is waiting for more growers of the same cultivar", "One report is not reviewed yet")
	b.Reports = b.Reports[3:5]
	files, _ = render(t, b, page.Options{})
	says(t, files, "how-good/index.html", "So far there are 2 reports of fewer than 3 growers: at least one report each of 3 growers is missing.")
	b.Reports = nil
	files, _ = render(t, b, page.Options{})
	says(t, files, "how-good/index.html", "The club has no reports yet.")
	says(t, files, "data-quality/index.html", "The club has no reports yet.")
}

func TestQualityOfReports(t *testing.T) {
	b := hard()
	b.Reports[5].Reason = diag.Say("ripe on 2019-08-01, before its leaves")
	b.Reports[7].Reason, b.Reports[7].Row.Consent = diag.Say("seen on 2018-08-01"), "public"
	files, _ := render(t, b, page.Options{})
	says(t, files, "data-quality/index.html", "Of 9 reports three are used, of 3 growers.", "About 4 of 10 failures to ripen are reported (band: 2 to 7 of 10)",
		"fewer than three growers have reported <it> (1)", "r6 & <x>", "Ripe on [date], before its leaves", "a look at the <date>", "seen on 2018-08-01")
	csv := text(t, files, "downloads/set-aside.csv")
	for _, line := range []string{"data/reports/2019.csv,5,1,report r4: waiting: fewer than three growers have reported <it>\n", "data/reports/2019.csv,6,1,report r5: not reviewed yet\n",
		"before its leaves", "[date]", "report r7: a repeat of another: the same tree and year (the first one is r1)"} {
		if !strings.Contains(csv, line) {
			t.Errorf("set-aside.csv has no %q", line)
		}
	}
	if strings.Contains(csv, "2019-08-01") {
		t.Error("a day of a report is published without consent")
	}
}

func TestWhatItTakesFile(t *testing.T) {
	csv := text(t, hardSite(t), "downloads/what-it-takes.csv")
	for _, line := range []string{
		"aa,one,main,0.5,early-pot,1,0.72,3,3.2,40,8,\n", "aa,one,main,0.9,early-pot,2,0.84,5,1.0,0,0,too-little-heat\n", "aa,two,main,0.5,,,,,,,,no-wasp\n",
	} {
		if !strings.Contains(csv, line) {
			t.Errorf("what-it-takes.csv has no %q in\n%s", line, csv)
		}
	}
}

// Jargon stays on the methods page and in the guides that explain it.
func TestPlainWords(t *testing.T) {
	jargon := regexp.MustCompile(`(?i)percentile|posterior|censor|likelihood function|probit|delta method`)
	for at, data := range demoSite(t) {
		if !isPage(at) || at == "methods/index.html" || at == "downloads/index.html" || strings.HasPrefix(at, "guides/") {
			continue
		}
		if got := textOf(parse(t, data).root); jargon.MatchString(got) {
			t.Errorf("%s: %s", at, around([]byte(got), jargon))
		}
	}
}

// The risk of not finishing stands where a late year runs out of season.
func TestRiskInsteadOfDate(t *testing.T) {
	says(t, hardSite(t), "towns/aa/index.html", "not ripe before the season ends in 2 years of 10", "14 reports of 6 growers", "rests on its class",
		"first 15 years, 1976–1990", "last 15 years, 2006–2020", "What would it take?", "Why these odds?", "This season so far")
	found := regexp.MustCompile(`not ripe before the season ends in \d years of 10`)
	if !found.Match(demoSite(t)["towns/velloway/index.html"]) {
		t.Error("no risk is told on the demonstration's page")
	}
}
