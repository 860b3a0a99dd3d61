package page

import (
	"cmp"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// cultivarSheetPage is where a cultivar on one side of paper stands.
func cultivarSheetPage(id string) string { return "cultivars/" + id + "/sheet/index.html" }

// cultivarSheet is the model of a cultivar on one side of paper.
type cultivarSheet struct {
	Name, Lead, Back, Years, CutOff string
	Notice                          string // of the club, which stands on the paper too
	Facts                           []fact
	NoModel                         string
	Parts                           []cultivarSheetPart
	Winter                          []template.HTML
	Cautions                        []string
	Size                            string // of the type, by how much there is to say
}

// cultivarSheetPart says where one part of the crop ripens: by town, or by
// zone where there are too many towns for a side of paper.
type cultivarSheetPart struct {
	Name    string
	Need    template.HTML
	Reason  string
	Head    []string
	Rows    [][]string // the first cell heads its row
	More    int        // rows that did not fit
	ByZone  bool
	methods []*club.Method // that the rows name
}

// mostTownsOnSheet is how many towns are listed one by one.
const mostTownsOnSheet = 14

func (s *site) cultivarSheet(c *club.Cultivar, page *cultivarPage, all map[string]*oddsBy) *cultivarSheet {
	m := &cultivarSheet{Name: page.Name, Lead: page.Lead, Back: "../index.html", Years: yearsWords(s.book.Span), CutOff: s.calendarDate(s.book.CutOff), Notice: s.notice(),
		Facts: page.Facts, NoModel: page.NoModel}
	for _, p := range page.Parts {
		m.Parts = append(m.Parts, s.cultivarSheetPart(c, p, all))
	}
	m.Winter, m.Cautions = s.sheetWinter(c, all), s.cultivarCautions(c, m.Parts)
	m.fit()
	return m
}

// townOnSheet is a town with its answers for one part of the crop.
type townOnSheet struct {
	*almanac.Town
	plain, cheap, best *almanac.Odds
	by                 *oddsBy
}

func (s *site) cultivarSheetPart(c *club.Cultivar, p cultivarPart, all map[string]*oddsBy) cultivarSheetPart {
	x := cultivarSheetPart{Name: p.Name, Reason: p.Reason}
	if p.Reason != "" {
		return x
	}
	if len(p.Need.Words) > 0 {
		x.Need = p.Need.Words[0]
	}
	k := oddsKey{string(c.ID), p.ID}
	var towns []townOnSheet
	for _, t := range s.townsByZone() {
		by := all[string(t.Row.ID)]
		if best := by.best[k]; best != nil && best.Reason == "" {
			towns = append(towns, townOnSheet{t, s.inPlainPot(by, k), by.cheap[k], best, by})
		}
	}
	for _, t := range towns {
		for _, o := range []*almanac.Odds{t.cheap, t.best} {
			if o != nil && s.methods[o.Method] != nil && !slices.Contains(x.methods, s.methods[o.Method]) {
				x.methods = append(x.methods, s.methods[o.Method])
			}
		}
	}
	if x.ByZone = len(towns) > mostTownsOnSheet; x.ByZone {
		s.zoneRows(&x, towns, k)
	} else {
		s.townRows(&x, towns, k)
	}
	return x
}

// inPlainPot is the answer for the plain pot, or nil.
func (s *site) inPlainPot(by *oddsBy, k oddsKey) *almanac.Odds {
	if s.plain == nil {
		return nil
	}
	if o := by.at[k][string(s.plain.ID)]; o != nil && o.Reason == "" {
		return o
	}
	return nil
}

func share(o *almanac.Odds) float64 {
	if o == nil {
		return -1
	}
	return o.Odds
}

// townRows lists towns, those where it ripens most surely first.
func (s *site) townRows(x *cultivarSheetPart, towns []townOnSheet, k oddsKey) {
	x.Head = []string{s.Say("Town|of a sheet"), s.plainHead(), s.Say("Surest way, years in 10"), s.Say("Least work for 8 in 10"), s.Say("First ripe that way, early to late year")}
	slices.SortStableFunc(towns, func(a, b townOnSheet) int {
		return cmp.Or(cmp.Compare(share(b.plain), share(a.plain)), cmp.Compare(share(b.best), share(a.best)), strings.Compare(string(a.Row.Name), string(b.Row.Name)))
	})
	for _, t := range towns {
		plain, least, shown := "–", s.Say("none|of the ways"), t.best
		if t.plain != nil {
			plain = s.shortInTen(t.plain.Odds)
		}
		if t.cheap != nil {
			least, shown = s.Say("%s; %s h a year", s.howWords(t.cheap), s.Trimmed(t.cheap.Hours, 0)), t.cheap
		}
		dated, note := t.by.dated(k, shown)
		x.Rows = append(x.Rows, []string{s.in(t.Row.Row, "name", t.Row.Name), plain, s.Say("%s: %s", s.shortInTen(t.best.Odds), lowerFirst(s.howWords(t.best))),
			least, s.shortSpan(t.Hemisphere, dated.FirstRipe, dated.Odds) + note})
	}
}

func (s *site) plainHead() string {
	if s.plain == nil {
		return "–"
	}
	return s.Say("%s, years in 10", s.methodName(string(s.plain.ID)))
}

// zoneRows counts the towns of each zone.
func (s *site) zoneRows(x *cultivarSheetPart, towns []townOnSheet, k oddsKey) {
	plain := "–"
	if s.plain != nil {
		plain = s.Say("8 years in 10: %s", lowerFirst(s.methodName(string(s.plain.ID))))
	}
	x.Head = []string{s.Say("Zone|of a sheet"), plain, s.Say("8 years in 10 by some way"), s.Say("Surest town, years in 10"), s.Say("First ripe there, early to late year")}
	for i := range s.club.Zones {
		z := &s.club.Zones[i]
		n, good, some, surest := 0, 0, 0, -1
		for j, t := range towns {
			if t.Row.ZoneID != z.ID {
				continue
			}
			n++
			if t.plain != nil && enough(t.plain.Odds) {
				good++
			}
			if t.cheap != nil {
				some++
			}
			if surest < 0 || t.best.Odds > towns[surest].best.Odds {
				surest = j
			}
		}
		if n == 0 {
			continue
		}
		t := towns[surest]
		dated, note := t.by.dated(k, t.best)
		x.Rows = append(x.Rows, []string{s.in(z.Row, "name", z.Name), s.Say("%s of %s|towns", s.Whole(good), s.Whole(n)), s.Say("%s of %s|towns", s.Whole(some), s.Whole(n)),
			s.Say("%s, %s: %s", s.in(t.Row.Row, "name", t.Row.Name), s.shortInTen(t.best.Odds), lowerFirst(s.howWords(t.best))),
			s.shortSpan(t.Hemisphere, dated.FirstRipe, dated.Odds) + note})
	}
}

// sheetWinter says what winter leaves of it, in the ground and in store.
func (s *site) sheetWinter(c *club.Cultivar, all map[string]*oddsBy) []template.HTML {
	var out []template.HTML
	if g := s.groundMethod(); g != nil {
		n, lives := 0, 0
		for i := range s.book.Towns {
			if w := all[string(s.book.Towns[i].Row.ID)].winters[string(c.ID)][string(g.ID)]; w != nil {
				n++
				if survivesGround(w) {
					lives++
				}
			}
		}
		if n > 0 {
			how := upperFirst(s.methodPhrase(s.methodName(string(g.ID)), string(g.Place)))
			if lives == 0 {
				out = append(out, cell(s.Say("%s: its wood comes through 8 winters in 10 in none of the towns.", how)))
			} else {
				out = append(out, cell(s.Say("%s: its wood comes through 8 winters in 10 in %s of %s towns.", how, s.Whole(lives), s.Whole(n))))
			}
		}
	}
	if crop := s.crops[string(c.CropID)]; crop != nil && crop.StoreLowC.Set && crop.StoreHighC.Set {
		out = append(out, template.HTML(s.Say("Pots in store are best kept between %s and %s (the club’s own limits).", s.tempTrim(crop.StoreLowC.Value), s.tempTrim(crop.StoreHighC.Value))))
	}
	return out
}

// cultivarCautions are those of the fruit and of the ways that the sheet names.
func (s *site) cultivarCautions(c *club.Cultivar, parts []cultivarSheetPart) []string {
	cells := []string{}
	if isFig(s.crops[string(c.CropID)]) {
		cells = append(cells, "sap;eating")
	}
	for _, p := range parts {
		for _, m := range p.methods {
			cells = append(cells, s.in(m.Row, "cautions", m.Cautions))
		}
	}
	var out []string
	for _, cell := range cells {
		for _, text := range s.shortCautionsIn(cell) {
			if !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}

// cultivarSheetSizes are how many lines one side of Letter holds, the shorter
// of the two papers, how many letters a line of text and how many a line of a
// table, by size of type; measured in a browser with broad fonts, see the test
// that prints the sheets.
var cultivarSheetSizes = []cultivarSheetSize{{"s11", 55, 96, 84}, {"s10", 60, 106, 93}, {"s9", 70, 118, 104}}

type cultivarSheetSize struct {
	class               string
	lines, chars, cells int
}

// cultivarSheetColumns are the shares of a table's width in hundredths, as the
// style sheet has them.
var cultivarSheetColumns = [5]int{16, 11, 28, 26, 19}

// linesOf is how many lines a text takes at so many letters a line.
func linesOf(text string, chars int) int {
	return (utf8.RuneCountInString(text) + chars - 1) / chars
}

// lines is how many lines the sheet takes.
func (m *cultivarSheet) lines(size cultivarSheetSize) int {
	n := 3 + linesOf(m.Notice, cultivarSheetSizes[0].chars) + linesOf(m.Lead, size.chars) + linesOf(m.NoModel, size.chars) + linesOf("Take care."+strings.Join(m.Cautions, " "), size.chars)
	facts := 0
	for _, f := range m.Facts {
		facts += utf8.RuneCountInString(f.Name+bareText(f.Text)) + 5
	}
	n += (facts + size.chars - 1) / size.chars
	for _, w := range m.Winter {
		n += linesOf(bareText(w), size.chars)
	}
	for _, p := range m.Parts {
		n += 1 + linesOf(bareText(p.Need), size.chars) + linesOf(p.Reason, size.chars) + rowLines(p.Head, size.cells)
		for _, row := range p.Rows {
			n += rowLines(row, size.cells)
		}
		if p.More > 0 {
			n++
		}
	}
	return n
}

var markup = regexp.MustCompile(`<[^>]*>`)

// bareText is what a reader sees of a text with markup, near enough to count.
func bareText(h template.HTML) string { return markup.ReplaceAllString(string(h), "") }

// rowLines is the height of a table's row: that of its longest cell, whose
// words leave some of each line unused.
func rowLines(row []string, chars int) int {
	n := 1
	for i, c := range row {
		wide := chars*cultivarSheetColumns[min(i, len(cultivarSheetColumns)-1)]/100 - 1
		if have := linesOf(c, wide); have > 1 {
			n = max(n, linesOf(c, wide-2))
		}
	}
	return n
}

// fit chooses the size of type, and leaves out the last rows of the longest
// table where no size has room for all.
func (m *cultivarSheet) fit() {
	for _, size := range cultivarSheetSizes {
		m.Size = size.class
		if m.lines(size) <= size.lines {
			return
		}
	}
	last := cultivarSheetSizes[len(cultivarSheetSizes)-1]
	for m.lines(last) > last.lines {
		longest := -1
		for i := range m.Parts {
			if len(m.Parts[i].Rows) > 1 && (longest < 0 || len(m.Parts[i].Rows) > len(m.Parts[longest].Rows)) {
				longest = i
			}
		}
		if longest < 0 {
			return
		}
		p := &m.Parts[longest]
		p.Rows, p.More = p.Rows[:len(p.Rows)-1], p.More+1
	}
}

// cultivar writes a cultivar's page and its sheet.
func (r *rendering) cultivar(c *club.Cultivar, crumbs []link) error {
	s, id := r.site, string(c.ID)
	m := s.cultivarPage(c, r.all)
	if err := r.page("cultivars/"+id+"/index.html", "cultivar", m.Name, m.Lead, crumbs, m); err != nil {
		return err
	}
	up := []link{{s.Say("Home"), "../../../index.html"}, {s.Say("Cultivars"), "../../index.html"}, {m.Name, "../index.html"}}
	return r.page(cultivarSheetPage(id), "cultivar-sheet", s.Say("%s on one page", m.Name), s.Say("%s on one side of paper: what it is, where it ripens, what it takes.", m.Name), up, s.cultivarSheet(c, m, r.all))
}
