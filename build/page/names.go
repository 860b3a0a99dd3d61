package page

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"ripeward/build/club"
)

// finding is something that a reader may look for: kind is town, zone, cultivar,
// guide or page.
type finding struct {
	Kind, Folder, Name, Note string
	Also                     []string  // other names it goes by
	Place                    []float64 // latitude and longitude of a town, to 0.01°
}

// findable lists what can be found: towns by zone, zones, cultivars by name,
// guides and the almanac's other pages.
func (s *site) findable() []finding {
	var out []finding
	for _, t := range s.townsByZone() {
		n := finding{Kind: "town", Folder: "towns/" + string(t.Row.ID) + "/", Name: s.townName(t), Note: s.zoneName(t), Also: otherNames(t.Row.Row, string(t.Row.Name), s.townName(t))}
		if t.Row.Latitude.Set && t.Row.Longitude.Set {
			n.Place = []float64{roundTo(t.Row.Latitude.Value, 100), roundTo(t.Row.Longitude.Value, 100)}
		}
		out = append(out, n)
	}
	for i := range s.club.Zones {
		z := &s.club.Zones[i]
		out = append(out, finding{Kind: "zone", Folder: "zones/" + string(z.ID) + "/", Name: s.in(z.Row, "name", z.Name), Note: s.Say("zone|of towns"), Also: otherNames(z.Row, string(z.Name), s.in(z.Row, "name", z.Name))})
	}
	var kinds []finding
	for i := range s.club.Cultivars {
		c := &s.club.Cultivars[i]
		n := finding{Kind: "cultivar", Folder: "cultivars/" + string(c.ID) + "/", Name: s.cultivarName(string(c.ID)), Also: append(slices.Clone([]string(c.AlsoCalled)), otherNames(c.Row, string(c.Name), s.cultivarName(string(c.ID)))...)}
		if crop := s.crops[string(c.CropID)]; crop != nil {
			n.Note = s.in(crop.Row, "name", crop.Name)
		}
		kinds = append(kinds, n)
	}
	slices.SortStableFunc(kinds, func(a, b finding) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Folder, b.Folder)) })
	out = append(out, kinds...)
	for i := range s.guides {
		out = append(out, guideName("guide", s.Say("guide"), &s.guides[i]))
	}
	for _, p := range []finding{
		{Folder: "plan/", Name: s.Say("What would it take?"), Note: s.Say("planner, town by town"), Also: []string{s.Say("Your garden"), s.Say("My tree")}},
		{Folder: "compare/", Name: s.Say("Side by side"), Note: s.Say("up to three towns or cultivars"), Also: []string{s.Say("compare")}},
		{Folder: "grid/", Name: s.Say("Towns against cultivars"), Note: s.Say("grids by zone and way of growing")},
		{Folder: "how-good/", Name: s.Say("How good is the almanac?"), Note: s.Say("predictions against reports")},
		{Folder: "methods/", Name: s.Say("Methods and sources"), Note: s.Say("how every figure is defined")},
		{Folder: "data-quality/", Name: s.Say("Data quality"), Note: s.Say("stations, gaps, values set aside")},
		{Folder: "report/", Name: s.Say("Report what ripened"), Note: s.Say("a form to print")},
		{Folder: contributeFolder + "/", Name: s.Say("How to contribute"), Note: s.Say("reports, cultivars, stations; empty tables")},
		{Folder: "downloads/", Name: s.Say("Downloads"), Note: s.Say("all figures as tables")},
	} {
		p.Kind = "page"
		out = append(out, p)
	}
	for i := range s.extra {
		out = append(out, guideName("page", s.Say("page"), &s.extra[i]))
	}
	return out
}

// guideName finds a text by its title and by the headings in it.
func guideName(kind, note string, g *guide) finding {
	n := finding{Kind: kind, Folder: strings.TrimSuffix(g.Path, "index.html"), Name: g.Page.Card.Title, Note: note}
	for _, h := range g.Page.Headings {
		if h.Level == 2 {
			n.Also = append(n.Also, h.Text)
		}
	}
	return n
}

// otherNames are a row's names in other languages, where they differ from the
// one shown.
func otherNames(r club.Row, own, shown string) []string {
	out := []string{own}
	for column, text := range r.Other {
		if strings.HasPrefix(column, "name_") {
			out = append(out, text)
		}
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(n string) bool { return n == shown })
}

func roundTo(v, parts float64) float64 {
	if v < 0 {
		return -roundTo(-v, parts)
	}
	return float64(int(v*parts+0.5)) / parts
}

// namesScript is the list as a script, one name a line: kind, folder, name,
// note, other names, latitude, longitude; what is missing at the end is left
// out.
func namesScript(list []finding) []byte {
	var b bytes.Buffer
	b.WriteString("window.ripewardNames = [\n")
	for i, n := range list {
		row := []any{n.Kind, n.Folder, n.Name, n.Note}
		if len(n.Also) > 0 || n.Place != nil {
			row = append(row, strings.Join(n.Also, "|"))
		}
		for _, v := range n.Place {
			row = append(row, v)
		}
		b.Write(jsonLine(row))
		if i < len(list)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("];\n")
	return b.Bytes()
}

// jsonLine writes a value of texts and finite numbers as JSON that may stand
// in a script (encoding/json escapes <, >, & and the line separators).
func jsonLine(v any) []byte {
	data, err := json.Marshal(v)
	if err != nil {
		panic("a list of names cannot be written: " + err.Error()) // cannot happen
	}
	return data
}

// searchPage lists everything that can be found, by kind; its script searches.
type searchPage struct{ Groups []searchGroup }

type searchGroup struct {
	ID, Name string
	Rows     []searchRow
}

type searchRow struct {
	Link link
	Note string
	Also string
}

func (s *site) searchPage() *searchPage {
	p := paths{"../"}
	m := &searchPage{}
	at := map[string]int{}
	for _, g := range []searchGroup{{ID: "town", Name: s.Say("Towns")}, {ID: "zone", Name: s.Say("Zones|of towns")}, {ID: "cultivar", Name: s.Say("Cultivars")}, {ID: "guide", Name: s.Say("Guides")}, {ID: "page", Name: s.Say("Other pages")}} {
		at[g.ID] = len(m.Groups)
		m.Groups = append(m.Groups, g)
	}
	for _, n := range s.list {
		g := &m.Groups[at[n.Kind]]
		r := searchRow{Link: link{n.Name, p.page(n.Folder)}, Note: n.Note}
		if n.Kind == "zone" || n.Kind == "guide" || n.Note == s.Say("page") {
			r.Note = "" // the heading says so
		}
		if n.Kind == "town" || n.Kind == "cultivar" {
			r.Also = s.List(n.Also)
		}
		g.Rows = append(g.Rows, r)
	}
	m.Groups = slices.DeleteFunc(m.Groups, func(g searchGroup) bool { return len(g.Rows) == 0 })
	return m
}
