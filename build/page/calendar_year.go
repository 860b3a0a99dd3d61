package page

import (
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// yearPage is where a town's dated jobs stand.
func yearPage(town string) string { return "towns/" + town + "/year/index.html" }

func (p paths) year(town string) string    { return p.root + yearPage(town) }
func (p paths) jobs(town, m string) string { return p.year(town) + "#jobs-" + m }

// townYear is the model of a town's year: every way of growing with its dated
// jobs and its calendar.
type townYear struct {
	Town, Back, Sheet, List string
	Year, Years             string
	Methods                 []townJobs
}

// townJobs are the dated jobs of one way of growing.
type townJobs struct {
	*taskList
	Calendar calendarLinks
}

// calendarLinks are one calendar.
type calendarLinks struct {
	Files   []calendarLink
	Address string // to subscribe to; empty where the site's address is not known
}

type calendarLink struct{ Text, Href string }

// calendarLinks links one calendar.
func (s *site) calendarLinks(town, method string, p paths) calendarLinks {
	at := calendarPath(town, method)
	l := calendarLinks{Files: []calendarLink{{s.Say("Download the calendar"), p.root + at}}}
	if s.club.Settings.SiteURL != "" {
		l.Address = s.address(s.below + at)
	}
	return l
}

func (s *site) yearPage(t *almanac.Town, show *club.Method) *townYear {
	p, id := paths{"../../../"}, string(t.Row.ID)
	m := &townYear{Town: s.in(t.Row.Row, "name", t.Row.Name), Back: p.town(id), Sheet: p.sheet(id), List: p.page("calendar/"), Year: t.Hemisphere.Label(s.book.PlanYear), Years: yearsWords(s.book.Span)}
	for i := range s.club.Methods {
		c := &s.club.Methods[i]
		if l := s.taskList(t, c, p); l != nil {
			x := townJobs{l, s.calendarLinks(id, string(c.ID), p)}
			if c == show { // what the town's own page speaks of comes first
				m.Methods = slices.Insert(m.Methods, 0, x)
			} else {
				m.Methods = append(m.Methods, x)
			}
		}
	}
	return m
}

// year writes a town's dated jobs, its sheet for the wall and its calendars.
func (r *rendering) year(t *almanac.Town) error {
	s := r.site
	id, name := string(t.Row.ID), s.in(t.Row.Row, "name", t.Row.Name)
	up := []link{{s.Say("Home"), "../../../index.html"}, {name, "../index.html"}}
	if m := s.yearPage(t, s.showcase(t)); len(m.Methods) > 0 {
		if err := r.page(yearPage(id), "year", s.Say("%s: what to do when, %s", name, m.Year), s.Say("The year’s jobs in %s with dates from %s, for every way of growing, and as calendars.", name, m.Years), up, m); err != nil {
			return err
		}
	}
	if err := r.page(sheetPage(id), "sheet", s.Say("%s: the year on one page", name), s.Say("The year in %s on one side of paper: freezes, heat, what ripens, and what to do when.", name), up, s.sheetPage(t, r.all[id])); err != nil {
		return err
	}
	return r.writeCalendars(t)
}

// townCalendars is a line of the list of all calendars.
type townCalendars struct {
	Town  link
	Files []calendarLink
}

// calendarList is the model of the page for whoever keeps the site.
type calendarList struct {
	Zones   []zoneCalendars
	Address string // of the first calendar, as an example; empty without site_url
	Each    bool   // every file is linked, not the towns' pages alone
}

type zoneCalendars struct {
	ID, Name string
	Towns    []townCalendars
}

// mostListed is how many towns a list of every calendar is made for; beyond,
// each town's own page has them.
const mostListed = 200

func (s *site) calendarList() *calendarList {
	p := paths{"../"}
	m := &calendarList{Each: len(s.book.Towns) <= mostListed}
	for i := range s.club.Zones {
		z := zoneCalendars{ID: string(s.club.Zones[i].ID), Name: s.in(s.club.Zones[i].Row, "name", s.club.Zones[i].Name)}
		for _, t := range s.townsIn(z.ID) {
			line := townCalendars{Town: link{s.in(t.Row.Row, "name", t.Row.Name), p.year(string(t.Row.ID))}}
			for j := range s.club.Methods {
				c := &s.club.Methods[j]
				if len(s.dueIn(t, c)) == 0 {
					continue
				}
				at := calendarPath(string(t.Row.ID), string(c.ID))
				line.Files = append(line.Files, calendarLink{s.in(c.Row, "name", c.Name), p.root + at})
				if m.Address == "" && s.club.Settings.SiteURL != "" {
					m.Address = s.address(s.below + at)
				}
			}
			if len(line.Files) > 0 {
				z.Towns = append(z.Towns, line)
			}
		}
		if len(z.Towns) > 0 {
			m.Zones = append(m.Zones, z)
		}
	}
	return m
}

// weekCard is what stands in a town's card of the week before a script puts the
// reader's own week there, and stays where none does.
type weekCard struct {
	Method string
	Next   template.HTML // empty where the plan has no job after the data end
}

// weekCard says the first job after the data's end, as what it is.
func (s *site) weekCard(t *almanac.Town, show *club.Method) *weekCard {
	c := &weekCard{Method: s.methodPhrase(s.in(show.Row, "name", show.Name), string(show.Place))}
	for _, d := range s.dueIn(t, show) {
		if d.From > s.book.CutOff {
			k := s.tasks[d.Task]
			c.Next = template.HTML(s.Say("The records end on %s. The first job to begin after that day: <b>%s</b>, %s.",
				esc(s.calendarDate(s.book.CutOff)), esc(strings.TrimSuffix(s.in(k.Row, "name", k.Name), ".")), esc(s.jobWhen(t, d))))
			break
		}
	}
	return c
}
