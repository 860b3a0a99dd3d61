package page

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
)

// changesPage is the model of the page that says what is new since the club
// last closed a year.
type changesPage struct {
	Lead       string
	None       bool   // no year has been closed yet
	Moved      *sheet // dates and sums
	Odds       *sheet
	Needs      *sheet
	Data       []string // sentences on data, reports and tables
	Downloads  string
	HowToClose string
}

func (s *site) townNamed(id string) string {
	if t := s.towns[id]; t != nil {
		return s.townName(t)
	}
	return id
}

func (s *site) changesPage() *changesPage {
	p := paths{"../"}
	m := &changesPage{Downloads: p.page("downloads/"), Lead: s.changesLead()}
	c := s.book.Changes
	if c == nil {
		m.None = true
		return m
	}
	m.Data = s.dataChanges(c)
	if len(c.Measures) > 0 {
		m.Moved = &sheet{Caption: s.Say("Middle years that have left their band of then"), Head: []string{s.Say("Town"), s.Say("Figure|a column"), s.Say("Then"), s.Say("Now|a column")}}
		for _, x := range c.Measures {
			m.Moved.Rows = append(m.Moved.Rows, []template.HTML{s.townLink(p, x.Town), cell(s.measureName(x.Measure)), s.measureValue(x, x.Before), s.measureValue(x, x.After)})
		}
	}
	if len(c.Odds) > 0 {
		m.Odds = &sheet{Caption: s.Say("Answers with another likelihood word"), Head: []string{s.Say("Town"), s.Say("Cultivar"), s.Say("How|a column"), s.Say("Then"), s.Say("Now|a column")}}
		for _, x := range c.Odds {
			what := template.HTML(string(leadTo(p.cultivar(x.Cultivar), s.cultivarName(x.Cultivar))) + esc(", "+s.partWords(x.Part)))
			m.Odds.Rows = append(m.Odds.Rows, []template.HTML{s.townLink(p, x.Town), what, cell(s.methodName(x.Method)), s.saidOdds(x.Before, x.WordBefore), s.saidOdds(x.After, x.WordAfter)})
		}
	}
	if len(c.Needs) > 0 {
		m.Needs = &sheet{Caption: s.Say("Heat needs that have moved by more than their doubt of then"), Head: []string{s.Say("Cultivar"), s.Say("Then"), s.Say("Now|a column")}}
		for _, x := range c.Needs {
			m.Needs.Rows = append(m.Needs.Rows, []template.HTML{cell(s.cultivarName(x.Cultivar) + ", " + s.partWords(x.Part)), s.heat(x.Before), s.heat(x.After)})
		}
	}
	return m
}

// changesLead is the answer in a sentence.
func (s *site) changesLead() string {
	c := s.book.Changes
	switch {
	case c == nil:
		return s.Say("The club has not closed a year yet, so there is nothing to compare with. From next year on this page says what has moved.")
	case c.Empty():
		return s.Say("Nothing has moved since the almanac for %d, with data to %s.", c.PlanYear, s.calendarDate(c.DataCutOff))
	}
	towns := len(c.Towns())
	if towns == 0 {
		return s.Say("Since the almanac for %d, with data to %s, no town has got another answer.", c.PlanYear, s.calendarDate(c.DataCutOff))
	}
	return s.Say("Since the almanac for %d, with data to %s, %s.", c.PlanYear, s.calendarDate(c.DataCutOff),
		s.Count(towns, "%s has other answers", "%s have other answers", s.countWords(towns, "town")))
}

