package page

import (
	"html/template"
	"slices"
	"strings"
	"unicode/utf8"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
)

// sheetPage is where a town's year on one side of paper stands.
func sheetPage(town string) string { return "towns/" + town + "/sheet/index.html" }

func (p paths) sheet(town string) string { return p.root + sheetPage(town) }

// wallSheet is the model of a town's year on one side of paper.
type wallSheet struct {
	Town, Back, Year, Years, Station string
	Season                           []template.HTML // heat, days without a freeze, winter: a line each
	Freezes                          []sheetFreeze
	Ripe                             []sheetRipe
	Methods                          []string // heads of the columns of dates
	Jobs                             []sheetJob
	More                             int // jobs that did not fit
	Cautions                         []string
	Size                             string // of the type, by how much there is to say
	CutOff                           string
}

// sheetFreeze is one threshold: the last freeze of spring and the first of
// autumn in one year in ten and in one year in two.
type sheetFreeze struct {
	Threshold      template.HTML
	Spring, Autumn [2]string
}

// sheetRipe is what ripens best under one way of growing.
type sheetRipe struct {
	Method string
	Rows   []sheetCultivar
}

type sheetCultivar struct{ Name, Years, From string }

// sheetJob is a job with its dates under each way of growing.
type sheetJob struct {
	Name string
	When []string
}

// bestOnSheet is how many cultivars a way of growing shows.
const bestOnSheet = 5

func (s *site) sheetPage(t *almanac.Town, by *oddsBy) *wallSheet {
	p, id := paths{"../../../"}, string(t.Row.ID)
	m := &wallSheet{Town: s.in(t.Row.Row, "name", t.Row.Name), Back: p.town(id), Year: t.Hemisphere.Label(s.book.PlanYear), Years: yearsWords(s.book.Span),
		Station: s.stationName(t.Lead.StationID), CutOff: s.calendarDate(s.book.CutOff), Season: s.sheetSeason(t)}
	for _, f := range freezeMeasures[1:3] { // 0 and -2.2 °C
		spring, autumn := t.Normal("last_spring_freeze"+f.suffix), t.Normal("first_autumn_freeze"+f.suffix)
		if spring == nil || autumn == nil {
			continue
		}
		m.Freezes = append(m.Freezes, sheetFreeze{s.both(s.threshold(f.c, f.f)),
			[2]string{s.sheetDate(t, spring.P[8]), s.sheetDate(t, spring.P[4])},
			[2]string{s.sheetDate(t, autumn.P[0]), s.sheetDate(t, autumn.P[4])}})
	}
	methods := s.sheetMethods()
	for _, c := range methods {
		if r := s.sheetRipe(t, by, c); len(r) > 0 {
			m.Ripe = append(m.Ripe, sheetRipe{s.in(c.Row, "name", c.Name), r})
		}
	}
	s.sheetJobs(m, t, methods)
	return m
}

// sheetDate is a day of the freeze table in few letters.
func (s *site) sheetDate(t *almanac.Town, p climate.Point) string {
	switch {
	case !p.OK:
		return s.Say("not known|a day")
	case p.None:
		return s.Say("none|a freeze")
	}
	return s.shortDate(t.Hemisphere, rankOf(p))
}

// sheetMethods are the two that most gardens choose from: the plain pot and a
// head start.
func (s *site) sheetMethods() []*club.Method {
	var out []*club.Method
	if s.plain != nil {
		out = append(out, s.plain)
	}
	for _, m := range s.key {
		if m != s.plain && m.HeadStartWeeks.Or(0) > 0 {
			return append(out, m)
		}
	}
	return out
}

func (s *site) sheetSeason(t *almanac.Town) []template.HTML {
	var out []template.HTML
	if n := t.Normal("heat_cd_base10"); n != nil && n.Mean.OK {
		text := s.Say("<b>Season:</b> %s above %s.", string(s.heat(n.Mean.V)), string(s.temp(10, 0)))
		if f := t.Normal("freeze_free_days_0"); f != nil && f.P[4].OK && !f.P[4].None {
			text = s.Say("<b>Season:</b> %s above %s, %s without a freeze.", string(s.heat(n.Mean.V)), string(s.temp(10, 0)), s.countDigits(int(f.P[4].V), "day"))
		}
		out = append(out, template.HTML(text))
	}
	if n := t.Normal("winter_min_c"); n != nil && n.Mean.OK {
		text := s.Say("<b>Winter:</b> coldest night %s on average", string(s.temp(n.Mean.V, 0)))
		if n.P[0].OK {
			text = s.Say("<b>Winter:</b> coldest night %s on average, %s in 1 winter in 10", string(s.temp(n.Mean.V, 0)), string(s.temp(n.P[0].V, 0)))
		}
		if z := t.Normal("hardiness_zone"); z != nil && z.Zone != "" {
			text = s.Say("%s; zone %s", text, esc(z.Zone))
		}
		out = append(out, template.HTML(text+"."))
	}
	return out
}

