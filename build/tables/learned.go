package tables

import (
	"strconv"

	"ripeward/build/almanac"
)

// counted prints reports and growers, or nothing where one or two growers
// could be told apart.
func counted(n, growers int) string {
	if growers > 0 && growers < almanac.FewGrowers {
		return ""
	}
	return strconv.Itoa(n)
}

// withheld is counted for what is held or waits: of fewer than three growers
// behind a need, however many, nothing is said.
func withheld(n int, need *almanac.HeatNeed) string {
	if need.Few() && (need.Growers > 0 || need.Held > 0 || need.Waiting > 0) {
		return ""
	}
	return strconv.Itoa(n)
}

var partColumn = Column{Name: "crop_part", Type: "string", Description: "main crop, or the brebas on last year's wood", Allowed: []string{"main", "breba"}}

func heatNeedsTable(b *almanac.Book) Table {
	heat := func(name, description string) Column {
		return Column{Name: name, Type: "number", Unit: "°C·d", Description: description}
	}
	t := Table{Name: "heat-needs", Key: []string{"cultivar_id", "crop_part"}, Columns: []Column{
		{Name: "cultivar_id", Type: "string", Description: "cultivar"}, partColumn,
		{Name: "base_c", Type: "number", Unit: "°C", Description: "temperature above which heat counts"},
		heat("heat_cd", "heat from leaf-out to the first ripe fruit, middle garden and year"),
		heat("se_cd", "standard error of that figure"),
		heat("garden_sd_cd", "standard deviation between gardens"),
		heat("year_sd_cd", "standard deviation between years in one garden"),
		{Name: "reports", Type: "integer", Description: "reports used; empty where they are of one or two growers"},
		{Name: "growers", Type: "integer", Description: "growers of those reports; empty where one or two"},
		{Name: "censored", Type: "integer", Description: "of those reports, the ones that say only not yet ripe or already ripe; empty like them"},
		{Name: "held", Type: "integer", Description: "reports held back, by rule or by hand; empty where fewer than three growers stand behind the need"},
		{Name: "basis", Type: "string", Description: "what the need rests on", Allowed: []string{"reports", "cultivar-row", "class", "crop"}},
	}}
	for i := range b.Needs {
		n := &b.Needs[i]
		t.Rows = append(t.Rows, []string{n.Cultivar, n.Part, number(n.BaseC, -1), number(n.Mu, 0), number(n.SE, 0), number(n.GardenSd, 0), number(n.YearSd, 0),
			counted(n.Reports, n.Growers), counted(n.Growers, n.Growers), counted(n.Censored, n.Growers), withheld(n.Held, n), n.Basis})
	}
	return t
}

func whatItTakesTable(b *almanac.Book) Table {
	t := Table{Name: "what-it-takes", Key: []string{"town_id", "cultivar_id", "crop_part", "target", "method_id", "head_start_weeks"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "cultivar_id", Type: "string", Description: "cultivar"}, partColumn,
		{Name: "target", Type: "number", Description: "share of years that are to have ripe fruit"},
		{Name: "method_id", Type: "string", Description: "a way of growing that no other beats; with a reason, the best there is"},
		{Name: "head_start_weeks", Type: "integer", Unit: "weeks", Description: "weeks indoors before the pot moves out"},
		{Name: "odds", Type: "number", Description: "share of years with ripe fruit, across gardens"},
		{Name: "hours", Type: "number", Unit: "hours", Description: "work of a mean year"},
		{Name: "carried_nights", Type: "number", Unit: "nights", Description: "nights of a mean year that pots are carried in"},
		{Name: "energy_kwh", Type: "number", Unit: "kWh", Description: "electricity of a mean year"},
		{Name: "cost", Type: "number", Description: "price of that electricity, in the club's currency; empty without one"},
		{Name: "reason", Type: "string", Description: "why no way reaches the target", Allowed: []string{"too-little-heat", "wood-killed", "no-wasp", "no-model", "no-heat-need", "no-years"}},
	}}
	for i := range b.Towns {
		town := &b.Towns[i]
		for j := range town.Takes {
			x := &town.Takes[j]
			add := func(w *almanac.TakeWay, reason string) {
				row := []string{string(town.Row.ID), x.Cultivar, x.Part, number(x.Target, 1), "", "", "", "", "", "", "", reason}
				if w != nil {
					row[4], row[5], row[6], row[7], row[8], row[9] = w.Method, strconv.Itoa(w.Weeks), number(w.Odds, 2), number(w.Hours, 0), number(w.Nights, 1), number(w.KWh, 0)
					if b.Club.Settings.Currency != "" {
						row[10] = number(w.Cost, 0)
					}
				}
				t.Rows = append(t.Rows, row)
			}
			for k := range x.Ways {
				add(&x.Ways[k], "")
			}
			if len(x.Ways) == 0 {
				add(x.Best, x.Reason)
			}
		}
	}
	return t
}

