package climate

import (
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// freezeRisk tells, for each threshold and rank, whether a missing day there
// may well have hidden a freeze: the share of the record's days at or below
// the threshold within FreezeRiskDays of the rank exceeds FreezeRiskPercent,
// or there is no such day to tell by.
func freezeRisk(tmin []quantity.Tenths, first day.Date, h day.Hemisphere, from, to int) (risk [4][366]bool) {
	var have [366]int
	var cold [4][366]int
	for y := from; y <= to; y++ {
		c := calendarOf(h, y)
		at := int(h.Start(y) - first)
		for i := max(0, -at); i < c.n && at+i < len(tmin); i++ {
			t, rank := tmin[at+i], c.rank[i]
			if t == quantity.Missing {
				continue
			}
			have[rank]++
			if t > Thresholds[P22] {
				continue // above the mildest threshold
			}
			for k, limit := range Thresholds {
				if t <= limit {
					cold[k][rank]++
				}
			}
		}
	}
	for k := range Thresholds {
		for rank := 1; rank <= 365; rank++ {
			days, freezes := 0, 0
			for j := rank - FreezeRiskDays; j <= rank+FreezeRiskDays; j++ {
				w := (j+364)%365 + 1
				days += have[w]
				freezes += cold[k][w]
			}
			risk[k][rank] = days == 0 || freezes*100 > FreezeRiskPercent*days
		}
	}
	return risk
}

// freezes sets the last spring and first autumn freeze of each threshold and
// the free days between them. days has the measured Tmin of the season.
func (s *Season) freezes(c *calendar, days []quantity.Tenths, risk *[4][366]bool, start day.Date) {
	springOK := FreezeDate.Accepts(Gaps{Missing: CountGaps(days[c.spring:c.autumn]).Missing})
	autumnOK := FreezeDate.Accepts(Gaps{Missing: CountGaps(days[c.autumn:]).Missing})
	for k, limit := range Thresholds {
		// Each search goes from summer outwards: it meets exactly the missing
		// days that could hide a freeze beyond the one it finds.
		last, first := -1, c.n
		s.Last[k], s.First[k] = Freeze{}, Freeze{}
		if springOK {
			s.Last[k].Outcome = Never
			for i := c.autumn - 1; i >= 0; i-- {
				if days[i] == quantity.Missing {
					if risk[k][c.rank[i]] {
						s.Last[k].Outcome = Invalid
						break
					}
				} else if days[i] <= limit {
					s.Last[k], last = Freeze{Found, day.Rank(c.rank[i]), start + day.Date(i)}, i
					break
				}
			}
		}
		if autumnOK {
			s.First[k].Outcome = Never
			for i := c.autumn; i < c.n; i++ {
				if days[i] == quantity.Missing {
					if risk[k][c.rank[i]] {
						s.First[k].Outcome = Invalid
						break
					}
				} else if days[i] <= limit {
					s.First[k], first = Freeze{Found, day.Rank(c.rank[i]), start + day.Date(i)}, i
					break
				}
			}
		}
		if s.Last[k].Outcome != Invalid && s.First[k].Outcome != Invalid {
			s.Free[k] = Value{float64(first - last - 1), true}
		}
	}
}
