// Package needs learns the heat needs of cultivars, and how much they scatter
// between gardens and between years, from growers' reports, of which many are
// only bounds: a week in which the first fruit was ripe, "not ripe when the
// season ended", "already ripe when I looked".
//
// The heat h from the start of growth to the first ripe fruit, °C·d, of
// report i of need c (a cultivar and crop part) by grower g of crop k is
//
//	h = mu_c + z_g·G_c + e,  z_g ~ N(0, 1),  e ~ N(0, Y_c² + startSd_i²)
//	G_c = GardenSd_c·exp(a_k),  Y_c = YearSd_c·exp(b_k),  a_k, b_k ~ N(0, 0.35²)
//	mu_c ~ N(Mu_c, SE_c²)
//
// with Mu, SE, GardenSd and YearSd the need's prior. A censored report
// contributes the probability of its interval. The garden effects z are
// integrated out, grower by grower; the rest is fitted jointly at the
// posterior's mode, with standard errors from the analytic Hessian there.
//
// Where a failure may have gone unreported, each report is seen only when it
// is a success, or a failure that was reported, with chance r, one for the
// whole club, logit r ~ N(0, 1.5²): see [Options].
//
// The package knows no weather, no files and no club.
package needs

// Prior is what is known of a need before any report.
type Prior struct {
	Crop     int     // needs of one crop share the factors on their scatters
	Mu       float64 // expected heat need, °C·d
	SE       float64 // standard error of Mu, °C·d
	GardenSd float64 // scatter between gardens, °C·d
	YearSd   float64 // scatter between years in one garden, °C·d
}

// Kind says what a report tells of the heat to the first ripe fruit.
type Kind uint8

// The kinds of report.
const (
	Exact   Kind = iota // h is Lo (= Hi)
	Between             // Lo < h ≤ Hi
	Above               // h > Lo: not ripe at the last look
	Below               // h ≤ Hi: already ripe at the first look
)

// String returns the kind's name.
func (k Kind) String() string {
	switch k {
	case Exact:
		return "exact"
	case Between:
		return "between"
	case Above:
		return "above"
	case Below:
		return "below"
	}
	return "unknown kind"
}

// Observation is one report, in heat.
type Observation struct {
	Need    int     // index into the priors
	Grower  int     // one index a grower and crop
	Kind    Kind    // what Lo and Hi mean
	Lo, Hi  float64 // °C·d; Exact: both; Above: Lo; Below: Hi
	StartSd float64 // doubt of the start of growth, °C·d
	Supply  float64 // heat of that season by its last ripening day, °C·d; NaN unknown
	Kept    bool    // a person said to keep it: the hold rule does not apply
}

// Options of a fit.
type Options struct {
	// UnreportedFailures fits r, the chance that a failure is reported. With
	// F = P(h ≤ Supply) given the garden, a success's likelihood is divided
	// by F + r(1−F), and a failure's is times r over the same. A report of
	// unknown Supply is not corrected.
	//
	// The division is made given the garden, inside the integral over its
	// effect: which of a garden's reports are seen depends on that garden's
	// own F, while gardens are taken to join the club whether or not anything
	// ripens there, so that their effects stay N(0, 1). (Dividing by the
	// chance, over all gardens, that just these reports are seen instead
	// reads a garden of few reports as a warm one; in made clubs that joined
	// so, needs came out higher and r too near 1.)
	UnreportedFailures bool
}

// MinGrowers is the number of growers from which a need is learned.
const MinGrowers = 3

// Estimate is what is known of a need after the reports.
type Estimate struct {
	Mu, SE           float64 // heat need and its standard error, °C·d
	GardenSd, YearSd float64 // scatter between gardens and between years, °C·d
	VarLnSd          float64 // variance of ln √(GardenSd² + YearSd²)
	CovMuLnSd        float64 // its covariance with Mu, °C·d
	Learned          bool    // false: the figure is the prior
	Reports          int     // used in the fit
	Censored         int     // "above" and "below" among them
	Held             int     // held by the rule of outliers
	Waiting          int     // not used, for want of growers
	Growers          int     // distinct growers of the reports not held
}

// Reporting is the chance that a failure is reported, with its 90 % interval
// (formed on the logit scale). OK is false where it was not fitted.
type Reporting struct {
	R, Low, High float64
	OK           bool
}

// Verdict is what became of a report.
type Verdict uint8

// The verdicts.
const (
	Used    Verdict = iota // in the fit
	Waiting                // its need has fewer than MinGrowers growers, or the fit fell back
	Held                   // too far from what the other growers' reports say
)

// Judgement is the verdict on one report and what it rests on: the model
// fitted without any report of that grower (for a need that waits, the prior).
// Where no report of the grower's comes near the bound, that model is one
// Newton step from the whole fit: Distance is then good to about 0.2.
type Judgement struct {
	Verdict  Verdict
	Expected float64 // heat need without that grower, °C·d
	Sd       float64 // predictive standard deviation of the report, °C·d
	Distance float64 // report − Expected in Sd, nearest end; 0 inside an interval
	ByMAD    bool    // held by the median rule alone
}

// Learned is the outcome of [Learn].
type Learned struct {
	Estimates  []Estimate  // one a prior
	Judgements []Judgement // one an observation
	Reporting  Reporting
	FellBack   bool // no proper optimum: every figure is the prior

	data *data
	mode state
}
