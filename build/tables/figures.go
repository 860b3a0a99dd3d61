package tables

import (
	"fmt"
	"math"
	"strconv"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// none stands for a valid season, or share of years, without the event.
const none = "none"

const (
	isoOrNone      = `none|\d{4}-\d{2}-\d{2}`
	monthDayOrNone = `none|\d{2}-\d{2}`
)

// decimals is how many a unit's figures are printed with; see almanac's steps.
func decimals(unit string) int {
	switch unit {
	case "°C", "mm", "portions", "units":
		return 1
	}
	return 0
}

// number prints v, which is rounded already, with d decimals; NaN is empty.
func number(v float64, d int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'f', d, 64)
}

func value(v climate.Value, d int) string {
	if !v.OK {
		return ""
	}
	return number(v.V, d)
}

func monthDay(h day.Hemisphere, r day.Rank) string {
	m, d := h.MonthDay(r)
	return fmt.Sprintf("%02d-%02d", m, d)
}

// idDescriptions says what the id columns are.
var idDescriptions = map[string]string{"town_id": "town", "station_id": "station, by its publisher's id"}

// SeasonsTable lists seasons as published, one row per id and year, with a
// column per measure. heatBase is the base of the heat sum in °C and names its
// column. ids and seasons go together.
func SeasonsTable(idColumn string, ids []string, seasons [][]climate.Season, heatBase float64) Table {
	t := Table{Name: "seasons", Key: []string{idColumn, "year"}, Columns: []Column{
		{Name: idColumn, Type: "string", Description: idDescriptions[idColumn]},
		{Name: "year", Type: "year", Description: "season year; in the south the year in which it begins"},
		{Name: "complete", Type: "string", Description: figureWords("complete"), Allowed: []string{"yes", "no"}},
	}}
	measures := climate.SeasonMeasures(heatBase)
	for _, m := range measures {
		c := Column{Name: m.Name, Unit: m.Unit, Type: "integer", Description: describeFigure(&m.Entry)}
		switch {
		case m.IsDate():
			// A date column of a Table Schema could not hold "none".
			c.Type, c.Unit, c.Pattern = "string", "", isoOrNone
			c.Description += "; none: a valid season without one"
		case decimals(m.Unit) > 0:
			c.Type = "number"
		}
		t.Columns = append(t.Columns, c)
	}
	t.Columns = append(t.Columns, Column{Name: "missing_days", Type: "integer", Unit: "days", Description: figureWords("missing_days")})
	for i, id := range ids {
		for k := range seasons[i] {
			s := &seasons[i][k]
			row := make([]string, 0, len(t.Columns))
			row = append(row, id, strconv.Itoa(s.Year), map[bool]string{true: "yes", false: "no"}[s.Complete])
			for _, m := range measures {
				if m.IsDate() {
					row = append(row, freezeCell(m.Freeze(s)))
				} else {
					row = append(row, value(m.Value(s), decimals(m.Unit)))
				}
			}
			t.Rows = append(t.Rows, append(row, strconv.Itoa(s.MissingDays)))
		}
	}
	return t
}

func freezeCell(f climate.Freeze) string {
	switch f.Outcome {
	case climate.Found:
		return f.Date.String()
	case climate.Never:
		return none
	}
	return ""
}

// NormalsTable lists normals as published, one row per id and measure. Dates
// print as month and day by the id's hemisphere. ids, hemispheres and normals
// go together.
func NormalsTable(idColumn string, ids []string, hemispheres []day.Hemisphere, normals [][]climate.Normal) Table {
	t := Table{Name: "normals", Key: []string{idColumn, "measure"}, Columns: []Column{
		{Name: idColumn, Type: "string", Description: idDescriptions[idColumn]},
		{Name: "measure", Type: "string", Description: "a column of the seasons, a month's mean, or hardiness_zone"},
		{Name: "unit", Type: "string", Description: "unit of the figures in this row; date: month and day"},
		{Name: "first_year", Type: "year", Description: "first season of the span"},
		{Name: "last_year", Type: "year", Description: "last season of the span"},
		{Name: "years", Type: "integer", Unit: "years", Description: "valid seasons in the span; below 80 % of it the figures are shaky"},
		{Name: "years_with", Type: "integer", Unit: "years", Description: "seasons with such a freeze; the same as years for other measures"},
		{Name: "mean", Type: "any", Description: "mean; of dates over the seasons with a freeze"},
	}}
	figure := func(name, description string) {
		t.Columns = append(t.Columns, Column{Name: name, Type: "any", Description: description})
	}
	for i := range 9 {
		p := strconv.Itoa(10 * (i + 1))
		figure("p"+p, "not exceeded in "+p+" % of seasons (quantile type 7); none: falls on seasons without such a freeze")
	}
	for i := range 9 {
		p := strconv.Itoa(10 * (i + 1))
		figure("low_p"+p, "lower end of the 90 % interval of p"+p)
		figure("high_p"+p, "upper end of the 90 % interval of p"+p)
	}
	t.Columns = append(t.Columns,
		Column{Name: "trend_per_decade", Type: "number", Description: "Theil-Sen slope over the span, in the row's unit per ten years; of dates in days"},
		Column{Name: "trend_p", Type: "number", Description: "two-sided p of the Mann-Kendall test"})
	for i, id := range ids {
		for k := range normals[i] {
			t.Rows = append(t.Rows, normalRow(id, hemispheres[i], &normals[i][k]))
		}
	}
	return t
}

func normalRow(id string, h day.Hemisphere, n *climate.Normal) []string {
	d := decimals(n.Unit)
	if n.Unit == "days" {
		d = 1
	}
	point := func(p climate.Point) string {
		switch {
		case !p.OK:
			return ""
		case p.None:
			return none
		case n.Unit == "date":
			return monthDay(h, day.Rank(p.V))
		}
		return number(p.V, d)
	}
	mean := point(climate.Point{V: n.Mean.V, OK: n.Mean.OK})
	if n.Zone != "" {
		mean = n.Zone
	}
	row := []string{id, n.Measure, n.Unit, strconv.Itoa(n.Span.First), strconv.Itoa(n.Span.Last), strconv.Itoa(n.Years), strconv.Itoa(n.YearsWith), mean}
	for _, p := range n.P {
		row = append(row, point(p))
	}
	for i := range n.Low {
		row = append(row, point(n.Low[i]), point(n.High[i]))
	}
	return append(row, value(n.Trend, 2), value(n.TrendP, 3))
}
