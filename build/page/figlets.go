package page

import (
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/words"
)

// figletsPage is the model of a town's count-down from the day figlets show.
type figletsPage struct {
	Name, Town string
	Lead       string
	How        string // the way of growing, as a phrase
	Years      string
	Heads      []string
	Rows       []figletRow
	Words      string // years in 10 from fewer than 1 to more than 9, for the script
	All        string
	Methods    string
	Cautions   []Caution
}

type figletRow struct {
	Cultivar link
	Crop     string
	Drop     string
	DropSort int
	Cells    []oddsCell
}

// hasFiglets tells whether a town has a count-down.
func hasFiglets(t *almanac.Town) bool { return len(t.Figlets.Rows) > 0 && len(t.Figlets.Dates) > 0 }

var neverFinishes = words.Mark("never in 5 years of 10")

func (s *site) figletsPage(t *almanac.Town) *figletsPage {
	p := paths{"../../../"}
	f := &t.Figlets
	m := &figletsPage{Name: s.in(t.Row.Row, "name", t.Row.Name), Town: p.town(string(t.Row.ID)), Years: yearsWords(s.book.Span), How: f.Method, All: p.townAll(string(t.Row.ID)), Methods: p.page("methods/"), Cautions: s.cautionsIn("sap")}
	if x := s.methods[f.Method]; x != nil {
		m.How = s.methodPhrase(s.in(x.Row, "name", x.Name), string(x.Place))
	}
	var levels []string
	for level := range 11 {
		levels = append(levels, s.yearsInTen(float64(level)/10))
	}
	m.Words = strings.Join(levels, "|")
	for _, r := range f.Dates {
		m.Heads = append(m.Heads, s.shortDate(t.Hemisphere, r))
	}
	for i := range f.Rows {
		x := &f.Rows[i]
		row := figletRow{Cultivar: link{s.cultivarName(x.Cultivar), p.cultivar(x.Cultivar)}, Drop: s.Say(neverFinishes)}
		if c := s.cultivars[x.Cultivar]; c != nil && s.crops[string(c.CropID)] != nil {
			crop := s.crops[string(c.CropID)]
			row.Crop = s.in(crop.Row, "name", crop.Name)
		}
		if !x.Drop.None {
			row.Drop, row.DropSort = s.dateWords(t.Hemisphere, x.Drop.Rank), int(x.Drop.Rank)
		}
		for k := range f.Dates {
			c := oddsCell{Note: "–", Sort: -1}
			if k < len(x.Odds) {
				c = oddsCell{Has: true, Level: yearsLevel(x.Odds[k]), Number: s.shortInTen(x.Odds[k]), Sort: hundredths(x.Odds[k])}
			}
			row.Cells = append(row.Cells, c)
		}
		m.Rows = append(m.Rows, row)
	}
	slices.SortStableFunc(m.Rows, func(a, b figletRow) int { return b.DropSort - a.DropSort })
	m.Lead = s.figletLead(t, m.How)
	return m
}

// figletLead answers whether green figs will make it.
func (s *site) figletLead(t *almanac.Town, how string) string {
	f := &t.Figlets
	var least, most *almanac.FigletRow
	never := 0
	for i := range f.Rows {
		x := &f.Rows[i]
		if x.Drop.None {
			never++
			continue
		}
		if least == nil || x.Drop.Rank < least.Drop.Rank {
			least = x
		}
		if most == nil || x.Drop.Rank > most.Drop.Rank {
			most = x
		}
	}
	n := len(f.Rows)
	if most == nil {
		return s.Say("Most likely not: %s, figlets of none of the %s counted here finish in 5 years of 10, however early they show.", how, s.countDigits(n, "cultivar"))
	}
	date := func(r day.Rank) string { return s.dateWords(t.Hemisphere, r) }
	last, fast := date(most.Drop.Rank), s.cultivarName(most.Cultivar)
	var text string
	switch {
	case least == most:
		text = s.Say("It depends on the day you first saw them: %s, figlets still finish in 5 years of 10 if they show by %s (%s).", how, last, fast)
	case least.Drop.Rank == most.Drop.Rank:
		text = s.Say("It depends on the day you first saw them: %s, figlets still finish in 5 years of 10 if they show by %s (%s), and no cultivar lets you wait longer.", how, last, fast)
	default:
		text = s.Say("It depends on the day you first saw them: %s, figlets still finish in 5 years of 10 if they show by %s (%s), and by %s at the latest for the slowest that can (%s).", how, last, fast, date(least.Drop.Rank), s.cultivarName(least.Cultivar))
	}
	switch all := s.countDigits(n, "cultivar"); {
	case never == 1:
		text += " " + s.Say("For one of %s no date is early enough.", all)
	case never > 1:
		text += " " + s.Say("For %s of %s no date is early enough.", s.numberWord(never), all)
	}
	return text
}
