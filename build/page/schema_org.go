package page

import (
	"regexp"
	"strings"
)

// The types below are those of schema.org that the pages describe themselves
// with, written as JSON-LD in a script element of a type that no browser runs.

type ldPage struct {
	Context     string    `json:"@context"`
	Type        string    `json:"@type"`
	ID          string    `json:"@id,omitempty"`
	URL         string    `json:"url,omitempty"`
	Name        string    `json:"name"`
	Description string    `json:"description,omitempty"`
	Language    string    `json:"inLanguage"`
	Modified    string    `json:"dateModified,omitempty"`
	License     any       `json:"license,omitempty"`
	Publisher   ldParty   `json:"publisher"`
	Site        *ldSite   `json:"isPartOf,omitempty"`
	About       *ldPlace  `json:"about,omitempty"`
	Crumbs      *ldCrumbs `json:"breadcrumb,omitempty"`
	Main        *ldData   `json:"mainEntity,omitempty"`
}

type ldParty struct {
	Type string `json:"@type"`
	Name string `json:"name"`
}

type ldSite struct {
	Type string `json:"@type"`
	Name string `json:"name"`
	URL  string `json:"url"`
}

type ldPlace struct {
	Type string `json:"@type"`
	Name string `json:"name"`
}

type ldCrumbs struct {
	Type  string    `json:"@type"`
	Items []ldCrumb `json:"itemListElement"`
}

type ldCrumb struct {
	Type     string `json:"@type"`
	Position int    `json:"position"`
	Name     string `json:"name"`
	Item     string `json:"item"`
}

type ldData struct {
	Type        string   `json:"@type"`
	Name        string   `json:"name"`
	Description string   `json:"description"`
	Free        bool     `json:"isAccessibleForFree"`
	License     any      `json:"license,omitempty"`
	Creator     ldParty  `json:"creator"`
	Modified    string   `json:"dateModified,omitempty"`
	Temporal    string   `json:"temporalCoverage,omitempty"`
	Files       []ldFile `json:"distribution,omitempty"`
}

type ldFile struct {
	Type   string `json:"@type"`
	Name   string `json:"name"`
	Format string `json:"encodingFormat"`
	URL    string `json:"contentUrl"`
}

type ldWork struct {
	Type string `json:"@type"`
	Name string `json:"name"`
}

// pageData describes a page.
func (s *site) pageData(at string, f frame) ldPage {
	set := s.club.Settings
	p := ldPage{Context: "https://schema.org", Type: "WebPage", ID: f.Canonical, URL: f.Canonical, Name: f.Title, Description: f.Description, Language: f.Lang,
		Modified: s.book.CutOff.String(), License: ldLicence(set.DataLicence), Publisher: ldParty{"Organization", set.Name}}
	switch f.Kind {
	case "cultivars", "grids", "guides", "plans", "zone":
		p.Type = "CollectionPage"
	case "downloads":
		p.Main = s.dataset()
	}
	if id, ok := strings.CutPrefix(at, "towns/"); ok {
		id, _, _ = strings.Cut(id, "/")
		if t := s.towns[id]; t != nil {
			p.About = &ldPlace{"Place", s.in(t.Row.Row, "name", t.Row.Name)}
		}
	}
	if set.SiteURL == "" {
		return p
	}
	p.Site = &ldSite{"WebSite", s.clubName(), s.address(s.below + "index.html")}
	if len(f.Crumbs) > 0 {
		p.Crumbs = &ldCrumbs{Type: "BreadcrumbList"}
		for i, c := range f.Crumbs {
			p.Crumbs.Items = append(p.Crumbs.Items, ldCrumb{"ListItem", i + 1, c.Text, s.address(s.below + under(at, c.Href))})
		}
		p.Crumbs.Items = append(p.Crumbs.Items, ldCrumb{"ListItem", len(f.Crumbs) + 1, f.Title, f.Canonical})
	}
	return p
}

// dataset describes the downloads. Files in folders of their own, one a town,
// are left to the Data Package, which lists them.
func (s *site) dataset() *ldData {
	set := s.club.Settings
	about := strings.TrimSpace(s.Say("Season lengths, heat, winter minima, ripening odds and dates by town, computed from daily station records and members' ripening reports, as CSV tables with a Frictionless Data Package.") + " " + s.notice())
	d := &ldData{Type: "Dataset", Name: s.Say("%s, all figures", s.clubName()), Description: about, Free: true, License: ldLicence(set.DataLicence),
		Creator: ldParty{"Organization", set.Name}, Modified: s.book.CutOff.String()}
	first := s.book.CutOff
	for i := range s.book.Stations {
		first = min(first, s.book.Stations[i].First)
	}
	if len(s.book.Stations) > 0 {
		d.Temporal = first.String() + "/" + s.book.CutOff.String()
	}
	if set.SiteURL == "" {
		return d
	}
	for _, x := range s.downloads {
		if strings.Contains(x.Name, "/") {
			continue
		}
		format := "text/csv"
		if strings.HasSuffix(x.Name, ".json") {
			format = "application/json"
		}
		d.Files = append(d.Files, ldFile{"DataDownload", x.Name, format, s.address("downloads/" + x.Name)})
	}
	return d
}

var creativeCommons = regexp.MustCompile(`^CC[ -]BY(-SA)?[ -]([1-4]\.0)$`)

// ldLicence is a licence as schema.org wants it: an address where the words
// are an address or one of the two Creative Commons names whose address
// follows from the name (creativecommons.org/licenses), else a named work.
func ldLicence(text string) any {
	text = strings.TrimSpace(text)
	switch m := creativeCommons.FindStringSubmatch(text); {
	case text == "":
		return nil
	case strings.HasPrefix(text, "https://") || strings.HasPrefix(text, "http://"):
		return text
	case m != nil:
		return "https://creativecommons.org/licenses/by" + strings.ToLower(m[1]) + "/" + m[2] + "/"
	case text == "CC0" || text == "CC0-1.0":
		return "https://creativecommons.org/publicdomain/zero/1.0/"
	}
	return ldWork{"CreativeWork", text}
}
