package main

import (
	"fmt"
	"math"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
)

// told puts an explanation into words and tables.
type told struct {
	dir              string // the club's folder, for FILE:LINE
	e                *almanac.Explanation
	club             *club.Club
	town             *club.Town
	cultivar, method string // names
	ground           bool
	h                day.Hemisphere
}

func newTold(dir string, c *club.Club, e *almanac.Explanation) *told {
	t := &told{dir: dir, e: e, club: c, town: c.Town(club.Text(e.Town)), cultivar: e.Odds.Cultivar, method: e.Odds.Method}
	if cu := c.Cultivar(club.Text(e.Odds.Cultivar)); cu != nil {
		t.cultivar = oneLine(string(cu.Name))
	}
	if m := c.Method(club.Text(e.Odds.Method)); m != nil {
		t.method, t.ground = oneLine(string(m.Name)), m.Place == "ground"
	}
	t.h = day.HemisphereOf(t.town.Latitude.Or(0))
	return t
}

// title says what is asked: "Hearthling, main crop, in Ostermere: Plain pot,
// brebas removed, 5 weeks' head start".
func (t *told) title() string {
	o := &t.e.Odds
	s := fmt.Sprintf("%s, %s, in %s: %s", t.cultivar, partWords(o.Part), oneLine(string(t.town.Name)), t.method)
	if o.Brebas != "" && o.Part == "main" {
		s += ", brebas " + o.Brebas
	}
	if o.Weeks > 0 {
		s += ", " + count(o.Weeks, "week") + " of head start"
	}
	return s
}

// text is the whole explanation.
func (t *told) text() string {
	var b strings.Builder
	para := func(lines []string) { b.WriteString(strings.Join(lines, "\n") + "\n") }
	para(wrap("", "", t.title(), sheetColumns))
	para(wrap("", "", t.answer(), sheetColumns))
	b.WriteByte('\n')
	for _, x := range [][2]string{{"The need", t.need()}, {"The plan", t.plan()}, {"First ripe", t.firstRipe()}} {
		if x[1] != "" {
			para(wrap(padded(x[0], 12), strings.Repeat(" ", 12), x[1], sheetColumns))
		}
	}
	if len(t.e.Years) > 0 {
		b.WriteString("\nYear by year\n\n")
		if err := t.yearsTable().Text(&b); err != nil {
			panic(err) // a strings.Builder takes everything
		}
		for _, n := range t.footnotes() {
			para(wrap("", "", n, sheetColumns))
		}
	}
	if s := t.how(); s != "" {
		b.WriteString("\nHow the odds follow\n\n")
		para(wrap("", "", s, sheetColumns))
	}
	return b.String()
}

// answer is the heading sentence.
func (t *told) answer() string {
	o := &t.e.Odds
	if o.Reason != "" {
		return noOdds(o.Reason)
	}
	s := fmt.Sprintf("Ripens in about %s of %s, %d to %d: odds %.2f, with a 90 %% interval from %.2f to %.2f", tenth(o.RipeYears),
		count(o.N, "year"), o.Years.First, o.Years.Last, o.Odds, o.Low, o.High)
	if o.Likelihood != "" {
		s += ": " + o.Likelihood
	}
	return s + ". In a cool garden " + fmt.Sprintf("%.2f, in a warm one %.2f.", o.Cool, o.Warm)
}

// tenth prints a number to a tenth, a whole one without.
func tenth(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}

// noOdds says why there is no answer, or none but never.
func noOdds(reason string) string {
	switch reason {
	case almanac.NoModel:
		return "No odds: this crop's fruit hangs for many months, so a heat sum from leaf-out says nothing about it."
	case almanac.NoWasp:
		return "Never: this crop drops unless a pollinating wasp lives nearby, and it does not live where winters are cold."
	case almanac.NoHeatNeed:
		return "No odds: neither the cultivar nor its class has a heat need, so there is nothing to compare the season with."
	case almanac.NoYears:
		return "No odds: the town has no year with a valid heat sum, or no date can be planned for this way of growing."
	}
	return "No odds: " + reason + "."
}

