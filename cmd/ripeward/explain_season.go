package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

// season tells one season in sentences.
func (t *told) season(year int) string {
	lines := append(wrap("", "", t.title(), sheetColumns), "", "Season of "+t.h.Label(year))
	y := t.yearOf(year)
	if y == nil {
		lines = append(lines, wrap("", "", capital(t.noWeather(year))+".", sheetColumns)...)
		return strings.Join(lines, "\n") + "\n"
	}
	for _, s := range []string{t.start(y), t.gathered(y), t.finish(y), t.verdict(y)} {
		lines = append(lines, wrap("", "", s, sheetColumns)...)
	}
	return strings.Join(lines, "\n") + "\n"
}

// noWeather says why a year is not told.
func (t *told) noWeather(year int) string {
	if r := t.e.Odds.Reason; r != "" && len(t.e.Years) == 0 {
		return "nothing to tell of " + t.h.Label(year) + ": " + strings.ToLower(noOdds(r)[:1]) + strings.TrimSuffix(noOdds(r)[1:], ".")
	}
	return fmt.Sprintf("%s has no valid weather in %s: too many days without a reading, or outside the record", t.h.Label(year), oneLine(string(t.town.Name)))
}

func capital(s string) string {
	return strings.ToUpper(s[:1]) + s[1:]
}

// start is waking, leaf-out, the way out and what set the tree back.
func (t *told) start(y *almanac.ExplainedYear) string {
	var did []string
	if y.Wake == day.None {
		did = append(did, "woke by itself")
	}
	type step struct {
		on   day.Date
		what string
	}
	steps := []step{{y.Wake, "was woken on "}, {y.LeafOut, "came into leaf on "}, {y.Out, "went out for good on "}}
	slices.SortStableFunc(steps, func(a, b step) int { return cmp.Compare(a.on, b.on) })
	for _, s := range steps {
		if s.on != day.None {
			did = append(did, s.what+fullDate(s.on))
		}
	}
	if y.LeafOut == day.None {
		did = append(did, "never came into leaf")
	}
	s := "The tree " + listed(did) + "."
	var days []string
	for _, d := range y.SetBacks {
		days = append(days, dayMonth(d))
	}
	if len(days) > 0 {
		s += fmt.Sprintf(" Freezes took its young shoots on %s: %s °C·d were lost.", listed(days), heat(y.LostHeat))
		if len(days) == 1 {
			s = strings.Replace(s, "Freezes", "A freeze", 1)
		}
	} else {
		s += " Nothing set it back."
	}
	if y.Kill > 0 {
		s += fmt.Sprintf(" The chance that the winter before had killed its wood was %.2f.", y.Kill)
	}
	return s
}

// gathered is the heat, month by month.
func (t *told) gathered(y *almanac.ExplainedYear) string {
	var months []string
	for _, m := range t.months() {
		if v := y.ByMonth[m-1]; v != 0 {
			months = append(months, heat(v)+" in "+monthNames[m-1])
		}
	}
	if len(months) == 0 {
		return "It gathered no heat from leaf-out."
	}
	s := fmt.Sprintf("From leaf-out it gathered %s: %s °C·d in all", listed(months), heat(y.Heat))
	if y.LastDay != day.None {
		s += " by " + fullDate(y.LastDay) + ", the last day of ripening"
	}
	return s + "."
}

// finish is what ended the season, with its reading.
func (t *told) finish(y *almanac.ExplainedYear) string {
	if y.EndDay == day.None || math.IsNaN(y.EndValue) {
		return "Nothing ended ripening before the year was over."
	}
	var s string
	switch on := fullDate(y.EndDay); y.Ended {
	case "freeze":
		s = fmt.Sprintf("A freeze ended it: the fruit felt %.1f °C on %s", y.EndValue, on)
	case "cold":
		s = fmt.Sprintf("The cold ended it: the mean of the ten days to %s was %.1f °C", on, y.EndValue)
	case "short-days":
		s = fmt.Sprintf("Short days ended it: %s was %.1f hours long", on, y.EndValue)
	default:
		s = fmt.Sprintf("It ended on %s", on)
	}
	switch from := t.reading(y); {
	case from != "" && y.Place.Line > 0 && y.Station != "":
		at := placed(t.dir, y.Place)
		at.Column = 0
		s += fmt.Sprintf(" (station %s, %s)", y.Station, at)
	case from != "":
		s += " (" + from + ")"
	}
	s += "."
	if y.Carried > 0 {
		s += fmt.Sprintf(" The pot was carried in on %s.", count(y.Carried, "night"))
	}
	return s
}

// verdict sets the heat beside the need.
func (t *told) verdict(y *almanac.ExplainedYear) string {
	o := &t.e.Odds
	if o.Reason != "" || math.IsNaN(y.P) {
		return noOdds(o.Reason)
	}
	need := fmt.Sprintf("At a middling need of %s °C·d ", heat(o.Mu+t.e.Delay))
	switch missing := o.Mu + t.e.Delay - y.Heat; {
	case y.FirstRipe != day.None:
		need += "the first fruit was ripe on " + fullDate(y.FirstRipe)
	case missing > 0:
		need += fmt.Sprintf("nothing ripened: %s were missing", heat(missing))
	case o.Part == "breba" && len(y.SetBacks) > 0:
		need += "nothing ripened, though there was heat enough: the freeze took the shoots that bear brebas"
	default:
		need += "nothing ripened, though there was heat enough in all"
	}
	s := need + fmt.Sprintf("; with a scatter of %s the chance of ripe fruit was %.2f.", heat(o.Sd), y.P)
	if !y.Counts {
		s += " This year is outside the reference years and does not count for the odds."
	}
	return s
}
