package pots_test

import (
	"math"
	"slices"
	"testing"

	"ripeward/build/pots"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tolerance)
	}
}

// FE-1..8 of CHECKS 14.
func TestFeedAgainstPublishedTables(t *testing.T) {
	ounces := func(ppm, percent float64) float64 {
		return pots.OuncesPer100Gallons(pots.FeedGrams(ppm, percent))
	}
	const texas = "Texas A&M Greenhouse IPM guide"
	const umass = "UMass, Fertilizer calculations for greenhouse crops"
	const mattson = "Mattson, Cornell"

	oneOunce := 1 / pots.OuncesPer100Gallons(1) // g/L
	near(t, "FE-1, ppm of 1 oz in 100 gal of pure N, "+texas+" prints 75", oneOunce/pots.FeedGrams(1, 100), 75, 0.2)
	near(t, "FE-1, the exact factor", oneOunce/pots.FeedGrams(1, 100), 74.891, 0.001)
	near(t, "FE-2, 15 % N, "+texas, oneOunce/pots.FeedGrams(1, 15), 11.25, 0.02)
	near(t, "FE-2, 250 ppm of 15 % N, oz/100 gal, "+texas, ounces(250, 15), 22.2, 0.1)
	near(t, "FE-3, 200 ppm of 20 % N, "+umass, ounces(200, 20), 13.5, 0.02*13.5)
	near(t, "FE-3, 200 ppm of 15 % N, "+umass, ounces(200, 15), 18, 0.02*18)

	_, stock := pots.Stock(150, 20, 200)
	perGallon := pots.OuncesPer100Gallons(stock) / 100
	near(t, "FE-4, oz/gal of stock, 20-10-20 at 150 ppm by 1:200, a label chart in "+mattson, perGallon, 20.25, 0.02*20.25)
	near(t, "FE-4, five gallons of it", 5*perGallon, 101.25, 0.02*101.25)
	near(t, "FE-5, 200 ppm of 33 % N, a class note", ounces(200, 33), 8.09, 0.01)
	ppm, _ := pots.Stock(200, 20, 100)
	near(t, "FE-6, ppm of the stock of a 1:100 injector, "+mattson, ppm, 20000, 0)
	near(t, "FE-7, g/L of 20 % N for 200 ppm (computed)", pots.FeedGrams(200, 20), 1, 1e-12)
	// FE-8: the Texas page multiplies .33 by 75 to 29.75, so its 5 and 7 oz of
	// ammonium nitrate are wrong; right are:
	near(t, "FE-8, 150 ppm of 33 % N", ounces(150, 33), 6.06, 0.02)
	near(t, "FE-8, 200 ppm of 33 % N", ounces(200, 33), 8.08, 0.02)
}

// Growers' recipes as they print them, in per cent (common practice); one of
// them rounds to 58.
func TestMixes(t *testing.T) {
	for _, c := range []struct{ parts, percent []float64 }{
		{[]float64{5, 1, 1}, []float64{71, 14, 14}},
		{[]float64{5, 1, 1, 1}, []float64{62.5, 12.5, 12.5, 12.5}},
		{[]float64{2, 4, 1}, []float64{28, 58, 14}},
	} {
		for i, share := range pots.Shares(c.parts) {
			near(t, "share", 100*share, c.percent[i], 0.9)
		}
	}
	litres := pots.MixFor(pots.Pot{Litres: 38}, 7)
	near(t, "mix for seven pots", litres, 266, 0)
	if got := pots.Volumes([]float64{5, 1, 1}, litres); !slices.Equal(got, []float64{190, 38, 38}) {
		t.Errorf("266 L of 5:1:1 are %v", got)
	}
	if got := pots.Volumes(nil, 10); len(got) != 0 {
		t.Errorf("a mix of nothing: %v", got)
	}
}

// Weights, needs and days that growers give (common practice; densities of
// 0.6-0.9 kg/L from memory).
func TestPotAgainstGrowersFigures(t *testing.T) {
	for litres, kg := range map[float64][2]float64{57: {35, 50}, 95: {60, 85}} {
		light := pots.Pot{Litres: litres, WetKgPerL: 0.6}.WetKg()
		heavy := pots.Pot{Litres: litres, WetKgPerL: 0.9}.WetKg()
		near(t, "light", light, kg[0], 3)
		near(t, "heavy", heavy, kg[1], 2)
	}
	small := pots.Pot{Litres: 19, CanopyM2: 0.8, Usable: 0.22}
	large := pots.Pot{Litres: 57, CanopyM2: 0.8, Usable: 0.22}
	near(t, "a day of 5 mm", large.NeedLitres(5, 1), 4, 1e-12)
	near(t, "a hot windy day", large.NeedLitres(7, 1), 5.6, 1e-12)
	near(t, "July at 5 mm", large.NeedLitres(5, 31), 124, 1e-9)
	near(t, "usable in 5 gallons", small.UsableLitres(), 4.5, 0.5)
	near(t, "usable in 15 gallons", large.UsableLitres(), 12.5, 1.5)
	near(t, "5 gallons last a day", small.LastsDays(5), 1, 0.1)
	near(t, "15 gallons last two to three", large.LastsDays(5), 2.75, 0.5)
	if !math.IsInf(large.LastsDays(0), 1) || large.NeedLitres(-1, 1) != 0 {
		t.Error("without evaporation nothing is drunk")
	}
	if blank := (pots.Pot{Litres: 19, CanopyM2: math.NaN(), Usable: 0.2}); !math.IsNaN(blank.LastsDays(5)) {
		t.Errorf("an unknown canopy makes a pot last %v days", blank.LastsDays(5))
	}
}

// SU-1 of CHECKS 14: air of 10 to 25 %.
func TestAirSpace(t *testing.T) {
	low, high := pots.Pot{Litres: 38}.AirLitres()
	near(t, "least", low, 3.8, 1e-12)
	near(t, "most", high, 9.5, 1e-12)
}

func TestNext(t *testing.T) {
	sizes := []pots.Pot{{Litres: 38, DiameterCm: 43}, {Litres: 4, DiameterCm: 19}, {Litres: 76, DiameterCm: 52}, {Litres: 19, DiameterCm: 33}, {Litres: 27, DiameterCm: 38}}
	for _, c := range []struct {
		from, to float64
		usual    bool
	}{{4, 19, true}, {19, 27, true}, {27, 38, true}, {38, 76, false}, {76, 0, false}} {
		i := slices.IndexFunc(sizes, func(p pots.Pot) bool { return p.Litres == c.from })
		k, usual := pots.Next(sizes[i], sizes)
		got := 0.0
		if k >= 0 {
			got = sizes[k].Litres
		}
		if got != c.to || usual != c.usual {
			t.Errorf("after %v L comes %v (usual: %v), want %v (%v)", c.from, got, usual, c.to, c.usual)
		}
	}
}
