package almanac

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
	"ripeward/build/station"
)

var nan = math.NaN()

func missing(t quantity.Tenths) bool { return t == quantity.Missing }

func first(s []string) string {
	if len(s) == 0 {
		return ""
	}
	return s[0]
}

func dailyOf(s *station.Series, latitude float64) climate.Daily {
	return climate.Daily{First: s.First, TMin: s.TMin, TMax: s.TMax, Precip: s.Precip,
		Hemisphere: day.HemisphereOf(latitude), Latitude: climate.AtLatitude(latitude)}
}

// A lead station farther than FarKm, or more than FarM higher or lower than the
// town, is worth a warning (SCIENCE 4).
const (
	FarKm = 30
	FarM  = 150
)

// Far tells whether the lead station lies too far away or at too different a
// height to be trusted without a look.
func (l *Lead) Far() bool { return l.DistanceKm > FarKm || math.Abs(l.HeightM) > FarM }

// Fillers of an unnamed choice come from no farther than this, and no more
// than so many (judgement).
const (
	fillerKm   = 50
	fillersMax = 2
)

// place is a town with its own weather: what there is to know before any
// question about a cultivar is asked.
type place struct {
	town    Town
	daily   climate.Daily
	weather *weather // nil without a usable station
	anchors *anchors
	// Worked out as far as asked for.
	heatings  map[string]*heated         // by method
	followed  map[string]*followedStore  // by store
	storeLows map[string]map[int]float64 // by store and crop, then season
	kills     map[killKey][]float64      // by wood, cover and winter's lows, then year
	hourly    *hourly
	problems  diag.Problems
}

// heightHint says what to try with a town that stands above (or below) its
// station. A height in feet brings it far above.
func heightHint(elevation, above float64) string {
	const foot = 0.3048
	if station := elevation - above; math.Abs(elevation*foot-station) < 50 {
		return fmt.Sprintf("is elevation_m in feet? %.0f ft are %.0f m", elevation, elevation*foot)
	}
	return "a station at the town's own height would tell more"
}

// settle chooses a town's stations, moves their record to the town and
// computes its season's figures.
func settle(b *Book, sources []*source, row club.Town) *place {
	p := &place{town: Town{Row: row, Hemisphere: day.HemisphereOf(row.Latitude.Value)}}
	t := &p.town
	warn := func(hint, format string, args ...any) {
		p.problems = append(p.problems, diag.Problem{Place: row.At, Severity: diag.Warning,
			Message: fmt.Sprintf("town %s: %s", row.ID, fmt.Sprintf(format, args...)), Hint: hint})
	}
	chain, named := stationsFor(row, sources)
	if len(chain) == 0 {
		warn("name one in station_ids, or add its file", "no station with a usable record")
		return p
	}
	lead := chain[0]
	for _, id := range row.StationIDs {
		if !slices.ContainsFunc(sources, func(s *source) bool { return s.id == id }) {
			warn("put its file into data/stations, or take the id out", "station %s, which its station_ids names, has no record; it rests on %s", id, lead.source.id)
		}
	}
	t.Lead = Lead{StationID: lead.source.id, Named: named, DistanceKm: quantity.Step(lead.km, 0.1), HeightM: quantity.Step(lead.height, 1)}
	if lead.km > FarKm {
		warn("a nearer station would tell more", "station %s is %.0f km away", lead.source.id, lead.km)
	}
	if math.Abs(lead.height) > FarM {
		warn(heightHint(row.ElevationM.Value, lead.height), "station %s differs by %.0f m of height", lead.source.id, math.Abs(lead.height))
	}

	daily := lead.source.daily
	daily.Hemisphere, daily.Latitude = t.Hemisphere, climate.AtLatitude(row.Latitude.Value)
	for _, f := range chain[1:] {
		filled, nMin, nMax := climate.Fill(&daily, &f.source.daily)
		if nMin+nMax > 0 {
			daily = filled
			t.Lead.Fillers = append(t.Lead.Fillers, f.source.id)
			t.Lead.FilledMin += nMin
			t.Lead.FilledMax += nMax
		}
	}
	shift := climate.ShiftFor(b.Club.Settings.LapseCPerKm, lead.height, row.DayOffset.Or(0), row.NightOffset.Or(0))
	t.Lead.DayShiftC, t.Lead.NightShiftC = quantity.Step(shift.Day, 0.1), quantity.Step(shift.Night, 0.1)
	daily = climate.Move(&daily, shift)

	seasons := climate.Seasons(&daily, climate.DefaultHeat())
	base := climate.DefaultHeat().Base
	t.Normals = roundNormals(climate.Normals(seasons, b.Span, base))
	t.Recent = roundNormals(climate.Normals(seasons, b.Recent, base))
	t.Frozen0 = frozenBy(seasons, b.Span, climate.Zero)
	t.FrozenM22 = frozenBy(seasons, b.Span, climate.M22)
	t.season(&daily, seasons, b.Span)
	t.Seasons = roundSeasons(seasons)

	w := weatherOf(&daily, seasons, b.Span, row.Latitude.Value)
	if !climate.EnoughYears(len(w.years), b.Span) {
		warn("a longer record would tell more", "only %d of the %d reference years have a valid heat sum", len(w.years), b.Span.Years())
	}
	for i := range t.Mean10 {
		t.Mean10[i] = float32(quantity.Step(w.mean10[RankAt(i)-1], 0.1))
	}
	p.daily, p.weather, p.anchors = daily, w, anchorsOf(t, w)
	return p
}

