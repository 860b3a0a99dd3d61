package ripening

import (
	"math"
	"reflect"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

func madeYear(season int, latitude float64) *Year {
	h := day.HemisphereOf(latitude)
	n := int(h.End(season)-h.Start(season)) + 1
	return &Year{Season: season, Hemisphere: h, Latitude: latitude, TMin: make([]float64, n), TMax: make([]float64, n)}
}

func slowLastLongDay(y *Year) int {
	for i := y.Index(y.Hemisphere.RankOf(8, 1)); i < len(y.TMin); i++ {
		if climate.DayLength(y.Latitude, (y.Start()+day.Date(i)).YearDay()) <= tenHours {
			return i - 1
		}
	}
	return len(y.TMin) - 1
}

// The short way from rank to place is that of the calendar.
func TestIndex(t *testing.T) {
	for _, latitude := range []float64{45, -45} {
		for season := 1995; season <= 2005; season++ {
			y := madeYear(season, latitude)
			for r := day.Rank(-400); r <= 800; r++ {
				if got, want := y.Index(r), int(y.Hemisphere.InSeason(season, r)-y.Start()); got != want {
					t.Fatalf("season %d at %v°: rank %d is place %d, want %d", season, latitude, r, got, want)
				}
			}
			for i := range y.TMin {
				if got, want := y.yearDay(i), (y.Start() + day.Date(i)).YearDay(); got != want {
					t.Fatalf("season %d: place %d is day %d of the year, want %d", season, i, got, want)
				}
			}
		}
	}
}

// The running sum finds the day that a sum of each window finds.
func TestLastWarmDay(t *testing.T) {
	slow := func(mean []float64, end int, limit float64) int {
		for i := end; i >= trailing-1; i-- {
			if m := trailingMean(mean, i); m >= limit-1e-10 {
				return i
			}
		}
		return -1
	}
	for seed := range 400 {
		mean := make([]float64, 60)
		for i := range mean {
			mean[i] = 12 + 6*math.Sin(float64(seed)+float64(i*i)*0.37) - 0.1*float64(i)
			if (i*7+seed)%11 < seed%9 {
				mean[i] = math.NaN()
			}
		}
		if got, want := lastWarmDay(mean, 59, 12), slow(mean, 59, 12); got != want {
			t.Errorf("series %d: %d, want %d", seed, got, want)
		}
	}
}

// No rule can be added that Warms does not ask about: every field that makes a
// day or a night outdoors warmer is one of its own.
func TestWarmsAsksEveryRule(t *testing.T) {
	plain := Method{Vent: 28, HeatFloor: math.NaN(), CarryBelow: math.NaN()}
	if plain.Warms() {
		t.Error("a plain pot is warmed")
	}
	warming := 0
	for i := range reflect.TypeFor[Method]().NumField() {
		f := reflect.TypeFor[Method]().Field(i)
		if f.Type.Kind() != reflect.Float64 {
			continue
		}
		for _, v := range []float64{0.25, 2, 9} {
			m := plain
			reflect.ValueOf(&m).Elem().Field(i).SetFloat(v)
			warms := false
			for _, d := range [][2]float64{{-4, 3}, {2, 12}, {11, 24}, {18, 34}} {
				warms = warms || m.feltMin(d[0], false) > d[0] || m.feltMax(d[1]) > d[1]
			}
			if warms {
				warming++
			}
			if warms != m.Warms() {
				t.Errorf("%s = %v makes it warmer: %v; Warms says %v", f.Name, v, warms, m.Warms())
			}
		}
	}
	if warming < 9 {
		t.Errorf("only %d cases make it warmer", warming)
	}
}
