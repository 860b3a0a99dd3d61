package ripening_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"ripeward/build/day"
	"ripeward/build/ripening"
)

// threeCultivars are random cultivars over 30 common years.
func threeCultivars(rng *rand.Rand) (years [][]ripening.YearOf, qs []ripening.Question) {
	base, spread := 1000+600*rng.Float64(), 40+120*rng.Float64()
	warm := make([]float64, 30)
	for y := range warm {
		warm[y] = spread * rng.NormFloat64()
	}
	for range 3 {
		n := ripening.Need{Mu: 1000 + 600*rng.Float64(), GardenSd: 60 + 90*rng.Float64(), YearSd: 50 + 60*rng.Float64()}
		q := ripening.Question{Need: n, DiebackDelay: 300}
		ys := make([]ripening.YearOf, 30)
		for y := range ys {
			ys[y].Heat = base + warm[y]
			if rng.IntN(4) == 0 {
				ys[y].Kill = rng.Float64()
			}
		}
		years, qs = append(years, ys), append(qs, q)
	}
	return years, qs
}

// fine is the share of years with fruit from at least one, by 4,001 even
// garden effects.
func fine(years [][]ripening.YearOf, qs []ripening.Question) float64 {
	sum, weights := 0.0, 0.0
	for k := -2000; k <= 2000; k++ {
		z := float64(k) / 300
		w := math.Exp(-z * z / 2)
		weights += w
		for y := range years[0] {
			none := 1.0
			for c := range qs {
				none *= 1 - ripening.RipeGivenGarden(years[c][y], qs[c], z)
			}
			sum += w * (1 - none)
		}
	}
	return sum / weights / float64(len(years[0]))
}

func TestAnyRipeAndGardenNodes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	worst, worstOne := 0.0, 0.0
	for range 40 {
		years, qs := threeCultivars(rng)
		want := fine(years, qs)
		// By products over the nodes, as a page does it.
		sum := 0.0
		for _, node := range ripening.GardenNodes {
			for y := range years[0] {
				none := 1.0
				for c := range qs {
					none *= 1 - ripening.RipeGivenGarden(years[c][y], qs[c], node.Z)
				}
				sum += node.Weight * (1 - none) / 30
			}
		}
		worst = math.Max(worst, math.Abs(sum-want))
		// One alone has its own odds.
		alone := fine(years[:1], qs[:1])
		worstOne = math.Max(worstOne, math.Abs(alone-ripening.Ask(years[0], qs[0]).Odds))
	}
	t.Logf("largest error of %d nodes %.4f; one cultivar alone is off by %.2g", len(ripening.GardenNodes), worst, worstOne)
	if worst > 0.01 {
		t.Errorf("the nodes are off by %v", worst)
	}
	if worstOne > 1e-4 {
		t.Errorf("one cultivar alone is off by %v", worstOne)
	}
	weights := 0.0
	for _, node := range ripening.GardenNodes {
		weights += node.Weight
	}
	if math.Abs(weights-1) > 1e-12 {
		t.Errorf("weights sum to %v", weights)
	}
}

// Two trees of one cultivar in one garden share its garden: together they ripen
// less often than independent ones would, and never less often than one.
func TestTheGardenIsShared(t *testing.T) {
	q := ripening.Question{Need: need}
	years := heats(1100, 1200, 1300)
	one := ripening.Ask(years, q).Odds
	two := fine([][]ripening.YearOf{years, years}, []ripening.Question{q, q})
	independent := 0.0
	for _, y := range years {
		p := ripening.Ask([]ripening.YearOf{y}, q).Odds
		independent += (1 - (1-p)*(1-p)) / 3
	}
	if !(one < two && two < independent-0.02) {
		t.Errorf("one %v, two in a garden %v, two apart %v", one, two, independent)
	}
}

func TestPicking(t *testing.T) {
	s := supply(steady(day.North, 20, 20, nil), plainPot, 1, 0) // 10 °C·d a day from day 11
	cold := supply(steady(day.North, 0, 5, nil), plainPot, 1, 0)
	late := need
	late.Mu = s.Heat - 50 // ripens five days before the end
	supplies := []ripening.Supply{s, s, cold, s}
	years := []ripening.YearOf{{Heat: s.Heat}, {Heat: s.Heat, Kill: 0.8}, {}, {Heat: s.Heat, Lost: true}}
	main := ripening.Question{Need: need, Spread: 200, DiebackDelay: 300}
	got := ripening.Picking(supplies, years, main)
	for i, want := range []ripening.Span{{From: 130, Until: 150, OK: true}, {From: 160, Until: 180, OK: true}, {}, {}} {
		if got[i] != want {
			t.Errorf("year %d: %+v, want %+v", i, got[i], want)
		}
	}
	brebas := main
	brebas.OnOldWood = true
	if p := ripening.Picking(supplies, years, brebas); !p[0].OK || p[1].OK {
		t.Errorf("brebas on killed wood: %+v", p[1])
	}
	last := ripening.Picking(supplies[:1], years[:1], ripening.Question{Need: late, Spread: 200})
	if last[0].Until != s.LastDay || last[0].From != s.LastDay-5 {
		t.Errorf("the last ripening day ends the picking: %+v, last day %d", last[0], s.LastDay)
	}
}
