package ripening

import (
	"sort"

	"ripeward/build/day"
)

// Ended says what ended ripening in a season.
type Ended int8

const (
	ByFreeze    Ended = iota // a felt low at or below the shoot-damage limit
	ByCold                   // the 10-day mean fell below the crop's limit for good
	ByShortDays              // days of 10 hours or less
)

func (e Ended) String() string { return [...]string{"freeze", "cold", "short-days"}[e] }

// Supply is what a method gave a tree in one season.
type Supply struct {
	Season int
	// LeafOut and LastDay are days of season; LeafOut may lie before the
	// season (below 1) and is meaningless where Leafed is false.
	Leafed           bool
	LeafOut, LastDay day.Rank
	Ended            Ended
	// Heat is H at the end of the last ripening day, °C·d.
	Heat     float64
	SetBacks int // felt freezes that took the young shoots, before 1 August
	Carried  int // nights carried indoors

	course course
	season *Season
}

// Year returns the season's weather.
func (s *Supply) Year() *Year { return s.season.year }

// HeatAt returns H at the end of day of season r, °C·d, counted from leaf-out
// (or from the last set-back) and never past the last ripening day. It never
// falls: heat that a set-back took is not shown.
func (s *Supply) HeatAt(r day.Rank) float64 { return s.at(s.Year().Index(r)) }

// HeatOn returns H at the end of a calendar day, which may lie before the
// season or after it.
func (s *Supply) HeatOn(d day.Date) float64 { return s.at(int(d - s.Year().Start())) }

func (s *Supply) at(i int) float64 { return s.season.heat(&s.course, i) }

// RankWhen returns the first day of season on which H reaches heat.
func (s *Supply) RankWhen(heat float64) (day.Rank, bool) {
	last := s.season.felt.last
	i := sort.Search(last+1, func(i int) bool { h := s.at(i); return h >= heat && h > 0 })
	if i > last {
		return 0, false
	}
	return s.Year().Rank(i), true
}

// LastRankWith returns the last day of season after which at least heat was
// still supplied by the last ripening day.
func (s *Supply) LastRankWith(heat float64) (day.Rank, bool) {
	i := sort.Search(len(s.Year().TMin), func(i int) bool { return s.Heat-s.at(i) < heat }) - 1
	if i < 0 || s.at(i) <= 0 {
		return 0, false
	}
	return s.Year().Rank(i), true
}

// Season prepares one season under a method, so that every head start can be
// asked of it.
type Season struct {
	year       *Year
	crop       *Crop
	method     *Method
	felt       *felt
	indoorGain float64 // °C·d a day
}

// NewSeason computes the felt season once for all head starts.
func NewSeason(y *Year, c *Crop, m *Method) *Season {
	return &Season{year: y, crop: c, method: m, felt: feel(y, c, m),
		indoorGain: m.IndoorShare * c.heat(m.IndoorC, m.IndoorC)}
}

// Start holds a grower's own dates; day.None where not told, and the plan
// holds. The zero value is not that of no dates: see NoDates.
type Start struct {
	// Woke is the day the tree woke: from it on a method with a planned start
	// warms it indoors until it goes out, any other by the outdoor heat.
	Woke day.Date
	// Leafed is the day of leaf-out: H counts from the next day.
	Leafed day.Date
	// Out is the day the pot went out; nothing in the ground.
	Out day.Date
	// NoSetBacks tells that the shoots lived, whatever the weather says: a ripe
	// breba proves it.
	NoSetBacks bool
}

// NoDates is the start of a tree of which nothing was told.
var NoDates = Start{Woke: day.None, Leafed: day.None, Out: day.None}

// Supply follows the tree through the season. out is the day the pot goes out
// (ignored in the ground), weeks the head start indoors before it: at 0 weeks,
// or for a method that wakes naturally, the tree wakes by the outdoor heat
// from the season's first day, in its store too.
func (s *Season) Supply(out day.Rank, weeks int) Supply { return s.SupplyFrom(out, weeks, NoDates) }

// SupplyFrom is Supply with a grower's own dates in place of the plan's. Where
// the day out is told, a head start of so many weeks counts back from it.
func (s *Season) SupplyFrom(out day.Rank, weeks int, st Start) Supply {
	c := s.follow(out, weeks, st, nil)
	return s.supply(c)
}

func (s *Season) supply(c course) Supply {
	r := Supply{Season: s.year.Season, Leafed: c.leafed, LastDay: s.year.Rank(s.felt.last), Ended: s.felt.ended,
		Heat: s.heat(&c, s.felt.last), SetBacks: c.setBacks, Carried: s.nights(&c), course: c, season: s}
	if c.leafed {
		r.LeafOut = s.year.Rank(c.leafAt)
	}
	return r
}

// Yield is what a season comes to: a Supply without its days.
type Yield struct {
	Heat              float64 // °C·d by the last ripening day
	SetBacks, Carried int
	Leafed            bool
}

func (s *Season) yield(c *course) Yield {
	return Yield{s.heat(c, s.felt.last), c.setBacks, s.nights(c), c.leafed}
}

// Weeks appends to into the yields of head starts of 1 to most weeks. Once a
// tree leafs out indoors, a week more moves its leaf-out by a week and changes
// nothing after the day out, so the tree is followed no further.
func (s *Season) Weeks(out day.Rank, most int, into []Yield) []Yield {
	var c course
	for w := 1; w <= most; w++ {
		switch {
		case w == 1 || s.method.Planned && !(c.leafed && c.leafAt < min(c.outAt, s.felt.last)):
			c = s.follow(out, w, NoDates, nil)
		case s.method.Planned:
			c.leafAt -= 7
			if c.setBacks == 0 {
				c.from -= 7
			}
		}
		into = append(into, s.yield(&c))
	}
	return into
}
