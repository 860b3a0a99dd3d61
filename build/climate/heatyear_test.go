package climate_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// Each year's curve ends with its Season.Heat, so the ends of the three curves
// are percentiles of the heat sums; on the way they never fall or cross.
func TestHeatByDay(t *testing.T) {
	for _, h := range []day.Hemisphere{day.North, day.South} {
		d := weather(h, 1991, 2020, 9, 12, 3)
		lose(d, h.Start(2004)+150, 30, d.TMax) // one year without a valid sum
		for _, o := range []climate.HeatOptions{climate.DefaultHeat(), {Base: 8, Upper: 30}, {Base: 10, Upper: 30, Mean: true}} {
			got, ok := climate.HeatByDay(d, span(30), o)
			if !ok || got.Years != 29 || !got.Enough {
				t.Fatalf("%v: %d years, enough %v", ok, got.Years, got.Enough)
			}
			heat := normal(t, climate.Normals(climate.Seasons(d, o), span(30), o.Base), climate.HeatMeasure(o.Base))
			if !near(got.Cool[364], heat.P[0].V, 1e-9) || !near(got.Normal[364], heat.P[4].V, 1e-9) || !near(got.Warm[364], heat.P[8].V, 1e-9) {
				t.Errorf("ends %v, %v, %v; heat sums %v", got.Cool[364], got.Normal[364], got.Warm[364], heat.P)
			}
			for i := range got.Normal {
				if got.Cool[i] > got.Normal[i] || got.Normal[i] > got.Warm[i] {
					t.Fatalf("day %d: %v, %v, %v", i+1, got.Cool[i], got.Normal[i], got.Warm[i])
				}
				if i > 0 && (got.Cool[i] < got.Cool[i-1] || got.Normal[i] < got.Normal[i-1] || got.Warm[i] < got.Warm[i-1]) {
					t.Fatalf("a curve falls on day %d", i+1)
				}
			}
		}
		if _, ok := climate.HeatByDay(d, climate.Span{First: 1900, Last: 1910}, climate.DefaultHeat()); ok {
			t.Error("heat of years outside the record")
		}
	}
}

// By hand: 8 °C·d on each of the days from 1 May on (12 to 24 °C, base 10), the
// leap day's heat on the 28th.
func TestHeatByDayByHand(t *testing.T) {
	got, ok := climate.HeatByDay(steady(day.North, 2003, 2004), climate.Span{First: 2003, Last: 2004}, climate.DefaultHeat())
	if !ok || got.Years != 2 {
		t.Fatalf("%d years", got.Years)
	}
	for rank, want := range map[int]float64{59: 0, 120: 0, 121: 8, 130: 80, 273: 153 * 8, 365: 153 * 8} {
		if v := got.Normal[rank-1]; !near(v, want, 1e-9) || !near(got.Cool[rank-1], want, 1e-9) {
			t.Errorf("rank %d: %v, want %v", rank, v, want)
		}
	}
	leap := steady(day.North, 2004, 2004)
	leap.TMin[59], leap.TMax[59] = 120, 240
	if got, _ = climate.HeatByDay(leap, climate.Span{First: 2004, Last: 2004}, climate.DefaultHeat()); got.Normal[57] != 0 || !near(got.Normal[58], 8, 1e-9) || !got.Enough {
		t.Errorf("29 February: %v on the 27th, %v on the 28th", got.Normal[57], got.Normal[58])
	}
}
