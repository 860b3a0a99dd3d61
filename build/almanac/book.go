// Package almanac runs the whole computation for a club, town by town in
// parallel, and holds the finished book of answers. Every number in the book
// is rounded once, here, to its published step; nothing downstream rounds
// again except to print in other units.
package almanac

import (
	"ripeward/build/cache"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/station"
)

// Book is everything that the pages and downloads say.
type Book struct {
	Club     *club.Club
	Span     climate.Span // the reference years, one span for the whole club
	Recent   climate.Span // the last 15 years, to the end of the data
	PlanYear int
	CutOff   day.Date // last day with data of any station
	Stations []Station
	// Dialects are the forms of station files that can be read.
	Dialects []station.Dialect
	Towns    []Town // sorted by id
	// LeftOut says how far each station would have been predicted from the
	// others, sorted by id; ZoneErrors pools those that serve a zone's towns.
	LeftOut    []climate.LeftOut
	ZoneErrors []ZoneError
	// Lapse is fitted to the stations and shown; towns are moved by the
	// club's setting.
	Lapse climate.Lapse
	// Needs has the heat need of every cultivar and crop part that has a
	// ripening model, sorted by cultivar and part.
	Needs []HeatNeed
	// GardenLines are the lines of the odds that have a heat need, as a single
	// garden asks them of Town.Garden.
	GardenLines []GardenLine
	// Reports says of each report what became of it, in file order.
	Reports []ReportUse
	// Reporting is the chance that a failure is reported, told from the
	// reports themselves; not OK where none could speak of it.
	Reporting Reporting
	// Score says how good the predictions were; nil where too few reports can
	// be held out.
	Score *Score
	// Changes is what has moved since the club last closed a year; nil where it
	// has closed none.
	Changes *Changes
	// Problems are warnings met on the way; errors stop the build before a
	// book exists.
	Problems diag.Problems
	// RestsOn hashes what all that is said of any town rests on beside
	// Town.RestsOn; zero where nothing is remembered.
	RestsOn cache.Sum
}

// Station is what the book says of a station, whether a town uses it or not.
type Station struct {
	ID, Name                        string
	Latitude, Longitude, ElevationM float64 // NaN where nobody states them
	Credit, Licence                 string
	First, Last                     day.Date
	ValidYears                      int // years with a valid heat sum
	CompleteYears                   int
	MissingDays                     int // days between First and Last without Tmin or Tmax
	DaysSetAside                    int // days with a value or row that was not used
	Account                         station.Account
}

// ZoneError is the leave-one-station-out error of the stations that a zone's
// towns rest on.
type ZoneError struct {
	ZoneID   string
	Stations int // that had another to be predicted from
	climate.LeftOut
}

// Lead tells which station a town's figures rest on and how they were moved.
type Lead struct {
	StationID              string
	Named                  bool    // named in towns.csv; else the nearest
	DistanceKm             float64 // to 0.1 km
	HeightM                float64 // town minus station, m
	DayShiftC, NightShiftC float64 // lapse and offsets together, °C
	Fillers                []string
	FilledMin, FilledMax   int // days filled from other stations
}

// Town is a town's answers.
type Town struct {
	Row        club.Town
	Hemisphere day.Hemisphere
	Lead       Lead
	Seasons    []climate.Season // rounded, oldest first
	Normals    []climate.Normal // rounded, over Book.Span
	Recent     []climate.Normal // rounded, over Book.Recent
	Odds       []Odds           // at each method's default weeks; sorted by cultivar, part, method
	Weeks      []Odds           // every whole week of the head-start methods, without curves
	Winters    []WinterLoss     // in-ground survival; sorted by cultivar, method
	Plans      []Plan           // one per method
	Tasks      []TaskDate
	Endings    []Ending // why ripening ended, one per method
	// FirstYears and LastYears are the spans of Odds.First15 and Odds.Last15;
	// empty (Last < First) where the record is too short.
	FirstYears, LastYears climate.Span
	Takes                 []Take        // what it would take; sorted by cultivar, part
	Together              []Together    // sets of cultivars, for the few methods they are worked out for
	Why                   []Explanation // the town's top answers, explained year by year
	SoFar                 *SoFar        // nil between seasons
	Stores                []StoreWinter // sorted by store, crop, bare first
	StoreFits             []StoreFit    // stores that a member's readings tell of
	Tents                 []TentStart   // heated tents by start date; sorted by method, start
	Figlets               Figlets       // count-down from the day figlets are seen; no rows where no class states their heat
	Garden                Garden        // what one garden's own odds are reckoned from
	// Thawed and Frozen are for the race chart: the share of reference years
	// whose first autumn freeze (Tmin ≤ 0 and ≤ -2.2 °C) has come by the
	// given day of season; index i is rank 7·(i+1).
	Frozen0, FrozenM22 Curve
	// Returns are the winter minima that one winter in 10 and one in 30
	// reaches, over ReturnWinters winters.
	Returns       [2]climate.ReturnLevel
	ReturnWinters int
	// SpringRisk has every day of the spring half: the chance of a low still
	// to come, 0-1 to 0.01.
	SpringRisk []climate.SpringDay
	// HeatNormal, HeatWarm and HeatCool are the heat gathered by a day in a
	// middling, a 1-in-10 warm and a 1-in-10 cool year, °C·d to 1; all zero
	// where no year counts.
	HeatNormal, HeatWarm, HeatCool Curve
	// Evaporation is the reference evapotranspiration of each calendar month,
	// mm a day to 0.1, January first.
	Evaporation [12]climate.Value
	// Rain is the chance of a wet spell in the ripening weeks.
	Rain RipeningRain
	// Mean10 is the reference mean temperature of the 10 days up to a day of
	// season, °C to 0.1, at rank 7·(i+1); 53 values.
	Mean10 Curve

	// RestsOn hashes the stations that the answers rest on; with Book.RestsOn
	// it stands for all of them.
	RestsOn cache.Sum

	// unkilled has the odds in the ground if no winter killed wood, best of
	// the methods.
	unkilled map[needKey]float64
}