// season fills in what a town knows of its season beside the normals.
func (t *Town) season(d *climate.Daily, seasons []climate.Season, span climate.Span) {
	t.Returns, t.ReturnWinters = climate.WinterReturnLevels(seasons, span)
	for i := range t.Returns {
		r := &t.Returns[i]
		r.V, r.Low, r.High = quantity.Step(r.V, stepTemperature), quantity.Step(r.Low, stepTemperature), quantity.Step(r.High, stepTemperature)
	}
	t.SpringRisk, _ = climate.SpringRisk(seasons, span, t.Hemisphere)
	for i := range t.SpringRisk {
		for k := range t.SpringRisk[i].Chance {
			t.SpringRisk[i].Chance[k] = roundValue(t.SpringRisk[i].Chance[k], stepOdds)
		}
	}
	t.Evaporation = climate.MonthlyEvaporation(d, span)
	for m := range t.Evaporation {
		t.Evaporation[m] = roundValue(t.Evaporation[m], stepRain)
	}
	if h, ok := climate.HeatByDay(d, span, climate.DefaultHeat()); ok {
		for i := range t.HeatNormal {
			r := RankAt(i) - 1
			t.HeatNormal[i] = float32(quantity.Step(h.Normal[r], stepHeat))
			t.HeatWarm[i] = float32(quantity.Step(h.Warm[r], stepHeat))
			t.HeatCool[i] = float32(quantity.Step(h.Cool[r], stepHeat))
		}
	}
}

// The ripening weeks where nothing ripens in 5 years of 10: September (S March).
const lateSummer = 9

// ripeningRain looks at the weeks in which the reference crop ripens in its
// plainest pot: from the first fruit of the earliest cultivar in the middle
// year to the last ripening day in the middle year.
func ripeningRain(t *Town, d *climate.Daily, span climate.Span) RipeningRain {
	r := RipeningRain{From: t.Hemisphere.RankOf(lateSummer, 1), Until: t.Hemisphere.RankOf(lateSummer, 30)}
	if len(d.Precip) == 0 {
		return r
	}
	for _, e := range t.Endings {
		if e.LastDay[1].None || e.Method != t.plainPot() {
			continue
		}
		r.Until = e.LastDay[1].Rank
		for _, o := range t.Odds {
			if o.Method == e.Method && o.Part == "main" && o.Odds >= 0.5 && !o.FirstRipe[1].None {
				r.From = min(r.From, o.FirstRipe[1].Rank)
			}
		}
	}
	r.RainSpell = climate.RainSpells(d, span, r.From, r.Until, climate.SpellDays, climate.SpellMM)
	r.Share, r.Low, r.High = quantity.Step(r.Share, stepOdds), quantity.Step(r.Low, stepOdds), quantity.Step(r.High, stepOdds)
	return r
}

// plainPot is the pot method that asks for the fewest hours, or "".
func (t *Town) plainPot() string {
	best, least := "", math.Inf(1)
	for _, p := range t.Plans {
		if p.Out.None || p.Weeks > 0 {
			continue
		}
		for _, o := range t.Odds {
			if o.Method == p.Method && o.N > 0 {
				if o.Hours < least {
					best, least = p.Method, o.Hours
				}
				break
			}
		}
	}
	return best
}

// candidate is a station as seen from a town.
type candidate struct {
	source     *source
	km, height float64 // height: town minus station
}

