package climate_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// placed puts a record somewhere along a meridian: km north of 45° N, 0° E.
func placed(id string, km, height float64, d *climate.Daily) climate.Placed {
	return climate.Placed{ID: id, Latitude: 45 + km/111.195, Longitude: 0, HeightM: height, Daily: d}
}

// Three invented stations of one weather, one 400 m up: moved by the true lapse
// rate its neighbours predict it to a tenth of a degree; each is predicted from
// the one that the rule takes.
func TestLeaveOneOut(t *testing.T) {
	low := weather(day.North, 1991, 2020, 9, 12, 3)
	up := climate.Move(low, climate.Shift{Day: -2.6, Night: -2.6})
	stations := []climate.Placed{placed("A", 0, 100, low), placed("B", 20, 500, &up), placed("C", 5, 100, low)}
	got := climate.LeaveOneOut(stations, 6.5, span(30), climate.DefaultHeat())
	for i, want := range []string{"C", "C", "A"} {
		if got[i].Lead != want || got[i].ID != stations[i].ID {
			t.Fatalf("%s predicted from %q, want %s", got[i].ID, got[i].Lead, want)
		}
	}
	if !near(got[1].HeightM, 400, 1e-9) || !near(got[1].DistanceKm, 15, 0.01) {
		t.Errorf("B from C: %v km, %v m", got[1].DistanceKm, got[1].HeightM)
	}
	for _, l := range got { // the same weather, the true lapse: no error at all
		for name, c := range map[string]climate.Comparison{"last": l.LastFreeze, "first": l.FirstFreeze, "heat": l.Heat, "winter": l.WinterMin} {
			if c.Bias != 0 || c.MAE != 0 || c.Years < 29 {
				t.Errorf("%s, %s: %+v", l.ID, name, c)
			}
		}
	}
	// With no lapse the station up the hill is predicted too warm: later in
	// autumn, earlier in spring, by the same in every year or nearly so.
	flat := climate.LeaveOneOut(stations, 0, span(30), climate.DefaultHeat())[1]
	if !near(flat.WinterMin.Bias, 2.6, 1e-9) || !near(flat.WinterMin.MAE, 2.6, 1e-9) || flat.Heat.Bias < 200 || flat.LastFreeze.Bias >= 0 || flat.FirstFreeze.Bias <= 0 {
		t.Errorf("without a lapse: %+v", flat)
	}
	if flat.Heat.MAE < math.Abs(flat.Heat.Bias) || flat.LastFreeze.MAE < math.Abs(flat.LastFreeze.Bias) {
		t.Errorf("mean absolute errors below the bias: %+v", flat)
	}
	pooled := climate.Pool([]climate.LeftOut{got[0], flat})
	if n := got[0].Heat.Years + flat.Heat.Years; pooled.Heat.Years != n || !near(pooled.Heat.Bias, flat.Heat.Bias*float64(flat.Heat.Years)/float64(n), 1e-9) {
		t.Errorf("pooled %+v", pooled.Heat)
	}
	if alone := climate.LeaveOneOut(stations[:1], 6.5, span(30), climate.DefaultHeat()); alone[0].Lead != "" || alone[0].Heat.Years != 0 {
		t.Errorf("a lone station: %+v", alone[0])
	}
	// Only common years, only those in the span.
	part := weather(day.North, 2000, 2004, 9, 12, 3)
	both := climate.LeaveOneOut([]climate.Placed{placed("A", 0, 100, low), placed("P", 5, 100, part)}, 6.5, climate.Span{First: 2001, Last: 2020}, climate.DefaultHeat())
	if both[1].Heat.Years != 4 || both[0].Heat.Years != 4 || both[0].Heat.MAE == 0 {
		t.Errorf("4 common years: %+v", both[1].Heat)
	}
}

// The slope that was put in comes out, whatever years a station has.
func TestFittedLapse(t *testing.T) {
	base := weather(day.North, 1991, 2020, 9, 12, 3)
	at := func(height float64) *climate.Daily {
		d := climate.Move(base, climate.Shift{Day: -0.006 * height, Night: -0.006 * height})
		return &d
	}
	short := at(700)
	lose(short, day.Of(1991, 1, 1), 3000, short.TMax)
	stations := []climate.Placed{placed("A", 0, 0, at(0)), placed("B", 5, 300, at(300)), placed("C", 9, 700, short)}
	got := climate.FittedLapse(stations, span(30))
	if !got.OK || !near(got.CPerKm, 6, 0.02) || got.Stations != 3 || got.RangeM != 700 {
		t.Errorf("%+v, want 6 °C per km of 3 stations over 700 m", got)
	}
	if two := climate.FittedLapse(stations[:2], span(30)); two.OK || two.Stations != 2 {
		t.Errorf("two stations give %+v", two)
	}
	level := []climate.Placed{placed("A", 0, 50, at(0)), placed("B", 5, 50, at(300)), placed("C", 9, 50, at(100))}
	if got := climate.FittedLapse(level, span(30)); got.OK {
		t.Errorf("stations of one height give %+v", got)
	}
	stations = append(stations, placed("U", 3, math.NaN(), at(900)))
	if again := climate.FittedLapse(stations, span(30)); again != got {
		t.Errorf("a station of unknown height changes %+v to %+v", got, again)
	}
}
