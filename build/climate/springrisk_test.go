package climate_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// Four years by hand: freezes at ranks 100, 120 and none, one year not valid.
func TestSpringRisk(t *testing.T) {
	seasons := make([]climate.Season, 5)
	for i := range seasons {
		seasons[i].Year = 2001 + i
	}
	at := func(r day.Rank) climate.Freeze { return climate.Freeze{Outcome: climate.Found, Rank: r} }
	seasons[0].Last[climate.Zero] = at(100)
	seasons[1].Last[climate.Zero] = at(120)
	seasons[2].Last[climate.Zero] = climate.Freeze{Outcome: climate.Never}
	seasons[4].Last[climate.Zero] = at(200) // outside the span
	days, years := climate.SpringRisk(seasons, climate.Span{First: 2001, Last: 2004}, day.North)
	if len(days) != 212 || days[0].Rank != 1 || days[211].Rank != day.North.RankOf(7, 31) || years != [4]int{climate.Zero: 3} {
		t.Fatalf("%d days from %d to %d, years %v", len(days), days[0].Rank, days[211].Rank, years)
	}
	for rank, want := range map[int]float64{1: 2.0 / 3, 99: 2.0 / 3, 100: 1.0 / 3, 119: 1.0 / 3, 120: 0, 212: 0} {
		if got := days[rank-1].Chance[climate.Zero]; !got.OK || got.V != want {
			t.Errorf("after day %d: %v, want %v", rank, got, want)
		}
	}
	if days[50].Chance[climate.M44].OK {
		t.Error("a chance without a valid year")
	}
}

// The chance never rises with the day and is no greater for a colder threshold
// where the same years are valid; after the 1-in-10 date it is at most a tenth.
func TestSpringRiskProperties(t *testing.T) {
	for _, h := range []day.Hemisphere{day.North, day.South} {
		d := weather(h, 1991, 2020, 8, 11, 5)
		seasons := climate.Seasons(d, climate.DefaultHeat())
		days, years := climate.SpringRisk(seasons, span(30), h)
		if last := days[len(days)-1]; last.Rank != h.RankOf(7, 31) || last.Chance[climate.P22].V != 0 || years[climate.Zero] != 30 {
			t.Errorf("last day %+v, years %v", last, years)
		}
		for i := 1; i < len(days); i++ {
			for k := range climate.Thresholds {
				if days[i].Chance[k].V > days[i-1].Chance[k].V {
					t.Fatalf("day %d, threshold %d: the chance rises", i+1, k)
				}
				if k > 0 && days[i].Chance[k].V > days[i].Chance[k-1].V {
					t.Fatalf("day %d: colder threshold %d is likelier", i+1, k)
				}
			}
		}
		n := normal(t, climate.Normals(seasons, span(30), 10), "last_spring_freeze_0")
		if p := days[int(n.P[8].V)-1].Chance[climate.Zero].V; p > 0.1 {
			t.Errorf("%v after the date of one year in ten", p)
		}
	}
}
