package almanac

import (
	"cmp"
	"math"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/winter"
)

// StoreWinter is what a store does to a crop's pots over the winters of the
// reference years, in one town (SCIENCE 9).
type StoreWinter struct {
	Store, Crop          string
	Wrapped              bool
	Fitted               bool    // by the town's own readings, not the table's row
	Winters              int     // valid winters
	LowestP10, LowestP50 float64 // °C, to 0.1
	BelowP50, BelowP90   float64 // days below the crop's store_low_c, to 1
	AboveP50, AboveP90   float64 // days above its store_high_c, to 1
	WithBelow, WithAbove int     // winters with such a day
	In, Out              Point   // days of season: moved in the autumn before, moved out
	WakesP10, WakesP50   Point   // by which it has woken in the store; None: it does not
	Coldest              day.Date
	ColdestC             float64 // lowest of all, °C, to 0.1
	// Low and High are the band of the daily lowest and highest temperature in
	// the store in the middle winter, every seventh day from In on, °C to 0.1.
	Low, High []float32
}

// StoreFit is a store's own figures told from a member's minimum-maximum log.
type StoreFit struct {
	Store                         string
	TimeConstantH, TimeConstantSe float64 // h, to 1
	HouseShare, HouseShareSe      float64 // to 0.01
	ResidualC                     float64 // °C, to 0.1
	Readings                      int
	SpanC                         float64 // of their outdoor lows, °C, to 0.1
	Problem                       string  // why there is no fit; blank where there is one
	Lacks                         string  // what a fit waits for: one of the Lacks words; blank where there is one
	AtEdge                        bool
}

// What a fit may wait for, and how much of it is enough.
const (
	LacksLatitude = "latitude" // of the town
	LacksReadings = "readings" // fewer than FitReadings
	LacksSpan     = "span"     // outdoor lows less than FitSpanC apart

	FitReadings = winter.FitReadings
	FitSpanC    = winter.FitSpanC // °C
)

// storeLead is how many days a store is followed before the pots move in, so
// that it has forgotten where it started.
const storeLead = 60

// stores follows every store through every winter of the reference years.
func (k *kit) stores(b *Book, p *place) {
	t := &p.town
	annual := annualMean(t)
	if len(k.club.Stores) == 0 || annual != annual {
		return
	}
	out := p.anchors.byName["dormant_out"]
	if !out.OK {
		return
	}
	for i := range k.club.Stores {
		row := &k.club.Stores[i]
		var f *followedStore
		for _, ck := range k.cropOrder {
			in, ok := moveIn(p, ck)
			if !ok {
				continue
			}
			if f == nil {
				f = k.follow(p, row, annual)
			}
			for _, w := range [2]bool{false, true} {
				days := f.bare
				if w {
					days = f.wrapped
				}
				s := stayWinters(p, ck, days, in, out.Rank, b.Span)
				s.Store, s.Crop, s.Wrapped, s.Fitted = string(row.ID), string(ck.row.ID), w, f.fitted
				if s.Winters > 0 {
					t.Stores = append(t.Stores, s)
				}
			}
		}
	}
	slices.SortStableFunc(t.Stores, func(a, b StoreWinter) int { return cmp.Or(cmp.Compare(a.Store, b.Store), cmp.Compare(a.Crop, b.Crop)) })
}

// annualMean is the mean temperature (°C) of the reference years; NaN where a
// month is not known.
func annualMean(t *Town) float64 {
	sum := 0.0
	for m := 1; m <= 12; m++ {
		lo, hi := t.Normal(monthName("tmin_mean", m)), t.Normal(monthName("tmax_mean", m))
		if lo == nil || hi == nil || !lo.Mean.OK || !hi.Mean.OK {
			return nan
		}
		sum += (lo.Mean.V + hi.Mean.V) / 2 * float64(day.DaysIn(2001, m)) / 365
	}
	return sum
}

func monthName(what string, m int) string {
	return what + "_" + string([]byte{byte('0' + m/10), byte('0' + m%10)})
}

// moveIn is the planned day of season on which a crop's pots go into store: the
// middle year's first autumn low at or below its bring_in_c.
func moveIn(p *place, ck *cropKit) (day.Rank, bool) {
	if !ck.row.BringInC.Set {
		return 0, false
	}
	var ranks []float64
	for _, y := range p.weather.years {
		if r, ok := firstAutumnLow(y, ck.row.BringInC.Value); ok {
			ranks = append(ranks, float64(r))
		}
	}
	return rankMedian(ranks, len(p.weather.years), math.Floor)
}

