package tables

import (
	"slices"

	"ripeward/build/almanac"
)

const monthDayWords = "month and day"

// winterTable is winter.csv: what a store does to a crop's pots.
func winterTable(b *almanac.Book) Table {
	number1 := func(name, unit, words string) Column {
		return Column{Name: name, Type: "number", Unit: unit, Description: words}
	}
	when := func(name, words string) Column {
		return Column{Name: name, Type: "string", Pattern: monthDayOrNone, Description: words}
	}
	t := Table{Name: "winter", Key: []string{"town_id", "store_id", "crop_id", "wrapped"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "store_id", Type: "string", Description: "place where pots spend the winter"},
		{Name: "crop_id", Type: "string", Description: "crop"},
		{Name: "wrapped", Type: "string", Description: "whether the pot is wrapped", Allowed: []string{"yes", "no"}},
		number1("lowest_p10_c", "°C", "lowest temperature of the winter in the store, reached or passed in 1 winter of 10"),
		number1("lowest_p50_c", "°C", "the same, in 1 winter of 2"),
		number1("days_below_p50", "days", "days a winter below the crop's lower limit in store, middle winter"),
		number1("days_below_p90", "days", "the same, not exceeded in 9 winters of 10"),
		number1("days_above_p50", "days", "days a winter above the crop's upper limit in store, middle winter"),
		number1("days_above_p90", "days", "the same, not exceeded in 9 winters of 10"),
		when("move_in", monthDayWords+" on which pots go into the store, in the autumn before"),
		when("move_out", monthDayWords+" on which they come out"),
		when("wakes_p10", monthDayWords+" by which they have woken in the store in 1 winter of 10; none: never so many"),
		when("wakes_p50", "the same, in 1 winter of 2"),
	}}
	for i := range b.Towns {
		town := &b.Towns[i]
		at := func(p almanac.Point) string {
			if p.None {
				return none
			}
			return monthDay(town.Hemisphere, p.Rank)
		}
		for j := range town.Stores {
			x := &town.Stores[j]
			wrapped := "no"
			if x.Wrapped {
				wrapped = "yes"
			}
			t.Rows = append(t.Rows, []string{string(town.Row.ID), x.Store, x.Crop, wrapped, number(x.LowestP10, 1), number(x.LowestP50, 1),
				number(x.BelowP50, 0), number(x.BelowP90, 0), number(x.AboveP50, 0), number(x.AboveP90, 0), at(x.In), at(x.Out), at(x.WakesP10), at(x.WakesP50)})
		}
	}
	slices.SortStableFunc(t.Rows, func(a, b []string) int { return slices.Compare(a[:4], b[:4]) })
	return t
}

// tentsTable is tents.csv: what heating a tent takes from a date on.
func tentsTable(b *almanac.Book) Table {
	t := Table{Name: "tents", Key: []string{"town_id", "method_id", "start_date"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "method_id", Type: "string", Description: "way of growing with a heated tent"},
		{Name: "start_date", Type: "string", Pattern: `\d{2}-\d{2}`, Description: monthDayWords + " from which the tent is heated, to the last ripening day"},
		{Name: "kwh_mean", Type: "number", Unit: "kWh", Description: "electricity of a mean year"},
		{Name: "kwh_p90", Type: "number", Unit: "kWh", Description: "electricity not exceeded in 9 years of 10"},
		{Name: "peak_w", Type: "number", Unit: "W", Description: "most that the heater draws"},
		{Name: "cost", Type: "number", Description: "price of a mean year's electricity, in the club's currency; empty without one"},
	}}
	for i := range b.Towns {
		town := &b.Towns[i]
		for j := range town.Tents {
			x := &town.Tents[j]
			cost := ""
			if b.Club.Settings.Currency != "" {
				cost = number(x.Cost, 0)
			}
			t.Rows = append(t.Rows, []string{string(town.Row.ID), x.Method, monthDay(town.Hemisphere, x.Start), number(x.KWhMean, 0), number(x.KWhP90, 0), number(x.PeakW, 0), cost})
		}
	}
	slices.SortStableFunc(t.Rows, func(a, b []string) int { return slices.Compare(a[:3], b[:3]) })
	return t
}
