package page

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ripeward/build/calendar"
	"ripeward/build/day"
	"ripeward/build/page/atom"
)

// feedPath is the feed's place on the site.
const feedPath = "feed.xml"

// mostNews is the most towns that one feed tells of.
const mostNews = 100

// TownChange is a town that is new, or tells other answers, since a year was
// last closed.
type TownChange struct {
	Town  string // id
	New   bool
	About string // what has changed, a sentence; may be blank
}

// feed is the news of the site: the almanac of the year, then towns by name.
// Ids rest on the club's name, the town and the plan year, all of which are in
// the club's folder; an entry is dated by the data, never by the clock, so
// that the same data give the same feed.
func (s *site) feed() ([]byte, error) {
	set, year, cut := s.club.Settings, s.book.PlanYear, s.book.CutOff
	id := func(town, what string) string {
		if s.below != "" {
			what += " " + s.Tag // a feed in another language is another feed (RFC 4287, 4.2.6)
		}
		// No method has a blank id: no event of a calendar has this one.
		return "urn:uuid:" + calendar.UID(set.Name, town, "", what)
	}
	f := atom.Feed{ID: id("", "feed"), Title: s.Say("%s: what is new", s.clubName()), Subtitle: s.tagline(), Author: s.clubName(), Rights: set.DataLicence,
		Language: s.Tag, Self: s.address(s.below + feedPath), Page: s.address(s.below + "index.html"), Version: s.options.Version}
	if isEmail(set.Contact) {
		f.Email = set.Contact
	}
	f.Entries = []atom.Entry{{ID: id("", fmt.Sprint(year)), Title: s.Say("The almanac for %d, with data to %s", year, s.calendarDate(cut)),
		Summary: s.Say("Figures for %s from %s: %s, %s.", yearsWords(s.book.Span), s.stationYears(), s.countDigits(len(s.book.Towns), "town"), s.countDigits(len(s.club.Cultivars), "cultivar")),
		Page:    s.address(s.below + "index.html"), Updated: cut}}
	for _, c := range s.newsTowns() {
		t := s.towns[c.Town]
		name := s.townName(t)
		e := atom.Entry{ID: id(c.Town, fmt.Sprint(year)), Title: s.Say("%s: other answers for %d", name, year), Summary: c.About,
			Page: s.address(s.below + paths{}.town(c.Town)), Updated: cut}
		about := s.Say("Some answers for %s have changed since last year.", name)
		if c.New {
			e.Title, about = s.Say("New town: %s", name), s.Say("%s is in the almanac now.", name)
		}
		e.Summary = cmp.Or(e.Summary, about)
		f.Entries = append(f.Entries, e)
	}
	return f.Encode()
}

// hasFeed tells whether there can be a feed: its entries need addresses, and
// the day that the data reach to.
func (s *site) hasFeed() bool { return s.club.Settings.SiteURL != "" && s.book.CutOff != day.None }

// newsTowns are the towns of the options that the book has, new ones first,
// then by name.
func (s *site) newsTowns() []TownChange {
	out := slices.DeleteFunc(slices.Clone(s.options.Changed), func(c TownChange) bool { return s.towns[c.Town] == nil })
	name := func(c TownChange) string { return string(s.towns[c.Town].Row.Name) }
	slices.SortFunc(out, func(a, b TownChange) int {
		if a.New != b.New {
			if a.New {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(name(a), name(b)), cmp.Compare(a.Town, b.Town))
	})
	return out[:min(len(out), mostNews)]
}

// isEmail tells whether a contact is an address that a feed's author may have
// (RFC 4287 3.2.3: anything, an at sign, anything).
func isEmail(text string) bool {
	at := strings.IndexByte(text, '@')
	return at > 0 && at < len(text)-1 && !strings.ContainsAny(text, " /,;<>")
}
