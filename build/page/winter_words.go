package page

import (
	"html/template"
	"math"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// Shares of winters that divide a store into words (judgement). Too warm is not
// told by a count of days, which spring has in any store, but by what warmth
// does: the pots wake before they go out.
const (
	seldomCold = 0.2
	oftenCold  = 0.5
)

// howCold is how often a store is too cold, 0 for every winter to 4 for none.
func howCold(with, winters int) int {
	switch share := float64(with) / float64(winters); {
	case with == 0:
		return 4
	case with == winters:
		return 0
	case share >= oftenCold:
		return 1
	case share >= seldomCold:
		return 2
	}
	return 3
}

// ofWinters counts winters: "25 of 27".
func (s *site) ofWinters(n, of int) string { return s.Say("%d of %d|winters", n, of) }

// countWinters is ofWinters with the noun: "25 of 27 winters".
func (s *site) countWinters(n, of int) string {
	if of == 1 {
		return s.Say("%d of 1 winter", n)
	}
	return s.Count(n, "%d of %d winters|one of them", "%d of %d winters", n, of)
}

// beyondWords is a cell of days beyond a limit: "in 25 of 27 winters, 11 days
// in the middle one".
func (s *site) beyondWords(set bool, with, winters int, days float64) string {
	switch {
	case !set:
		return "–"
	case with == 0:
		return s.Say("never|too cold or too warm")
	}
	often := s.countWinters(with, winters)
	if days == 0 {
		return s.Say("in %s, no day in the middle one", often)
	}
	return s.Say("in %s, %s in the middle one", often, s.countDigits(int(days), "day"))
}

// coldStores says of stores how often they are too cold, all alike.
func (s *site) coldStores(how int, names []string) string {
	list, n := s.List(names), len(names)
	switch how {
	case 0:
		return s.Count(n, "%s is too cold in every winter", "%s are too cold in every winter", list)
	case 1:
		return s.Count(n, "%s is too cold in most winters", "%s are too cold in most winters", list)
	case 2:
		return s.Count(n, "%s is too cold in some winters", "%s are too cold in some winters", list)
	case 3:
		return s.Count(n, "%s is seldom too cold", "%s are seldom too cold", list)
	}
	return s.Count(n, "%s is never too cold", "%s are never too cold", list)
}

// winterLead answers whether stores are too cold, all at once.
func (s *site) winterLead(crop *club.Crop, pairs []storePair, ground *groundBlock) template.HTML {
	if len(pairs) == 0 || !crop.StoreLowC.Set {
		if ground != nil {
			return ground.Lead
		}
		return cell(s.Say("There is nothing to say of stores here: no store has a winter that counts."))
	}
	var by [5][]string
	var warm []string
	for _, x := range pairs {
		how, name := howCold(x.bare.WithBelow, x.bare.Winters), s.Say("the %s|a store", lowerFirst(s.storeName(x.bare.Store)))
		by[how] = append(by[how], name)
		if !x.bare.WakesP50.None {
			warm = append(warm, name)
		}
	}
	var parts []string
	for how, names := range by {
		if len(names) > 0 {
			parts = append(parts, s.coldStores(how, names))
		}
	}
	worst := pairs[0].bare
	for _, x := range pairs {
		if x.bare.LowestP50 < worst.LowestP50 {
			worst = x.bare
		}
	}
	text := upperFirst(s.Say("For bare %s pots, which should not fall below %s, %s.", esc(lowerFirst(s.in(crop.Row, "name", crop.Name))), string(s.tempTrim(crop.StoreLowC.Value)), esc(strings.Join(parts, s.Say("; |between stores")))))
	text += " " + s.Say("In the middle winter the %s falls to %s.", esc(lowerFirst(s.storeName(worst.Store))), string(s.temp(worst.LowestP50, 1)))
	if len(warm) > 0 {
		text += " " + s.Say("In %s trees wake before they go out.", esc(s.List(warm)))
	}
	return template.HTML(text)
}

// storeAnswer says of one store how cold and how warm it gets, and when the
// pots wake in it.
func (s *site) storeAnswer(t *almanac.Town, crop *club.Crop, r *almanac.StoreWinter) template.HTML {
	var text []string
	if crop.StoreLowC.Set {
		text = append(text, s.coldAnswer(crop, r))
	}
	text = append(text, s.Say("The lowest is %s in the middle winter and %s or less in 1 winter in 10.", string(s.temp(r.LowestP50, 1)), string(s.temp(r.LowestP10, 1))))
	if crop.StoreHighC.Set {
		limit := string(s.tempTrim(crop.StoreHighC.Value))
		switch {
		case r.WithAbove == 0:
			text = append(text, s.Say("It never rises above %s while the pots are in.", limit))
		case r.AboveP50 == 0:
			text = append(text, s.Say("It rises above %s in %s, on no day in the middle one.", limit, s.countWinters(r.WithAbove, r.Winters)))
		default:
			text = append(text, s.Say("It rises above %s on %s in the middle winter, counted from autumn to the day they go out.", limit, s.countDigits(int(r.AboveP50), "day")))
		}
	}
	date := func(p almanac.Point) string { return esc(s.dateWords(t.Hemisphere, p.Rank)) }
	switch {
	case !r.WakesP50.None:
		text = append(text, s.Say("It is <b>too warm to sleep on in</b>: they wake around <b>%s</b>, in an early year, 1 in 10, around %s.", date(r.WakesP50), date(r.WakesP10)))
	case !r.WakesP10.None:
		text = append(text, s.Say("In 1 winter in 10 they wake in it, around %s; in the middle one they sleep until they go out.", date(r.WakesP10)))
	default:
		text = append(text, s.Say("They sleep in it until they go out."))
	}
	if r.Fitted {
		text = append(text, s.Say("The store is followed by a member’s own readings here."))
	}
	return template.HTML(strings.Join(text, " "))
}

// coldAnswer says of one store how cold it gets against the crop's limit.
func (s *site) coldAnswer(crop *club.Crop, r *almanac.StoreWinter) string {
	name, limit := esc(lowerFirst(s.in(crop.Row, "name", crop.Name))), string(s.tempTrim(crop.StoreLowC.Value))
	if r.WithBelow == 0 {
		return s.Say("It is <b>never too cold</b> for bare %s pots: in none of %s did it fall below %s.", name, s.countDigits(r.Winters, "winter"), limit)
	}
	var days string
	if many := s.countDigits(int(r.BelowP90), "day"); r.BelowP50 == 0 {
		days = s.Say("it falls below %s in %s, on no day in the middle one and on %s or more in 1 winter in 10", limit, s.countWinters(r.WithBelow, r.Winters), many)
	} else {
		days = s.Say("it falls below %s in %s, on %s in the middle one and on %s or more in 1 winter in 10", limit, s.countWinters(r.WithBelow, r.Winters), s.countDigits(int(r.BelowP50), "day"), many)
	}
	switch howCold(r.WithBelow, r.Winters) {
	case 0:
		return s.Say("It is <b>too cold in every winter</b> for bare %s pots: %s.", name, days)
	case 1:
		return s.Say("It is <b>too cold in most winters</b> for bare %s pots: %s.", name, days)
	case 2:
		return s.Say("It is <b>too cold in some winters</b> for bare %s pots: %s.", name, days)
	}
	return s.Say("It is <b>seldom too cold</b> for bare %s pots: %s.", name, days)
}

// wrapWords says what wrapping buys: the difference of the two rows.
func (s *site) wrapWords(crop *club.Crop, x storePair) template.HTML {
	text := s.Say("<b>Wrapping</b> does not change the lowest of the middle winter")
	if gain := x.wrapped.LowestP50 - x.bare.LowestP50; gain >= 0.05 {
		text = s.Say("<b>Wrapping</b> keeps the lowest of the middle winter %s higher", string(s.diff(gain, 1)))
	}
	if crop.StoreLowC.Set {
		a, b := x.bare, x.wrapped
		limit := string(s.tempTrim(crop.StoreLowC.Value))
		switch {
		case a.WithBelow == 0 && b.WithBelow == 0:
			text = s.Say("%s; %s is not a danger either way", text, limit)
		case a.BelowP50 == b.BelowP50 && a.WithBelow == b.WithBelow:
			text = s.Say("%s and saves no day below %s: %s in the middle winter either way", text, limit, s.countDigits(int(a.BelowP50), "day"))
		case a.WithBelow == b.WithBelow:
			text = s.Say("%s and takes the days below %s from %d to %d in the middle winter, though such a day still comes in as many winters", text, limit, int(a.BelowP50), int(b.BelowP50))
		default:
			text = s.Say("%s and takes the days below %s from %d to %d in the middle winter, the winters with such a day from %d to %d", text, limit, int(a.BelowP50), int(b.BelowP50), a.WithBelow, b.WithBelow)
		}
	}
	return template.HTML(text + ". " + s.Say("It delays the cold and does not keep it out: it helps through a night more than through a week."))
}

// fitWords says what a member's log tells of a store.
func (s *site) fitWords(f *almanac.StoreFit) template.HTML {
	name := upperFirst(esc(lowerFirst(s.storeName(f.Store))))
	if f.Problem != "" {
		return template.HTML(s.Say("<b>%s: no fit yet.</b> %s. Until then the figures of the club’s table stand.", name, esc(upperFirst(s.fitProblem(f)))))
	}
	with := func(v, se float64, dec int, unit string) string {
		if math.IsNaN(se) {
			return esc(s.Say("%s (its error cannot be told)", s.Fixed(v, dec)+unit))
		}
		if step := math.Pow(10, -float64(dec)); se < step/2 {
			return esc(s.Say("%s (± less than %s)", s.Fixed(v, dec)+unit, s.Fixed(step, dec)+unit))
		}
		return esc(s.Fixed(v, dec) + " ± " + s.Fixed(se, dec) + unit)
	}
	text := s.Say("<b>%s:</b> %s, with outdoor lows that lie %s apart, give a time constant of %s and a house share of %s (each ± one standard error). What the fit misses is %s a reading. The figures of this store above use them.",
		name, esc(s.countDigits(f.Readings, "reading")), string(s.diff(f.SpanC, 1)), with(f.TimeConstantH, f.TimeConstantSe, 0, "\u00a0h"), with(f.HouseShare, f.HouseShareSe, 2, ""), string(s.diff(f.ResidualC, 1)))
	if f.AtEdge {
		text += " " + s.Say("One of the two ran into the end of its range, so its error says too little: more readings would help.")
	}
	return template.HTML(text)
}

// fitProblem says why a member's log gives no fit yet.
func (s *site) fitProblem(f *almanac.StoreFit) string {
	switch f.Lacks {
	case almanac.LacksLatitude:
		return s.Say("the hours of the day are not known without a latitude")
	case almanac.LacksReadings:
		return s.Count(f.Readings, "%d reading can be compared with the weather, a fit needs %d: give low_c, high_c and reset_on of more days", "%d readings can be compared with the weather, a fit needs %d: give low_c, high_c and reset_on of more days", f.Readings, almanac.FitReadings)
	case almanac.LacksSpan:
		return s.Say("the outdoor lows of the readings are %s\u00a0°C apart, a fit needs %d: read on in colder or milder weather", s.Fixed(f.SpanC, 1), almanac.FitSpanC)
	}
	return f.Problem
}

// storeBands lists how figs take to a temperature in store. Growers' reports
// unless a row says otherwise; where sources differ the page shows the bands.
func (s *site) storeBands() *sheet {
	sh := &sheet{Caption: s.Say("What a temperature in store does to figs, pot and air"), Head: []string{s.Say("Pot and air"), s.Say("What happens"), s.Say("Rests on|a source")}}
	temp := func(c float64) string { return string(s.temp(c, 0)) }
	between := func(low, high float64) string { return s.Say("%s to %s|temperatures", temp(low), temp(high)) }
	growers := s.Say("growers’ reports|a source")
	for _, b := range [][3]string{
		{s.Say("above %s for weeks", temp(10)), s.Say("wakes early, and grows thin and pale in the dark"), growers},
		{between(7, 10), s.Say("marginal; many get through to late February"), growers},
		{between(0, 5), s.Say("best|a temperature in store"), s.Say("common practice|a source")},
		{between(-4, 0), s.Say("older sleeping trees stand it"), growers},
		{between(-7, -4), s.Say("fine roots die first, young trees are lost, frozen mix dries the tree out"), growers},
		{s.Say("below %s", temp(-9)), s.Say("serious loss; below about %s the tops of most die, and roots in pots", temp(-12)), s.Say("growers’ reports, common practice|a source")},
	} {
		sh.Rows = append(sh.Rows, []template.HTML{template.HTML(b[0]), template.HTML(b[1]), cell(b[2])})
	}
	return sh
}

// bandBest names the band to be in.
var bandBest = words.Mark("best|a temperature in store")

// bandFields are the same bands for a chart, °C.
var bandFields = []struct {
	from, until float64
	label       string
}{
	{math.Inf(-1), -9, words.Mark("serious loss")},
	{-7, -4, words.Mark("fine roots die")},
	{-4, 0, words.Mark("older trees stand it")},
	{0, 5, bandBest},
	{7, 10, words.Mark("marginal|a temperature in store")},
	{10, math.Inf(1), words.Mark("wakes early")},
}
