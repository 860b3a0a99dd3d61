package climate

import (
	"fmt"
	"strconv"
)

// Kind tells how the values of a measure are read.
type Kind int8

const (
	Number       Kind = iota // a figure, Measure.Value
	SpringFreeze             // a date that may be before all dates, Measure.Freeze
	AutumnFreeze             // a date that may be after all dates, Measure.Freeze
	Zone                     // hardiness_zone, which only normals have
)

// Measure is one figure of a season: a column of seasons.csv or a row of
// normals.csv. Exactly one of Value and Freeze is set, neither for Zone.
type Measure struct {
	Name   string
	Unit   string // date, days, °C, mm, °C·d, zone
	Kind   Kind
	Value  func(*Season) Value
	Freeze func(*Season) Freeze
}

// IsDate tells whether the measure is a date.
func (m *Measure) IsDate() bool { return m.Kind == SpringFreeze || m.Kind == AutumnFreeze }

// thresholdSuffixes are the names of the thresholds in measures, in the order
// in which the columns come.
var thresholdSuffixes = [4]struct {
	index  int
	suffix string
}{{Zero, "_0"}, {P22, "_p22"}, {M22, "_m22"}, {M44, "_m44"}}

// HeatMeasure names the heat sum of a base in °C: heat_cd_base10.
func HeatMeasure(base float64) string {
	return "heat_cd_base" + strconv.FormatFloat(base, 'f', -1, 64)
}

// SeasonMeasures returns the measures of a season in the order of the columns
// of seasons.csv, the heat sum named by its base in °C. missing_days and
// complete are no measures: they are fields of Season.
func SeasonMeasures(heatBase float64) []Measure {
	ms := make([]Measure, 0, 20)
	for _, t := range thresholdSuffixes {
		k := t.index
		ms = append(ms,
			Measure{Name: "last_spring_freeze" + t.suffix, Unit: "date", Kind: SpringFreeze, Freeze: func(s *Season) Freeze { return s.Last[k] }},
			Measure{Name: "first_autumn_freeze" + t.suffix, Unit: "date", Kind: AutumnFreeze, Freeze: func(s *Season) Freeze { return s.First[k] }},
			Measure{Name: "freeze_free_days" + t.suffix, Unit: "days", Value: func(s *Season) Value { return s.Free[k] }})
	}
	return append(ms,
		Measure{Name: "frost_days", Unit: "days", Value: func(s *Season) Value { return s.FrostDays }},
		Measure{Name: "ice_days", Unit: "days", Value: func(s *Season) Value { return s.IceDays }},
		Measure{Name: "summer_days", Unit: "days", Value: func(s *Season) Value { return s.SummerDays }},
		Measure{Name: "tropical_nights", Unit: "days", Value: func(s *Season) Value { return s.TropicalNights }},
		Measure{Name: "gsl_days", Unit: "days", Value: func(s *Season) Value { return s.GSL }},
		Measure{Name: HeatMeasure(heatBase), Unit: "°C·d", Value: func(s *Season) Value { return s.Heat }},
		Measure{Name: "winter_min_c", Unit: "°C", Value: func(s *Season) Value { return s.WinterMin }},
		Measure{Name: "precip_mm", Unit: "mm", Value: func(s *Season) Value { return s.Precip }},
	)
}

// Measures returns the measures of normals.csv in order: those of a season,
// the months from January on, the hardiness zone.
func Measures(heatBase float64) []Measure {
	ms := SeasonMeasures(heatBase)
	for _, e := range [...]struct {
		name, unit string
		months     func(*Season) *[12]Value
	}{
		{"tmin_mean_", "°C", func(s *Season) *[12]Value { return &s.MonthMin }},
		{"tmax_mean_", "°C", func(s *Season) *[12]Value { return &s.MonthMax }},
		{"precip_", "mm", func(s *Season) *[12]Value { return &s.MonthPrecip }},
	} {
		for m := range 12 {
			ms = append(ms, Measure{Name: fmt.Sprintf("%s%02d", e.name, m+1), Unit: e.unit,
				Value: func(s *Season) Value { return e.months(s)[m] }})
		}
	}
	return append(ms, Measure{Name: "hardiness_zone", Unit: "zone", Kind: Zone})
}
