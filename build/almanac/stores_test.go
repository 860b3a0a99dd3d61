package almanac_test

import (
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

func TestStores(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, -4, false))
	low := town(t, b, "low")
	at := map[string]map[bool]almanac.StoreWinter{}
	for _, s := range low.Stores {
		if s.Crop != "fig" {
			continue
		}
		if at[s.Store] == nil {
			at[s.Store] = map[bool]almanac.StoreWinter{}
		}
		at[s.Store][s.Wrapped] = s
	}
	if len(at) != 3 {
		t.Fatalf("stores of fig: %v", at)
	}
	for id, w := range at {
		bare, wrapped := w[false], w[true]
		if bare.Winters < 24 || bare.In.None || bare.Out.None || bare.In.Rank < 200 || bare.Out.Rank > 180 {
			t.Errorf("%s: %+v", id, bare)
		}
		if bare.LowestP10 > bare.LowestP50 || bare.BelowP50 > bare.BelowP90 || bare.WithBelow > bare.Winters || bare.ColdestC > bare.LowestP10+0.05 {
			t.Errorf("%s: lowest %v and %v, below %v and %v, coldest %v", id, bare.LowestP10, bare.LowestP50, bare.BelowP50, bare.BelowP90, bare.ColdestC)
		}
		// A wrap only slows: it never makes the worst colder.
		if wrapped.LowestP50 < bare.LowestP50 || wrapped.BelowP90 > bare.BelowP90 {
			t.Errorf("%s: wrapped %+v, bare %+v", id, wrapped, bare)
		}
		if len(bare.Low) != len(bare.High) || len(bare.Low) < 15 {
			t.Errorf("%s: a winter of %d and %d weeks", id, len(bare.Low), len(bare.High))
		}
		for i := range bare.Low {
			if bare.Low[i] > bare.High[i] {
				t.Errorf("%s, week %d: lowest %v above highest %v", id, i, bare.Low[i], bare.High[i])
			}
		}
	}
	shed, garage, cellar := at["detached-shed"][false], at["attached-garage"][false], at["cellar"][false]
	if !(shed.LowestP50 < garage.LowestP50 && garage.LowestP50 < cellar.LowestP50) {
		t.Errorf("lowest: shed %v, garage %v, cellar %v", shed.LowestP50, garage.LowestP50, cellar.LowestP50)
	}
	if !(shed.BelowP50 > garage.BelowP50) || cellar.BelowP90 > garage.BelowP90 {
		t.Errorf("days below: shed %v, garage %v, cellar %v", shed.BelowP50, garage.BelowP50, cellar.BelowP90)
	}
}

// Wood that a cold shed kills bears no brebas; a store nobody named takes
// nothing.
func TestColdStoreKills(t *testing.T) {
	river := weather(t, "river", 1985, 2024, -4, false)
	brebas := func(store string) float64 {
		methods := "method_id,name,place,store_id,wake,out_anchor\npot,Pot,pot," + store + ",natural,dormant_out\n"
		cultivars := "cultivar_id,crop_id,name,class_id,crops_borne,wood_kill_c\nlantern,fig,Lantern,fig-very-early,both,-9\n"
		b := makeBook(t, with(map[string]string{"data/methods.csv": methods, "data/cultivars.csv": cultivars}), almanac.Options{}, river)
		for _, o := range town(t, b, "low").Odds {
			if o.Part == "breba" {
				return o.Odds
			}
		}
		t.Fatal("no brebas")
		return 0
	}
	none, shed, cellar := brebas(""), brebas("detached-shed"), brebas("cellar")
	if !(shed < none-0.2) || cellar < none-0.02 {
		t.Errorf("brebas ripen in %v without a store, %v from the shed, %v from the cellar", none, shed, cellar)
	}
}

func TestTents(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false))
	low := town(t, b, "low")
	if len(low.Tents) != 2*9 {
		t.Fatalf("%d start dates of two heated tents", len(low.Tents))
	}
	for i, s := range low.Tents {
		if s.KWhP90 < s.KWhMean || s.PeakW > 1500 || s.PeakW <= 0 || s.NeedW < s.PeakW && s.Short > 0 {
			t.Errorf("%+v", s)
		}
		if i%9 > 0 && (s.KWhMean > low.Tents[i-1].KWhMean || s.Start <= low.Tents[i-1].Start) {
			t.Errorf("a later start takes more: %+v after %+v", s, low.Tents[i-1])
		}
	}
	if !(low.Tents[0].KWhMean > low.Tents[8].KWhMean+100) || !(low.Tents[0].Short > 0) {
		t.Errorf("from February %+v, from June %+v", low.Tents[0], low.Tents[8])
	}
	for _, o := range low.Odds {
		if heated := o.Method == "tent-heated" || o.Method == "tent-heated-head-start"; heated != (o.KWhMean > 0) {
			t.Errorf("%s draws %v kWh", o.Method, o.KWhMean)
		}
	}
}

func TestFigletCountDown(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false))
	f := town(t, b, "low").Figlets
	if f.Method != "pot-plain" || len(f.Dates) != 16 || f.Dates[0] != day.North.RankOf(6, 1) || len(f.Rows) == 0 {
		t.Fatalf("%+v", f)
	}
	for _, r := range f.Rows {
		for i := 1; i < len(r.Odds); i++ {
			if r.Odds[i] > r.Odds[i-1] {
				t.Errorf("%s: odds rise with a later figlet: %v", r.Cultivar, r.Odds)
			}
		}
		for i, d := range f.Dates {
			if ok := r.Odds[i] >= 0.5; !r.Drop.None && ok != (d <= r.Drop.Rank) || r.Drop.None && ok {
				t.Errorf("%s: figlets of day %d finish in %v, drop after %+v", r.Cultivar, d, r.Odds[i], r.Drop)
			}
		}
	}
}
