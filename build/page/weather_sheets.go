package page

import (
	"html/template"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/quantity"
)

// springRows is how many days the table of freezes still to come shows: the
// last ones, for where hard freezes are rare the first would lie in winter.
const springRows = 9

// springSheet is the table of freezes still to come: on the 1st, 11th and 21st
// of each month, from the first on which the hardest freeze may be over to the
// last on which the lightest may still come.
func (s *site) springSheet(t *almanac.Town) *sheet {
	sh := &sheet{Caption: s.Say("Years in 10 in which a freeze still comes after …"), Head: []string{s.Say("After|a date")}}
	order := [4]int{climate.P22, climate.Zero, climate.M22, climate.M44}
	for _, f := range freezeMeasures {
		sh.Head = append(sh.Head, s.text(s.threshold(f.c, f.f)))
	}
	for _, d := range t.SpringRisk {
		_, dom := t.Hemisphere.MonthDay(d.Rank)
		if dom != 1 && dom != 11 && dom != 21 {
			continue
		}
		lightest, hardest := d.Chance[climate.P22], d.Chance[climate.M44]
		if !lightest.OK || lightest.V == 0 || hardest.OK && hardest.V >= 0.95 {
			continue
		}
		row := []template.HTML{cell(s.dateWords(t.Hemisphere, d.Rank))}
		for _, k := range order {
			row = append(row, cell(s.chanceInTen(d.Chance[k])))
		}
		sh.Rows = append(sh.Rows, row)
	}
	if len(sh.Rows) == 0 {
		return nil
	}
	sh.Rows = sh.Rows[max(0, len(sh.Rows)-springRows):]
	return sh
}

// chanceInTen is a cell of years in 10; never at all is said as such.
func (s *site) chanceInTen(v climate.Value) string {
	switch {
	case !v.OK:
		return "–"
	case v.V == 0:
		return s.Say("none|of ten years")
	case v.V == 1:
		return "10"
	}
	return s.shortInTen(v.V)
}

// threshold spells a freeze threshold: tenths of °C, whole °F.
func (s *site) threshold(c, f float64) (metric, us string) {
	dec := 1
	if c == 0 {
		dec = 0
	}
	return s.celsius(c, dec), s.Signed(f, 0) + "\u00a0°F"
}

// heatWeeks is the step of the table of heat by day, in weeks.
const heatWeeks = 4

// heatSheet is the heat gathered by day in a cool, a middling and a warm year.
func (s *site) heatSheet(t *almanac.Town) *sheet {
	total := float64(t.HeatNormal[len(t.HeatNormal)-1])
	if total == 0 {
		return nil
	}
	sh := &sheet{Caption: s.Say("Heat gathered above 10 °C (50 °F), %s", yearsWords(s.book.Span)),
		Head: []string{s.Say("By|a date"), s.Say("cool year, 1 in 10"), s.Say("middle year"), s.Say("warm year, 1 in 10")}}
	for i := heatWeeks - 1; i < len(t.HeatNormal); i += heatWeeks {
		if t.HeatWarm[i] == 0 {
			continue
		}
		sh.Rows = append(sh.Rows, []template.HTML{cell(s.dateWords(t.Hemisphere, almanac.RankAt(i))),
			s.heat(float64(t.HeatCool[i])), s.heat(float64(t.HeatNormal[i])), s.heat(float64(t.HeatWarm[i]))})
		if float64(t.HeatNormal[i]) >= total {
			break
		}
	}
	return sh
}

// rainAnswer says how often the ripening weeks bring a wet spell.
func (s *site) rainAnswer(t *almanac.Town, p paths) string {
	r := t.Rain
	if !r.OK {
		return ""
	}
	depth := s.both(s.Trimmed(climate.SpellMM, 0)+"\u00a0mm", s.Fixed(climate.SpellMM/quantity.MillimetresPerInch, 1)+"\u00a0in")
	return s.Say("At least %s within %s falls in %s between %s and %s, when the first figs of a plain pot ripen (band: %s). Figs with an open eye split or sour in it (growers’ reports).",
		depth, esc(s.countWords(climate.SpellDays, "day")), esc(s.yearsInTen(r.Share)), esc(s.dateWords(t.Hemisphere, r.From)), esc(s.dateWords(t.Hemisphere, r.Until)), esc(s.bandInTen(r.Low, r.High))) +
		" " + s.Say("<a href=\"%s\">The list of cultivars</a> says which stand rain.", esc(p.page("cultivars/")))
}

// waterAnswer says what a middling pot of the club's table drinks in the
// thirstiest month: the reference evapotranspiration over its canopy (crop
// coefficient 1, judgement).
func (s *site) waterAnswer(t *almanac.Town) string {
	if len(s.club.Pots) == 0 {
		return ""
	}
	pot := s.club.Pots[len(s.club.Pots)/2]
	most := -1
	for m, v := range t.Evaporation {
		if v.OK && (most < 0 || v.V > t.Evaporation[most].V) {
			most = m
		}
	}
	if most < 0 || !pot.CanopyM2.Set || !pot.Litres.Set {
		return ""
	}
	month, size, drinks := s.Months[most], s.litres(pot.Litres.Value), s.litres(t.Evaporation[most].V*pot.CanopyM2.Value)
	canopy := s.Trimmed(pot.CanopyM2.Value, 2) + "\u00a0m²"
	if !pot.UsableWaterFrac.Set {
		return s.Say("In %s, the thirstiest month, a pot of %s with %s of leaves drinks about %s on a middling day.", month, size, canopy, drinks)
	}
	return s.Say("In %s, the thirstiest month, a pot of %s with %s of leaves drinks about %s on a middling day, and holds about %s that the tree can use.",
		month, size, canopy, drinks, s.litres(pot.Litres.Value*pot.UsableWaterFrac.Value))
}

// chillWords says how much chill a winter brings, where it is known.
func (s *site) chillWords(t *almanac.Town) string {
	n := t.Normal("chill_portions")
	if n == nil || !n.P[4].OK || n.P[4].None {
		return ""
	}
	return s.Say("Winter chill: the middle winter brings %s chill portions, 1 winter in 10 fewer than %s. Figs need little: no more than 100 hours at 7 °C (45 °F) or below (University of Florida Extension).",
		s.Fixed(n.P[4].V, 0), s.Fixed(n.P[0].V, 0))
}

// returnRows adds the rare winters to the table of cold nights.
func (s *site) returnRows(t *almanac.Town) [][]template.HTML {
	r := t.Returns[1]
	if !r.OK {
		return nil
	}
	return [][]template.HTML{{cell(s.Say("1 winter in %d, estimated", r.Winters)),
		s.temp(r.V, 1) + s.coldBand(r.Low, r.High)}}
}

// coldBand is the interval of a rare winter's cold.
func (s *site) coldBand(low, high float64) template.HTML {
	return template.HTML(" <small>" + s.Say("band %s to %s", s.temp(low, 0), s.temp(high, 0)) + "</small>")
}