// need says what the heat need is and what it rests on.
func (t *told) need() string {
	n, o := &t.e.Need, &t.e.Odds
	if o.Mu == 0 || o.Reason != "" {
		return ""
	}
	s := fmt.Sprintf("%s °C·d", heat(o.Mu))
	if n.BaseC != 0 {
		s += fmt.Sprintf(" above %g °C", n.BaseC)
	}
	s += fmt.Sprintf(" from leaf-out to the first ripe fruit, give or take %s", heat(o.Sd))
	if n.GardenSd > 0 || n.YearSd > 0 {
		s += fmt.Sprintf(" (%s between gardens, %s from year to year)", heat(n.GardenSd), heat(n.YearSd))
	}
	if n.SE > 0 {
		s += fmt.Sprintf("; the %s itself may be off by %s", heat(o.Mu), heat(n.SE))
	}
	s += ". " + t.basis()
	if t.e.Delay != 0 {
		s += fmt.Sprintf(" Here %s °C·d come on top: %s.", heat(t.e.Delay), t.delays())
	}
	return s
}

func (t *told) delays() string {
	var why []string
	if t.e.Odds.Brebas == "kept" && t.e.Odds.Part == "main" {
		why = append(why, "brebas that are kept hold the main crop up")
	}
	if m := t.club.Method(club.Text(t.e.Odds.Method)); m != nil && m.ExtraNeedCd.Or(0) != 0 {
		why = append(why, "this way of growing delays")
	}
	if len(why) == 0 {
		return "delays of this way of growing"
	}
	return listed(why)
}

// basis says what the need rests on. Fewer than three growers are not counted
// in public, so not here either.
func (t *told) basis() string {
	n := &t.e.Need
	switch t.e.Odds.Basis {
	case almanac.BasisReports:
		s := fmt.Sprintf("Learned from %s of %s", count(n.Reports, "report"), count(n.Growers, "grower"))
		if n.Censored > 0 {
			s += fmt.Sprintf(", %d of them \"not ripe\" or \"already ripe\"", n.Censored)
		}
		return s + "."
	case almanac.BasisCultivar:
		return "It is the cultivar's row in data/cultivars.csv; fewer than three growers have reported."
	case almanac.BasisClass:
		return "It is that of the cultivar's class; fewer than three growers have reported."
	case almanac.BasisCrop:
		return "It is that of the crop as a whole; fewer than three growers have reported."
	}
	return ""
}

// plan lists the dates that the method plans for in this town.
func (t *told) plan() string {
	if t.ground {
		return "none: the tree stands in the ground and wakes by itself"
	}
	p := t.e.Plan
	if p.Wake.None {
		p.HardenOff.None = true // it comes into leaf outdoors
		p.DormantOut.None = p.DormantOut.None || p.DormantOut == p.Out
	} else {
		p.DormantOut.None = true
	}
	var dates []string
	for _, x := range []struct {
		what string
		at   almanac.Point
	}{{"woken on", p.Wake}, {"out dormant from", p.DormantOut}, {"hardened off from", p.HardenOff}, {"out for good on", p.Out}, {"in again on", p.In}} {
		if !x.at.None {
			dates = append(dates, x.what+" "+t.dayOf(x.at.Rank))
		}
	}
	if len(dates) == 0 {
		return "none: no date can be planned for this way of growing here"
	}
	return strings.Join(dates, ", ")
}

func (t *told) dayOf(r day.Rank) string {
	m, d := t.h.MonthDay(r)
	return fmt.Sprintf("%d %s", d, monthNames[m-1])
}

// firstRipe says by when shares of all years have ripened.
func (t *told) firstRipe() string {
	if t.e.Odds.Reason != "" {
		return ""
	}
	var s []string
	for i, share := range [3]string{"1 year in 10", "5 years in 10", "9 years in 10"} {
		if p := t.e.Odds.FirstRipe[i]; !p.None {
			s = append(s, "by "+t.dayOf(p.Rank)+" in "+share)
		} else {
			s = append(s, "in fewer than "+share+" before the season ends")
			break
		}
	}
	return strings.Join(s, ", ")
}

// how derives the odds from the years' chances.
func (t *told) how() string {
	o := &t.e.Odds
	if o.Reason != "" || o.N == 0 {
		return ""
	}
	s := fmt.Sprintf("A year's chance is how likely a need of about %s °C·d, give or take %s, is met by the heat of that year to its last ripening day", heat(o.Mu+t.e.Delay), heat(o.Sd))
	if t.ground {
		s += ", reckoned with the chance that the winter before killed the wood"
	}
	return s + fmt.Sprintf(". The chances of the %s that count add up to %s; divided by %d that is %.2f, the odds. Their interval of %.2f to %.2f holds what more years and more reports would narrow.",
		count(o.N, "year"), tenth(o.RipeYears), o.N, o.RipeYears/math.Max(1, float64(o.N)), o.Low, o.High)
}
