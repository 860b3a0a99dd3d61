package climate_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

func TestDiffers(t *testing.T) {
	point := func(v float64) climate.Point { return climate.Point{V: v, OK: true} }
	none := climate.Point{None: true, OK: true}
	made := func(kind climate.Kind, median, low, high climate.Point) climate.Normal {
		n := climate.Normal{Kind: kind, Enough: true}
		n.P[4], n.Low[4], n.High[4] = median, low, high
		return n
	}
	few := made(climate.Number, point(25), point(0), point(0))
	few.Enough = false
	for _, c := range []struct {
		name        string
		ref, recent climate.Normal
		want        bool
	}{
		{"inside", made(climate.Number, point(10), point(8), point(12)), made(climate.Number, point(11), point(0), point(0)), false},
		{"at the end", made(climate.Number, point(10), point(8), point(12)), made(climate.Number, point(12), point(0), point(0)), false},
		{"above", made(climate.Number, point(10), point(8), point(12)), made(climate.Number, point(12.1), point(0), point(0)), true},
		{"below", made(climate.Number, point(10), point(8), point(12)), made(climate.Number, point(7.9), point(0), point(0)), true},
		{"no end above", made(climate.Number, point(10), point(8), climate.Point{}), made(climate.Number, point(99), point(0), point(0)), false},
		{"too few years", made(climate.Number, point(10), point(8), point(12)), few, false},
		{"too few in the reference", few, made(climate.Number, point(10), point(8), point(12)), false},
		{"no median", made(climate.Number, point(10), point(8), point(12)), made(climate.Number, climate.Point{}, point(8), point(12)), false},
		{"spring: no freeze lies before", made(climate.SpringFreeze, point(90), point(80), point(99)), made(climate.SpringFreeze, none, none, none), true},
		{"spring: the interval reaches none", made(climate.SpringFreeze, point(90), none, point(99)), made(climate.SpringFreeze, none, none, none), false},
		{"autumn: no freeze lies after", made(climate.AutumnFreeze, point(300), point(290), point(310)), made(climate.AutumnFreeze, none, none, none), true},
		{"autumn: none turns into a date", made(climate.AutumnFreeze, none, none, none), made(climate.AutumnFreeze, point(300), none, none), true},
	} {
		if got := climate.Differs(c.ref, c.recent); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A record warmed by 4 °C differs from itself in heat, one not changed in
// nothing; of unchanged climates few measures differ by luck.
func TestDiffersOnRecords(t *testing.T) {
	d := weather(day.North, 1990, 2020, 9, 12, 3)
	warm := clone(d)
	for i := range warm.TMin {
		warm.TMin[i] += 40
		warm.TMax[i] += 40
	}
	ref := climate.Normals(climate.Seasons(d, climate.DefaultHeat()), span(30), 10)
	recent := climate.Normals(climate.Seasons(warm, climate.DefaultHeat()), climate.Span{First: 2006, Last: 2020}, 10)
	for _, name := range []string{"heat_cd_base10", "last_spring_freeze_0", "tmin_mean_07", "winter_min_c", "summer_days"} {
		if !climate.Differs(normal(t, ref, name), normal(t, recent, name)) {
			t.Errorf("%s: 4 °C make no difference", name)
		}
	}
	differ, measures := 0, 0
	for i := range ref {
		if climate.Differs(ref[i], ref[i]) {
			t.Errorf("%s differs from itself", ref[i].Measure)
		}
	}
	for seed := range uint64(8) {
		d := weather(day.North, 1990, 2020, 9, 12, 100+seed)
		s := climate.Seasons(d, climate.DefaultHeat())
		a, b := climate.Normals(s, span(30), 10), climate.Normals(s, climate.Span{First: 2006, Last: 2020}, 10)
		for i := range a {
			measures++
			if climate.Differs(a[i], b[i]) {
				differ++
			}
		}
	}
	if share := float64(differ) / float64(measures); share > 0.2 {
		t.Errorf("%v of the measures of an unchanged climate differ", share)
	}
}

// Every percentile has an interval that holds it.
func TestIntervalOfEveryPercentile(t *testing.T) {
	d := weather(day.North, 1990, 2020, 9, 12, 6)
	for _, n := range climate.Normals(climate.Seasons(d, climate.DefaultHeat()), span(30), 10) {
		if n.Kind == climate.Zone {
			continue
		}
		for k, p := range n.P {
			if p.None || n.Low[k].None || n.High[k].None {
				continue
			}
			if !n.Low[k].OK || !n.High[k].OK || n.Low[k].V > p.V || n.High[k].V < p.V || n.Years != 30 {
				t.Errorf("%s, %d %%: %v in %v-%v of %d years", n.Measure, 10*(k+1), p, n.Low[k], n.High[k], n.Years)
			}
			if k > 0 && (n.Low[k].V < n.Low[k-1].V || n.High[k].V < n.High[k-1].V) {
				t.Errorf("%s: the interval of %d %% lies below that before", n.Measure, 10*(k+1))
			}
		}
	}
}
