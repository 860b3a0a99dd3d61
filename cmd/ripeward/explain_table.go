package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/tables"
)

// months are the calendar months in the order of the season.
func (t *told) months() []int {
	first := 1
	if t.h == day.South {
		first = 7
	}
	var out []int
	for i := range 12 {
		out = append(out, (first-1+i)%12+1)
	}
	return out
}

// yearsTable is the table to read, with columns for what happened at all.
func (t *told) yearsTable() tables.Table {
	years := t.e.Years
	some := func(has func(*almanac.ExplainedYear) bool) bool {
		return slices.ContainsFunc(years, func(y almanac.ExplainedYear) bool { return has(&y) })
	}
	table := tables.Table{Name: "years", Rows: make([][]string, len(years))}
	add := func(name, kind string, cell func(*almanac.ExplainedYear) string) {
		table.Columns = append(table.Columns, tables.Column{Name: name, Type: kind})
		for i := range years {
			table.Rows[i] = append(table.Rows[i], cell(&years[i]))
		}
	}
	add("year", "string", func(y *almanac.ExplainedYear) string {
		if !y.Counts {
			return t.h.Label(y.Year) + "*"
		}
		return t.h.Label(y.Year)
	})
	if some(func(y *almanac.ExplainedYear) bool { return y.Wake != day.None }) {
		add("woken", "string", func(y *almanac.ExplainedYear) string { return shortDay(y.Wake) })
	}
	add("in leaf", "string", func(y *almanac.ExplainedYear) string { return shortDay(y.LeafOut) })
	if some(func(y *almanac.ExplainedYear) bool { return y.Out != day.None }) {
		add("out", "string", func(y *almanac.ExplainedYear) string { return shortDay(y.Out) })
	}
	if some(func(y *almanac.ExplainedYear) bool { return len(y.SetBacks) > 0 }) {
		add("set back", "string", func(y *almanac.ExplainedYear) string { return strings.Join(shortDays(y.SetBacks), ", ") })
		add("lost", "integer", func(y *almanac.ExplainedYear) string {
			if len(y.SetBacks) == 0 {
				return ""
			}
			return heat(y.LostHeat)
		})
	}
	for _, m := range t.months() {
		if some(func(y *almanac.ExplainedYear) bool { return y.ByMonth[m-1] != 0 }) {
			add(monthNames[m-1][:3], "integer", func(y *almanac.ExplainedYear) string {
				if y.ByMonth[m-1] == 0 {
					return ""
				}
				return heat(y.ByMonth[m-1])
			})
		}
	}
	add("heat", "integer", func(y *almanac.ExplainedYear) string { return heat(y.Heat) })
	if t.answered() {
		add("first ripe", "string", func(y *almanac.ExplainedYear) string { return shortDay(y.FirstRipe) })
	}
	add("last day", "string", func(y *almanac.ExplainedYear) string { return shortDay(y.LastDay) })
	add("ended by", "string", endedCell)
	if some(func(y *almanac.ExplainedYear) bool { return y.Kill > 0 }) {
		add("wood killed", "number", func(y *almanac.ExplainedYear) string { return fmt.Sprintf("%.2f", y.Kill) })
	}
	if some(func(y *almanac.ExplainedYear) bool { return y.Carried > 0 }) {
		add("carried", "integer", func(y *almanac.ExplainedYear) string { return itoa(y.Carried) })
	}
	if t.answered() {
		add("chance", "number", func(y *almanac.ExplainedYear) string { return chance(y.P) })
	}
	add("reading", "string", func(y *almanac.ExplainedYear) string { return t.reading(y) })
	return table
}

// answered tells whether there are odds: without them a year's heat is told,
// but meets no need.
func (t *told) answered() bool { return t.e.Odds.Reason == "" }

// chance prints a chance to 0.01; nothing where there is none.
func chance(p float64) string {
	if math.IsNaN(p) {
		return ""
	}
	return fmt.Sprintf("%.2f", p)
}

func shortDays(days []day.Date) []string {
	var out []string
	for _, d := range days {
		out = append(out, shortDay(d))
	}
	return out
}

// endedCell is what ended ripening, short: "freeze -3.1 °C".
func endedCell(y *almanac.ExplainedYear) string {
	if math.IsNaN(y.EndValue) {
		return endWord(y.Ended)
	}
	unit := "°C"
	if y.Ended == "short-days" {
		unit = "h"
	}
	return fmt.Sprintf("%s %.1f %s", endWord(y.Ended), y.EndValue, unit)
}

func endWord(ended string) string { return strings.ReplaceAll(ended, "-", " ") }

