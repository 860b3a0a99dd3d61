package day_test

import (
	"testing"

	"ripeward/build/day"
)

func TestDateRoundTrip(t *testing.T) {
	// Every day of 1700-2200, the limits of station files: format, parse and
	// split agree, and days follow one another.
	last := day.Of(1699, 12, 31)
	for y := 1700; y <= 2200; y++ {
		for m := 1; m <= 12; m++ {
			for d := 1; d <= day.DaysIn(y, m); d++ {
				x := day.Of(y, m, d)
				if x != last+1 {
					t.Fatalf("%04d-%02d-%02d does not follow %v", y, m, d, last)
				}
				last = x
				if gy, gm, gd := x.YMD(); gy != y || gm != m || gd != d {
					t.Fatalf("%04d-%02d-%02d splits into %d-%d-%d", y, m, d, gy, gm, gd)
				}
			}
		}
		got, err := day.Parse(last.String())
		if err != nil || got != last {
			t.Fatalf("%v reads back as %v, %v", last, got, err)
		}
	}
	if day.Of(1970, 1, 1) != 0 || day.Of(1969, 12, 31) != -1 {
		t.Error("days are not counted from 1970-01-01")
	}
}

func TestParseRefuses(t *testing.T) {
	for _, s := range []string{"", "2020", "2020-1-01", "2020-13-01", "2020-02-30", "2021-02-29", "20200101", "2020-01-0x", "2020/01/01", " 2020-01-01"} {
		if d, err := day.Parse(s); err == nil {
			t.Errorf("%q read as %v", s, d)
		}
	}
}

// The season years of SCIENCE 1.
func TestSeasons(t *testing.T) {
	if got := day.South.Start(2020).String() + " " + day.South.End(2020).String(); got != "2020-07-01 2021-06-30" {
		t.Errorf("southern season 2020 is %s", got)
	}
	if day.South.Season(day.Of(2021, 6, 30)) != 2020 || day.South.Season(day.Of(2021, 7, 1)) != 2021 {
		t.Error("30 June and 1 July 2021 in the south")
	}
	if day.South.Label(1999) != "1999/00" || day.North.Label(1999) != "1999" {
		t.Error("season labels")
	}
	// South: the same day and month six months later; the pairs SCIENCE names.
	if got := day.South.On(2020, 7, 31); got != day.Of(2021, 1, 31) {
		t.Errorf("31 July of southern season 2020 is %v", got)
	}
	if got := day.South.On(2020, 12, 31); got != day.Of(2021, 6, 30) {
		t.Errorf("31 December of southern season 2020 is %v", got)
	}
}

func TestRank(t *testing.T) {
	for _, h := range []day.Hemisphere{day.North, day.South} {
		for _, y := range []int{2019, 2020, 2021, 1900, 2000} {
			want := day.Rank(1)
			for d := h.Start(y); d <= h.End(y); d++ {
				_, m, dom := d.YMD()
				leapDay := m == 2 && dom == 29
				if leapDay {
					want-- // ranks as the 28th
				}
				if got := h.Rank(d); got != want {
					t.Fatalf("%v ranks %d in season %d, want %d", d, got, y, want)
				}
				if back := h.InSeason(y, want); back != d && !leapDay {
					t.Fatalf("rank %d of season %d is %v, want %v", want, y, back, d)
				}
				want++
			}
			if want != 366 {
				t.Fatalf("season %d has %d ranks", y, want-1)
			}
		}
	}
	if got := day.North.InSeason(2021, -10); got != day.Of(2020, 12, 21) {
		t.Errorf("rank -10 of 2021 is %v", got)
	}
	if got := day.North.InSeason(2021, 366); got != day.Of(2022, 1, 1) {
		t.Errorf("rank 366 of 2021 is %v", got)
	}
}
