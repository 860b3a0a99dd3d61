package page

import (
	"html/template"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// A cultivar's page in a large club counts the towns of each zone: a thousand
// rows help nobody on a phone. The towns stand in the zones' grids.

// ripeByZone counts the towns of each zone in which a crop part ripens 8 years
// in 10 or more, way by way; each number leads to the zone's grid.
func (s *site) ripeByZone(k oddsKey, all map[string]*oddsBy, p paths) *sheet {
	x := s.zoneSheet(s.Say("Towns of each zone in which the first fruit ripens 8 years in 10 or more"))
	for i := range s.club.Methods {
		x.Head = append(x.Head, s.in(s.club.Methods[i].Row, "name", s.club.Methods[i].Name))
	}
	s.zoneRowsOf(x, p, func(t *almanac.Town) []bool {
		at := all[string(t.Row.ID)].at[k]
		if at == nil {
			return nil
		}
		row := make([]bool, len(s.club.Methods))
		for i := range s.club.Methods {
			o := at[string(s.club.Methods[i].ID)]
			row[i] = o != nil && o.Reason == "" && enough(o.Odds)
		}
		return row
	}, s.club.Methods)
	return x
}

// groundByZone counts the towns of each zone in which a cultivar's wood lives
// through 8 winters in 10 or more; nil where none can say.
func (s *site) groundByZone(c *club.Cultivar, ground []*club.Method, all map[string]*oddsBy, p paths) *sheet {
	x := s.zoneSheet(s.Say("Towns of each zone in which its wood lives through 8 winters in 10 or more, at the cautious end"))
	var methods []club.Method
	for _, m := range ground {
		methods = append(methods, *m)
		x.Head = append(x.Head, s.in(m.Row, "name", m.Name))
	}
	s.zoneRowsOf(x, p, func(t *almanac.Town) []bool {
		w := all[string(t.Row.ID)].winters[string(c.ID)]
		if len(w) == 0 {
			return nil
		}
		row := make([]bool, len(ground))
		for i, m := range ground {
			row[i] = survivesGround(w[string(m.ID)])
		}
		return row
	}, methods)
	if len(x.Rows) == 0 || len(ground) == 0 {
		return nil
	}
	return x
}

func (s *site) zoneSheet(caption string) *sheet {
	return &sheet{Caption: caption, Head: []string{s.Say("Zone|of a sheet")}}
}

// zoneRowsOf adds a row for each zone with a town that answers.
func (s *site) zoneRowsOf(x *sheet, p paths, answers func(*almanac.Town) []bool, methods []club.Method) {
	for i := range s.club.Zones {
		z := &s.club.Zones[i]
		n, counts := 0, make([]int, len(methods))
		for _, t := range s.townsIn(string(z.ID)) {
			row := answers(t)
			if row == nil {
				continue
			}
			n++
			for j, yes := range row {
				if yes {
					counts[j]++
				}
			}
		}
		if n == 0 {
			continue
		}
		row := []template.HTML{leadTo(p.zone(string(z.ID)), s.in(z.Row, "name", z.Name))}
		for j, count := range counts {
			row = append(row, leadTo(p.grid(string(methods[j].ID), string(z.ID)), strings.ReplaceAll(s.Say("%s of %s|towns", s.Whole(count), s.Whole(n)), " ", "\u00a0")))
		}
		x.Rows = append(x.Rows, row)
	}
}

func leadTo(href, text string) template.HTML {
	return template.HTML(`<a href="` + esc(href) + `">` + esc(text) + `</a>`)
}
