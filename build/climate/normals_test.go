package climate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// springs makes one season a rank, from 1991 on: the last spring and the first
// autumn freeze (Tmin ≤ 0) both on that rank; 0 is a season without.
func springs(ranks ...int) []climate.Season {
	out := make([]climate.Season, len(ranks))
	for i, r := range ranks {
		f := climate.Freeze{Outcome: climate.Never}
		if r > 0 {
			f = climate.Freeze{Outcome: climate.Found, Rank: day.Rank(r), Date: day.North.InSeason(1991+i, day.Rank(r))}
		}
		out[i].Year = 1991 + i
		out[i].Last[climate.Zero], out[i].First[climate.Zero] = f, f
	}
	return out
}

func span(n int) climate.Span { return climate.Span{First: 1991, Last: 1991 + n - 1} }

func TestMeasuresInOrder(t *testing.T) {
	want := []string{
		"last_spring_freeze_0", "first_autumn_freeze_0", "freeze_free_days_0",
		"last_spring_freeze_p22", "first_autumn_freeze_p22", "freeze_free_days_p22",
		"last_spring_freeze_m22", "first_autumn_freeze_m22", "freeze_free_days_m22",
		"last_spring_freeze_m44", "first_autumn_freeze_m44", "freeze_free_days_m44",
		"frost_days", "ice_days", "summer_days", "tropical_nights", "gsl_days", "heat_cd_base8",
		"winter_min_c", "chill_portions", "chill_hours", "utah_units", "precip_mm",
	}
	for _, month := range []string{"tmin_mean_", "tmax_mean_", "precip_"} {
		for m := range 12 {
			want = append(want, fmt.Sprintf("%s%02d", month, m+1))
		}
	}
	want = append(want, "hardiness_zone")
	var got []string
	for _, m := range climate.Measures(8) {
		got = append(got, m.Name)
	}
	for i := range max(len(got), len(want)) {
		if at := func(list []string) string { return append(list, "the end", "the end")[min(i, len(list))] }; at(got) != at(want) {
			t.Errorf("column %d of seasons.csv (or row of normals.csv) is %s, want %s: a new one is named above, and none moves without need, as readers may go by their order", i, at(got), at(want))
			break
		}
	}
	// Every measure reads a field of its own.
	s := weather(day.North, 2001, 2002, 9, 12, 1)
	ns := climate.Normals(climate.Seasons(s, climate.DefaultHeat()), climate.Span{First: 2002, Last: 2002}, 10)
	seen := map[float64]string{}
	for _, n := range ns {
		if n.Measure == "hardiness_zone" || n.Unit == "days" || n.Unit == "date" {
			continue
		}
		if other, twice := seen[n.Mean.V]; twice || !n.Mean.OK {
			t.Errorf("%s has the value %v of %s", n.Measure, n.Mean, other)
		}
		seen[n.Mean.V] = n.Measure
	}
}

func TestPercentilesOfDates(t *testing.T) {
	// Eleven dates: the 10 % point is the second, no interpolation.
	ns := climate.Normals(springs(100, 101, 102, 103, 104, 105, 106, 107, 108, 109, 110), span(11), 10)
	for i, p := range normal(t, ns, "last_spring_freeze_0").P {
		if p != (climate.Point{V: float64(101 + i), OK: true}) {
			t.Errorf("%d %%: %v, want %d", 10*(i+1), p, 101+i)
		}
	}
	// QU-3 of CHECKS (base R, type 7: 99.5, 113.5, 127.4), rounded to the
	// cautious side: later in spring, earlier in autumn.
	sample := []int{95, 100, 104, 108, 112, 115, 118, 121, 126, 140}
	ns = climate.Normals(springs(sample...), span(10), 10)
	spring, autumn := normal(t, ns, "last_spring_freeze_0"), normal(t, ns, "first_autumn_freeze_0")
	for i, want := range map[int][2]float64{0: {100, 99}, 4: {114, 113}, 8: {128, 127}} {
		if spring.P[i].V != want[0] || autumn.P[i].V != want[1] {
			t.Errorf("%d %%: spring %v, autumn %v; want %v", 10*(i+1), spring.P[i], autumn.P[i], want)
		}
	}
	// The mean of these is 113.9.
	if spring.Mean.V != 114 || autumn.Mean.V != 113 {
		t.Errorf("means %v and %v, want 114 and 113", spring.Mean, autumn.Mean)
	}
	// A whole mean stays.
	ns = climate.Normals(springs(99, 100, 101), span(3), 10)
	if a, b := normal(t, ns, "last_spring_freeze_0").Mean.V, normal(t, ns, "first_autumn_freeze_0").Mean.V; a != 100 || b != 100 {
		t.Errorf("means %v and %v of 99, 100, 101", a, b)
	}
}

