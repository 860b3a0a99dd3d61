package almanac

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"ripeward/build/cache"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

// Options steer a run; none of them changes the answers.
type Options struct {
	Jobs int // workers; 0 means one a processor
	// Progress is told how far the work has come, from several goroutines; may
	// be nil.
	Progress func(diag.Step)
	// Unscored leaves out Book.Score, which takes longer than all else.
	Unscored bool
	// Cache remembers what was computed from unchanged input; nil: nothing.
	Cache *cache.Cache
}

// recentYears is the length of the span shown beside the reference years.
const recentYears = 15

// defaultYears is the length of the reference span where the club names none:
// a climatological normal period (WMO-No. 1203).
const defaultYears = 30

// ErrNoRecord means that a club has no daily record to compute from.
var ErrNoRecord = errors.New("no daily station record with a usable season")

// NoRecord is ErrNoRecord with what reading the station files had to say: it
// tells why there is none.
type NoRecord struct{ Problems diag.Problems }

func (*NoRecord) Error() string { return ErrNoRecord.Error() }
func (*NoRecord) Unwrap() error { return ErrNoRecord }

// Make reads the station files of a checked club, learns heat needs from its
// reports, and computes its book of answers. Problems in the station files and
// doubts about the choice of stations are warnings in Book.Problems. The error
// is about I/O, or ErrNoRecord.
func Make(ctx context.Context, c *club.Club, o Options) (*Book, error) {
	g, err := NewGrow(ctx, c, o)
	if err != nil {
		return nil, err
	}
	b := g.book
	if err := g.learnAndScore(ctx, !o.Unscored); err != nil {
		return nil, err
	}
	b.GardenLines = g.kit.gardenLines()
	b.Towns = make([]Town, len(c.Towns))
	rows := slices.Clone(c.Towns)
	slices.SortFunc(rows, func(a, b club.Town) int { return strings.Compare(string(a.ID), string(b.ID)) })
	warnings := make([]diag.Problems, len(rows))
	recalled := make([]bool, len(rows))
	ready := g.counting("towns", len(rows))
	err = g.each(ctx, len(rows), func(i int) {
		defer ready()
		if b.Towns[i], warnings[i], recalled[i] = g.memory.town(g, rows[i]); recalled[i] {
			return
		}
		p := g.place(string(rows[i].ID))
		g.forget(string(rows[i].ID))
		if p.weather != nil {
			g.kit.answer(b, p)
		}
		b.Towns[i], warnings[i] = p.town, p.problems
	})
	if err != nil {
		return nil, err
	}
	for _, w := range warnings {
		b.Problems = append(b.Problems, w...)
	}
	var told []*Explanation
	for i := range b.Towns {
		if recalled[i] {
			continue // its readings were traced when it was computed
		}
		for j := range b.Towns[i].Why {
			told = append(told, &b.Towns[i].Why[j])
		}
	}
	if err := g.trace(told); err != nil {
		return nil, err
	}
	for i := range b.Towns {
		if !recalled[i] {
			g.memory.keepTown(g, &b.Towns[i], warnings[i])
		}
	}
	g.memory.leftOut(b, g.sources)
	b.compare()
	if err := g.memory.stamp(g); err != nil {
		return nil, err
	}
	b.Problems = b.Problems.Sort()
	return b, nil
}

// open reads the station files into a book without towns.
func open(c *club.Club, o Options, m *memory) (*Book, []*source, error) {
	with := station.Options{Each: counting(o.Progress, "station files", len(c.StationFiles))}
	if o.Cache != nil {
		with.Memory = m
	}
	records, problems, err := station.ReadAllWith(c.StationFiles, o.Jobs, with)
	if err != nil {
		return nil, nil, err
	}
	b := &Book{Club: c, CutOff: day.None, Dialects: station.Dialects()}
	for i := range records {
		a := &records[i].Account
		for j := range a.Files {
			a.Files[j] = b.within(a.Files[j])
		}
		for j := range a.SetAside {
			a.SetAside[j].Place.File = b.within(a.SetAside[j].Place.File)
		}
	}
	for _, p := range problems {
		p.Place.File = b.within(p.Place.File)
		if p.Severity == diag.Error {
			// A station file never stops a build: what it lacks shows on the
			// data-quality page.
			p.Severity = diag.Warning
		}
		b.Problems = append(b.Problems, p)
	}
	sources := newSources(c, records, b, m)
	if err := b.chooseYears(sources); err != nil {
		return nil, nil, &NoRecord{b.Problems.Sort()}
	}
	return b, sources, nil
}

// leaveOut predicts each placed station from the others.
func (b *Book) leaveOut(sources []*source) []climate.LeftOut {
	var placed []climate.Placed
	for _, s := range sources {
		if !math.IsNaN(s.latitude) && !math.IsNaN(s.longitude) && !math.IsNaN(s.elevationM) {
			placed = append(placed, climate.Placed{ID: s.id, Latitude: s.latitude, Longitude: s.longitude, HeightM: s.elevationM, Daily: &s.daily, Seasons: s.seasons})
		}
	}
	b.Lapse = climate.FittedLapse(placed, b.Span)
	b.Lapse.CPerKm = quantity.Step(b.Lapse.CPerKm, 0.1)
	return climate.LeaveOneOut(placed, b.Club.Settings.LapseCPerKm, b.Span, climate.DefaultHeat())
}

