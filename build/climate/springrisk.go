package climate

import "ripeward/build/day"

// SpringDay says what may still come after a day of spring: for each threshold,
// in the order of Thresholds, the share of years with a low at or below it
// after the day.
type SpringDay struct {
	Rank   day.Rank
	Chance [4]Value
}

// SpringRisk returns every day of the spring half of the season, 1 January to
// 31 July (S 1 July to 31 January), with the share of the seasons of span whose
// last spring freeze lies after it. A season without a freeze has none after
// any day; seasons whose freeze is not valid do not count. years has the number
// of those that do, by threshold; where it is 0 the chance is not OK.
func SpringRisk(seasons []Season, span Span, h day.Hemisphere) (days []SpringDay, years [4]int) {
	n := int(h.RankOf(7, 31))
	var ends [4][366]int // freezes by day of season
	for i := range seasons {
		if !span.Has(seasons[i].Year) {
			continue
		}
		for k, f := range seasons[i].Last {
			if f.Outcome == Invalid {
				continue
			}
			years[k]++
			if f.Outcome == Found {
				ends[k][f.Rank]++
			}
		}
	}
	days = make([]SpringDay, n)
	var after [4]int
	for r := n; r >= 1; r-- {
		days[r-1].Rank = day.Rank(r)
		for k := range Thresholds {
			if years[k] > 0 {
				days[r-1].Chance[k] = Value{float64(after[k]) / float64(years[k]), true}
			}
			after[k] += ends[k][r]
		}
	}
	return days, years
}