// dataChanges says what has come in since then.
func (s *site) dataChanges(c *almanac.Changes) []string {
	var out []string
	add := func(text string) { out = append(out, text) }
	if s.book.CutOff > c.DataCutOff {
		add(s.Say("Data now reach to %s; they reached to %s.", s.calendarDate(s.book.CutOff), s.calendarDate(c.DataCutOff)))
	}
	if c.Years[0] != c.Years[1] {
		add(s.Say("The reference years are %s; they were %s.", dashed(c.Years[1]), dashed(c.Years[0])))
	}
	if c.Reports[0] != c.Reports[1] {
		add(s.Say("Reports behind the heat needs: %s now, %s then.", s.Whole(c.Reports[1]), s.Whole(c.Reports[0])))
	}
	var fresh, gone []string
	for _, x := range c.Stations {
		switch day.None {
		case x.Before:
			fresh = append(fresh, s.stationName(x.Station))
		case x.After:
			gone = append(gone, s.stationName(x.Station))
		}
	}
	names := func(ids []string, name func(string) string) string {
		list := make([]string, len(ids))
		for i, id := range ids {
			list[i] = name(id)
		}
		return s.List(list)
	}
	same := func(x string) string { return x }
	parts := func(ks []almanac.PartKey) []string {
		var ids []string
		for _, k := range ks {
			if !slices.Contains(ids, k.Cultivar) {
				ids = append(ids, k.Cultivar)
			}
		}
		return ids
	}
	for _, x := range []struct {
		text string
		ids  []string
		name func(string) string
	}{
		{s.Say("New stations: %s."), fresh, same}, {s.Say("Stations that are gone: %s."), gone, same},
		{s.Say("New towns: %s."), c.NewTowns, s.townNamed}, {s.Say("Towns that are gone: %s."), c.GoneTowns, same},
		{s.Say("New cultivars: %s."), parts(c.NewParts), s.cultivarName}, {s.Say("Cultivars that are gone: %s."), parts(c.GoneParts), s.cultivarName},
	} {
		if len(x.ids) > 0 {
			add(strings.Replace(x.text, "%s", names(x.ids, x.name), 1))
		}
	}
	return out
}

// dashed prints a span of years as kept, "1991-2020", with the dash of print.
func dashed(years string) string { return strings.Replace(years, "-", "–", 1) }

func (s *site) townLink(p paths, id string) template.HTML {
	if s.towns[id] == nil {
		return cell(id)
	}
	return leadTo(p.town(id), s.townNamed(id))
}

func (s *site) saidOdds(odds float64, word string) template.HTML {
	return cell(s.Say("%s in 10", s.shortInTen(odds))) + " <small>" + cell(s.Say(word)) + "</small>"
}

// measureName names one of the few measures that are compared.
func (s *site) measureName(measure string) string {
	switch measure {
	case "last_spring_freeze_0":
		return s.Say("Last spring freeze")
	case "first_autumn_freeze_0":
		return s.Say("First autumn freeze")
	case "freeze_free_days_0":
		return s.Say("Days without a freeze")
	case "heat_cd_base10":
		return s.Say("Heat of the season")
	case "winter_min_c":
		return s.Say("Coldest night of the winter")
	}
	return measure
}

func (s *site) measureValue(x almanac.MeasureChange, v float64) template.HTML {
	switch t := s.towns[x.Town]; {
	case x.Date && t != nil:
		return cell(s.rankWords(t, climate.Point{V: v, OK: true}))
	case x.Measure == "heat_cd_base10":
		return s.heat(v)
	case x.Measure == "winter_min_c":
		return s.temp(v, 1)
	}
	return cell(s.countDigits(int(v), "day"))
}

// news is a town that is new, or tells other answers.
type news struct {
	town, about string
	new         bool
}

// townNews are the towns that the feed tells of, new ones first, then by name.
func (s *site) townNews() []news {
	c := s.book.Changes
	if c == nil {
		return nil
	}
	var out []news
	for _, id := range c.NewTowns {
		out = append(out, news{town: id, new: true})
	}
	for _, id := range c.Towns() {
		out = append(out, news{town: id, about: s.townChanges(c, id)})
	}
	slices.SortFunc(out, func(a, b news) int {
		if a.new != b.new {
			if a.new {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(s.townNamed(a.town), s.townNamed(b.town)), cmp.Compare(a.town, b.town))
	})
	return out[:min(len(out), mostNews)]
}

// townChanges says in a sentence or two what is other in a town.
func (s *site) townChanges(c *almanac.Changes, id string) string {
	var out []string
	for _, m := range c.Measures {
		if m.Town == id && m.Date {
			t := s.towns[id]
			out = append(out, s.Say("%s: %s, it was %s.", s.measureName(m.Measure), s.rankWords(t, climate.Point{V: m.After, OK: true}), s.rankWords(t, climate.Point{V: m.Before, OK: true})))
		}
	}
	n := 0
	for _, o := range c.Odds {
		if o.Town == id {
			n++
		}
	}
	if n > 0 {
		out = append(out, s.Count(n, "%s on ripening has another likelihood word.", "%s on ripening have another likelihood word.", upperFirst(s.countWords(n, "answer"))))
	}
	if len(out) == 0 {
		return s.Say("Some answers for %s have changed since last year.", s.townNamed(id))
	}
	return strings.Join(out, " ")
}
