package page_test

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/net/html/atom"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/page"
)

// inLanguages is a book whose club writes in the given languages.
func inLanguages(b *almanac.Book, languages ...string) *almanac.Book {
	two, c := *b, *b.Club
	c.Settings.Languages = languages
	two.Club = &c
	return &two
}

// headOf lists what the links and properties of a page's head say, by rel and
// hreflang, or by property.
func headOf(t *testing.T, data []byte) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for n := range parse(t, data).root.Descendants() {
		switch {
		case n.DataAtom == atom.Link && attr(n, "hreflang") != "":
			out[attr(n, "hreflang")] = append(out[attr(n, "hreflang")], attr(n, "href"))
		case n.DataAtom == atom.Link:
			out[attr(n, "rel")] = append(out[attr(n, "rel")], attr(n, "href"))
		case n.DataAtom == atom.Meta && attr(n, "property") != "":
			out[attr(n, "property")] = append(out[attr(n, "property")], attr(n, "content"))
		case n.DataAtom == atom.Html:
			out["lang"] = append(out["lang"], attr(n, "lang"))
		}
	}
	return out
}

// Each page of a site in two languages names its translation, which is there
// and names it in turn; readers of neither are sent to the first.
func TestTranslationsOfEveryPage(t *testing.T) {
	for _, languages := range [][]string{{"en", "fr"}, {"fr", "en"}} {
		t.Run(strings.Join(languages, " "), func(t *testing.T) {
			b := inLanguages(hard(), languages...)
			files, _ := render(t, b, page.Options{})
			site, second := b.Club.Settings.SiteURL, languages[1]
			locale := map[string]string{"en": "en_US", "fr": "fr_FR"}
			pages := 0
			for at, data := range files {
				if !isPage(at) || oneFile.MatchString(at) || at == "404.html" || strings.HasSuffix(at, "offline.html") {
					continue
				}
				pages++
				plain, here := strings.TrimPrefix(at, second+"/"), languages[0]
				other := second
				if plain != at {
					here, other = second, languages[0]
				}
				address := map[string]string{languages[0]: site + strings.TrimSuffix(plain, "index.html"), second: site + second + "/" + strings.TrimSuffix(plain, "index.html")}
				h := headOf(t, data)
				for key, want := range map[string]string{
					"lang": here, "canonical": address[here], "og:url": address[here], languages[0]: address[languages[0]], second: address[second],
					"x-default": address[languages[0]], "og:locale": locale[here], "og:locale:alternate": locale[other],
				} {
					if got := h[key]; len(got) != 1 || got[0] != want {
						t.Errorf("%s: %s is %q, want %q", at, key, got, want)
					}
				}
				for _, p := range []string{plain, second + "/" + plain} {
					if files[p] == nil {
						t.Errorf("%s has no page %s", at, p)
					}
				}
				if feed := h["alternate"]; len(feed) != 1 || files[under(at, feed[0])] == nil || !strings.Contains(string(files[under(at, feed[0])]), `xml:lang="`+here+`"`) {
					t.Errorf("%s: the feed is %q", at, feed)
				}
				checkSwitch(t, files, at, here, other)
			}
			if pages < 40 {
				t.Errorf("%d pages", pages)
			}
			checkSitemap(t, string(files["sitemap.xml"]), pages)
		})
	}
}

// checkSwitch: the header leads to the same page in the other language, and
// names the page's own without a link.
func checkSwitch(t *testing.T, files map[string][]byte, at, here, other string) {
	t.Helper()
	var links, current []string
	for n := range parse(t, files[at]).root.Descendants() {
		if n.DataAtom == atom.Ul && attr(n, "class") == "languages" {
			for m := range n.Descendants() {
				switch {
				case m.DataAtom == atom.A && attr(m, "hreflang") == other && attr(m, "lang") == other:
					links = append(links, under(at, attr(m, "href")))
				case attr(m, "aria-current") == "true":
					current = append(current, textOf(m))
				}
			}
		}
	}
	name := map[string]string{"en": "English", "fr": "Français"}[here]
	if len(links) != 1 || len(current) != 1 || current[0] != name {
		t.Fatalf("%s: the header leads to %q and names %q", at, links, current)
	}
	strip := func(p string) string { return strings.TrimPrefix(strings.TrimPrefix(p, "fr/"), "en/") }
	if strip(links[0]) != strip(at) || links[0] == at || files[links[0]] == nil {
		t.Errorf("%s: the header leads to %s", at, links[0])
	}
}

// under resolves a link of a page to a path of the site.
func under(at, href string) string {
	up := strings.Count(href, "../")
	parts := strings.Split(at, "/")
	return strings.Join(append(slices.Clone(parts[:max(0, len(parts)-1-up)]), strings.TrimLeft(href, "./")), "/")
}

