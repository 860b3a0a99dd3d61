package page

import (
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
)

// The rule for "more than 9" and "fewer than 1" is the almanac's own
// definition: above 9.5 and below 0.5.
func TestYearsInTen(t *testing.T) {
	for _, c := range []struct {
		share       float64
		long, short string
	}{
		{0, "fewer than 1 year in 10", "under 1"},
		{0.04, "fewer than 1 year in 10", "under 1"},
		{0.05, "1 year in 10", "1"},
		{0.14, "1 year in 10", "1"},
		{0.15, "2 years in 10", "2"},
		{0.29, "3 years in 10", "3"},
		{0.5, "5 years in 10", "5"},
		{0.74, "7 years in 10", "7"},
		{0.75, "8 years in 10", "8"},
		{0.85, "9 years in 10", "9"},
		{0.94, "9 years in 10", "9"},
		{0.95, "more than 9 years in 10", "over 9"},
		{1, "more than 9 years in 10", "over 9"},
	} {
		if got := english.yearsInTen(c.share); got != c.long {
			t.Errorf("english.yearsInTen(%v) = %q, want %q", c.share, got, c.long)
		}
		if got := english.shortInTen(c.share); got != c.short {
			t.Errorf("english.shortInTen(%v) = %q, want %q", c.share, got, c.short)
		}
	}
}

// More share never prints as fewer years.
func TestYearsLevelRises(t *testing.T) {
	last := -1
	for i := range 101 {
		n := yearsLevel(float64(i) / 100)
		if n < last || n > 10 {
			t.Fatalf("yearsLevel(%d/100) = %d after %d", i, n, last)
		}
		last = n
	}
	if last != 10 {
		t.Errorf("all years print as level %d", last)
	}
}

func TestBands(t *testing.T) {
	for _, c := range []struct {
		low, high   float64
		long, short string
	}{
		{0.55, 0.88, "6 to 9 years in 10", "6–9"},
		{0.8, 0.82, "8 years in 10", "8"},
		{0.01, 0.23, "fewer than 1 to 2 years in 10", "under 1 to 2"},
		{0.91, 0.99, "9 to more than 9 years in 10", "9 to over 9"},
		{0, 1, "anything from fewer than 1 to more than 9 years in 10", "under 1 to over 9"},
	} {
		if got := english.bandInTen(c.low, c.high); got != c.long {
			t.Errorf("english.bandInTen(%v, %v) = %q, want %q", c.low, c.high, got, c.long)
		}
		if got := english.shortBand(c.low, c.high); got != c.short {
			t.Errorf("english.shortBand(%v, %v) = %q, want %q", c.low, c.high, got, c.short)
		}
	}
}

