// Package calendar writes calendars of all-day events as RFC 5545 defines them
// (iCalendar), with the additions of RFC 7986, and keeps the numbers by which a
// subscriber's program sees that an event has moved.
//
// A calendar here is a published feed: no METHOD (RFC 5546 3.2.1 asks a
// PUBLISH for an organizer's address, and there is none; without METHOD the
// file is a snapshot, RFC 5545 3.7.2), no alarms, no time zones, and nothing
// that comes from the clock. The same events give the same bytes, in whatever
// order they are given.
package calendar

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ripeward/build/day"
)

// Calendar is one file: one town and method in one language.
type Calendar struct {
	Product  string   // who made the file: "-//owner//product//language" (PRODID)
	Name     string   // what subscribers see as the calendar's name
	Language string   // BCP 47 tag of all texts; empty where they have none
	Stamp    day.Date // the data cut-off, written as DTSTAMP
	Events   []Event
}

// Event is a window of whole days.
type Event struct {
	Key         string   // what [UID] returned for it
	From, Until day.Date // both included
	Summary     string
	Description string
	URL         string // absolute, http or https; any other is left out
	Sequence    int    // what [Sequence] returned for it
	Categories  []string
}

// refresh is how often a subscriber may ask again (RFC 7986 5.7). Dates come
// from past years, so that they hardly move within a season (judgement).
const refresh = "P1W"

// The days that a DATE of four digits can hold (RFC 3339 and RFC 5545 3.3.4),
// with one day left for the end, which is not included.
var firstDay, lastDay = day.Of(1, 1, 1), day.Of(9999, 12, 30)

// Bytes returns the file. Events stand by first day, then by key. It writes
// whatever it is given as well-formed lines; [Calendar.Check] tells what is
// wrong with the contents. An event that ends before it begins is written as
// its first day alone.
func (c *Calendar) Bytes() []byte {
	w := &writer{language: tag(c.Language)}
	w.raw("BEGIN", "VCALENDAR")
	w.raw("VERSION", "2.0")
	w.text("PRODID", c.Product)
	// NAME is RFC 7986 5.1. Readers older than that know X-WR-CALNAME, whose
	// publisher describes it in [MS-OXCICAL] 2.1.3.1.1.17.
	w.worded("NAME", c.Name)
	if c.Name != "" {
		w.text("X-WR-CALNAME", c.Name)
	}
	w.raw("REFRESH-INTERVAL;VALUE=DURATION", refresh)
	for _, e := range sorted(c.Events) {
		w.event(&e, c.Stamp)
	}
	w.raw("END", "VCALENDAR")
	return w.b
}

func (w *writer) event(e *Event, stamp day.Date) {
	from := within(e.From)
	until := max(from, within(e.Until))
	w.raw("BEGIN", "VEVENT")
	w.text("UID", e.Key)
	w.raw("DTSTAMP", date(within(stamp))+"T000000Z")
	w.raw("SEQUENCE", fmt.Sprint(max(0, e.Sequence)))
	w.raw("DTSTART;VALUE=DATE", date(from))
	w.raw("DTEND;VALUE=DATE", date(until+1)) // the first day no longer in it
	w.worded("SUMMARY", e.Summary)
	w.worded("DESCRIPTION", e.Description)
	if u := webAddress(e.URL); u != "" {
		w.raw("URL", u)
	}
	w.list("CATEGORIES", e.Categories)
	// A window of two weeks in which a job is due must not show its owner as
	// busy for two weeks (RFC 5545 3.8.2.7; the default is OPAQUE).
	w.raw("TRANSP", "TRANSPARENT")
	w.raw("END", "VEVENT")
}

// Check returns what keeps the calendar from being a valid and useful one, nil
// where nothing does: no event (RFC 5545 3.6 asks for at least one), no product
// or cut-off, and events without a key or title, with another's key, or with
// days that cannot be.
func (c *Calendar) Check() error {
	switch {
	case len(c.Events) == 0:
		return fmt.Errorf("calendar %q has no event: RFC 5545 asks for at least one; write no file", c.Name)
	case c.Product == "":
		return fmt.Errorf("calendar %q names no product: set Product", c.Name)
	case c.Stamp < firstDay || c.Stamp > lastDay:
		return fmt.Errorf("calendar %q has no data cut-off: set Stamp to the last day of the records", c.Name)
	}
	seen := map[string]bool{}
	for _, e := range sorted(c.Events) {
		place := fmt.Sprintf("calendar %q, event %q (%s)", c.Name, e.Summary, e.Key)
		switch {
		case e.Key == "":
			return fmt.Errorf("%s has no key: set it to what UID returns", place)
		case seen[e.Key]:
			return fmt.Errorf("%s has the key of another event: give each task of a town and method its own id", place)
		case e.Summary == "":
			return fmt.Errorf("%s has no title: set Summary", place)
		case e.From < firstDay || e.Until > lastDay:
			return fmt.Errorf("%s runs from %q to %q: both must be days of the years 1-9999", place, e.From, e.Until)
		case e.Until < e.From:
			return fmt.Errorf("%s ends on %v, before it begins on %v: exchange them or drop it", place, e.Until, e.From)
		}
		seen[e.Key] = true
	}
	return nil
}

// sorted returns the events by first day, then key.
func sorted(events []Event) []Event {
	s := slices.Clone(events)
	slices.SortStableFunc(s, func(a, b Event) int {
		return cmp.Or(cmp.Compare(a.From, b.From), strings.Compare(a.Key, b.Key))
	})
	return s
}

func within(d day.Date) day.Date { return min(max(d, firstDay), lastDay) }

// date writes a DATE: four digits of the year, two of month and day (RFC 5545
// 3.3.4).
func date(d day.Date) string {
	y, m, dom := d.YMD()
	return fmt.Sprintf("%04d%02d%02d", y, m, dom)
}
