package climate

import "ripeward/build/quantity"

// Policy says how much may be missing before a measure is invalid. The rules
// are those of WMO-No. 1203 (2017), adapted; each stands in a variable below
// so that pages can print it.
type Policy struct {
	Name       string
	Basis      string // where the limits come from
	MaxMissing int    // days missing in the window of the measure
	MaxRun     int    // longest run of missing days in it; NoLimit for none
	MaxInMonth int    // missing days in any one month of it; NoLimit for none
}

// NoLimit stands in a Policy for a limit that it does not have.
const NoLimit = 1 << 30

// The policies, SCIENCE section 2. Days outside the record are missing days.
// Days filled from another station count as present, except for freezes and
// the winter minimum, which they must never set: there they are missing.
var (
	// MonthlyMean holds for the mean Tmin and the mean Tmax of a month.
	MonthlyMean = Policy{"monthly mean", "WMO-No. 1203: at most 10 missing, at most 4 in a row", 10, 4, NoLimit}
	// RainSum holds for the rain of a month and of a year.
	RainSum = Policy{"rain sum", "WMO-No. 1203: a sum allows no missing day", 0, 0, 0}
	// HeatSum holds for days without Tmin or Tmax from 1 March to 31 October,
	// before gaps are filled; after it none may be left there. MaxRun is the
	// longest gap of one element that is filled linearly.
	HeatSum = Policy{"heat sum", "WMO-No. 1203, adapted: 1 March-31 October, at most 10 missing, gaps of at most 4 filled linearly", 10, 4, NoLimit}
	// YearlyCount holds for frost, ice and summer days, tropical nights and
	// the growing season length.
	YearlyCount = Policy{"yearly count", "ETCCDI as in climdex: at most 15 missing a year, at most 3 in any month", 15, NoLimit, 3}
	// FreezeDate holds for 1 March-31 July and 1 August-31 December; see
	// FreezeRiskPercent for the days that matter most.
	FreezeDate = Policy{"freeze date", "adapted: at most 10 missing, and none where a freeze is likely beyond the date found", 10, NoLimit, NoLimit}
	// WinterMinimum holds for December-February; the minimum is taken over the
	// whole winter.
	WinterMinimum = Policy{"winter minimum", "WMO-No. 1203, adapted: December-February, at most 10 missing, at most 4 in a row", 10, 4, NoLimit}
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
