package page

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// townLine is a town in a list: its name and its one-line answer.
type townLine struct {
	Town   link
	Free   string // "12 May to 3 October"
	Days   string
	Heat   template.HTML
	Zone   string // hardiness
	Answer template.HTML
	Ripens string
	Best   string
	DaysN  int
	HeatN  int
	RipeN  int
	Word   string
	Known  bool
}

type zoneBlock struct {
	ID, Name string
	About    template.HTML
	Href     string
	Towns    []townLine
	Grid     string
	Compare  *zoneCompare
}

// zoneCompare is the table of odds over the towns of a zone.
type zoneCompare struct {
	Method string
	Towns  []link
	Rows   []compareRow
}

type compareRow struct {
	Cultivar link
	Crop     string
	Hours    string // of work a year, town by town
	Part     string
	Cells    []oddsCell
}

// homePage is the model of the first page.
type homePage struct {
	Name, Tagline string
	Map           template.HTML
	Zones         []zoneBlock
	Crops         []cropCount
	Guides        []guideLine
	Welcome       template.HTML
	WelcomeLang   string // of the welcome, where it is not the page's
	Towns, Kinds  string
	AllKinds      string
	Years         string
	CutOff        string
	Plain         string
}

// cropCount is a crop with its cultivars, where they are few enough to list.
type cropCount struct {
	Name, Count string
	Cultivars   []link
}

// listedCultivars is the most cultivars that the first page lists by name.
const listedCultivars = 80

type guideLine struct {
	Link    link
	Summary string
	Lang    string // of the text, where it is not the page's
}

func (s *site) townLine(t *almanac.Town, by *oddsBy, p paths) townLine {
	l := townLine{Town: link{s.townName(t), p.town(string(t.Row.ID))}, Free: s.Say("not known|the frost-free days"), Days: "–"}
	spring, autumn := t.Normal("last_spring_freeze_0"), t.Normal("first_autumn_freeze_0")
	if spring != nil && autumn != nil && spring.P[7].OK && autumn.P[1].OK && !spring.P[7].None && !autumn.P[1].None {
		l.Free = s.Say("%s to %s|days without frost", s.rankWords(t, spring.P[7]), s.rankWords(t, autumn.P[1]))
	} else if free, ok := s.freeSpan(t); ok {
		l.Free = lowerFirst(free)
	}
	if n := t.Normal("freeze_free_days_0"); n != nil && n.P[4].OK && !n.P[4].None {
		l.DaysN = int(n.P[4].V)
		l.Days = s.Whole(l.DaysN)
	}
	if n := t.Normal("heat_cd_base10"); n != nil && n.Mean.OK {
		l.Heat, l.HeatN = s.heat(n.Mean.V), int(n.Mean.V)
	}
	if n := t.Normal("hardiness_zone"); n != nil {
		l.Zone = n.Zone
	}
	pr := s.promiseOf(by, s.plain)
	l.Known = pr.known
	l.RipeN = len(pr.good)
	l.Ripens = s.countWords(l.RipeN, "cultivar")
	if len(s.key) > 1 && s.key[1].Place != "ground" {
		more := s.promiseOf(by, s.key[1])
		how := s.methodIn(s.key[1])
		if more.weeks > 0 {
			how = s.Say("with %s|a head start", s.weeksWords(more.weeks))
		}
		l.Word = s.Say("%s %s|so many cultivars, and how they are grown", s.oneOrMore(len(more.good)), how)
	}
	if len(pr.good) > 0 {
		l.Best = s.cultivarName(pr.good[0])
	}
	l.Answer = s.townAnswer(&l)
	return l
}

// townAnswer is a town's answer in one sentence.
func (s *site) townAnswer(l *townLine) template.HTML {
	if s.plain == nil || !l.Known {
		return ""
	}
	free, how := esc(l.Free), esc(s.methodIn(s.plain))
	if l.Word != "" {
		how = s.Say("%s, %s|a plain pot, then more with effort", how, esc(l.Word))
	}
	if l.RipeN == 0 {
		return template.HTML(s.Say("Frost-free <b>%s</b> in most years; <b>no cultivars</b> ripen 8 years in 10 %s.", free, how))
	}
	return template.HTML(s.Count(l.RipeN, "Frost-free <b>%s</b> in most years; <b>%s</b> ripens 8 years in 10 %s.", "Frost-free <b>%s</b> in most years; <b>%s</b> ripen 8 years in 10 %s.", free, esc(l.Ripens), how))
}

// oneOrMore is a number of cultivars where no noun follows.
func (s *site) oneOrMore(n int) string {
	if n == 1 {
		return s.Say("one|of the cultivars")
	}
	return s.noneOr(n)
}

