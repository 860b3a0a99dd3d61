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
	Year     int
	Rows     []taskRow
	Cautions []Caution // those of the method itself
}

type taskRow struct {
	When, Name, Why string
	Link            *link
	Cautions        []Caution
	Again           string // titles of cautions that an earlier row has printed
	ISO             string
}

// taskList orders the jobs of a method by date.
func (s *site) taskList(t *almanac.Town, m *club.Method, p paths) *taskList {
	l := &taskList{Method: methodPhrase(string(m.Name), string(m.Place)), Name: string(m.Name), ID: string(m.ID),
		Year: s.book.PlanYear, Cautions: cautionsIn(string(m.Cautions))}
	var due []almanac.TaskDate
	for _, d := range t.Tasks {
		if d.Method == string(m.ID) && s.tasks[d.Task] != nil && d.From != day.None {
			due = append(due, d)
		}
	}
	slices.SortStableFunc(due, func(a, b almanac.TaskDate) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Until, b.Until))
	})
	var told []Caution
	for _, d := range due {
		k := s.tasks[d.Task]
		row := taskRow{Name: string(k.Name), Why: string(k.Why), ISO: d.From.String(), When: taskWhen(d)}
		var again []string
		for _, c := range cautionsIn(string(k.Caution)) {
			switch {
			case !slices.Contains(told, c):
				told = append(told, c)
				row.Cautions = append(row.Cautions, c)
			case c.Title != "":
				again = append(again, lowerFirst(c.Title))
			}
		}
		row.Again = listWords(again)
		if href, ok := s.taskLink(string(k.Link), p); ok {
			row.Link = &link{"How to", href}
		}
		l.Rows = append(l.Rows, row)
	}
	if len(l.Rows) == 0 {
		return nil
	}
	l.Cautions = slices.DeleteFunc(l.Cautions, func(c Caution) bool { return slices.Contains(told, c) })
	return l
}

func taskWhen(d almanac.TaskDate) string {
	if d.Until == day.None || d.Until <= d.From {
		return dayOfPlan(d.From)
	}
	return dayOfPlan(d.From) + " to " + dayOfPlan(d.Until)
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
