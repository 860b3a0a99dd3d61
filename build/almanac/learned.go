package almanac

import (
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// HeatNeed is what is known of the heat that one crop part of a cultivar needs
// from leaf-out to the first ripe fruit (SCIENCE 6).
type HeatNeed struct {
	Cultivar, Part           string
	BaseC                    float64
	Mu, SE, GardenSd, YearSd float64 // °C·d; mean and scatters to 5, its doubt to 1
	Basis                    string  // reports, cultivar-row, class, crop
	PriorMu, PriorSE         float64 // what was known before any report, °C·d
	PriorBasis               string
	Reports, Growers         int // used in the fit, and by how many growers
	Censored                 int // not ripe or already ripe, among Reports
	Held, Waiting            int // held by rule or by hand; waiting for a third grower
}

// Few tells whether fewer than three growers stand behind the need: then
// counts are not shown and the need is what was known before.
func (n *HeatNeed) Few() bool { return n.Growers < FewGrowers }

// FewGrowers is the number of growers below which nothing is counted aloud: a
// reader could tell who stands behind a figure.
const FewGrowers = 3

// Reporting is the chance (0-1) that a failure to ripen is reported at all,
// with its 90 % interval.
type Reporting struct {
	R, Low, High float64
	OK           bool
}

// What became of a report.
const (
	ReportUsed      = "used"
	ReportWaiting   = "waiting"   // its cultivar has fewer than three growers
	ReportHeld      = "held"      // by the rule, by a date that cannot be, or by hand
	ReportNew       = "new"       // not reviewed yet
	ReportRejected  = "rejected"  // by hand
	ReportDuplicate = "duplicate" // of one that came first
	ReportUnusable  = "unusable"  // says nothing about the heat need
)

// ReportUse says what became of one report.
type ReportUse struct {
	Row     *club.Report
	Verdict string        // one of the constants above
	Reason  diag.Sentence // blank where used
	Frees   diag.Sentence // what would free it; blank where nothing is to be done
	First   string        // report_id of the one that this repeats
	// Known tells whether Low and High hold the heat of the window in which
	// the first fruit was ripe, °C·d to 1 (-Inf or +Inf where one side is open).
	Known     bool
	Low, High float64
	// Expected is the mean need in the model without that grower, Sd the
	// scatter predicted, °C·d to 5; 0 where unknown.
	Expected, Sd float64
	// NamedLike is the cultivar that name_as_given is another name of, where
	// that is not the cultivar of the row.
	NamedLike string
}

// Take is what it would take to ripen one crop part of a cultivar in a share
// of years, in one town (SCIENCE 7).
type Take struct {
	Cultivar, Part string
	Target         float64 // 0.5, 0.8, 0.9
	// Ways are those that no other beats in nights, energy, cost and hours at
	// once, by hours.
	Ways []TakeWay
	// Reason says why there is none: too-little-heat, wood-killed, no-wasp;
	// or, where nothing is known, no-model, no-heat-need, no-years.
	Reason string
	// Best is the best that any method gives, where none reaches the target.
	Best *TakeWay
}

// TakeWay is one way of growing.
type TakeWay struct {
	Method string
	Weeks  int
	Odds   float64 // to 0.01
	Hours  float64 // a year, to 1
	Nights float64 // carried, mean a year, to 0.1
	KWh    float64 // mean a year, to 1
	Cost   float64 // of the energy, in the club's currency, to 1
}

// Together has what is needed to judge several cultivars in one garden: each
// one's chance in every reference year, in gardens from cool to warm, and its
// days of picking.
type Together struct {
	Method  string
	Weeks   int
	Years   []int
	Gardens []float64     // weight of each kind of garden, cool to warm; sum 1
	Rows    []TogetherRow // best odds first
	Best    []Trio        // the best sets found, best first; at most 3
}

// TogetherRow is one crop part of a cultivar.
type TogetherRow struct {
	Cultivar, Part, Brebas string
	Odds                   float64
	// Chance has, for each year and kind of garden, the chance of ripe fruit
	// in hundredths, in the order of Years, then Gardens.
	Chance []uint8
	// Picking has, for each year, the first and last day of season of
	// picking; both 0 where nothing ripens at the middle need.
	Picking [][2]int16
}

// Trio is a set of three cultivars.
type Trio struct {
	Rows  [3]int  // places in Together.Rows
	Share float64 // of years in which at least one ripens, to 0.01
	Weeks float64 // of picking in a mean year, to 0.1
}

// SoFar is the season that the data end in.
type SoFar struct {
	Season             int
	Until              day.Date // last day with data of the town
	Heat               float64  // °C·d since the season's start, to 1
	Normal, Cool, Warm float64  // by that day in a middling, a 1-in-10 cool and a 1-in-10 warm year
	Rank               int      // how many reference years had less heat by that day
	Of                 int      // of so many
	MissingDays        int      // days without a reading so far
	Rows               []SoFarRow
}

// SoFarRow is one line of odds, usual and as it looks now: this year's days
// followed by each reference year's remainder.
type SoFarRow struct {
	Cultivar, Part, Method, Brebas string
	Weeks                          int
	Usual, Now                     float64  // odds, to 0.01
	FirstRipe                      [3]Point // by which 10, 50, 90 % of those years have ripened
	UsualRipe                      [3]Point
	HeatSoFar                      float64 // since leaf-out, °C·d to 5
	LeafedOut                      bool
}

// Explanation follows one answer through the years, back to the readings.
type Explanation struct {
	Town  string
	Odds  Odds
	Need  HeatNeed
	Delay float64 // °C·d added to the need: brebas kept, the method's own
	Plan  Plan
	Years []ExplainedYear // reference years, and the others where asked for; oldest first
}

// ExplainedYear is one season. Dates are day.None where there is no such day.
type ExplainedYear struct {
	Year               int
	Counts             bool // among the reference years
	Wake, LeafOut, Out day.Date
	SetBacks           []day.Date
	LostHeat           float64     // banked heat lost to set-backs, °C·d to 1
	ByMonth            [12]float64 // heat of each calendar month since leaf-out, °C·d to 1
	Heat               float64     // by the last ripening day, °C·d to 1
	FirstRipe          day.Date    // at the middle need
	LastDay            day.Date    // of ripening
	Ended              string      // freeze, cold, short-days
	EndDay             day.Date    // the day that ended it
	EndValue           float64     // its felt low (°C), its 10-day mean (°C), or its length (h); to 0.1
	Carried            int         // nights
	Kill               float64     // chance that the winter before killed the wood, to 0.01
	P                  float64     // chance that fruit ripened, to 0.01
	Place              diag.Place  // of the reading of EndDay; zero where unknown
	Station            string      // whose reading that is
}

// Score says how good the predictions were: every grower's reports predicted
// with all of that grower's reports left out (SCIENCE 8).
type Score struct {
	Reports, Growers int
	Views            [2]View // (A) given that year's weather, (B) before the season
	Methods          []MethodResidual
	Bases            []BaseScore
}

// View is one of the two tests.
type View struct {
	ID    string      // weather, season
	Rules []RuleScore // ours first, then days-after-leaf-out and cultivar-row
	// Reliability has, for ours, how often fruit ripened where a chance within
	// a band was given.
	Reliability []Reliability
}

// The rules compared.
const (
	RuleOurs = "almanac"
	RuleDays = "days-after-leaf-out"
	RuleRow  = "cultivar-row"
)

// RuleScore is how one rule did.
type RuleScore struct {
	Rule        string
	Dates       int     // exact and interval reports with odds of at least 0.5
	MedianError float64 // days, to 0.1
	Bias        float64 // mean of predicted minus seen, days, to 0.1
	Coverage    float64 // share inside the band that should hold 80 %, to 0.01
	Chances     int     // reports that tell ripe from not ripe
	Brier       float64 // to 0.001; lower is better
	Beaten      string  // of the other two: yes, no, tie against ours; blank for ours
}

// Reliability is one band of chances.
type Reliability struct {
	From, To float64
	N        int
	Said     float64 // mean chance given, to 0.01
	Ripe     float64 // share that ripened, to 0.01
}

// MethodResidual is how far the reports of one method lie from the need
// expected, given the weather.
type MethodResidual struct {
	Method    string
	N         int
	Mean      float64 // °C·d, to 5: more heat than expected is positive
	MeanDays  float64 // days later than expected, to 0.1
	Low, High float64 // 90 % interval of Mean, °C·d to 5
}

// BaseScore compares another base temperature.
type BaseScore struct {
	BaseC       float64
	Dates       int
	MedianError float64 // days, given that year's weather, to 0.1
	Brier       float64
	Used        bool // the crop's own base
}
