package climate_test

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// random is an invented climate, with holes, of either hemisphere.
func random(seed uint64) *climate.Daily {
	r := rand.New(rand.NewPCG(seed, 77))
	h := day.North
	if r.IntN(2) == 0 {
		h = day.South
	}
	d := weather(h, 1995, 2004, 2+16*r.Float64(), 6+8*r.Float64(), seed)
	for range r.IntN(6) {
		e := [][]quantity.Tenths{d.TMin, d.TMax, d.Precip}[r.IntN(3)]
		lose(d, d.First+day.Date(r.IntN(len(e)-40)), 1+r.IntN(8), e)
	}
	return d
}

const properties = 30

// Sums never fall as the base falls, by either method.
func TestHeatGrowsAsTheBaseFalls(t *testing.T) {
	compared := 0
	for seed := range uint64(properties) {
		d := random(seed)
		var above []climate.Season
		for _, base := range []float64{15, 12, 10, 8, 5, 0} {
			o := climate.DefaultHeat()
			o.Base = base
			ss := climate.Seasons(d, o)
			for i := range above {
				if ss[i].Heat.OK != above[i].Heat.OK {
					t.Fatalf("seed %d, %d: the base decides whether the sum is valid", seed, ss[i].Year)
				}
				if ss[i].Heat.V < above[i].Heat.V || ss[i].HeatMean.V < above[i].HeatMean.V {
					t.Fatalf("seed %d, %d: heat falls to %v at base %v", seed, ss[i].Year, ss[i].Heat.V, base)
				}
				compared++
			}
			above = ss
		}
	}
	if compared < 5*properties {
		t.Errorf("%d sums compared", compared)
	}
}

// Warming every day never moves a last freeze later, a first freeze earlier,
// nor makes the free days, the heat or the winter's minimum less.
func TestWarmingLengthensTheSeason(t *testing.T) {
	compared := 0
	for seed := range uint64(properties) {
		d := random(seed)
		warm := climate.Move(d, climate.Shift{Day: 1.5, Night: 1.5})
		a, b := climate.Seasons(d, climate.DefaultHeat()), climate.Seasons(&warm, climate.DefaultHeat())
		for i := range a {
			for k := range climate.Thresholds {
				was, is := a[i].Last[k], b[i].Last[k]
				if was.Outcome == climate.Found && is.Outcome == climate.Found {
					compared++
					if is.Rank > was.Rank {
						t.Fatalf("seed %d, %d: last freeze from %d to %d", seed, a[i].Year, was.Rank, is.Rank)
					}
				}
				if was.Outcome == climate.Never && is.Outcome == climate.Found {
					t.Fatalf("seed %d, %d: warming brings a freeze", seed, a[i].Year)
				}
				was, is = a[i].First[k], b[i].First[k]
				if was.Outcome == climate.Found && is.Outcome == climate.Found && is.Rank < was.Rank {
					t.Fatalf("seed %d, %d: first freeze from %d to %d", seed, a[i].Year, was.Rank, is.Rank)
				}
				if a[i].Free[k].OK && b[i].Free[k].OK && b[i].Free[k].V < a[i].Free[k].V {
					t.Fatalf("seed %d, %d: fewer free days", seed, a[i].Year)
				}
			}
			if a[i].Heat.OK && !(b[i].Heat.V >= a[i].Heat.V) || a[i].WinterMin.OK && !near(b[i].WinterMin.V, a[i].WinterMin.V+1.5, 1e-9) {
				t.Fatalf("seed %d, %d: heat %v to %v, winter %v to %v", seed, a[i].Year, a[i].Heat, b[i].Heat, a[i].WinterMin, b[i].WinterMin)
			}
		}
	}
	if compared < 10*properties {
		t.Errorf("%d freezes compared", compared)
	}
}

// A record put together from its days in any order, in pieces, or with missing
// days around it, gives the same figures.
func TestOrderAndPiecesDoNotMatter(t *testing.T) {
	for seed := range uint64(properties) {
		d := random(seed)
		want := climate.Seasons(d, climate.DefaultHeat())
		r := rand.New(rand.NewPCG(seed, 5))
		again := daily(d.Hemisphere, d.First-400, d.Last()+500, func(day.Date) (lo, hi, rain quantity.Tenths) { return gone, gone, gone })
		again.Latitude = d.Latitude
		for _, i := range r.Perm(len(d.TMin)) {
			again.TMin[i+400], again.TMax[i+400], again.Precip[i+400] = d.TMin[i], d.TMax[i], d.Precip[i]
		}
		if got := climate.Seasons(again, climate.DefaultHeat()); !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: a record with missing days around it has other figures", seed)
		}
	}
}

// Chill is the winter's alone: neither the summers nor other winters touch it,
// but for the day on either side.
func TestChillIsTheWintersOwn(t *testing.T) {
	checked := 0
	for seed := range uint64(properties) {
		d := random(seed)
		for _, s := range climate.Seasons(d, climate.DefaultHeat()) {
			if !s.Chill.OK {
				continue
			}
			first, after := day.Of(s.Year-1, 11, 1), day.Of(s.Year, 4, 1)
			if d.Hemisphere == day.South {
				first, after = day.Of(s.Year, 5, 1), day.Of(s.Year, 10, 1)
			}
			// Five days more on either side, so that gaps over the ends fill alike.
			from, to := int(first-d.First)-5, int(after-d.First)+5
			if from < 0 || to > len(d.TMin) {
				continue
			}
			alone := climate.Daily{First: d.First + day.Date(from), TMin: d.TMin[from:to], TMax: d.TMax[from:to], Hemisphere: d.Hemisphere, Latitude: d.Latitude}
			got := season(t, &alone, s.Year)
			if got.Chill != s.Chill || got.ChillHours != s.ChillHours || got.Utah != s.Utah {
				t.Fatalf("seed %d, %d: alone %v, in the record %v", seed, s.Year, got.Chill, s.Chill)
			}
			checked++
		}
	}
	if checked < 3*properties {
		t.Errorf("%d winters compared", checked)
	}
}

// No sum of chill exceeds what the hours of its window allow.
func TestChillBounds(t *testing.T) {
	for seed := range uint64(properties) {
		for _, s := range climate.Seasons(random(seed), climate.DefaultHeat()) {
			if !s.Chill.OK {
				continue
			}
			const hours = 153 * 24
			if s.ChillHours.V < 0 || s.ChillHours.V > hours || s.Utah.V > hours || s.Utah.V < -hours || s.Chill.V < 0 || s.Chill.V > hours/24 {
				t.Fatalf("seed %d, %d: %v, %v, %v", seed, s.Year, s.Chill, s.ChillHours, s.Utah)
			}
		}
	}
}
