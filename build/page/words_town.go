package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
)

// esc makes a text safe for HTML that is put together here.
func esc(s string) string { return template.HTMLEscapeString(s) }

// promise is what one method does for a town's cultivars.
type promise struct {
	method *club.Method
	weeks  int
	good   []string // cultivars whose main crop ripens 8 years in 10, best first
	breba  []string // cultivars of which only the brebas do
	known  bool     // there are odds for this method at all
}

// promiseOf lists the cultivars that reach the target with a method.
func (s *site) promiseOf(by *oddsBy, m *club.Method) promise {
	p := promise{method: m, weeks: m.HeadStartWeeks.Or(0)}
	if m == nil {
		return p
	}
	var found []*almanac.Odds
	for _, k := range by.keys {
		if o := by.at[k][string(m.ID)]; o != nil && o.Reason == "" {
			p.known = true
			if enough(o.Odds) {
				found = append(found, o)
			}
		}
	}
	slices.SortStableFunc(found, func(a, b *almanac.Odds) int { return hundredths(b.Odds) - hundredths(a.Odds) })
	for _, o := range found {
		if o.Part == "main" {
			p.good = append(p.good, o.Cultivar)
		}
	}
	for _, o := range found {
		if o.Part != "main" && !slices.Contains(p.good, o.Cultivar) {
			p.breba = append(p.breba, o.Cultivar)
		}
	}
	return p
}

// freeSpan is the part of the season without freezes in most years: each of
// its two dates holds in 8 years of 10.
func (s *site) freeSpan(t *almanac.Town) (words string, ok bool) {
	spring, autumn := t.Normal("last_spring_freeze_0"), t.Normal("first_autumn_freeze_0")
	if spring == nil || autumn == nil || !spring.P[7].OK || !autumn.P[1].OK {
		return "", false
	}
	a, b := spring.P[7], autumn.P[1]
	switch {
	case a.None && b.None:
		return s.Say("Free of freezes all year in most years"), true
	case a.None:
		return s.Say("Frost-free until %s in most years", s.rankWords(t, b)), true
	case b.None:
		return s.Say("Frost-free from %s on in most years", s.rankWords(t, a)), true
	}
	return s.Say("Frost-free from %s to %s in most years", s.rankWords(t, a), s.rankWords(t, b)), true
}

func (s *site) rankWords(t *almanac.Town, p climate.Point) string {
	return s.dateWords(t.Hemisphere, rankOf(p))
}

// lead is the answer in one sentence, the first thing on a town's page.
func (s *site) lead(t *almanac.Town, by *oddsBy) string {
	var parts []string
	if free, ok := s.freeSpan(t); ok {
		parts = append(parts, free)
	}
	parts = append(parts, s.ripenParts(by)...)
	if w := s.groundCount(by); w != "" {
		parts = append(parts, w)
	}
	if len(parts) == 0 {
		return s.Say("The station’s record is too short to answer for this town yet.")
	}
	return upperFirst(s.clauses(parts)) + "."
}

// ripenParts says how many cultivars reach the target by the methods shown
// side by side, the ground aside.
func (s *site) ripenParts(by *oddsBy) []string {
	var parts []string
	for i, m := range s.key {
		if m.Place == "ground" {
			continue
		}
		p := s.promiseOf(by, m)
		if !p.known {
			continue
		}
		how := s.methodIn(m)
		if p.weeks > 0 {
			how = s.Count(p.weeks, "with %d week’s head start indoors", "with %d weeks’ head start indoors", p.weeks)
		}
		if i == 0 || len(parts) == 0 {
			parts = append(parts, s.ripenFirst(len(p.good), len(p.breba), how))
			continue
		}
		parts = append(parts, s.Say("%s %s|so many cultivars, in a way of growing", s.noneOr(len(p.good)), how))
	}
	return parts
}

// ripenFirst says how many cultivars reach the target with their main crop,
// and how many more with their brebas.
func (v voice) ripenFirst(n, brebas int, how string) string {
	if n == 0 {
		text := v.Say("no cultivar ripens 8 years in 10 %s", how)
		switch brebas {
		case 0:
			return text
		case 1:
			return v.Say("%s (one its brebas)", text)
		}
		return v.Count(brebas, "%s (%s its brebas)", "%s (%s their brebas)", text, v.numberWord(brebas))
	}
	text := v.Say("one cultivar ripens 8 years in 10 %s", how)
	if n > 1 {
		text = v.Count(n, "%s cultivar ripens 8 years in 10 %s", "%s cultivars ripen 8 years in 10 %s", v.numberWord(n), how)
	}
	switch brebas {
	case 0:
		return text
	case 1:
		return v.Say("%s (one more its brebas)", text)
	}
	return v.Count(brebas, "%s (%s more its brebas)", "%s (%s more their brebas)", text, v.numberWord(brebas))
}