// followedStore is a store's days in the winter before each reference season.
type followedStore struct {
	bare, wrapped map[int]winter.Days
	fitted        bool
}

// follow follows a store through the winters, once a town.
func (k *kit) follow(p *place, row *club.Store, annual float64) *followedStore {
	if f := p.followed[string(row.ID)]; f != nil {
		return f
	}
	if p.followed == nil {
		p.followed = map[string]*followedStore{}
	}
	f := &followedStore{bare: map[int]winter.Days{}, wrapped: map[int]winter.Days{}}
	p.followed[string(row.ID)] = f
	var store winter.Store
	store, f.fitted = k.storeOf(p, row, annual)
	h := p.weather.hemisphere
	for _, y := range p.weather.years {
		if p.weather.low(y.Season) != p.weather.low(y.Season) {
			continue // not a valid winter
		}
		first := h.InSeason(y.Season-1, h.RankOf(8, 1)) // long before any pot moves in
		last := h.InSeason(y.Season, h.RankOf(7, 1))
		hours, _, ok := p.hours(first, int(last-first)+1)
		if !ok {
			return f
		}
		f.bare[y.Season], f.wrapped[y.Season] = store.Follow(first, hours, annual)
	}
	return f
}

// hourly is a town's whole record by the hour.
type hourly struct {
	known bool // with a latitude
	hours []float64
	up    []bool // the sun
}

// hours returns the hourly outdoor temperatures of a town from a day on, and
// whether the sun is up; false where the latitude is unknown. Every store and
// every heater asks for the same ones: they are worked out once.
func (p *place) hours(first day.Date, days int) (temperatures []float64, up []bool, ok bool) {
	if p.hourly == nil {
		p.hourly = &hourly{}
		p.hourly.hours, p.hourly.known = climate.HourlyTemperatures(&p.daily, p.daily.First, len(p.daily.TMin))
		p.hourly.up = climate.SunUp(p.daily.Latitude, p.daily.First, len(p.daily.TMin))
	}
	if !p.hourly.known {
		return nil, nil, false
	}
	from, until := int(first-p.daily.First), int(first-p.daily.First)+days
	if from >= 0 && until <= len(p.daily.TMin) {
		return p.hourly.hours[24*from : 24*until], p.hourly.up[24*from : 24*until], true
	}
	temperatures, ok = climate.HourlyTemperatures(&p.daily, first, days)
	return temperatures, climate.SunUp(p.daily.Latitude, first, days), ok
}

func stayWinters(p *place, ck *cropKit, days map[int]winter.Days, in, out day.Rank, span climate.Span) StoreWinter {
	h := p.weather.hemisphere
	crop := winter.Crop{LowC: ck.row.StoreLowC.Or(math.Inf(-1)), HighC: ck.row.StoreHighC.Or(math.Inf(1)), BaseC: ck.model.Base, UpperC: ck.model.Upper, Heat: ck.model.LeafOutHeat}
	s := StoreWinter{In: Point{Rank: in}, Out: Point{Rank: out}, Coldest: day.None, ColdestC: nan}
	var stays []winter.Stay
	for _, y := range p.weather.years {
		d, ok := days[y.Season]
		if !ok {
			continue
		}
		stay := d.Stay(h.InSeason(y.Season-1, in), h.InSeason(y.Season, out), h.Start(y.Season), crop)
		if stay.Days == 0 {
			continue
		}
		stays = append(stays, stay)
		if !(s.ColdestC <= stay.LowestC) {
			s.ColdestC, s.Coldest = stay.LowestC, stay.Coldest
		}
	}
	w := winter.Summarise(stays, h)
	s.Winters, s.WithBelow, s.WithAbove = w.Winters, w.WithBelow, w.WithAbove
	s.LowestP10, s.LowestP50 = quantity.Step(w.LowestP10, stepTemperature), quantity.Step(w.LowestP50, stepTemperature)
	s.BelowP50, s.BelowP90 = quantity.Step(w.BelowP50, 1), quantity.Step(w.BelowP90, 1)
	s.AboveP50, s.AboveP90 = quantity.Step(w.AboveP50, 1), quantity.Step(w.AboveP90, 1)
	s.ColdestC = quantity.Step(s.ColdestC, stepTemperature)
	s.WakesP10, s.WakesP50 = Point{w.WakesP10, w.WakesP10 == 0}, Point{w.WakesP50, w.WakesP50 == 0}
	s.Low, s.High = middleWinter(p, days, in, out)
	return s
}