// stationsFor returns the lead and the fillers for a town: those named, in
// their order, else the nearest by the rule of SCIENCE 4.
func stationsFor(row club.Town, sources []*source) (chain []candidate, named bool) {
	see := func(s *source) candidate {
		c := candidate{source: s}
		c.km = climate.DistanceKm(row.Latitude.Value, row.Longitude.Value, s.latitude, s.longitude)
		c.height = row.ElevationM.Value - s.elevationM
		if math.IsNaN(c.height) {
			c.height = 0 // an unknown height moves nothing
		}
		return c
	}
	for _, id := range row.StationIDs {
		if i := slices.IndexFunc(sources, func(s *source) bool { return s.id == id }); i >= 0 {
			chain = append(chain, see(sources[i]))
		}
	}
	if len(chain) > 0 {
		return chain, true
	}
	var seen []candidate
	var rated []climate.Candidate
	for _, s := range sources {
		if c := see(s); !math.IsNaN(c.km) && s.validYears > 0 {
			seen = append(seen, c)
			rated = append(rated, climate.Candidate{ID: s.id, DistanceKm: c.km, HeightM: c.height, ValidYears: s.validYears})
		}
	}
	lead, _ := climate.ChooseLead(rated)
	if lead < 0 {
		return nil, false
	}
	chain = []candidate{seen[lead]}
	others := slices.Delete(seen, lead, lead+1)
	slices.SortStableFunc(others, func(a, b candidate) int { return cmp.Compare(score(a), score(b)) })
	for _, c := range others {
		if c.km <= fillerKm && len(chain) <= fillersMax {
			chain = append(chain, c)
		}
	}
	return chain, false
}

func score(c candidate) float64 {
	return climate.Candidate{DistanceKm: c.km, HeightM: c.height}.Score()
}

// frozenBy is the share of valid years in span whose first autumn freeze of a
// threshold has come by each day of the curve.
func frozenBy(seasons []climate.Season, span climate.Span, threshold int) Curve {
	var c Curve
	n := 0
	for _, s := range seasons {
		f := s.First[threshold]
		if !span.Has(s.Year) || f.Outcome == climate.Invalid {
			continue
		}
		n++
		for i := range c {
			if f.Outcome == climate.Found && f.Rank <= RankAt(i) {
				c[i]++
			}
		}
	}
	for i := range c {
		if n > 0 {
			c[i] = float32(quantity.Step(float64(c[i])/float64(n), 0.001))
		}
	}
	return c
}

// weather is a town's years as the ripening model sees them.
type weather struct {
	record     []*ripening.Year // every season with a valid heat sum, oldest first
	years      []*ripening.Year // those of the reference span
	partial    *ripening.Year   // the season that the record ends in; nil where it is whole or has gaps
	until      day.Date         // last day of the record with a low and a high
	allLows    []winterLow      // every valid winter of the record, oldest first
	mean10     [365]float64
	hemisphere day.Hemisphere
}

type winterLow struct {
	year int
	low  float64
}

// low returns the lowest temperature (°C) of the winter before a season; NaN
// where it is not known.
func (w *weather) low(season int) float64 {
	for _, l := range w.allLows {
		if l.year == season {
			return l.low
		}
	}
	return nan
}

// year returns the weather of a season, the partial one included, or nil.
func (w *weather) year(season int) *ripening.Year {
	if w.partial != nil && w.partial.Season == season {
		return w.partial
	}
	for _, y := range w.record {
		if y.Season == season {
			return y
		}
	}
	return nil
}

// within returns the years of a span.
func (w *weather) within(s climate.Span) []*ripening.Year {
	var out []*ripening.Year
	for _, y := range w.record {
		if s.Has(y.Season) {
			out = append(out, y)
		}
	}
	return out
}

func weatherOf(d *climate.Daily, seasons []climate.Season, span climate.Span, latitude float64) *weather {
	w := &weather{hemisphere: d.Hemisphere, until: day.None}
	for i := len(d.TMin) - 1; i >= 0; i-- {
		if !missing(d.TMin[i]) && !missing(d.TMax[i]) {
			w.until = d.First + day.Date(i)
			break
		}
	}
	for _, s := range seasons {
		if s.WinterMin.OK {
			w.allLows = append(w.allLows, winterLow{s.Year, s.WinterMin.V})
		}
		running := w.until != day.None && d.Hemisphere.Season(w.until) == s.Year && w.until < d.Hemisphere.End(s.Year)
		if !s.Heat.OK && !running {
			continue
		}
		tmin, tmax, _, valid := climate.HeatSeries(d, s.Year)
		y := &ripening.Year{Season: s.Year, Hemisphere: d.Hemisphere, Latitude: latitude, TMin: tmin, TMax: tmax, Valid: valid}
		switch {
		case s.Heat.OK && valid:
			w.record = append(w.record, y)
		case running && wholeUntil(y, w.until):
			w.partial = y
		}
	}
	w.years = w.within(span)
	w.mean10 = ripening.NormalMean10(w.years)
	return w
}

// wholeUntil tells whether a season that is still running has been followed
// without a gap that could not be filled, from 1 March (S 1 September) to the
// last day of the record.
func wholeUntil(y *ripening.Year, until day.Date) bool {
	from := y.Index(y.Hemisphere.RankOf(3, 1))
	to := int(until - y.Start())
	if to < from {
		return false
	}
	for i := from; i <= to; i++ {
		if math.IsNaN(y.TMin[i]) || math.IsNaN(y.TMax[i]) {
			return false
		}
	}
	return true
}
