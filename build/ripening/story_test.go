package ripening_test

import (
	"math"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/ripening"
)

// onDay is the calendar day of season 2001 with a rank.
func onDay(h day.Hemisphere, r day.Rank) day.Date { return h.InSeason(2001, r) }

func TestGrowersOwnDates(t *testing.T) {
	planned := plainPot
	planned.Planned, planned.IndoorC, planned.IndoorShare = true, 20, 0.75 // 7.5 °C·d a day
	y := steady(day.North, 20, 20, nil)                                    // 10 °C·d a day
	on := func(r day.Rank) day.Date { return onDay(day.North, r) }
	for _, c := range []struct {
		name    string
		m       ripening.Method
		weeks   int
		st      ripening.Start
		leafOut day.Rank
		by      day.Rank
		heat    float64
	}{
		{"no dates: 100 °C·d at 7.5 from day 72", planned, 4, ripening.NoDates, 85, 99, 14 * 7.5},
		{"leafed indoors", planned, 4, ripening.Start{Woke: day.None, Leafed: on(60), Out: day.None}, 60, 110, 39*7.5 + 11*10},
		{"leafed outdoors", planned, 4, ripening.Start{Woke: day.None, Leafed: on(120), Out: day.None}, 120, 130, 100},
		{"leafed, natural, in its store", plainPot, 0, ripening.Start{Woke: day.None, Leafed: on(60), Out: day.None}, 60, 110, 500},
		{"woke indoors", planned, 4, ripening.Start{Woke: on(50), Leafed: day.None, Out: day.None}, 63, 99, 36 * 7.5},
		{"woke, natural", plainPot, 0, ripening.Start{Woke: on(50), Leafed: day.None, Out: day.None}, 59, 99, 400},
		{"out later, and so woken later", planned, 4, ripening.Start{Woke: day.None, Leafed: day.None, Out: on(110)}, 95, 120, 14*7.5 + 110},
		{"woke and out", planned, 0, ripening.Start{Woke: on(50), Leafed: day.None, Out: on(110)}, 63, 120, 46*7.5 + 110},
		{"leafed before the season", planned, 4, ripening.Start{Woke: day.None, Leafed: day.Of(2000, 12, 22), Out: day.None}, -9, 1, 10 * 7.5},
	} {
		s := ripening.NewSeason(y, &fig, &c.m)
		got := s.SupplyFrom(100, c.weeks, c.st)
		if !got.Leafed || got.LeafOut != c.leafOut || !near(got.HeatAt(c.by), c.heat) {
			t.Errorf("%s: leaf-out on day %d, %v °C·d by day %d; want day %d, %v", c.name, got.LeafOut, got.HeatAt(c.by), c.by, c.leafOut, c.heat)
		}
	}
	// Before 1 January H counts too.
	s := ripening.NewSeason(y, &fig, &planned)
	u := s.SupplyFrom(100, 4, ripening.Start{Woke: day.None, Leafed: day.Of(2000, 12, 22), Out: day.None})
	if got := u.HeatOn(day.Of(2000, 12, 30)); !near(got, 60) {
		t.Errorf("%v °C·d on 30 December, want 60", got)
	}
	if got := u.HeatOn(day.Of(2000, 12, 22)); got != 0 {
		t.Errorf("%v °C·d on the day of leaf-out", got)
	}
	if got := u.HeatOn(day.Of(2002, 5, 1)); got != u.Heat {
		t.Errorf("%v °C·d after the season, want %v", got, u.Heat)
	}
	if u.Year() != y {
		t.Error("not the season's weather")
	}
}

func TestProofThatShootsLived(t *testing.T) {
	y := steady(day.North, 20, 20, map[day.Rank][2]float64{150: {-3, 20}})
	s := ripening.NewSeason(y, &fig, &plainPot)
	st := ripening.NoDates
	bare := s.SupplyFrom(1, 0, st)
	st.NoSetBacks = true
	told := s.SupplyFrom(1, 0, st)
	if bare.SetBacks != 1 || told.SetBacks != 0 || !(told.Heat > bare.Heat+1000) {
		t.Errorf("set-backs %d and %d, heat %v and %v", bare.SetBacks, told.SetBacks, bare.Heat, told.Heat)
	}
}

