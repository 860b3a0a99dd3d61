package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// cultivarPage is the model of a cultivar's page.
type cultivarPage struct {
	ID, Name, Crop, Latin, Class string
	AlsoCalled                   string
	Lead                         string
	Facts                        []fact
	NoModel                      string // why there are no odds
	Parts                        []cultivarPart
	Ground                       *groundTable
	Notes                        template.HTML
}

// fact is one line of what is known.
type fact struct {
	Name string
	Text template.HTML
}

// cultivarPart is one part of the crop with its odds in every town.
type cultivarPart struct {
	ID, Name string
	Need     needBlock
	Heads    []methodHead
	Rows     []cultivarTown
	Zones    *sheet // instead of Rows in a large club
	Reason   string
}

type cultivarTown struct {
	Town  link
	Zone  string
	Cells []oddsCell
	Ripe  template.HTML
	Order int
}

// groundTable says in how many winters the wood lives in the ground.
type groundTable struct {
	Heads []methodHead
	Rows  []cultivarTown
	Zones *sheet // instead of Rows in a large club
}

func (s *site) cultivarPage(c *club.Cultivar, all map[string]*oddsBy) *cultivarPage {
	p := paths{"../../"}
	m := &cultivarPage{ID: string(c.ID), Name: s.in(c.Row, "name", c.Name), AlsoCalled: s.List(c.AlsoCalled), Notes: s.prose(c.Row, "notes", c.Notes)}
	crop, class := s.crops[string(c.CropID)], s.classes[string(c.ClassID)]
	if crop != nil {
		m.Crop, m.Latin = s.in(crop.Row, "name", crop.Name), string(crop.Latin)
	}
	if class != nil {
		m.Class = s.in(class.Row, "name", class.Name)
	}
	if crop != nil && crop.RipeningModel == "none" {
		_, m.NoModel = s.reasonWords("no-model")
	}
	m.Facts = s.cultivarFacts(c, crop, class)
	for _, part := range partsOf(c) {
		if m.NoModel != "" {
			break
		}
		if x, ok := s.cultivarPart(c, part, all, p); ok {
			m.Parts = append(m.Parts, x)
		}
	}
	m.Ground = s.groundOf(c, all, p)
	m.Lead = s.cultivarLead(c, m, all)
	return m
}

// partsOf lists the parts of the crop a cultivar bears, the main crop first.
func partsOf(c *club.Cultivar) []string {
	switch c.CropsBorne {
	case "both":
		return []string{"main", "breba"}
	case "breba":
		return []string{"breba"}
	}
	return []string{"main"}
}

func (s *site) cultivarPart(c *club.Cultivar, part string, all map[string]*oddsBy, p paths) (cultivarPart, bool) {
	x := cultivarPart{ID: part, Name: upperFirst(s.partWords(part))}
	k := oddsKey{string(c.ID), part}
	var any *almanac.Odds
	for i := range s.club.Methods {
		x.Heads = append(x.Heads, s.headOf(&s.club.Methods[i]))
	}
	many := len(s.book.Towns) > almanac.ManyTowns
	for i, t := range s.townsByZone() {
		by := all[string(t.Row.ID)]
		if by.at[k] == nil {
			continue
		}
		if many {
			if o := by.at[k][string(s.club.Methods[0].ID)]; o != nil && (any == nil || any.Reason != "") {
				any = o
			}
			continue
		}
		row := cultivarTown{Town: link{s.townName(t), p.town(string(t.Row.ID))}, Zone: s.zoneName(t), Order: i}
		for j := range s.club.Methods {
			o := by.at[k][string(s.club.Methods[j].ID)]
			row.Cells = append(row.Cells, s.cellOf(o, s.methodName(string(s.club.Methods[j].ID))))
			if o != nil && (any == nil || any.Reason != "") {
				any = o
			}
		}
		o := by.cheap[k]
		if o == nil {
			o = by.best[k]
		}
		if o != nil && o.Reason == "" {
			o, _ = by.dated(k, o)
			row.Ripe = template.HTML(esc(s.Say("%s, %s|first ripe, and how", s.ripeSpan(t.Hemisphere, o), lowerFirst(s.howWords(o)))))
		}
		x.Rows = append(x.Rows, row)
	}
	if any == nil {
		return x, false
	}
	if any.Reason != "" {
		_, x.Reason = s.reasonWords(any.Reason)
		return x, true
	}
	x.Need = s.needWords(c, any, s.needOf(k))
	if many {
		x.Zones = s.ripeByZone(k, all, p)
	}
	return x, true
}

