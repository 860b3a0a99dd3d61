package page_test

import (
	"math"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
)

// wintry is the awkward book with the rest of the year in it.
func wintry() *almanac.Book {
	b := hard()
	restOfYear(b)
	return b
}

// restOfYear adds to the awkward book stores, tents, pots and figlets: names
// full of markup, blank cells, a fit that fails, one whose errors are not
// known, a heater too small, a town in the south.
func restOfYear(b *almanac.Book) {
	c := b.Club
	c.Settings.EnergyPrice = 0.2
	c.Crops[0].StoreLowC, c.Crops[0].StoreHighC = num(-3), num(10)
	c.Crops[1].StoreLowC = num(4)
	c.Stores = []club.Store{{ID: "shed", Name: `Shed <b>"old"</b>`, TimeConstantH: num(12)}, {ID: "cellar", Name: "Cellar & stairs", HeaterFloorC: num(4)}, {ID: "nowhere", Name: "Unused"}}
	c.Methods = append(c.Methods,
		club.Method{ID: "tent", Name: "Pot in a <tent>", Place: "pot", Wake: "natural", StoreID: "shed", DayGainC: num(4), VentC: num(28), NightGainC: num(1), CarryBelowC: num(-2)},
		club.Method{ID: "warm-tent", Name: "Pot in a heated tent", Place: "pot", Wake: "natural", DayGainC: num(4), HeatFloorC: num(5), HeaterW: num(1500)},
		club.Method{ID: "warm-twin", Name: "Another heated & tent", Place: "pot", Wake: "natural", DayGainC: num(4), HeatFloorC: num(5), HeaterW: num(1500)})
	c.Classes[0].FigletHeatCd = num(420)
	c.Pots = []club.Pot{{ID: "p4", Litres: num(4), DiameterCm: num(19), CanopyM2: num(0.15), WetKgPerL: num(0.8), UsableWaterFrac: num(0.22)}, {ID: "blank"},
		{ID: "p57", Litres: num(57), DiameterCm: num(50), CanopyM2: num(0.9), WetKgPerL: num(0.8), UsableWaterFrac: num(0.22)}}
	c.Mixes = []club.Mix{{ID: "bark", Name: "Bark <mix>", Part: "bark & bits", Parts: num(5)}, {ID: "bark", Name: "Bark <mix>", Part: "peat", Parts: num(1)}, {ID: "bark", Name: "Bark <mix>", Part: "perlite", Parts: num(2)}, {ID: "half", Part: "of nobody knows how much"}}
	c.Feeds = []club.Feed{{ID: "liquid", Name: "Liquid & <strong>", NPercent: num(20), PpmN: num(100), EveryDays: num(7)}, {ID: "dry", Name: "Granules"}}
	c.Tasks = append(c.Tasks, club.Task{ID: "feed-start", Name: "Feed"}, club.Task{ID: "feed-stop", Name: "Feed no more"})
	for i := range b.Towns {
		winterTown(&b.Towns[i])
	}
}

func winterTown(t *almanac.Town) {
	h := t.Hemisphere
	never := almanac.Point{None: true}
	in, out := almanac.Point{Rank: h.RankOf(11, 1)}, almanac.Point{Rank: h.RankOf(4, 20)}
	store := func(id, crop string, wrapped bool, shift float64) almanac.StoreWinter {
		s := almanac.StoreWinter{Store: id, Crop: crop, Wrapped: wrapped, Winters: 27, LowestP10: -9 + shift, LowestP50: -6.2 + shift, BelowP50: math.Max(0, 11-shift), BelowP90: math.Max(0, 30-shift), AboveP50: 12, AboveP90: 20,
			WithBelow: max(0, 25-int(shift)), WithAbove: 26, In: in, Out: out, WakesP10: never, WakesP50: never, Coldest: day.Of(1994, 1, 17), ColdestC: -14.5 + shift}
		for i := range 25 {
			low := float32(-4 + shift + 0.05*float64((i-12)*(i-12)))
			s.Low, s.High = append(s.Low, low), append(s.High, low+5)
		}
		return s
	}
	cellar := store("cellar", "fig", false, 26)
	cellar.WakesP10, cellar.WakesP50, cellar.Fitted = almanac.Point{Rank: h.RankOf(3, 1)}, almanac.Point{Rank: h.RankOf(3, 20)}, true
	lemons := store("shed", "citrus", false, 0)
	lemons.BelowP50, lemons.Low, lemons.High = 0, nil, nil
	t.Stores = []almanac.StoreWinter{cellar, lemons, store("shed", "fig", false, 0), store("shed", "fig", true, 2)}
	t.StoreFits = []almanac.StoreFit{{Store: "shed", Problem: "3 readings <can> be compared", Readings: 3},
		{Store: "cellar", TimeConstantH: 90, TimeConstantSe: math.NaN(), HouseShare: 0.4, HouseShareSe: 0.001, ResidualC: 0.6, Readings: 9, SpanC: 14.2, AtEdge: true}}
	for i, m := range []int{2, 4, 6} {
		for _, id := range []string{"warm-tent", "warm-twin"} {
			t.Tents = append(t.Tents, almanac.TentStart{Method: id, Start: h.RankOf(m, 1), KWhMean: 1400 - 600*float64(i), KWhP90: 1600 - 700*float64(i), PeakW: 1500, NeedW: 4570 - 1550*float64(i), Short: 20 - 10*float64(i), Cost: 280 - 120*float64(i)})
		}
	}
	t.Figlets = almanac.Figlets{Method: "early-pot", Dates: []day.Rank{h.RankOf(6, 1), h.RankOf(6, 8)},
		Rows: []almanac.FigletRow{{Cultivar: "two", Odds: []float64{0.4}, Drop: never}, {Cultivar: "one", Odds: []float64{0.97, 0.03}, Drop: almanac.Point{Rank: h.RankOf(6, 5)}}}}
	for m := range t.Evaporation {
		t.Evaporation[m] = climate.Value{V: 0.5 + float64(m%7), OK: m != 3}
	}
	t.Tasks = append(t.Tasks, almanac.TaskDate{Method: "pot", Task: "feed-start", From: day.Of(2021, 5, 30), Until: day.Of(2021, 6, 6)}, almanac.TaskDate{Method: "pot", Task: "feed-stop", From: day.Of(2021, 8, 10), Until: day.None})
}
