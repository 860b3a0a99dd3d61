// Package climate computes the figures of a season from a daily record: freeze
// dates, counts of days, heat sums, the winter's lowest, monthly means, their
// percentiles and trends. It is pure: it knows nothing of files, clubs or
// pages. Definitions and completeness rules are those of SCIENCE, sections 1-4.
package climate

import (
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// Daily is the daily record that figures are computed from: one entry per day
// from First on, quantity.Missing where unknown. Temperatures are in tenths of
// °C, Precip in tenths of mm; Precip may be nil.
type Daily struct {
	First              day.Date
	TMin, TMax, Precip []quantity.Tenths
	Hemisphere         day.Hemisphere
	// Latitude gives day length and hourly temperatures; where it is unknown,
	// as in the zero value, figures that need them are not OK.
	Latitude Latitude
	// FilledMin and FilledMax tell which days were filled from another
	// station; nil means none. A filled day never sets a freeze or an extreme.
	FilledMin, FilledMax []bool
}

// Last returns the last day of the record.
func (d *Daily) Last() day.Date { return d.First + day.Date(len(d.TMin)) - 1 }

// Value is a figure that may be invalid (too much missing).
type Value struct {
	V  float64
	OK bool
}

// Outcome says how the search for a freeze ended.
type Outcome int8

const (
	Invalid Outcome = iota // too many days missing to tell
	Never                  // a valid half season without such a freeze
	Found
)

// Freeze is the last spring or first autumn freeze of one season.
type Freeze struct {
	Outcome Outcome
	Rank    day.Rank // day of season, where Found
	Date    day.Date // the day itself, where Found
}

// The four freeze thresholds, Tmin ≤ 2.2, 0, -2.2, -4.4 °C (36, 32, 28, 24 °F),
// index Season.Last and its siblings.
const (
	P22 = iota
	Zero
	M22
	M44
)

// Thresholds are the freeze thresholds in tenths of °C, in index order.
var Thresholds = [4]quantity.Tenths{22, 0, -22, -44}

// Season holds the figures of one season year. Temperatures in °C, rain in mm,
// heat in °C·d, chill in its own units, the rest in days. Figures are not
// rounded.
type Season struct {
	Year                                           int
	Last, First                                    [4]Freeze
	Free                                           [4]Value // days strictly between the two freezes
	FrostDays, IceDays, SummerDays, TropicalNights Value
	GSL, Heat, HeatMean, WinterMin, Precip         Value     // HeatMean: the same sum by daily means
	Chill, ChillHours, Utah                        Value     // of the winter of the row: portions, hours, units
	MonthMin, MonthMax, MonthPrecip                [12]Value // by calendar month, January first
	MissingDays                                    int       // days of the season without Tmin or Tmax
	HeatFilled                                     int       // single values filled linearly for the heat sum
	Complete                                       bool
}

// Span is a span of season years, both ends included.
type Span struct{ First, Last int }

// Years returns the number of years in the span.
func (s Span) Years() int { return s.Last - s.First + 1 }

// Has tells whether year y lies in the span.
func (s Span) Has(y int) bool { return y >= s.First && y <= s.Last }

// Point is a percentile of a measure. None: it falls on seasons without such a
// freeze. OK is false where the measure has no valid year.
type Point struct {
	V    float64 // for dates: a rank, whole, rounded to the cautious side
	None bool
	OK   bool
}

// Normal is one measure over a span of years.
type Normal struct {
	Measure   string // a column of seasons.csv, tmin_mean_01 ..., hardiness_zone
	Unit      string // date, days, °C, mm, °C·d, portions, hours, units, zone
	Kind      Kind   // tells spring dates from autumn dates
	Span      Span
	Years     int  // valid years
	YearsWith int  // years with a freeze; = Years for other measures
	Enough    bool // at least 80 % of the span is valid
	Mean      Value
	P         [9]Point // 10, 20 ... 90 %
	Low       [9]Point // 90 % interval of each of P: its lower end
	High      [9]Point // and its upper end
	Trend     Value    // per decade, Theil-Sen
	TrendP    Value    // Mann-Kendall, two-sided
	Zone      string   // hardiness_zone only
}
