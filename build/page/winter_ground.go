package page

import (
	"html/template"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
)

// groundBlock is what winter does to wood in the ground.
type groundBlock struct {
	Lead    template.HTML
	Heads   []groundHead // ways of growing in the ground
	Rows    []groundRow
	Uncover template.HTML // staged dates; blank where nothing is covered
}

type groundHead struct{ Name, Last string }

type groundRow struct {
	Cultivar link
	Crop     string
	Kills    template.HTML // the temperature that kills its wood
	KillSort int
	Cells    []groundCell // one for each head
}

// groundCell is the chance that a winter kills the wood, and the last winter
// that would have.
type groundCell struct {
	Odds oddsCell
	Last string
	Sort int
}

// groundMethods are the ways of growing in the ground that a town has figures
// for, in the order of the club's table.
func (s *site) groundMethods(t *almanac.Town) []*club.Method {
	var out []*club.Method
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		if slices.ContainsFunc(t.Winters, func(w almanac.WinterLoss) bool { return w.Method == string(m.ID) }) {
			out = append(out, m)
		}
	}
	return out
}

func (s *site) groundBlock(t *almanac.Town, p paths) *groundBlock {
	methods := s.groundMethods(t)
	if len(methods) == 0 {
		return nil
	}
	g := &groundBlock{}
	for _, m := range methods {
		g.Heads = append(g.Heads, groundHead{s.in(m.Row, "name", m.Name), s.Say("Last such winter")})
	}
	for i := range s.club.Cultivars {
		c := &s.club.Cultivars[i]
		row := groundRow{Cultivar: link{s.in(c.Row, "name", c.Name), p.cultivar(string(c.ID))}, Kills: "–", KillSort: 1000}
		if crop := s.crops[string(c.CropID)]; crop != nil {
			row.Crop = s.in(crop.Row, "name", crop.Name)
		}
		if c.WoodKillC.Set {
			row.Kills, row.KillSort = s.tempTrim(c.WoodKillC.Value), int(10*c.WoodKillC.Value)
		}
		known := false
		for _, m := range methods {
			cell := groundCell{Odds: oddsCell{Note: "–", Sort: -1}, Last: "–"}
			for j := range t.Winters {
				if w := &t.Winters[j]; w.Cultivar == string(c.ID) && w.Method == string(m.ID) {
					known, cell = true, s.killCell(t, w)
				}
			}
			row.Cells = append(row.Cells, cell)
		}
		if known {
			g.Rows = append(g.Rows, row)
		}
	}
	if len(g.Rows) == 0 {
		return nil
	}
	g.Lead = s.groundLead(t, methods)
	g.Uncover = s.uncoverWords(t, methods)
	return g
}

// killCell prints the chance of a killing winter as a range.
func (s *site) killCell(t *almanac.Town, w *almanac.WinterLoss) groundCell {
	low, high := min(w.KillLow, w.KillHigh), max(w.KillLow, w.KillHigh)
	mid := (low + high) / 2
	c := groundCell{Odds: oddsCell{Has: true, Level: yearsLevel(mid), Number: s.shortBand(low, high), Sort: hundredths(mid)}, Last: s.Say("none on record|a winter")}
	if w.LastKillWinter != 0 {
		c.Last, c.Sort = s.Say("before %s|a season", t.Hemisphere.Label(w.LastKillWinter)), w.LastKillWinter
	}
	return c
}

// groundLead says in how many winters the hardiest and the most tender
// cultivar die back, in the first way of growing in the ground.
func (s *site) groundLead(t *almanac.Town, methods []*club.Method) template.HTML {
	var text string
	for _, m := range methods {
		var ws []*almanac.WinterLoss
		for i := range t.Winters {
			if w := &t.Winters[i]; w.Method == string(m.ID) && s.cultivars[w.Cultivar] != nil {
				ws = append(ws, w)
			}
		}
		if len(ws) == 0 {
			continue
		}
		least := slices.MinFunc(ws, func(a, b *almanac.WinterLoss) int {
			return hundredths(a.KillLow+a.KillHigh) - hundredths(b.KillLow+b.KillHigh)
		})
		if text != "" {
			text += " "
		}
		text += esc(s.Say("%s: winter kills the wood of the hardiest, %s, %s.", upperFirst(s.methodPhrase(s.in(m.Row, "name", m.Name), string(m.Place))), s.cultivarName(least.Cultivar), s.wintersInTen(least.KillLow, least.KillHigh)))
	}
	return template.HTML(text)
}

// wintersInTen is a range of shares in winters: "in 3 to 6 winters in 10".
func (v voice) wintersInTen(low, high float64) string {
	a, b := yearsLevel(min(low, high)), yearsLevel(max(low, high))
	switch {
	case a == 0 && b == 0:
		return v.Say("in fewer than 1 winter in 10")
	case a == 10:
		return v.Say("in more than 9 winters in 10")
	case a == b:
		return v.Count(a, "in %d winter in 10", "in %d winters in 10", a)
	case a == 0 && b == 1:
		return v.Say("in 1 winter in 10 or fewer")
	case a == 0 && b == 10:
		return v.Say("in fewer than 1 to more than 9 winters in 10")
	case a == 0:
		return v.Say("in fewer than 1 to %d winters in 10", b)
	case b == 10:
		return v.Say("in %d to more than 9 winters in 10", a)
	}
	return v.Say("in %d to %d winters in 10", a, b)
}

// uncoverWords are the staged dates for taking a cover off: when a low of
// -4.4 °C (24 °F) still comes in 1 spring of 5, and in 1 of 10 (SCIENCE 5).
func (s *site) uncoverWords(t *almanac.Town, methods []*club.Method) template.HTML {
	covers := slices.ContainsFunc(methods, func(m *club.Method) bool {
		return m.WinterGainHighC.Or(0) > 0 || m.WinterGainLowC.Or(0) > 0
	})
	n := t.Normal("last_spring_freeze_m44")
	if !covers || n == nil || !n.P[7].OK || !n.P[8].OK {
		return ""
	}
	limit := string(s.temp(-4.4, 1))
	if n.P[7].None || n.P[8].None {
		return template.HTML(s.Say("A low of %s seldom or never comes in spring here: take covers off when the buds begin to swell.", limit))
	}
	date := func(i int) string { return "<b>" + esc(s.dateWords(t.Hemisphere, day.Rank(n.P[i].V))) + "</b>" }
	return template.HTML(s.Say("Uncover in two stages. From %s on a low of %s still comes in 1 spring of 5: open the ends by day and take off what traps the sun’s heat. From %s on it comes in 1 of 10: take the cover off, on a grey day. Keep a blanket at hand: once buds show green, a light frost kills them.",
		date(7), limit, date(8)))
}