func (s *site) baseOf(c *club.Cultivar) float64 {
	if crop := s.crops[string(c.CropID)]; crop != nil {
		return crop.BaseC.Or(10)
	}
	return 10
}

// townsByZone lists all towns in the order of the zones file, then by name.
func (s *site) townsByZone() []*almanac.Town {
	var out []*almanac.Town
	for _, z := range s.club.Zones {
		out = append(out, s.townsIn(string(z.ID))...)
	}
	for i := range s.book.Towns {
		if s.zones[string(s.book.Towns[i].Row.ZoneID)] == nil {
			out = append(out, &s.book.Towns[i])
		}
	}
	return out
}

func (s *site) zoneName(t *almanac.Town) string {
	if z := s.zones[string(t.Row.ZoneID)]; z != nil {
		return s.in(z.Row, "name", z.Name)
	}
	return string(t.Row.ZoneID)
}

func (s *site) groundOf(c *club.Cultivar, all map[string]*oddsBy, p paths) *groundTable {
	g := &groundTable{}
	var ground []*club.Method
	for i := range s.club.Methods {
		if s.club.Methods[i].Place == "ground" {
			ground = append(ground, &s.club.Methods[i])
			g.Heads = append(g.Heads, s.headOf(&s.club.Methods[i]))
		}
	}
	if len(s.book.Towns) > almanac.ManyTowns {
		g.Zones = s.groundByZone(c, ground, all, p)
		if g.Zones == nil {
			return nil
		}
		return g
	}
	for i, t := range s.townsByZone() {
		w := all[string(t.Row.ID)].winters[string(c.ID)]
		if len(w) == 0 {
			continue
		}
		row := cultivarTown{Town: link{s.townName(t), p.town(string(t.Row.ID))}, Zone: s.zoneName(t), Order: i}
		last := 0
		for _, m := range ground {
			if x := w[string(m.ID)]; x != nil {
				wc := s.winterCell(x)
				wc.Title = s.in(m.Row, "name", m.Name)
				row.Cells = append(row.Cells, wc)
				if last == 0 {
					last = x.LastKillWinter
				}
			} else {
				row.Cells = append(row.Cells, oddsCell{Note: "–", Sort: -1, Title: s.in(m.Row, "name", m.Name)})
			}
		}
		row.Ripe = cell(s.Say("none on record|a winter"))
		if last != 0 {
			row.Ripe = cell(fmt.Sprint(last))
		}
		g.Rows = append(g.Rows, row)
	}
	if len(g.Rows) == 0 || len(g.Heads) == 0 {
		return nil
	}
	return g
}

// cultivarLead is the answer in a few sentences.
func (s *site) cultivarLead(c *club.Cultivar, m *cultivarPage, all map[string]*oddsBy) string {
	text := s.kindSentence(c, m)
	if m.NoModel != "" {
		return text + " " + m.NoModel
	}
	if s.plain == nil {
		return text
	}
	for _, part := range partsOf(c) {
		subject, n := s.Say("It|a cultivar"), 1
		switch {
		case c.CropsBorne == "both" && part == "breba":
			subject, n = s.Say("Its brebas|a cultivar’s"), 2
		case c.CropsBorne == "both":
			subject = s.Say("Its main crop|a cultivar’s")
		}
		text += " " + s.whereRipe(subject, n, oddsKey{string(c.ID), part}, all)
	}
	return text
}

// kindSentence says what a cultivar is: "X is an early fig."
func (s *site) kindSentence(c *club.Cultivar, m *cultivarPage) string {
	kind := strings.ToLower(m.Class + m.Crop)
	if m.Class != "" && m.Crop != "" {
		kind = strings.ToLower(s.Say("%s %s|class, then crop", m.Class, m.Crop))
	}
	vowel := kind != "" && strings.ContainsRune("aeiou", rune(kind[0]))
	switch {
	case c.CropsBorne == "both" && vowel:
		return s.Say("%s is an %s that bears brebas and a main crop.", m.Name, kind)
	case c.CropsBorne == "both":
		return s.Say("%s is a %s that bears brebas and a main crop.", m.Name, kind)
	case c.CropsBorne == "breba" && vowel:
		return s.Say("%s is an %s that bears brebas only.", m.Name, kind)
	case c.CropsBorne == "breba":
		return s.Say("%s is a %s that bears brebas only.", m.Name, kind)
	case vowel:
		return s.Say("%s is an %s.", m.Name, kind)
	}
	return s.Say("%s is a %s.", m.Name, kind)
}