func (s *site) zoneBlock(z *club.Zone, all map[string]*oddsBy, p paths) zoneBlock {
	b := zoneBlock{ID: string(z.ID), Name: s.in(z.Row, "name", z.Name), About: s.prose(z.Row, "about", z.About), Href: p.zone(string(z.ID))}
	for _, t := range s.townsIn(string(z.ID)) {
		b.Towns = append(b.Towns, s.townLine(t, all[string(t.Row.ID)], p))
	}
	if s.plain != nil {
		b.Grid = p.grid(string(s.plain.ID), string(z.ID))
	}
	return b
}

func (s *site) homePage(all map[string]*oddsBy) *homePage {
	p := paths{""}
	m := &homePage{Name: s.clubName(), Tagline: s.tagline(), Years: yearsWords(s.book.Span),
		CutOff: s.calendarDate(s.book.CutOff), Towns: upperFirst(s.countWords(len(s.book.Towns), "town")), Kinds: s.countWords(len(s.club.Cultivars), "cultivar")}
	m.AllKinds = s.Count(len(s.club.Cultivars), "All %s", "All %s", m.Kinds)
	if s.plain != nil {
		m.Plain = s.methodIn(s.plain)
	}
	for i := range s.club.Zones {
		m.Zones = append(m.Zones, s.zoneBlock(&s.club.Zones[i], all, p))
	}
	for _, c := range s.club.Crops {
		n, row := 0, cropCount{Name: s.in(c.Row, "name", c.Name)}
		for _, x := range s.club.Cultivars {
			if x.CropID == c.ID {
				n++
				if len(s.club.Cultivars) <= listedCultivars {
					row.Cultivars = append(row.Cultivars, link{s.in(x.Row, "name", x.Name), p.cultivar(string(x.ID))})
				}
			}
		}
		slices.SortStableFunc(row.Cultivars, func(a, b link) int { return cmp.Compare(a.Text, b.Text) })
		if n > 0 {
			row.Count = fmt.Sprint(n)
			m.Crops = append(m.Crops, row)
		}
	}
	m.Guides = s.guideLines(p)
	return m
}

func (s *site) guideLines(p paths) []guideLine {
	var out []guideLine
	for i := range s.guides {
		g := &s.guides[i]
		out = append(out, guideLine{link{g.Page.Card.Title, p.guide(g.Name)}, g.Page.Card.Summary, s.unless(g.Lang)})
	}
	return out
}

// zonePage compares the towns of a zone.
func (s *site) zonePage(z *club.Zone, all map[string]*oddsBy) *zoneBlock {
	p := paths{"../../"}
	b := s.zoneBlock(z, all, p)
	// A table wider than a grid may be stands in the zone's grids, in parts.
	if towns := s.townsIn(string(z.ID)); len(towns) <= gridSize {
		b.Compare = s.compare(towns, s.plain, all, p)
	}
	return &b
}

// compare sets towns side by side for one method, cultivars by their best odds
// over the towns.
func (s *site) compare(towns []*almanac.Town, m *club.Method, all map[string]*oddsBy, p paths) *zoneCompare {
	if m == nil || len(towns) == 0 {
		return nil
	}
	c := &zoneCompare{Method: s.methodIn(m)}
	var keys []oddsKey
	sum := map[oddsKey]float64{}
	for _, t := range towns {
		c.Towns = append(c.Towns, link{s.townName(t), p.town(string(t.Row.ID))})
		by := all[string(t.Row.ID)]
		for _, k := range by.keys {
			o := by.at[k][string(m.ID)]
			if o == nil || o.Reason == "no-model" {
				continue
			}
			if _, there := sum[k]; !there {
				keys = append(keys, k)
				sum[k] = 0
			}
			if o.Reason == "" {
				sum[k] += o.Odds
			} else {
				sum[k]--
			}
		}
	}
	slices.SortStableFunc(keys, func(a, b oddsKey) int {
		return cmp.Or(cmp.Compare(s.cropOrder(a), s.cropOrder(b)), -cmp.Compare(a.part, b.part), cmp.Compare(sum[b], sum[a]),
			cmp.Compare(a.cultivar, b.cultivar))
	})
	for _, k := range keys {
		row := compareRow{Cultivar: link{s.cultivarName(k.cultivar), p.cultivar(k.cultivar)}}
		if x := s.cultivars[k.cultivar]; x != nil && (bornParts(x) > 1 || k.part == "breba") {
			row.Part = s.partWords(k.part)
		}
		row.Crop = s.cropName(k.cultivar)
		hours := make([]string, len(towns))
		for i, t := range towns {
			o := all[string(t.Row.ID)].at[k][string(m.ID)]
			row.Cells = append(row.Cells, s.cellOf(o, s.townName(t)))
			hours[i] = s.hoursCell(o)
		}
		row.Hours = strings.Join(hours, " ")
		c.Rows = append(c.Rows, row)
	}
	return c
}