// survivesGround tells whether a cultivar's wood lives through the target
// share of winters under a ground method, by the cautious side.
func survivesGround(w *almanac.WinterLoss) bool {
	return w != nil && enough(1-max(w.KillLow, w.KillHigh))
}

// groundMethod is the plainest way of growing in the ground, or nil.
func (s *site) groundMethod() *club.Method {
	for _, m := range s.key {
		if m.Place == "ground" {
			return m
		}
	}
	return nil
}

func (s *site) groundCount(by *oddsBy) string {
	m := s.groundMethod()
	if m == nil || len(by.winters) == 0 {
		return ""
	}
	n := 0
	for _, c := range s.club.Cultivars {
		if survivesGround(by.winters[string(c.ID)][string(m.ID)]) {
			n++
		}
	}
	how := s.methodIn(m)
	switch n {
	case 0:
		return s.Say("no cultivar’s wood comes through 8 winters in 10 %s", how)
	case 1:
		return s.Say("the wood of one comes through 8 winters in 10 %s", how)
	}
	return s.Say("the wood of %s comes through 8 winters in 10 %s", s.numberWord(n), how)
}

// names lists cultivars as links, the first few by name.
func (s *site) names(ids []string, p paths, most int) template.HTML {
	var items []string
	for i, id := range ids {
		if i == most && len(ids) > most+1 {
			items = append(items, s.Say("%s more|at the end of a list", s.numberWord(len(ids)-most)))
			break
		}
		items = append(items, `<a href="`+esc(p.cultivar(id))+`">`+esc(s.cultivarName(id))+`</a>`)
	}
	return template.HTML(s.List(items))
}

// yearsWords says which years a set of figures rests on.
func yearsWords(span climate.Span) string { return fmt.Sprintf("%d–%d", span.First, span.Last) }

// leadWords says which station a town's figures come from and how they were
// moved.
func (s *site) leadWords(t *almanac.Town) template.HTML {
	l := t.Lead
	town, name := esc(s.townName(t)), esc(s.stationName(l.StationID))
	where := s.Say("%s away", s.km(l.DistanceKm))
	switch h := l.HeightM; {
	case h > 0.5:
		where = s.Say("%s away and %s lower than the town", s.km(l.DistanceKm), s.metres(h))
	case h < -0.5:
		where = s.Say("%s away and %s higher than the town", s.km(l.DistanceKm), s.metres(-h))
	}
	text := s.Say("Figures for %s rest on the station <b>%s</b>, %s.", town, name, where)
	if st := s.stations[l.StationID]; st != nil {
		text = s.Say("Figures for %s rest on the station <b>%s</b>, %s (%d to %d, %s).", town, name, where,
			st.First.Year(), st.Last.Year(), esc(s.countDigits(st.ValidYears, "valid year")))
	}
	chosen := s.Say("It is the nearest one with a long record, height counted.")
	if l.Named {
		chosen = s.Say("The club chose this station.")
	}
	all := []string{text, esc(chosen)}
	if l.DayShiftC != 0 || l.NightShiftC != 0 {
		all = append(all, s.Say("Its days were moved by %s and its nights by %s for the difference in height and place.", s.diffPlus(l.DayShiftC), s.diffPlus(l.NightShiftC)))
	}
	if len(l.Fillers) > 0 {
		var names []string
		for _, id := range l.Fillers {
			names = append(names, s.stationName(id))
		}
		all = append(all, esc(s.Say("Gaps were filled from %s: %s, %s.", s.List(names), s.countDigits(l.FilledMin, "night"), s.countDigits(l.FilledMax, "day"))))
	}
	return template.HTML(strings.Join(all, " "))
}

func (u units) diffPlus(c float64) template.HTML {
	return u.both(u.Plus(c, 1)+"\u00a0°C", u.Plus(c*1.8, 1)+"\u00a0°F")
}
