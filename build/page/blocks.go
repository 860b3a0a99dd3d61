package page

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/prose"
)

// blockWords are the data blocks that a text may hold.
var blockWords = []string{"town-odds", "zones", "methods-table", "class-needs", "caution", "mixes", "pots", "feeds"}

// silentBlocks answers every block with nothing, for a first look at a text.
func (s *site) silentBlocks() map[string]prose.Block {
	out := map[string]prose.Block{}
	for _, w := range blockWords {
		out[w] = func(prose.Call) (template.HTML, error) { return "", nil }
	}
	return out
}

// blocks fills data blocks as seen from one page.
func (s *site) blocks(p paths) map[string]prose.Block {
	return map[string]prose.Block{
		"town-odds":     func(c prose.Call) (template.HTML, error) { return s.townOddsBlock(c, p) },
		"zones":         func(c prose.Call) (template.HTML, error) { return s.zonesBlock(c, p) },
		"methods-table": func(c prose.Call) (template.HTML, error) { return s.methodsBlock(c) },
		"class-needs":   func(c prose.Call) (template.HTML, error) { return s.classBlock(c) },
		"caution":       s.cautionBlock,
		"mixes":         s.mixesBlock,
		"pots":          s.potsBlock,
		"feeds":         s.feedsBlock,
	}
}

// argument reads one argument and refuses others.
func argument(c prose.Call, names ...string) error {
	for k := range c.Args {
		known := false
		for _, n := range names {
			known = known || n == k
		}
		if !known {
			hint := "this block takes no arguments"
			if len(names) > 0 {
				hint = "this block takes " + strings.Join(names, ", ")
			}
			return diag.Problem{Place: c.Place, Severity: diag.Error, Message: fmt.Sprintf("block %s has no argument %q", c.Word, k), Hint: hint}
		}
	}
	return nil
}

// unknown says that a block names something that the club does not have.
func unknown(c prose.Call, what, id string, have []string) error {
	hint := "known: " + strings.Join(have, ", ")
	if near := diag.Nearest(id, have); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	if id == "" {
		return diag.Problem{Place: c.Place, Severity: diag.Error, Message: fmt.Sprintf("block %s needs %s=...", c.Word, what), Hint: hint}
	}
	return diag.Problem{Place: c.Place, Severity: diag.Error, Message: fmt.Sprintf("block %s: there is no %s %q", c.Word, what, id), Hint: hint}
}

// part runs one of the shared templates.
func (s *site) part(name string, data any) (template.HTML, error) {
	var buf bytes.Buffer
	if err := s.templates["blocks"].ExecuteTemplate(&buf, name, data); err != nil {
		return "", err
	}
	return template.HTML(buf.String()), nil
}

func (s *site) townOddsBlock(c prose.Call, p paths) (template.HTML, error) {
	if err := argument(c, "town"); err != nil {
		return "", err
	}
	t := s.towns[c.Args["town"]]
	if t == nil {
		var have []string
		for i := range s.book.Towns {
			have = append(have, string(s.book.Towns[i].Row.ID))
		}
		return "", unknown(c, "town", c.Args["town"], have)
	}
	by := s.arrange(t)
	m := struct {
		Town  link
		Heads []methodHead
		Rows  []cropRow
	}{Town: link{s.townName(t), p.town(string(t.Row.ID))}}
	for _, k := range s.key {
		m.Heads = append(m.Heads, s.headOf(k))
	}
	for _, k := range by.keys {
		m.Rows = append(m.Rows, s.cropRow(t, by, k, p))
	}
	return s.part("block-town-odds", m)
}

func (s *site) zonesBlock(c prose.Call, p paths) (template.HTML, error) {
	if err := argument(c); err != nil {
		return "", err
	}
	type zone struct {
		Zone  link
		Towns []link
	}
	var zones []zone
	for _, z := range s.club.Zones {
		x := zone{Zone: link{s.in(z.Row, "name", z.Name), p.zone(string(z.ID))}}
		for _, t := range s.townsIn(string(z.ID)) {
			x.Towns = append(x.Towns, link{s.townName(t), p.town(string(t.Row.ID))})
		}
		zones = append(zones, x)
	}
	return s.part("block-zones", zones)
}

