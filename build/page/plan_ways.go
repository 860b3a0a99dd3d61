package page

import (
	"fmt"
	"math"
	"slices"

	"ripeward/build/almanac"
)

// wayName names a way of growing with its weeks.
func (s *site) wayName(w *almanac.TakeWay) string {
	return s.howWords(&almanac.Odds{Method: w.Method, Weeks: w.Weeks})
}

func (s *site) planCell(t *almanac.Take) planCell {
	switch {
	case t == nil:
		return planCell{Note: "–", Sort: 1 << 20}
	case len(t.Ways) == 0 && t.Best != nil:
		return planCell{Note: s.Say("no way; best %s in 10", s.shortInTen(t.Best.Odds)), Sort: 1<<19 - hundredths(t.Best.Odds)}
	case len(t.Ways) == 0:
		return planCell{Note: s.takeReason(t.Reason), Sort: 1 << 20}
	}
	w := &t.Ways[0]
	return planCell{Has: true, Way: s.wayName(w), Note: s.effort(w), Sort: int(w.Hours)}
}

// effort says what a way takes in a year.
func (s *site) effort(w *almanac.TakeWay) string {
	text := s.Grouped(w.Hours) + "\u00a0h"
	if w.Nights > 0 {
		text += ", " + s.nightsWords(w.Nights)
	}
	if w.KWh > 0 {
		text += ", " + s.Grouped(w.KWh) + "\u00a0kWh"
	}
	return text
}

// nightsWords counts carried nights of a mean year.
func (s *site) nightsWords(n float64) string {
	text, form := s.Trimmed(n, 1), 2
	switch {
	case text == "1":
		form = 1
	case math.Round(n*10) < 20: // between none and two: English has it with several, French with one
		form = 0
	}
	return s.Count(form, "%s\u00a0night", "%s\u00a0nights", text)
}

// cost prints money in the club's currency.
func (s *site) cost(v float64) string {
	if s.club.Settings.Currency == "" || v == 0 {
		return "–"
	}
	return s.Grouped(v) + "\u00a0" + s.club.Settings.Currency
}

// planCautions are the cautions of all ways of growing that the lists name.
func (s *site) planCautions(t *almanac.Town) []Caution {
	used := map[string]bool{}
	for i := range t.Takes {
		for _, w := range t.Takes[i].Ways {
			used[w.Method] = true
		}
	}
	var out []Caution
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		if !used[string(m.ID)] {
			continue
		}
		for _, c := range s.cautionsIn(string(m.Cautions)) {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out
}

// wayRows lists the ways of all targets, each once, with the targets that it
// stands on the list of.
func (s *site) wayRows(takes map[int]*almanac.Take) []wayRow {
	var ways []almanac.TakeWay
	var fors [][]string
	for _, target := range takeTargets {
		take := takes[hundredths(target)]
		if take == nil {
			continue
		}
		for _, w := range take.Ways {
			i := slices.Index(ways, w)
			if i < 0 {
				i = len(ways)
				ways, fors = append(ways, w), append(fors, nil)
			}
			fors[i] = append(fors[i], fmt.Sprint(int(math.Round(target*10))))
		}
	}
	var out []wayRow
	for i := range ways {
		w := &ways[i]
		out = append(out, wayRow{Target: s.Say("%s years in 10|several targets", s.List(fors[i])), Way: s.wayName(w), Odds: s.Say("%s in 10", s.shortInTen(w.Odds)), Hours: s.Grouped(w.Hours),
			Nights: s.Trimmed(w.Nights, 1), Power: s.Grouped(w.KWh), Cost: s.cost(w.Cost)})
	}
	return out
}
