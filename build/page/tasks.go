package page

import (
	"cmp"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
)

// taskList is the year's jobs under one method.
type taskList struct {
	Method   string // as a phrase
	Name, ID string
	Year     string // "2026", in the south "2026/2027"
	Rows     []taskRow
	Cautions []Caution // those of the method itself
}

type taskRow struct {
	When, Name, Why string
	Link            *link
	Cautions        []Caution
	Again           string // titles of cautions that an earlier row has printed
	Careful         string // titles of all its cautions
	From, Until     string // ISO dates, both included
}

// dueIn returns a method's dated jobs in the order of their days.
func (s *site) dueIn(t *almanac.Town, m *club.Method) []almanac.TaskDate {
	var due []almanac.TaskDate
	for _, d := range t.Tasks {
		if d.Method == string(m.ID) && s.tasks[d.Task] != nil && d.From != day.None {
			due = append(due, d)
		}
	}
	slices.SortStableFunc(due, func(a, b almanac.TaskDate) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Until, b.Until))
	})
	return due
}

// taskList orders the jobs of a method by date; nil where there are none.
func (s *site) taskList(t *almanac.Town, m *club.Method, p paths) *taskList {
	l := &taskList{Method: s.methodPhrase(s.in(m.Row, "name", m.Name), string(m.Place)), Name: s.in(m.Row, "name", m.Name), ID: string(m.ID),
		Year: t.Hemisphere.Label(s.book.PlanYear), Cautions: s.cautionsIn(s.in(m.Row, "cautions", m.Cautions))}
	var told []Caution
	for _, d := range s.dueIn(t, m) {
		k := s.tasks[d.Task]
		row := taskRow{Name: s.in(k.Row, "name", k.Name), Why: s.in(k.Row, "why", k.Why), When: s.jobWhen(t, d), From: d.From.String(), Until: max(d.From, d.Until).String()}
		var again, all []string
		for _, c := range s.cautionsIn(s.in(k.Row, "caution", k.Caution)) {
			title := lowerFirst(c.Title)
			if c.Title == "" {
				title = c.Text
			}
			all = append(all, title)
			switch {
			case !slices.Contains(told, c):
				told = append(told, c)
				row.Cautions = append(row.Cautions, c)
			case c.Title != "":
				again = append(again, lowerFirst(c.Title))
			}
		}
		row.Again, row.Careful = s.List(again), strings.Join(all, "; ")
		if href, ok := s.taskLink(string(k.Link), p); ok {
			row.Link = &link{s.Say("How to|a link to a guide"), href}
		}
		l.Rows = append(l.Rows, row)
	}
	if len(l.Rows) == 0 {
		return nil
	}
	l.Cautions = slices.DeleteFunc(l.Cautions, func(c Caution) bool { return slices.Contains(told, c) })
	return l
}

// taskWhen says a window: "12 May", "3 to 17 May", "26 April to 2 May".
func (v voice) taskWhen(d almanac.TaskDate) string { return v.spanWords(d, v.dayOfPlan) }

// jobWhen is taskWhen with the year of a day outside the season of the plan.
func (s *site) jobWhen(t *almanac.Town, d almanac.TaskDate) string {
	first, last := t.Hemisphere.Start(s.book.PlanYear), t.Hemisphere.End(s.book.PlanYear)
	return s.spanWords(d, func(x day.Date) string {
		if x < first || x > last {
			return s.calendarDate(x)
		}
		return s.dayOfPlan(x)
	})
}

func (v voice) spanWords(d almanac.TaskDate, words func(day.Date) string) string {
	if d.Until == day.None || d.Until <= d.From {
		return words(d.From)
	}
	ay, am, ad := d.From.YMD()
	if by, bm, _ := d.Until.YMD(); ay == by && am == bm {
		return v.Say("%s to %s|days of one month", v.Day(ad), words(d.Until))
	}
	return v.Say("%s to %s|days", words(d.From), words(d.Until))
}

// taskLink turns the link column into an address if the page exists: a guide's
// name, "guides/NAME", either with a fragment.
func (s *site) taskLink(to string, p paths) (string, bool) {
	if to == "" {
		return "", false
	}
	name, frag, _ := strings.Cut(to, "#")
	name = strings.TrimPrefix(strings.Trim(strings.TrimSuffix(strings.TrimSuffix(name, "index.html"), ".md"), "/"), "guides/")
	i := slices.IndexFunc(s.guides, func(g guide) bool { return g.Name == name })
	if i < 0 {
		return "", false
	}
	href := p.guide(name)
	if frag != "" && slices.ContainsFunc(s.guides[i].Page.Headings, func(h heading) bool { return h.ID == frag }) {
		href += "#" + frag
	}
	return href, true
}
