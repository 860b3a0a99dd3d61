package page

import (
	"html/template"
	"math"

	"ripeward/build/pots"
	"ripeward/build/quantity"
)

// dilutions are those that injectors are sold with (1 part of stock to so many
// of water; common practice).
var dilutions = [...]float64{16, 64, 100, 200}

// grams prints a weight of feed to a hundredth of a gram.
func (s *site) grams(v float64) string { return s.Trimmed(v, 2) + "\u00a0g" }

// ppm prints a strength of nitrogen in water.
func (s *site) ppm(v float64) string { return s.Trimmed(v, 0) + "\u00a0ppm N" }

// feedSheet has the strength of each feed and what makes it.
func (s *site) feedSheet() *sheet {
	if len(s.club.Feeds) == 0 {
		return nil
	}
	sh := &sheet{Caption: s.Say("Feeds; the label’s rate is the most to give"), Head: []string{s.Say("Feed"), s.Say("Nitrogen"), s.Say("Strength in water"), s.Say("In water"), s.Say("How often")}}
	for i := range s.club.Feeds {
		f := &s.club.Feeds[i]
		row := htmlRow(s.in(f.Row, "name", f.Name), "–", "–", s.Say("dry, at the label’s rate"), "–")
		if f.NPercent.Set {
			row[1] = cell(s.Trimmed(f.NPercent.Value, 1) + "\u00a0%")
		}
		if f.PpmN.Set {
			row[2] = cell(s.ppm(f.PpmN.Value))
			row[3] = "–"
			if f.NPercent.Or(0) > 0 {
				g := pots.FeedGrams(f.PpmN.Value, f.NPercent.Value)
				row[3] = s.both(s.Say("%s in 1\u00a0L", s.grams(g)), s.Say("%s in 100\u00a0gal", s.Trimmed(pots.OuncesPer100Gallons(g), 1)+"\u00a0oz"))
			}
		}
		if f.EveryDays.Set {
			row[4] = cell(s.Say("every %s|so many days", s.countDigits(int(f.EveryDays.Value), "day")))
		}
		sh.Rows = append(sh.Rows, row)
	}
	return sh
}

// stockSheet has the grams in a litre of stock by dilution.
func (s *site) stockSheet() *sheet {
	sh := &sheet{Caption: s.Say("Stock for an injector: feed in 1\u00a0L of stock, by dilution"), Head: []string{s.Say("Feed")}}
	for _, d := range dilutions {
		sh.Head = append(sh.Head, "1:"+s.Trimmed(d, 0))
	}
	for i := range s.club.Feeds {
		f := &s.club.Feeds[i]
		if !f.PpmN.Set || f.NPercent.Or(0) <= 0 {
			continue
		}
		row := []template.HTML{cell(s.in(f.Row, "name", f.Name) + ", " + s.ppm(f.PpmN.Value))}
		for _, d := range dilutions {
			_, g := pots.Stock(f.PpmN.Value, f.NPercent.Value, d)
			row = append(row, cell(s.grams(g)))
		}
		sh.Rows = append(sh.Rows, row)
	}
	if len(sh.Rows) == 0 {
		return nil
	}
	return sh
}

// someEvaporations are the mm a day that water is worked out for.
var someEvaporations = [...]float64{2, 3, 4, 5, 6, 7}

func (s *site) millimetres(v float64) template.HTML {
	return s.both(s.Trimmed(v, 1)+"\u00a0mm", s.Fixed(v/quantity.MillimetresPerInch, 2)+"\u00a0in")
}

// waterSheets are a pot's litres a day, and the days it lasts, by evaporation.
func (s *site) waterSheets() (drinks, lasts *sheet) {
	sizes := s.sizes()
	if len(sizes) == 0 {
		return nil, nil
	}
	drinks = &sheet{Caption: s.Say("Water a day for a tree in full leaf, by the day’s evaporation"), Head: []string{s.Say("Pot")}}
	lasts = &sheet{Caption: s.Say("Days that a wet pot lasts without rain"), Head: []string{s.Say("Pot")}}
	for _, e := range someEvaporations {
		head := s.text(s.Trimmed(e, 0)+"\u00a0mm", s.Fixed(e/quantity.MillimetresPerInch, 2)+"\u00a0in")
		drinks.Head, lasts.Head = append(drinks.Head, head), append(lasts.Head, head)
	}
	for _, x := range sizes {
		a, b := []template.HTML{known(x.Litres, s.litres)}, []template.HTML{known(x.Litres, s.litres)}
		for _, e := range someEvaporations {
			a, b = append(a, known(x.NeedLitres(e, 1), s.litres1)), append(b, s.lastsCell(x.LastsDays(e)))
		}
		drinks.Rows, lasts.Rows = append(drinks.Rows, a), append(lasts.Rows, b)
	}
	return drinks, lasts
}

// lastsWords is lastsCell with its noun, in the form that goes with a share of
// a day too: "1.5 days".
func (s *site) lastsWords(days float64) string {
	n := string(s.lastsCell(days))
	switch {
	case n == "1":
		return s.Say("1 day")
	case days < 2:
		return s.Say("%s days|fewer than 2", n)
	}
	return s.Say("%s days", n)
}

// lastsCell prints days to a tenth, long ones whole.
func (s *site) lastsCell(days float64) template.HTML {
	switch {
	case math.IsNaN(days), math.IsInf(days, 0):
		return "–"
	case days >= 10:
		return cell(s.Grouped(math.Floor(days)))
	}
	return cell(s.Trimmed(days, 1))
}
