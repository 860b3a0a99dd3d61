package tables

import (
	"ripeward/build/almanac"
	"ripeward/build/day"
)

// changesTable is changes.csv: what moved since the baseline.
func changesTable(b *almanac.Book) Table {
	t := Table{Name: "changes", Key: []string{"town_id", "what", "cultivar_id", "crop_part", "method_id"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: "town; blank where the change is the club's"},
		{Name: "what", Type: "string", Description: "measure of seasons.csv, odds, or heat_cd (heat need)"},
		{Name: "cultivar_id", Type: "string", Description: "cultivar; blank for measures"},
		{Name: "crop_part", Type: "string", Description: "main or breba; blank for measures"},
		{Name: "method_id", Type: "string", Description: "way of growing; blank but for odds"},
		{Name: "before", Type: "string", Description: "value in the almanac of the last closed year; dates as month and day"},
		{Name: "after", Type: "string", Description: "value now"},
		{Name: "likelihood_before", Type: "string", Description: "likelihood word then; blank but for odds"},
		{Name: "likelihood_after", Type: "string", Description: "likelihood word now"},
	}}
	c := b.Changes
	if c == nil {
		return t
	}
	hemisphere := map[string]day.Hemisphere{}
	for i := range b.Towns {
		hemisphere[string(b.Towns[i].Row.ID)] = b.Towns[i].Hemisphere
	}
	for _, x := range c.Measures {
		show := func(v float64) string {
			if x.Date {
				return monthDay(hemisphere[x.Town], day.Rank(int(v)))
			}
			return number(v, 1)
		}
		t.Rows = append(t.Rows, []string{x.Town, x.Measure, "", "", "", show(x.Before), show(x.After), "", ""})
	}
	for _, x := range c.Odds {
		t.Rows = append(t.Rows, []string{x.Town, "odds", x.Cultivar, x.Part, x.Method, number(x.Before, 2), number(x.After, 2), x.WordBefore, x.WordAfter})
	}
	for _, x := range c.Needs {
		t.Rows = append(t.Rows, []string{"", "heat_cd", x.Cultivar, x.Part, "", number(x.Before, 0), number(x.After, 0), "", ""})
	}
	return t
}
