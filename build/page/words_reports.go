package page

import (
	"ripeward/build/almanac"
	"ripeward/build/day"
)

// growersWords counts growers, or says that they are too few to be counted.
func (s *site) growersWords(n int) string {
	if n < almanac.FewGrowers {
		return s.Say("fewer than 3 growers")
	}
	return s.countDigits(n, "grower")
}

// reportsOf says how many reports of how many growers there are: "14 reports
// of 6 growers".
func (s *site) reportsOf(reports, growers int) string {
	return s.Say("%s of %s|reports, growers", s.countDigits(reports, "report"), s.growersWords(growers))
}

// learnedWords says what a heat need rests on, as a sentence says it.
func (s *site) learnedWords(basis string, reports, growers int) string {
	if basis == "reports" && growers >= almanac.FewGrowers {
		return s.Say("learned from %s", s.reportsOf(reports, growers))
	}
	return s.Say("not yet enough reports: %s", s.restsWords(basis))
}

// shortBasis is learnedWords for the small print of a table row.
func (s *site) shortBasis(basis string, reports, growers int) string {
	if basis == "reports" && growers >= almanac.FewGrowers {
		return s.reportsOf(reports, growers)
	}
	return s.restsWords(basis)
}

// restsWords says what stands in where reports are too few.
func (v voice) restsWords(basis string) string {
	switch basis {
	case "cultivar-row":
		return v.Say("rests on its own row")
	case "class":
		return v.Say("rests on its class")
	case "crop":
		return v.Say("rests on its crop")
	case "reports":
		return v.Say("rests on what was known before")
	}
	return v.Say("no heat need known")
}

// notFinished says in how many years nothing ripens in time. It is what the
// printed odds leave of ten, so that the two always add up.
func (v voice) notFinished(odds float64) string {
	switch n := yearsLevel(odds); n {
	case 0:
		return v.Say("not ripe before the season ends in more than 9 years of 10")
	case 10:
		return v.Say("not ripe before the season ends in fewer than 1 year of 10")
	default:
		return v.Count(10-n, "not ripe before the season ends in %d year of 10", "not ripe before the season ends in %d years of 10", 10-n)
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
	from := s.shortDate(h, ripe[0].Rank)
	switch n := yearsLevel(odds); n {
	case 0:
		return s.Say("from %s, not in over 9 of 10", from)
	case 10:
		return s.Say("from %s, not in under 1 of 10", from)
	default:
		return s.Count(10-n, "from %s, not in %d of 10", "from %s, not in %d of 10", from, 10-n)
	}
}

func (s *site) span(h day.Hemisphere, ripe [3]almanac.Point, odds float64) string {
	switch a, b := ripe[0], ripe[2]; {
	case a.None:
		return s.Say("hardly ever")
	case !b.None:
		return s.shortDate(h, a.Rank) + " – " + s.shortDate(h, b.Rank)
	default:
		return s.Say("from %s; %s|a date, then what else may be", s.shortDate(h, a.Rank), s.notFinished(odds))
	}
}

// takeReason says why no way of growing reaches a target.
func (s *site) takeReason(reason string) string {
	switch reason {
	case "too-little-heat":
		return s.Say("no way of growing brings enough heat here")
	case "wood-killed":
		return s.Say("winters kill the wood too often")
	}
	short, _ := s.reasonWords(reason)
	return short
}

// beatenWords says how a plain rule compares with the almanac.
func (v voice) beatenWords(beaten string) string {
	switch beaten {
	case "yes":
		return v.Say("the almanac beats it")
	case "no":
		return v.Say("the almanac does not beat it")
	case "tie":
		return v.Say("a tie")
	}
	return "–"
}

// warmRank says how a season's heat so far stands among the reference years.
func (s *site) warmRank(rank, of int) string {
	switch {
	case of == 0:
		return ""
	case rank >= of:
		return s.Say("more than in any of the %s of reference by that day", s.countDigits(of, "year"))
	case rank <= 0:
		return s.Say("less than in any of the %s of reference by that day", s.countDigits(of, "year"))
	}
	return s.Say("more than in %d of the %s of reference by that day", rank, s.countDigits(of, "year"))
}
