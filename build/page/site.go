package page

import (
	"cmp"
	"html/template"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/tables"
	"ripeward/build/words"
)

// site is what all pages share: the book with its indexes, the choices made
// once for all pages, and the names of the assets.
type site struct {
	units
	book    *almanac.Book
	club    *club.Club
	options Options

	zones     map[string]*club.Zone
	crops     map[string]*club.Crop
	classes   map[string]*club.Class
	cultivars map[string]*club.Cultivar
	methods   map[string]*club.Method
	tasks     map[string]*club.Task
	stations  map[string]*almanac.Station
	towns     map[string]*almanac.Town
	inZone    map[string][]*almanac.Town // by name
	needs     map[oddsKey]*almanac.HeatNeed

	key   []*club.Method // the few methods shown side by side, plain pot first
	plain *club.Method   // what "no special effort" means here; nil without methods

	templates map[string]*template.Template
	assets    assets
	basePath  string   // path part of site_url, for the page of lost links
	written   []string // languages the site is written in, the first at its root
	below     string   // where this language's pages stand: "" for the first, else "fr/"
	guides    []guide
	extra     []guide // pages of the club's own beside home and guides
	home      *guide
	downloads []tables.Download
	list      []finding // what can be searched
	attached  attachments
}

// newSite arranges a book for pages in one language.
func newSite(b *almanac.Book, o Options, lang *words.Language) *site {
	s := &site{
		units: units{us: b.Club.Settings.HomeUnits == "us", voice: voice{lang}}, book: b, club: b.Club, options: o,
		zones: index(b.Club.Zones, func(z *club.Zone) string { return string(z.ID) }),
		crops: index(b.Club.Crops, func(c *club.Crop) string { return string(c.ID) }),
		classes: index(b.Club.Classes, func(c *club.Class) string {
			return string(c.ID)
		}),
		cultivars: index(b.Club.Cultivars, func(c *club.Cultivar) string { return string(c.ID) }),
		methods:   index(b.Club.Methods, func(m *club.Method) string { return string(m.ID) }),
		tasks:     index(b.Club.Tasks, func(t *club.Task) string { return string(t.ID) }),
		stations:  index(b.Stations, func(t *almanac.Station) string { return t.ID }),
		towns:     index(b.Towns, func(t *almanac.Town) string { return string(t.Row.ID) }),
		inZone:    byZone(b.Towns),
		needs:     indexNeeds(b.Needs),
	}
	s.written = languagesOf(b.Club)
	if s.Tag != s.written[0] {
		s.below = s.Tag + "/"
	}
	s.chooseMethods()
	return s
}

// languagesOf are the club's languages, the one at the root of its site first.
func languagesOf(c *club.Club) []string {
	if l := c.Settings.Languages; len(l) > 0 {
		return l
	}
	return []string{"en"}
}

// top leads from a page, whose root leads to the top of its language's pages,
// to the top of the site, where assets and downloads stand.
func (s *site) top(root string) string {
	return root + strings.Repeat("../", strings.Count(s.below, "/"))
}

// in is a text column in the page's language, or in the table's own where it
// is not translated.
func (s *site) in(r club.Row, column string, own club.Text) string {
	t, _ := r.In(s.Tag, column, string(own))
	return t
}

func index[T any](rows []T, id func(*T) string) map[string]*T {
	m := make(map[string]*T, len(rows))
	for i := range rows {
		if _, there := m[id(&rows[i])]; !there {
			m[id(&rows[i])] = &rows[i]
		}
	}
	return m
}

// chooseMethods picks the plain pot and the methods shown side by side by what
// they do, not by name: a club's own table may call them anything.
func (s *site) chooseMethods() {
	pick := func(want func(*club.Method) bool) *club.Method {
		for i := range s.club.Methods {
			if m := &s.club.Methods[i]; want(m) {
				return m
			}
		}
		return nil
	}
	warmed := func(m *club.Method) bool { return m.DayGainC.Or(0) > 0 || m.HeatFloorC.Set }
	s.plain = pick(func(m *club.Method) bool {
		return m.Place == "pot" && m.Wake != "planned" && !warmed(m) && !m.CarryBelowC.Set
	})
	if s.plain == nil && len(s.club.Methods) > 0 {
		s.plain = &s.club.Methods[0]
	}
	for _, m := range []*club.Method{
		s.plain,
		pick(func(m *club.Method) bool { return m.HeadStartWeeks.Or(0) > 0 && !warmed(m) }),
		pick(func(m *club.Method) bool { return m.DayGainC.Or(0) > 0 && !m.HeatFloorC.Set }),
		pick(func(m *club.Method) bool { return m.Place == "ground" }),
	} {
		if m != nil && !slices.Contains(s.key, m) {
			s.key = append(s.key, m)
		}
	}
}

