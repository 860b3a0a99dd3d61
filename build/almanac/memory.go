package almanac

import (
	"cmp"
	"context"
	"encoding/gob"
	"path/filepath"
	"slices"
	"strings"

	"ripeward/build/cache"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/needs"
	"ripeward/build/station"
)

// What sentences of a book hold as values, for gob to carry them.
func init() {
	for _, v := range []any{day.Date(0), club.Text(""), Named{}, diag.Sentence{}} {
		gob.Register(v)
	}
}

// memory is what a run recalls of earlier ones. Every stage has a key of its
// own over all that its outcome rests on: the program, the club's tables, the
// files of the stations it draws from, and the stages before it. What cannot
// be recalled is computed; the outcome is the same.
type memory struct {
	cache *cache.Cache
	dir   string

	tables  cache.Sum // of all tables and settings, reports left out
	reports cache.Sum
	learned cache.Sum // of the heat needs and the years, once they are known
}

func newMemory(c *club.Club, store *cache.Cache) (*memory, error) {
	m := &memory{cache: store, dir: c.Dir}
	if store == nil {
		return m, nil
	}
	tables, reports := store.Key("tables"), store.Key("reports")
	for _, in := range c.Inputs {
		k := tables
		switch {
		case strings.HasPrefix(in, "data/stations/"), strings.HasPrefix(in, "content/"), in == club.LastYearFile:
			continue
		case strings.HasPrefix(in, "data/reports/"):
			k = reports
		}
		sum, err := store.Hash(filepath.Join(c.Dir, filepath.FromSlash(in)))
		if err != nil {
			return nil, err
		}
		k.Text(in).Sum(sum)
	}
	for _, p := range c.Dropped { // --set-aside changes what the same files say
		tables.Text(p.Error())
	}
	m.tables, m.reports = tables.End(), reports.End()
	return m, nil
}

// fileKey is the key of a station file with what stands beside it.
func (m *memory) fileKey(path string) (*cache.Key, bool) {
	k := m.cache.Key("file").Text(path)
	sum, err := m.cache.Hash(path)
	if err != nil {
		return nil, false // reading it will say what is wrong
	}
	k.Sum(sum)
	for _, p := range station.Beside(path) {
		if sum, err := m.cache.Hash(p); err == nil {
			k.Text(p).Sum(sum)
		}
	}
	return k, true
}

// Recall and Keep make a memory that of station files.
func (m *memory) Recall(path string) (*station.Scanned, bool) {
	k, ok := m.fileKey(path)
	if !ok {
		return nil, false
	}
	s := &station.Scanned{}
	return s, m.cache.Get(k, s)
}

// Keep remembers a station file.
func (m *memory) Keep(path string, s *station.Scanned) {
	if k, ok := m.fileKey(path); ok {
		m.cache.Put(k, s)
	}
}

// stationSum hashes the files that a record was read from, and the program.
func (m *memory) stationSum(b *Book, r *station.Record) cache.Sum {
	if m.cache == nil {
		return cache.Sum{}
	}
	k := m.cache.Key("station").Text(r.ID)
	for _, f := range r.Account.Files {
		if !filepath.IsAbs(f) {
			f = filepath.Join(b.Club.Dir, filepath.FromSlash(f))
		}
		if fk, ok := m.fileKey(f); ok {
			k.Sum(fk.End())
		}
	}
	return k.End()
}

// seasons are a station's own, in calendar order.
func (m *memory) seasons(s *source, r *station.Record) []climate.Season {
	if m.cache == nil {
		return climate.Seasons(&s.daily, climate.DefaultHeat())
	}
	var out []climate.Season
	k := m.cache.Key("seasons").Sum(s.sum).Number(s.latitude)
	if !m.cache.Get(k, &out) {
		out = climate.Seasons(&s.daily, climate.DefaultHeat())
		m.cache.Put(k, out)
	}
	return out
}

// chainSum hashes the stations that a town draws from.
func (m *memory) chainSum(g *Grow, row club.Town) cache.Sum {
	chain, _ := stationsFor(row, g.sources)
	k := m.cache.Key("chain")
	for _, c := range chain {
		k.Text(c.source.id).Sum(c.source.sum).Number(c.km).Number(c.height).Number(c.source.latitude)
	}
	return k.End()
}

// townKey stands for a town's answers.
func (m *memory) townKey(g *Grow, row club.Town) *cache.Key {
	return m.cache.Key("town").Text(string(row.ID)).Sum(m.tables).Sum(m.learned).Sum(m.chainSum(g, row))
}

// stamp tells what the book and its towns rest on.
func (m *memory) stamp(g *Grow) error {
	if m.cache == nil {
		return nil
	}
	b := g.book
	k := m.cache.Key("book").Sum(m.tables).Sum(m.reports).Sum(m.learned).Whole(int(b.CutOff))
	for i := range b.Stations { // each page's foot has the years of all
		k.Text(b.Stations[i].ID).Text(b.Stations[i].Name).Whole(b.Stations[i].First.Year()).Whole(b.Stations[i].Last.Year())
	}
	if slices.Contains(b.Club.Inputs, club.LastYearFile) {
		sum, err := m.cache.Hash(filepath.Join(m.dir, filepath.FromSlash(club.LastYearFile)))
		if err != nil {
			return err
		}
		k.Sum(sum)
	}
	b.RestsOn = k.End()
	for i := range b.Towns {
		b.Towns[i].RestsOn = m.chainSum(g, b.Towns[i].Row)
	}
	return nil
}