func TestGardens(t *testing.T) {
	for _, c := range []struct {
		odds, cool, warm float64
		want             string
	}{
		{0.8, 0.4, 0.97, "about 8 years in 10 across gardens here; 4 in a cool spot, nearly every year in a warm one"},
		{0.1, 0.01, 0.3, "about 1 year in 10 across gardens here; hardly ever in a cool spot, 3 in a warm one"},
		{1, 0.98, 1, "more than 9 years in 10 across gardens here, nearly every year in cool and warm spots alike"},
		{0.97, 0.9, 1, "more than 9 years in 10 across gardens here; 9 in a cool spot, nearly every year in a warm one"},
	} {
		if got := english.gardens(c.odds, c.cool, c.warm); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestDates(t *testing.T) {
	for _, c := range []struct {
		h    day.Hemisphere
		rank day.Rank
		want string
	}{
		{day.North, 1, "1\u00a0January"},
		{day.North, 132, "12\u00a0May"},
		{day.North, 365, "31\u00a0December"},
		{day.North, -5, "26\u00a0December"}, // a wake date before the season
		{day.South, 1, "1\u00a0July"},
		{day.South, 134, "11\u00a0November"},
	} {
		if got := english.dateWords(c.h, c.rank); got != c.want {
			t.Errorf("english.dateWords(%v, %d) = %q, want %q", c.h, c.rank, got, c.want)
		}
	}
	if got := english.calendarDate(day.Of(2024, 2, 29)); got != "29\u00a0February\u00a02024" {
		t.Errorf("calendarDate = %q", got)
	}
}

func TestRipeSpan(t *testing.T) {
	at := func(r day.Rank) almanac.Point { return almanac.Point{Rank: r} }
	none := almanac.Point{None: true}
	for _, c := range []struct {
		p           [3]almanac.Point
		odds        float64
		want, short string
	}{
		{[3]almanac.Point{at(232), at(240), at(253)}, 0.97, "20\u00a0Aug – 10\u00a0Sep", ""},
		{[3]almanac.Point{at(232), at(253), none}, 0.64, "from 20\u00a0Aug; not ripe before the season ends in 4 years of 10", "from 20\u00a0Aug, not in 4 of 10"},
		{[3]almanac.Point{at(232), at(253), none}, 0.86, "from 20\u00a0Aug; not ripe before the season ends in 1 year of 10", "from 20\u00a0Aug, not in 1 of 10"},
		{[3]almanac.Point{at(232), none, none}, 0.25, "from 20\u00a0Aug; not ripe before the season ends in 7 years of 10", "from 20\u00a0Aug, not in 7 of 10"},
		{[3]almanac.Point{at(232), at(240), none}, 0.96, "from 20\u00a0Aug; not ripe before the season ends in fewer than 1 year of 10", "from 20\u00a0Aug, not in under 1 of 10"},
		{[3]almanac.Point{none, none, none}, 0.04, "hardly ever", ""},
		{[3]almanac.Point{none, none, none}, 0.7, "–", "hardly ever"}, // asked without its days
	} {
		if c.short == "" {
			c.short = c.want
		}
		if got := english.ripeSpan(day.North, &almanac.Odds{FirstRipe: c.p, Odds: c.odds}); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
		if got := english.shortSpan(day.North, c.p, c.odds); got != c.short {
			t.Errorf("short: got %q, want %q", got, c.short)
		}
	}
}

func TestListsAndCounts(t *testing.T) {
	for _, c := range []struct {
		in   []string
		want string
	}{{nil, ""}, {[]string{"a"}, "a"}, {[]string{"a", "b"}, "a and b"}, {[]string{"a", "b", "c"}, "a, b and c"}} {
		if got := english.List(c.in); got != c.want {
			t.Errorf("listWords(%q) = %q, want %q", c.in, got, c.want)
		}
	}
	for _, c := range []struct {
		n    int
		noun string
		want string
	}{
		{0, "cultivar", "no cultivars"}, {1, "cultivar", "one cultivar"}, {7, "cultivar", "seven cultivars"}, {12, "day", "twelve days"},
		{13, "cultivar", "13 cultivars"}, {1140, "box", "1,140 boxes"}, {2, "city", "two cities"}, {2, "bus", "two buses"},
	} {
		if got := english.countWords(c.n, c.noun); got != c.want {
			t.Errorf("english.countWords(%d, %q) = %q, want %q", c.n, c.noun, got, c.want)
		}
	}
}

func TestMethodPhrase(t *testing.T) {
	for _, c := range []struct{ name, place, want string }{
		{"Plain pot", "pot", "in a plain pot"},
		{"Unheated tent", "pot", "in an unheated tent"},
		{"In the ground, unprotected", "ground", "in the ground, unprotected"},
		{"Pot out by day, in by night", "pot", "in a pot out by day, in by night"},
		{"Wall", "ground", "with “Wall”"},
	} {
		if got := english.methodPhrase(c.name, c.place); got != c.want {
			t.Errorf("english.methodPhrase(%q) = %q, want %q", c.name, got, c.want)
		}
	}
}

// °F = °C × 1.8 + 32 and 1 °C·d = 1.8 °F·d by definition.
func TestUnits(t *testing.T) {
	metric, us := units{voice: english.voice}, units{us: true, voice: english.voice}
	for _, c := range []struct{ got, want string }{
		{metric.tempText(-22.4, 1), "−22.4\u00a0°C (−8.3\u00a0°F)"},
		{us.tempText(-22.4, 1), "−8.3\u00a0°F (−22.4\u00a0°C)"},
		{metric.tempText(-17.8, 0), "−18\u00a0°C (0\u00a0°F)"}, // never "−0"
		{metric.heatText(1140), "1,140\u00a0°C·d (2,052\u00a0°F·d)"},
		{string(metric.temp(0, 0)), `<span class="m">0` + "\u00a0" + `°C</span><span class="u"> <i>(</i>32` + "\u00a0" + `°F<i>)</i></span>`},
		{string(us.temp(0, 0)), `<span class="u">32` + "\u00a0" + `°F</span><span class="m"> <i>(</i>0` + "\u00a0" + `°C<i>)</i></span>`},
		{string(metric.diff(6.5, 1)), `<span class="m">6.5` + "\u00a0" + `°C</span><span class="u"> <i>(</i>11.7` + "\u00a0" + `°F<i>)</i></span>`},
		{english.Plus(-0.04, 1), "0.0"}, {english.Plus(0.04, 1), "0.0"}, {english.Plus(1.26, 1), "+1.3"}, {english.Plus(-1.26, 1), "−1.3"},
		{english.Whole(999), "999"}, {english.Whole(1000), "1,000"}, {english.Whole(1234567), "1,234,567"}, {english.Grouped(-1234.4), "−1,234"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestCautionsIn(t *testing.T) {
	got := english.cautionsIn(" sap ; heaters;; mind the cat;sap")
	if len(got) != 3 || got[0].Key != "sap" || got[1].Key != "heaters" || got[2].Text != "mind the cat" || got[2].Key != "" {
		t.Errorf("got %+v", got)
	}
	for _, c := range cautions {
		if c.Title == "" || len(c.Text) < 60 {
			t.Errorf("caution %s says too little", c.Key)
		}
	}
}

func TestCSSString(t *testing.T) {
	for in, want := range map[string]string{`a`: `"a"`, `a"b\c`: `"a\"b\\c"`, "a\nb": `"a\a b"`, `é </style>`: `"é \3c /style\3e "`} {
		if got := cssString(in); got != want {
			t.Errorf("cssString(%q) = %s, want %s", in, got, want)
		}
	}
}

func TestTrendLine(t *testing.T) {
	// Values on a straight line of 2 a year: the line passes through them.
	years := []int{2000, 2001, 2002, 2003}
	values := []float64{10, 12, 14, 16}
	n := normalOf(2000, 2003, 20)
	l, ok := trendLine("Trend", years, values, n)
	if !ok || l.Y[0] != 10 || l.Y[1] != 16 {
		t.Errorf("got %+v", l)
	}
}

func normalOf(first, last int, perDecade float64) *climate.Normal {
	return &climate.Normal{Span: climate.Span{First: first, Last: last}, Trend: climate.Value{V: perDecade, OK: true}}
}