// whereRipe says in which towns one part of the crop ripens; n is 2 where the
// subject is of many.
func (s *site) whereRipe(subject string, n int, k oddsKey, all map[string]*oddsBy) string {
	var yes, some []string
	total := 0
	reason := ""
	for _, t := range s.townsByZone() {
		by := all[string(t.Row.ID)]
		o := by.at[k][string(s.plain.ID)]
		if o == nil {
			continue
		}
		if o.Reason != "" {
			reason = o.Reason
			continue
		}
		total++
		if enough(o.Odds) {
			yes = append(yes, s.townName(t))
		} else if by.cheap[k] != nil {
			some = append(some, s.townName(t))
		}
	}
	how := s.methodIn(s.plain)
	text := ""
	switch {
	case total == 0 && reason == "no-wasp":
		_, long := s.reasonWords(reason)
		return long
	case total == 0:
		return s.Say("There are no odds for %s.|a part of the crop", lowerFirst(subject))
	case len(yes) == total:
		return s.Count(n, "%s ripens 8 years in 10 or more %s in every town.", "%s ripen 8 years in 10 or more %s in every town.", subject, how)
	case len(yes) == 0:
		text = s.Count(n, "%s ripens 8 years in 10 %s in none of the %s.", "%s ripen 8 years in 10 %s in none of the %s.", subject, how, s.countWords(total, "town"))
	case len(yes) <= 6:
		text = s.Count(n, "%s ripens 8 years in 10 or more %s in %s.|named towns", "%s ripen 8 years in 10 or more %s in %s.", subject, how, s.List(yes))
	default:
		text = s.Count(n, "%s ripens 8 years in 10 or more %s in %s of %d towns.", "%s ripen 8 years in 10 or more %s in %s of %d towns.", subject, how, s.numberWord(len(yes)), total)
	}
	return strings.TrimSpace(text + " " + s.withEffort(n, len(yes), some, total))
}

// withEffort says where else more effort than a plain pot does it; n is 2
// where the subject is of many.
func (s *site) withEffort(n, plain int, some []string, total int) string {
	switch {
	case len(some) == 0:
		return ""
	case len(some)+plain == total && plain == 0:
		return s.Count(n, "With more effort it does so in all of them.", "With more effort they do so in all of them.")
	case len(some)+plain == total:
		return s.Count(n, "With more effort it does so in all the others.", "With more effort they do so in all the others.")
	case len(some) <= 6:
		return s.Count(n, "With more effort it does so in %s.|named towns", "With more effort they do so in %s.", s.List(some))
	}
	return s.Count(n, "With more effort it does so in %s.|a number of towns", "With more effort they do so in %s.", s.countWords(len(some), "town"))
}

var pollinationWords = map[string]string{
	"common":    words.Mark("common: sets fruit without a pollinating wasp"),
	"san-pedro": words.Mark("San Pedro: brebas without the wasp, a main crop only with it"),
	"smyrna":    words.Mark("Smyrna: no main crop without the wasp"),
}

func (s *site) cultivarFacts(c *club.Cultivar, crop *club.Crop, class *club.Class) []fact {
	var out []fact
	add := func(name string, text template.HTML) {
		if text != "" {
			out = append(out, fact{name, text})
		}
	}
	if crop != nil {
		t := esc(s.in(crop.Row, "name", crop.Name))
		if crop.Latin != "" {
			t += " (<i class=\"latin\" lang=\"la\">" + esc(string(crop.Latin)) + "</i>)"
		}
		add(s.Say("Crop"), template.HTML(t))
	}
	if class != nil {
		add(s.Say("Ripening class"), cell(s.in(class.Row, "name", class.Name)))
	}
	if len(c.AlsoCalled) > 0 {
		add(s.Say("Also called"), cell(s.List(c.AlsoCalled)))
	}
	if w := pollinationWords[string(c.Pollination)]; w != "" {
		add(s.Say("Pollination"), cell(s.Say(w)))
	}
	if c.WoodKillC.Set {
		add(s.Say("Hardiness"), template.HTML(s.Say("About half of its wood dies near %s. Hardiness is not one number: age, wind, wetness and the autumn before all move it.", s.tempTrim(c.WoodKillC.Value))))
	}
	if c.FruitG.Set {
		add(s.Say("Fruit|of a cultivar"), cell(s.Say("about %s\u00a0g", s.Trimmed(c.FruitG.Value, 0))))
	}
	for _, x := range []struct {
		name, column string
		text         club.Text
	}{{s.Say("Yield"), "yield_class", c.YieldClass}, {s.Say("Rain tolerance"), "rain_tolerance", c.RainTolerance},
		{s.Say("Eye|of a fig"), "eye", c.Eye}, {s.Say("Flavour"), "flavour", c.Flavour}} {
		add(x.name, cell(s.in(c.Row, x.column, x.text)))
	}
	if c.Skin != "" {
		add(s.Say("Skin"), cell(s.Say("%s (colour is no guide to earliness or ripeness)", s.in(c.Row, "skin", c.Skin))))
	}
	add(s.Say("Source of its row"), cell(s.in(c.Row, "source", c.Source)))
	return out
}

