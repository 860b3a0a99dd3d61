package ripening_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/ripening"
)

var nan = math.NaN()

// fig has the limits of SCIENCE 5.
var fig = ripening.Crop{Base: 10, Upper: 30, LeafOutHeat: 100, ShootDamage: -1, RipeningFloor: 12, FruitEnd: 12, CropSpread: 200, BrebaDelay: 90, DiebackDelay: 300}

var plainPot = ripening.Method{Vent: 28, HeatFloor: nan, CarryBelow: nan}

// steady is a season of the same weather every day, at 45°; change may alter
// single days by day of season.
func steady(h day.Hemisphere, lo, hi float64, change map[day.Rank][2]float64) *ripening.Year {
	y := &ripening.Year{Season: 2001, Hemisphere: h, Latitude: 45 * float64(h), Valid: true}
	for range h.End(2001) - h.Start(2001) + 1 {
		y.TMin, y.TMax = append(y.TMin, lo), append(y.TMax, hi)
	}
	for r, v := range change {
		i := y.Index(r)
		y.TMin[i], y.TMax[i] = v[0], v[1]
	}
	return y
}

func supply(y *ripening.Year, m ripening.Method, out day.Rank, weeks int) ripening.Supply {
	return ripening.NewSeason(y, &fig, &m).Supply(out, weeks)
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

func TestLeafOutAndLastDayUnderSteadyHeat(t *testing.T) {
	// 20 °C day and night gives 10 °C·d a day: 100 °C·d of leaf-out heat are
	// full on the tenth day, and H counts from the eleventh.
	s := supply(steady(day.North, 20, 20, nil), plainPot, 1, 0)
	if !s.Leafed || s.LeafOut != 10 {
		t.Fatalf("leaf-out on day %d, want 10", s.LeafOut)
	}
	if s.Ended != ripening.ByShortDays {
		t.Errorf("ended by %v, want short days", s.Ended)
	}
	if n := climate.DayLength(45, int(s.LastDay)); n <= 10 {
		t.Errorf("last ripening day has %.2f h", n)
	}
	if n := climate.DayLength(45, int(s.LastDay)+1); n > 10 {
		t.Errorf("the day after the last still has %.2f h", n)
	}
	if want := 10 * float64(s.LastDay-s.LeafOut); !near(s.Heat, want) {
		t.Errorf("heat %v, want %v", s.Heat, want)
	}
	if got := s.HeatAt(20); !near(got, 100) {
		t.Errorf("heat by day 20 is %v, want 100", got)
	}
	if r, ok := s.RankWhen(95); !ok || r != 20 {
		t.Errorf("95 °C·d reached on day %v, want 20", r)
	}
	if r, ok := s.LastRankWith(95); !ok || r != s.LastDay-10 {
		t.Errorf("95 °C·d still to come after day %v, want %v", r, s.LastDay-10)
	}
}

func TestSetBack(t *testing.T) {
	frost := [2]float64{-1, 20}
	august := day.North.RankOf(8, 1)
	for _, c := range []struct {
		name     string
		frosts   []day.Rank
		setBacks int
		hFrom    day.Rank // H counts after this day
	}{
		// New shoots need half of 100 °C·d again: 5 days of 10.
		{"one", []day.Rank{150}, 1, 155},
		// While refilling there is no set-back; that day adds what it has.
		{"another while refilling", []day.Rank{150, 155}, 1, 156},
		{"another after refilling", []day.Rank{150, 160}, 2, 165},
		{"before leaf-out", []day.Rank{5}, 0, 11},
		{"on 31 July", []day.Rank{august - 1}, 1, august + 4},
	} {
		change := map[day.Rank][2]float64{}
		for _, r := range c.frosts {
			change[r] = frost
		}
		s := supply(steady(day.North, 20, 20, change), plainPot, 1, 0)
		if s.SetBacks != c.setBacks {
			t.Errorf("%s: %d set-backs, want %d", c.name, s.SetBacks, c.setBacks)
		}
		if want := 10 * float64(s.LastDay-c.hFrom); !near(s.Heat, want) {
			t.Errorf("%s: heat %v, want %v", c.name, s.Heat, want)
		}
		for r := day.Rank(2); r <= 365; r++ {
			if s.HeatAt(r) < s.HeatAt(r-1) {
				t.Fatalf("%s: heat falls on day %d", c.name, r)
			}
		}
	}
	// From 1 August on the same frost ends the season the day before.
	s := supply(steady(day.North, 20, 20, map[day.Rank][2]float64{august: frost}), plainPot, 1, 0)
	if s.SetBacks != 0 || s.Ended != ripening.ByFreeze || s.LastDay != august-1 {
		t.Errorf("frost on 1 August: %d set-backs, ended by %v on day %d", s.SetBacks, s.Ended, s.LastDay)
	}
	// Just above the limit nothing happens.
	s = supply(steady(day.North, 20, 20, map[day.Rank][2]float64{150: {-0.9, 20}}), plainPot, 1, 0)
	if s.SetBacks != 0 {
		t.Errorf("a low of -0.9 °C set the tree back")
	}
}

func TestColdEndsRipening(t *testing.T) {
	// From 1 September on the mean is 11 °C: the trailing mean of 10 days
	// falls below 12 on the ninth such day (20 + 9·... : 1·20 + 9·11 = 119 < 120),
	// and days below the floor of 12 add nothing.
	september := day.North.RankOf(9, 1)
	change := map[day.Rank][2]float64{}
	for r := september; r <= 365; r++ {
		change[r] = [2]float64{6, 16}
	}
	s := supply(steady(day.North, 20, 20, change), plainPot, 1, 0)
	if s.Ended != ripening.ByCold || s.LastDay != september+7 {
		t.Errorf("ended by %v on day %d, want cold on %d", s.Ended, s.LastDay, september+7)
	}
	if want := 10 * float64(september-1-10); !near(s.Heat, want) {
		t.Errorf("heat %v, want %v", s.Heat, want)
	}
	// A season cold from July on does not end before 1 August.
	for r := day.Rank(182); r <= 365; r++ {
		change[r] = [2]float64{6, 16}
	}
	if s = supply(steady(day.North, 20, 20, change), plainPot, 1, 0); s.LastDay != day.North.RankOf(8, 1) {
		t.Errorf("ended on day %d, never before 1 August", s.LastDay)
	}
}

func TestCarrying(t *testing.T) {
	m := plainPot
	m.CarryBelow, m.CarriedTo = 2, 8
	change := map[day.Rank][2]float64{5: {-3, 20}, 150: {-3, 20}, 151: {2, 20}, 152: {2.1, 20}, 364: {-3, 20}}
	s := supply(steady(day.North, 20, 20, change), m, 1, 0)
	if s.Carried != 2 {
		t.Errorf("%d nights carried, want 2: only from leaf-out to the last ripening day, at or below 2 °C", s.Carried)
	}
	if s.SetBacks != 0 {
		t.Errorf("a carried pot was set back")
	}
	bare := supply(steady(day.North, 20, 20, change), plainPot, 1, 0)
	if !(s.Heat > bare.Heat) {
		t.Errorf("carrying gave %v, not carrying %v", s.Heat, bare.Heat)
	}
	// Where the carried night is warmer than the day, heat sees them swapped.
	m.CarriedTo = 25
	s = supply(steady(day.North, 1, 15, nil), m, 1, 0)
	if !s.Leafed {
		t.Fatal("no leaf-out")
	}
	perDay := climate.SineDegreeDays(15, 25, 10, 30)
	if got := s.HeatAt(s.LeafOut+3) - s.HeatAt(s.LeafOut+2); !near(got, perDay) {
		t.Errorf("a carried day gives %v °C·d, want %v", got, perDay)
	}
}

func TestTentGains(t *testing.T) {
	for _, c := range []struct {
		name           string
		lo, hi         float64
		m              ripening.Method
		feltLo, feltHi float64
	}{
		{"day gain", 12, 16, ripening.Method{DayGain: 6, Vent: 28, HeatFloor: nan, CarryBelow: nan}, 12, 22},
		{"vented at 28", 12, 25, ripening.Method{DayGain: 6, Vent: 28, HeatFloor: nan, CarryBelow: nan}, 12, 28},
		{"never cooler than outdoors", 12, 29.5, ripening.Method{DayGain: 6, Vent: 28, HeatFloor: nan, CarryBelow: nan}, 12, 29.5},
		{"night gain", 12, 20, ripening.Method{NightGain: 2, Vent: 28, HeatFloor: nan, CarryBelow: nan}, 14, 20},
		// 140 W/K: from 8 to 15 °C takes 980 W.
		{"heater suffices", 8, 20, ripening.Method{Vent: 28, HeatFloor: 15, HeaterW: 980, LossWPerK: 140, CarryBelow: nan}, 15, 20},
		{"heater too small", 8, 20, ripening.Method{Vent: 28, HeatFloor: 15, HeaterW: 979, LossWPerK: 140, CarryBelow: nan}, 8, 20},
	} {
		s := supply(steady(day.North, c.lo, c.hi, nil), c.m, 1, 0)
		want := climate.SineDegreeDays(c.feltLo, c.feltHi, 10, 30)
		if got := s.HeatAt(200) - s.HeatAt(199); !near(got, want) {
			t.Errorf("%s: %v °C·d a day, want %v", c.name, got, want)
		}
	}
}

func TestHeadStart(t *testing.T) {
	m := plainPot
	m.Planned, m.IndoorC, m.IndoorShare = true, 20, 0.75
	y := steady(day.North, 10, 20, nil)
	out := day.Rank(140)
	before := supply(y, m, out, 2).Heat
	for w := 3; w <= 12; w++ {
		s := supply(y, m, out, w)
		// Leaf-out lies indoors: each week more adds 7 days of 7.5 °C·d.
		if got := s.Heat - before; !near(got, 7*0.75*10) {
			t.Errorf("week %d adds %v °C·d", w, got)
		}
		before = s.Heat
	}
	// 12 weeks before day 140 the tree wakes on day 56; 100 °C·d at 7.5 a day
	// are full on the 14th day.
	if s := supply(y, m, out, 12); s.LeafOut != 69 {
		t.Errorf("leaf-out on day %d, want 69", s.LeafOut)
	}
	// A wake date may lie in the year before.
	if s := supply(y, m, 30, 12); !s.Leafed || s.LeafOut != 30-84+13 || s.Heat <= 0 {
		t.Errorf("leaf-out on day %d, want %d", s.LeafOut, 30-84+13)
	}
	// The upper cut-off holds indoors too.
	m.IndoorC = 40
	cut := supply(y, m, out, 4)
	m.IndoorC = 30
	if at := supply(y, m, out, 4); !near(at.Heat, cut.Heat) {
		t.Errorf("40 °C indoors gives %v, 30 °C %v", cut.Heat, at.Heat)
	}
	// At 0 weeks a planned method is a cold pot.
	if a, b := supply(y, m, out, 0), supply(y, plainPot, out, 0); !near(a.Heat, b.Heat) || a.LeafOut != b.LeafOut {
		t.Errorf("0 weeks differ from a cold pot: %v, %v", a.Heat, b.Heat)
	}
}

// A pot in its store wakes by the outdoor heat, and a frost does not reach it
// there.
func TestStoredPotFeelsNoFrost(t *testing.T) {
	y := steady(day.North, 20, 20, map[day.Rank][2]float64{50: {-8, 20}})
	if s := supply(y, plainPot, 60, 0); s.SetBacks != 0 || s.LeafOut != 10 {
		t.Errorf("%d set-backs in store, leaf-out on day %d", s.SetBacks, s.LeafOut)
	}
	if s := supply(y, plainPot, 40, 0); s.SetBacks != 1 {
		t.Errorf("%d set-backs outdoors, want 1", s.SetBacks)
	}
	ground := plainPot
	ground.Ground = true
	if s := supply(y, ground, 365, 0); s.SetBacks != 1 {
		t.Errorf("%d set-backs in the ground, want 1: it has no out date", s.SetBacks)
	}
}

// The same weather laid from 1 July in the south gives the south's tree the
// same season, where the cold and not the day length ends it.
func TestSouthMirrorsNorth(t *testing.T) {
	change := map[day.Rank][2]float64{130: {-2, 14}}
	for r := day.Rank(255); r <= 365; r++ {
		change[r] = [2]float64{4, 15}
	}
	north := supply(steady(day.North, 9, 21, change), plainPot, 100, 0)
	south := supply(steady(day.South, 9, 21, change), plainPot, 100, 0)
	if !near(north.Heat, south.Heat) || north.LeafOut != south.LeafOut || north.SetBacks != south.SetBacks {
		t.Errorf("north %+v, south %+v", north.Heat, south.Heat)
	}
	// The tenth-day rules start one season-day apart (February has 28 days,
	// August comes after 30-day June), so the last day may differ by a day.
	if d := north.LastDay - south.LastDay; d < -1 || d > 1 {
		t.Errorf("last ripening day %d north, %d south", north.LastDay, south.LastDay)
	}
}

func TestMissingDaysAddNothing(t *testing.T) {
	full := supply(steady(day.North, 20, 20, nil), plainPot, 1, 0)
	gap := supply(steady(day.North, 20, 20, map[day.Rank][2]float64{330: {nan, nan}, 20: {nan, 20}}), plainPot, 1, 0)
	if !near(full.Heat-10, gap.Heat) {
		t.Errorf("with a missing day %v, without %v", gap.Heat, full.Heat)
	}
}
