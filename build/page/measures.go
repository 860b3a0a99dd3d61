package page

import (
	"fmt"
	"strings"

	"ripeward/build/climate"
)

// MeasureDefinition says in one sentence how a measure of climate.Measures is
// counted. It is empty for a name that is no measure.
func MeasureDefinition(name string) string {
	thresholds := []struct{ suffix, words string }{
		{"_0", "≤ 0 °C (32 °F)"}, {"_p22", "≤ 2.2 °C (36 °F)"}, {"_m22", "≤ -2.2 °C (28 °F)"}, {"_m44", "≤ -4.4 °C (24 °F)"},
	}
	for _, t := range thresholds {
		kind, ok := strings.CutSuffix(name, t.suffix)
		if !ok {
			continue
		}
		switch kind {
		case "last_spring_freeze":
			return "last day of the first seven months of the season with a minimum " + t.words
		case "first_autumn_freeze":
			return "first day of the last five months of the season with a minimum " + t.words
		case "freeze_free_days":
			return "days strictly between the last spring and the first autumn day with a minimum " + t.words
		}
	}
	switch name {
	case "frost_days":
		return "days with a minimum below 0 °C (ETCCDI FD)"
	case "ice_days":
		return "days with a maximum below 0 °C (ETCCDI ID)"
	case "summer_days":
		return "days with a maximum above 25 °C (ETCCDI SU)"
	case "tropical_nights":
		return "days with a minimum above 20 °C (ETCCDI TR)"
	case "gsl_days":
		return "growing season length: from the first six days in a row with a mean above 5 °C to the first six below it after midsummer (ETCCDI GSL)"
	case "winter_min_c":
		return "lowest temperature of the winter around the season's start"
	case "precip_mm":
		return "rain and melted snow of the season; empty where a day is missing"
	case "hardiness_zone":
		return "USDA half-zone of the mean winter minimum; stands in the column mean"
	}
	if base, ok := strings.CutPrefix(name, "heat_cd_base"); ok {
		return "heat of the season: degree-days above " + base + " °C"
	}
	months := map[string]string{
		"tmin_mean_": "mean daily minimum of %s", "tmax_mean_": "mean daily maximum of %s", "precip_": "rain and melted snow of %s",
	}
	for prefix, words := range months {
		if month, ok := strings.CutPrefix(name, prefix); ok && len(month) == 2 {
			for i, m := range monthNames {
				if fmt.Sprintf("%02d", i+1) == month {
					return fmt.Sprintf(words, m)
				}
			}
		}
	}
	return ""
}

// MeasuresTable lists the measures of normals.csv in their order.
func MeasuresTable(heatBase float64) Table {
	t := Table{Name: "measures", Key: []string{"measure"}, Columns: []Column{
		{Name: "measure", Type: "string"}, {Name: "unit", Type: "string"}, {Name: "definition", Type: "string"},
	}}
	for _, m := range climate.Measures(heatBase) {
		t.Rows = append(t.Rows, []string{m.Name, m.Unit, MeasureDefinition(m.Name)})
	}
	return t
}
