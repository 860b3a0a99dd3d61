package page

import (
	"html/template"
	"math"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/pots"
)

// potsPage is the model of the page on pots, mixes, water and feed. Its tables
// are the club's own, put through the arithmetic of room pots; its calculators
// work from the same figures.
type potsPage struct {
	Cautions    []Caution
	Pots        *sheet // size, weight, water, the next size
	Mixing      *sheet // litres of mix for so many pots
	Mixes       []mixBlock
	Air         template.HTML
	Feeds       *sheet
	Stock       *sheet // grams of feed in a litre of stock
	Drinks      *sheet // litres a day by evaporation
	Lasts       *sheet // days that a wet pot lasts
	Zones       []zoneLinks
	HasTowns    bool
	Calculators bool
	Guide       string
}

// mixBlock is one recipe.
type mixBlock struct {
	Name  string
	Sheet sheet
}

// potOf is a row of the club's table for the arithmetic; NaN where a cell is
// blank.
func potOf(x *club.Pot) pots.Pot {
	nan := math.NaN()
	return pots.Pot{Litres: x.Litres.Or(nan), DiameterCm: x.DiameterCm.Or(nan), CanopyM2: x.CanopyM2.Or(nan), WetKgPerL: x.WetKgPerL.Or(nan), Usable: x.UsableWaterFrac.Or(nan)}
}

// known prints a figure where there is one.
func known(v float64, show func(float64) template.HTML) template.HTML {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	return show(v)
}

// litres1 prints a volume to a tenth of a litre, small ones in US quarts.
func (u units) litres1(v float64) template.HTML {
	if v < 3.785411784 {
		return u.both(u.Trimmed(v, 1)+"\u00a0L", u.Trimmed(v/0.946352946, 1)+"\u00a0qt")
	}
	return u.litres(v)
}

func (s *site) sizes() []pots.Pot {
	var out []pots.Pot
	for i := range s.club.Pots {
		out = append(out, potOf(&s.club.Pots[i]))
	}
	return out
}

// hasPots tells whether there is anything for the page on pots to show.
func (s *site) hasPots() bool {
	return len(s.club.Pots) > 0 || len(s.club.Mixes) > 0 || len(s.club.Feeds) > 0
}

func (s *site) potsPage() *potsPage {
	p := paths{"../"}
	m := &potsPage{Cautions: s.cautionsIn("lifting"), Pots: s.potSheet(), Mixing: s.mixingSheet(), Mixes: s.mixBlocks(), Feeds: s.feedSheet(), Stock: s.stockSheet()}
	m.Drinks, m.Lasts = s.waterSheets()
	m.Guide, _ = s.taskLink("potting-and-feeding", p)
	m.Air = cell(s.Say("A mix should hold at least %s of its volume as air after it has drained, and generally not above %s (UC ANR, Nursery and Flower Grower, Soil mixes part 3).", s.percent(pots.AirLow), s.percent(pots.AirHigh)) +
		" " + s.Say("To measure it, fill a pot with a closed bottom with mix, then with water to the brim, open the bottom and catch what runs out: that volume ÷ the volume of mix is the air space."))
	m.Zones = s.zonesOf(func(t *almanac.Town) string {
		if !s.hasTownPots(t) {
			return ""
		}
		return p.townPots(string(t.Row.ID))
	})
	m.HasTowns = len(m.Zones) > 0
	m.Calculators = len(s.club.Pots) > 0
	return m
}

func (s *site) percent(share float64) string { return s.Trimmed(100*share, 1) + "\u00a0%" }

// potSheet is one row a size.
func (s *site) potSheet() *sheet {
	sizes := s.sizes()
	if len(sizes) == 0 {
		return nil
	}
	sh := &sheet{Caption: s.Say("Pots with a tree in wet mix; pot and tree come on top of the weight"), Head: []string{s.Say("Pot"), s.Say("Across|a pot"), s.Say("Mix, wet, weighs"), s.Say("Usable water"), s.Say("Air it should hold"), s.Say("Tree’s canopy"), s.Say("Next size")}}
	for _, x := range sizes {
		low, high := x.AirLitres()
		air := known(low, func(v float64) template.HTML {
			return template.HTML(s.Say("%s to %s|volumes", string(s.litres1(v)), string(s.litres1(high))))
		})
		sh.Rows = append(sh.Rows, []template.HTML{known(x.Litres, s.litres), known(x.DiameterCm, s.cm), known(x.WetKg(), s.kg), known(x.UsableLitres(), s.litres1), air, known(x.CanopyM2, s.squareMetres), s.nextSize(x, sizes)})
	}
	return sh
}