func (s *site) methodsBlock(c prose.Call) (template.HTML, error) {
	if err := argument(c); err != nil {
		return "", err
	}
	return s.part("block-methods", s.methodRows())
}

func (s *site) classBlock(c prose.Call) (template.HTML, error) {
	if err := argument(c, "crop"); err != nil {
		return "", err
	}
	id := c.Args["crop"]
	if s.crops[id] == nil {
		var have []string
		for _, x := range s.club.Crops {
			have = append(have, string(x.ID))
		}
		return "", unknown(c, "crop", id, have)
	}
	return s.part("block-classes", struct {
		Crop string
		Base template.HTML
		Rows []classRow
	}{s.in(s.crops[id].Row, "name", s.crops[id].Name), s.temp(s.crops[id].BaseC.Or(10), 0), s.classRows(id)})
}

func (s *site) cautionBlock(c prose.Call) (template.HTML, error) {
	if err := argument(c, "about"); err != nil {
		return "", err
	}
	x, ok := s.cautionOf(c.Args["about"])
	if !ok {
		return "", unknown(c, "about", c.Args["about"], cautionKeys())
	}
	return s.part("caution", x)
}

type mixRow struct{ Name, Recipe string }

func (s *site) mixesBlock(c prose.Call) (template.HTML, error) {
	if err := argument(c); err != nil {
		return "", err
	}
	var order []string
	names, parts := map[string]string{}, map[string][]string{}
	for _, m := range s.club.Mixes {
		id := string(m.ID)
		if _, there := parts[id]; !there {
			order = append(order, id)
			names[id] = id
		}
		if m.Name != "" {
			names[id] = s.in(m.Row, "name", m.Name)
		}
		text := s.in(m.Row, "part", m.Part)
		if m.Parts.Set {
			text = s.Say("%s %s|parts of a mix", s.Trimmed(m.Parts.Value, 1), text)
		}
		parts[id] = append(parts[id], text)
	}
	var rows []mixRow
	for _, id := range order {
		rows = append(rows, mixRow{names[id], s.List(parts[id])})
	}
	return s.part("block-mixes", rows)
}

type potRow struct{ Litres, Across, Weight, Water template.HTML }

func (s *site) potsBlock(c prose.Call) (template.HTML, error) {
	if err := argument(c); err != nil {
		return "", err
	}
	var rows []potRow
	for _, x := range s.club.Pots {
		r := potRow{Across: "–", Weight: "–", Water: "–", Litres: "–"}
		if x.Litres.Set {
			r.Litres = s.litres(x.Litres.Value)
			if x.WetKgPerL.Set {
				r.Weight = s.kg(x.Litres.Value * x.WetKgPerL.Value)
			}
			if x.UsableWaterFrac.Set {
				r.Water = s.litres(x.Litres.Value * x.UsableWaterFrac.Value)
			}
		}
		if x.DiameterCm.Set {
			r.Across = s.cm(x.DiameterCm.Value)
		}
		rows = append(rows, r)
	}
	return s.part("block-pots", rows)
}

type feedRow struct{ Name, Nitrogen, Strength, Every string }

func (s *site) feedsBlock(c prose.Call) (template.HTML, error) {
	if err := argument(c); err != nil {
		return "", err
	}
	number := func(n club.Number, unit string) string {
		if !n.Set {
			return "–"
		}
		return s.Trimmed(n.Value, 1) + unit
	}
	var rows []feedRow
	for _, f := range s.club.Feeds {
		r := feedRow{Name: s.in(f.Row, "name", f.Name), Nitrogen: number(f.NPercent, "\u00a0%"), Strength: number(f.PpmN, "\u00a0ppm"), Every: "–"}
		if f.EveryDays.Set {
			r.Every = s.Say("every %s|so many days", s.countDigits(int(f.EveryDays.Value), "day"))
		}
		rows = append(rows, r)
	}
	return s.part("block-feeds", rows)
}
