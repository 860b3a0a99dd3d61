package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// Shares of winters that divide a store into words (judgement). Too warm is not
// told by a count of days, which spring has in any store, but by what warmth
// does: the pots wake before they go out.
const (
	seldomCold = 0.2
	oftenCold  = 0.5
)

// coldWords says how often a store is too cold: "too cold in most winters".
func coldWords(with, winters int) string {
	switch share := float64(with) / float64(winters); {
	case with == 0:
		return "never too cold"
	case with == winters:
		return "too cold in every winter"
	case share >= oftenCold:
		return "too cold in most winters"
	case share >= seldomCold:
		return "too cold in some winters"
	}
	return "seldom too cold"
}

// ofWinters counts winters: "25 of 27".
func ofWinters(n, of int) string { return fmt.Sprintf("%d of %d", n, of) }

// beyondWords is a cell of days beyond a limit: "25 of 27 winters, 11 days in
// the middle one".
func (s *site) beyondWords(set bool, with, winters int, days float64) string {
	switch {
	case !set:
		return "–"
	case with == 0:
		return "never"
	}
	often := fmt.Sprintf("in %s %s", ofWinters(with, winters), s.Count(winters, "winter", "winters"))
	if days == 0 {
		return often + ", no day in the middle one"
	}
	return often + ", " + s.countDigits(int(days), "day") + " in the middle one"
}

// winterLead answers whether stores are too cold, all at once.
func (s *site) winterLead(crop *club.Crop, pairs []storePair, ground *groundBlock) template.HTML {
	if len(pairs) == 0 || !crop.StoreLowC.Set {
		if ground != nil {
			return ground.Lead
		}
		return "There is nothing to say of stores here: no store has a winter that counts."
	}
	words := []string{"too cold in every winter", "too cold in most winters", "too cold in some winters", "seldom too cold", "never too cold"}
	by := map[string][]string{}
	for _, x := range pairs {
		w := coldWords(x.bare.WithBelow, x.bare.Winters)
		by[w] = append(by[w], "the "+lowerFirst(s.storeName(x.bare.Store)))
	}
	var parts []string
	for _, w := range words {
		if names := by[w]; len(names) > 0 {
			verb := "is"
			if len(names) > 1 {
				verb = "are"
			}
			parts = append(parts, s.List(names)+" "+verb+" "+w)
		}
	}
	text := esc("For bare "+lowerFirst(string(crop.Name))+" pots") + ", which should not fall below " + string(s.tempTrim(crop.StoreLowC.Value)) + ", " + esc(strings.Join(parts, "; ")) + "."
	worst := pairs[0].bare
	for _, x := range pairs {
		if x.bare.LowestP50 < worst.LowestP50 {
			worst = x.bare
		}
	}
	text += " In the middle winter the " + esc(lowerFirst(s.storeName(worst.Store))) + " falls to " + string(s.temp(worst.LowestP50, 1)) + "."
	return template.HTML(text)
}

// storeAnswer says of one store how cold and how warm it gets, and when the
// pots wake in it.
func (s *site) storeAnswer(t *almanac.Town, crop *club.Crop, r *almanac.StoreWinter) template.HTML {
	pots := esc(lowerFirst(string(crop.Name)) + " pots")
	var text string
	if crop.StoreLowC.Set {
		limit := string(s.tempTrim(crop.StoreLowC.Value))
		verdict := coldWords(r.WithBelow, r.Winters)
		text = "It is <b>" + verdict + "</b> for bare " + pots + ": "
		switch {
		case r.WithBelow == 0:
			text += fmt.Sprintf("in none of %s did it fall below %s.", s.countDigits(r.Winters, "winter"), limit)
		case r.BelowP50 == 0:
			text += fmt.Sprintf("it falls below %s in %s %s, on no day in the middle one and on %s or more in 1 winter in 10.", limit, ofWinters(r.WithBelow, r.Winters), s.Count(r.Winters, "winter", "winters"), s.countDigits(int(r.BelowP90), "day"))
		default:
			text += fmt.Sprintf("it falls below %s in %s %s, on %s in the middle one and on %s or more in 1 winter in 10.", limit, ofWinters(r.WithBelow, r.Winters), s.Count(r.Winters, "winter", "winters"),
				s.countDigits(int(r.BelowP50), "day"), s.countDigits(int(r.BelowP90), "day"))
		}
	}
	text += " The lowest is " + string(s.temp(r.LowestP50, 1)) + " in the middle winter and " + string(s.temp(r.LowestP10, 1)) + " or less in 1 winter in 10."
	if crop.StoreHighC.Set {
		limit := string(s.tempTrim(crop.StoreHighC.Value))
		switch {
		case r.WithAbove == 0:
			text += " It never rises above " + limit + " while the pots are in."
		case r.AboveP50 == 0:
			text += fmt.Sprintf(" It rises above %s in %s %s, on no day in the middle one.", limit, ofWinters(r.WithAbove, r.Winters), s.Count(r.Winters, "winter", "winters"))
		default:
			text += fmt.Sprintf(" It rises above %s on %s in the middle winter, counted from autumn to the day they go out.", limit, s.countDigits(int(r.AboveP50), "day"))
		}
	}
	switch {
	case !r.WakesP50.None:
		text += " It is <b>too warm to sleep on in</b>: they wake around <b>" + esc(s.dateWords(t.Hemisphere, r.WakesP50.Rank)) + "</b>, in an early year, 1 in 10, around " + esc(s.dateWords(t.Hemisphere, r.WakesP10.Rank)) + "."
	case !r.WakesP10.None:
		text += " In 1 winter in 10 they wake in it, around " + esc(s.dateWords(t.Hemisphere, r.WakesP10.Rank)) + "; in the middle one they sleep until they go out."
	default:
		text += " They sleep in it until they go out."
	}
	if r.Fitted {
		text += " The store is followed by a member’s own readings here."
	}
	return template.HTML(text)
}

