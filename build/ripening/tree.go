// Package ripening asks whether fruit ripens: growing methods as day-by-day
// thermal rules, the heat they supply from leaf-out to the last ripening day,
// and the odds that a cultivar's heat need is met. It defines its own small
// input types and knows nothing of files or pages. Definitions: SCIENCE 5-6.
package ripening

import (
	"math"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// Year is the outdoor weather of one season, one entry per day of it.
// Temperatures in °C, NaN where missing. Latitude in degrees.
type Year struct {
	Season     int
	Hemisphere day.Hemisphere
	Latitude   float64
	TMin, TMax []float64
	Valid      bool // the heat sum of the season may be used
}

// Start returns the first day of the season.
func (y *Year) Start() day.Date { return y.Hemisphere.Start(y.Season) }

// leapRank is the day of season of 28 February, after which a leap year's places
// lie one further.
func (y *Year) leapRank() (day.Rank, bool) {
	if y.Hemisphere == day.South {
		return 243, day.IsLeap(y.Season + 1)
	}
	return 59, day.IsLeap(y.Season)
}

// Index returns the place of rank r in the season's slices; ranks before the
// season give negative places.
func (y *Year) Index(r day.Rank) int {
	if r < 1 || r > 365 {
		return int(y.Hemisphere.InSeason(y.Season, r) - y.Start())
	}
	if at, leap := y.leapRank(); leap && r > at {
		return int(r)
	}
	return int(r) - 1
}

// Rank returns the day of season of place i, which may lie before the season.
func (y *Year) Rank(i int) day.Rank {
	if i < 0 {
		return day.Rank(i + 1)
	}
	return y.Hemisphere.Rank(y.Start() + day.Date(i))
}

// Crop holds a crop's thermal limits in °C and heats in °C·d. Upper may be
// +Inf; RipeningFloor and FruitEnd -Inf where the crop has none.
type Crop struct {
	Base, Upper   float64
	LeafOutHeat   float64 // felt heat from waking to leaf-out
	ShootDamage   float64 // a felt low at or below it kills young shoots
	RipeningFloor float64 // from 1 August, a day with a mean below it adds nothing
	FruitEnd      float64 // ripening ends when the 10-day mean falls below it
	CropSpread    float64 // heat from the first to the last fruit
	BrebaDelay    float64 // added to the main crop's need where brebas are kept
	DiebackDelay  float64 // added where the wood died back
}

// Method is a way of growing. Gains in °C; NaN in HeatFloor or CarryBelow
// means the method does not heat or carry. LossWPerK is the tent's heat loss,
// U·A + 0.33·n·V (W/K).
type Method struct {
	Ground                bool
	Planned               bool // woken on a planned date, with a head start of whole weeks
	IndoorC, IndoorShare  float64
	DayGain, Vent         float64
	NightGain             float64
	HeatFloor             float64
	HeaterW, LossWPerK    float64
	CarryBelow, CarriedTo float64
	ExtraNeed             float64 // °C·d added to every need
}

// feltMax is the day's felt maximum: the gain never lifts it above the
// temperature at which the grower vents, nor ever lowers it.
func (m *Method) feltMax(tmax float64) float64 {
	return min(tmax+m.DayGain, max(m.Vent, tmax))
}

// feltMin is the night's felt minimum, with or without carrying indoors.
func (m *Method) feltMin(tmin float64, carry bool) float64 {
	felt := tmin + m.NightGain
	if m.HeatFloor > felt && m.HeaterW >= m.LossWPerK*(m.HeatFloor-tmin) {
		felt = m.HeatFloor
	}
	if carry && m.carries(tmin) {
		felt = max(felt, m.CarriedTo)
	}
	return felt
}

// Warms tells whether the method makes days or nights warmer where the tree
// stands outdoors, nights indoors aside: a tree of a method that does not feels
// the weather of the town.
func (m *Method) Warms() bool { return m.DayGain > 0 || m.NightGain > 0 || !math.IsNaN(m.HeatFloor) }

// carries tells whether the pot is carried in on a night with this outdoor
// low; false for methods that never carry (CarryBelow is NaN).
func (m *Method) carries(tmin float64) bool { return tmin <= m.CarryBelow }

// heat is a day's heat above base under the crop's cut-off; where a heated or
// carried night is warmer than the day, the two change places.
func (c *Crop) heat(lo, hi float64) float64 {
	if lo > hi {
		lo, hi = hi, lo
	}
	return climate.SineDegreeDays(lo, hi, c.Base, c.Upper)
}
