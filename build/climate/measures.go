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
	Entry
	Kind   Kind
	Value  func(*Season) Value
	Freeze func(*Season) Freeze
}

// IsDate tells whether the measure is a date.
func (m *Measure) IsDate() bool { return m.Kind == SpringFreeze || m.Kind == AutumnFreeze }

// thresholdNames are the thresholds in the order in which the columns come.
var thresholdNames = [4]struct {
	index           int
	suffix          string
	english, french string
}{
	{Zero, "_0", "0 °C (32 °F)", "0 °C"}, {P22, "_p22", "2.2 °C (36 °F)", "2,2 °C"},
	{M22, "_m22", "-2.2 °C (28 °F)", "−2,2 °C"}, {M44, "_m44", "-4.4 °C (24 °F)", "−4,4 °C"},
}

// HeatMeasure names the heat sum of a base in °C: heat_cd_base10.
func HeatMeasure(base float64) string { return "heat_cd_base" + decimal(base) }

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// SeasonMeasures returns the measures of a season in the order of the columns
// of seasons.csv, the heat sum named by its base in °C. missing_days and
// complete are no measures: they are fields of Season.
func SeasonMeasures(heatBase float64) []Measure {
	ms := make([]Measure, 0, 64)
	for _, t := range thresholdNames {
		ms = append(ms, freezeMeasures(t.index, t.suffix, t.english, t.french)...)
	}
	for _, m := range countMeasures {
		m.Policy = YearlyCount
		ms = append(ms, m)
	}
	ms = append(ms, heatMeasure(heatBase))
	return append(ms, winterMeasures...)
}

// freezeMeasures are the two dates and the length of one threshold.
func freezeMeasures(k int, suffix, english, french string) []Measure {
	limit := float64(Thresholds[k]) / 10
	at := " <= " + decimal(limit) + " °C"
	entry := func(name, unit, formula string, label, definition Bilingual) Entry {
		return Entry{Name: name + suffix, Unit: unit, Operator: "<=", Limit: limit, LimitUnit: "°C", Formula: formula,
			Label: label, Definition: definition, Source: sourceNCEI, Policy: FreezeDate}
	}
	return []Measure{
		{Kind: SpringFreeze, Freeze: func(s *Season) Freeze { return s.Last[k] },
			Entry: entry("last_spring_freeze", "date", "last d of the first seven months with TN(d)"+at,
				Bilingual{"last spring freeze, " + english, "dernier gel de printemps, " + french},
				Bilingual{"last day of the first seven months of the season with a low at or below " + english,
					"dernier jour des sept premiers mois de la saison avec un minimum de " + french + " ou moins"})},
		{Kind: AutumnFreeze, Freeze: func(s *Season) Freeze { return s.First[k] },
			Entry: entry("first_autumn_freeze", "date", "first d of the last five months with TN(d)"+at,
				Bilingual{"first autumn freeze, " + english, "premier gel d’automne, " + french},
				Bilingual{"first day of the last five months of the season with a low at or below " + english,
					"premier jour des cinq derniers mois de la saison avec un minimum de " + french + " ou moins"})},
		{Value: func(s *Season) Value { return s.Free[k] },
			Entry: entry("freeze_free_days", "days", "first autumn d - last spring d - 1, TN(d)"+at,
				Bilingual{"freeze-free days, " + english, "jours sans gel, " + french},
				Bilingual{"days strictly between the last spring and the first autumn day with a low at or below " + english + "; without such a day in a half, from the season's first day or to its last",
					"jours compris strictement entre le dernier jour de printemps et le premier jour d’automne avec un minimum de " + french + " ou moins ; faute d’un tel jour dans une moitié de la saison, depuis le premier jour de la saison ou jusqu’au dernier"})},
	}
}

