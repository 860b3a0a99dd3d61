package page

import (
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

// planIndex lets a reader choose a town.
type planIndex struct {
	Zones []zoneLinks
}

type zoneLinks struct {
	ID, Name string
	Towns    []link
}

func (s *site) planIndex() *planIndex {
	return &planIndex{Zones: s.zonesOf(func(t *almanac.Town) string { return paths{"../"}.plan(string(t.Row.ID)) })}
}

// zonesOf lists the towns by zone with an address each; towns for which href
// is blank are left out.
func (s *site) zonesOf(href func(*almanac.Town) string) []zoneLinks {
	var out []zoneLinks
	told := map[string]bool{}
	add := func(x *zoneLinks, t *almanac.Town) {
		told[string(t.Row.ID)] = true
		if to := href(t); to != "" {
			x.Towns = append(x.Towns, link{string(t.Row.Name), to})
		}
	}
	for _, z := range s.club.Zones {
		x := zoneLinks{ID: string(z.ID), Name: s.in(z.Row, "name", z.Name)}
		for _, t := range s.townsIn(string(z.ID)) {
			add(&x, t)
		}
		if len(x.Towns) > 0 {
			out = append(out, x)
		}
	}
	rest := zoneLinks{ID: "other", Name: s.Say("Other towns")}
	for i := range s.book.Towns {
		if t := &s.book.Towns[i]; !told[string(t.Row.ID)] {
			add(&rest, t)
		}
	}
	if len(rest.Towns) > 0 {
		out = append(out, rest)
	}
	return out
}

// planPage says what it would take to ripen each cultivar in a town, and has
// what its script needs to plan with.
type planPage struct {
	Name, Town, All string
	Garden          string // blank where one garden cannot be reckoned
	Lead            string
	Years           string
	Heads           []string
	Rows            []planRow
	Chart           *chart
	Crops           []planCrop
	HasWeeks        bool
	Sets            []setBlock
	HasSets         bool
	Cautions        []Caution // of the ways of growing on the lists
	Hours           string    // an indoor week costs so many
}

// planRow is one cultivar's cheapest way to each target.
type planRow struct {
	Cultivar link // to its details on this page
	Part     string
	Cells    []planCell
}

type planCell struct {
	Has  bool
	Way  string
	Note string
	Sort int
}

// planCrop is one crop part of a cultivar, in full.
type planCrop struct {
	ID, Name, Part string
	Cultivar       link
	Ways           []wayRow
	Notes          []string // why some target has no way
	Rests          string   // what its heat need is learned from
	Weeks          []planWeeks
}

type wayRow struct {
	Target, Way, Odds          string
	Hours, Nights, Power, Cost string
}

// planWeeks is every week of head start of one method.
type planWeeks struct {
	Method string
	Usual  int // the method's own weeks
	Rows   []planWeek
}

type planWeek struct {
	N                int
	Level            int
	Odds, Band, Ripe string
	Nights, Hours    string
}

var takeTargets = [...]float64{0.5, 0.8, 0.9}

// targetWords names a target in years.
func (v voice) targetWords(target float64) string {
	return v.Say("%d years in 10", int(math.Round(target*10)))
}

func (s *site) planPage(t *almanac.Town, by *oddsBy) (*planPage, error) {
	id := string(t.Row.ID)
	p := paths{"../../"}
	m := &planPage{Name: string(t.Row.Name), Town: p.town(id), All: p.townAll(id), Years: yearsWords(s.book.Span), Hours: s.Trimmed(s.club.Settings.HoursPerWeek, 1)}
	if hasGarden(t) {
		m.Garden = p.garden(id)
	}
	for _, target := range takeTargets {
		m.Heads = append(m.Heads, s.targetWords(target))
	}
	takes := map[oddsKey]map[int]*almanac.Take{}
	for i := range t.Takes {
		x := &t.Takes[i]
		k := oddsKey{x.Cultivar, x.Part}
		if takes[k] == nil {
			takes[k] = map[int]*almanac.Take{}
		}
		takes[k][hundredths(x.Target)] = x
	}
	for _, k := range by.keys {
		c := s.planCrop(t, by, k, takes[k], p)
		if takes[k] == nil && len(c.Weeks) == 0 {
			continue
		}
		m.Crops = append(m.Crops, c)
		m.HasWeeks = m.HasWeeks || len(c.Weeks) > 0
		if takes[k] != nil {
			row := planRow{Cultivar: link{c.Name, "#" + c.ID}, Part: c.Part}
			for _, target := range takeTargets {
				row.Cells = append(row.Cells, s.planCell(takes[k][hundredths(target)]))
			}
			m.Rows = append(m.Rows, row)
		}
	}
	m.Lead = s.planLead(t, m, takes)
	var err error
	if m.Chart, err = s.frontierChart(t, by, takes); err != nil {
		return nil, err
	}
	m.Sets = s.setBlocks(t)
	m.HasSets = len(t.Together) > 0
	m.Cautions = s.planCautions(t)
	return m, nil
}

// planLead says how many crops can be had at all, and how many for little.
func (s *site) planLead(t *almanac.Town, m *planPage, takes map[oddsKey]map[int]*almanac.Take) string {
	can, free, counted := 0, 0, 0
	for _, x := range takes {
		take := x[hundredths(takeTargets[1])]
		if take == nil || len(take.Ways) == 0 && take.Best == nil {
			continue // nothing is known of it
		}
		counted++
		if len(take.Ways) > 0 {
			can++
			if slices.ContainsFunc(take.Ways, func(w almanac.TakeWay) bool { return w.Nights == 0 && w.KWh == 0 && w.Weeks == 0 }) {
				free++
			}
		}
	}
	switch {
	case counted == 0:
		return s.Say("There is nothing to plan with here yet: no crop of this town has odds.")
	case can == 0 && counted == 1:
		return s.Say("In %s no way of growing ripens the one crop counted here in 8 years of 10.", t.Row.Name)
	case can == 0:
		return s.Say("In %s no way of growing ripens any of the %s counted here in 8 years of 10.", t.Row.Name, s.countDigits(counted, "crop"))
	}
	which := s.Say("%s of the %s counted here", s.numberWord(can), s.countDigits(counted, "crop"))
	switch {
	case counted == 1:
		which = s.Say("the one crop counted here")
	case can == counted:
		which = s.Say("all %d crops counted here", counted)
	case can == 1:
		which = s.Say("one of the %s counted here", s.countDigits(counted, "crop"))
	}
	// English says the same of one crop and of several; others may not.
	switch {
	case free == can:
		return s.Count(can, "In %s %s can be had in 8 years of 10, all of them without carrying, power or weeks indoors.",
			"In %s %s can be had in 8 years of 10, all of them without carrying, power or weeks indoors.", t.Row.Name, which)
	case free == 0:
		return s.Count(can, "In %s %s can be had in 8 years of 10, none of them without carrying, power or weeks indoors.",
			"In %s %s can be had in 8 years of 10, none of them without carrying, power or weeks indoors.", t.Row.Name, which)
	case free == 1:
		return s.Say("In %s %s can be had in 8 years of 10, one of them without carrying, power or weeks indoors.", t.Row.Name, which)
	}
	return s.Say("In %s %s can be had in 8 years of 10, %s of them without carrying, power or weeks indoors.", t.Row.Name, which, s.numberWord(free))
}

func (s *site) planCrop(t *almanac.Town, by *oddsBy, k oddsKey, takes map[int]*almanac.Take, p paths) planCrop {
	c := planCrop{ID: "c-" + k.cultivar + "-" + k.part, Name: s.cultivarName(k.cultivar), Cultivar: link{s.cultivarName(k.cultivar), p.cultivar(k.cultivar)}, Part: s.partNote(k)}
	c.Ways = s.wayRows(takes)
	if o := by.best[k]; o != nil && o.Reason == "" {
		c.Rests = s.Say("The heat need behind it is %s.", s.learnedWords(o.Basis, o.Reports, o.Growers))
		if o.Basis != "reports" {
			c.Rests = upperFirst(s.learnedWords(o.Basis, o.Reports, o.Growers)) + "."
		}
	}
	for _, target := range takeTargets {
		take := takes[hundredths(target)]
		if take == nil {
			continue
		}
		if len(take.Ways) == 0 {
			note := s.Say("%s: %s.", upperFirst(s.targetWords(target)), s.takeReason(take.Reason))
			if b := take.Best; b != nil {
				note += " " + s.Say("The best there is: %s, %s, for %s a year.", lowerFirst(s.wayName(b)), s.yearsInTen(b.Odds), s.effort(b))
			}
			c.Notes = append(c.Notes, note)
		}
	}
	for i := range s.club.Methods {
		method := &s.club.Methods[i]
		list := slices.Clone(by.weeks[k][string(method.ID)])
		if len(list) < 2 || list[0].Reason != "" {
			continue
		}
		slices.SortStableFunc(list, func(a, b *almanac.Odds) int { return a.Weeks - b.Weeks })
		x := planWeeks{Method: s.in(method.Row, "name", method.Name), Usual: method.HeadStartWeeks.Or(0)}
		for _, o := range list {
			x.Rows = append(x.Rows, planWeek{N: o.Weeks, Level: yearsLevel(o.Odds), Odds: s.Say("%s in 10", s.shortInTen(o.Odds)), Band: s.shortBand(o.Low, o.High),
				Ripe: s.ripeOfWeek(t.Hemisphere, o), Nights: s.Trimmed(o.CarriedMean, 1), Hours: s.Grouped(o.Hours)})
		}
		c.Weeks = append(c.Weeks, x)
	}
	return c
}

// ripeOfWeek is the first-ripe band of one week of head start.
func (s *site) ripeOfWeek(h day.Hemisphere, o *almanac.Odds) string {
	if !ripeKnown(o) {
		return "–"
	}
	return s.shortSpan(h, o.FirstRipe, o.Odds)
}

// partNote names the part of the crop where there is something to tell apart.
func (s *site) partNote(k oddsKey) string {
	if c := s.cultivars[k.cultivar]; k.part == "breba" || c != nil && bornParts(c) > 1 {
		return s.partWords(k.part)
	}
	return ""
}
