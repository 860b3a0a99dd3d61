package ripening_test

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"ripeward/build/ripening"
)

func TestFrontier(t *testing.T) {
	ways := []ripening.Way{
		{Method: "tent", Weeks: 4, Odds: 0.9, Hours: 6, Nights: 0, KWh: 0, Cost: 90},
		{Method: "carry", Weeks: 4, Odds: 0.85, Hours: 9, Nights: 30, KWh: 0, Cost: 0},
		{Method: "carry", Weeks: 6, Odds: 0.95, Hours: 11, Nights: 30, KWh: 0, Cost: 0},  // beaten: two weeks less do
		{Method: "lamp", Weeks: 8, Odds: 0.8, Hours: 6, Nights: 0, KWh: 0, Cost: 90},     // the tent's price, more weeks
		{Method: "basket", Weeks: 4, Odds: 0.8, Hours: 9, Nights: 30, KWh: 0, Cost: 0},   // equal to carry: the earlier id
		{Method: "open", Weeks: 0, Odds: 0.79999, Hours: 1, Nights: 0, KWh: 0, Cost: 0},  // short of the target
		{Method: "heater", Weeks: 2, Odds: 0.99, Hours: 7, Nights: 0, KWh: 60, Cost: 95}, // dearer than the tent
		{Method: "early", Weeks: 12, Odds: 0.99, Hours: 6, Nights: 0, KWh: 10, Cost: 5},
	}
	want := []ripening.Way{ways[0], ways[7], ways[4]}
	if got := ripening.Frontier(ways, 0.8); !reflect.DeepEqual(got, want) {
		t.Errorf("frontier %+v", got)
	}
	if got := ripening.Frontier(ways, 0.999); len(got) != 0 {
		t.Errorf("nothing reaches 0.999, but %+v", got)
	}
}

// Against every pair: what is left out is beaten by something left in, and
// nothing left in beats another; the order of what comes in changes nothing.
func TestFrontierHoldsItsDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	beats := func(a, b ripening.Way) bool {
		return a.Nights <= b.Nights && a.KWh <= b.KWh && a.Cost <= b.Cost && a.Hours <= b.Hours
	}
	for range 100 {
		var ways []ripening.Way
		for w := range 40 {
			few := func() float64 { return float64(rng.IntN(4)) }
			ways = append(ways, ripening.Way{Method: string(rune('a' + w%5)), Weeks: w / 5, Odds: 0.4 + 0.2*few(), Hours: few(), Nights: few(), KWh: few(), Cost: few()})
		}
		in := ripening.Frontier(ways, 0.8)
		for i, a := range in {
			if a.Odds < 0.8 {
				t.Fatalf("%+v misses the target", a)
			}
			for j, b := range in {
				if i != j && beats(a, b) {
					t.Fatalf("%+v beats %+v", a, b)
				}
			}
			if i > 0 && in[i-1].Hours > a.Hours {
				t.Fatal("not sorted by hours")
			}
		}
		for _, w := range ways {
			beaten := w.Odds < 0.8
			for _, a := range in {
				beaten = beaten || beats(a, w)
			}
			if !beaten {
				t.Fatalf("%+v is left out for nothing", w)
			}
		}
		rng.Shuffle(len(ways), func(i, j int) { ways[i], ways[j] = ways[j], ways[i] })
		if again := ripening.Frontier(ways, 0.8); !reflect.DeepEqual(in, again) {
			t.Fatal("the order of the ways changes the frontier")
		}
	}
}