func (s *site) sheetRipe(t *almanac.Town, by *oddsBy, m *club.Method) []sheetCultivar {
	var out []sheetCultivar
	ranked := s.ranked(by, m)
	// The main crop is what a tree is grown for; brebas stand in where nothing
	// has odds for one.
	if mains := slices.DeleteFunc(slices.Clone(ranked), func(o *almanac.Odds) bool { return o.Part != "main" }); len(mains) > 0 {
		ranked = mains
	}
	for _, o := range ranked {
		if len(out) == bestOnSheet {
			break
		}
		c := sheetCultivar{Name: s.label(o), Years: s.shortInTen(o.Odds), From: "–"}
		if cu := s.cultivars[o.Cultivar]; cu != nil && len(s.club.Crops) > 0 && cu.CropID != s.club.Crops[0].ID && s.crops[string(cu.CropID)] != nil {
			crop := s.crops[string(cu.CropID)]
			c.Name += ", " + lowerFirst(s.in(crop.Row, "name", crop.Name))
		}
		if r := o.FirstRipe[1]; !r.None {
			c.From = s.shortDate(t.Hemisphere, r.Rank)
		}
		out = append(out, c)
	}
	return out
}

// sheetJobs sets the jobs of the methods beside each other. Jobs of one name
// are one line, as often as the name comes back within a method's year.
func (s *site) sheetJobs(m *wallSheet, t *almanac.Town, methods []*club.Method) {
	type line struct {
		sheetJob
		at day.Date // the earliest
	}
	var lines []*line
	for i, c := range methods {
		m.Methods = append(m.Methods, s.in(c.Row, "name", c.Name))
		seen := map[string]int{}
		for _, d := range s.dueIn(t, c) {
			k := s.tasks[d.Task]
			name := s.in(k.Row, "name", k.Name)
			nth := seen[name]
			seen[name]++
			at := slices.IndexFunc(lines, func(l *line) bool {
				if l.Name == name {
					nth--
				}
				return l.Name == name && nth < 0
			})
			if at < 0 {
				lines, at = append(lines, &line{sheetJob{Name: name, When: make([]string, len(methods))}, d.From}), len(lines)
			}
			l := lines[at]
			l.When[i], l.at = s.sheetWhen(t, d), min(l.at, d.From)
			for _, short := range s.shortCautionsIn(s.in(k.Row, "caution", k.Caution)) {
				if !slices.Contains(m.Cautions, short) {
					m.Cautions = append(m.Cautions, short)
				}
			}
		}
	}
	slices.SortStableFunc(lines, func(a, b *line) int { return int(a.at) - int(b.at) })
	for _, l := range lines {
		// Jobs of the same days share a line.
		if n := len(m.Jobs); n > 0 && slices.Equal(m.Jobs[n-1].When, l.When) {
			m.Jobs[n-1].Name = s.Say("%s; %s|jobs", m.Jobs[n-1].Name, lowerFirst(l.Name))
			continue
		}
		m.Jobs = append(m.Jobs, l.sheetJob)
	}
	m.fit()
}

// linesOnSheet is how many lines of jobs and cautions one side of A4 or Letter
// holds beside the rest, by size of type; measured in a browser, see the test
// that prints the sheets. chars is what a line of cautions holds, name what a
// line of a job's name does.
var sheetSizes = []struct {
	class              string
	lines, chars, name int
}{{"s11", 35, 108, 53}, {"s10", 37, 118, 58}, {"s9", 45, 132, 66}}

// jobLines counts the lines that the names of jobs take at a size.
func jobLines(jobs []sheetJob, name int) int {
	n := 0
	for _, j := range jobs {
		n += 1 + max(utf8.RuneCountInString(j.Name)-1, 0)/name
	}
	return n
}

// fit chooses the size of type, and leaves out what no size has room for.
func (m *wallSheet) fit() {
	for i, size := range sheetSizes {
		m.Size = size.class
		room := size.lines - (len(strings.Join(m.Cautions, " "))+size.chars-1)/size.chars
		if jobLines(m.Jobs, size.name) <= room {
			return
		}
		if i == len(sheetSizes)-1 {
			room = max(room-1, 0) // a line says that there is more
			all := len(m.Jobs)
			for jobLines(m.Jobs, size.name) > room {
				m.Jobs = m.Jobs[:len(m.Jobs)-1]
			}
			m.More = all - len(m.Jobs)
		}
	}
}

// sheetWhen is a window in few letters: "3–17 May", "26 Apr–2 May".
func (s *site) sheetWhen(t *almanac.Town, d almanac.TaskDate) string {
	words := func(x day.Date) string {
		_, m, dom := x.YMD()
		return s.ShortDate(m, dom)
	}
	if d.Until == day.None || d.Until <= d.From {
		return words(d.From)
	}
	_, am, ad := d.From.YMD()
	if _, bm, _ := d.Until.YMD(); am == bm && d.Until-d.From < 31 {
		return s.Day(ad) + "–" + words(d.Until)
	}
	return words(d.From) + "–" + words(d.Until)
}
