package main

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// madeUp is an explanation of two seasons in the south, and one beside them.
func madeUp() *told {
	c := &club.Club{Settings: club.Settings{FirstRef: 2001, LastRef: 2003}}
	c.Towns = []club.Town{{ID: "far", Name: "Far Corner", Latitude: club.Number{Value: -41, Set: true}}}
	c.Cultivars = []club.Cultivar{{ID: "quick", Name: "Quickling", AlsoCalled: club.List{"Quick One"}, CropsBorne: "both"}}
	c.Methods = []club.Method{{ID: "pot", Name: "Plain pot"}}
	at := func(y, m, d int) day.Date { return day.Of(y, m, d) }
	e := &almanac.Explanation{Town: "far", Delay: 120,
		Odds: almanac.Odds{Cultivar: "quick", Part: "main", Method: "pot", Brebas: "kept", Weeks: 1, Years: climate.Span{First: 2001, Last: 2003}, N: 2,
			RipeYears: 1.3, Odds: 0.65, Low: 0.4, High: 0.85, Cool: 0.5, Warm: 0.8, Likelihood: "likely", Basis: almanac.BasisReports, Mu: 1300, Sd: 130,
			FirstRipe: [3]almanac.Point{{Rank: 240}, {None: true}, {None: true}}},
		Need: almanac.HeatNeed{BaseC: 10, SE: 40, GardenSd: 95, YearSd: 90, Reports: 24, Growers: 8, Censored: 6},
		Plan: almanac.Plan{Wake: almanac.Point{Rank: 70}, DormantOut: almanac.Point{Rank: 100}, HardenOff: almanac.Point{Rank: 110}, Out: almanac.Point{Rank: 120}, In: almanac.Point{None: true}},
		Years: []almanac.ExplainedYear{
			{Year: 1999, Wake: day.None, LeafOut: day.None, Out: day.None, FirstRipe: day.None, LastDay: day.None, EndDay: day.None, EndValue: math.NaN()},
			{Year: 2001, Counts: true, Wake: at(2001, 9, 8), LeafOut: at(2001, 11, 2), Out: at(2001, 10, 28), SetBacks: []day.Date{at(2001, 11, 5), at(2001, 11, 9)}, LostHeat: 34,
				ByMonth: [12]float64{0: 400, 1: 350, 2: 200, 10: 150, 11: 300}, Heat: 1400, FirstRipe: at(2002, 3, 20), LastDay: at(2002, 4, 3), Ended: "freeze",
				EndDay: at(2002, 4, 4), EndValue: -3.1, Carried: 1, Kill: 0.25, P: 0.45, Place: diag.Place{File: "data/stations/far.csv", Line: 1234, Column: 12}, Station: "far-field"},
			{Year: 2003, Counts: true, Wake: at(2003, 9, 8), LeafOut: at(2003, 11, 2), Out: at(2003, 10, 28), ByMonth: [12]float64{0: 500, 1: 450}, Heat: 1950,
				FirstRipe: day.None, LastDay: at(2004, 5, 3), Ended: "short-days", EndDay: at(2004, 5, 4), EndValue: 10, P: 0.85},
		}}
	return newTold("clubs/mine", c, e)
}

// flat puts wrapped text on one line.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestExplanationText(t *testing.T) {
	text := madeUp().text()
	for _, want := range []string{
		"Quickling, main crop, in Far Corner: Plain pot, brebas kept, 1 week of head start",
		"Ripens in about 1.3 of 2 years, 2001 to 2003: odds 0.65, with a 90 % interval from 0.40 to 0.85: likely. In a cool garden 0.50, in a warm one 0.80.",
		"1,300 °C·d above 10 °C from leaf-out to the first ripe fruit, give or take 130 (95 between gardens, 90 from year to year); the 1,300 itself may be off by 40.",
		`Learned from 24 reports of 8 growers, 6 of them "not ripe" or "already ripe". Here 120 °C·d come on top: brebas that are kept hold the main crop up.`,
		// Rank 70 of a southern season is 8 September (1 July is rank 1).
		"woken on 8 September, hardened off from 18 October, out for good on 28 October",
		"in 1 year in 10, in fewer than 5 years in 10 before the season ends",
		"year woken in leaf out set back lost Nov Dec Jan Feb Mar heat first ripe last day ended by wood killed carried chance reading",
		"1999/00* - - - - - - - - - - 0 - - - 0.00 0 0.00 -",
		"2001/02 8 Sep 2 Nov 28 Oct 5 Nov, 9 Nov 34 150 300 400 350 200 1,400 20 Mar 3 Apr freeze -3.1 °C 0.25 1 0.45 far-field clubs/mine/data/stations/far.csv:1234",
		"2003/04 8 Sep 2 Nov 28 Oct - - - - 500 450 - 1,950 - 3 May short days 10.0 h 0.00 0 0.85 -",
		"* outside the reference years: shown, not counted. 2002/03: no valid weather, so not counted.",
		"a need of about 1,420 °C·d, give or take 130,",
		"The chances of the 2 years that count add up to 1.3; divided by 2 that is 0.65, the odds.",
	} {
		if !strings.Contains(flat(text), want) {
			t.Errorf("does not say %q", want)
		}
	}
	if t.Failed() {
		t.Log(text)
	}
}

