package almanac_test

import (
	"context"
	"math"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// What a garden is given agrees with the seasons it was taken from: the heat
// by any day to half a step, the reference years with the endings, the lows
// with the record.
func TestGarden(t *testing.T) {
	river := weather(t, "river", 1985, 2024, -4, false)
	b := makeBook(t, baseTables, almanac.Options{}, river)
	low := town(t, b, "low")
	if len(b.GardenLines) == 0 || len(low.Garden.Ways) == 0 {
		t.Fatalf("%d lines, %d ways", len(b.GardenLines), len(low.Garden.Ways))
	}
	grow, err := almanac.NewGrow(context.Background(), b.Club, almanac.Options{})
	if err != nil {
		t.Fatal(err)
	}
	endings := map[string]almanac.Ending{}
	for _, e := range low.Endings {
		endings[e.Crop+" "+e.Method] = e
	}
	days, compared := 0, 0
	for _, w := range low.Garden.Ways {
		if len(w.Heat) != len(w.SetBack) || len(w.Seasons) == 0 {
			t.Fatalf("%s, %s: %d heats, %d set-backs, %d seasons", w.Crop, w.Method, len(w.Heat), len(w.SetBack), len(w.Seasons))
		}
		if e, ok := endings[w.Crop+" "+w.Method]; ok {
			compared++
			for i, y := range e.HeatByYear {
				if y.Heat != w.Heat[i] {
					t.Errorf("%s, %s, %d: %v °C·d, the endings have %v", w.Crop, w.Method, y.Year, w.Heat[i], y.Heat)
				}
			}
		}
		plan, ok := grow.Plan("low", w.Method, w.Weeks)
		if !ok {
			t.Fatalf("%s has no plan", w.Method)
		}
		for _, g := range w.Seasons {
			s, ok := grow.Season("low", w.Crop, w.Method, g.Season)
			if !ok {
				t.Fatalf("no season %d", g.Season)
			}
			u := s.Supply(plan.Out.Rank, w.Weeks)
			for d := g.From - 3; d < g.From+300; d++ {
				days++
				if diff := math.Abs(gardenHeatOn(&g, d) - u.HeatOn(d)); diff > almanac.GainStep/2+1e-9 {
					t.Fatalf("%s, %s, %s: %v °C·d, the season has %v", w.Crop, w.Method, d, gardenHeatOn(&g, d), u.HeatOn(d))
				}
			}
		}
	}
	if days < 10000 || compared == 0 {
		t.Errorf("%d days and %d endings compared", days, compared)
	}
	if n := len(low.Garden.Lows); n != 366 || low.Garden.FirstLow != b.CutOff-365 {
		t.Errorf("%d lows from %s, data to %s", n, low.Garden.FirstLow, b.CutOff)
	}
	// The mean of a month's lows is the month's mean low.
	last := low.Seasons[len(low.Seasons)-1]
	for m, want := range last.MonthMin {
		sum, n := 0.0, 0
		for i, v := range low.Garden.Lows {
			if y, month, _ := (low.Garden.FirstLow + day.Date(i)).YMD(); y == last.Year && month == m+1 && v != quantity.Missing {
				sum += float64(v) / 10
				n++
			}
		}
		if !want.OK || math.Abs(sum/float64(n)-want.V) > 0.051 {
			t.Errorf("month %d of %d: mean low %v, the season has %v", m+1, last.Year, sum/float64(n), want)
		}
	}
}

// A line of a garden has the need that the book publishes.
func TestGardenLines(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, -4, false))
	for _, l := range b.GardenLines {
		n := b.Need(l.Cultivar, l.Part)
		if n == nil || n.Mu != l.Mu || n.SE != l.SE || n.GardenSd != l.GardenSd || n.YearSd != l.YearSd {
			t.Errorf("%+v: the book has %+v", l, n)
		}
		if (l.Brebas == "kept" && l.Part == "main") != (l.Delay > 0) {
			t.Errorf("%+v: delay", l)
		}
	}
	if len(b.GardenLines) < 3 {
		t.Errorf("%d lines", len(b.GardenLines))
	}
}

// gardenHeatOn is the heat of a season kept for gardens by the end of a day, °C·d.
func gardenHeatOn(s *almanac.GardenSeason, d day.Date) float64 {
	sum := 0
	for i := range min(int(d-s.From)+1, len(s.Gain)) {
		sum += int(s.Gain[i])
	}
	return float64(sum) * almanac.GainStep
}