// keptTown is a town's answers as they are kept.
type keptTown struct {
	Town     Town
	Warnings diag.Problems
}

func (m *memory) town(g *Grow, row club.Town) (Town, diag.Problems, bool) {
	if m.cache == nil {
		return Town{}, nil, false
	}
	var k keptTown
	if !m.cache.Get(m.townKey(g, row), &k) {
		return Town{}, nil, false
	}
	k.Town.Row = row // with its map of other texts, and its place in the file
	return k.Town, k.Warnings, true
}

func (m *memory) keepTown(g *Grow, t *Town, warnings diag.Problems) {
	if m.cache != nil {
		m.cache.Put(m.townKey(g, t.Row), keptTown{*t, warnings})
	}
}

// keptLessons is what reports have taught.
type keptLessons struct {
	Reports   []ReportUse // without their rows
	Warnings  diag.Problems
	Estimates []needs.Estimate
	Reporting needs.Reporting
	Score     *Score
}

// learnAndScore learns heat needs from the reports and judges the predictions,
// or recalls both.
func (g *Grow) learnAndScore(ctx context.Context, scored bool) error {
	m, b := g.memory, g.book
	var key *cache.Key
	if m.cache != nil {
		key = m.cache.Key("lessons").Sum(m.tables).Sum(m.reports).Value(b.Span).Value(b.Recent).Whole(b.PlanYear)
		for _, id := range g.reportTowns() {
			key.Text(id).Sum(m.chainSum(g, g.rows[id]))
		}
		if scored {
			key.Text("scored")
		}
	}
	var kept keptLessons
	if m.cache != nil && m.cache.Get(key, &kept) && len(kept.Reports) == len(b.Club.Reports) {
		l := g.newLessons()
		if len(kept.Estimates) == len(l.keys) {
			g.recallLessons(l, &kept)
			m.know(b, kept.Estimates)
			return nil
		}
	}
	before := len(b.Problems)
	l, err := g.learn(ctx)
	if err != nil {
		return err
	}
	if scored {
		g.say("each grower's reports from the others'")
		g.score(l)
	}
	m.know(b, l.learned.Estimates)
	if m.cache != nil {
		kept = keptLessons{Reports: slices.Clone(b.Reports), Warnings: b.Problems[before:], Estimates: l.learned.Estimates, Reporting: l.learned.Reporting, Score: b.Score}
		for i := range kept.Reports {
			kept.Reports[i].Row = nil
		}
		m.cache.Put(key, kept)
	}
	return nil
}

// recallLessons puts what was learned before into the book and the kit.
func (g *Grow) recallLessons(l *lessons, kept *keptLessons) {
	b := g.book
	b.Reports = kept.Reports
	for i := range b.Reports {
		b.Reports[i].Row = &b.Club.Reports[i]
	}
	l.learned = &needs.Learned{Estimates: kept.Estimates, Reporting: kept.Reporting}
	g.keep(l)
	b.Problems = append(b.Problems, kept.Warnings...)
	b.Score = kept.Score
}

// know hashes what towns' answers take from the whole club.
func (m *memory) know(b *Book, estimates []needs.Estimate) {
	if m.cache != nil {
		m.learned = m.cache.Key("learned").Value(b.Span).Value(b.Recent).Whole(b.PlanYear).Value(estimates).End()
	}
}

// reportTowns are the towns that have reports, sorted.
func (g *Grow) reportTowns() []string {
	var out []string
	for i := range g.book.Club.Reports {
		if id := string(g.book.Club.Reports[i].TownID); g.rows[id].ID != "" {
			out = append(out, id)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// keptLeftOut is how stations were predicted from the others.
type keptLeftOut struct {
	Lapse climate.Lapse
	Left  []climate.LeftOut
}

// leftOut predicts each station from the others, or recalls it.
func (m *memory) leftOut(b *Book, sources []*source) {
	if m.cache == nil {
		b.keepLeftOut(b.leaveOut(sources))
		return
	}
	k := m.cache.Key("left-out").Value(b.Span).Number(b.Club.Settings.LapseCPerKm)
	for _, s := range slices.SortedFunc(slices.Values(sources), func(x, y *source) int { return cmp.Compare(x.id, y.id) }) {
		k.Text(s.id).Sum(s.sum).Number(s.latitude).Number(s.longitude).Number(s.elevationM)
	}
	var kept keptLeftOut
	if m.cache.Get(k, &kept) {
		b.Lapse = kept.Lapse
		b.keepLeftOut(kept.Left)
		return
	}
	kept.Left = b.leaveOut(sources)
	kept.Lapse = b.Lapse
	m.cache.Put(k, kept)
	b.keepLeftOut(kept.Left)
}