func checkSitemap(t *testing.T, text string, pages int) {
	t.Helper()
	var m struct {
		URLs []struct {
			Loc   string `xml:"loc"`
			Links []struct {
				Lang string `xml:"hreflang,attr"`
				Href string `xml:"href,attr"`
			} `xml:"http://www.w3.org/1999/xhtml link"`
		} `xml:"url"`
	}
	if err := xml.Unmarshal([]byte(text), &m); err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, u := range m.URLs {
		there[u.Loc] = true
	}
	for _, u := range m.URLs {
		if len(u.Links) != 3 || !slices.ContainsFunc(u.Links, func(l struct {
			Lang string `xml:"hreflang,attr"`
			Href string `xml:"href,attr"`
		}) bool {
			return l.Href == u.Loc && l.Lang != "x-default"
		}) {
			t.Errorf("%s has the translations %v", u.Loc, u.Links)
		}
		for _, l := range u.Links {
			if !there[l.Href] {
				t.Errorf("%s: %s is no page", u.Loc, l.Href)
			}
		}
	}
	if len(m.URLs) != pages {
		t.Errorf("%d addresses for %d pages", len(m.URLs), pages)
	}
}

// A site in one language names none, and its header has no switch.
func TestOneLanguageNamesNone(t *testing.T) {
	files, _ := render(t, hard(), page.Options{})
	for at, data := range files {
		if isPage(at) && (strings.Contains(string(data), "hreflang") || strings.Contains(string(data), `class="languages"`) || strings.Contains(string(data), "og:locale")) {
			t.Errorf("%s speaks of languages", at)
		}
	}
	files, _ = render(t, inLanguages(hard(), "fr"), page.Options{})
	if h := headOf(t, files["index.html"]); h["lang"][0] != "fr" || len(h["og:locale"]) != 1 || h["og:locale"][0] != "fr_FR" || len(h["x-default"]) != 0 {
		t.Errorf("in French alone: %v", h)
	}
}

// The feeds of two languages are two feeds: no id stands in both.
func TestFeedsDiffer(t *testing.T) {
	news := func() *almanac.Book {
		b := hard()
		b.Changes = &almanac.Changes{PlanYear: 2020, NewTowns: []string{"aa"}}
		return b
	}
	files, _ := render(t, inLanguages(news(), "en", "fr"), page.Options{})
	ids := regexp.MustCompile(`<id>[^<]+</id>`)
	en, fr := ids.FindAllString(text(t, files, "feed.xml"), -1), ids.FindAllString(text(t, files, "fr/feed.xml"), -1)
	if len(en) != 3 || len(fr) != 3 {
		t.Fatalf("ids %q and %q", en, fr)
	}
	for _, id := range en {
		if slices.Contains(fr, id) {
			t.Errorf("%s stands in both feeds", id)
		}
	}
	alone, _ := render(t, news(), page.Options{})
	if got := ids.FindAllString(text(t, alone, "feed.xml"), -1); !slices.Equal(got, en) {
		t.Errorf("with a second language the first one's ids change: %q, were %q", en, got)
	}
}

// The page for lost links is in the first language, with a line in the other
// that leads to its first page; each language has its manifest and its page
// for times without a connection.
func TestWholeSiteInTwoLanguages(t *testing.T) {
	files, _ := render(t, inLanguages(hard(), "en", "fr"), page.Options{})
	lost := text(t, files, "404.html")
	for _, want := range []string{"<html lang=\"en\"", `href="/figs/index.html">To the first page`, `<p lang="fr">Cette page n’existe pas. <a class="target" href="/figs/fr/index.html" hreflang="fr">Vers la première page</a></p>`} {
		if !strings.Contains(lost, want) {
			t.Errorf("the page for lost links lacks %s", want)
		}
	}
	for below, want := range map[string][3]string{"": {"en", "./", "./"}, "fr/": {"fr", "./", "./../"}} {
		var m struct {
			Lang, Scope string
			Start       string `json:"start_url"`
			Icons       []struct{ Src string }
		}
		if err := json.Unmarshal(files[below+"app.webmanifest"], &m); err != nil {
			t.Fatal(err)
		}
		if got := [3]string{m.Lang, m.Start, m.Scope}; got != want {
			t.Errorf("the manifest of %q has %q, want %q", below, got, want)
		}
		for _, icon := range m.Icons {
			if files[under(below+"app.webmanifest", icon.Src)] == nil {
				t.Errorf("the manifest of %q: no icon %s", below, icon.Src)
			}
		}
		if away := text(t, files, below+"offline.html"); !strings.Contains(away, `<html lang="`+want[0]+`"`) {
			t.Errorf("the page without a connection of %q is in another language", below)
		}
	}
	if w := workerSettings(t, files); !slices.Contains(w.First, "fr/index.html") || !slices.Contains(w.First, "fr/offline.html") || files["fr/worker.js"] != nil {
		t.Errorf("the worker keeps %q", w.First)
	}
}

