package ripening

import (
	"math"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// Story is a season told: what happened to the tree, and why its heat is what
// it is.
type Story struct {
	Supply
	// Wake is the day the tree is woken, where it does not wake by itself or
	// the grower told the day; Out the day the pot goes out, never in the ground.
	Wake, Out       day.Rank
	HasWake, HasOut bool
	SetBackDays     []day.Rank
	LostHeat        float64 // banked heat lost to set-backs, °C·d
	// ByMonth is the part of Heat gained in each calendar month, January first,
	// °C·d. Heat that a set-back took is in none.
	ByMonth [12]float64
	// EndDay is the day that ended ripening, the day after the last one: the
	// freeze, the first day of the cold, the short day. EndValue is what it had:
	// its felt low (°C), its trailing 10-day felt mean (°C), its length (h).
	// Where the year ends first, EndDay is its last day and EndValue NaN.
	EndDay   day.Rank
	EndValue float64
}

// Story tells the season of SupplyFrom.
func (s *Season) Story(out day.Rank, weeks int, st Start) Story {
	t := Story{}
	c := s.follow(out, weeks, st, &t)
	t.Supply = s.supply(c)
	y := s.year
	if !s.method.Ground {
		t.Out, t.HasOut = y.Rank(c.outAt), true
	}
	if st.Woke != day.None || c.indoors && weeks > 0 && !(c.leafed && c.wakeAt > c.leafAt) {
		t.Wake, t.HasWake = y.Rank(c.wakeAt), true
	}
	t.byMonth(c.from)
	t.end()
	return t
}

// byMonth shares Heat out over the months in which it was gained; H counts the
// days after place from.
func (t *Story) byMonth(from int) {
	if t.Heat == 0 {
		return
	}
	before := 0.0
	for i := from + 1; i <= t.season.felt.last; i++ {
		h := t.at(i)
		_, m, _ := (t.Year().Start() + day.Date(i)).YMD()
		t.ByMonth[m-1] += h - before
		before = h
	}
}

// end finds the day that ended ripening.
func (t *Story) end() {
	f, y := t.season.felt, t.Year()
	i := f.last + 1
	if i >= len(f.mean) {
		t.EndDay, t.EndValue = t.LastDay, math.NaN()
		return
	}
	t.EndDay = y.Rank(i)
	switch t.Ended {
	case ByFreeze:
		t.EndValue = f.min[i]
	case ByCold:
		t.EndValue = trailingMean(f.mean, i)
	case ByShortDays:
		t.EndValue = climate.DayLength(y.Latitude, y.yearDay(i))
	}
}
