package page

import (
	"html/template"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
)

// answer is a grower's question and what the town's figures say to it.
type answer struct {
	Question string
	Text     template.HTML
}

// answers are the questions that a town's page answers before it shows
// anything.
func (s *site) answers(t *almanac.Town, by *oddsBy, p paths) []answer {
	var out []answer
	add := func(q, text string) {
		if text != "" {
			out = append(out, answer{q, template.HTML(text)})
		}
	}
	add(s.Say("How long is the season?"), s.seasonAnswer(t))
	add(s.Say("What ripens in most years?"), s.ripeAnswer(t, by, p))
	add(s.Say("Can trees stay in the ground?"), s.groundAnswer(by, p))
	add(s.Say("When do pots go out, and in again?"), s.outAnswer(t))
	add(s.Say("Is it worth carrying pots in every night?"), s.everyNightAnswer(t, by))
	add(s.Say("How cold is the winter?"), s.winterAnswer(t))
	add(s.Say("Does it rain on ripe fruit?"), s.rainAnswer(t, p))
	add(s.Say("How much water does a pot want?"), s.waterAnswer(t))
	add(s.Say("How much do gardens differ?"), s.gardensOf(t, by, p))
	return out
}

func (s *site) seasonAnswer(t *almanac.Town) string {
	spring, autumn, free := t.Normal("last_spring_freeze_0"), t.Normal("first_autumn_freeze_0"), t.Normal("freeze_free_days_0")
	if spring == nil || autumn == nil || !spring.P[8].OK || !autumn.P[0].OK {
		return esc(s.Say("The record is too short to say."))
	}
	text := s.freezesAnswer(t, spring.P[8], autumn.P[0])
	if free != nil && free.P[4].OK && free.P[0].OK && !free.P[4].None && !free.P[0].None {
		text += " " + s.Say("The middle year has %s without a freeze; 1 year in 10 has fewer than %s.",
			s.countDigits(int(free.P[4].V), "day"), s.Whole(int(free.P[0].V)))
	}
	return esc(text)
}

// freezesAnswer says when the late freezes of spring and the early ones of
// autumn come.
func (s *site) freezesAnswer(t *almanac.Town, late, early climate.Point) string {
	switch {
	case late.None && early.None:
		return s.Say("Spring freezes come in fewer than 1 year in 10, and autumn freezes come in fewer than 1 year in 10.")
	case late.None:
		return s.Say("Spring freezes come in fewer than 1 year in 10, and one comes before %s in 1 year in 10.", s.rankWords(t, early))
	case early.None:
		return s.Say("A freeze comes after %s in 1 year in 10, and autumn freezes come in fewer than 1 year in 10.", s.rankWords(t, late))
	}
	return s.Say("A freeze comes after %s in 1 year in 10, and one comes before %s in 1 year in 10.", s.rankWords(t, late), s.rankWords(t, early))
}

func (s *site) ripeAnswer(t *almanac.Town, by *oddsBy, p paths) string {
	var text, told []string
	for i, m := range s.key {
		if m.Place == "ground" {
			continue
		}
		pr := s.promiseOf(by, m)
		if !pr.known {
			continue
		}
		how := upperFirst(s.methodIn(m))
		if pr.weeks > 0 {
			how = s.Count(pr.weeks, "%s (%d week)", "%s (%d weeks)", how, pr.weeks)
		}
		how = esc(how)
		more := slices.DeleteFunc(slices.Clone(pr.good), func(id string) bool { return slices.Contains(told, id) })
		told = append(told, more...)
		switch {
		case len(pr.good) == 0 && len(pr.breba) == 0:
			text = append(text, s.Say("%s: none reaches 8 years in 10.", how))
		case len(pr.good) == 0:
			text = append(text, s.Say("%s: no main crop, only the brebas of %s.", how, s.names(pr.breba, p, 3)))
		case i == 0:
			text = append(text, s.Say("%s: %s.|a way of growing and what ripens so", how, s.names(pr.good, p, 6)))
			if len(pr.breba) > 0 {
				text = append(text, s.Say("Brebas only: %s.", s.names(pr.breba, p, 3)))
			}
			if o := firstOf(by, pr.good[0], string(m.ID)); o != nil && !o.FirstRipe[1].None {
				text = append(text, esc(s.Say("The surest, %s, has its first ripe %s by %s in 1 year in 2.", s.cultivarName(o.Cultivar),
					s.fruitWord(o), s.dateWords(t.Hemisphere, o.FirstRipe[1].Rank))))
			}
		case len(more) == 0:
			text = append(text, s.Say("%s: the same ones, earlier and more surely.", how))
		default:
			text = append(text, s.Say("%s: also %s.", how, s.names(more, p, 4)))
		}
	}
	return strings.Join(text, " ")
}

