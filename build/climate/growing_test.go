package climate_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// sums lays out days from 1 January 2000: Tmin + Tmax in tenths, warm inside
// the inclusive window (6.85 °C as in the cited tests), 0 K outside.
func sums(n int, from, to day.Date) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = -5463
		if d := day.Of(2000, 1, 1) + day.Date(i); d >= from && d <= to {
			s[i] = 137
		}
	}
	return s
}

// Source: xclim tests of growing_season_length and _end: 365 values from 1
// January 2000, warm 280 K, both ends included.
func TestGrowingSeasonWindows(t *testing.T) {
	at := func(m, d int) day.Date { return day.Of(2000, m, d) }
	for _, c := range []struct {
		id             string
		from, to, mid  day.Date
		length, endDay int // 0: not stated
	}{
		{"GS-1", at(6, 15), at(7, 15), at(7, 1), 31, 198},
		{"GS-2", at(6, 15), at(12, 31), at(7, 1), 199, 0},
		{"GS-3", at(7, 10), at(12, 31), at(7, 1), 0, 0},
		{"GS-4", at(12, 31) + 9, at(12, 31) + 9, at(7, 1), 0, 0},
		{"GS-5", at(1, 1), at(12, 31), at(7, 1), 365, 365},
		{"GS-6", at(6, 15), at(7, 25), at(7, 15), 41, 208},
		{"GS-7", at(6, 15), at(7, 15), at(10, 1), 108, 275},
	} {
		length, start, end := climate.GrowingSeason(sums(365, c.from, c.to), int(c.mid-at(1, 1)))
		if length != c.length {
			t.Errorf("%s: length %d, want %d", c.id, length, c.length)
		}
		// The end is the day after the season; the sources number it by day of
		// the year, and give the last day where the series ends first.
		if last := min(end+1, 365); c.endDay != 0 && last != c.endDay {
			t.Errorf("%s: end on day %d, want %d", c.id, last, c.endDay)
		}
		if c.length == 0 && start != -1 {
			t.Errorf("%s: starts at %d, want none", c.id, start)
		}
	}
}

// GS-8. Source: as above, southern hemisphere, warm 1 November 2000 to 1 March
// 2001 in a July year: 121 days. Run through Seasons, so that the split of the
// year is checked too.
func TestGrowingSeasonSouth(t *testing.T) {
	d := daily(day.South, day.Of(2000, 7, 1), day.Of(2001, 6, 30), func(x day.Date) (lo, hi, rain quantity.Tenths) {
		if x >= day.Of(2000, 11, 1) && x <= day.Of(2001, 3, 1) {
			return 68, 69, 0
		}
		return -2732, -2731, 0
	})
	if got := season(t, d, 2000).GSL; got != (climate.Value{V: 121, OK: true}) {
		t.Errorf("GS-8: %v, want 121", got)
	}
}

// Source: details of CHECKS section 3 (climdex): six days make a run and five
// do not; a day of exactly 5.0 °C, or a missing one, breaks both kinds.
func TestGrowingSeasonRuns(t *testing.T) {
	const warm, five, cold = 137, 100, 99
	fill := func(s []int32, from, n int, v int32) {
		for i := range n {
			s[from+i] = v
		}
	}
	base := func() []int32 {
		s := make([]int32, 365)
		fill(s, 0, 100, cold)
		fill(s, 100, 165, warm)
		fill(s, 265, 100, cold)
		return s
	}
	s := base()
	if n, start, end := climate.GrowingSeason(s, 181); n != 165 || start != 100 || end != 265 {
		t.Fatalf("plain: %d, %d-%d, want 165, 100-265", n, start, end)
	}
	for _, c := range []struct {
		name  string
		punch func([]int32)
		want  int
	}{
		{"a warm spell of five in winter is no start", func(s []int32) { fill(s, 20, 5, warm) }, 165},
		{"one of six is", func(s []int32) { fill(s, 20, 6, warm) }, 245},
		{"six with a day of 5.0 among them are not", func(s []int32) { fill(s, 20, 6, warm); s[23] = five }, 165},
		{"six with a missing day are not", func(s []int32) { fill(s, 20, 6, warm); s[23] = climate.NoSum }, 165},
		{"a cold spell of five in August is no end", func(s []int32) { fill(s, 220, 5, cold) }, 165},
		{"one of six is", func(s []int32) { fill(s, 220, 6, cold) }, 120},
		{"six with a day of 5.0 are not", func(s []int32) { fill(s, 220, 6, cold); s[222] = five }, 165},
		{"six with a missing day are not", func(s []int32) { fill(s, 220, 6, cold); s[222] = climate.NoSum }, 165},
		{"a cold spell in June is no end", func(s []int32) { fill(s, 160, 10, cold) }, 165},
	} {
		s := base()
		c.punch(s)
		if got, _, _ := climate.GrowingSeason(s, 181); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// The season must start before 1 July (1 January in the south): a first warm
// spell on the six days up to the day before counts, one from that day on does
// not.
func TestGrowingSeasonSplit(t *testing.T) {
	for _, h := range []day.Hemisphere{day.North, day.South} {
		mid := h.On(2001, 7, 1)
		for _, c := range []struct {
			from day.Date
			want float64
		}{{mid - 6, 20}, {mid - 5, 0}, {mid, 0}} {
			d := daily(h, h.Start(2001), h.End(2001), func(x day.Date) (lo, hi, rain quantity.Tenths) {
				if x >= c.from && x < c.from+20 {
					return 60, 90, 0
				}
				return 0, 60, 0
			})
			if got := season(t, d, 2001).GSL; !got.OK || got.V != c.want {
				t.Errorf("hemisphere %d, warm from %v: %v, want %v", h, c.from, got, c.want)
			}
		}
	}
}