// reading names the station and the line of the file that a season's end was
// read from.
func (t *told) reading(y *almanac.ExplainedYear) string {
	at := placed(t.dir, y.Place)
	at.Column = 0
	return strings.TrimSpace(y.Station + " " + at.String())
}

// footnotes explain the table.
func (t *told) footnotes() []string {
	var out []string
	if slices.ContainsFunc(t.e.Years, func(y almanac.ExplainedYear) bool { return !y.Counts }) {
		out = append(out, "* outside the reference years: shown, not counted.")
	}
	if gaps := t.gaps(); len(gaps) > 0 {
		out = append(out, listed(gaps)+": no valid weather, so not counted.")
	}
	return append(out, "Heat in °C·d from leaf-out. Ended by: the felt low of a freeze, the mean of ten days for cold, the hours of a short day.")
}

// reference is the span that the odds stand on.
func (t *told) reference() climate.Span {
	if s := t.club.Settings; s.FirstRef != 0 {
		return climate.Span{First: s.FirstRef, Last: s.LastRef}
	}
	return t.e.Odds.Years
}

// gaps are the reference years that could not be counted.
func (t *told) gaps() []string {
	var out []string
	for s, y := t.reference(), 0; s.First+y <= s.Last && s.First > 0; y++ {
		if told := t.yearOf(s.First + y); told == nil || !told.Counts {
			out = append(out, t.h.Label(s.First+y))
		}
	}
	return out
}

func (t *told) yearOf(year int) *almanac.ExplainedYear {
	for i := range t.e.Years {
		if t.e.Years[i].Year == year {
			return &t.e.Years[i]
		}
	}
	return nil
}

// table has one row a year, or that of one year alone where it is not 0.
func (t *told) table(only int) tables.Table {
	text := func(name string) tables.Column { return tables.Column{Name: name, Type: "string"} }
	date := func(name string) tables.Column { return tables.Column{Name: name, Type: "date"} }
	whole := func(name, unit string) tables.Column { return tables.Column{Name: name, Type: "integer", Unit: unit} }
	table := tables.Table{Name: "years", Key: []string{"year"}, Columns: []tables.Column{
		text("town_id"), text("cultivar_id"), text("crop_part"), text("method_id"), whole("head_start_weeks", ""), text("brebas"),
		{Name: "year", Type: "year"}, text("counts"), date("woken_on"), date("leafed_on"), date("out_on"), text("set_backs"), whole("lost_heat_cd", "°C·d")}}
	for m := range 12 {
		table.Columns = append(table.Columns, whole(fmt.Sprintf("heat_cd_%02d", m+1), "°C·d"))
	}
	table.Columns = append(table.Columns, whole("heat_cd", "°C·d"), date("first_ripe"), date("last_ripening_day"), text("ended_by"), date("ended_on"),
		tables.Column{Name: "ended_value", Type: "number"}, whole("carried_nights", ""), tables.Column{Name: "wood_kill_chance", Type: "number"},
		tables.Column{Name: "chance", Type: "number"}, text("station_id"), text("file"), whole("line", ""))
	for i := range t.e.Years {
		if y := &t.e.Years[i]; only == 0 || y.Year == only {
			table.Rows = append(table.Rows, t.row(y))
		}
	}
	return table
}

func (t *told) row(y *almanac.ExplainedYear) []string {
	o := &t.e.Odds
	var setBacks []string
	for _, d := range y.SetBacks {
		setBacks = append(setBacks, d.String())
	}
	whole := func(v float64) string { return itoa(int(math.Round(v))) }
	row := []string{t.e.Town, o.Cultivar, o.Part, o.Method, itoa(o.Weeks), o.Brebas, itoa(y.Year), yesNo(y.Counts),
		y.Wake.String(), y.LeafOut.String(), y.Out.String(), strings.Join(setBacks, ";"), whole(y.LostHeat)}
	for _, v := range y.ByMonth {
		row = append(row, whole(v))
	}
	value, line, ripe, p := "", "", "", ""
	if t.answered() {
		ripe, p = y.FirstRipe.String(), chance(y.P)
	}
	if !math.IsNaN(y.EndValue) {
		value = fmt.Sprintf("%.1f", y.EndValue)
	}
	at := placed(t.dir, y.Place)
	if at.Line > 0 {
		line = itoa(at.Line)
	}
	return append(row, whole(y.Heat), ripe, y.LastDay.String(), y.Ended, y.EndDay.String(), value, itoa(y.Carried),
		fmt.Sprintf("%.2f", y.Kill), p, y.Station, at.File, line)
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