// gridSize is the most rows and columns of one grid.
const gridSize = 60

// gridPage is one page of the towns x cultivars table of a method and zone.
type gridPage struct {
	Zone, Method  string
	ZoneHref      string
	Phrase        string
	Table         *zoneCompare
	Methods       []gridLink // the same zone, other methods
	Zones         []gridLink // the same method, other zones
	Pages         []gridLink
	Weeks         string
	Cautions      []Caution
	Part, OfParts int
}

type gridLink struct {
	link
	Here bool
}

// gridPages makes the grid of one method and zone; beyond 60 x 60 it goes on
// in numbered folders.
func (s *site) gridPages(m *club.Method, z *club.Zone, all map[string]*oddsBy) map[string]*gridPage {
	base := "grid/" + string(m.ID) + "/" + string(z.ID) + "/"
	towns := s.townsIn(string(z.ID))
	whole := s.compare(towns, m, all, paths{"../../../"})
	if whole == nil {
		whole = &zoneCompare{Method: s.methodIn(m)}
	}
	type window struct{ c0, c1, r0, r1 int }
	var windows []window
	for c := 0; c == 0 || c < len(whole.Towns); c += gridSize {
		for r := 0; r == 0 || r < len(whole.Rows); r += gridSize {
			windows = append(windows, window{c, min(c+gridSize, len(whole.Towns)), r, min(r+gridSize, len(whole.Rows))})
		}
	}
	folder := func(i int) string {
		if i == 0 {
			return base
		}
		return fmt.Sprintf("%s%d/", base, i+1)
	}
	out := map[string]*gridPage{}
	for i, w := range windows {
		at := folder(i) + "index.html"
		p := paths{rootOf(at)}
		part := s.compare(towns[w.c0:w.c1], m, all, p)
		if part == nil {
			part = &zoneCompare{Method: whole.Method}
		} else {
			// The order of rows is that of the whole zone, so that a
			// cultivar stands on the same page for all towns.
			part.Rows = nil
			for _, row := range whole.Rows[w.r0:w.r1] {
				row.Cells = row.Cells[w.c0:w.c1]
				row.Hours = strings.Join(strings.Fields(row.Hours)[w.c0:w.c1], " ")
				row.Cultivar.Href = p.root + strings.TrimLeft(strings.TrimPrefix(row.Cultivar.Href, "../../../"), "/")
				part.Rows = append(part.Rows, row)
			}
		}
		g := &gridPage{Zone: s.in(z.Row, "name", z.Name), Method: s.in(m.Row, "name", m.Name), ZoneHref: p.zone(string(z.ID)), Phrase: whole.Method, Table: part,
			Part: i + 1, OfParts: len(windows), Cautions: s.cautionsIn(string(m.Cautions))}
		if n := m.HeadStartWeeks.Or(0); n > 0 {
			g.Weeks = s.weeksWords(n)
		}
		for j := range s.club.Methods {
			o := &s.club.Methods[j]
			g.Methods = append(g.Methods, gridLink{link{s.in(o.Row, "name", o.Name), p.grid(string(o.ID), string(z.ID))}, o == m})
		}
		for j := range s.club.Zones {
			o := &s.club.Zones[j]
			g.Zones = append(g.Zones, gridLink{link{s.in(o.Row, "name", o.Name), p.grid(string(m.ID), string(o.ID))}, o == z})
		}
		if len(windows) > 1 {
			for j := range windows {
				g.Pages = append(g.Pages, gridLink{link{s.Say("Part %d|of a grid", j+1), p.page(folder(j))}, j == i})
			}
		}
		out[at] = g
	}
	return out
}

// gridIndex lists all grids.
type gridIndex struct {
	Zones []string
	Rows  []gridIndexRow
}

type gridIndexRow struct {
	Method string
	Cells  []link
}

func (s *site) gridIndex() *gridIndex {
	p := paths{"../"}
	g := &gridIndex{}
	for _, z := range s.club.Zones {
		g.Zones = append(g.Zones, s.in(z.Row, "name", z.Name))
	}
	for _, m := range s.club.Methods {
		r := gridIndexRow{Method: s.in(m.Row, "name", m.Name)}
		for _, z := range s.club.Zones {
			r.Cells = append(r.Cells, link{s.in(z.Row, "name", z.Name), p.grid(string(m.ID), string(z.ID))})
		}
		g.Rows = append(g.Rows, r)
	}
	return g
}
