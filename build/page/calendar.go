package page

import (
	"fmt"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/calendar"
	"ripeward/build/club"
	"ripeward/build/words"
)

// calendarFile is a calendar with its place on the site.
type calendarFile struct {
	Path, Method string
	*calendar.Calendar
}

// calendarPath is where a calendar stands among the pages of its language.
func calendarPath(town, method string) string {
	return "calendar/" + town + "-" + method + ".ics"
}

// calendarsOf makes a town's calendars: one a method that has jobs.
func (s *site) calendarsOf(t *almanac.Town) ([]calendarFile, error) {
	var out []calendarFile
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		due := s.dueIn(t, m)
		if len(due) == 0 {
			continue
		}
		c := s.calendarOf(t, m, due)
		if err := c.Check(); err != nil {
			return nil, err
		}
		out = append(out, calendarFile{calendarPath(string(t.Row.ID), string(m.ID)), string(m.ID), c})
	}
	return out, nil
}

func (s *site) calendarOf(t *almanac.Town, m *club.Method, due []almanac.TaskDate) *calendar.Calendar {
	town, method := s.in(t.Row.Row, "name", t.Row.Name), s.in(m.Row, "name", m.Name)
	name := s.clubName()
	c := &calendar.Calendar{Product: fmt.Sprintf("-//%s//Ripeward//%s", name, strings.ToUpper(s.Tag)), Name: s.Say("%s: %s", town, lowerFirst(method)),
		Language: s.Tag, Stamp: s.book.CutOff}
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
			Summary: s.in(k.Row, "name", k.Name) + " – " + town, Description: s.eventText(t, k)}
		if s.club.Settings.SiteURL != "" {
			e.URL = s.address(s.below+yearPage(string(t.Row.ID))) + "#jobs-" + string(m.ID)
		}
		c.Events = append(c.Events, e)
	}
	return c
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
	// Days and ids are the same in every language.
	s := newSite(b, Options{}, words.English())
	y := club.LastYear{PlanYear: b.PlanYear, DataCutOff: b.CutOff, Told: b.Told()}
	if old := b.Club.LastYear; old != nil {
		y.Calendar = old.Calendar
		if y.Before = old.Before; old.PlanYear < b.PlanYear {
			y.Before = old.Baseline(b.PlanYear)
		}
	}
	var all []*calendar.Calendar
	for i := range b.Towns {
		files, err := s.calendarsOf(&b.Towns[i])
		if err != nil {
			return y, err
		}
		for _, f := range files {
			all = append(all, f.Calendar)
		}
	}
	y.Calendar = calendar.Close(y.Calendar, all...)
	return y, nil
}
