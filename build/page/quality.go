package page

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/words"
)

// qualityPage says how good the data are.
type qualityPage struct {
	Stations []stationRow
	Towns    []townStation
	Problems []problemRow
	Dropped  []problemRow
	Lapse    template.HTML
	Years    string
	Errors   []leftOutRow // by zone, then by station
	Fitted   template.HTML
	Reports  *reportsBlock
	HowGood  string
}

type stationRow struct {
	ID, Name, Span          string
	Place                   string
	Height                  template.HTML
	Valid, Complete, Gaps   string
	ValidN, CompleteN, GapN int
	SetAside                []countLine
	Used                    []countLine
	Aside                   int
	Credit, Licence         string
	Dialects                string
	Files                   int
	Listed                  []string
	Suspects                []suspectRow
	More                    int
}

type countLine struct {
	Reason string
	N      string
}

type townStation struct {
	Town          link
	Station       string
	Named         string
	Far, Height   template.HTML
	FarN, HeightN int
	Days, Nights  template.HTML
	Filled        string
	Doubtful      bool // far away, or at another height
}

type problemRow struct {
	Place, Kind   string
	Message, Hint template.HTML
}

// listedAside is how many set-aside values a page lists per station.
const listedAside = 20

func (s *site) qualityPage() *qualityPage {
	m := &qualityPage{Lapse: s.diff(s.club.Settings.LapseCPerKm, 1), Years: yearsWords(s.book.Span)}
	for i := range s.book.Stations {
		m.Stations = append(m.Stations, s.stationRow(&s.book.Stations[i]))
	}
	p := paths{"../"}
	for _, t := range s.townsByZone() {
		l := t.Lead
		r := townStation{Town: link{s.in(t.Row.Row, "name", t.Row.Name), p.town(string(t.Row.ID))}, Station: s.stationName(l.StationID), Named: s.Say("nearest by distance and height"),
			Far: s.km(l.DistanceKm), FarN: int(l.DistanceKm * 10), Height: s.both(s.Plus(l.HeightM, 0)+"\u00a0m", s.Plus(l.HeightM/0.3048, 0)+"\u00a0ft"),
			HeightN: int(l.HeightM), Days: s.diffPlus(l.DayShiftC), Nights: s.diffPlus(l.NightShiftC), Filled: "–"}
		r.Doubtful = l.Far()
		if l.Named {
			r.Named = s.Say("named by the club|a station")
		}
		if l.FilledMin > 0 || l.FilledMax > 0 {
			r.Filled = fmt.Sprintf("%s, %s", s.countDigits(l.FilledMin, "night"), s.countDigits(l.FilledMax, "day"))
		}
		m.Towns = append(m.Towns, r)
	}
	m.Errors, m.Fitted = s.leftOutRows(), s.fittedLapse()
	m.Reports, m.HowGood = s.reportsBlock(), p.page("how-good/")
	for _, x := range append(slices.Clone(s.options.Problems), s.book.Problems...).Sort() {
		m.Problems = append(m.Problems, s.problemRow(x))
	}
	for _, x := range slices.Clone(s.club.Dropped).Sort() {
		m.Dropped = append(m.Dropped, s.problemRow(x))
	}
	return m
}

func (s *site) stationRow(st *almanac.Station) stationRow {
	r := stationRow{ID: st.ID, Name: s.stationName(st.ID), Span: s.daysFrom(st.First, st.Last),
		Valid: s.Whole(st.ValidYears), Complete: s.Whole(st.CompleteYears), Gaps: s.Whole(st.MissingDays),
		ValidN: st.ValidYears, CompleteN: st.CompleteYears, GapN: st.MissingDays,
		Credit: st.Credit, Licence: st.Licence, Dialects: s.dialectWords(st.Account.Dialects), Files: len(st.Account.Files)}
	r.Place, r.Height = s.Say("not stated|the place of a station"), cell(s.Say("not stated|the height of a station"))
	if st.Latitude == st.Latitude && st.Longitude == st.Longitude { // not NaN
		r.Place = s.placeWords(st.Latitude, st.Longitude)
	}
	if st.ElevationM == st.ElevationM {
		r.Height = s.metres(st.ElevationM)
	}
	for _, c := range st.Account.SetAsideByReason() {
		r.SetAside = append(r.SetAside, countLine{s.Say(c.Reason), s.Whole(c.N)})
	}
	for _, c := range st.Account.UsedByRemark() {
		r.Used = append(r.Used, countLine{s.Say(c.Reason), s.Whole(c.N)})
	}
	r.Aside = st.Account.SetAsideTotal()
	for i, x := range st.Account.SetAside {
		if i == listedAside {
			break
		}
		r.Listed = append(r.Listed, s.Say("%s %s: %s (%s)|a value set aside", x.Date, s.elementColumn(x.Element), s.Say(x.Reason), x.Place))
	}
	r.Suspects = s.suspectRows(st)
	r.More = r.Aside - len(r.Listed)
	return r
}