// Seasons without a freeze stand before all dates in spring, after all in
// autumn; a point with any weight on one is none; mean and trend leave them
// out.
func TestPercentilesWithoutFreeze(t *testing.T) {
	ns := climate.Normals(springs(0, 100, 101, 102, 0, 104, 105, 106, 107, 108, 109), span(11), 10)
	spring, autumn := normal(t, ns, "last_spring_freeze_0"), normal(t, ns, "first_autumn_freeze_0")
	// Sorted in spring: none, none, 100, 101 ... 109 without 103.
	if !spring.P[0].None || spring.P[1] != (climate.Point{V: 100, OK: true}) || spring.P[8].V != 108 {
		t.Errorf("spring 10, 20, 90 %%: %v %v %v, want none, 100, 108", spring.P[0], spring.P[1], spring.P[8])
	}
	if autumn.P[0].V != 101 || autumn.P[7].V != 109 || !autumn.P[8].None {
		t.Errorf("autumn 10, 80, 90 %%: %v %v %v, want 101, 109, none", autumn.P[0], autumn.P[7], autumn.P[8])
	}
	if spring.Years != 11 || spring.YearsWith != 9 || spring.Mean.V != 105 {
		t.Errorf("years %d, with a freeze %d, mean %v; want 11, 9, 105 (942/9 rounded up)", spring.Years, spring.YearsWith, spring.Mean)
	}
	if spring.Trend.OK {
		t.Error("9 dates make a trend")
	}
	// One more season and the 20 % point lies between none and a date.
	ns = climate.Normals(springs(0, 0, 0, 100, 101, 102, 103, 104, 105, 106, 107, 108, 109), span(13), 10)
	if p := normal(t, ns, "last_spring_freeze_0").P[1]; !p.None {
		t.Errorf("20 %% of 13 with 3 without is %v, want none (place 2.4)", p)
	}
	if n := normal(t, ns, "last_spring_freeze_0"); n.Low[0].OK || !n.High[0].OK {
		t.Errorf("13 seasons bound the 10 %% point by %v and %v, want no low end", n.Low[0], n.High[0])
	}
	// Of 30 the low end of the 10 % point is the first: a season without.
	ranks := make([]int, 30)
	for i := 1; i < 30; i++ {
		ranks[i] = 100 + i
	}
	ns = climate.Normals(springs(ranks...), span(30), 10)
	if n := normal(t, ns, "last_spring_freeze_0"); !n.Low[0].None || !n.Low[0].OK || n.P[0].None {
		t.Errorf("the 10 %% point of 30 is %v, its low end %v; want a date, none", n.P[0], n.Low[0])
	}
	// No freeze in any season.
	n := normal(t, climate.Normals(springs(0, 0, 0), span(3), 10), "last_spring_freeze_0")
	if n.Years != 3 || n.YearsWith != 0 || n.Mean.OK || !n.P[4].None || !n.P[4].OK {
		t.Errorf("no freeze at all: %+v", n)
	}
	// No valid season.
	if n = normal(t, climate.Normals(make([]climate.Season, 3), span(3), 10), "last_spring_freeze_0"); n.Years != 0 || n.P[4].OK || n.Mean.OK {
		t.Errorf("no valid season: %+v", n)
	}
}