// fruitWord names one fruit of an answer.
func (s *site) fruitWord(o *almanac.Odds) string {
	name := s.Say("fruit|one of an unknown kind")
	if crop := s.cropName(o.Cultivar); crop != "" {
		name = strings.ToLower(crop)
	}
	if o.Part == "breba" {
		return s.Say("breba %s", name)
	}
	return name
}

func firstOf(by *oddsBy, cultivar, method string) *almanac.Odds {
	var best *almanac.Odds
	for _, part := range []string{"main", "breba"} {
		if o := by.at[oddsKey{cultivar, part}][method]; o != nil && o.Reason == "" && (best == nil || o.Odds > best.Odds) {
			best = o
		}
	}
	return best
}

func (s *site) groundAnswer(by *oddsBy, p paths) string {
	var text []string
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		if m.Place != "ground" {
			continue
		}
		var live []string
		known := false
		for _, c := range s.club.Cultivars {
			w := by.winters[string(c.ID)][string(m.ID)]
			known = known || w != nil
			if survivesGround(w) {
				live = append(live, string(c.ID))
			}
		}
		if !known {
			continue
		}
		how := esc(upperFirst(s.methodIn(m)))
		switch n := len(live); n {
		case 0:
			text = append(text, s.Say("%s: no cultivar keeps its wood in 8 winters in 10.", how))
		case 1:
			text = append(text, s.Say("%s: one cultivar keeps living wood in 8 winters in 10 (%s).", how, s.names(live, p, 4)))
		default:
			text = append(text, s.Count(n, "%s: %s cultivar keeps living wood in 8 winters in 10 (%s).",
				"%s: %s cultivars keep living wood in 8 winters in 10 (%s).", how, s.numberWord(n), s.names(live, p, 4)))
		}
	}
	if len(text) == 0 {
		return ""
	}
	text = append(text, esc(s.Say("Living wood is not yet a crop: the table below counts both.")))
	return strings.Join(text, " ")
}

func (s *site) outAnswer(t *almanac.Town) string {
	pl := planOf(t, s.plain)
	if pl == nil {
		return ""
	}
	var text []string
	if !pl.DormantOut.None {
		text = append(text, s.Say("Dormant pots can go out from %s (a night that hurts them comes later in 1 year in 10).", s.dateWords(t.Hemisphere, pl.DormantOut.Rank)))
	}
	for _, m := range s.key {
		q := planOf(t, m)
		if q == nil || m.Place == "ground" || m.HeadStartWeeks.Or(0) == 0 || q.Wake.None || q.Out.None {
			continue
		}
		text = append(text, s.Count(q.Weeks, "For %d week’s head start wake them around %s; pots in leaf go out after %s.",
			"For %d weeks’ head start wake them around %s; pots in leaf go out after %s.", q.Weeks, s.dateWords(t.Hemisphere, q.Wake.Rank), s.dateWords(t.Hemisphere, q.Out.Rank)))
		if c := carried(t, string(m.ID)); c != nil && c.CarriedMean >= 0.5 {
			text = append(text, s.Say("Expect to carry them in on about %s a year (%s in a bad year).",
				s.countDigits(int(math.Round(c.CarriedMean)), "night"), s.Trimmed(c.CarriedP90, 0)))
		}
		break
	}
	if !pl.In.None {
		text = append(text, s.Say("Plan to bring pots in around %s.", s.dateWords(t.Hemisphere, pl.In.Rank)))
	}
	return esc(strings.Join(text, " "))
}