// middleWinter is the median over winters of the lowest and the highest
// temperature of each week in the store.
func middleWinter(p *place, days map[int]winter.Days, in, out day.Rank) (low, high []float32) {
	h := p.weather.hemisphere
	for week := in - 365; week <= out; week += 7 {
		var lows, highs []float64
		for _, y := range p.weather.years {
			d, ok := days[y.Season]
			if !ok {
				continue
			}
			at := int(h.InSeason(y.Season, week) - d.First)
			lo, hi := math.Inf(1), math.Inf(-1)
			for i := max(at, 0); i < at+7 && i < len(d.Low); i++ {
				lo, hi = min(lo, d.Low[i]), max(hi, d.High[i])
			}
			if !math.IsInf(lo, 0) && lo == lo && hi == hi {
				lows, highs = append(lows, lo), append(highs, hi)
			}
		}
		slices.Sort(lows)
		slices.Sort(highs)
		low = append(low, float32(quantity.Step(climate.Quantile(lows, 0.5), stepTemperature)))
		high = append(high, float32(quantity.Step(climate.Quantile(highs, 0.5), stepTemperature)))
	}
	return low, high
}

// storeOf returns a store as the model follows it: the table's row, or what the
// town's own readings say of it.
func (k *kit) storeOf(p *place, row *club.Store, annual float64) (winter.Store, bool) {
	store := winter.Store{TimeConstantH: row.TimeConstantH.Or(0), HouseShare: row.HouseShare.Or(0), HouseC: row.HouseC.Or(nan), GroundShare: row.GroundShare.Or(0),
		HeaterFloorC: row.HeaterFloorC.Or(nan), WrapTimeConstantH: row.WrapTimeConstantH.Or(0)}
	if store.HouseC != store.HouseC {
		store.HouseShare = 0
	}
	var log []club.StoreReading
	for _, r := range k.club.StoreLog {
		if r.StoreID == row.ID && r.TownID == p.town.Row.ID && r.ResetOn.Set() && r.Date.Set() {
			log = append(log, r)
		}
	}
	if len(log) == 0 {
		return store, false
	}
	first, last := log[0].ResetOn.Date, log[0].Date.Date
	for _, r := range log {
		first, last = min(first, r.ResetOn.Date), max(last, r.Date.Date)
	}
	first -= storeLead
	fit := StoreFit{Store: string(row.ID), Readings: len(log)}
	if hours, _, ok := p.hours(first, int(last-first)+2); !ok {
		fit.Problem, fit.Lacks = "the hours of the day are not known without a latitude", LacksLatitude
	} else {
		var readings []winter.Reading
		for _, r := range log {
			readings = append(readings, winter.Reading{Reset: int(r.ResetOn.Date - first), Read: int(r.Date.Date - first), LowC: r.LowC.Or(nan), HighC: r.HighC.Or(nan)})
		}
		found, err := winter.Fit(store, hours, annual, readings)
		fit.Readings, fit.SpanC = found.Readings, quantity.Step(found.SpanC, stepTemperature)
		if err != nil {
			fit.Problem, fit.Lacks = err.Error(), LacksSpan
			if found.Readings < FitReadings {
				fit.Lacks = LacksReadings
			}
		} else {
			store = found.Store
			fit.TimeConstantH, fit.TimeConstantSe = quantity.Step(found.TimeConstantH, 1), quantity.Step(found.TimeConstantSe, 1)
			fit.HouseShare, fit.HouseShareSe = quantity.Step(found.HouseShare, stepOdds), quantity.Step(found.HouseShareSe, stepOdds)
			fit.ResidualC, fit.AtEdge = quantity.Step(found.ResidualC, stepTemperature), found.AtEdge
		}
	}
	p.town.StoreFits = append(p.town.StoreFits, fit)
	return store, fit.Problem == ""
}
