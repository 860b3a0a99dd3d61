package page

import (
	"cmp"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// gardenPage is the model of a town's page for one garden of its own: what a
// cool or a warm spot is worth, and what its scripts reckon from there.
type gardenPage struct {
	Name, Town, Plan, Methods string
	Lead                      string
	Years                     string
	Start                     string // doubt of a planned start
	Tables                    []gardenTable
	HasLines, HasNights       bool
	Station                   string // whose published lows are compared
	Moved                     string // how they are moved to the town; blank where they are not
	FirstDay, LastDay         string // of what can be reported, ISO 8601
}

// gardenTable is one way of growing: the odds in three kinds of spots.
type gardenTable struct {
	ID, Name, Phrase string
	Open             bool
	Rows             []gardenRow
}

type gardenRow struct {
	Line              cropLine
	Crop              string
	Cool, Usual, Warm oddsCell
}

// hasGarden tells whether a town has anything to reckon one garden from.
func hasGarden(t *almanac.Town) bool { return len(t.Garden.Ways) > 0 }

func (s *site) gardenPage(t *almanac.Town) *gardenPage {
	p := paths{"../../../"}
	id := string(t.Row.ID)
	m := &gardenPage{Name: s.in(t.Row.Row, "name", t.Row.Name), Town: p.town(id), Plan: p.plan(id), Methods: p.page("methods/"), Years: yearsWords(s.book.Span), Start: s.heatText(almanac.GardenStartSd), HasNights: len(t.Garden.Lows) > 0, Station: s.stationName(t.Lead.StationID)}
	if d := t.Lead.NightShiftC; d != 0 {
		m.Moved = s.Say("For %s the almanac moves the station’s nights by %s first; by hand, do the same.", m.Name, s.text(s.Plus(d, 1)+"\u00a0°C", s.Plus(quantity.Celsius(d).FahrenheitDifference(), 1)+"\u00a0°F"))
	}
	show := s.showcase(t)
	for i := range s.club.Methods {
		c := &s.club.Methods[i]
		x := gardenTable{ID: "spots-" + string(c.ID), Phrase: s.methodPhrase(s.in(c.Row, "name", c.Name), string(c.Place)), Open: c == show}
		x.Name = upperFirst(x.Phrase)
		for j := range t.Odds {
			if o := &t.Odds[j]; o.Method == string(c.ID) && o.Reason == "" {
				x.Rows = append(x.Rows, s.gardenRow(o, p))
			}
		}
		slices.SortStableFunc(x.Rows, func(a, b gardenRow) int {
			return cmp.Or(cmp.Compare(s.cropPlace(a.Crop), s.cropPlace(b.Crop)), cmp.Compare(b.Usual.Sort, a.Usual.Sort))
		})
		switch {
		case len(x.Rows) == 0:
		case x.Open:
			m.Tables = append([]gardenTable{x}, m.Tables...)
		default:
			m.Tables = append(m.Tables, x)
		}
	}
	if len(m.Tables) > 0 {
		m.Tables[0].Open = true
	}
	m.HasLines = len(m.Tables) > 0 && len(s.book.GardenLines) > 0
	m.FirstDay, m.LastDay = reportDays(t)
	m.Lead = s.gardenLead(t, m)
	return m
}

func (s *site) cropPlace(name string) int {
	return slices.IndexFunc(s.club.Crops, func(c club.Crop) bool { return s.in(c.Row, "name", c.Name) == name })
}

func (s *site) gardenRow(o *almanac.Odds, p paths) gardenRow {
	r := gardenRow{Line: cropLine{link{s.cultivarName(o.Cultivar), p.cultivar(o.Cultivar)}, strings.TrimPrefix(s.gardenLabel(o.Cultivar, o.Part, o.Brebas), s.cultivarName(o.Cultivar)+", ")}}
	if r.Line.Part == r.Line.Cultivar.Text {
		r.Line.Part = ""
	}
	if c := s.cultivars[o.Cultivar]; c != nil && s.crops[string(c.CropID)] != nil {
		crop := s.crops[string(c.CropID)]
		r.Crop = s.in(crop.Row, "name", crop.Name)
	}
	share := func(v float64) oddsCell {
		return oddsCell{Has: true, Level: yearsLevel(v), Number: s.shortInTen(v), Sort: hundredths(v)}
	}
	r.Cool, r.Usual, r.Warm = share(o.Cool), share(o.Odds), share(o.Warm)
	return r
}

// gardenLabel names a line of the odds: cultivar, part, and what is done with
// its brebas.
func (s *site) gardenLabel(cultivar, part, brebas string) string {
	name, bears := s.cultivarName(cultivar), s.partNote(oddsKey{cultivar, part})
	switch {
	case part == "main" && brebas == "kept":
		return s.Say("%s, main crop after its brebas", name)
	case part == "main" && brebas == "removed":
		return s.Say("%s, main crop, brebas taken off", name)
	case bears != "":
		return s.Say("%s, %s|a cultivar and its crop part", name, bears)
	}
	return name
}

// gardenLead names the line of the showcase for which the garden matters most.
func (s *site) gardenLead(t *almanac.Town, m *gardenPage) string {
	show := s.showcase(t)
	var most *almanac.Odds
	for i := range t.Odds {
		if o := &t.Odds[i]; show != nil && o.Method == string(show.ID) && o.Reason == "" && (most == nil || o.Warm-o.Cool > most.Warm-most.Cool) {
			most = o
		}
	}
	switch {
	case most == nil:
		return s.Say("No cultivar has odds in %s yet; cold mornings can be compared all the same.", m.Name)
	case yearsLevel(most.Cool) == yearsLevel(most.Warm):
		return s.Say("In %s hardly anything hangs on the garden: it is the summer that decides.", m.Name)
	}
	return s.Say("The garden matters most where a crop is on the edge: here for %s, which ripens %s in %s in a cool spot and in %s by a warm wall.",
		s.gardenLabel(most.Cultivar, most.Part, most.Brebas), s.methodPhrase(s.in(show.Row, "name", show.Name), string(show.Place)), s.yearsInTen(most.Cool), s.yearsInTen(most.Warm))
}

// reportDays are the first and the last day of which the heat is kept.
func reportDays(t *almanac.Town) (first, last string) {
	for _, w := range t.Garden.Ways {
		for _, x := range w.Seasons {
			if from := t.Hemisphere.Start(x.Season).String(); first == "" || from < first {
				first = from
			}
			if until := t.Hemisphere.End(x.Season).String(); until > last {
				last = until
			}
		}
	}
	if n := len(t.Garden.Lows); n > 0 {
		last = min(last, (t.Garden.FirstLow + day.Date(n) - 1).String())
	}
	return first, last
}
