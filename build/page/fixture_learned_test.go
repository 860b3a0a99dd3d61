package page_test

import (
	"math"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// codes are grower codes that must never be published, one full of markup.
var codes = []string{"grower-zeta", `g<b>"7"&`, "grower-kappa", "grower-omega"}

// learned adds to the awkward book what is learned from reports.
func learned(b *almanac.Book) {
	c := b.Club
	c.Settings.Currency = `€ & "ct"`
	line := 1
	report := func(id, grower, verdict, reason string) almanac.ReportUse {
		line++
		return almanac.ReportUse{Row: &club.Report{Row: club.Row{At: diag.Place{File: "data/reports/2019.csv", Line: line, Column: 1}}, ID: club.Text(id), Grower: club.Text(grower), TownID: "aa"}, Verdict: verdict, Reason: diag.Sentence{Form: reason}}
	}
	b.Reports = []almanac.ReportUse{
		report("r1", codes[0], almanac.ReportUsed, ""), report("r2", codes[1], almanac.ReportUsed, ""), report("r3", codes[2], almanac.ReportUsed, ""),
		report("r4", codes[3], almanac.ReportWaiting, "fewer than three growers have reported <it>"), report("r5", codes[0], almanac.ReportNew, ""),
		report("r6 & <x>", codes[1], almanac.ReportHeld, "ripe before leaf-out & <early>"), report("r7", codes[2], almanac.ReportDuplicate, "the same tree and year"),
		report("r8", codes[3], almanac.ReportUnusable, "no day is known"), report("r9", codes[3], almanac.ReportRejected, ""),
	}
	b.Reports[5].Frees = diag.Say("a look at the <date>")
	b.Reports[6].First = "r1"
	b.Reporting = almanac.Reporting{R: 0.42, Low: 0.2, High: 0.66, OK: true}
	b.Needs = []almanac.HeatNeed{
		{Cultivar: "one", Part: "breba", BaseC: 10, Mu: 820, SE: 60, GardenSd: 90, YearSd: 110, Basis: "class", PriorMu: 820, PriorSE: 60, PriorBasis: "class", Growers: 2, Held: 1, Waiting: 3},
		{Cultivar: "one", Part: "main", BaseC: 10, Mu: 1315, SE: 24, GardenSd: 85, YearSd: 115, Basis: "reports", PriorMu: 1300, PriorSE: 90, PriorBasis: "class", Reports: 14, Growers: 6, Censored: 5, Held: 1, Waiting: 1},
		{Cultivar: "two", Part: "main", BaseC: 10, Basis: "crop"},
	}
	nan := math.NaN()
	b.Score = &almanac.Score{Reports: 41, Growers: 9,
		Views: [2]almanac.View{
			{ID: "weather", Rules: []almanac.RuleScore{
				{Rule: almanac.RuleOurs, Dates: 30, MedianError: 6.5, Bias: -1.2, Coverage: 0.77, Chances: 41, Brier: 0.081},
				{Rule: almanac.RuleDays, Dates: 30, MedianError: 9, Bias: 3.3, Coverage: 0.6, Chances: 41, Brier: 0.12, Beaten: "yes"},
				{Rule: almanac.RuleRow, Dates: 30, MedianError: 6.5, Bias: 0, Coverage: nan, Chances: 41, Brier: 0.081, Beaten: "tie"}},
				Reliability: []almanac.Reliability{{To: 0.5, N: 9, Said: 0.3, Ripe: 0.33}, {From: 0.5, To: 0.75}, {From: 0.75, To: 1, N: 23, Said: 0.8, Ripe: 0.76}}},
			{ID: "season", Rules: []almanac.RuleScore{
				{Rule: almanac.RuleOurs, Bias: nan, MedianError: nan, Coverage: nan, Brier: nan},
				{Rule: almanac.RuleDays, Dates: 3, MedianError: 8, Coverage: 0.5, Chances: 4, Brier: 0.2, Beaten: "no"}}}},
		Methods: []almanac.MethodResidual{{Method: "pot", N: 22, Mean: 15, MeanDays: 1.4, Low: -10, High: 40}, {Method: "early-pot"}},
		Bases:   []almanac.BaseScore{{BaseC: 8, Dates: 30, MedianError: 7, Brier: 0.09}, {BaseC: 10, Dates: 30, MedianError: 6.5, Brier: 0.081, Used: true}, {BaseC: 15, MedianError: nan, Brier: nan}}}
	learnedTown(&b.Towns[0], b.Needs[1])
	gardenOf(b, &b.Towns[0])
}

func learnedTown(t *almanac.Town, need almanac.HeatNeed) {
	t.FirstYears, t.LastYears = climate.Span{First: 1976, Last: 1990}, climate.Span{First: 2006, Last: 2020}
	nan := math.NaN()
	for i := range t.Odds {
		o := &t.Odds[i]
		o.First15, o.Last15 = nan, nan
		if o.Cultivar == "one" && o.Part == "main" {
			o.Basis, o.Reports, o.Growers, o.First15, o.Last15 = "reports", 14, 6, 0.44, 0.93
			o.FirstRipe[2].None = true
		}
		if o.Cultivar == "one" && o.Part == "breba" {
			o.Reports, o.Growers = 4, 2 // of whom nothing may be counted
		}
	}
	for i := range t.Weeks {
		t.Weeks[i].FirstRipe = [3]almanac.Point{{Rank: 232}, {Rank: 250}, {None: true}}
	}
	way := func(method string, weeks int, odds, hours, nights, kwh float64) almanac.TakeWay {
		return almanac.TakeWay{Method: method, Weeks: weeks, Odds: odds, Hours: hours, Nights: nights, KWh: kwh, Cost: kwh / 5}
	}
	best := way("early-pot", 2, 0.84, 5, 1, 0)
	t.Takes = []almanac.Take{
		{Cultivar: "one", Part: "main", Target: 0.5, Ways: []almanac.TakeWay{way("pot", 0, 0.6, 2, 0, 0), way("early-pot", 1, 0.72, 3, 3.2, 40)}},
		{Cultivar: "one", Part: "main", Target: 0.8, Ways: []almanac.TakeWay{best}},
		{Cultivar: "one", Part: "main", Target: 0.9, Reason: "too-little-heat", Best: &best},
		{Cultivar: "two", Part: "main", Target: 0.5, Reason: "no-wasp"}, {Cultivar: "two", Part: "main", Target: 0.8, Reason: "no-wasp"}, {Cultivar: "two", Part: "main", Target: 0.9, Reason: "no-wasp"},
		{Cultivar: "lemon", Part: "main", Target: 0.8, Reason: "no-model"},
	}
	t.Together = []almanac.Together{{Method: "early-pot", Weeks: 1, Years: []int{1991, 1992}, Gardens: []float64{0.25, 0.5, 0.25},
		Rows: []almanac.TogetherRow{
			{Cultivar: "one", Part: "main", Brebas: "kept", Odds: 0.8, Chance: []uint8{60, 80, 100, 50, 80, 90}, Picking: [][2]int16{{240, 260}, {0, 0}}},
			{Cultivar: "one", Part: "breba", Odds: 0.5, Chance: []uint8{40, 50, 60, 40, 50, 60}, Picking: [][2]int16{{190, 200}, {195, 196}}},
			{Cultivar: "two", Part: "main", Odds: 0.1, Chance: []uint8{0, 10, 20, 0, 10, 20}, Picking: [][2]int16{{0, 0}, {250, 251}}}},
		Best: []almanac.Trio{{Rows: [3]int{0, 1, 2}, Share: 0.91, Weeks: 2.6}}}}
	year := almanac.ExplainedYear{Year: 1991, Counts: true, Wake: day.Of(1991, 5, 1), LeafOut: day.Of(1991, 5, 20), Out: day.Of(1991, 5, 18), SetBacks: []day.Date{day.Of(1991, 5, 25), day.Of(1991, 6, 2)},
		LostHeat: 44, ByMonth: [12]float64{4: 50, 5: 210, 6: 330, 7: 320, 8: 160, 9: 12}, Heat: 1082, FirstRipe: day.None, LastDay: day.Of(1991, 10, 3), Ended: "freeze", EndDay: day.Of(1991, 10, 4), EndValue: -2.4,
		Carried: 3, Kill: 0.12, P: 0.31, Place: diag.Place{File: "data/stations/a<b.csv", Line: 277, Column: 4}, Station: "ST1"}
	cold, short := year, almanac.ExplainedYear{Year: 1993, Wake: day.None, LeafOut: day.None, Out: day.None, FirstRipe: day.None, LastDay: day.None, Ended: "short-days", EndDay: day.Of(1993, 10, 20), EndValue: 10}
	cold.Year, cold.Ended, cold.EndValue, cold.SetBacks, cold.FirstRipe = 1992, "cold", 11.8, nil, day.Of(1992, 9, 12)
	t.Why = []almanac.Explanation{{Town: "aa", Odds: t.Odds[1], Need: need, Delay: 130, Plan: t.Plans[0], Years: []almanac.ExplainedYear{year, cold, short}},
		{Town: "aa", Odds: almanac.Odds{Cultivar: "one", Part: "breba", Method: "pot", Basis: "class"}, Need: almanac.HeatNeed{Basis: "class", Growers: 2, Reports: 4}}}
	for i := range t.HeatNormal {
		v := float32(1150 / (1 + math.Exp(float64(27-i)/4)))
		t.HeatNormal[i], t.HeatCool[i], t.HeatWarm[i] = v, v*0.85, v*1.2
	}
	t.SoFar = &almanac.SoFar{Season: 2021, Until: day.Of(2021, 8, 8), Heat: 1000, Normal: 841, Cool: 700, Warm: 990, Rank: 30, Of: 30, MissingDays: 1, Rows: []almanac.SoFarRow{
		{Cultivar: "one", Part: "main", Method: "pot", Usual: 0.6, Now: 0.97, FirstRipe: [3]almanac.Point{{Rank: 230}, {Rank: 240}, {Rank: 255}}, UsualRipe: [3]almanac.Point{{Rank: 240}, {None: true}, {None: true}}, HeatSoFar: 905, LeafedOut: true},
		{Cultivar: "one", Part: "breba", Method: "early-pot", Brebas: "kept", Usual: 0, Now: 0, FirstRipe: [3]almanac.Point{{None: true}, {None: true}, {None: true}}, UsualRipe: [3]almanac.Point{{None: true}, {None: true}, {None: true}}}}}
}
