package page_test

import (
	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// gardenOf adds to the awkward book what one garden's odds are reckoned from:
// a season that went through a set-back, a night without a reading, a cultivar
// whose name is markup.
func gardenOf(b *almanac.Book, t *almanac.Town) {
	b.GardenLines = []almanac.GardenLine{
		{Crop: "fig", Cultivar: "one", Part: "breba", Mu: 820, SE: 60, GardenSd: 90, YearSd: 110, DiebackDelay: 300, OnOldWood: true},
		{Crop: "fig", Cultivar: "one", Part: "main", Mu: 1315, SE: 24, GardenSd: 85, YearSd: 115, DiebackDelay: 300}}
	t.Garden = almanac.Garden{FirstLow: day.Of(2020, 12, 29), Lows: []quantity.Tenths{-103, quantity.Missing, -7},
		Ways: []almanac.GardenWay{{Crop: "fig", Method: "pot", Heat: []float64{900, 1400}, SetBack: []bool{true, false}, Kill: map[string][]uint8{"one": {12, 0}},
			Seasons: []almanac.GardenSeason{{Season: 2020, From: day.Of(2020, 5, 21), SetBack: true, Gain: []uint8{0, 12, 63}}}}}}
}
