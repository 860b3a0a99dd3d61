package page

import (
	"fmt"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// comparePage sets towns or cultivars side by side. Without a script it has a
// table of the main figures of all towns, or, for many, links to the zones'.
type comparePage struct {
	Zones []zoneBlock
	Links []link // instead of Zones where there are many towns
	Ways  []link // way of growing: name and id
}

func (s *site) comparePage(all map[string]*oddsBy) *comparePage {
	p := paths{"../"}
	m := &comparePage{}
	for i := range s.club.Zones {
		z := &s.club.Zones[i]
		if len(s.townsIn(string(z.ID))) == 0 {
			continue
		}
		m.Links = append(m.Links, link{s.in(z.Row, "name", z.Name), p.zone(string(z.ID))})
		if len(s.book.Towns) <= gridSize {
			m.Zones = append(m.Zones, s.zoneBlock(z, all, p))
		}
	}
	if len(m.Zones) > 0 {
		m.Links = nil
	}
	for _, w := range s.waysPlainFirst() {
		m.Ways = append(m.Ways, link{s.in(w.Row, "name", w.Name), string(w.ID)})
	}
	return m
}

// waysPlainFirst lists the ways of growing with the plain pot in front.
func (s *site) waysPlainFirst() []*club.Method {
	var out []*club.Method
	if s.plain != nil {
		out = append(out, s.plain)
	}
	for i := range s.club.Methods {
		if m := &s.club.Methods[i]; m != s.plain {
			out = append(out, m)
		}
	}
	return out
}

// compared is what the page's script knows of a town or a cultivar. A value is
// a text or a list of texts, {m, u} pairs of a figure in both systems, and
// {text, to} links.
type compared struct {
	Name  string   `json:"name"`
	Facts [][2]any `json:"facts"`
	// Odds has a row a cultivar (or town): its name, its folder's page, and a
	// letter a way of growing: a-k for 0-10 years in 10, "-" for none.
	Odds [][3]string `json:"odds"`
}

func (c *compared) add(label string, value any) {
	if value != nil && value != "" {
		c.Facts = append(c.Facts, [2]any{label, value})
	}
}

// dual is a figure in both systems, with text around it.
func dual(metric, us string) map[string]string { return map[string]string{"m": metric, "u": us} }

func linkTo(text, to string) map[string]string { return map[string]string{"text": text, "to": to} }

func (s *site) compareScript(folder string, c *compared) []byte {
	return fmt.Appendf(nil, "window.ripewardCompare(%s, %s);\n", jsonLine(folder), jsonLine(c))
}

// code writes a row of odds as letters.
func (s *site) code(at map[string]*almanac.Odds) string {
	var b strings.Builder
	for _, m := range s.waysPlainFirst() {
		if o := at[string(m.ID)]; o != nil && o.Reason == "" {
			b.WriteByte(byte('a' + yearsLevel(o.Odds)))
		} else {
			b.WriteByte('-')
		}
	}
	return b.String()
}

func (s *site) comparedTown(t *almanac.Town, by *oddsBy) *compared {
	c := &compared{Name: s.townName(t), Facts: [][2]any{}, Odds: [][3]string{}}
	if z := s.zones[string(t.Row.ZoneID)]; z != nil {
		c.add(s.Say("Zone|of towns"), []any{linkTo(s.in(z.Row, "name", z.Name), "zones/"+string(z.ID)+"/index.html")})
	}
	if h := t.Row.ElevationM; h.Set {
		c.add(s.Say("Height|of a town"), []any{dual(s.Grouped(h.Value)+"\u00a0m", s.Grouped(h.Value/0.3048)+"\u00a0ft")})
	}
	line := s.townLine(t, by, paths{})
	c.add(s.Say("Frost-free in most years"), s.shortFree(t, line.Free))
	if line.Days != "–" {
		c.add(s.Say("Days without a freeze, middle year"), line.Days)
	}
	if n := t.Normal("heat_cd_base10"); n != nil && n.Mean.OK {
		c.add(s.Say("Heat of the season"), []any{s.heatPair(n.Mean.V)})
	}
	c.add(s.Say("Hardiness zone"), line.Zone)
	if n := t.Normal("winter_min_c"); n != nil && n.Mean.OK {
		c.add(s.Say("Coldest night of the winter, average"), []any{dual(s.celsius(n.Mean.V, 1), s.fahrenheit(n.Mean.V, 1))})
		if x := n.P[0]; x.OK && !x.None {
			c.add(s.Say("This cold or colder in 1 winter in 10"), []any{dual(s.celsius(x.V, 1), s.fahrenheit(x.V, 1))})
		}
	}
	for _, m := range s.key {
		if pr := s.promiseOf(by, m); pr.known {
			c.add(s.Say("Ripen 8 years in 10: %s", lowerFirst(s.in(m.Row, "name", m.Name))), s.ripeNames(pr.good))
		}
	}
	for _, m := range s.key {
		if o := carried(t, string(m.ID)); o != nil && m.CarryBelowC.Set {
			text := s.Say("%s in a mean year", s.Trimmed(o.CarriedMean, 1))
			if o.CarriedP90 > 0 {
				text = s.Say("%s in a mean year, %s in a bad one", s.Trimmed(o.CarriedMean, 1), s.Trimmed(o.CarriedP90, 0))
			}
			c.add(s.Say("Nights carried: %s", lowerFirst(s.in(m.Row, "name", m.Name))), text)
		}
	}
	for _, k := range by.keys {
		code := s.code(by.at[k])
		if strings.Trim(code, "-") == "" {
			continue
		}
		label := s.cultivarName(k.cultivar)
		if note := s.partNote(k); note != "" {
			label += ", " + note
		}
		c.Odds = append(c.Odds, [3]string{label, "cultivars/" + k.cultivar + "/index.html", code})
	}
	return c
}

// shortFree is the frost-free span with short dates, which a narrow column
// holds, or the words there are instead.
func (s *site) shortFree(t *almanac.Town, words string) string {
	spring, autumn := t.Normal("last_spring_freeze_0"), t.Normal("first_autumn_freeze_0")
	if spring == nil || autumn == nil || !spring.P[7].OK || !autumn.P[1].OK || spring.P[7].None || autumn.P[1].None {
		return words
	}
	return s.Say("%s to %s|days without frost", s.shortDate(t.Hemisphere, rankOf(spring.P[7])), s.shortDate(t.Hemisphere, rankOf(autumn.P[1])))
}

// ripeNames counts cultivars and names the first few as links.
func (s *site) ripeNames(ids []string) []any {
	const most = 4
	if len(ids) == 0 {
		return []any{s.Say("none|of the cultivars")}
	}
	out := []any{s.Say("%d:|cultivars, their names follow", len(ids)) + " "}
	for i, id := range ids {
		if i == most {
			return append(out, " "+s.Say("and others|cultivars"))
		}
		if i > 0 {
			out = append(out, ", ")
		}
		out = append(out, linkTo(s.cultivarName(id), "cultivars/"+id+"/index.html"))
	}
	return out
}

func (s *site) heatPair(cd float64) map[string]string {
	metric, us := s.heatTexts(cd)
	return dual(metric, us)
}

func (s *site) comparedCultivar(x *club.Cultivar, all map[string]*oddsBy) *compared {
	c := &compared{Name: s.in(x.Row, "name", x.Name), Facts: [][2]any{}, Odds: [][3]string{}}
	if crop := s.crops[string(x.CropID)]; crop != nil {
		c.add(s.Say("Crop"), s.in(crop.Row, "name", crop.Name))
		if crop.RipeningModel == "none" {
			short, _ := s.reasonWords("no-model")
			c.add(s.Say("Ripening odds"), short)
		}
	}
	if class := s.classes[string(x.ClassID)]; class != nil {
		c.add(s.Say("Class"), s.in(class.Row, "name", class.Name))
	}
	for _, part := range partsOf(x) {
		n := s.needOf(oddsKey{string(x.ID), part})
		if n == nil || n.Mu == 0 {
			continue
		}
		heat, rests := s.Say("Heat it needs"), s.Say("What that rests on")
		if part == "breba" {
			heat, rests = s.Say("Heat its brebas need"), s.Say("What that of the brebas rests on")
		}
		c.add(heat, []any{s.heatPair(n.Mu)})
		c.add(rests, upperFirst(s.learnedWords(n.Basis, n.Reports, n.Growers)))
	}
	if x.WoodKillC.Set {
		dec := 0
		if v := x.WoodKillC.Value; v != float64(int(v)) {
			dec = 1
		}
		c.add(s.Say("About half of its wood dies near"), []any{dual(s.celsius(x.WoodKillC.Value, dec), s.fahrenheit(x.WoodKillC.Value, dec))})
	}
	if w := pollinationWords[string(x.Pollination)]; w != "" {
		c.add(s.Say("Pollination"), s.Say(w))
	}
	if x.FruitG.Set {
		c.add(s.Say("Fruit|of a cultivar"), s.Say("about %s\u00a0g", s.Trimmed(x.FruitG.Value, 0)))
	}
	c.add(s.Say("Rain tolerance"), s.in(x.Row, "rain_tolerance", x.RainTolerance))
	c.add(s.Say("Also called"), s.List(x.AlsoCalled))
	for _, part := range partsOf(x) {
		for _, t := range s.townsByZone() {
			at := all[string(t.Row.ID)].at[oddsKey{string(x.ID), part}]
			code := s.code(at)
			if strings.Trim(code, "-") == "" {
				continue
			}
			label := s.townName(t)
			if part == "breba" {
				label = s.Say("%s, brebas|a town", label)
			}
			c.Odds = append(c.Odds, [3]string{label, "towns/" + string(t.Row.ID) + "/index.html", code})
		}
	}
	return c
}

// comparing writes the page and the files of its script.
func (r *rendering) comparing() error {
	s := r.site
	if err := r.page("compare/index.html", "compare", s.Say("Side by side"), s.Say("Up to three towns, or three cultivars, side by side."), []link{{s.Say("Home"), "../index.html"}}, s.comparePage(r.all)); err != nil {
		return err
	}
	for i := range s.book.Towns {
		t := &s.book.Towns[i]
		folder := "towns/" + string(t.Row.ID)
		if err := r.emit("compare/"+folder+".js", s.compareScript(folder, s.comparedTown(t, r.all[string(t.Row.ID)]))); err != nil {
			return err
		}
	}
	for i := range s.club.Cultivars {
		c := &s.club.Cultivars[i]
		folder := "cultivars/" + string(c.ID)
		if err := r.emit("compare/"+folder+".js", s.compareScript(folder, s.comparedCultivar(c, r.all))); err != nil {
			return err
		}
	}
	return nil
}

// searching writes the page that lists everything.
func (r *rendering) searching() error {
	s := r.site
	return r.page("search/index.html", "search", s.Say("Search|the page"), s.Say("Towns, zones, cultivars by any of their names, guides and pages."), []link{{s.Say("Home"), "../index.html"}}, s.searchPage())
}
