package winter_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
	"ripeward/build/winter"
)

func dailyOfOttawa(t testing.TB) *climate.Daily {
	t.Helper()
	recs, _, err := station.ReadFile(stationtest.Ottawa(t))
	if err != nil {
		t.Fatal(err)
	}
	s := recs[0].Series
	return &climate.Daily{First: s.First, TMin: s.TMin, TMax: s.TMax, Hemisphere: day.North, Latitude: climate.AtLatitude(45.38)}
}

func annualMean(d *climate.Daily, first, last int) float64 {
	var sum, n float64
	for at := day.Of(first, 1, 1); at <= day.Of(last, 12, 31); at++ {
		if i := at - d.First; d.TMin[i] != quantity.Missing && d.TMax[i] != quantity.Missing {
			sum += float64(d.TMin[i]+d.TMax[i]) / 20
			n++
		}
	}
	return sum / n
}

// Two stores on the Ottawa CDA record (GHCN-Daily CA006105976), the stores of
// SCIENCE 9: an attached garage, 24 h and 0.37 of a house at 20 °C, and a
// detached shed, 12 h. Nothing is published to compare with: the figures are
// printed (go test -v), and only what must hold of any two such stores is
// asserted.
func TestOttawaStores(t *testing.T) {
	d := dailyOfOttawa(t)
	const firstWinter, lastWinter = 1991, 2020
	mean := annualMean(d, firstWinter, lastWinter)
	fig := winter.Crop{LowC: -3, HighC: 10, BaseC: 10, UpperC: 30, Heat: 100}
	stores := map[string]winter.Store{
		"attached": {TimeConstantH: 24, HouseShare: 0.37, HouseC: 20, HeaterFloorC: noFloor, WrapTimeConstantH: 24},
		"detached": {TimeConstantH: 12, HeaterFloorC: noFloor, WrapTimeConstantH: 24},
	}
	stays := map[string][]winter.Stay{}
	for y := firstWinter; y <= lastWinter; y++ {
		start := day.Of(y-1, 7, 1)
		days := int(day.Of(y, 6, 30)-start) + 1
		hours, ok := climate.HourlyTemperatures(d, start, days)
		if !ok {
			t.Fatal("no hours")
		}
		for name, s := range stores {
			bare, wrapped := s.Follow(start, hours, mean)
			for what, pot := range map[string]winter.Days{" bare": bare, " wrapped": wrapped} {
				stay := pot.Stay(day.Of(y-1, 11, 1), day.Of(y, 4, 30), day.Of(y, 1, 1), fig)
				if stay.Missing == 0 {
					stays[name+what] = append(stays[name+what], stay)
				}
			}
		}
	}
	for _, name := range []string{"detached bare", "detached wrapped", "attached bare", "attached wrapped"} {
		w := winter.Summarise(stays[name], day.North)
		t.Logf("%s, 1 November to 30 April, annual mean %.1f °C: below -3 °C on some day in %d of %d winters, on %v days in the middle winter, %v in 1 of 10; lowest %.1f °C in the middle winter, %.1f in 1 of 10; above 10 °C on %v days; woken %d times",
			name, mean, w.WithBelow, w.Winters, w.BelowP50, w.BelowP90, w.LowestP50, w.LowestP10, w.AboveP50, w.Woken)
		if w.Winters < 24 {
			t.Errorf("%s: only %d winters without a gap", name, w.Winters)
		}
	}
	for i, shed := range stays["detached bare"] {
		garage, wrapped := stays["attached bare"][i], stays["detached wrapped"][i]
		if garage.Below > shed.Below || garage.LowestC < shed.LowestC || wrapped.LowestC < shed.LowestC {
			t.Errorf("winter %d: shed %+v, garage %+v, wrapped in the shed %+v", i, shed, garage, wrapped)
		}
	}
}