// countMeasures are the ETCCDI counts.
var countMeasures = []Measure{
	{Value: func(s *Season) Value { return s.FrostDays }, Entry: Entry{Name: "frost_days", Unit: "days",
		Operator: "<", Limit: 0, LimitUnit: "°C", Formula: "FD = #{d: TN(d) < 0 °C}", Source: sourceETCCDI,
		Label:      Bilingual{"frost days", "jours de gel"},
		Definition: Bilingual{"days with a low below 0 °C", "jours dont le minimum est inférieur à 0 °C"}}},
	{Value: func(s *Season) Value { return s.IceDays }, Entry: Entry{Name: "ice_days", Unit: "days",
		Operator: "<", Limit: 0, LimitUnit: "°C", Formula: "ID = #{d: TX(d) < 0 °C}", Source: sourceETCCDI,
		Label:      Bilingual{"ice days", "jours sans dégel"},
		Definition: Bilingual{"days with a high below 0 °C", "jours dont le maximum est inférieur à 0 °C"}}},
	{Value: func(s *Season) Value { return s.SummerDays }, Entry: Entry{Name: "summer_days", Unit: "days",
		Operator: ">", Limit: 25, LimitUnit: "°C", Formula: "SU = #{d: TX(d) > 25 °C}", Source: sourceETCCDI,
		Label:      Bilingual{"summer days", "jours d’été"},
		Definition: Bilingual{"days with a high above 25 °C", "jours dont le maximum dépasse 25 °C"}}},
	{Value: func(s *Season) Value { return s.TropicalNights }, Entry: Entry{Name: "tropical_nights", Unit: "days",
		Operator: ">", Limit: 20, LimitUnit: "°C", Formula: "TR = #{d: TN(d) > 20 °C}", Source: sourceETCCDI,
		Label:      Bilingual{"tropical nights", "nuits tropicales"},
		Definition: Bilingual{"days with a low above 20 °C", "jours dont le minimum dépasse 20 °C"}}},
	{Value: func(s *Season) Value { return s.GSL }, Entry: Entry{Name: "gsl_days", Unit: "days",
		Operator: ">", Limit: 5, LimitUnit: "°C",
		Formula: "GSL = first d of 6 days with TG < 5 °C from midseason on - first d of 6 days with TG > 5 °C before it", Source: sourceETCCDI,
		Label: Bilingual{"growing season length", "durée de la saison de croissance"},
		Definition: Bilingual{"from the first six days in a row with a mean above 5 °C to the first six in a row below it after midsummer",
			"des six premiers jours de suite de moyenne supérieure à 5 °C aux six premiers de suite au-dessous après le milieu de l’été"}}},
}

func heatMeasure(base float64) Measure {
	b := decimal(base)
	return Measure{Value: func(s *Season) Value { return s.Heat }, Entry: Entry{Name: HeatMeasure(base), Unit: "°C·d",
		Operator: ">", Limit: base, LimitUnit: "°C",
		Formula: "sum over d of the mean over the day of max(0, T - " + b + " °C), T a sine between TN(d) and TX(d)",
		Source:  "Baskerville & Emin 1969, Ecology 50:514-517; Allen 1976, Environ. Entomol. 5:388-396",
		Policy:  HeatSum,
		Label:   Bilingual{"heat of the season, base " + b + " °C", "chaleur de la saison, base " + frenchDecimal(base) + " °C"},
		Definition: Bilingual{"sum over the season of the degree-days above " + b + " °C, each day's temperature a sine between its low and its high",
			"somme sur la saison des degrés-jours au-dessus de " + frenchDecimal(base) + " °C, la température de chaque jour étant une sinusoïde entre son minimum et son maximum"}}}
}

// frenchDecimal writes a number with a decimal comma.
func frenchDecimal(v float64) string {
	b := []byte(decimal(v))
	for i, c := range b {
		if c == '.' {
			b[i] = ','
		}
	}
	return string(b)
}