// wrapWords says what wrapping buys: the difference of the two rows.
func (s *site) wrapWords(crop *club.Crop, x storePair) template.HTML {
	gain := x.wrapped.LowestP50 - x.bare.LowestP50
	text := "<b>Wrapping</b> "
	switch {
	case gain >= 0.05:
		text += "keeps the lowest of the middle winter " + string(s.diff(gain, 1)) + " higher"
	default:
		text += "does not change the lowest of the middle winter"
	}
	if crop.StoreLowC.Set {
		a, b := x.bare, x.wrapped
		limit := string(s.tempTrim(crop.StoreLowC.Value))
		switch {
		case a.WithBelow == 0 && b.WithBelow == 0:
			text += "; " + limit + " is not a danger either way"
		case a.BelowP50 == b.BelowP50 && a.WithBelow == b.WithBelow:
			text += fmt.Sprintf(" and saves no day below %s: %s in the middle winter either way", limit, s.countDigits(int(a.BelowP50), "day"))
		default:
			text += fmt.Sprintf(" and takes the days below %s from %d to %d in the middle winter", limit, int(a.BelowP50), int(b.BelowP50))
			if a.WithBelow == b.WithBelow {
				text += ", though such a day still comes in as many winters"
			} else {
				text += fmt.Sprintf(", the winters with such a day from %d to %d", a.WithBelow, b.WithBelow)
			}
		}
	}
	return template.HTML(text + ". It delays the cold and does not keep it out: it helps through a night more than through a week.")
}

// fitWords says what a member's log tells of a store.
func (s *site) fitWords(f *almanac.StoreFit) template.HTML {
	name := esc(lowerFirst(s.storeName(f.Store)))
	if f.Problem != "" {
		return template.HTML("<b>" + upperFirst(name) + ": no fit yet.</b> " + esc(upperFirst(f.Problem)) + ". Until then the figures of the club’s table stand.")
	}
	with := func(v, se float64, dec int, unit string) string {
		if math.IsNaN(se) {
			return esc(s.Fixed(v, dec) + unit + " (its error cannot be told)")
		}
		if step := math.Pow(10, -float64(dec)); se < step/2 {
			return esc(s.Fixed(v, dec) + unit + " (± less than " + s.Fixed(step, dec) + unit + ")")
		}
		return esc(s.Fixed(v, dec) + " ± " + s.Fixed(se, dec) + unit)
	}
	text := "<b>" + upperFirst(name) + ":</b> " + esc(s.countDigits(f.Readings, "reading")) + ", with outdoor lows that lie " + string(s.diff(f.SpanC, 1)) + " apart, give a time constant of " +
		with(f.TimeConstantH, f.TimeConstantSe, 0, "\u00a0h") + " and a house share of " + with(f.HouseShare, f.HouseShareSe, 2, "") + " (each ± one standard error). What the fit misses is " + string(s.diff(f.ResidualC, 1)) + " a reading. The figures of this store above use them."
	if f.AtEdge {
		text += " One of the two ran into the end of its range, so its error says too little: more readings would help."
	}
	return template.HTML(text)
}

// storeBands lists how figs take to a temperature in store. Growers' reports
// unless a row says otherwise; where sources differ the page shows the bands.
func (s *site) storeBands() *sheet {
	sh := &sheet{Caption: "What a temperature in store does to figs, pot and air", Head: []string{"Pot and air", "What happens", "Rests on"}}
	for _, b := range []struct {
		words      template.HTML
		what, from string
	}{
		{"above " + s.temp(10, 0) + " for weeks", "wakes early, and grows thin and pale in the dark", "growers’ reports"},
		{s.temp(7, 0) + " to " + s.temp(10, 0), "marginal; many get through to late February", "growers’ reports"},
		{s.temp(0, 0) + " to " + s.temp(5, 0), "best", "common practice"},
		{s.temp(-4, 0) + " to " + s.temp(0, 0), "older sleeping trees stand it", "growers’ reports"},
		{s.temp(-7, 0) + " to " + s.temp(-4, 0), "fine roots die first, young trees are lost, frozen mix dries the tree out", "growers’ reports"},
		{"below " + s.temp(-9, 0), "serious loss; below about " + string(s.temp(-12, 0)) + " the tops of most die, and roots in pots", "growers’ reports, common practice"},
	} {
		sh.Rows = append(sh.Rows, []template.HTML{b.words, template.HTML(b.what), cell(b.from)})
	}
	return sh
}

// bandBest names the band to be in.
const bandBest = "best"

// bandFields are the same bands for a chart, °C.
var bandFields = []struct {
	from, until float64
	label       string
}{
	{math.Inf(-1), -9, "serious loss"},
	{-7, -4, "fine roots die"},
	{-4, 0, "older trees stand it"},
	{0, 5, bandBest},
	{7, 10, "marginal"},
	{10, math.Inf(1), "wakes early"},
}