func TestSeasonSentences(t *testing.T) {
	cases := []struct {
		year int
		want []string
	}{
		{2001, []string{
			"Season of 2001/02 The tree was woken on 8 September 2001, went out for good on 28 October 2001 and came into leaf on 2 November 2001.",
			"Freezes took its young shoots on 5 November and 9 November: 34 °C·d were lost.",
			"The chance that the winter before had killed its wood was 0.25.",
			"From leaf-out it gathered 150 in November, 300 in December, 400 in January, 350 in February and 200 in March: 1,400 °C·d in all by 3 April 2002, the last day of ripening.",
			"A freeze ended it: the fruit felt -3.1 °C on 4 April 2002 (station far-field, clubs/mine/data/stations/far.csv:1234). The pot was carried in on 1 night.",
			"At a middling need of 1,420 °C·d the first fruit was ripe on 20 March 2002; with a scatter of 130 the chance of ripe fruit was 0.45.",
		}},
		{2003, []string{"Nothing set it back.", "Short days ended it: 4 May 2004 was 10.0 hours long.", "nothing ripened, though there was heat enough in all; with a scatter"}},
		{1999, []string{"nothing ripened: 1,420 were missing", "The tree woke by itself and never came into leaf.", "It gathered no heat from leaf-out.", "Nothing ended ripening before the year was over.", "outside the reference years"}},
		{2002, []string{"2002/03 has no valid weather in Far Corner"}},
	}
	for _, c := range cases {
		text := madeUp().season(c.year)
		for _, want := range c.want {
			if !strings.Contains(flat(text), want) {
				t.Errorf("%d does not say %q:\n%s", c.year, want, text)
			}
		}
	}
}

func TestBrebasLostToAFreeze(t *testing.T) {
	told := madeUp()
	told.e.Odds.Part, told.e.Delay = "breba", 0
	told.e.Years[1].FirstRipe = day.None
	if got := flat(told.season(2001)); !strings.Contains(got, "nothing ripened, though there was heat enough: the freeze took the shoots that bear brebas;") {
		t.Error(got)
	}
}

func TestExplanationTable(t *testing.T) {
	told := madeUp()
	table := told.table(0)
	if len(table.Rows) != 3 || len(told.table(2001).Rows) != 1 || len(told.table(2002).Rows) != 0 {
		t.Fatalf("%d rows in all", len(table.Rows))
	}
	for _, row := range table.Rows {
		if len(row) != len(table.Columns) {
			t.Fatalf("%d cells under %d columns", len(row), len(table.Columns))
		}
	}
	want := "far,quick,main,pot,1,kept,2001,yes,2001-09-08,2001-11-02,2001-10-28,2001-11-05;2001-11-09,34,400,350,200,0,0,0,0,0,0,0,150,300,1400," +
		"2002-03-20,2002-04-03,freeze,2002-04-04,-3.1,1,0.25,0.45,far-field,clubs/mine/data/stations/far.csv,1234"
	if got := strings.Join(table.Rows[1], ","); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// Without odds a year's heat is told, but no chance.
func TestExplanationWithoutOdds(t *testing.T) {
	for reason, want := range map[string]string{almanac.NoWasp: "Never: ", almanac.NoModel: "No odds: this crop", almanac.NoHeatNeed: "No odds: neither", almanac.NoYears: "No odds: the town"} {
		told := madeUp()
		told.e.Odds.Reason = reason
		text := told.text()
		if !strings.Contains(text, want) || regexp.MustCompile(`chance|odds follow|First ripe|The need`).MatchString(text) {
			t.Errorf("%s:\n%s", reason, text)
		}
		row := told.table(2001).Rows[0]
		if got := strings.Join(row[len(row)-4:], ","); !strings.HasPrefix(got, ",far-field,") {
			t.Errorf("%s: a chance in the row: %s", reason, got)
		}
	}
}

func TestPick(t *testing.T) {
	rows := []called{{"hearthling", []string{"Hearthling", "Little Hearth"}}, {"wrens-lantern", []string{"Wren's Lantern"}},
		{"twin-a", []string{"Twin"}}, {"twin-b", []string{"TWIN"}}, {"twin", nil}}
	for word, want := range map[string]string{"hearthling": "hearthling", "HEARTHLING": "hearthling", "little hearth": "hearthling", "wrens lantern": "wrens-lantern",
		"Wren’s Lantern": "wrens-lantern", "twin": "twin"} {
		if got, err := pick("cultivar", word, rows); err != nil || got != want {
			t.Errorf("%s: got %q, %v; want %s", word, got, err, want)
		}
	}
	for word, want := range map[string]string{"Twin": "twin-a or twin-b or twin", "hearthlng": "no cultivar", "": "no cultivar", "plum": "no cultivar"} {
		if got, err := pick("cultivar", word, rows); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %q, %v; want %s", word, got, err, want)
		}
	}
}
