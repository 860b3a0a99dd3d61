package page

import (
	"html/template"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// needOf finds the heat need of one crop part, or nil.
func (s *site) needOf(k oddsKey) *almanac.HeatNeed { return s.needs[k] }

func indexNeeds(list []almanac.HeatNeed) map[oddsKey]*almanac.HeatNeed {
	m := make(map[oddsKey]*almanac.HeatNeed, len(list))
	for i := range list {
		m[oddsKey{list[i].Cultivar, list[i].Part}] = &list[i]
	}
	return m
}

// needBlock is what is known of a heat need, in words and in a table.
type needBlock struct {
	Words  []template.HTML
	Before *sheet // before any report and now, side by side
}

// needWords says what one crop part needs and what that rests on.
func (s *site) needWords(c *club.Cultivar, any *almanac.Odds, n *almanac.HeatNeed) needBlock {
	base, mu, sd := s.baseOf(c), any.Mu, s.heat(any.Sd)
	basis, reports, growers := any.Basis, any.Reports, any.Growers
	if n != nil {
		base, mu, basis, reports, growers = n.BaseC, n.Mu, n.Basis, n.Reports, n.Growers
	}
	lead := template.HTML(s.Say("From leaf-out to the first ripe fruit it needs about %s above %s, give or take %s between gardens and years.", s.heat(mu), s.temp(base, 0), sd) +
		" <b>" + esc(upperFirst(s.learnedWords(basis, reports, growers))) + ".</b>")
	b := needBlock{Words: []template.HTML{lead}}
	if n == nil {
		return b
	}
	if text := s.countsWords(n); text != "" {
		b.Words = append(b.Words, cell(text))
	}
	b.Words = append(b.Words, s.scatterWords(n))
	if !n.Few() {
		b.Before = s.beforeAndNow(n)
	}
	return b
}

// countsWords says which reports stand behind a need and which wait. Below
// three growers nothing is counted.
func (s *site) countsWords(n *almanac.HeatNeed) string {
	if n.Few() {
		if n.Growers > 0 || n.Waiting > 0 || n.Held > 0 {
			return s.Say("Reports of fewer than 3 growers are kept waiting until there are more; until then they change nothing.")
		}
		return s.Say("Nobody has reported it yet: three growers’ reports are needed before they count.")
	}
	var parts []string
	if n.Censored > 0 {
		parts = append(parts, s.Count(n.Censored, "%d of them says only “not yet ripe” or “already ripe”, which counts too",
			"%d of them say only “not yet ripe” or “already ripe”, which counts too", n.Censored))
	}
	if n.Held > 0 {
		parts = append(parts, s.Count(n.Held, "%s is held back because it does not fit", "%s are held back because they do not fit", s.countDigits(n.Held, "report")))
	}
	if n.Waiting > 0 {
		parts = append(parts, s.Count(n.Waiting, "%s waits", "%s wait", s.countDigits(n.Waiting, "report")))
	}
	if len(parts) == 0 {
		return ""
	}
	return upperFirst(strings.Join(parts, s.Say("; |between clauses"))) + "."
}

// apart is the mean distance of two draws from one normal scatter, in its
// standard deviations: 2/√π.
const apart = 1.1284

// scatterWords says how far gardens and years lie apart, in days as well where
// the pace of the club's midsummer is known.
func (s *site) scatterWords(n *almanac.HeatNeed) template.HTML {
	pace := s.summerPace()
	if pace <= 0 {
		return template.HTML(s.Say("Gardens scatter by %s, years in one garden by %s.", s.heat(n.GardenSd), s.heat(n.YearSd)))
	}
	days := func(sd float64) string { return esc(s.countWords(int(math.Round(sd*apart/pace)), "day")) }
	return template.HTML(s.Say("Two gardens in the same town differ by about %s, two years in the same garden by about %s: gardens scatter by %s, years by %s, and a middling midsummer day here brings about %s.",
		days(n.GardenSd), days(n.YearSd), s.heat(n.GardenSd), s.heat(n.YearSd), s.heat(math.Round(pace))))
}

// summerPace is the heat of a midsummer day, °C·d: the steepest four weeks of
// the normal year of the club's middle town.
func (s *site) summerPace() float64 {
	var all []float64
	for i := range s.book.Towns {
		c := &s.book.Towns[i].HeatNormal
		best := 0.0
		for j := 4; j < len(c)-1; j++ {
			best = max(best, float64(c[j]-c[j-4])/28)
		}
		if best > 0 {
			all = append(all, best)
		}
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// beforeAndNow sets what was known before any report beside what is known now.
func (s *site) beforeAndNow(n *almanac.HeatNeed) *sheet {
	doubt := func(se float64) template.HTML { return "± " + s.heat(math.Round(se)) }
	return &sheet{Caption: s.Say("What the reports changed"), Head: []string{"", s.Say("Heat need"), s.Say("Doubt of that figure"), s.Say("Rests on")}, Rows: [][]template.HTML{
		{cell(s.Say("Before any report")), s.heat(n.PriorMu), doubt(n.PriorSE), cell(upperFirst(s.basisName(n.PriorBasis)))},
		{cell(s.Say("Now|with the reports")), s.heat(n.Mu), doubt(n.SE), cell(upperFirst(s.nowBasis(n)))},
	}}
}

func (s *site) basisName(basis string) string {
	switch basis {
	case "reports":
		return s.Say("members’ reports|rests on")
	case "cultivar-row":
		return s.Say("its own row|rests on")
	case "class":
		return s.Say("its class|rests on")
	case "crop":
		return s.Say("its crop|rests on")
	}
	return s.Say("nothing yet|rests on")
}

func (s *site) nowBasis(n *almanac.HeatNeed) string {
	if n.Basis == "reports" {
		return s.reportsOf(n.Reports, n.Growers)
	}
	return s.basisName(n.Basis)
}
