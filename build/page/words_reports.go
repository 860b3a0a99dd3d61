package page

import (
	"fmt"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

// fewGrowers is the number of growers below which nothing is counted aloud: a
// reader could tell who stands behind a figure.
const fewGrowers = 3

// growersWords counts growers, or says that they are too few to be counted.
func (s *site) growersWords(n int) string {
	if n < fewGrowers {
		return "fewer than 3 growers"
	}
	return s.countDigits(n, "grower")
}

// reportsOf says how many reports of how many growers there are: "14 reports
// of 6 growers".
func (s *site) reportsOf(reports, growers int) string {
	return s.countDigits(reports, "report") + " of " + s.growersWords(growers)
}

// learnedWords says what a heat need rests on, as a sentence says it.
func (s *site) learnedWords(basis string, reports, growers int) string {
	if basis == "reports" && growers >= fewGrowers {
		return "learned from " + s.reportsOf(reports, growers)
	}
	return "not yet enough reports: " + restsWords(basis)
}

// shortBasis is learnedWords for the small print of a table row.
func (s *site) shortBasis(basis string, reports, growers int) string {
	if basis == "reports" && growers >= fewGrowers {
		return s.reportsOf(reports, growers)
	}
	return restsWords(basis)
}

// restsWords says what stands in where reports are too few.
func restsWords(basis string) string {
	switch basis {
	case "cultivar-row":
		return "rests on its own row"
	case "class":
		return "rests on its class"
	case "crop":
		return "rests on its crop"
	case "reports":
		return "rests on what was known before"
	}
	return "no heat need known"
}

// notFinished says in how many years nothing ripens in time. It is what the
// printed odds leave of ten, so that the two always add up.
func notFinished(odds float64) string {
	const before = "not ripe before the season ends in "
	switch n := yearsLevel(odds); n {
	case 0:
		return before + "more than 9 years of 10"
	case 10:
		return before + "fewer than 1 year of 10"
	case 9:
		return before + "1 year of 10"
	default:
		return before + fmt.Sprintf("%d years of 10", 10-n)
	}
}

// ripeKnown tells whether an answer has days of first ripening at all: one
// that ripens often enough for them but has none was asked without them.
func ripeKnown(o *almanac.Odds) bool {
	return !o.FirstRipe[0].None || hundredths(o.Odds) <= 10
}

// ripeSpan is the first-ripe band of a cell: dates by which 1 and 9 years in
// 10 have ripe fruit. Where the later one runs into the season's end, the risk
// of not finishing stands in its place.
func (s *site) ripeSpan(h day.Hemisphere, o *almanac.Odds) string {
	if !ripeKnown(o) {
		return "–"
	}
	return s.span(h, o.FirstRipe, o.Odds)
}

// shortSpan is ripeSpan for tables of many numbers.
func (s *site) shortSpan(h day.Hemisphere, ripe [3]almanac.Point, odds float64) string {
	if a, b := ripe[0], ripe[2]; a.None || !b.None {
		return s.span(h, ripe, odds)
	}
	risk := ""
	switch n := yearsLevel(odds); n {
	case 0:
		risk = "over 9"
	case 10:
		risk = "under 1"
	default:
		risk = fmt.Sprint(10 - n)
	}
	return "from " + s.shortDate(h, ripe[0].Rank) + ", not in " + risk + " of 10"
}

func (s *site) span(h day.Hemisphere, ripe [3]almanac.Point, odds float64) string {
	switch a, b := ripe[0], ripe[2]; {
	case a.None:
		return "hardly ever"
	case !b.None:
		return s.shortDate(h, a.Rank) + " – " + s.shortDate(h, b.Rank)
	default:
		return "from " + s.shortDate(h, a.Rank) + "; " + notFinished(odds)
	}
}

// takeReason says why no way of growing reaches a target.
func (s *site) takeReason(reason string) string {
	switch reason {
	case "too-little-heat":
		return "no way of growing brings enough heat here"
	case "wood-killed":
		return "winters kill the wood too often"
	}
	short, _ := s.reasonWords(reason)
	return short
}

// beatenWords says how a plain rule compares with the almanac.
func beatenWords(beaten string) string {
	switch beaten {
	case "yes":
		return "the almanac beats it"
	case "no":
		return "the almanac does not beat it"
	case "tie":
		return "a tie"
	}
	return "–"
}

// warmRank says how a season's heat so far stands among the reference years.
func (s *site) warmRank(rank, of int) string {
	switch {
	case of == 0:
		return ""
	case rank >= of:
		return fmt.Sprintf("more than in any of the %s of reference by that day", s.countDigits(of, "year"))
	case rank <= 0:
		return fmt.Sprintf("less than in any of the %s of reference by that day", s.countDigits(of, "year"))
	}
	return fmt.Sprintf("more than in %d of the %s of reference by that day", rank, s.countDigits(of, "year"))
}