// winterMeasures are those of the winter of the row, and the rain, which is the
// last column.
var winterMeasures = []Measure{
	{Value: func(s *Season) Value { return s.WinterMin }, Entry: Entry{Name: "winter_min_c", Unit: "°C", Policy: WinterMinimum,
		Formula: "min TN(d) over the winter of the row", Source: "yearly extreme minimum as in the USDA Plant Hardiness Zone Map 2023, by winters",
		Label: Bilingual{"winter minimum", "minimum de l’hiver"},
		Definition: Bilingual{"lowest temperature of the winter around the season's start",
			"température la plus basse de l’hiver autour du début de la saison"}}},
	{Value: func(s *Season) Value { return s.Chill }, Entry: Entry{Name: "chill_portions", Unit: "portions", Policy: ChillSum,
		Formula: "x(h+1) = xs - (xs - s(h)) exp(-k1), xs = A0/A1 exp((E1 - E0)/TK), k1 = A1 exp(-E1/TK), TK = T(h) + 273; a portion x·b is banked where x >= 1",
		Source:  "Fishman, Erez & Couvillon 1987, J. Theor. Biol. 124:473-483 and 126:309-321; Erez et al. 1990, Acta Hort. 276:165-174; " + sourceLinvill,
		Label:   Bilingual{"chill portions", "portions de froid"},
		Definition: Bilingual{"winter chill from 1 November to 31 March (south: 1 May to 30 September) by the Dynamic Model, in portions that later warmth cannot undo",
			"froid hivernal du 1er novembre au 31 mars (au sud : du 1er mai au 30 septembre) selon le modèle dynamique, en portions que la chaleur ne peut plus défaire"}}},
	{Value: func(s *Season) Value { return s.ChillHours }, Entry: Entry{Name: "chill_hours", Unit: "hours", Policy: ChillSum,
		Operator: "<=", Limit: 7.2, LimitUnit: "°C", Formula: "#{h: 0 °C <= T(h) <= 7.2 °C}",
		Source: "Bennett 1949; Weinberger 1950; " + sourceLinvill,
		Label:  Bilingual{"chilling hours", "heures de froid"},
		Definition: Bilingual{"hours from 0 to 7.2 °C, both included, from 1 November to 31 March (south: 1 May to 30 September)",
			"heures de 0 à 7,2 °C, bornes comprises, du 1er novembre au 31 mars (au sud : du 1er mai au 30 septembre)"}}},
	{Value: func(s *Season) Value { return s.Utah }, Entry: Entry{Name: "utah_units", Unit: "units", Policy: ChillSum,
		Formula: "sum over h of 0 (T <= 1.4), 0.5 (<= 2.4), 1 (<= 9.1), 0.5 (<= 12.4), 0 (<= 15.9), -0.5 (<= 18.0), -1 (above)",
		Source:  "Richardson, Seeley & Walker 1974, HortScience 9:331-332; " + sourceLinvill,
		Label:   Bilingual{"Utah chill units", "unités de froid Utah"},
		Definition: Bilingual{"hours from 1 November to 31 March (south: 1 May to 30 September) weighted by their temperature, warm ones negative",
			"heures du 1er novembre au 31 mars (au sud : du 1er mai au 30 septembre) pondérées selon leur température, les chaudes en négatif"}}},
	{Value: func(s *Season) Value { return s.Precip }, Entry: Entry{Name: "precip_mm", Unit: "mm", Policy: RainSum,
		Formula: "sum of RR(d) over the season", Source: sourceWMO,
		Label:      Bilingual{"rain of the season", "pluie de la saison"},
		Definition: Bilingual{"rain and melted snow of the season", "pluie et neige fondue de la saison"}}},
}

// Measures returns the measures of normals.csv in order: those of a season,
// the months from January on, the hardiness zone.
func Measures(heatBase float64) []Measure {
	ms := SeasonMeasures(heatBase)
	for _, e := range monthMeasures {
		for m := range 12 {
			ms = append(ms, Measure{Value: func(s *Season) Value { return e.months(s)[m] },
				Entry: Entry{Name: fmt.Sprintf("%s%02d", e.name, m+1), Unit: e.unit, Policy: *e.policy, Formula: e.formula, Source: sourceWMO,
					Label:      Bilingual{e.label.English + monthsEnglish[m], e.label.French + monthsFrench[m]},
					Definition: Bilingual{e.definition.English + monthsEnglish[m], e.definition.French + monthsFrench[m]}}})
		}
	}
	return append(ms, Measure{Kind: Zone, Entry: Entry{Name: "hardiness_zone", Unit: "zone", Policy: WinterMinimum,
		Formula: "13 zones of 10 °F from -60 °F, halves a and b of 5 °F, lower limit included",
		Source:  "USDA-ARS Plant Hardiness Zone Map 2012 and 2023",
		Label:   Bilingual{"hardiness zone", "zone de rusticité"},
		Definition: Bilingual{"USDA half-zone of the mean winter minimum, before rounding",
			"demi-zone USDA de la moyenne des minimums d’hiver, avant arrondi"}}})
}

// monthMeasures are the measures that each month has.
var monthMeasures = [...]struct {
	name, unit, formula string
	policy              *Policy
	label, definition   Bilingual
	months              func(*Season) *[12]Value
}{
	{"tmin_mean_", "°C", "mean of TN(d) over the month", &MonthlyMean, Bilingual{"mean low, ", "minimum moyen, "},
		Bilingual{"mean of the daily lows of ", "moyenne des minimums quotidiens, mois : "}, func(s *Season) *[12]Value { return &s.MonthMin }},
	{"tmax_mean_", "°C", "mean of TX(d) over the month", &MonthlyMean, Bilingual{"mean high, ", "maximum moyen, "},
		Bilingual{"mean of the daily highs of ", "moyenne des maximums quotidiens, mois : "}, func(s *Season) *[12]Value { return &s.MonthMax }},
	{"precip_", "mm", "sum of RR(d) over the month", &RainSum, Bilingual{"rain, ", "pluie, "},
		Bilingual{"rain and melted snow of ", "pluie et neige fondue, mois : "}, func(s *Season) *[12]Value { return &s.MonthPrecip }},
}

var monthsEnglish = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
var monthsFrench = [12]string{"janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre", "octobre", "novembre", "décembre"}