// showcase is the method a town's charts are drawn for: the plain pot, or the
// first head start where hardly anything ripens in a plain pot.
func (s *site) showcase(t *almanac.Town) *club.Method {
	for _, m := range s.key {
		if m.Place == "ground" {
			continue
		}
		n := 0
		for i := range t.Odds {
			if o := &t.Odds[i]; o.Method == string(m.ID) && o.Reason == "" && o.Odds >= 0.5 {
				n++
			}
		}
		if n >= 3 {
			return m
		}
	}
	if len(s.key) > 1 && s.key[1].Place != "ground" {
		return s.key[1]
	}
	return s.plain
}

// link is a place on the site.
type link struct{ Text, Href string }

// paths writes the addresses of pages as seen from one page. root leads to
// the top of the site: "", "../", "../../" ...
type paths struct{ root string }

// rootOf is the way up from the page at path ("towns/x/index.html").
func rootOf(path string) string { return strings.Repeat("../", strings.Count(path, "/")) }

func (p paths) page(folder string) string { return p.root + folder + "index.html" }
func (p paths) home() string              { return p.page("") }
func (p paths) zone(id string) string     { return p.page("zones/" + id + "/") }
func (p paths) town(id string) string     { return p.page("towns/" + id + "/") }
func (p paths) townAll(id string) string  { return p.page("towns/" + id + "/all/") }
func (p paths) plan(id string) string     { return p.page("plan/" + id + "/") }
func (p paths) why(id string) string      { return p.page("towns/" + id + "/why/") }
func (p paths) soFar(id string) string    { return p.page("towns/" + id + "/this-season/") }
func (p paths) tents(id string) string    { return p.page("towns/" + id + "/tents/") }
func (p paths) townPots(id string) string { return p.page("towns/" + id + "/pots/") }
func (p paths) garden(id string) string   { return p.page("towns/" + id + "/garden/") }
func (p paths) cultivar(id string) string { return p.page("cultivars/" + id + "/") }
func (p paths) guide(name string) string  { return p.page("guides/" + name + "/") }
func (p paths) grid(method, zone string) string {
	return p.page("grid/" + method + "/" + zone + "/")
}

func (s *site) cultivarName(id string) string {
	if c := s.cultivars[id]; c != nil {
		return s.in(c.Row, "name", c.Name)
	}
	return id
}

func (s *site) methodName(id string) string {
	if m := s.methods[id]; m != nil {
		return s.in(m.Row, "name", m.Name)
	}
	return id
}

func (s *site) stationName(id string) string {
	if st := s.stations[id]; st != nil && st.Name != "" {
		return st.Name
	}
	return id
}

// townsIn returns the towns of a zone by name.
func (s *site) townsIn(zone string) []*almanac.Town { return s.inZone[zone] }

// byZone lists the towns of each zone by name.
func byZone(towns []almanac.Town) map[string][]*almanac.Town {
	out := map[string][]*almanac.Town{}
	for i := range towns {
		zone := string(towns[i].Row.ZoneID)
		out[zone] = append(out[zone], &towns[i])
	}
	for _, list := range out {
		slices.SortFunc(list, func(a, b *almanac.Town) int {
			return cmp.Or(cmp.Compare(a.Row.Name, b.Row.Name), cmp.Compare(a.Row.ID, b.Row.ID))
		})
	}
	return out
}

// oddsKey names one cultivar's crop part.
type oddsKey struct{ cultivar, part string }

// oddsBy is a town's odds arranged for tables.
type oddsBy struct {
	keys    []oddsKey // crop by crop, main crops first, then the best odds in a plain pot first
	at      map[oddsKey]map[string]*almanac.Odds
	cheap   map[oddsKey]*almanac.Odds // least hours among 8 years in 10, any week
	best    map[oddsKey]*almanac.Odds // highest odds at default weeks
	weeks   map[oddsKey]map[string][]*almanac.Odds
	winters map[string]map[string]*almanac.WinterLoss // cultivar, method
	say     voice
}

// enough tells whether a share is printed as 8 in 10 or more: what the pages
// call good enough. Comparing what is printed keeps words and tables in step.
func enough(share float64) bool { return yearsLevel(share) >= 8 }

