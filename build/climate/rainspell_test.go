package climate_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

func dry(h day.Hemisphere, first, last int) *climate.Daily {
	return daily(h, h.Start(first), h.End(last), func(day.Date) (lo, hi, rain quantity.Tenths) { return 100, 200, 0 })
}

// Spells by hand: the limit is reached, not passed; the three days lie in the
// window; a year with a missing day in it does not count.
func TestRainSpells(t *testing.T) {
	years := climate.Span{First: 2001, Last: 2010}
	from, to := day.North.RankOf(9, 1), day.North.RankOf(9, 30)
	for _, c := range []struct {
		name        string
		wet         func(*climate.Daily, func(m, dom int) *quantity.Tenths)
		years, with int
	}{
		{"dry", func(*climate.Daily, func(m, dom int) *quantity.Tenths) {}, 10, 0},
		{"20.0 mm on one day", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(9, 10) = 200 }, 10, 1},
		{"19.9 mm", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) {
			*at(9, 10), *at(9, 11), *at(9, 12) = 66, 66, 67
		}, 10, 0},
		{"20.0 mm on three", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) {
			*at(9, 10), *at(9, 11), *at(9, 12) = 66, 66, 68
		}, 10, 1},
		{"on the first and the fourth", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(9, 10), *at(9, 13) = 100, 100 }, 10, 0},
		{"on the last day", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(9, 30) = 200 }, 10, 1},
		{"half of it before the window", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(8, 31), *at(9, 1) = 100, 100 }, 10, 0},
		{"after it", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(10, 1) = 900 }, 10, 0},
		{"a day missing", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(9, 10), *at(9, 20) = 300, gone }, 9, 0},
		{"a day missing outside", func(_ *climate.Daily, at func(m, dom int) *quantity.Tenths) { *at(9, 10), *at(10, 1) = 300, gone }, 10, 1},
		{"no rain known", func(d *climate.Daily, _ func(m, dom int) *quantity.Tenths) { d.Precip = nil }, 0, 0},
	} {
		d := dry(day.North, 2001, 2010)
		c.wet(d, func(m, dom int) *quantity.Tenths { return &d.Precip[day.Of(2005, m, dom)-d.First] })
		got := climate.RainSpells(d, years, from, to, climate.SpellDays, climate.SpellMM)
		low, high := climate.Wilson(c.with, c.years, climate.Z90)
		if got.Years != c.years || got.With != c.with || got.OK != (c.years > 0) || got.Low != low || got.High != high {
			t.Errorf("%s: %+v, want %d of %d", c.name, got, c.with, c.years)
		}
		if c.years > 0 && got.Share != float64(c.with)/float64(c.years) {
			t.Errorf("%s: share %v", c.name, got.Share)
		}
	}
}

// A window over the season's end, and the south's.
func TestRainSpellWindows(t *testing.T) {
	d := dry(day.North, 2001, 2004)
	d.Precip[day.Of(2003, 1, 2)-d.First] = 250
	got := climate.RainSpells(d, climate.Span{First: 2001, Last: 2004}, 360, 370, 3, 20)
	if got.Years != 3 || got.With != 1 { // 2004's reaches past the record
		t.Errorf("over the new year: %+v", got)
	}
	s := dry(day.South, 2001, 2004)
	s.Precip[day.Of(2003, 3, 10)-s.First] = 250
	got = climate.RainSpells(s, climate.Span{First: 2001, Last: 2004}, day.South.RankOf(9, 1), day.South.RankOf(9, 30), 3, 20)
	if got.Years != 4 || got.With != 1 {
		t.Errorf("March in the south: %+v", got)
	}
	if got = climate.RainSpells(d, climate.Span{First: 2001, Last: 2004}, 100, 101, 3, 20); got.OK || got.Years != 0 {
		t.Errorf("a window of two days: %+v", got)
	}
	// A longer window never has fewer spells.
	w := weather(day.North, 1991, 2020, 9, 12, 4)
	last := -1
	for to := day.Rank(200); to <= 365; to += 15 {
		n := climate.RainSpells(w, span(30), 190, to, 3, 20).With
		if n < last {
			t.Fatalf("%d spells to day %d, %d before", n, to, last)
		}
		last = n
	}
	if last < 1 {
		t.Error("no spell in 30 invented years")
	}
}