// howGoodTable lists the scores one figure a row.
func howGoodTable(b *almanac.Book) Table {
	t := Table{Name: "how-good", Key: []string{"test", "of", "name", "figure"}, Columns: []Column{
		{Name: "test", Type: "string", Description: "weather: given that year's weather; season: before the season; all: of both"},
		{Name: "of", Type: "string", Description: "what is scored", Allowed: []string{"reports", "rule", "band", "method", "base"}},
		{Name: "name", Type: "string", Description: "rule (almanac, days-after-leaf-out, cultivar-row), band of chances, way of growing, or base in °C; empty for reports"},
		{Name: "figure", Type: "string", Description: "which figure: n, growers, median_error_days, bias_days (late is positive), coverage_80, brier, beaten_by_almanac, said, ripe, mean_cd, mean_days, low_cd, high_cd (90 % interval), used"},
		{Name: "value", Type: "any", Description: "the figure"},
		{Name: "n", Type: "integer", Description: "reports behind it"},
	}}
	s := b.Score
	if s == nil {
		return t
	}
	add := func(test, of, name, figure, value string, n int) {
		if value != "" {
			t.Rows = append(t.Rows, []string{test, of, name, figure, value, strconv.Itoa(n)})
		}
	}
	add("all", "reports", "", "n", counted(s.Reports, s.Growers), s.Reports)
	add("all", "reports", "", "growers", counted(s.Growers, s.Growers), s.Reports)
	for i := range s.Views {
		v := &s.Views[i]
		for _, r := range v.Rules {
			if r.Dates > 0 {
				add(v.ID, "rule", r.Rule, "median_error_days", number(r.MedianError, 1), r.Dates)
				add(v.ID, "rule", r.Rule, "bias_days", number(r.Bias, 1), r.Dates)
				add(v.ID, "rule", r.Rule, "coverage_80", number(r.Coverage, 2), r.Dates)
			}
			if r.Chances > 0 {
				add(v.ID, "rule", r.Rule, "brier", number(r.Brier, 3), r.Chances)
			}
			add(v.ID, "rule", r.Rule, "beaten_by_almanac", r.Beaten, r.Chances)
		}
		for _, r := range v.Reliability {
			name := number(r.From, -1) + "-" + number(r.To, -1)
			add(v.ID, "band", name, "n", strconv.Itoa(r.N), r.N)
			if r.N > 0 {
				add(v.ID, "band", name, "said", number(r.Said, 2), r.N)
				add(v.ID, "band", name, "ripe", number(r.Ripe, 2), r.N)
			}
		}
	}
	for _, r := range s.Methods {
		if r.N > 0 {
			add("weather", "method", r.Method, "mean_cd", number(r.Mean, 0), r.N)
			add("weather", "method", r.Method, "mean_days", number(r.MeanDays, 1), r.N)
			add("weather", "method", r.Method, "low_cd", number(r.Low, 0), r.N)
			add("weather", "method", r.Method, "high_cd", number(r.High, 0), r.N)
		}
	}
	for _, r := range s.Bases {
		if r.Dates > 0 {
			add("weather", "base", number(r.BaseC, -1), "median_error_days", number(r.MedianError, 1), r.Dates)
			add("weather", "base", number(r.BaseC, -1), "brier", number(r.Brier, 3), r.Dates)
		}
		if r.Used {
			add("weather", "base", number(r.BaseC, -1), "used", "yes", r.Dates)
		}
	}
	return t
}

// reportReason says why a report was not used, for the list of what was set
// aside. It names the report, never its grower.
func reportReason(r *almanac.ReportUse) string {
	text := "report " + string(r.Row.ID) + ": " + Verdict(r.Verdict)
	if reason := OpenReason(r); reason != "" {
		text += ": " + reason
	}
	if r.First != "" {
		text += " (the first one is " + r.First + ")"
	}
	return text
}