// nightsIn is the temperature from which on a way of growing that carries pots
// in at it does so for warmth, not for frost alone.
const nightsIn = 8.0

// everyNightAnswer says what carrying pots in on every cool night buys beside
// the usual head start, which is carried in from frost alone.
func (s *site) everyNightAnswer(t *almanac.Town, by *oddsBy) string {
	find := func(all []*club.Method, below bool) *club.Method {
		i := slices.IndexFunc(all, func(m *club.Method) bool {
			return m.Place == "pot" && m.HeadStartWeeks.Or(0) > 0 && m.CarryBelowC.Set && m.CarryBelowC.Value < nightsIn == below
		})
		if i < 0 {
			return nil
		}
		return all[i]
	}
	var all []*club.Method
	for i := range s.club.Methods {
		all = append(all, &s.club.Methods[i])
	}
	often, seldom := find(all, false), find(s.key, true)
	if often == nil || seldom == nil {
		return ""
	}
	a, b, nights := s.promiseOf(by, often), s.promiseOf(by, seldom), carried(t, string(often.ID))
	if !a.known || !b.known || nights == nil {
		return ""
	}
	return s.Say("Bringing pots in whenever the night falls to %s takes about %s a year. Ripe 8 years in 10 that way, with a head start of %s: %s. Brought in at %s alone, with %s: %s.",
		s.temp(often.CarryBelowC.Value, 0), esc(s.countDigits(int(math.Round(nights.CarriedMean)), "night")), esc(s.countDigits(a.weeks, "week")), esc(s.countWords(len(a.good), "cultivar")),
		s.temp(seldom.CarryBelowC.Value, 0), esc(s.countDigits(b.weeks, "week")), esc(s.countWords(len(b.good), "cultivar")))
}

// carried finds an answer that tells how many nights a method's pots are
// carried in; nights do not depend on the cultivar, only on its crop.
func carried(t *almanac.Town, method string) *almanac.Odds {
	for i := range t.Odds {
		if o := &t.Odds[i]; o.Method == method && o.Reason == "" {
			return o
		}
	}
	return nil
}

// usefulEnd says when warmth becomes too little for a good fruit, by the
// town's mean year.
func (s *site) usefulEnd(t *almanac.Town) string {
	for i := range s.club.Crops {
		c := &s.club.Crops[i]
		if c.RipeningModel == "none" || !c.UsefulEndC.Set {
			continue
		}
		peak := 0
		for j := range t.Mean10 {
			if t.Mean10[j] > t.Mean10[peak] {
				peak = j
			}
		}
		for j := peak; j < len(t.Mean10); j++ {
			if float64(t.Mean10[j]) < c.UsefulEndC.Value && float64(t.Mean10[peak]) >= c.UsefulEndC.Value {
				return s.Say("Flavour falls earlier: from about %s on, ten days are cooler than %s on average.",
					s.dateWords(t.Hemisphere, almanac.RankAt(j)), s.tempText(c.UsefulEndC.Value, 0))
			}
		}
		return ""
	}
	return ""
}

func planOf(t *almanac.Town, m *club.Method) *almanac.Plan {
	if m == nil {
		return nil
	}
	for i := range t.Plans {
		if t.Plans[i].Method == string(m.ID) {
			return &t.Plans[i]
		}
	}
	return nil
}

func (s *site) winterAnswer(t *almanac.Town) string {
	n, zone := t.Normal("winter_min_c"), t.Normal("hardiness_zone")
	if n == nil || !n.Mean.OK {
		return ""
	}
	text := s.Say("The coldest night of a winter is %s on average.", s.temp(n.Mean.V, 1))
	if zone != nil && zone.Zone != "" {
		text = s.Say("The coldest night of a winter is %s on average, which makes this hardiness zone %s.", s.temp(n.Mean.V, 1), esc(zone.Zone))
	}
	if n.P[0].OK {
		text += " " + s.Say("In 1 winter in 10 it is %s or colder.", s.temp(n.P[0].V, 1))
	}
	return text
}
