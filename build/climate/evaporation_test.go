package climate_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// ET-4. Source: FAO-56, example 15 (p. 98): Lyon in July, Ra 40.6, Tmax 26.6,
// Tmin 14.8, kRs 0.16 give 22.3 MJ m-2 d-1.
func TestSolarRadiationExample(t *testing.T) {
	if got := climate.SolarRadiation(14.8, 26.6, 40.6, climate.RadiationInterior); !near(got, 22.3, 0.05) {
		t.Errorf("%v, printed 22.3", got)
	}
	if climate.SolarRadiation(20, 10, 40, climate.RadiationCoastal) != 0 {
		t.Error("crossed extremes have a range")
	}
}

func TestHargreaves(t *testing.T) {
	for _, c := range []struct {
		name                  string // with its source
		tmin, tmax, tmean, ra float64
		want, tolerance       float64
	}{
		{"ET-6, FAO-56 example 20, printed result from memory (status C)", 14.8, 26.6, 20.7, 40.6, 5.0, 0.06},
		{"ET-8, V. K. Mehta 2006, Arghyam/Cornell worked example", 28, 38, 35, 38.93715, 6.1, 0.05},
		{"ET-9, xclim tests test_hargreaves, 45° N, 3 July 2000", 10, 20, 15, climate.ExtraterrestrialRadiation(45, 185), 4.03, 0.01 * 4.03},
		// The trap: that package takes 32 MJ for mm. As mm it gives 7.175;
		// here 32 is MJ, and the same sun in mm is 32/0.408 MJ.
		{"ET-10, CRAN FAO56 ETo_Hrg, 32 mm (status C)", 19, 25, 22, 32 / climate.EvaporationPerMJ, 7.175, 5e-4},
		{"ET-10, 32 MJ", 19, 25, 22, 32, 7.175 * 0.408, 5e-4},
	} {
		if got := climate.Hargreaves(c.tmin, c.tmax, c.tmean, c.ra); !near(got, c.want, c.tolerance) {
			t.Errorf("%s: %v mm, want %v", c.name, got, c.want)
		}
	}
	if climate.Hargreaves(-40, -30, -35, 2) != 0 || climate.Hargreaves(20, 10, 15, 40) != 0 {
		t.Error("evaporation below 0, or without a range")
	}
}

// CH-8. Source: chillR code run in R (CHECKS section 7, status L): base 4,
// optimum 25, critical 36 °C.
func TestGrowingDegreeHours(t *testing.T) {
	for celsius, want := range map[float64]float64{4: 0, 10: 3.953, 14.5: 10.5, 25: 21, 30: 7.248, 36: 0, 40: 0} {
		if got := climate.GrowingDegreeHours(celsius); !near(got, want, 5e-4) {
			t.Errorf("%v °C: %v, want %v", celsius, got, want)
		}
	}
	for _, celsius := range []float64{-30, 3.99, math.NaN()} {
		if got := climate.GrowingDegreeHours(celsius); got != 0 {
			t.Errorf("%v °C: %v, want 0", celsius, got)
		}
	}
}

// The monthly mean against the worked day of xclim's tests (ET-9: 45° north,
// 3 July, 10-20 °C, 4.03 mm, tolerance 1 %): a July of such days lies near it,
// since the sun's radiation changes by 4 % within the month.
func TestMonthlyEvaporation(t *testing.T) {
	d := weather(day.North, 1991, 2000, 9, 12, 1)
	for i := range d.TMin {
		d.TMin[i], d.TMax[i] = 100, 200
	}
	d.Latitude = climate.AtLatitude(45)
	span := climate.Span{First: 1991, Last: 2000}
	months := climate.MonthlyEvaporation(d, span)
	if july := months[6]; !july.OK || math.Abs(july.V-4.03) > 0.04*4.03 {
		t.Errorf("July: %+v, want near 4.03 mm a day", july)
	}
	if !(months[11].V < months[2].V && months[2].V < months[5].V) {
		t.Errorf("evaporation does not follow the sun: %v", months)
	}
	lose(d, day.Of(1993, 7, 1), 31, d.TMin)
	lose(d, day.Of(1995, 7, 1), 31, d.TMax)
	if !climate.MonthlyEvaporation(d, span)[6].OK {
		t.Error("8 Julys of 10 do not count")
	}
	lose(d, day.Of(1997, 7, 31), 1, d.TMax)
	if climate.MonthlyEvaporation(d, span)[6].OK {
		t.Error("fewer than 80 % of the days count")
	}
	d.Latitude = climate.Latitude{}
	if climate.MonthlyEvaporation(d, span)[0].OK {
		t.Error("evaporation without a latitude")
	}
}
