package climate

import (
	"math"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// The rain that splits and sours ripening fruit (judgement).
const (
	SpellDays = 3  // days in a row
	SpellMM   = 20 // their rain, mm
)

// RainSpell is the chance of a wet spell in a window of days.
type RainSpell struct {
	Years, With      int     // years whose window is whole; those with a spell
	Share, Low, High float64 // With / Years and its interval at IntervalLevel
	OK               bool    // false where no year's window is whole
}

// RainSpells returns the share of the years of span with at least mm of rain on
// days days in a row that all lie in the window from one day of season to
// another, both included; to may lie past 365. A year counts where the policy
// RainSum accepts its window: no day missing. The interval is Wilson's.
func RainSpells(d *Daily, span Span, from, to day.Rank, days int, mm float64) RainSpell {
	var s RainSpell
	limit := int(math.Round(10 * mm))
	var buffer []quantity.Tenths
	for y := span.First; y <= span.Last && days > 0; y++ {
		first, last := d.Hemisphere.InSeason(y, from), d.Hemisphere.InSeason(y, to)
		n := int(last-first) + 1
		if n < days {
			continue
		}
		if len(buffer) < n {
			buffer = make([]quantity.Tenths, n)
		}
		rain := window(d.Precip, int(first-d.First), n, buffer)
		if !RainSum.Accepts(CountGaps(rain)) {
			continue
		}
		s.Years++
		sum := 0
		for i, p := range rain {
			sum += int(p)
			if i >= days {
				sum -= int(rain[i-days])
			}
			if i >= days-1 && sum >= limit {
				s.With++
				break
			}
		}
	}
	if s.OK = s.Years > 0; s.OK {
		s.Share = float64(s.With) / float64(s.Years)
	}
	s.Low, s.High = Wilson(s.With, s.Years, Z90)
	return s
}
