package almanac

import (
	"math"
	"sort"

	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// Figlets tells what becomes of main-crop figlets first seen on a date, under
// one method in one town: the odds that they finish, by cultivar.
type Figlets struct {
	Method string
	Dates  []day.Rank // when they are first seen, a week apart
	Rows   []FigletRow
}

// FigletRow is one cultivar.
type FigletRow struct {
	Cultivar string
	Odds     []float64 // for each of Dates, to 0.01
	// Drop is the last of all days on which a figlet seen still finishes in 5
	// years of 10; None where it never does.
	Drop Point
}

// figletDates are the days asked for: every week from 1 June to 15 September
// (S 1 December to 15 March).
func figletDates(h day.Hemisphere) []day.Rank {
	var out []day.Rank
	for r := h.RankOf(6, 1); r <= h.RankOf(9, 15); r += 7 {
		out = append(out, r)
	}
	return out
}

// figlets counts down from the day the figlets are seen. What is left of the
// need is the need less the class's figlet heat; its scatter shrinks with the
// root of the share that is left (judgement).
func (k *kit) figlets(p *place) {
	m := k.together[0]
	if m == nil || k.reference == nil {
		return
	}
	supplies := p.anchors.supplies[string(m.row.ID)]
	if len(supplies) == 0 {
		return
	}
	calendar := ripening.NewCalendar(supplies)
	f := Figlets{Method: string(m.row.ID), Dates: figletDates(p.weather.hemisphere)}
	for i := range k.reference.cultivars {
		cu := &k.reference.cultivars[i]
		q := k.part(cu, "main")
		if q == nil || q.reason != "" || cu.class == nil || !cu.class.FigletHeatCd.Set {
			continue
		}
		left := q.need.Mu + m.model.ExtraNeed - cu.class.FigletHeatCd.Value
		if left <= 0 {
			continue
		}
		need := q.need
		share := math.Sqrt(left / q.need.Mu)
		need.Mu, need.GardenSd, need.YearSd = left, need.GardenSd*share, need.YearSd*share
		years := make([]ripening.YearOf, len(supplies))
		odds := func(r day.Rank) float64 {
			heat := calendar.On(r)
			for y := range supplies {
				years[y].Heat = supplies[y].Heat - heat[y]
				years[y].Lost = !supplies[y].Leafed
			}
			return quantity.Step(ripening.Share(years, ripening.Question{Need: need}), stepOdds)
		}
		row := FigletRow{Cultivar: string(cu.row.ID), Drop: Point{None: true}}
		for _, r := range f.Dates {
			row.Odds = append(row.Odds, odds(r))
		}
		// The later they are seen, the less heat is left.
		first, last := f.Dates[0], f.Dates[len(f.Dates)-1]
		if days := sort.Search(int(last-first)+1, func(i int) bool { return odds(first+day.Rank(i)) < 0.5 }); days > 0 {
			row.Drop = Point{Rank: first + day.Rank(days-1)}
		}
		f.Rows = append(f.Rows, row)
	}
	p.town.Figlets = f
}
