package page

import (
	"encoding/json"
	"fmt"
	"html/template"
	"path"
	"strings"

	"ripeward/build/figure"
	"ripeward/build/words"
)

// headMeta is what a page's head tells programs: Open Graph properties
// (ogp.me), the page in other languages, and a schema.org description. What
// needs a full address is left out where the club has not said where its site
// stands.
type headMeta struct {
	Site, Title, Description string
	Address                  string
	Picture, PictureAlt      string
	Locales                  []string // Open Graph's, the page's own first
	Translations             []translation
	Feed, FeedTitle          string // seen from the page
	Favicon                  string // seen from the page
	Colours                  []themeColour
	Hidden                   bool // no page to be found by searching
	Data                     template.JS
}

type themeColour struct{ Scheme, Colour string }

// translation is a page in one language.
type translation struct{ Language, Address string }

// paperColour is the colour behind the text in a theme ("light" or "dark").
func paperColour(theme string) string {
	_, rest, _ := strings.Cut(figure.Palette(theme), "--rw-paper:")
	colour, _, _ := strings.Cut(rest, ";")
	return colour
}

// head makes the metadata of the page at a path, from what is known of it.
func (s *site) head(at string, f frame) (*headMeta, error) {
	m := &headMeta{Site: f.Club, Title: f.Title, Description: f.Description, Address: f.Canonical, Favicon: s.top(f.Root) + faviconPath,
		Colours: []themeColour{{"light", paperColour("light")}, {"dark", paperColour("dark")}},
		Hidden:  f.Kind == "lost" || f.Kind == "offline"}
	if m.Hidden {
		m.Address = ""
		return m, nil
	}
	if s.club.Settings.SiteURL != "" {
		m.Picture, m.PictureAlt = s.address(s.assets.Icon512), s.Say("A purple fig")
		m.Translations = s.translations(s.below + at)
	}
	m.Locales = s.locales()
	if s.hasFeed() {
		m.Feed, m.FeedTitle = f.Root+feedPath, s.Say("What is new in the almanac")
	}
	data, err := json.Marshal(s.pageData(at, f)) // escapes < and >, so that nothing in it ends the element
	m.Data = template.JS(data)
	return m, err
}

// locales are the page's own and those of its translations; none for a site in
// English alone, which needs not say so.
func (s *site) locales() []string {
	if len(s.written) == 1 && s.Tag == "en" {
		return nil
	}
	out := []string{s.Locale}
	for _, l := range s.written {
		if l != s.Tag {
			out = append(out, words.FormsIn(l).Locale)
		}
	}
	return out
}

// translations lists the addresses of a page in every language the site is
// written in, and where readers of none of them go (x-default: the first); nil
// where there is one language alone.
func (s *site) translations(at string) []translation {
	if len(s.written) < 2 {
		return nil
	}
	plain := at
	for _, l := range s.written[1:] {
		if rest, ok := strings.CutPrefix(at, l+"/"); ok {
			plain = rest
		}
	}
	var out []translation
	for i, l := range s.written {
		where := plain
		if i > 0 {
			where = l + "/" + plain
		}
		out = append(out, translation{l, s.address(where)})
	}
	return append(out, translation{"x-default", s.address(plain)})
}

// sitemapSpace is what the root of the sitemap must declare for sitemapLinks.
func (s *site) sitemapSpace() string {
	if len(s.written) < 2 {
		return ""
	}
	return ` xmlns:xhtml="http://www.w3.org/1999/xhtml"`
}

// sitemapLinks are the entries of a page's translations in the sitemap, in the
// form that search engines agreed on: XHTML links inside the page's entry.
func (s *site) sitemapLinks(at string) string {
	var b strings.Builder
	for _, t := range s.translations(at) {
		fmt.Fprintf(&b, `<xhtml:link rel="alternate" hreflang="%s" href="%s"/>`, t.Language, template.HTMLEscapeString(t.Address))
	}
	return b.String()
}

// under resolves an address as it stands on the page at to a path of the site.
func under(at, href string) string {
	href, _, _ = strings.Cut(href, "#")
	return path.Join(path.Dir(at), href)
}