// Normal returns the named measure over the reference years, or nil.
func (t *Town) Normal(measure string) *climate.Normal { return find(t.Normals, measure) }

// RecentNormal returns the named measure over the last 15 years, or nil.
func (t *Town) RecentNormal(measure string) *climate.Normal { return find(t.Recent, measure) }

func find(ns []climate.Normal, measure string) *climate.Normal {
	for i := range ns {
		if ns[i].Measure == measure {
			return &ns[i]
		}
	}
	return nil
}

// RipeningRain is the chance of at least climate.SpellMM of rain on
// climate.SpellDays days in a row, between two days of season.
type RipeningRain struct {
	From, Until day.Rank
	climate.RainSpell
}

// Differs tells whether the last 15 years differ from the reference years by
// more than the doubt of the reference median.
func (t *Town) Differs(measure string) bool {
	ref, recent := t.Normal(measure), t.RecentNormal(measure)
	return ref != nil && recent != nil && climate.Differs(*ref, *recent)
}

// Curve is a value on every seventh day of the season: index i is rank
// 7·(i+1), 52 in all, and the last one rank 365.
type Curve [53]float32

// RankAt returns the day of season of index i.
func RankAt(i int) day.Rank { return day.Rank(min(7*(i+1), 365)) }

// Point is a day of season that may not exist.
type Point struct {
	Rank day.Rank
	None bool
}

// Odds is the answer to "will this ripen here", for one cultivar, part of the
// crop, method and head start. Shares and odds are 0-1, to 0.01.
type Odds struct {
	Cultivar, Part, Method string
	Weeks                  int
	Brebas                 string // kept, removed, or blank where the cultivar bears one crop
	// Reason says why there can be no answer or none but zero: no-model
	// (ripening_model none), no-wasp, no-heat-need, no-years; blank otherwise.
	Reason          string
	Years           climate.Span // first and last year that counted
	N               int          // years with a valid heat sum
	RipeYears       float64      // sum of the yearly chances, to 0.1
	Odds, Low, High float64      // with the 90 % interval
	Cool, Warm      float64      // in a cool and in a warm garden
	Likelihood      string       // IPCC term, as allowed by reports and years
	// First15 and Last15 are the odds over Town.FirstYears and LastYears; NaN
	// where the record is too short.
	First15, Last15  float64
	Reports, Growers int      // behind the heat need; 0 where it is not learned
	Basis            string   // reports, cultivar-row, class, crop
	Mu, Sd           float64  // the heat need used, °C·d to 5
	FirstRipe        [3]Point // by which 10, 50, 90 % of all years have ripened
	CropShare        float64
	SetBacksPer10    float64 // to 0.1
	CarriedMean      float64 // nights, to 0.1
	CarriedP90       float64 // nights
	KWhMean, KWhP90  float64 // of a tent's heater, kWh to 1; 0 without one
	Hours            float64 // setup + carrying + indoor weeks, h to 1
	// Curve is the share of all years ripe by the day; nil but for each
	// method's best few lines.
	Curve *Curve
}

// WinterLoss is the chance that a winter kills a cultivar's wood in the
// ground.
type WinterLoss struct {
	Cultivar, Method  string
	KillLow, KillHigh float64 // mean chance a winter, at the high and the low winter gain, to 0.01
	LastKillWinter    int     // last winter with a chance of 0.5 or more at the mean gain; 0 if none
}

// Plan is a method's dates in this town, as ranks of the season (a wake date
// may lie before it: rank below 1).
type Plan struct {
	Method                               string
	DormantOut, HardenOff, Out, Wake, In Point
	Weeks                                int
}

// TaskDate is when a job of the year is due.
type TaskDate struct {
	Method, Task string
	From, Until  day.Date // in the plan year
}

// Ending counts what ended ripening, over the reference years with a valid
// heat sum: a killing freeze, the cold (10-day mean), or the short day.
type Ending struct {
	Method, Crop            string // the crop of whose limits it speaks: the club's first with a ripening model
	Freeze, Cold, ShortDays int
	LastDay                 [3]Point // 10, 50, 90 % of the last ripening day
	HeatMean                float64  // heat supplied from leaf-out, mean of years, °C·d to 5
	HeatByYear              []YearHeat
}

// YearHeat is the heat a method supplied in one year, °C·d, to 1.
type YearHeat struct {
	Year    int
	Heat    float64
	LeafOut day.Rank
	LastDay day.Rank
	Ended   string // freeze, cold, short-days
}