// daysFrom says the first and the last day of a stretch.
func (s *site) daysFrom(first, last day.Date) string {
	return s.Say("%s to %s|days", s.calendarDate(first), s.calendarDate(last))
}

// problemRow is a message about a file; it stays in the program's English.
func (s *site) problemRow(x diag.Problem) problemRow {
	kind := [...]string{diag.Note: s.Say("note|a message"), diag.Warning: s.Say("warning|a message"), diag.Error: s.Say("error|a message")}[x.Severity]
	return problemRow{x.Place.String(), kind, s.inEnglish(x.Message), s.inEnglish(x.Hint)}
}

func (s *site) placeWords(lat, lon float64) string {
	ns, ew := s.Say("N|compass"), s.Say("E|compass")
	if lat < 0 {
		ns, lat = s.Say("S|compass"), -lat
	}
	if lon < 0 {
		ew, lon = s.Say("W|compass"), -lon
	}
	return fmt.Sprintf("%s°\u00a0%s, %s°\u00a0%s", s.Fixed(lat, 2), ns, s.Fixed(lon, 2), ew)
}

// dialectWords names the forms of a station's files; one that this program
// does not know keeps its code.
func (s *site) dialectWords(codes []string) string {
	var out []string
	for _, c := range codes {
		for _, d := range s.book.Dialects {
			if d.Name == c {
				c = s.Say(d.Label)
				break
			}
		}
		out = append(out, c)
	}
	return s.List(out)
}

// suspectRow is a doubt of the almanac's own quality control.
type suspectRow struct {
	Kind, What, When, Reason string
	Used                     bool
}

// elementNames are what a record holds as pages name it.
var elementNames = map[string]string{"tmin": words.Mark("lowest temperature"), "tmax": words.Mark("highest temperature"), "precip": words.Mark("rain|of a record")}

// elementWords names the elements of a suspect: "tmin, tmax".
func (s *site) elementWords(elements string) string {
	list := strings.Split(elements, ", ")
	for i, e := range list {
		if w := elementNames[e]; w != "" {
			list[i] = s.Say(w)
		}
	}
	return strings.Join(list, ", ")
}

// elementColumn is an element as the plain form of station files names its
// column, or a whole row.
func (s *site) elementColumn(element string) string {
	if element == "row" {
		return s.Say("row|of a file")
	}
	return element
}

func (s *site) suspectRows(st *almanac.Station) []suspectRow {
	var out []suspectRow
	for _, x := range st.Account.Suspects {
		r := suspectRow{Kind: upperFirst(s.Say(x.Kind)), What: s.elementWords(x.Element), When: s.calendarDate(x.First), Reason: s.sentence(x.Reason), Used: x.Used}
		if x.Last != x.First {
			r.When = s.daysFrom(x.First, x.Last)
		}
		out = append(out, r)
	}
	return out
}

// leftOutRow is how far predicted figures lay from measured ones.
type leftOutRow struct {
	Zone                     bool
	Name, From               string
	Spring, Autumn           string
	Heat, Winter, Far, Above template.HTML
}

// leftOutRows lists the leave-one-station-out errors of zones and stations.
func (s *site) leftOutRows() []leftOutRow {
	var out []leftOutRow
	row := func(name, from string, l climate.LeftOut) leftOutRow {
		return leftOutRow{Name: name, From: from, Spring: s.daysOff(l.LastFreeze), Autumn: s.daysOff(l.FirstFreeze),
			Heat: off(l.Heat, s.heat), Winter: off(l.WinterMin, func(v float64) template.HTML { return s.diff(v, 1) }),
			Far: s.km(l.DistanceKm), Above: s.metres(math.Abs(l.HeightM))}
	}
	for _, z := range s.book.ZoneErrors {
		if z.Stations > 0 {
			r := row(string(z.ZoneID), s.countWords(z.Stations, "station"), z.LeftOut)
			r.Zone = true
			if zone := s.zones[z.ZoneID]; zone != nil {
				r.Name = s.in(zone.Row, "name", zone.Name)
			}
			out = append(out, r)
		}
	}
	for _, l := range s.book.LeftOut {
		if l.Lead != "" {
			out = append(out, row(s.stationName(l.ID), s.Say("from %s|a station", s.stationName(l.Lead)), l))
		}
	}
	return out
}

func (s *site) daysOff(c climate.Comparison) string {
	if c.Years == 0 {
		return "–"
	}
	return s.someDays(s.Fixed(c.MAE, 1), c.MAE)
}

func off(c climate.Comparison, show func(float64) template.HTML) template.HTML {
	if c.Years == 0 {
		return "–"
	}
	return show(c.MAE)
}

// fittedLapse says what the stations themselves would have for the lapse.
func (s *site) fittedLapse() template.HTML {
	l := s.book.Lapse
	if !l.OK {
		return ""
	}
	return template.HTML(s.Say("Fitted to %s over %s of height, warm days would change by %s for each kilometre. It is shown, not used.",
		esc(s.countWords(l.Stations, "station")), s.metres(l.RangeM), s.diff(l.CPerKm, 1)))
}