// No page of the club's own may stand where a language does.
func TestLanguagesAreReserved(t *testing.T) {
	for _, name := range club.Languages {
		files, problems := render(t, inLanguages(hard(), "en", "fr"), page.Options{Content: fstest.MapFS{name + ".md": md("Odd", "Odd words.\n")}})
		if !slices.ContainsFunc(problems, func(p diag.Problem) bool {
			return p.Place.File == "content/"+name+".md" && strings.Contains(p.Message, "no page is made")
		}) {
			t.Errorf("%s.md is taken: %v", name, problems)
		}
		for at, data := range files {
			if isPage(at) && strings.Contains(string(data), "Odd words.") {
				t.Errorf("%s.md makes the page %s", name, at)
			}
		}
	}
}

// What is not in a page's language is shown in its own, marked and counted.
func TestFallingBack(t *testing.T) {
	own := fstest.MapFS{"guides/x.md": md("Only English", "English words.\n"), "guides/y.md": md("Both", "English words.\n"), "fr/guides/y.md": md("Les deux", "Des mots.\n"), "home.md": md("Welcome", "Own words.\n")}
	b := inLanguages(hard(), "en", "fr")
	b.Club.Zones = slices.Clone(b.Club.Zones)
	b.Club.Zones[0].Row.Other = map[string]string{"about_fr": "Des collines"}
	b.Club.Zones[1].About = "Plains & <more>"
	at := diag.Place{File: "data/zones.csv", Line: 2}
	b.Club.Zones[0].Row.At, b.Club.Zones[1].Row.At = at, at
	files, problems := render(t, b, page.Options{Content: own})
	var notes []string
	for _, p := range problems {
		if p.Severity == diag.Note {
			notes = append(notes, p.Place.File+": "+p.Message)
		}
	}
	for _, want := range []string{
		"content: 2 texts have no French: content/guides/x.md, content/home.md",
		"data/zones.csv: 1 row has no about_fr: the pages show about as it stands",
	} {
		if !slices.Contains(notes, want) {
			t.Errorf("no note %q among %q", want, notes)
		}
	}
	if slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, "name_fr") && strings.Contains(n, "zones") }) {
		t.Errorf("proper names are asked for: %q", notes)
	}
	home := text(t, files, "fr/index.html")
	for _, want := range []string{`>Des collines</p>`, `<span lang="en">Plains &amp; &lt;more&gt;</span>`, `aria-label="Bienvenue" lang="en">`, `<li lang="en"><a href="guides/x/index.html">Only English</a>`, `<li><a href="guides/y/index.html">Les deux</a>`} {
		if !strings.Contains(home, want) {
			t.Errorf("the French first page lacks %s", want)
		}
	}
	if got := text(t, files, "fr/guides/x/index.html"); !strings.Contains(got, `<article class="prose" lang="en">`) {
		t.Error("the guide in English is not marked")
	}
	for _, at := range []string{"index.html", "guides/x/index.html", "fr/guides/y/index.html"} {
		if strings.Contains(text(t, files, at), `<span lang=`) || strings.Contains(text(t, files, at), `class="prose" lang=`) {
			t.Errorf("%s: its own language is marked", at)
		}
	}
	// A club with one language hears nothing of another.
	_, problems = render(t, hard(), page.Options{Content: own})
	for _, p := range problems {
		if strings.Contains(fmt.Sprint(p), "_fr") || strings.Contains(p.Message, "no French") {
			t.Errorf("with one language: %v", p)
		}
	}
}

// A table of the club's own is in its first language, a built-in one in
// English; what is short for all to read is not marked.
func TestLanguageOfTables(t *testing.T) {
	b := inLanguages(hard(), "fr", "en")
	b.Club.Zones = slices.Clone(b.Club.Zones)
	b.Club.Zones[0].About, b.Club.Zones[0].Row = "Des collines", club.Row{At: diag.Place{File: "data/zones.csv", Line: 2}}
	b.Club.Zones[1].About, b.Club.Zones[1].Row = "Plains", club.Row{At: diag.Place{File: club.BuiltIn + "zones.csv", Line: 3}}
	files, _ := render(t, b, page.Options{})
	if got := text(t, files, "en/index.html"); !strings.Contains(got, `<span lang="fr">Des collines</span>`) || strings.Contains(got, `<span lang="en">`) {
		t.Error("the English page marks the wrong texts")
	}
	if got := text(t, files, "index.html"); !strings.Contains(got, `<span lang="en">Plains</span>`) || strings.Contains(got, `<span lang="fr">`) {
		t.Error("the French page marks the wrong texts")
	}
}
