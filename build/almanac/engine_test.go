package almanac_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
)

func TestSeasonFiguresOfATown(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false), weather(t, "hill", 1985, 2024, -1, false))
	low, hollow := town(t, b, "low"), town(t, b, "hollow")
	if n := low.Normal("chill_portions"); n == nil || n.Years != 30 || !(n.Mean.V > 0) {
		t.Errorf("chill of a town with a latitude: %+v", n)
	}
	// A colder winter is reached more seldom.
	r := low.Returns
	if low.ReturnWinters != 30 || !r[0].OK || !r[1].OK || !(r[1].V <= r[0].V) || !(r[0].Low <= r[0].V && r[0].V <= r[0].High) {
		t.Errorf("return levels %+v of %d winters", r, low.ReturnWinters)
	}
	if d := r[0].V - hollow.Returns[0].V; math.Abs(d-3) > 0.11 {
		t.Errorf("the hollow's cold of one winter in ten lies %v °C lower, want 3", d)
	}
	// The chance of a freeze to come never rises through spring, is nil after
	// 31 July, and agrees with the percentile that pages print.
	if len(low.SpringRisk) != 212 {
		t.Fatalf("%d spring days", len(low.SpringRisk))
	}
	for i := 1; i < len(low.SpringRisk); i++ {
		for k := range climate.Thresholds {
			if low.SpringRisk[i].Chance[k].V > low.SpringRisk[i-1].Chance[k].V {
				t.Fatalf("the chance rises on day %d", i+1)
			}
		}
	}
	p90 := day.Rank(low.Normal("last_spring_freeze_0").P[8].V)
	if c := low.SpringRisk[p90-1].Chance[climate.Zero].V; c > 0.1+1e-9 {
		t.Errorf("after the 1-in-10 date a freeze still comes with chance %v", c)
	}
	for i := range low.HeatNormal {
		if low.HeatCool[i] > low.HeatNormal[i] || low.HeatNormal[i] > low.HeatWarm[i] {
			t.Fatalf("heat by day %d: cool %v, normal %v, warm %v", almanac.RankAt(i), low.HeatCool[i], low.HeatNormal[i], low.HeatWarm[i])
		}
	}
	if got, want := float64(low.HeatNormal[52]), low.Normal("heat_cd_base10").P[4].V; got != want {
		t.Errorf("the normal year ends at %v °C·d, the median is %v", got, want)
	}
	if may, july := low.Evaporation[4], low.Evaporation[6]; !may.OK || !(may.V < july.V) || july.V < 3 || july.V > 7 {
		t.Errorf("reference evapotranspiration: May %+v, July %+v mm a day", may, july)
	}
	if rain := low.Rain; !rain.OK || rain.From >= rain.Until || rain.Low > rain.Share || rain.Share > rain.High {
		t.Errorf("rain in the ripening weeks: %+v", rain)
	}
}

func TestLeaveOneOutPerZone(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false), weather(t, "hill", 1985, 2024, -1, false))
	if len(b.LeftOut) != 2 || b.LeftOut[0].ID != "hill" || b.LeftOut[0].Lead != "river" {
		t.Fatalf("%+v", b.LeftOut)
	}
	// The hill is 1 °C cooler in truth and 220 m · 6.5 °C/km = 1.43 °C by the
	// lapse: predicted too cool, by about 0.4 °C.
	if e := b.LeftOut[0].WinterMin; e.Years != 30 || math.Abs(e.Bias+0.43) > 0.06 {
		t.Errorf("winter minimum of the hill from the river: %+v", e)
	}
	if len(b.ZoneErrors) != 1 || b.ZoneErrors[0].ZoneID != "valley" || b.ZoneErrors[0].Stations != 1 {
		t.Errorf("%+v", b.ZoneErrors)
	}
	if b.Lapse.OK {
		t.Errorf("a lapse fitted to two stations: %+v", b.Lapse)
	}
}

// A warm step before the last 15 years is marked; a steady climate is not.
func TestRecentYearsMarked(t *testing.T) {
	steady := town(t, makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false)), "low")
	if steady.Differs("heat_cd_base10") {
		t.Error("a climate that stands still is marked")
	}
	river, warmer := weather(t, "river", 1985, 2024, 0, false), weather(t, "river", 1985, 2024, 1.5, false)
	before, err := os.ReadFile(river)
	if err != nil {
		t.Fatal(err)
	}
	after, err := os.ReadFile(warmer)
	if err != nil {
		t.Fatal(err)
	}
	const step = "2010-01-01"
	a, b := strings.Index(string(before), step), strings.Index(string(after), step)
	if err := os.WriteFile(river, append(before[:a], after[b:]...), 0o644); err != nil {
		t.Fatal(err)
	}
	stepped := town(t, makeBook(t, with(map[string]string{"data/club.toml": "name = \"x\"\nreference_years = \"1985-2014\"\n"}), almanac.Options{}, river), "low")
	if !stepped.Differs("heat_cd_base10") {
		t.Errorf("1.5 °C more is not marked: %+v, %+v", stepped.Normal("heat_cd_base10"), stepped.RecentNormal("heat_cd_base10"))
	}
	if steady.Differs("no such measure") {
		t.Error("a measure that is not there is marked")
	}
}

// cut ends a plain record before the line that starts with a date.
func cut(t *testing.T, path, date string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	i := strings.Index(string(data), date)
	if err := os.WriteFile(path, data[:i], 0o644); err != nil {
		t.Fatal(err)
	}
}

// graft puts the days of old before a date in the place of those of path.
func graft(t *testing.T, old, path, date string) {
	t.Helper()
	a, err := os.ReadFile(old)
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	i, j := strings.Index(string(a), date), strings.Index(string(b), date)
	if err := os.WriteFile(path, append(a[:i:i], b[j:]...), 0o644); err != nil {
		t.Fatal(err)
	}
}

func lineOf(t *testing.T, path string, n int) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(data), "\n")[n-1]
}