// cultivarRow is one line of the list of cultivars.
type cultivarRow struct {
	Cultivar          link
	Crop, Class, Also string
	Order             int
	Wasp              bool // its main crop drops where no wasp lives
	Hardy             template.HTML
	HardySort         int
	Rain, Eye         string
	RainSort          int
	Summary           string
	Towns             int
}

// rainOrder puts the usual words for how fruit stands rain in order; a club may
// use others, which stand below them.
var rainOrder = map[string]int{"poor": 1, "faible": 1, "fair": 2, "moyenne": 2, "good": 3, "bonne": 3}

// cultivarIndex lists all cultivars, crop by crop in the order of the crops
// file, the earliest class first.
func (s *site) cultivarIndex(p paths, all map[string]*oddsBy) []cultivarRow {
	order := map[string]int{}
	for i, c := range s.club.Crops {
		order["crop "+string(c.ID)] = i * 1000
	}
	for i, c := range s.club.Classes {
		order["class "+string(c.ID)] = i
	}
	var out []cultivarRow
	for i := range s.club.Cultivars {
		c := &s.club.Cultivars[i]
		r := cultivarRow{Cultivar: link{s.in(c.Row, "name", c.Name), p.cultivar(string(c.ID))}, Also: s.List(c.AlsoCalled),
			Order: order["crop "+string(c.CropID)] + order["class "+string(c.ClassID)],
			Wasp:  c.Pollination == "san-pedro" || c.Pollination == "smyrna",
			Rain:  s.in(c.Row, "rain_tolerance", c.RainTolerance), Eye: s.in(c.Row, "eye", c.Eye), RainSort: rainOrder[strings.ToLower(string(c.RainTolerance))]}
		crop := s.crops[string(c.CropID)]
		if crop != nil {
			r.Crop = s.in(crop.Row, "name", crop.Name)
		}
		if class := s.classes[string(c.ClassID)]; class != nil {
			r.Class = s.in(class.Row, "name", class.Name)
		}
		if c.WoodKillC.Set {
			r.Hardy, r.HardySort = s.tempTrim(c.WoodKillC.Value), int(c.WoodKillC.Value*10)
		}
		plain, effort := 0, 0
		k := oddsKey{string(c.ID), partsOf(c)[0]}
		for j := range s.book.Towns {
			by := all[string(s.book.Towns[j].Row.ID)]
			if s.plain != nil {
				if o := by.at[k][string(s.plain.ID)]; o != nil && o.Reason == "" && enough(o.Odds) {
					plain++
					effort++
					continue
				}
			}
			if by.cheap[k] != nil {
				effort++
			}
		}
		r.Towns = plain*1000 + effort
		switch {
		case crop != nil && crop.RipeningModel == "none":
			r.Summary, r.Towns = s.Say("not counted"), -1
		case effort == 0:
			r.Summary = s.Say("in no town yet")
		case plain == effort:
			r.Summary = s.Say("in %s in a plain pot", s.townsOf(plain, len(s.book.Towns)))
		case plain == 0:
			r.Summary = s.Say("in %s with effort", s.townsOf(effort, len(s.book.Towns)))
		default:
			r.Summary = s.Say("in a plain pot in %s, with effort in %s", s.townsOf(plain, len(s.book.Towns)), s.townsOf(effort, len(s.book.Towns)))
		}
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b cultivarRow) int {
		if a.Order != b.Order {
			return a.Order - b.Order
		}
		return strings.Compare(a.Cultivar.Text, b.Cultivar.Text)
	})
	return out
}

func (s *site) townsOf(n, of int) string {
	if n == of {
		return s.Say("all %d towns", n)
	}
	return s.Count(n, "%d of %d towns", "%d of %d towns", n, of)
}