// Thom's two-part rule (Thom 1959; Koss et al. 1988, CHECKS NF-8): the last
// freeze falls on d or later with chance q·(1 - F(d)), q the share of seasons
// with a freeze and F the distribution of dates in those; so the date of
// chance p is the (1 - p/q)-quantile of F. NF-9 has the levels for q = 0.8.
func TestThomsTwoPartRule(t *testing.T) {
	levels := map[float64]float64{0.1: 0.875, 0.2: 0.75, 0.5: 0.375, 0.7: 0.125, 0.8: 0}
	for p, want := range levels {
		if got := 1 - p/0.8; !near(got, want, 1e-12) {
			t.Errorf("NF-9: level for p %v is %v, want %v", p, got, want)
		}
	}
	r := rand.New(rand.NewPCG(11, 12))
	for range 20 {
		ranks := make([]int, 60)
		var with []float64
		for i := range ranks {
			if i%5 == 0 {
				continue // one season in five has no freeze: q = 0.8
			}
			ranks[i] = 110 + int(math.Round(12*r.NormFloat64()))
			with = append(with, float64(ranks[i]))
		}
		slices.Sort(with)
		ns := climate.Normals(springs(ranks...), span(60), 10)
		spring, autumn := normal(t, ns, "last_spring_freeze_0"), normal(t, ns, "first_autumn_freeze_0")
		for i, point := range spring.P {
			// In spring the percentile L is the date of chance p = 1 - L; in
			// autumn, "on d or earlier", it is p = L with F turned round.
			p := 1 - float64(i+1)/10
			mirror := autumn.P[8-i]
			switch {
			case p > 0.8+1e-9:
				if !point.None || !mirror.None {
					t.Errorf("chance %v is more than q, yet there are dates: %v, %v", p, point, mirror)
				}
			case p < 0.8-1e-9:
				level := 1 - p/0.8
				if want := climate.Quantile(with, level); math.Abs(point.V-want) > 2.5 || point.None {
					t.Errorf("spring, chance %.1f: %v, two-part rule %v", p, point, want)
				}
				if want := climate.Quantile(with, 1-level); math.Abs(mirror.V-want) > 2.5 || mirror.None {
					t.Errorf("autumn, chance %.1f: %v, two-part rule %v", p, mirror, want)
				}
			}
		}
	}
}

// A normal needs 80 % of its years: 24 of 30, not 23 (WMO-No. 1203, CHECKS
// WN-6). Below that the figures stay.
func TestEnoughYears(t *testing.T) {
	for _, c := range []struct {
		valid  int
		enough bool
	}{{24, true}, {23, false}, {30, true}, {0, false}} {
		seasons := make([]climate.Season, 30)
		for i := range seasons {
			seasons[i].Year = 1991 + i
			if i < c.valid {
				seasons[i].Heat = climate.Value{V: float64(1000 + i), OK: true}
			}
		}
		n := normal(t, climate.Normals(seasons, span(30), 10), "heat_cd_base10")
		if n.Enough != c.enough || n.Years != c.valid || n.P[4].OK != (c.valid > 0) {
			t.Errorf("%d of 30: enough %v, years %d, median %v", c.valid, n.Enough, n.Years, n.P[4])
		}
	}
	if !climate.EnoughYears(12, climate.Span{First: 2006, Last: 2020}) || climate.EnoughYears(11, climate.Span{First: 2006, Last: 2020}) {
		t.Error("80 % of 15 years is 12")
	}
	// Years outside the span do not count, years without a season do.
	seasons := springs(100, 101, 102)
	if n := normal(t, climate.Normals(seasons, climate.Span{First: 1992, Last: 1995}, 10), "last_spring_freeze_0"); n.Years != 2 || n.Enough {
		t.Errorf("2 of 4 years: %d, enough %v", n.Years, n.Enough)
	}
}

func TestTrendOfNormals(t *testing.T) {
	seasons := make([]climate.Season, 30)
	for i := range seasons {
		seasons[i].Year = 1991 + i
		if i != 7 { // a gap does not bend the line
			seasons[i].WinterMin = climate.Value{V: -30 + 0.05*float64(i), OK: true}
		}
	}
	ns := climate.Normals(seasons, span(30), 10)
	n := normal(t, ns, "winter_min_c")
	if !n.Trend.OK || !near(n.Trend.V, 0.5, 1e-9) || n.TrendP.V > 1e-9 {
		t.Errorf("trend %v, p %v; want 0.5 a decade, p near 0", n.Trend, n.TrendP)
	}
	// The zone is that of the unrounded mean, -29.29 °C: 4b begins at -31.7, 5a
	// at -28.9 (USDA, CHECKS section 6).
	z := normal(t, ns, "hardiness_zone")
	if z.Zone != "4b" || z.Years != 29 || !z.Enough || z.Mean.OK || z.P[0].OK || z.Trend.OK {
		t.Errorf("zone row: %+v", z)
	}
	if n := normal(t, climate.Normals(seasons[:9], span(9), 10), "winter_min_c"); n.Trend.OK || !n.Mean.OK {
		t.Errorf("8 values: trend %v, mean %v", n.Trend, n.Mean)
	}
}