// keepLeftOut puts the errors of stations predicted from the others into the
// book, and pools those of each zone.
func (b *Book) keepLeftOut(left []climate.LeftOut) {
	type leads struct{ zone, station string }
	serves := map[leads]bool{}
	for i := range b.Towns {
		serves[leads{string(b.Towns[i].Row.ZoneID), b.Towns[i].Lead.StationID}] = true
	}
	for _, z := range b.Club.Zones {
		var parts []climate.LeftOut
		for _, l := range left {
			if l.Lead != "" && serves[leads{string(z.ID), l.ID}] {
				parts = append(parts, l)
			}
		}
		b.ZoneErrors = append(b.ZoneErrors, ZoneError{string(z.ID), len(parts), roundLeftOut(climate.Pool(parts))})
	}
	for _, l := range left {
		b.LeftOut = append(b.LeftOut, roundLeftOut(l))
	}
}

// chooseYears settles the reference years, the last 15 and the plan year for
// the whole club.
func (b *Book) chooseYears(sources []*source) error {
	complete, warm := 0, 0
	for _, s := range sources {
		c, w := lastSeasons(s.seasons)
		complete, warm = max(complete, c), max(warm, w)
	}
	last := cmp.Or(complete, warm)
	if last == 0 {
		return ErrNoRecord
	}
	b.Span = climate.Span{First: last - defaultYears + 1, Last: last}
	if set := b.Club.Settings; set.FirstRef != 0 {
		b.Span = climate.Span{First: set.FirstRef, Last: set.LastRef}
	}
	b.Recent = climate.Span{First: last - recentYears + 1, Last: last}
	b.PlanYear = last + 1
	if y := b.Club.Settings.PlanYear; y != 0 {
		b.PlanYear = y
	}
	return nil
}

// source is a station as towns draw from it.
type source struct {
	id, name                        string
	latitude, longitude, elevationM float64
	daily                           climate.Daily
	seasons                         []climate.Season
	validYears                      int       // with a valid heat sum
	sum                             cache.Sum // of the files it was read from
}

// newSources joins the club's station rows with the records read, fills the
// book's list of stations, and returns those that towns can draw from, by id.
func newSources(c *club.Club, records []station.Record, b *Book, m *memory) []*source {
	byID := map[string]*station.Record{}
	for i := range records {
		byID[records[i].ID] = &records[i]
		b.CutOff = max(b.CutOff, records[i].Last())
	}
	var out []*source
	listed := map[string]bool{}
	for _, row := range c.Stations {
		id := string(row.ID)
		listed[id] = true
		r := byID[id]
		if r == nil {
			b.Problems = append(b.Problems, diag.Problem{Place: row.At, Severity: diag.Warning,
				Message: fmt.Sprintf("station %s has no daily file in data/stations", id),
				Hint:    "put its file there, or take the row out"})
			r = &station.Record{Series: station.Series{ID: id, Latitude: nan, Longitude: nan, ElevationM: nan}}
		}
		out = append(out, b.addStation(row, r, m))
	}
	for i := range records {
		if r := &records[i]; !listed[r.ID] {
			b.Problems = append(b.Problems, diag.Problem{Place: diag.Place{File: first(r.Account.Files)}, Severity: diag.Warning,
				Message: fmt.Sprintf("station %s is not in data/stations.csv, so no town uses it", r.ID),
				Hint:    "add a row for it, with its name, place and credit"})
		}
	}
	slices.SortFunc(out, func(a, b *source) int { return strings.Compare(a.id, b.id) })
	slices.SortFunc(b.Stations, func(a, b Station) int { return strings.Compare(a.ID, b.ID) })
	return slices.DeleteFunc(out, func(s *source) bool { return len(s.daily.TMin) == 0 })
}

// A stated place and a file's place may differ by so much before it is worth
// a warning (TABLES, stations.csv).
const (
	placeDegrees = 0.05
	placeMetres  = 30
)

// addStation merges a row with its record and lists the station in the book.
func (b *Book) addStation(row club.Station, r *station.Record, m *memory) *source {
	warn := func(what string, file, table, limit float64) {
		if d := file - table; d > limit || d < -limit {
			b.Problems = append(b.Problems, diag.Problem{Place: row.At, Severity: diag.Warning,
				Message: fmt.Sprintf("station %s: the table says %s %g, its data file %g", row.ID, what, table, file),
				Hint:    "check which is right; the table is used"})
		}
	}
	merge := func(what string, n club.Number, file, limit float64) float64 {
		if !n.Set {
			return file
		}
		warn(what, file, n.Value, limit)
		return n.Value
	}
	s := &source{id: string(row.ID), name: string(row.Name)}
	s.latitude = merge("latitude", row.Latitude, r.Latitude, placeDegrees)
	s.longitude = merge("longitude", row.Longitude, r.Longitude, placeDegrees)
	s.elevationM = merge("elevation", row.ElevationM, r.ElevationM, placeMetres)
	s.daily = dailyOf(&r.Series, s.latitude)
	s.sum = m.stationSum(b, r)
	st := Station{ID: s.id, Name: s.name, Latitude: s.latitude, Longitude: s.longitude, ElevationM: s.elevationM,
		Credit: string(row.Credit), Licence: string(row.Licence), First: day.None, Last: day.None, Account: r.Account}
	if st.Name == "" {
		st.Name = r.Name
		s.name = r.Name
	}
	st.DaysSetAside = r.Account.DaysSetAside()
	if len(r.TMin) > 0 {
		st.First, st.Last = r.First, r.Last()
		s.seasons = m.seasons(s, r)
		for _, y := range s.seasons {
			if y.Heat.OK {
				s.validYears++
			}
			if y.Complete {
				st.CompleteYears++
			}
		}
		for i := range r.TMin {
			if missing(r.TMin[i]) || missing(r.TMax[i]) {
				st.MissingDays++
			}
		}
	}
	st.ValidYears = s.validYears
	b.Stations = append(b.Stations, st)
	return s
}
