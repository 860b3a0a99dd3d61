package page

import (
	"fmt"

	"ripeward/build/almanac"
	"ripeward/build/calendar"
	"ripeward/build/club"
)

// calendarFile is a calendar with its place on the site.
type calendarFile struct {
	Path, Method, Language string
	*calendar.Calendar
}

// calendarPath is where a calendar stands: the club's first language at the
// root, others below their code.
func (s *site) calendarPath(lang, town, method string) string {
	at := "calendar/" + town + "-" + method + ".ics"
	if l := s.languages(); lang != l[0] {
		at = lang + "/" + at
	}
	return at
}

// languages are the club's, first one first.
func (s *site) languages() []string {
	if l := s.club.Settings.Languages; len(l) > 0 {
		return l
	}
	return []string{"en"}
}

// calendarsOf makes a town's calendars: one a method that has jobs, in each of
// the club's languages.
func (s *site) calendarsOf(t *almanac.Town) ([]calendarFile, error) {
	var out []calendarFile
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		due := s.dueIn(t, m)
		if len(due) == 0 {
			continue
		}
		for _, lang := range s.languages() {
			c := s.calendarOf(t, m, due, lang)
			if err := c.Check(); err != nil {
				return nil, err
			}
			out = append(out, calendarFile{s.calendarPath(lang, string(t.Row.ID), string(m.ID)), string(m.ID), lang, c})
		}
	}
	return out, nil
}

func (s *site) calendarOf(t *almanac.Town, m *club.Method, due []almanac.TaskDate, lang string) *calendar.Calendar {
	town, method := textIn(t.Row.Row, lang, "name", t.Row.Name), textIn(m.Row, lang, "name", m.Name)
	name := s.club.Settings.Name
	if other := s.club.Settings.Other["name_"+lang]; other != "" {
		name = other
	}
	c := &calendar.Calendar{Product: fmt.Sprintf("-//%s//Ripeward//%s", name, upper(lang)), Name: town + wordsIn(lang).colon + lowerFirst(method),
		Language: lang, Stamp: s.book.CutOff}
	var baseline map[string]calendar.Published
	if y := s.club.LastYear; y != nil {
		baseline = y.Calendar
	}
	for _, d := range due {
		k := s.tasks[d.Task]
		// The name as the settings have it, in every language: a subscriber who
		// changes language keeps the events.
		uid := calendar.UID(s.club.Settings.Name, string(t.Row.ID), string(m.ID), d.Task)
		e := calendar.Event{Key: uid, From: d.From, Until: max(d.From, d.Until), Sequence: calendar.Sequence(baseline, uid, d.From, max(d.From, d.Until)),
			Summary: textIn(k.Row, lang, "name", k.Name) + " – " + town, Description: s.eventText(t, k, lang)}
		if s.club.Settings.SiteURL != "" {
			e.URL = s.address(yearPage(string(t.Row.ID))) + "#jobs-" + string(m.ID)
		}
		c.Events = append(c.Events, e)
	}
	return c
}

// upper is an ASCII language code in capitals.
func upper(lang string) string {
	b := []byte(lang)
	for i, c := range b {
		if c >= 'a' && c <= 'z' {
			b[i] = c - 'a' + 'A'
		}
	}
	return string(b)
}

// writeCalendars writes a town's calendars.
func (r *rendering) writeCalendars(t *almanac.Town) error {
	files, err := r.site.calendarsOf(t)
	if err != nil {
		return fmt.Errorf("calendars of %s: %w", t.Row.ID, err)
	}
	for _, f := range files {
		if err := r.emit(f.Path, f.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// CloseYear returns the baseline that says what the book's calendars have told
// their subscribers, for the club to keep until the next year is published.
func CloseYear(b *almanac.Book) (club.LastYear, error) {
	s := newSite(b, Options{})
	y := club.LastYear{PlanYear: b.PlanYear, DataCutOff: b.CutOff}
	if old := b.Club.LastYear; old != nil {
		y.Calendar = old.Calendar
	}
	var all []*calendar.Calendar
	for i := range b.Towns {
		files, err := s.calendarsOf(&b.Towns[i])
		if err != nil {
			return y, err
		}
		for _, f := range files {
			if f.Language == s.languages()[0] { // the others tell the same days
				all = append(all, f.Calendar)
			}
		}
	}
	y.Calendar = calendar.Close(y.Calendar, all...)
	return y, nil
}
