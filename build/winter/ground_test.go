package winter_test

import (
	"math"
	"testing"

	"ripeward/build/winter"
)

// The chance is one half where the covered low meets the killing temperature,
// and 0.1587 one standard deviation above it (the normal distribution).
func TestKill(t *testing.T) {
	for _, c := range []struct {
		name   string
		lowest float64
		wood   winter.Wood
		cover  winter.Cover
		want   float64
	}{
		{"at the limit", -12, winter.Wood{KillC: -12, SdC: 2}, winter.Cover{}, 0.5},
		{"one sd warmer", -10, winter.Wood{KillC: -12, SdC: 2}, winter.Cover{}, 0.158655},
		{"cover lifts the low by its middle", -21, winter.Wood{KillC: -12, SdC: 2}, winter.Cover{LowC: 9, HighC: 9}, 0.5},
		{"a doubtful cover widens the scatter: sd² = 4 + 12²/12 = 16", -14, winter.Wood{KillC: -12, SdC: 2}, winter.Cover{LowC: 0, HighC: 12}, 0.158655},
		{"no scatter is a step, killed", -12, winter.Wood{KillC: -12}, winter.Cover{}, 1},
		{"no scatter is a step, alive", -11.9, winter.Wood{KillC: -12}, winter.Cover{}, 0},
	} {
		if got := winter.Kill(c.lowest, c.wood, c.cover); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestKillRisesWithColdAndFallsWithCover(t *testing.T) {
	w := winter.Wood{KillC: -12, SdC: 2}
	before := 0.0
	for low := 0.0; low > -40; low-- {
		k := winter.Kill(low, w, winter.Cover{LowC: 3, HighC: 8})
		if k < before {
			t.Fatalf("kill chance falls from %v to %v at %v °C", before, k, low)
		}
		if bare := winter.Kill(low, w, winter.Cover{}); bare < k && low+5.5 < w.KillC {
			t.Fatalf("at %v °C bare wood (%v) fares better than covered (%v)", low, bare, k)
		}
		before = k
	}
	least, most := winter.Range([]float64{-15, -22, -30}, w, winter.Cover{LowC: 6, HighC: 11})
	if !(least < most) {
		t.Errorf("the full gain must kill less: %v, %v", least, most)
	}
}
