package page

import (
	"fmt"
	"html/template"
	"slices"

	"ripeward/build/almanac"
)

// townAllPage has every method of a town.
type townAllPage struct {
	Name, Back string
	Methods    []townMethod
	Weeks      []weeksTable
	Years      string
}

// townMethod is one method in a town: dates, odds of everything, jobs.
type townMethod struct {
	ID, Name, Phrase, Weeks string
	Plan                    []fact
	Rows                    []allRow
	Ending                  string
	Tasks                   *taskList
	Carried                 bool // shows nights of carrying
}

type allRow struct {
	Cultivar link
	Part     string
	Cell     oddsCell
	Ripe     string
	RipeSort int
	Share    string
	ShareN   int
	SetBacks string
	Carried  string
	CarriedN int
	Hours    string
	HoursN   int
}

// weeksTable is odds by weeks of head start.
type weeksTable struct {
	ID, Method string
	Weeks      []int
	Rows       []weeksRow
}

type weeksRow struct {
	Cultivar link
	Part     string
	Cells    []oddsCell
}

func (s *site) townAllPage(t *almanac.Town, by *oddsBy) *townAllPage {
	p := paths{"../../../"}
	m := &townAllPage{Name: string(t.Row.Name), Back: p.town(string(t.Row.ID)), Years: yearsWords(s.book.Span)}
	for i := range s.club.Methods {
		c := &s.club.Methods[i]
		x := townMethod{ID: string(c.ID), Name: string(c.Name), Phrase: methodPhrase(string(c.Name), string(c.Place)),
			Ending: endingWords(t, string(c.ID)), Tasks: s.taskList(t, c, p)}
		if w := c.HeadStartWeeks.Or(0); w > 0 {
			x.Weeks = weeksWords(w)
		}
		if pl := planOf(t, c); pl != nil && c.Place == "pot" {
			for _, d := range []struct {
				name string
				at   almanac.Point
			}{{"Wake", pl.Wake}, {"Dormant pots out", pl.DormantOut}, {"Harden off", pl.HardenOff}, {"Pots in leaf out", pl.Out}, {"Bring in", pl.In}} {
				if !d.at.None {
					x.Plan = append(x.Plan, fact{d.name, cell(dateWords(t.Hemisphere, d.at.Rank))})
				}
			}
		}
		for _, o := range s.ranked(by, c) {
			r := allRow{Cultivar: link{s.cultivarName(o.Cultivar), p.cultivar(o.Cultivar)}, Cell: cellOf(o, ""), Ripe: ripeSpan(t.Hemisphere, o), RipeSort: int(first(o)),
				Share: fmt.Sprintf("%d\u00a0%%", hundredths(o.CropShare)), ShareN: hundredths(o.CropShare), SetBacks: trimmed(o.SetBacksPer10, 1),
				Hours: grouped(o.Hours), HoursN: int(o.Hours)}
			if k := s.cultivars[o.Cultivar]; k != nil && (bornParts(k) > 1 || o.Part == "breba") {
				r.Part = partWords(o.Part)
			}
			if c.CarryBelowC.Set {
				x.Carried = true
				r.Carried = trimmed(o.CarriedMean, 1)
				if o.CarriedP90 > 0 {
					r.Carried += fmt.Sprintf(" (%s in a bad year)", trimmed(o.CarriedP90, 0))
				}
				r.CarriedN = int(o.CarriedMean * 10)
			}
			x.Rows = append(x.Rows, r)
		}
		if len(x.Rows) > 0 || x.Tasks != nil {
			m.Methods = append(m.Methods, x)
		}
		if w, ok := s.weeksTable(t, by, string(c.ID), p); ok {
			m.Weeks = append(m.Weeks, w)
		}
	}
	return m
}

func (s *site) weeksTable(t *almanac.Town, by *oddsBy, method string, p paths) (weeksTable, bool) {
	w := weeksTable{ID: "weeks-" + method, Method: s.methodName(method)}
	for _, k := range by.keys {
		list := slices.Clone(by.weeks[k][method])
		if len(list) == 0 {
			continue
		}
		slices.SortStableFunc(list, func(a, b *almanac.Odds) int { return a.Weeks - b.Weeks })
		row := weeksRow{Cultivar: link{s.cultivarName(k.cultivar), p.cultivar(k.cultivar)}}
		if c := s.cultivars[k.cultivar]; c != nil && (bornParts(c) > 1 || k.part == "breba") {
			row.Part = partWords(k.part)
		}
		if list[0].Reason != "" {
			continue
		}
		for _, o := range list {
			if len(w.Rows) == 0 {
				w.Weeks = append(w.Weeks, o.Weeks)
			}
			row.Cells = append(row.Cells, cellOf(o, ""))
		}
		if len(row.Cells) == len(w.Weeks) {
			w.Rows = append(w.Rows, row)
		}
	}
	return w, len(w.Rows) > 0 && len(w.Weeks) > 1
}