// A year cut off gives what the whole one gives up to that day.
func TestPartialYear(t *testing.T) {
	whole := steady(day.North, 12, 22, nil)
	for _, cut := range []day.Rank{40, 120, 200, 240} {
		change := map[day.Rank][2]float64{}
		for r := cut + 1; r <= 365; r++ {
			change[r] = [2]float64{nan, nan}
		}
		part := supply(steady(day.North, 12, 22, change), plainPot, 1, 0)
		full := supply(whole, plainPot, 1, 0)
		d := onDay(day.North, cut)
		if !near(part.HeatOn(d), full.HeatOn(d)) || !near(part.Heat, full.HeatOn(d)) {
			t.Errorf("cut off after day %d: %v °C·d by then, %v in all, want %v", cut, part.HeatOn(d), part.Heat, full.HeatOn(d))
		}
	}
}

func TestStory(t *testing.T) {
	frost := map[day.Rank][2]float64{150: {-3, 20}, 170: {-2, 20}}
	planned := plainPot
	planned.Planned, planned.IndoorC, planned.IndoorShare = true, 20, 0.75
	y := steady(day.North, 20, 20, frost)
	s := ripening.NewSeason(y, &fig, &planned).Story(100, 6, ripening.NoDates)
	if !s.HasWake || s.Wake != 58 || !s.HasOut || s.Out != 100 {
		t.Errorf("woken on %d (%v), out on %d (%v)", s.Wake, s.HasWake, s.Out, s.HasOut)
	}
	// Leaf-out on day 71, 28 days of 7.5 to day 99, 50 of 10 to day 149; then
	// full again on day 155, and 14 days of 10 to day 169.
	if want := 28*7.5 + 50*10 + 14*10; len(s.SetBackDays) != 2 || s.SetBackDays[0] != 150 || s.SetBackDays[1] != 170 || !near(s.LostHeat, want) {
		t.Errorf("set back on %v, %v °C·d lost, want %v", s.SetBackDays, s.LostHeat, want)
	}
	// Counting again after day 175 (24 June): six days of June, all of July.
	if !near(s.ByMonth[4], 0) || !near(s.ByMonth[5], 60) || !near(s.ByMonth[6], 310) {
		t.Errorf("by month %v", s.ByMonth)
	}
	if s.Ended != ripening.ByShortDays || s.EndDay != s.LastDay+1 || !near(s.EndValue, climate.DayLength(45, int(s.EndDay))) || s.EndValue > 10 {
		t.Errorf("ended by %v on day %d with %v", s.Ended, s.EndDay, s.EndValue)
	}
	ground := plainPot
	ground.Ground = true
	if g := ripening.NewSeason(y, &fig, &ground).Story(100, 0, ripening.NoDates); g.HasOut || g.HasWake {
		t.Errorf("a tree in the ground is woken (%v) or put out (%v)", g.HasWake, g.HasOut)
	}

	// A freeze: its low.
	august := day.North.RankOf(8, 20)
	s = ripening.NewSeason(steady(day.North, 20, 20, map[day.Rank][2]float64{august: {-1.5, 20}}), &fig, &plainPot).Story(1, 0, ripening.NoDates)
	if s.Ended != ripening.ByFreeze || s.EndDay != august || !near(s.EndValue, -1.5) {
		t.Errorf("ended by %v on day %d with %v", s.Ended, s.EndDay, s.EndValue)
	}
	// The cold: one day of 20 and nine of 11 °C.
	change := map[day.Rank][2]float64{}
	for r := day.North.RankOf(9, 1); r <= 365; r++ {
		change[r] = [2]float64{6, 16}
	}
	s = ripening.NewSeason(steady(day.North, 20, 20, change), &fig, &plainPot).Story(1, 0, ripening.NoDates)
	if s.Ended != ripening.ByCold || s.EndDay != day.North.RankOf(9, 9) || !near(s.EndValue, 11.9) {
		t.Errorf("ended by %v on day %d with %v", s.Ended, s.EndDay, s.EndValue)
	}
	// In the tropics the year itself ends.
	warm := steady(day.North, 20, 20, nil)
	warm.Latitude = 5
	s = ripening.NewSeason(warm, &fig, &plainPot).Story(1, 0, ripening.NoDates)
	if s.EndDay != 365 || !math.IsNaN(s.EndValue) {
		t.Errorf("a year without an end ended on day %d with %v", s.EndDay, s.EndValue)
	}
}
