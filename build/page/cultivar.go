package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
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
	Notes                        string
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
}

func (s *site) cultivarPage(c *club.Cultivar, all map[string]*oddsBy) *cultivarPage {
	p := paths{"../../"}
	m := &cultivarPage{ID: string(c.ID), Name: string(c.Name), AlsoCalled: s.List(c.AlsoCalled), Notes: string(c.Notes)}
	crop, class := s.crops[string(c.CropID)], s.classes[string(c.ClassID)]
	if crop != nil {
		m.Crop, m.Latin = string(crop.Name), string(crop.Latin)
	}
	if class != nil {
		m.Class = string(class.Name)
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
		x.Heads = append(x.Heads, headOf(&s.club.Methods[i]))
	}
	for i, t := range s.townsByZone() {
		by := all[string(t.Row.ID)]
		if by.at[k] == nil {
			continue
		}
		row := cultivarTown{Town: link{string(t.Row.Name), p.town(string(t.Row.ID))}, Zone: s.zoneName(t), Order: i}
		for j := range s.club.Methods {
			o := by.at[k][string(s.club.Methods[j].ID)]
			row.Cells = append(row.Cells, s.cellOf(o, string(s.club.Methods[j].Name)))
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
			row.Ripe = template.HTML(esc(s.ripeSpan(t.Hemisphere, o) + ", " + lowerFirst(s.howWords(o))))
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
		return string(z.Name)
	}
	return string(t.Row.ZoneID)
}

func (s *site) groundOf(c *club.Cultivar, all map[string]*oddsBy, p paths) *groundTable {
	g := &groundTable{}
	var ground []*club.Method
	for i := range s.club.Methods {
		if s.club.Methods[i].Place == "ground" {
			ground = append(ground, &s.club.Methods[i])
			g.Heads = append(g.Heads, headOf(&s.club.Methods[i]))
		}
	}
	for i, t := range s.townsByZone() {
		w := all[string(t.Row.ID)].winters[string(c.ID)]
		if len(w) == 0 {
			continue
		}
		row := cultivarTown{Town: link{string(t.Row.Name), p.town(string(t.Row.ID))}, Zone: s.zoneName(t), Order: i}
		last := 0
		for _, m := range ground {
			if x := w[string(m.ID)]; x != nil {
				wc := s.winterCell(x)
				wc.Title = string(m.Name)
				row.Cells = append(row.Cells, wc)
				if last == 0 {
					last = x.LastKillWinter
				}
			} else {
				row.Cells = append(row.Cells, oddsCell{Note: "–", Sort: -1, Title: string(m.Name)})
			}
		}
		row.Ripe = cell("none on record")
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
	kind := strings.ToLower(strings.TrimSpace(m.Class + " " + m.Crop))
	article := "a"
	if kind != "" && strings.ContainsRune("aeiou", rune(kind[0])) {
		article = "an"
	}
	text := fmt.Sprintf("%s is %s %s", c.Name, article, kind)
	switch c.CropsBorne {
	case "both":
		text += " that bears brebas and a main crop"
	case "breba":
		text += " that bears brebas only"
	}
	text += ". "
	if m.NoModel != "" {
		return text + m.NoModel
	}
	if s.plain == nil {
		return strings.TrimSpace(text)
	}
	for i, part := range partsOf(c) {
		subject := "It"
		if c.CropsBorne == "both" {
			subject = map[string]string{"main": "Its main crop", "breba": "Its brebas"}[part]
		}
		if i > 0 {
			text += " "
		}
		text += s.whereRipe(subject, part == "breba" && subject != "It", oddsKey{string(c.ID), part}, all)
	}
	return text
}

// whereRipe says in which towns one part of the crop ripens.
func (s *site) whereRipe(subject string, many bool, k oddsKey, all map[string]*oddsBy) string {
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
			yes = append(yes, string(t.Row.Name))
		} else if by.cheap[k] != nil {
			some = append(some, string(t.Row.Name))
		}
	}
	verb, does := "ripens", "does"
	if many {
		verb, does = "ripen", "do"
	}
	how := s.methodPhrase(string(s.plain.Name), string(s.plain.Place))
	it := "it"
	if many {
		it = "they"
	}
	text := ""
	switch {
	case total == 0 && reason == "no-wasp":
		_, long := s.reasonWords(reason)
		return long
	case total == 0:
		return "There are no odds for " + lowerFirst(subject) + "."
	case len(yes) == total:
		return fmt.Sprintf("%s %s 8 years in 10 or more %s in every town.", subject, verb, how)
	case len(yes) == 0:
		text = fmt.Sprintf("%s %s 8 years in 10 %s in none of the %s.", subject, verb, how, s.countWords(total, "town"))
	case len(yes) <= 6:
		text = fmt.Sprintf("%s %s 8 years in 10 or more %s in %s.", subject, verb, how, s.List(yes))
	default:
		text = fmt.Sprintf("%s %s 8 years in 10 or more %s in %s of %d towns.", subject, verb, how, s.numberWord(len(yes)), total)
	}
	switch n := len(some); {
	case n == 0:
	case n+len(yes) == total && len(yes) == 0:
		text += fmt.Sprintf(" With more effort %s %s so in all of them.", it, does)
	case n+len(yes) == total:
		text += fmt.Sprintf(" With more effort %s %s so in all the others.", it, does)
	case n <= 6:
		text += fmt.Sprintf(" With more effort %s %s so in %s.", it, does, s.List(some))
	default:
		text += fmt.Sprintf(" With more effort %s %s so in %s.", it, does, s.countWords(n, "town"))
	}
	return text
}

