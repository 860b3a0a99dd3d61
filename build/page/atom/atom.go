// Package atom writes news feeds by RFC 4287, the Atom Syndication Format.
package atom

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"net/url"
	"slices"

	"ripeward/build/day"
)

// Feed is a feed and its entries. Texts are plain text.
type Feed struct {
	ID       string // permanent IRI, never reused (RFC 4287 4.2.6)
	Title    string
	Subtitle string // may be blank
	Author   string
	Email    string // of the author; may be blank
	Rights   string // may be blank
	Language string // BCP 47
	Self     string // address of the feed itself
	Page     string // address of the site that it tells of
	Version  string // of the program; may be blank
	Entries  []Entry
}

// Entry is one piece of news.
type Entry struct {
	ID      string // permanent IRI, never reused
	Title   string
	Summary string
	Page    string   // address of the page that tells more
	Updated day.Date // day of the last change that a reader would call one
}

type (
	xmlFeed struct {
		XMLName   xml.Name  `xml:"http://www.w3.org/2005/Atom feed"`
		Lang      string    `xml:"xml:lang,attr"`
		ID        string    `xml:"id"`
		Title     string    `xml:"title"`
		Subtitle  string    `xml:"subtitle,omitempty"`
		Updated   string    `xml:"updated"`
		Links     []xmlLink `xml:"link"`
		Author    xmlPerson `xml:"author"`
		Rights    string    `xml:"rights,omitempty"`
		Generator *xmlMaker `xml:"generator"`
		Entries   []xmlEntry
	}
	xmlEntry struct {
		XMLName xml.Name `xml:"entry"`
		ID      string   `xml:"id"`
		Title   string   `xml:"title"`
		Updated string   `xml:"updated"`
		Link    xmlLink  `xml:"link"`
		Summary string   `xml:"summary"`
	}
	xmlLink struct {
		Rel  string `xml:"rel,attr"`
		Type string `xml:"type,attr"`
		Href string `xml:"href,attr"`
	}
	xmlPerson struct {
		Name  string `xml:"name"`
		Email string `xml:"email,omitempty"`
	}
	xmlMaker struct {
		Version string `xml:"version,attr,omitempty"`
		Name    string `xml:",chardata"`
	}
)

// Encode returns the feed's file. The feed's own date is that of its newest
// entry. It refuses what RFC 4287 does: a feed or an entry without an id, a
// title or a date, a feed without an author (4.1.1), an entry without the
// address of a page (4.1.2), an id that is no absolute IRI (4.2.6); and two
// entries with one id, which would be the same entry twice.
func (f Feed) Encode() ([]byte, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	newest := slices.MaxFunc(f.Entries, func(a, b Entry) int { return int(a.Updated) - int(b.Updated) }).Updated
	x := xmlFeed{Lang: f.Language, ID: f.ID, Title: f.Title, Subtitle: f.Subtitle, Updated: stamp(newest), Rights: f.Rights,
		Links:     []xmlLink{{"self", "application/atom+xml", f.Self}, {"alternate", "text/html", f.Page}},
		Author:    xmlPerson{f.Author, f.Email},
		Generator: &xmlMaker{f.Version, "Ripeward"}}
	for _, e := range f.Entries {
		x.Entries = append(x.Entries, xmlEntry{ID: e.ID, Title: e.Title, Updated: stamp(e.Updated),
			Link: xmlLink{"alternate", "text/html", e.Page}, Summary: e.Summary})
	}
	var b bytes.Buffer
	b.WriteString(xml.Header)
	enc := xml.NewEncoder(&b)
	enc.Indent("", " ")
	if err := enc.Encode(x); err != nil {
		return nil, fmt.Errorf("feed: %w", err)
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// stamp is the start of a day as a date construct (RFC 4287 3.3, RFC 3339).
func stamp(d day.Date) string { return d.String() + "T00:00:00Z" }

func (f Feed) check() error {
	if f.Title == "" || f.Author == "" || f.Self == "" || f.Page == "" {
		return errors.New("feed: title, author and addresses are needed")
	}
	if err := checkIRI(f.ID); err != nil {
		return err
	}
	if len(f.Entries) == 0 {
		return errors.New("feed: without an entry it has no date")
	}
	seen := map[string]bool{f.ID: true}
	for _, e := range f.Entries {
		if err := checkIRI(e.ID); err != nil {
			return err
		}
		if e.Title == "" || e.Page == "" || e.Updated == day.None {
			return fmt.Errorf("feed: entry %s: title, page and date are needed", e.ID)
		}
		if seen[e.ID] {
			return fmt.Errorf("feed: id %s stands twice", e.ID)
		}
		seen[e.ID] = true
	}
	return nil
}

func checkIRI(id string) error {
	if u, err := url.Parse(id); err != nil || !u.IsAbs() {
		return fmt.Errorf("feed: id %q is no absolute IRI", id)
	}
	return nil
}