func (s *site) arrange(t *almanac.Town) *oddsBy {
	by := &oddsBy{say: s.voice, at: map[oddsKey]map[string]*almanac.Odds{}, cheap: map[oddsKey]*almanac.Odds{},
		best: map[oddsKey]*almanac.Odds{}, weeks: map[oddsKey]map[string][]*almanac.Odds{},
		winters: map[string]map[string]*almanac.WinterLoss{}}
	cheaper := func(k oddsKey, o *almanac.Odds) {
		if o.Reason != "" || !enough(o.Odds) {
			return
		}
		if c := by.cheap[k]; c == nil || o.Hours < c.Hours || o.Hours == c.Hours && o.Odds > c.Odds {
			by.cheap[k] = o
		}
	}
	for i := range t.Odds {
		o := &t.Odds[i]
		k := oddsKey{o.Cultivar, o.Part}
		if by.at[k] == nil {
			by.at[k] = map[string]*almanac.Odds{}
			by.keys = append(by.keys, k)
		}
		// Where a cultivar bears two crops, one method may have two rows:
		// brebas kept and removed. Brebas off is what helps the main crop,
		// so it is the one shown.
		if have := by.at[k][o.Method]; have == nil || have.Brebas == "kept" && o.Brebas == "removed" {
			by.at[k][o.Method] = o
		}
		cheaper(k, o)
		if b := by.best[k]; b == nil || b.Reason != "" && o.Reason == "" || o.Reason == "" && o.Odds > b.Odds {
			by.best[k] = o
		}
	}
	for i := range t.Weeks {
		o := &t.Weeks[i]
		k := oddsKey{o.Cultivar, o.Part}
		if by.weeks[k] == nil {
			by.weeks[k] = map[string][]*almanac.Odds{}
		}
		if o.Brebas == "kept" && o.Part == "main" {
			continue
		}
		by.weeks[k][o.Method] = append(by.weeks[k][o.Method], o)
		cheaper(k, o)
	}
	for i := range t.Winters {
		w := &t.Winters[i]
		if by.winters[w.Cultivar] == nil {
			by.winters[w.Cultivar] = map[string]*almanac.WinterLoss{}
		}
		by.winters[w.Cultivar][w.Method] = w
	}
	rank := func(k oddsKey) float64 {
		sum := 0.0
		for i, m := range s.key {
			if o := by.at[k][string(m.ID)]; o != nil && o.Reason == "" {
				sum += o.Odds / math.Pow(4, float64(i))
			} else if o != nil {
				sum -= 1
			}
		}
		return sum
	}
	slices.SortStableFunc(by.keys, func(a, b oddsKey) int {
		return cmp.Or(cmp.Compare(s.cropOrder(a), s.cropOrder(b)), -cmp.Compare(a.part, b.part), cmp.Compare(rank(b), rank(a)), cmp.Compare(s.cultivarName(a.cultivar), s.cultivarName(b.cultivar)),
			cmp.Compare(a.part, b.part))
	})
	return by
}

// cropOrder is the place of a cultivar's crop in the crops file.
func (s *site) cropOrder(k oddsKey) int {
	if c := s.cultivars[k.cultivar]; c != nil {
		return slices.IndexFunc(s.club.Crops, func(x club.Crop) bool { return x.ID == c.CropID })
	}
	return len(s.club.Crops)
}

// dated returns the answer that has first-ripe dates: those of other head
// starts than the method's own have none, so the method's own stands in, and
// note says so.
func (by *oddsBy) dated(k oddsKey, o *almanac.Odds) (with *almanac.Odds, note string) {
	own := by.at[k][o.Method]
	if own == nil || own == o || own.Weeks == o.Weeks {
		return o, ""
	}
	return own, " " + by.say.Count(own.Weeks, "(with %d week)", "(with %d weeks)", own.Weeks)
}

// oddsCell is one cell of odds: a number, a bar by class, a word.
type oddsCell struct {
	Has    bool
	Level  int    // 0-10, class of the bar
	Number string // "8", "over 9"; read with "in 10"
	Word   string // likelihood
	Band   string // "6–9"
	Sort   int
	Note   string // instead of a number
	Title  string // column, for stacked cards
	Weeks  int
}

func (s *site) cellOf(o *almanac.Odds, title string) oddsCell {
	switch {
	case o == nil:
		return oddsCell{Note: "–", Sort: -2, Title: title}
	case o.Reason != "":
		short, _ := s.reasonWords(o.Reason)
		return oddsCell{Note: short, Sort: -1, Title: title}
	}
	return oddsCell{Has: true, Level: yearsLevel(o.Odds), Number: s.shortInTen(o.Odds), Word: s.likelihood(o.Likelihood),
		Band: s.shortBand(o.Low, o.High), Sort: hundredths(o.Odds), Title: title, Weeks: o.Weeks}
}

// sheet is a small table of numbers, such as those behind a chart.
type sheet struct {
	Caption string
	Head    []string
	Rows    [][]template.HTML // the first cell heads its row
	Differs bool              // some row is marked as differing
	// Units says that the last two columns hold one figure in metric and US
	// units, of which the reader may hide one.
	Units bool
}

// htmlRow is a row of plain texts.
func htmlRow(texts ...string) []template.HTML {
	row := make([]template.HTML, len(texts))
	for i, t := range texts {
		row[i] = cell(t)
	}
	return row
}

// plain text as a cell.
func cell(text string) template.HTML { return template.HTML(template.HTMLEscapeString(text)) }
