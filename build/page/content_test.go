package page_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"ripeward/build/diag"
	"ripeward/build/page"
)

const card = "%%%\ntitle: TITLE\norder: 5\nlanguage: en\n%%%\n\n"

func md(title, body string) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte(strings.Replace(card, "TITLE", title, 1) + body)}
}

// A club's own file replaces the default of the same name, and only that one.
func TestOwnContent(t *testing.T) {
	own := fstest.MapFS{
		"guides/choosing.md": md("Our choosing", "See [the town](/towns/aa/), [storage](winter-storage.md) and [home](../home.md).\n"),
		"about-us.md":        md("About us", "Hello. [Guide](guides/choosing.md), [grid](grid/pot/north/).\n"),
		"home.md":            md("Welcome", "Own words.\n"),
	}
	files, problems := render(t, hard(), page.Options{Content: own})
	for _, p := range problems {
		t.Errorf("unexpected: %v", p)
	}
	guide := text(t, files, "guides/choosing/index.html")
	for _, want := range []string{"<h1>Our choosing</h1>", `href="../../towns/aa/index.html"`, `href="../../guides/winter-storage/index.html"`, `href="../../index.html"`} {
		if !strings.Contains(guide, want) {
			t.Errorf("the guide lacks %s", want)
		}
	}
	about := text(t, files, "about-us/index.html")
	for _, want := range []string{`href="../guides/choosing/index.html"`, `href="../grid/pot/north/index.html"`} {
		if !strings.Contains(about, want) {
			t.Errorf("the extra page lacks %s", want)
		}
	}
	home := text(t, files, "index.html")
	if !strings.Contains(home, "Own words.") || !strings.Contains(home, `href="about-us/index.html"`) {
		t.Error("home has neither the club's words nor a link to its page")
	}
	text(t, files, "guides/potting-and-feeding/index.html") // a default one is still there
}

// French texts, the default ones and a club's own, make no page of an English
// site and no complaint.
func TestFrenchContentIsLeftOut(t *testing.T) {
	own := fstest.MapFS{
		"fr/home.md":            md("Bienvenue", "Nos mots.\n"),
		"fr/guides/choosing.md": md("Choisir", "Nos mots.\n"),
	}
	files, problems := render(t, hard(), page.Options{Content: own})
	for _, p := range problems {
		t.Errorf("unexpected: %v", p)
	}
	for p, src := range files {
		if strings.HasPrefix(p, "fr/") || strings.Contains(string(src), "Nos mots.") || strings.Contains(string(src), "Choisir une variété") {
			t.Errorf("%s: holds French content", p)
		}
	}
	if !strings.Contains(text(t, files, "guides/choosing/index.html"), "<h1>Choosing a cultivar</h1>") {
		t.Error("the English guide is gone")
	}
}

// What an author gets wrong is said with file, line and a hint.
func TestContentProblems(t *testing.T) {
	for _, c := range []struct {
		name, file, body, message, hint string
		line                            int
	}{
		{"unknown town", "guides/x.md", "```ripeward:town-odds town=ab\n```\n", `there is no town "ab"`, `did you mean "aa"`, 7},
		{"no town", "guides/x.md", "```ripeward:town-odds\n```\n", "needs town=", "known:", 7},
		{"odd argument", "guides/x.md", "```ripeward:zones zone=north\n```\n", `no argument "zone"`, "takes no arguments", 7},
		{"unknown crop", "guides/x.md", "```ripeward:class-needs crop=fid\n```\n", `there is no crop "fid"`, `did you mean "fig"`, 7},
		{"unknown caution", "guides/x.md", "```ripeward:caution about=heater\n```\n", `there is no about "heater"`, `did you mean "heaters"`, 7},
		{"unknown block", "guides/x.md", "```ripeward:town-oods town=aa\n```\n", "town-oods", "", 7},
		{"dead link", "guides/x.md", "[x](no-such.md)\n", "no-such.md", "", 7},
		{"dead place", "guides/x.md", "[x](choosing.md#no-such-heading)\n", "no-such-heading", "", 7},
		{"no page", "towns.md", "Text\n", "no page is made", "content/guides", 0},
		{"too deep", "guides/more/x.md", "Text\n", "no page is made", "content/guides", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, problems := render(t, hard(), page.Options{Content: fstest.MapFS{c.file: md("X", c.body)}})
			if len(problems) != 1 {
				t.Fatalf("%d problems: %v", len(problems), problems)
			}
			p := problems[0]
			if p.Place.File != "content/"+c.file || p.Place.Line != c.line {
				t.Errorf("at %v", p.Place)
			}
			if !strings.Contains(p.Message, c.message) || !strings.Contains(p.Hint, c.hint) {
				t.Errorf("says %q, hint %q", p.Message, p.Hint)
			}
		})
	}
}

