package page

import (
	"fmt"
	"strings"

	"ripeward/build/calendar"
	"ripeward/build/day"
	"ripeward/build/page/atom"
)

// feedPath is the feed's place on the site.
const feedPath = "feed.xml"

// mostNews is the most towns that one feed tells of.
const mostNews = 100

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
	for _, n := range s.townNews() {
		name := s.townNamed(n.town)
		e := atom.Entry{ID: id(n.town, fmt.Sprint(year)), Title: s.Say("%s: other answers for %d", name, year), Summary: n.about,
			Page: s.address(s.below + paths{}.town(n.town)), Updated: cut}
		if n.new {
			e.Title, e.Summary = s.Say("New town: %s", name), s.Say("%s is in the almanac now.", name)
		}
		f.Entries = append(f.Entries, e)
	}
	return f.Encode()
}

// hasFeed tells whether there can be a feed: its entries need addresses, and
// the day that the data reach to.
func (s *site) hasFeed() bool { return s.club.Settings.SiteURL != "" && s.book.CutOff != day.None }

// isEmail tells whether a contact is an address that a feed's author may have
// (RFC 4287 3.2.3: anything, an at sign, anything).
func isEmail(text string) bool {
	at := strings.IndexByte(text, '@')
	return at > 0 && at < len(text)-1 && !strings.ContainsAny(text, " /,;<>")
}
