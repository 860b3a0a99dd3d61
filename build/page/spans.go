package page

import (
	"html/template"
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// spansRows is how many cultivars a town's first page sets then and now.
const spansRows = 6

// spansSheet sets the odds of the first, the reference and the last 15 years
// side by side, for at most so many of a method's cultivars (0: all).
func (s *site) spansSheet(t *almanac.Town, by *oddsBy, m *club.Method, most int) *sheet {
	if t.LastYears.Last < t.LastYears.First || t.FirstYears.Last < t.FirstYears.First {
		return nil
	}
	rows := slices.DeleteFunc(s.ranked(by, m), func(o *almanac.Odds) bool {
		return math.IsNaN(o.First15) || math.IsNaN(o.Last15)
	})
	if most > 0 {
		// Where every year or none is ripe there is nothing to compare.
		open := slices.DeleteFunc(slices.Clone(rows), func(o *almanac.Odds) bool {
			return yearsLevel(o.First15) == yearsLevel(o.Last15) && (yearsLevel(o.Odds) == 0 || yearsLevel(o.Odds) == 10)
		})
		rows = spread(open, most)
	}
	if len(rows) == 0 {
		return nil
	}
	sh := &sheet{Caption: s.Say("Ripening odds then and now, %s: years in 10", s.methodIn(m)),
		Head: []string{s.Say("Cultivar"), s.Say("first 15 years, %s", yearsWords(t.FirstYears)), yearsWords(s.book.Span), s.Say("last 15 years, %s", yearsWords(t.LastYears))}}
	for _, o := range rows {
		sh.Rows = append(sh.Rows, []template.HTML{cell(s.label(o)), cell(s.shortInTen(o.First15)), cell(s.shortInTen(o.Odds)), cell(s.shortInTen(o.Last15))})
	}
	return sh
}
