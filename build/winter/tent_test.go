package winter_test

import (
	"math"
	"testing"

	"ripeward/build/winter"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tolerance)
	}
}

// The formulas hold in any consistent unit, so worked examples in BTU, ft² and
// °F go in as they are printed.
func TestLossAgainstWorkedExamples(t *testing.T) {
	// GH-1 of CHECKS 11, a manufacturer's sizing note, BTU h-1 °F-1.
	ends, roof := winter.Tent{AreaM2: 352, U: 0.53}, winter.Tent{AreaM2: 3456, U: 0.70}
	near(t, "GH-1 ends", ends.LossWPerK(), 186.56, 0.005)
	near(t, "GH-1 whole", ends.LossWPerK()+roof.LossWPerK(), 2605.76, 0.05)

	for _, c := range []struct {
		name                          string // CHECKS 11
		area, u, dt, bare, infiltered float64
	}{
		{"GH-2, a calculator page's example, BTU/h", 788, 0.70, 35, 19306, 24132.5},
		{"GH-3, the same", 4230, 1.20, 50, 253800, 317250},
	} {
		tent := winter.Tent{AreaM2: c.area, U: c.u}
		hour := tent.Energy([]float64{-c.dt}, nil, 0)
		near(t, c.name, hour.PeakW, c.bare, 0.5)
		// Infiltration as a quarter of conduction: one air change of the
		// volume that makes it so.
		tent.AirChangesH, tent.VolumeM3 = 1, 0.25*c.u*c.area/winter.AirHeat
		near(t, c.name+" with infiltration", tent.Energy([]float64{-c.dt}, nil, 0).PeakW, c.infiltered, 1)
	}
}

// GH-4 of CHECKS 11 (computed from the formula): a tent of 3 × 4 × 2 m, 12 K
// warmer than outside, one air change an hour.
func TestLossOfATent(t *testing.T) {
	for u, want := range map[float64]float64{6.8: 3264, 4.0: 1920, 3.3: 1584} {
		tent := winter.Tent{AreaM2: 40, VolumeM3: 24, U: u}
		near(t, "conduction", tent.Energy([]float64{-7}, nil, 5).NeedW, want, 0.5)
		tent.AirChangesH = 1
		near(t, "with air changes", tent.Energy([]float64{-7}, nil, 5).NeedW, want+95, 0.5)
	}
}

// The metric coefficient against the American one, 0.018 BTU ft-3 °F-1:
// 1 BTU = 0.29307 W·h, 1 ft³ = 0.028317 m³, 1 °F = 5/9 K. The two printed
// figures agree to their rounding.
func TestAirHeat(t *testing.T) {
	near(t, "0.018 BTU ft-3 °F-1", 0.018*0.29307*1.8/0.028317, winter.AirHeat, 0.006)
}

// DH-1..5 of CHECKS 11 (single sine, computed): degree-hours of a day below the
// setpoint. A tent that loses 1 W/K draws as many W·h. The sine is sampled so
// finely that one sample an hour makes many days of the same shape.
func TestDegreeHoursOfASineDay(t *testing.T) {
	const days = 600
	for _, c := range []struct {
		name                 string
		tmin, tmax, set, day float64
	}{
		{"DH-1", -10, 0, 2, 168},
		{"DH-2", -5, 5, 2, 65.296},
		{"DH-3, where the daily mean would say nothing", -5, 5, 0, 38.197},
		{"DH-4", 0, 10, 2, 9.306},
		{"DH-5", 2, 12, 2, 0},
	} {
		hours := make([]float64, 24*days)
		for i := range hours {
			angle := 2 * math.Pi * (float64(i) + 0.5) / float64(len(hours))
			hours[i] = (c.tmin+c.tmax)/2 + (c.tmax-c.tmin)/2*math.Sin(angle)
		}
		heat := winter.Tent{AreaM2: 1, U: 1}.Energy(hours, nil, c.set)
		near(t, c.name, heat.KWh*1000/days, c.day, 0.001)
	}
}

func TestEnergyOfSunHeaterAndGaps(t *testing.T) {
	tent := winter.Tent{AreaM2: 20, VolumeM3: 8, U: 6.8, AirChangesH: 1.5, SunShare: 0.5, HeaterW: 1500}
	loss := 20*6.8 + 0.33*1.5*8 // 139.96 W/K
	nan := math.NaN()
	h := tent.Energy([]float64{-15, -5, nan, 5, 20, 0}, []bool{false, true, true, false, true}, 5)
	if h.ShortHours != 1 {
		t.Errorf("%d hours short, want the one at -15 °C", h.ShortHours)
	}
	near(t, "need", h.NeedW, 20*loss, 1e-9)
	near(t, "peak", h.PeakW, 1500, 0)
	near(t, "kWh: capped, half of 10 K in the sun, 5 K in the dark", h.KWh, (1500+5*loss+5*loss)/1000, 1e-9)
	if none := tent.Energy([]float64{5, 6, nan}, nil, 5); none != (winter.Heating{}) {
		t.Errorf("nothing to heat, yet %+v", none)
	}
	if bright := (winter.Tent{AreaM2: 1, U: 1, SunShare: 1}).Energy([]float64{-5}, []bool{true}, 0); bright != (winter.Heating{}) {
		t.Errorf("the sun makes all of it good, yet %+v", bright)
	}
	tent.HeaterW = 0
	if free := tent.Energy([]float64{-15}, nil, 5); free.ShortHours != 0 || free.PeakW != free.NeedW {
		t.Errorf("without a limit: %+v", free)
	}
}
