package almanac

import (
	"cmp"
	"slices"

	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// togetherLeast is the least odds with which a line can be of use in a set,
// and setsFrom how many lines, best first, the best sets are sought among.
const (
	togetherLeast = 0.05
	setsFrom      = 24
)

// gather adds a crop's lines under a method to the town's sets.
func (k *kit) gather(t *Town, r *run) {
	a := r.usual
	if len(a.grown) == 0 {
		return
	}
	at := slices.IndexFunc(t.Together, func(g Together) bool { return g.Method == string(r.method.row.ID) })
	if at < 0 {
		g := Together{Method: string(r.method.row.ID), Weeks: a.weeks}
		for _, s := range a.grown {
			g.Years = append(g.Years, s.season)
		}
		for _, n := range slices.Backward(ripening.GardenNodes[:]) { // a cool garden needs more: high z first
			g.Gardens = append(g.Gardens, n.Weight)
		}
		at = len(t.Together)
		t.Together = append(t.Together, g)
	}
	g := &t.Together[at]
	for c := range r.crop.cultivars {
		cu := &r.crop.cultivars[c]
		for i := range cu.parts {
			p := &cu.parts[i]
			if p.reason != "" || p.name == "main" && p.brebas == "kept" {
				continue
			}
			if row, ok := togetherRow(a, cu, p); ok {
				g.Rows = append(g.Rows, row)
			}
		}
	}
}

func togetherRow(a *asking, cu *cultivarKit, p *part) (TogetherRow, bool) {
	years, q := a.yearsOf(cu, p), a.question(p)
	row := TogetherRow{Cultivar: string(cu.row.ID), Part: p.name, Brebas: p.brebas, Odds: quantity.Step(ripening.Share(years, q), stepOdds)}
	if row.Odds < togetherLeast {
		return row, false
	}
	for _, y := range years {
		for _, n := range slices.Backward(ripening.GardenNodes[:]) {
			row.Chance = append(row.Chance, uint8(quantity.Round(100*ripening.RipeGivenGarden(y, q, n.Z))))
		}
	}
	for _, s := range ripening.Picking(a.supplies, years, q) {
		days := [2]int16{}
		if s.OK {
			days = [2]int16{int16(s.From), int16(s.Until)}
		}
		row.Picking = append(row.Picking, days)
	}
	return row, true
}

// finishTogether puts the best lines first and finds the best sets of three
// different cultivars: by the share of years with at least one ripe, then by
// weeks of picking.
func finishTogether(t *Town) {
	for i := range t.Together {
		g := &t.Together[i]
		slices.SortStableFunc(g.Rows, func(a, b TogetherRow) int {
			return cmp.Or(cmp.Compare(b.Odds, a.Odds), cmp.Compare(a.Cultivar, b.Cultivar), cmp.Compare(a.Part, b.Part))
		})
		g.Best = g.bestSets(3)
	}
}

func (g *Together) bestSets(most int) []Trio {
	n := min(len(g.Rows), setsFrom)
	var sets []Trio
	for i := range n {
		for j := i + 1; j < n; j++ {
			for k := j + 1; k < n; k++ {
				a, b, c := g.Rows[i].Cultivar, g.Rows[j].Cultivar, g.Rows[k].Cultivar
				if a == b || b == c || a == c {
					continue
				}
				rows := [3]int{i, j, k}
				sets = append(sets, Trio{Rows: rows, Share: g.AnyRipe(rows[:]), Weeks: g.PickingWeeks(rows[:])})
			}
		}
	}
	slices.SortStableFunc(sets, func(a, b Trio) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(b.Weeks, a.Weeks), slices.Compare(a.Rows[:], b.Rows[:]))
	})
	return slices.Clone(sets[:min(most, len(sets))]) // not the thousands of others with them
}

// AnyRipe is the share of years, to 0.01, in which at least one of some rows
// ripens: given year and garden they ripen independently.
func (g *Together) AnyRipe(rows []int) float64 {
	sum := 0.0
	for y := range g.Years {
		for k, weight := range g.Gardens {
			none := 1.0
			for _, r := range rows {
				none *= 1 - float64(g.Rows[r].Chance[y*len(g.Gardens)+k])/100
			}
			sum += weight * (1 - none)
		}
	}
	return quantity.Step(sum/float64(len(g.Years)), stepOdds)
}

// PickingWeeks is the mean over years of the weeks in which at least one of
// some rows is picked, at the middle need; to 0.1.
func (g *Together) PickingWeeks(rows []int) float64 {
	days := 0
	for y := range g.Years {
		spans := make([][2]int16, 0, 3)
		for _, r := range rows {
			if s := g.Rows[r].Picking[y]; s[1] > 0 {
				spans = append(spans, s)
			}
		}
		slices.SortFunc(spans, func(a, b [2]int16) int { return cmp.Compare(a[0], b[0]) })
		until := int16(-999)
		for _, s := range spans {
			from := max(s[0], until+1)
			if s[1] >= from {
				days += int(s[1]-from) + 1
			}
			until = max(until, s[1])
		}
	}
	return quantity.Step(float64(days)/7/float64(len(g.Years)), 0.1)
}
