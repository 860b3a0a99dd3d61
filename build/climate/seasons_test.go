package climate_test

import (
	"math"
	"strings"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// The boundaries of WMO-No. 1203 (CHECKS section 4: 10 scattered missing
// valid, 11 not; 4 consecutive valid, 5 not, in February too) and of the rules
// built on it, both sides of each.
func TestCompletenessBoundaries(t *testing.T) {
	north := steady(day.North, 2001, 2004)
	at := func(m, d int) day.Date { return day.Of(2003, m, d) }
	scatter := func(d *climate.Daily, from day.Date, n int, e []quantity.Tenths) {
		for k := range n {
			lose(d, from+day.Date(2*k), 1, e)
		}
	}
	for _, c := range []struct {
		name  string
		punch func(*climate.Daily)
		value func(climate.Season) climate.Value
		ok    bool
	}{
		{"month, 10 scattered", func(d *climate.Daily) { scatter(d, at(7, 1), 10, d.TMin) }, func(s climate.Season) climate.Value { return s.MonthMin[6] }, true},
		{"month, 11 scattered", func(d *climate.Daily) { scatter(d, at(7, 1), 11, d.TMin) }, func(s climate.Season) climate.Value { return s.MonthMin[6] }, false},
		{"month, the other element", func(d *climate.Daily) { scatter(d, at(7, 1), 11, d.TMin) }, func(s climate.Season) climate.Value { return s.MonthMax[6] }, true},
		{"month, 4 in a row", func(d *climate.Daily) { lose(d, at(7, 10), 4, d.TMax) }, func(s climate.Season) climate.Value { return s.MonthMax[6] }, true},
		{"month, 5 in a row", func(d *climate.Daily) { lose(d, at(7, 10), 5, d.TMax) }, func(s climate.Season) climate.Value { return s.MonthMax[6] }, false},
		{"February, 4 in a row", func(d *climate.Daily) { lose(d, at(2, 10), 4, d.TMax) }, func(s climate.Season) climate.Value { return s.MonthMax[1] }, true},
		{"February, 5 in a row", func(d *climate.Daily) { lose(d, at(2, 10), 5, d.TMax) }, func(s climate.Season) climate.Value { return s.MonthMax[1] }, false},
		{"5 in a row over the end of a month", func(d *climate.Daily) { lose(d, at(6, 28), 5, d.TMax) }, func(s climate.Season) climate.Value { return s.MonthMax[5] }, true},
		{"rain, whole", func(d *climate.Daily) {}, func(s climate.Season) climate.Value { return s.Precip }, true},
		{"rain, one missing", func(d *climate.Daily) { lose(d, at(7, 10), 1, d.Precip) }, func(s climate.Season) climate.Value { return s.Precip }, false},
		{"rain of that month", func(d *climate.Daily) { lose(d, at(7, 10), 1, d.Precip) }, func(s climate.Season) climate.Value { return s.MonthPrecip[6] }, false},
		{"rain of the next", func(d *climate.Daily) { lose(d, at(7, 10), 1, d.Precip) }, func(s climate.Season) climate.Value { return s.MonthPrecip[7] }, true},
		{"heat, 10 scattered", func(d *climate.Daily) { scatter(d, at(6, 1), 10, d.TMin) }, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, 11 scattered", func(d *climate.Daily) { scatter(d, at(6, 1), 11, d.TMin) }, func(s climate.Season) climate.Value { return s.Heat }, false},
		{"heat, 6 of Tmin and 5 of Tmax", func(d *climate.Daily) { scatter(d, at(6, 1), 6, d.TMin); scatter(d, at(8, 1), 5, d.TMax) }, func(s climate.Season) climate.Value { return s.Heat }, false},
		{"heat, 4 in a row", func(d *climate.Daily) { lose(d, at(6, 10), 4, d.TMin, d.TMax) }, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, 5 in a row", func(d *climate.Daily) { lose(d, at(6, 10), 5, d.TMin) }, func(s climate.Season) climate.Value { return s.Heat }, false},
		{"heat, 4 of each element, 8 days", func(d *climate.Daily) { lose(d, at(6, 10), 4, d.TMin); lose(d, at(6, 14), 4, d.TMax) }, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, January and February gone", func(d *climate.Daily) { lose(d, at(1, 1), 59, d.TMin, d.TMax) }, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, November and December gone", func(d *climate.Daily) { lose(d, at(11, 1), 61, d.TMin, d.TMax) }, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, a gap of 4 over the start", func(d *climate.Daily) { lose(d, at(2, 27), 4, d.TMin) }, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, a gap of 5 over the start", func(d *climate.Daily) { lose(d, at(2, 26), 5, d.TMin) }, func(s climate.Season) climate.Value { return s.Heat }, false},
		{"counts, 3 a month in 5 months", func(d *climate.Daily) {
			for m := 1; m <= 5; m++ {
				lose(d, at(m, 5), 3, d.TMin)
			}
		}, func(s climate.Season) climate.Value { return s.FrostDays }, true},
		{"counts, 16 a year", func(d *climate.Daily) {
			for m := 1; m <= 5; m++ {
				lose(d, at(m, 5), 3, d.TMin)
			}
			lose(d, at(8, 5), 1, d.TMin)
		}, func(s climate.Season) climate.Value { return s.FrostDays }, false},
		{"counts, 4 in a month", func(d *climate.Daily) { scatter(d, at(5, 1), 4, d.TMax) }, func(s climate.Season) climate.Value { return s.SummerDays }, false},
		{"tropical nights look at Tmin", func(d *climate.Daily) { scatter(d, at(5, 1), 4, d.TMax) }, func(s climate.Season) climate.Value { return s.TropicalNights }, true},
		{"ice days look at Tmax", func(d *climate.Daily) { scatter(d, at(5, 1), 4, d.TMin) }, func(s climate.Season) climate.Value { return s.IceDays }, true},
		{"the growing season looks at both", func(d *climate.Daily) { scatter(d, at(5, 1), 2, d.TMin); scatter(d, at(5, 11), 2, d.TMax) }, func(s climate.Season) climate.Value { return s.GSL }, false},
		{"frost days, 2 of each in a month", func(d *climate.Daily) { scatter(d, at(5, 1), 2, d.TMin); scatter(d, at(5, 11), 2, d.TMax) }, func(s climate.Season) climate.Value { return s.FrostDays }, true},
		{"winter, 10 scattered from December", func(d *climate.Daily) { scatter(d, day.Of(2002, 12, 20), 10, d.TMin) }, func(s climate.Season) climate.Value { return s.WinterMin }, true},
		{"winter, 11 scattered", func(d *climate.Daily) { scatter(d, day.Of(2002, 12, 20), 11, d.TMin) }, func(s climate.Season) climate.Value { return s.WinterMin }, false},
		{"winter, 4 in a row over the new year", func(d *climate.Daily) { lose(d, day.Of(2002, 12, 30), 4, d.TMin) }, func(s climate.Season) climate.Value { return s.WinterMin }, true},
		{"winter, 5 in a row over the new year", func(d *climate.Daily) { lose(d, day.Of(2002, 12, 29), 5, d.TMin) }, func(s climate.Season) climate.Value { return s.WinterMin }, false},
		{"winter, November and March gone", func(d *climate.Daily) { lose(d, day.Of(2002, 11, 1), 30, d.TMin); lose(d, at(3, 1), 31, d.TMin) }, func(s climate.Season) climate.Value { return s.WinterMin }, true},
		{"winter, the next December gone", func(d *climate.Daily) { lose(d, at(12, 1), 31, d.TMin) }, func(s climate.Season) climate.Value { return s.WinterMin }, true},
	} {
		d := clone(north)
		c.punch(d)
		if got := c.value(season(t, d, 2003)); got.OK != c.ok {
			t.Errorf("%s: valid %v, want %v", c.name, got.OK, c.ok)
		}
	}
}

// The same windows six months later in the south.
func TestCompletenessSouth(t *testing.T) {
	south := steady(day.South, 2000, 2004)
	for _, c := range []struct {
		name  string
		from  day.Date
		days  int
		value func(climate.Season) climate.Value
		ok    bool
	}{
		{"heat, 31 August", day.Of(2003, 8, 20), 12, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"heat, 1 September", day.Of(2003, 8, 28), 5, func(s climate.Season) climate.Value { return s.Heat }, false},
		{"heat, 30 April", day.Of(2004, 4, 30), 5, func(s climate.Season) climate.Value { return s.Heat }, false},
		{"heat, 1 May", day.Of(2004, 5, 1), 20, func(s climate.Season) climate.Value { return s.Heat }, true},
		{"winter minimum, May", day.Of(2003, 5, 1), 31, func(s climate.Season) climate.Value { return s.WinterMin }, true},
		{"winter minimum, June", day.Of(2003, 6, 1), 5, func(s climate.Season) climate.Value { return s.WinterMin }, false},
		{"winter minimum, August", day.Of(2003, 8, 27), 5, func(s climate.Season) climate.Value { return s.WinterMin }, false},
		{"winter minimum, September", day.Of(2003, 9, 1), 30, func(s climate.Season) climate.Value { return s.WinterMin }, true},
		{"January mean is of the second year", day.Of(2004, 1, 1), 5, func(s climate.Season) climate.Value { return s.MonthMin[0] }, false},
		{"not of the first", day.Of(2003, 1, 1), 5, func(s climate.Season) climate.Value { return s.MonthMin[0] }, true},
	} {
		d := clone(south)
		lose(d, c.from, c.days, d.TMin, d.TMax)
		if got := c.value(season(t, d, 2003)); got.OK != c.ok {
			t.Errorf("%s: valid %v, want %v", c.name, got.OK, c.ok)
		}
	}
}

// Figures that can be told by hand on the invented steady climate: warm (12 to
// 24 °C) for the 153 days of May-September, else -5 to 3 °C.
func TestSteadyYear(t *testing.T) {
	for _, h := range []day.Hemisphere{day.North, day.South} {
		year := 2003 // 365 days in either hemisphere's label year but the south's 2003/04
		days := float64(h.End(year)-h.Start(year)) + 1
		warm := float64(h.On(year, 10, 1) - h.On(year, 5, 1))
		s := season(t, steady(h, 2001, 2005), year)
		for name, c := range map[string]struct {
			got  climate.Value
			want float64
		}{
			"free days":       {s.Free[climate.Zero], warm},
			"frost days":      {s.FrostDays, days - warm},
			"ice days":        {s.IceDays, 0},
			"summer days":     {s.SummerDays, 0},
			"tropical nights": {s.TropicalNights, 0},
			"growing season":  {s.GSL, warm},
			"heat":            {s.Heat, warm * 8},
			"heat by means":   {s.HeatMean, warm * 8},
			"winter minimum":  {s.WinterMin, -5},
			"rain":            {s.Precip, days},
			"January Tmin":    {s.MonthMin[0], map[day.Hemisphere]float64{day.North: -5, day.South: 12}[h]},
			"July Tmax":       {s.MonthMax[6], map[day.Hemisphere]float64{day.North: 24, day.South: 3}[h]},
			"April rain":      {s.MonthPrecip[3], 30},
		} {
			if !c.got.OK || !near(c.got.V, c.want, 1e-9) {
				t.Errorf("hemisphere %d, %s: %v, want %v", h, name, c.got, c.want)
			}
		}
		if !s.Complete || s.MissingDays != 0 || s.HeatFilled != 0 {
			t.Errorf("hemisphere %d: complete %v, missing %d, filled %d", h, s.Complete, s.MissingDays, s.HeatFilled)
		}
	}
}

// Strict and inclusive limits of the ETCCDI counts (Zhang et al. 2011; CHECKS
// section 3: FD and ID below 0, SU above 25, TR above 20).
func TestCountsAreStrict(t *testing.T) {
	for _, c := range []struct {
		lo, hi                      quantity.Tenths
		frost, ice, summer, tropics float64
	}{
		{0, 0, 0, 0, 0, 0}, {-1, 0, 365, 0, 0, 0}, {-1, -1, 365, 365, 0, 0},
		{200, 250, 0, 0, 0, 0}, {200, 251, 0, 0, 365, 0}, {201, 251, 0, 0, 365, 365},
	} {
		d := daily(day.North, day.Of(2001, 1, 1), day.Of(2001, 12, 31), func(day.Date) (lo, hi, rain quantity.Tenths) { return c.lo, c.hi, gone })
		s := season(t, d, 2001)
		if s.FrostDays.V != c.frost || s.IceDays.V != c.ice || s.SummerDays.V != c.summer || s.TropicalNights.V != c.tropics {
			t.Errorf("%d/%d: FD %v, ID %v, SU %v, TR %v", c.lo, c.hi, s.FrostDays, s.IceDays, s.SummerDays, s.TropicalNights)
		}
	}
}

func TestCompleteMissingAndYears(t *testing.T) {
	d := steady(day.North, 2001, 2004)
	if got := climate.Seasons(d, climate.DefaultHeat()); len(got) != 4 || got[0].Year != 2001 || got[3].Year != 2004 {
		t.Fatalf("4 years give %d seasons", len(got))
	}
	// The first winter reaches back before the record.
	if s := season(t, d, 2001); s.Complete || s.WinterMin.OK {
		t.Error("a winter without its December is valid")
	}
	if s := season(t, d, 2002); !s.Complete {
		t.Error("a whole year is not complete")
	}
	dry := clone(d)
	dry.Precip = nil
	if s := season(t, dry, 2002); !s.Complete || s.Precip.OK {
		t.Error("a record without rain must be complete without it, and have no sum")
	}
	lose(d, day.Of(2002, 7, 1), 1, d.Precip)
	if s := season(t, d, 2002); s.Complete || s.MissingDays != 0 {
		t.Error("a missing day of rain leaves the year complete, or counts as a day without temperatures")
	}
	short := clone(d)
	short.TMin, short.TMax, short.Precip = short.TMin[:800], short.TMax[:800], short.Precip[:800]
	lose(short, day.Of(2003, 2, 1), 3, short.TMin)
	s := season(t, short, 2003)
	if s.MissingDays != 3+365-70 {
		t.Errorf("missing days %d, want 3 and the 295 after the record's end", s.MissingDays)
	}
	lose(d, day.Of(2003, 1, 1), 365, d.TMin, d.TMax, d.Precip)
	if got := climate.Seasons(d, climate.DefaultHeat()); len(got) != 3 || got[2].Year != 2004 {
		t.Errorf("a year without a value must not be there: %d seasons", len(got))
	}
	if got := climate.Seasons(&climate.Daily{}, climate.DefaultHeat()); len(got) != 0 {
		t.Errorf("an empty record has %d seasons", len(got))
	}
}

// Days filled from another station count for sums, means and counts of days,
// and never set the winter minimum.
func TestFilledDays(t *testing.T) {
	d := steady(day.North, 2001, 2004)
	d.FilledMin = make([]bool, len(d.TMin))
	k := day.Of(2003, 1, 15) - d.First
	d.TMin[k], d.FilledMin[k] = -300, true
	s := season(t, d, 2003)
	if s.WinterMin != (climate.Value{V: -5, OK: true}) {
		t.Errorf("winter minimum %v, want -5: the filled day must not set it", s.WinterMin)
	}
	if s.MissingDays != 0 || !s.Heat.OK || !near(s.MonthMin[0].V, (30*-5-30)/31.0, 1e-9) {
		t.Errorf("missing %d, heat %v, January %v: the filled day must count", s.MissingDays, s.Heat, s.MonthMin[0])
	}
}

func TestHeatSeriesFillsGaps(t *testing.T) {
	d := steady(day.North, 2001, 2003)
	at := day.Of(2002, 6, 10) - d.First
	d.TMin[at-1], d.TMin[at+4] = 100, 150
	lose(d, day.Of(2002, 6, 10), 4, d.TMin)
	lose(d, day.Of(2002, 12, 30), 3, d.TMax) // over the end of the year
	lose(d, day.Of(2002, 2, 1), 5, d.TMax)   // too long, outside March-October
	tmin, tmax, filled, valid := climate.HeatSeries(d, 2002)
	if len(tmin) != 365 || len(tmax) != 365 || filled != 4+2 || !valid {
		t.Fatalf("%d and %d days, %d filled, valid %v; want 365, 365, 6, true", len(tmin), len(tmax), filled, valid)
	}
	i := int(day.Of(2002, 6, 10) - day.Of(2002, 1, 1))
	for k, want := range []float64{10, 11, 12, 13, 14, 15} {
		if !near(tmin[i-1+k], want, 1e-9) {
			t.Errorf("day %d of the gap: %v, want %v", k, tmin[i-1+k], want)
		}
	}
	if !near(tmax[364], 3, 1e-9) || !math.IsNaN(tmax[31]) || !math.IsNaN(tmax[35]) || tmax[36] != 3 {
		t.Errorf("31 December %v, 1-6 February %v", tmax[364], tmax[31:37])
	}
	s := season(t, d, 2002)
	sum := 0.0
	for i := range tmin {
		if !math.IsNaN(tmin[i]) && !math.IsNaN(tmax[i]) {
			sum += climate.SineDegreeDays(tmin[i], tmax[i], 10, inf)
		}
	}
	if s.HeatFilled != 6 || !near(s.Heat.V, sum, 1e-9) {
		t.Errorf("season: %d filled, heat %v; series: 6, %v", s.HeatFilled, s.Heat.V, sum)
	}
	if _, _, _, valid := climate.HeatSeries(d, 2010); valid {
		t.Error("a season outside the record is valid")
	}
}

func TestHeatOptions(t *testing.T) {
	d := weather(day.North, 2001, 2003, 9, 12, 1)
	get := func(o climate.HeatOptions) climate.Season { return climate.Seasons(d, o)[1] }
	plain := get(climate.DefaultHeat())
	mean := get(climate.HeatOptions{Base: 10, Upper: inf, Mean: true})
	if mean.Heat != plain.HeatMean || mean.Heat.V >= plain.Heat.V {
		t.Errorf("mean method %v, beside the sine %v and %v", mean.Heat, plain.Heat, plain.HeatMean)
	}
	if capped := get(climate.HeatOptions{Base: 10, Upper: 20}); capped.Heat.V >= plain.Heat.V {
		t.Errorf("a cut-off of 20 °C leaves %v of %v", capped.Heat.V, plain.Heat.V)
	}
	last := 0.0
	for base := 20.0; base >= 0; base -= 0.5 {
		sum := get(climate.HeatOptions{Base: base, Upper: inf}).Heat.V
		if sum < last {
			t.Errorf("the sum falls from %v to %v as the base falls to %v", last, sum, base)
		}
		last = sum
	}
}

// A northern record laid day by day from 1 July gives the south the same sums,
// counts and winter minima; the free days too, where no freeze falls in the
// three days by which the halves differ. Years without a leap day in either.
func TestHemispheresMirror(t *testing.T) {
	checked := 0
	for seed := range uint64(8) {
		north := weather(day.North, 2001, 2003, 9, 12, seed)
		south := clone(north)
		south.Hemisphere, south.First = day.South, day.Of(2001, 7, 1)
		for _, y := range []int{2001, 2002} {
			n, s := season(t, north, y), season(t, south, y)
			figures := map[string][2]climate.Value{"heat by means": {n.HeatMean, s.HeatMean}}
			for _, m := range climate.SeasonMeasures(10) {
				switch {
				case m.IsDate() || strings.HasPrefix(m.Name, "freeze_free_"): // below
				case m.Policy == climate.ChillSum: // wants a latitude
				case m.Name == "winter_min_c" && y == 2001: // its first half lies before the records
				default:
					figures[m.Name] = [2]climate.Value{m.Value(&n), m.Value(&s)}
				}
			}
			if len(figures) < 8 {
				t.Fatalf("only %d figures compared", len(figures))
			}
			for name, p := range figures {
				if p[0] != p[1] || !p[0].OK {
					t.Errorf("seed %d, %d, %s: north %v, south %v", seed, y, name, p[0], p[1])
				}
			}
			for k := range climate.Thresholds {
				split := false
				for i := range 3 {
					at := day.Of(y, 8, 1) + day.Date(i) - north.First
					split = split || north.TMin[at] <= climate.Thresholds[k]
				}
				if split {
					continue
				}
				checked++
				if n.Free[k] != s.Free[k] || !n.Free[k].OK {
					t.Errorf("seed %d, %d, threshold %d: free days north %v, south %v", seed, y, k, n.Free[k], s.Free[k])
				}
			}
		}
	}
	if checked < 50 {
		t.Errorf("only %d pairs of free days compared", checked)
	}
}

// Ranks leave out 29 February, counts of days do not.
func TestLeapYear(t *testing.T) {
	d := steady(day.North, 2003, 2005)
	plain, leap := season(t, d, 2003), season(t, d, 2004)
	if plain.Last[climate.Zero].Rank != leap.Last[climate.Zero].Rank || leap.Last[climate.Zero].Rank != 120 {
		t.Errorf("30 April ranks %d and %d, want 120 in both", plain.Last[climate.Zero].Rank, leap.Last[climate.Zero].Rank)
	}
	if plain.FrostDays.V+1 != leap.FrostDays.V {
		t.Errorf("frost days %v and %v, want one more in the leap year", plain.FrostDays.V, leap.FrostDays.V)
	}
}