// Every data block renders, in a text of the club's own.
func TestBlocks(t *testing.T) {
	b := demoBook(t)
	body := ""
	for _, x := range []string{"town-odds town=" + string(b.Towns[0].Row.ID), "zones", "methods-table", "class-needs crop=fig", "caution about=sap", "mixes", "pots", "feeds"} {
		body += "```ripeward:" + x + "\n```\n\n"
	}
	files, problems := render(t, b, page.Options{Content: fstest.MapFS{"guides/x.md": md("X", body)}})
	if n := problems.Count(diag.Error); n > 0 {
		t.Fatal(problems)
	}
	got := text(t, files, "guides/x/index.html")
	for _, want := range []string{
		"Years in 10 in which the first fruit ripens", `<ul class="zones">`, "what each does to a day", "heat from leaf-out to the first ripe fruit",
		"Take care: Sap burns in sunlight.", "in parts by volume", "Usable water", "the label’s rate is the ceiling",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// Addresses outside the site appear only when the club says where it lives.
func TestSitemap(t *testing.T) {
	b := hard()
	files, _ := render(t, b, page.Options{})
	m := text(t, files, "sitemap.xml")
	pages := 0
	for at := range files {
		if isPage(at) && at != "404.html" && at != "offline.html" {
			pages++
			want := "<loc>https://almanac.example.org/figs/" + strings.TrimSuffix(at, "index.html") + "</loc><lastmod>2020-12-31</lastmod>"
			if !strings.Contains(m, want) {
				t.Errorf("the sitemap lacks %s", want)
			}
			if !strings.Contains(string(files[at]), `<link rel="canonical" href="https://almanac.example.org/figs/`+strings.TrimSuffix(at, "index.html")+`">`) {
				t.Errorf("%s has no canonical address", at)
			}
		}
	}
	if n := strings.Count(m, "<loc>"); n != pages {
		t.Errorf("%d addresses for %d pages", n, pages)
	}
	b.Club.Settings.SiteURL = ""
	files, _ = render(t, b, page.Options{})
	if _, there := files["sitemap.xml"]; there {
		t.Error("a sitemap without an address")
	}
	if strings.Contains(string(files["index.html"]), "canonical") {
		t.Error("a canonical address without one")
	}
}

// What a town page must answer, in words, from the invented town's figures.
func TestTownAnswers(t *testing.T) {
	files, _ := render(t, hard(), page.Options{})
	got := textOf(parse(t, files["towns/aa/index.html"]).root)
	for _, want := range []string{
		"Frost-free from 11\u00a0May to 25\u00a0September in most years; one cultivar ripens 8 years in 10 in a plain pot; one with 1 week’s head start indoors; no cultivar’s wood comes through 8 winters in 10 in the ground.",
		"A freeze comes after 14\u00a0May in 1 year in 10",
		"The middle year has 142 days without a freeze; 1 year in 10 has fewer than 130.",
		"hardiness zone 5b",
		"about 8 years in 10 across gardens here; 4 in a cool spot, nearly every year in a warm one",
		"after 14\u00a0May", "before 22\u00a0September",
		"higher than the town", // it lies 40 m below its station
		"needs the wasp", "not counted", "electricity near water", "mind the <cat>",
		"What ended ripening in these 30 years: a killing freeze in 20, cold (the mean of ten days fell too low) in 9 and the short day in 1.",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
}