// qualityPage says how good the data are.
type qualityPage struct {
	Stations []stationRow
	Towns    []townStation
	Problems []problemRow
	Dropped  []problemRow
	Lapse    template.HTML
	Years    string
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
}

type problemRow struct{ Place, Kind, Message, Hint string }

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
		r := townStation{Town: link{string(t.Row.Name), p.town(string(t.Row.ID))}, Station: s.stationName(l.StationID), Named: "nearest by distance and height",
			Far: s.km(l.DistanceKm), FarN: int(l.DistanceKm * 10), Height: s.both(plus(l.HeightM, 0)+"\u00a0m", plus(l.HeightM/0.3048, 0)+"\u00a0ft"),
			HeightN: int(l.HeightM), Days: s.diffPlus(l.DayShiftC), Nights: s.diffPlus(l.NightShiftC), Filled: "–"}
		if l.Named {
			r.Named = "named by the club"
		}
		if l.FilledMin > 0 || l.FilledMax > 0 {
			r.Filled = fmt.Sprintf("%s, %s", countDigits(l.FilledMin, "night"), countDigits(l.FilledMax, "day"))
		}
		m.Towns = append(m.Towns, r)
	}
	for _, x := range append(slices.Clone(s.options.Problems), s.book.Problems...).Sort() {
		m.Problems = append(m.Problems, problemRow{x.Place.String(), x.Severity.String(), x.Message, x.Hint})
	}
	for _, x := range slices.Clone(s.club.Dropped).Sort() {
		m.Dropped = append(m.Dropped, problemRow{x.Place.String(), x.Severity.String(), x.Message, x.Hint})
	}
	return m
}

func (s *site) stationRow(st *almanac.Station) stationRow {
	r := stationRow{ID: st.ID, Name: s.stationName(st.ID), Span: calendarDate(st.First) + " to " + calendarDate(st.Last),
		Valid: thousands(st.ValidYears), Complete: thousands(st.CompleteYears), Gaps: thousands(st.MissingDays),
		ValidN: st.ValidYears, CompleteN: st.CompleteYears, GapN: st.MissingDays,
		Credit: st.Credit, Licence: st.Licence, Dialects: dialectWords(st.Account.Dialects), Files: len(st.Account.Files)}
	r.Place, r.Height = "not stated", "not stated"
	if st.Latitude == st.Latitude && st.Longitude == st.Longitude { // not NaN
		r.Place = placeWords(st.Latitude, st.Longitude)
	}
	if st.ElevationM == st.ElevationM {
		r.Height = s.metres(st.ElevationM)
	}
	counts := func(m map[string]int) (out []countLine, sum int) {
		var keys []string
		for k := range m {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			if m[k] > 0 {
				out = append(out, countLine{k, thousands(m[k])})
				sum += m[k]
			}
		}
		return out, sum
	}
	r.SetAside, r.Aside = counts(st.Account.SetAsideCounts)
	r.Used, _ = counts(st.Account.UsedCounts)
	for i, x := range st.Account.SetAside {
		if i == listedAside {
			break
		}
		r.Listed = append(r.Listed, fmt.Sprintf("%s %s: %s (%s)", x.Date, x.Element, x.Reason, x.Place))
	}
	r.More = r.Aside - len(r.Listed)
	return r
}

func placeWords(lat, lon float64) string {
	ns, ew := "N", "E"
	if lat < 0 {
		ns, lat = "S", -lat
	}
	if lon < 0 {
		ew, lon = "W", -lon
	}
	return fmt.Sprintf("%s°\u00a0%s, %s°\u00a0%s", fixed(lat, 2), ns, fixed(lon, 2), ew)
}

// dialectWords names the forms of a station's files; one that has no words of
// its own keeps its code.
func dialectWords(codes []string) string {
	words := map[string]string{"ghcn-dly": "GHCN-Daily, fixed width", "ghcn-wide": "GHCN-Daily, table of one station", "ghcn-long": "GHCN-Daily, table by year",
		"ncei-order-metric": "NCEI daily summaries, metric", "ncei-order-us": "NCEI daily summaries, US units", "eccc-daily": "Environment Canada, daily table",
		"plain-c": "plain table in °C", "plain-f": "plain table in °F"}
	var out []string
	for _, c := range codes {
		if w := words[c]; w != "" {
			c = w
		}
		out = append(out, c)
	}
	return listWords(out)
}
