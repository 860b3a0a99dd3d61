package climate

import "ripeward/build/quantity"

// Policy says how much may be missing before a measure is invalid. The rules
// are those of WMO-No. 1203 (2017), adapted; each stands in a variable below
// so that pages can print it.
type Policy struct {
	Name       Bilingual
	Basis      Bilingual // the limits in words, and where they come from
	MaxMissing int       // days missing in the window of the measure
	MaxRun     int       // longest run of missing days in it; NoLimit for none
	MaxInMonth int       // missing days in any one month of it; NoLimit for none
}

// NoLimit stands in a Policy for a limit that it does not have.
const NoLimit = 1 << 30

// The policies, SCIENCE section 2. Days outside the record are missing days.
// Days filled from another station count as present, except for freezes and
// the winter minimum, which they must never set: there they are missing.
var (
	// MonthlyMean holds for the mean Tmin and the mean Tmax of a month.
	MonthlyMean = Policy{
		Bilingual{"monthly mean", "moyenne mensuelle"},
		Bilingual{"WMO-No. 1203: at most 10 days missing, at most 4 in a row",
			"OMM-N° 1203 : au plus 10 jours manquants, au plus 4 de suite"},
		10, 4, NoLimit}
	// RainSum holds for the rain of a month, of a year and of a window.
	RainSum = Policy{
		Bilingual{"rain sum", "cumul de pluie"},
		Bilingual{"WMO-No. 1203: a sum allows no missing day",
			"OMM-N° 1203 : un cumul n’admet aucun jour manquant"},
		0, 0, 0}
	// HeatSum holds for days without Tmin or Tmax from 1 March to 31 October,
	// before gaps are filled; after it none may be left there. MaxRun is the
	// longest gap of one element that is filled linearly.
	HeatSum = Policy{
		Bilingual{"heat sum", "somme de chaleur"},
		Bilingual{"WMO-No. 1203, adapted: 1 March-31 October, at most 10 days missing, gaps of at most 4 filled linearly",
			"OMM-N° 1203, adaptée : du 1er mars au 31 octobre, au plus 10 jours manquants, lacunes d’au plus 4 jours comblées par interpolation linéaire"},
		10, 4, NoLimit}
	// ChillSum holds for days without Tmin or Tmax from 1 November to 31
	// March, before gaps are filled; after it none may be left there. MaxRun
	// is as in HeatSum.
	ChillSum = Policy{
		Bilingual{"chill sum", "somme de froid"},
		Bilingual{"WMO-No. 1203, adapted: 1 November-31 March, at most 10 days missing, gaps of at most 4 filled linearly; the latitude must be known",
			"OMM-N° 1203, adaptée : du 1er novembre au 31 mars, au plus 10 jours manquants, lacunes d’au plus 4 jours comblées par interpolation linéaire ; la latitude doit être connue"},
		10, 4, NoLimit}
	// YearlyCount holds for frost, ice and summer days, tropical nights and
	// the growing season length.
	YearlyCount = Policy{
		Bilingual{"yearly count", "comptage annuel"},
		Bilingual{"ETCCDI as in climdex: at most 15 days missing a year, at most 3 in any month",
			"ETCCDI comme dans climdex : au plus 15 jours manquants par an, au plus 3 dans un même mois"},
		15, NoLimit, 3}
	// FreezeDate holds for 1 March-31 July and 1 August-31 December; see
	// FreezeRiskPercent for the days that matter most.
	FreezeDate = Policy{
		Bilingual{"freeze date", "date de gel"},
		Bilingual{"adapted: at most 10 days missing in the half season, and none where a freeze is likely beyond the date found",
			"adaptée : au plus 10 jours manquants dans la demi-saison, et aucun là où un gel est probable au-delà de la date trouvée"},
		10, NoLimit, NoLimit}
	// WinterMinimum holds for December-February; the minimum is taken over the
	// whole winter.
	WinterMinimum = Policy{
		Bilingual{"winter minimum", "minimum de l’hiver"},
		Bilingual{"WMO-No. 1203, adapted: December-February, at most 10 days missing, at most 4 in a row",
			"OMM-N° 1203, adaptée : de décembre à février, au plus 10 jours manquants, au plus 4 de suite"},
		10, 4, NoLimit}
	// Normal80 holds for figures over a span of years.
	Normal80 = Policy{
		Bilingual{"normal", "normale"},
		Bilingual{"WMO-No. 1203: at least 80 % of the years of the span valid, else marked",
			"OMM-N° 1203 : au moins 80 % des années de la période valides, sinon signalé"},
		NoLimit, NoLimit, NoLimit}
	// OneDay holds for figures of a day or an hour: they need its temperatures.
	OneDay = Policy{
		Bilingual{"single day", "jour isolé"},
		Bilingual{"the values of the day itself must be there", "les valeurs du jour même doivent être présentes"},
		0, 0, 0}
	// NoRecord holds for figures that follow from place and date alone.
	NoRecord = Policy{
		Bilingual{"no record", "sans relevé"},
		Bilingual{"follows from latitude and date alone", "découle de la seule latitude et de la date"},
		NoLimit, NoLimit, NoLimit}
)

// A missing day beyond the freeze found makes the date invalid when the
// station's own share of days at or below the threshold, within
// FreezeRiskDays of that day of season over all years of the record, exceeds
// FreezeRiskPercent.
const (
	FreezeRiskPercent = 10
	FreezeRiskDays    = 7
)

// Accepts tells whether that much may be missing.
func (p Policy) Accepts(g Gaps) bool {
	return g.Missing <= p.MaxMissing && g.Run <= p.MaxRun && g.InMonth <= p.MaxInMonth
}

// Gaps says what is missing in a window of days.
type Gaps struct {
	Missing int // days
	Run     int // longest run of them
	InMonth int // most in one month; 0 where months were not looked at
}

// CountGaps returns what is missing in days, which may be any stretch of one
// element.
func CountGaps(days []quantity.Tenths) Gaps {
	var g Gaps
	run := 0
	for _, t := range days {
		if t != quantity.Missing {
			run = 0
			continue
		}
		g.Missing++
		run++
		g.Run = max(g.Run, run)
	}
	return g
}

// NormalPercent is the share of the years of a span that must be valid for a
// normal (WMO-No. 1203: 80 %, 24 of 30).
const NormalPercent = 80

// EnoughYears tells whether that many valid years make a normal of the span.
func EnoughYears(valid int, span Span) bool {
	return span.Years() > 0 && valid*100 >= NormalPercent*span.Years()
}
