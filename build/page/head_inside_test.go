package page

import (
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// A site in two languages names each page's translations; in one it names
// none.
func TestTranslations(t *testing.T) {
	s := newSite(&almanac.Book{Club: &club.Club{Settings: club.Settings{SiteURL: "https://example.org/figs"}}}, Options{}, words.English())
	if got := s.translations("towns/x/index.html"); got != nil || s.sitemapSpace() != "" || s.sitemapLinks("towns/x/index.html") != "" {
		t.Errorf("one language: %v", got)
	}
	s.written = []string{"en", "fr"}
	want := []translation{{"en", "https://example.org/figs/towns/x/"}, {"fr", "https://example.org/figs/fr/towns/x/"}, {"x-default", "https://example.org/figs/towns/x/"}}
	for _, at := range []string{"towns/x/index.html", "fr/towns/x/index.html"} {
		got := s.translations(at)
		if len(got) != len(want) {
			t.Fatalf("%s: %v", at, got)
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%s: %v, want %v", at, got[i], want[i])
			}
		}
		if links := s.sitemapLinks(at); strings.Count(links, "<xhtml:link ") != 3 || !strings.Contains(links, `hreflang="x-default"`) {
			t.Errorf("%s: sitemap %s", at, links)
		}
	}
}

func TestShortName(t *testing.T) {
	for name, want := range map[string]string{
		"Velloway Fig and Tender Fruit Circle": "Velloway Fig", "Figs": "Figs", "Obstbaumliebhaber Süd": "Obstbaumliebhaber", "Été à Sèvres sud": "Été à Sèvres",
	} {
		if got := shortName(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// What the service worker takes beforehand keeps its bounds however large the
// assets grow.
func TestFirstIsBounded(t *testing.T) {
	a := assets{files: map[string][]byte{"assets/huge.js": make([]byte, mostFirstBytes+1), "assets/a.png": nil}}
	for i := range 100 {
		a.files["assets/"+strings.Repeat("x", i+1)+".js"] = make([]byte, mostFirstBytes/20)
	}
	got, bytes := fromStart([]*rendering{{site: &site{assets: a}}}), 0
	for _, at := range got {
		bytes += len(a.files[at])
	}
	if len(got) != 22 || bytes > mostFirstBytes {
		t.Errorf("%d files, %d bytes", len(got), bytes)
	}
	for i := range 100 {
		a.files["assets/"+strings.Repeat("x", i+1)+".js"] = nil
	}
	if got := fromStart([]*rendering{{site: &site{assets: a}}}); len(got) != mostFirst {
		t.Errorf("%d files", len(got))
	}
}
