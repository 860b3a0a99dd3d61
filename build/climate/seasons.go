package climate

import (
	"math"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// Seasons returns the figures of every season year in which the record has at
// least one value, oldest first. TMin and TMax of d have the same length;
// Precip is nil or has it too. Heat sums follow o.
//
// Days filled from another station (FilledMin, FilledMax) count as present for
// means, heat sums and counts of days; for freezes and the winter minimum they
// are missing, because a filled day must never set one. Chill wants the
// latitude of d.
func Seasons(d *Daily, o HeatOptions) []Season {
	if len(d.TMin) == 0 {
		return nil
	}
	h := d.Hemisphere
	if h != day.South {
		h = day.North
	}
	r := &record{Daily: d, h: h, heat: o, measured: measured(d.TMin, d.FilledMin)}
	if latitude, known := d.Latitude.Degrees(); known {
		r.curves = &curves{latitude: latitude}
	}
	for _, p := range d.Precip {
		if p != quantity.Missing {
			r.hasRain = true
			break
		}
	}
	first, last := h.Season(d.First), h.Season(d.Last())
	r.risk = freezeRisk(r.measured, d.First, h, first, last)
	out := make([]Season, 0, last-first+1)
	for y := first; y <= last; y++ {
		if s, any := r.season(y); any {
			out = append(out, s)
		}
	}
	return out
}

// record is a daily record with what is worked out once for all its seasons.
type record struct {
	*Daily
	h        day.Hemisphere
	heat     HeatOptions
	measured []quantity.Tenths // TMin without filled days
	hasRain  bool
	risk     [4][366]bool // by threshold and rank

	curves *curves // nil where the latitude is unknown

	chillMin, chillMax                   [155]float64 // 153 days, and one at either end
	bufMin, bufMax, bufRain, bufMeasured [366]quantity.Tenths
	heatMin, heatMax                     [366]float64
}

// measured returns values with filled days missing.
func measured(values []quantity.Tenths, filled []bool) []quantity.Tenths {
	var out []quantity.Tenths
	for i, f := range filled {
		if !f {
			continue
		}
		if out == nil {
			out = append([]quantity.Tenths(nil), values...)
		}
		out[i] = quantity.Missing
	}
	if out == nil {
		return values
	}
	return out
}

func (r *record) season(y int) (s Season, any bool) {
	c := calendarOf(r.h, y)
	start := r.h.Start(y)
	at := int(start - r.First)
	tmin := window(r.TMin, at, c.n, r.bufMin[:])
	tmax := window(r.TMax, at, c.n, r.bufMax[:])
	rain := window(r.Precip, at, c.n, r.bufRain[:])
	s.Year = y
	for i := range tmin {
		lo, hi := tmin[i] != quantity.Missing, tmax[i] != quantity.Missing
		if !lo || !hi {
			s.MissingDays++
		}
		any = any || lo || hi || rain[i] != quantity.Missing
	}
	if !any {
		return s, false
	}
	s.months(c, tmin, tmax, rain)
	s.counts(c, tmin, tmax)
	s.freezes(c, window(r.measured, at, c.n, r.bufMeasured[:]), &r.risk, start)
	r.heatSum(&s, c, at)
	r.winter(&s)
	r.chill(&s)
	s.Complete = s.complete(r.hasRain)
	return s, true
}

// complete tells whether every measure is valid, rain only where the record
// has any, chill left out. A year that is whole enough for the yearly counts is so for its
// monthly means.
func (s *Season) complete(hasRain bool) bool {
	for k := range s.Free {
		if !s.Free[k].OK {
			return false
		}
	}
	return s.FrostDays.OK && s.IceDays.OK && s.SummerDays.OK && s.TropicalNights.OK && s.GSL.OK &&
		s.Heat.OK && s.WinterMin.OK && (s.Precip.OK || !hasRain)
}

// months sets the means and sums of the months, and the year's rain.
func (s *Season) months(c *calendar, tmin, tmax, rain []quantity.Tenths) {
	year := Value{OK: true}
	for k := range 12 {
		from, to, m := c.starts[k], c.starts[k+1], c.months[k]-1
		s.MonthMin[m] = mean(tmin[from:to], MonthlyMean)
		s.MonthMax[m] = mean(tmax[from:to], MonthlyMean)
		sum, g := total(rain[from:to])
		if RainSum.Accepts(g) {
			s.MonthPrecip[m] = Value{float64(sum) / 10, true}
		}
		year.V += float64(sum)
		year.OK = year.OK && RainSum.Accepts(g)
	}
	if year.OK {
		s.Precip = Value{year.V / 10, true}
	}
}

// mean is the mean of days, in whole units, where p accepts their gaps.
func mean(days []quantity.Tenths, p Policy) Value {
	sum, g := total(days)
	if n := len(days) - g.Missing; p.Accepts(g) && n > 0 {
		return Value{float64(sum) / float64(10*n), true}
	}
	return Value{}
}

func total(days []quantity.Tenths) (sum int, g Gaps) {
	run := 0
	for _, t := range days {
		if t == quantity.Missing {
			g.Missing++
			run++
			g.Run = max(g.Run, run)
			continue
		}
		run = 0
		sum += int(t)
	}
	return sum, g
}

// counts sets the ETCCDI counts and the growing season length (Zhang et al.
// 2011): frost days TN < 0, ice days TX < 0, summer days TX > 25, tropical
// nights TN > 20 °C.
func (s *Season) counts(c *calendar, tmin, tmax []quantity.Tenths) {
	var frost, ice, summer, tropical int
	var gMin, gMax, gBoth Gaps
	var sums [366]int32
	for k := range 12 {
		var noMin, noMax, noDay int
		for i := c.starts[k]; i < c.starts[k+1]; i++ {
			lo, hi := tmin[i], tmax[i]
			sums[i] = NoSum
			switch {
			case lo == quantity.Missing && hi == quantity.Missing:
				noMin++
				noMax++
				noDay++
				continue
			case lo == quantity.Missing:
				noMin++
				noDay++
			case hi == quantity.Missing:
				noMax++
				noDay++
			default:
				sums[i] = int32(lo) + int32(hi)
			}
			if lo != quantity.Missing {
				if lo < 0 {
					frost++
				} else if lo > 200 {
					tropical++
				}
			}
			if hi != quantity.Missing {
				if hi < 0 {
					ice++
				} else if hi > 250 {
					summer++
				}
			}
		}
		gMin.add(noMin)
		gMax.add(noMax)
		gBoth.add(noDay)
	}
	if YearlyCount.Accepts(gMin) {
		s.FrostDays, s.TropicalNights = Value{float64(frost), true}, Value{float64(tropical), true}
	}
	if YearlyCount.Accepts(gMax) {
		s.IceDays, s.SummerDays = Value{float64(ice), true}, Value{float64(summer), true}
	}
	if YearlyCount.Accepts(gBoth) {
		length, _, _ := GrowingSeason(sums[:c.n], c.midseason)
		s.GSL = Value{float64(length), true}
	}
}

// add adds a month's missing days.
func (g *Gaps) add(missing int) {
	g.Missing += missing
	g.InMonth = max(g.InMonth, missing)
}

// NoSum marks a day without Tmin or Tmax for GrowingSeason.
const NoSum = math.MinInt32

// GrowingSeason returns the ETCCDI growing season length in days of one
// season (Zhang et al. 2011; details as climdex.pcic has them). sums holds
// Tmin + Tmax of each day in tenths of °C, or NoSum; mid is the index of 1
// July (1 January in the south). The season starts with the first day of the
// first run of 6 or more days of mean above 5 °C, looked for before mid only,
// and ends with the first day of the first run of 6 or more days below 5 °C,
// looked for from mid on. A day of exactly 5.0 °C, or without a mean, breaks
// both kinds of run. Without a start the length is 0 and start is -1; without
// an end it counts to the last day and end is len(sums).
func GrowingSeason(sums []int32, mid int) (length, start, end int) {
	const run, five = 6, 2 * 50
	start = firstRun(sums[:mid], run, func(s int32) bool { return s > five })
	if start < 0 {
		return 0, -1, -1
	}
	end = firstRun(sums[mid:], run, func(s int32) bool { return s < five && s != NoSum })
	if end < 0 {
		return len(sums) - start, start, len(sums)
	}
	end += mid
	return end - start, start, end
}

// firstRun returns where the first run of n days that pass begins, or -1.
func firstRun(sums []int32, n int, pass func(int32) bool) int {
	run := 0
	for i, s := range sums {
		if !pass(s) {
			run = 0
			continue
		}
		if run++; run == n {
			return i - n + 1
		}
	}
	return -1
}

// winter sets the winter's lowest measured Tmin.
func (r *record) winter(s *Season) {
	first, n, from, to := winterOf(r.h, s.Year)
	days := window(r.measured, int(first-r.First), n, r.bufMeasured[:])
	if !WinterMinimum.Accepts(CountGaps(days[from:to])) {
		return
	}
	lowest := quantity.Tenths(math.MaxInt16)
	for _, t := range days {
		if t != quantity.Missing && t < lowest {
			lowest = t
		}
	}
	s.WinterMin = Value{float64(lowest.Celsius()), true}
}
