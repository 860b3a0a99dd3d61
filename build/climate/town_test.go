package climate_test

import (
	"math"
	"slices"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

func TestDistanceKm(t *testing.T) {
	quarter := climate.EarthRadiusKm * math.Pi / 2
	for _, c := range []struct {
		name                   string
		lat1, lon1, lat2, lon2 float64
		want                   float64
	}{
		// Source: geometry of a sphere.
		{"nowhere", 45, 7, 45, 7, 0},
		{"a quarter of the equator", 0, 0, 0, 90, quarter},
		{"equator to pole", 0, 20, 90, 77, quarter},
		{"over the date line", 0, 179, 0, -179, quarter / 45},
		{"antipodes", 30, 10, -30, -170, 2 * quarter},
	} {
		if got := climate.DistanceKm(c.lat1, c.lon1, c.lat2, c.lon2); !near(got, c.want, 1e-6) {
			t.Errorf("%s: %v km, want %v", c.name, got, c.want)
		}
	}
}

func TestChooseLead(t *testing.T) {
	for _, c := range []struct {
		name  string
		in    []climate.Candidate
		index int
		ok    bool
	}{
		{"none", nil, -1, false},
		{"no valid year", []climate.Candidate{{ID: "a"}}, -1, false},
		{"10 km count as 50 m", []climate.Candidate{{"a", 30, 0, 30}, {"b", 10, 99, 30}, {"c", 0, 151, 30}}, 1, true},
		{"below counts as above", []climate.Candidate{{"a", 10, -120, 30}, {"b", 10, 100, 30}}, 1, true},
		{"a short record does not lead", []climate.Candidate{{"a", 1, 0, 23}, {"b", 80, 0, 24}}, 1, true},
		{"ties go to the lesser id", []climate.Candidate{{"b", 20, 0, 30}, {"a", 0, 100, 30}, {"c", 10, 50, 30}}, 1, true},
		{"all short: nearest with any year", []climate.Candidate{{"a", 1, 0, 0}, {"b", 9, 0, 3}, {"c", 5, 0, 2}}, 2, false},
		{"unknown height", []climate.Candidate{{"a", 1, math.NaN(), 30}, {"b", 50, 0, 30}}, 1, true},
	} {
		if i, ok := climate.ChooseLead(c.in); i != c.index || ok != c.ok {
			t.Errorf("%s: %d %v, want %d %v", c.name, i, ok, c.index, c.ok)
		}
	}
}

func TestShiftFor(t *testing.T) {
	for _, c := range []struct {
		name                 string
		height, dayOff, nOff float64
		want                 climate.Shift
	}{
		{"200 m higher: both cool", 200, 0, 0, climate.Shift{Day: -1.3, Night: -1.3}},
		{"200 m lower: days only", -200, 0, 0, climate.Shift{Day: 1.3, Night: 0}},
		{"a warm wall", -200, 0.5, 1, climate.Shift{Day: 1.8, Night: 1}},
		{"a hollow below", -200, 0, -2, climate.Shift{Day: 1.3, Night: -2}},
		{"level", 0, 0, 0, climate.Shift{}},
	} {
		got := climate.ShiftFor(6.5, c.height, c.dayOff, c.nOff)
		if !near(got.Day, c.want.Day, 1e-12) || !near(got.Night, c.want.Night, 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestMove(t *testing.T) {
	d := &climate.Daily{First: day.Of(2001, 1, 1), Hemisphere: day.North,
		TMin: []quantity.Tenths{100, -53, gone, 98, 100}, TMax: []quantity.Tenths{200, -48, 150, 100, gone}}
	before := clone(d)
	up := climate.Move(d, climate.Shift{Day: -0.65, Night: -0.65})
	// -6.5 tenths: halves go away from zero, 93.5 to 94, -59.5 to -60, -54.5 to
	// -55; a range below 0.5 °C is opened downwards.
	if want := []quantity.Tenths{94, -60, gone, 89, 94}; !slices.Equal(up.TMin, want) {
		t.Errorf("Tmin %v, want %v", up.TMin, want)
	}
	if want := []quantity.Tenths{194, -55, 144, 94, gone}; !slices.Equal(up.TMax, want) {
		t.Errorf("Tmax %v, want %v", up.TMax, want)
	}
	if !slices.Equal(d.TMin, before.TMin) || !slices.Equal(d.TMax, before.TMax) {
		t.Error("Move changed its argument")
	}
	// Nothing moved, nothing enforced.
	if same := climate.Move(d, climate.Shift{}); !slices.Equal(same.TMin, d.TMin) || !slices.Equal(same.TMax, d.TMax) {
		t.Errorf("no shift gives %v, %v", same.TMin, same.TMax)
	}
	// A warm night never passes the day.
	warm := climate.Move(d, climate.Shift{Night: 30})
	for i, lo := range warm.TMin {
		if lo != gone && warm.TMax[i] != gone && lo > warm.TMax[i]-5 {
			t.Errorf("day %d: Tmin %d, Tmax %d", i, lo, warm.TMax[i])
		}
	}
}

func TestFill(t *testing.T) {
	whole := weather(day.North, 2001, 2006, 9, 12, 3)
	lead := clone(whole)
	// The other station is 1.5 °C warmer by night and, in July only, 2 °C
	// cooler by day; it runs on after lead ends.
	months := func(i int) int { _, m, _ := (whole.First + day.Date(i)).YMD(); return m }
	other := clone(whole)
	for i := range other.TMin {
		other.TMin[i] += 15
		if months(i) == 7 {
			other.TMax[i] -= 20
		}
	}
	end := int(day.Of(2006, 1, 1) - whole.First)
	lead.TMin, lead.TMax, lead.Precip = lead.TMin[:end], lead.TMax[:end], lead.Precip[:end]
	lose(lead, day.Of(2003, 7, 1), 31, lead.TMin, lead.TMax, lead.Precip)
	lose(lead, day.Of(2004, 1, 5), 3, lead.TMin)
	lose(other, day.Of(2004, 1, 6), 1, other.TMin)
	filled, nMin, nMax := climate.Fill(lead, other)
	if nMin != 33 || nMax != 31 || len(filled.TMin) != end {
		t.Fatalf("filled %d and %d in %d days, want 33 and 31 in %d", nMin, nMax, len(filled.TMin), end)
	}
	for i := range filled.TMin {
		d := whole.First + day.Date(i)
		missing := d == day.Of(2004, 1, 6)
		if want := whole.TMin[i]; !missing && filled.TMin[i] != want || missing && filled.TMin[i] != gone {
			t.Fatalf("%v: Tmin %d, want %d", d, filled.TMin[i], want)
		}
		if filled.TMax[i] != whole.TMax[i] {
			t.Fatalf("%v: Tmax %d, want %d", d, filled.TMax[i], whole.TMax[i])
		}
		if filled.FilledMin[i] != (lead.TMin[i] == gone && !missing) || filled.FilledMax[i] != (lead.TMax[i] == gone) {
			t.Fatalf("%v: marks %v, %v", d, filled.FilledMin[i], filled.FilledMax[i])
		}
		if filled.Precip[i] != lead.Precip[i] {
			t.Fatalf("%v: rain was filled", d)
		}
	}
	if lead.TMin[day.Of(2003, 7, 1)-lead.First] != gone || lead.FilledMin != nil {
		t.Error("Fill changed its argument")
	}
	// A second station adds nothing where the first has filled all it can, and
	// the marks stay.
	again, nMin, nMax := climate.Fill(&filled, whole)
	if nMin != 1 || nMax != 0 || !again.FilledMin[day.Of(2003, 7, 1)-lead.First] {
		t.Errorf("a second station filled %d and %d, want 1 and 0", nMin, nMax)
	}
}

// A month with too few common days is not filled: one January in common has 31
// days, two have 62.
func TestFillNeedsCommonDays(t *testing.T) {
	for _, c := range []struct {
		common, filled int
	}{{climate.MinCommonDays - 1, 0}, {climate.MinCommonDays, 5}} {
		lead, other := steady(day.North, 2001, 2003), steady(day.North, 2001, 2003)
		lose(lead, day.Of(2003, 1, 1), 5, lead.TMin)
		january := 0
		for i := range other.TMin {
			d := other.First + day.Date(i)
			if _, m, _ := d.YMD(); m != 1 || lead.TMin[i] == gone {
				continue
			}
			if january++; january > c.common {
				other.TMin[i] = gone
			}
		}
		if _, n, _ := climate.Fill(lead, other); n != c.filled {
			t.Errorf("%d common days: filled %d, want %d", c.common, n, c.filled)
		}
	}
	far := steady(day.North, 1950, 1960)
	if _, nMin, nMax := climate.Fill(steady(day.North, 2001, 2003), far); nMin != 0 || nMax != 0 {
		t.Error("records without a common day filled each other")
	}
}

// A filled value never puts Tmin above Tmax.
func TestFillKeepsOrder(t *testing.T) {
	lead, other := steady(day.North, 2001, 2003), steady(day.North, 2001, 2003)
	at := day.Of(2002, 7, 10) - lead.First
	lead.TMin[at], lead.TMax[at] = gone, 90 // a cold day at the lead alone
	filled, nMin, _ := climate.Fill(lead, other)
	if nMin != 0 || filled.TMin[at] != gone || filled.FilledMin[at] || filled.TMax[at] != 90 {
		t.Errorf("filled %d: Tmin %d, Tmax %d", nMin, filled.TMin[at], filled.TMax[at])
	}
}