// nextSize names the next larger pot, and says where that is more than a usual
// step.
func (s *site) nextSize(x pots.Pot, sizes []pots.Pot) template.HTML {
	i, usual := pots.Next(x, sizes)
	if i < 0 {
		return "– <small>" + cell(s.Say("prune the roots instead")) + "</small>"
	}
	if text := s.litres(sizes[i].Litres); usual {
		return text
	} else {
		return text + " <small>" + cell(s.Say("a large step")) + "</small>"
	}
}

func (u units) squareMetres(v float64) template.HTML {
	return u.both(u.Trimmed(v, 2)+"\u00a0m²", u.Trimmed(v/0.09290304, 1)+"\u00a0sq\u00a0ft")
}

// someCounts are the numbers of pots that mixes are worked out for.
var someCounts = [...]int{1, 5, 10, 20}

func (s *site) mixingSheet() *sheet {
	sizes := s.sizes()
	if len(sizes) == 0 {
		return nil
	}
	sh := &sheet{Caption: s.Say("Mix for so many pots, measured loose"), Head: []string{s.Say("Pot")}}
	for _, n := range someCounts {
		sh.Head = append(sh.Head, s.countDigits(n, "pot"))
	}
	for _, x := range sizes {
		row := []template.HTML{known(x.Litres, s.litres)}
		for _, n := range someCounts {
			row = append(row, known(pots.MixFor(x, n), s.litres))
		}
		sh.Rows = append(sh.Rows, row)
	}
	return sh
}

// someLitres are the volumes that recipes are worked out for.
var someLitres = [...]float64{10, 50, 100}

// recipe is a mix with its parts.
type recipe struct {
	name  string
	names []string
	parts []float64
}

// recipes are the club's mixes whose parts are all stated.
func (s *site) recipes() []recipe {
	var order []string
	by := map[string]*recipe{}
	broken := map[string]bool{}
	for i := range s.club.Mixes {
		m := &s.club.Mixes[i]
		id := string(m.ID)
		r := by[id]
		if r == nil {
			r = &recipe{name: id}
			by[id] = r
			order = append(order, id)
		}
		if m.Name != "" {
			r.name = s.in(m.Row, "name", m.Name)
		}
		if !m.Parts.Set || m.Parts.Value <= 0 {
			broken[id] = true
		}
		r.names, r.parts = append(r.names, s.in(m.Row, "part", m.Part)), append(r.parts, m.Parts.Or(0))
	}
	var out []recipe
	for _, id := range order {
		if !broken[id] {
			out = append(out, *by[id])
		}
	}
	return out
}

func (s *site) mixBlocks() []mixBlock {
	var out []mixBlock
	for _, r := range s.recipes() {
		b := mixBlock{Name: r.name, Sheet: sheet{Caption: s.Say("%s, by volume", r.name), Head: []string{s.Say("Part|of a mix"), s.Say("Parts|of a mix"), s.Say("Share|of a mix")}}}
		for _, l := range someLitres {
			b.Sheet.Head = append(b.Sheet.Head, s.Say("for %s|a volume of mix", s.text(s.Trimmed(l, 0)+"\u00a0L", s.Trimmed(l/pots.LitresPerGallon, 1)+"\u00a0gal")))
		}
		shares := pots.Shares(r.parts)
		for i := range r.parts {
			row := []template.HTML{cell(r.names[i]), cell(s.Trimmed(r.parts[i], 1)), cell(s.percent(shares[i]))}
			for _, l := range someLitres {
				row = append(row, s.litres(pots.Volumes(r.parts, l)[i]))
			}
			b.Sheet.Rows = append(b.Sheet.Rows, row)
		}
		out = append(out, b)
	}
	return out
}