// Percentiles of every measure are monotone and lie within their intervals;
// the colder the threshold, the earlier in spring and the later in autumn
// (NF-7). The climates go from freezing every year to hardly ever.
func TestNormalsAreOrdered(t *testing.T) {
	for seed, mean := range []float64{4, 9, 14, 17} {
		d := weather(day.North, 1990, 2020, mean, 11, uint64(seed))
		ns := climate.Normals(climate.Seasons(d, climate.DefaultHeat()), span(30), 10)
		place := func(n *climate.Normal, p climate.Point) float64 {
			switch {
			case !p.None:
				return p.V
			case n.Measure[:4] == "last":
				return math.Inf(-1)
			}
			return inf
		}
		for i := range ns {
			n := &ns[i]
			if n.Unit == "zone" {
				continue
			}
			for k := 1; k < 9; k++ {
				if place(n, n.P[k]) < place(n, n.P[k-1]) {
					t.Errorf("mean %v, %s: %d %% is %v, %d %% %v", mean, n.Measure, 10*k, n.P[k-1], 10*k+10, n.P[k])
				}
			}
			for k := range n.P {
				if !n.Low[k].OK || !n.High[k].OK {
					t.Errorf("mean %v, %s: 30 years give no interval for point %d", mean, n.Measure, k)
				}
				if place(n, n.Low[k]) > place(n, n.P[k]) || place(n, n.High[k]) < place(n, n.P[k]) {
					t.Errorf("mean %v, %s: point %v outside %v-%v", mean, n.Measure, n.P[k], n.Low[k], n.High[k])
				}
			}
		}
		for _, kind := range []struct {
			name string
			sign float64
		}{{"last_spring_freeze", -1}, {"first_autumn_freeze", 1}, {"freeze_free_days", 1}} {
			names := []string{"_p22", "_0", "_m22", "_m44"} // from mild to cold
			for k := 1; k < 4; k++ {
				mild, cold := normal(t, ns, kind.name+names[k-1]), normal(t, ns, kind.name+names[k])
				for i := range mild.P {
					if kind.sign*(place(&cold, cold.P[i])-place(&mild, mild.P[i])) < 0 {
						t.Errorf("mean %v, %s, %d %%: %s %v, %s %v", mean, kind.name, 10*(i+1), names[k-1], mild.P[i], names[k], cold.P[i])
					}
				}
			}
		}
	}
}

// The median of lengths is not the difference of median dates (Lupton, CHECKS
// section 5).
func TestMedianLengthIsItsOwn(t *testing.T) {
	lengths := []climate.Season{{Year: 1991}, {Year: 1992}, {Year: 1993}}
	for i, c := range [][3]int{{100, 300, 199}, {120, 310, 189}, {140, 301, 160}} {
		s := &lengths[i]
		s.Last[climate.Zero] = climate.Freeze{Outcome: climate.Found, Rank: day.Rank(c[0])}
		s.First[climate.Zero] = climate.Freeze{Outcome: climate.Found, Rank: day.Rank(c[1])}
		s.Free[climate.Zero] = climate.Value{V: float64(c[2]), OK: true}
	}
	ns := climate.Normals(lengths, span(3), 10)
	last, first, free := normal(t, ns, "last_spring_freeze_0"), normal(t, ns, "first_autumn_freeze_0"), normal(t, ns, "freeze_free_days_0")
	if free.P[4].V != 189 || first.P[4].V-last.P[4].V-1 == free.P[4].V {
		t.Errorf("median length %v, dates %v and %v", free.P[4].V, last.P[4].V, first.P[4].V)
	}
}