var pollinationWords = map[string]string{
	"common":    "common: sets fruit without a pollinating wasp",
	"san-pedro": "San Pedro: brebas without the wasp, a main crop only with it",
	"smyrna":    "Smyrna: no main crop without the wasp",
}

func (s *site) cultivarFacts(c *club.Cultivar, crop *club.Crop, class *club.Class) []fact {
	var out []fact
	add := func(name string, text template.HTML) {
		if text != "" {
			out = append(out, fact{name, text})
		}
	}
	if crop != nil {
		t := esc(string(crop.Name))
		if crop.Latin != "" {
			t += " (<i class=\"latin\" lang=\"la\">" + esc(string(crop.Latin)) + "</i>)"
		}
		add("Crop", template.HTML(t))
	}
	if class != nil {
		add("Ripening class", cell(string(class.Name)))
	}
	if len(c.AlsoCalled) > 0 {
		add("Also called", cell(s.List(c.AlsoCalled)))
	}
	if w := pollinationWords[string(c.Pollination)]; w != "" {
		add("Pollination", cell(w))
	}
	if c.WoodKillC.Set {
		add("Hardiness", "About half of its wood dies near "+s.tempTrim(c.WoodKillC.Value)+". Hardiness is not one number: age, wind, wetness and the autumn before all move it.")
	}
	if c.FruitG.Set {
		add("Fruit", cell("about "+s.Trimmed(c.FruitG.Value, 0)+"\u00a0g"))
	}
	for _, x := range []struct {
		name string
		text club.Text
	}{{"Yield", c.YieldClass}, {"Rain tolerance", c.RainTolerance}, {"Eye", c.Eye}, {"Flavour", c.Flavour}} {
		add(x.name, cell(string(x.text)))
	}
	if c.Skin != "" {
		add("Skin", cell(string(c.Skin)+" (colour is no guide to earliness or ripeness)"))
	}
	add("Source of its row", cell(string(c.Source)))
	return out
}

// cultivarRow is one line of the list of cultivars.
type cultivarRow struct {
	Cultivar          link
	Crop, Class, Also string
	Order             int
	Hardy             template.HTML
	HardySort         int
	Summary           string
	Towns             int
}

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
		r := cultivarRow{Cultivar: link{string(c.Name), p.cultivar(string(c.ID))}, Also: s.List(c.AlsoCalled),
			Order: order["crop "+string(c.CropID)] + order["class "+string(c.ClassID)]}
		crop := s.crops[string(c.CropID)]
		if crop != nil {
			r.Crop = string(crop.Name)
		}
		if class := s.classes[string(c.ClassID)]; class != nil {
			r.Class = string(class.Name)
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
			r.Summary, r.Towns = "not counted", -1
		case effort == 0:
			r.Summary = "in no town yet"
		case plain == effort:
			r.Summary = fmt.Sprintf("in %s in a plain pot", townsOf(plain, len(s.book.Towns)))
		case plain == 0:
			r.Summary = fmt.Sprintf("in %s with effort", townsOf(effort, len(s.book.Towns)))
		default:
			r.Summary = fmt.Sprintf("in %d in a plain pot, in %s with effort", plain, townsOf(effort, len(s.book.Towns)))
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

func townsOf(n, of int) string {
	if n == of {
		return fmt.Sprintf("all %d towns", n)
	}
	return fmt.Sprintf("%d of %d towns", n, of)
}
