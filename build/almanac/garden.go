package almanac

import (
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// GardenStartSd is the doubt that a start told by the plan alone adds to the
// heat of a report, °C·d (judgement).
const GardenStartSd = startPlanned

// Garden has what one garden's own odds are reckoned from, in the reader's
// hands, together with Book.GardenLines: the heat of the reference years, the
// heat by the day of the last seasons, and the lows of the last year (SCIENCE
// 6, one garden effect over all trees of a crop).
type Garden struct {
	Ways []GardenWay
	// Lows are the town's lows of the last year of its record, tenths of °C
	// from FirstLow on, quantity.Missing where unknown.
	FirstLow day.Date
	Lows     []quantity.Tenths
}

// GardenLine is one line of the odds, whatever the way of growing.
type GardenLine struct {
	Crop, Cultivar, Part, Brebas string
	Mu, SE, GardenSd, YearSd     float64 // °C·d, as in HeatNeed
	Delay                        float64 // °C·d added to the need: brebas kept
	DiebackDelay                 float64 // °C·d added where winter killed the wood
	OnOldWood                    bool    // killed wood and set-backs bear none
}

// GardenWay is a crop under a method with its own head start.
type GardenWay struct {
	Crop, Method string
	Weeks        int
	ExtraNeed    float64   // °C·d added to every need
	Heat         []float64 // of each reference year by the last ripening day, °C·d to 1
	SetBack      []bool    // of each reference year: brebas are lost
	// Kill has, by cultivar, the chance in hundredths that the winter before
	// each reference year killed the wood; cultivars without any are left out.
	Kill    map[string][]uint8
	Seasons []GardenSeason // the last seasons, oldest first
}

// GardenSeason is the heat of one season by the day.
type GardenSeason struct {
	Season  int
	From    day.Date // first day after leaf-out
	SetBack bool
	// Gain is the heat of each day from From on to the last ripening day, or
	// to the last day with data, in half °C·d; rounded so that the sum to any
	// day is right to a quarter.
	Gain []uint8
}

// GainStep is the unit of GardenSeason.Gain, °C·d.
const GainStep = 0.5

// mostGain is the largest gain that is kept; no day brings as much.
const mostGain = 63

// gardenSeasons is how many seasons back a grower can report of: what people
// remember or have notes of (judgement). Large clubs keep half of them, and
// the two plain ways alone, as a town's file must stay small.
const gardenSeasons = 8

// gardenWay keeps what a run of seasons tells a single garden.
func (k *kit) gardenWay(b *Book, p *place, r *run) {
	seasons := gardenSeasons
	if len(b.Club.Towns) > ManyTowns {
		if seasons /= 2; r.method != k.together[0] && r.method != k.together[1] {
			return
		}
	}
	if !r.crop.ripens || len(r.usual.grown) == 0 {
		return
	}
	w := GardenWay{Crop: string(r.crop.row.ID), Method: string(r.method.row.ID), Weeks: r.usual.weeks, ExtraNeed: r.method.model.ExtraNeed, Kill: map[string][]uint8{}}
	for _, g := range r.usual.grown {
		w.Heat = append(w.Heat, quantity.Step(g.heat, stepHeat))
		w.SetBack = append(w.SetBack, g.setBacks > 0)
	}
	for c := range r.crop.cultivars {
		cu := &r.crop.cultivars[c]
		for i := range cu.parts {
			if cu.parts[i].reason == "" {
				if kill := killsOf(r.usual.yearsOf(cu, &cu.parts[i])); kill != nil {
					w.Kill[string(cu.row.ID)] = kill
				}
				break
			}
		}
	}
	for _, y := range p.weather.lately(seasons) {
		u := r.season(y).Supply(r.plans[r.usualAt].Out.Rank, r.usual.weeks)
		if s := gardenSeason(&u, p.weather.until); len(s.Gain) > 0 {
			w.Seasons = append(w.Seasons, s)
		}
	}
	p.town.Garden.Ways = append(p.town.Garden.Ways, w)
}

// lately are the last seasons of the record, the one that is running included.
func (w *weather) lately(most int) []*ripening.Year {
	years := w.record[max(0, len(w.record)-most):]
	if w.partial == nil {
		return years
	}
	return append(append([]*ripening.Year(nil), years...), w.partial)
}

// killsOf are the chances of winter kill in hundredths, nil where all are 0.
func killsOf(years []ripening.YearOf) []uint8 {
	out, some := make([]uint8, len(years)), false
	for i, y := range years {
		out[i] = uint8(quantity.Round(100 * y.Kill))
		some = some || out[i] > 0
	}
	if !some {
		return nil
	}
	return out
}

func gardenSeason(u *ripening.Supply, until day.Date) GardenSeason {
	y := u.Year()
	s := GardenSeason{Season: u.Season, SetBack: u.SetBacks > 0}
	if !u.Leafed {
		return s
	}
	s.From = y.Hemisphere.InSeason(u.Season, u.LeafOut) + 1
	last, before := min(y.Hemisphere.InSeason(u.Season, u.LastDay), until), 0
	for d := s.From; d <= last; d++ {
		sum := int(quantity.Round(u.HeatOn(d) / GainStep))
		s.Gain = append(s.Gain, uint8(min(max(sum-before, 0), mostGain)))
		before = sum
	}
	return s
}

// gardenLines are the lines of the odds that have a heat need, by crop.
func (k *kit) gardenLines() []GardenLine {
	var out []GardenLine
	for _, ck := range k.cropOrder {
		for c := range ck.cultivars {
			for _, q := range ck.cultivars[c].parts {
				if q.reason != "" {
					continue
				}
				out = append(out, GardenLine{Crop: string(ck.row.ID), Cultivar: string(ck.cultivars[c].row.ID), Part: q.name, Brebas: q.brebas,
					Mu: q.need.Mu, SE: q.need.SE, GardenSd: q.need.GardenSd, YearSd: q.need.YearSd,
					Delay: q.delay, DiebackDelay: ck.model.DiebackDelay, OnOldWood: q.onOldWood})
			}
		}
	}
	return out
}

// lastLows keeps the lows of the last year of a town's record.
func (p *place) lastLows() {
	if p.weather.until == day.None {
		return
	}
	g, d := &p.town.Garden, &p.daily
	g.FirstLow = max(d.First, p.weather.until-365)
	g.Lows = append(g.Lows, d.TMin[g.FirstLow-d.First:p.weather.until-d.First+1]...)
}
