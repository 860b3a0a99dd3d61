package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// whyPage follows a town's top answers through the years.
type whyPage struct {
	Name, Town, Methods string
	Years               string
	Answers             []whyAnswer
	HeatUnit            template.HTML
}

// whyAnswer is one answer with its years.
type whyAnswer struct {
	ID, Title  string
	Cultivar   link
	Answer     string
	Need       template.HTML
	Follow     string
	Delay      template.HTML
	Rows       []whyRow
	Kill       bool // some winter may have killed the wood
	Carried    bool
	Woken, Out bool // by plan
	BackNeeded bool
}

type whyRow struct {
	Season             string
	Wake, Leaf, Out    string
	Back               template.HTML
	Months, Heat       template.HTML
	Ripe               string
	Ended              template.HTML
	Carried, Kill      string
	Chance             string
	ChanceSort, HeatNo int
	Level              int
}

func (s *site) whyPage(t *almanac.Town) *whyPage {
	p := paths{"../../../"}
	m := &whyPage{Name: string(t.Row.Name), Town: p.town(string(t.Row.ID)), Methods: p.page("methods/"), Years: yearsWords(s.book.Span),
		HeatUnit: s.both("°C·d", "°F·d")}
	for i := range t.Why {
		m.Answers = append(m.Answers, s.whyAnswer(t, &t.Why[i], i, p))
	}
	return m
}

func (s *site) whyAnswer(t *almanac.Town, e *almanac.Explanation, i int, p paths) whyAnswer {
	o := &e.Odds
	k := oddsKey{o.Cultivar, o.Part}
	name := s.cultivarName(o.Cultivar)
	if note := s.partNote(k); note != "" {
		name += ", " + note
	}
	a := whyAnswer{ID: fmt.Sprintf("why-%d", i+1), Title: s.Say("%s: %s", name, lowerFirst(s.howWords(o))), Cultivar: link{s.cultivarName(o.Cultivar), p.cultivar(o.Cultivar)}}
	how := s.methodName(o.Method)
	if m := s.methods[o.Method]; m != nil {
		how = s.methodIn(m)
	}
	if o.Weeks > 0 {
		how += ", " + s.countDigits(o.Weeks, "week")
	}
	a.Answer = s.Say("%s, %s: its first fruit ripens in %s.", name, how, s.gardens(o.Odds, o.Cool, o.Warm))
	a.Need = s.whyNeed(e)
	if e.Delay > 0 {
		a.Delay = template.HTML(s.Say("To this come %s for the way of growing: brebas left on, or a need of the method’s own.", s.heat(e.Delay)))
	}
	for j := range e.Years {
		y := &e.Years[j]
		a.Kill = a.Kill || hundredths(y.Kill) > 0
		a.Carried = a.Carried || y.Carried > 0
		a.Woken, a.Out = a.Woken || y.Wake != day.None, a.Out || y.Out != day.None
		a.BackNeeded = a.BackNeeded || len(y.SetBacks) > 0
		a.Rows = append(a.Rows, s.whyRow(t, y))
	}
	a.Follow = s.followWords(e)
	return a
}

// whyNeed says how much heat the fruit asks for and what that rests on.
func (s *site) whyNeed(e *almanac.Explanation) template.HTML {
	n := &e.Need
	basis, reports, growers := n.Basis, n.Reports, n.Growers
	return template.HTML(s.Say("The fruit needs about %s above %s from leaf-out on, known to about ± %s (%s).", s.heat(n.Mu), s.temp(n.BaseC, 0), s.heat(math.Round(n.SE)), cell(s.learnedWords(basis, reports, growers))) +
		" " + s.Say("Gardens scatter around it by %s and years by %s, so a year that brings just that much ripens it in about half the gardens.", s.heat(n.GardenSd), s.heat(n.YearSd)))
}

// followWords says how the odds follow from the chances of the years.
func (s *site) followWords(e *almanac.Explanation) string {
	o := &e.Odds
	if o.N == 0 {
		return s.Say("No year counts, so there are no odds.")
	}
	return s.Say("How the odds follow: each year’s heat is set against the need, which gives that year a chance. The chances of the %s that count add up to %s years with ripe fruit; %s out of %d is %d in 100, or %s.",
		s.countDigits(o.N, "year"), s.Trimmed(o.RipeYears, 1), s.Trimmed(o.RipeYears, 1), o.N, hundredths(o.Odds), s.yearsInTen(o.Odds))
}

func (s *site) whyRow(t *almanac.Town, y *almanac.ExplainedYear) whyRow {
	r := whyRow{Season: t.Hemisphere.Label(y.Year), Wake: s.dayOrDash(y.Wake), Leaf: s.dayOrDash(y.LeafOut), Out: s.dayOrDash(y.Out), Ripe: s.dayOrDash(y.FirstRipe),
		Heat: s.both(s.Grouped(y.Heat), s.Grouped(fahrenheitDays(y.Heat))), HeatNo: int(y.Heat), Months: s.byMonth(t.Hemisphere, y.ByMonth), Back: "–", Carried: fmt.Sprint(y.Carried),
		Kill: percentWords(y.Kill), Chance: percentWords(y.P), ChanceSort: hundredths(y.P), Level: yearsLevel(y.P)}
	if !y.Counts {
		r.Season = s.Say("%s (not counted)|a season", r.Season)
	}
	if y.FirstRipe == day.None {
		r.Ripe = s.Say("not in time")
	}
	if len(y.SetBacks) > 0 {
		var days []string
		for _, d := range y.SetBacks {
			days = append(days, s.shortDay(d))
		}
		r.Back = cell(s.List(days)) + " <small>" + template.HTML(s.Say("lost %s|heat", s.both(s.Grouped(y.LostHeat), s.Grouped(fahrenheitDays(y.LostHeat))))) + "</small>"
	}
	r.Ended = s.endedCell(y)
	return r
}

// fahrenheitDays turns a heat sum into °F·d, as units.heat does.
func fahrenheitDays(cd float64) float64 { return quantity.DegreeDays(cd).Fahrenheit() }

func percentWords(share float64) string { return fmt.Sprintf("%d\u00a0%%", hundredths(share)) }

// shortDay prints a day without its year: "12 May".
func (s *site) shortDay(d day.Date) string {
	_, m, dom := d.YMD()
	return s.ShortDate(m, dom)
}

func (s *site) dayOrDash(d day.Date) string {
	if d == day.None {
		return "–"
	}
	return s.shortDay(d)
}

// byMonth lists the months that brought heat, in the order of the season.
func (s *site) byMonth(h day.Hemisphere, heat [12]float64) template.HTML {
	var metric, us []string
	first := 0
	if h == day.South {
		first = 6
	}
	for i := range 12 {
		m := (first + i) % 12
		if heat[m] >= 0.5 {
			metric = append(metric, s.ShortMonths[m]+"\u00a0"+s.Grouped(heat[m]))
			us = append(us, s.ShortMonths[m]+"\u00a0"+s.Grouped(fahrenheitDays(heat[m])))
		}
	}
	if len(metric) == 0 {
		return "–"
	}
	return s.both(strings.Join(metric, ", "), strings.Join(us, ", "))
}

// endOf names what ended a season and says its reading.
func (s *site) endOf(y *almanac.ExplainedYear) (what string, reading template.HTML) {
	switch y.Ended {
	case "freeze":
		return s.Say("Killing freeze"), s.temp(y.EndValue, 1)
	case "cold":
		return s.Say("Cold|ended the season"), template.HTML(s.Say("ten days’ mean %s", s.temp(y.EndValue, 1)))
	}
	return s.Say("Short days|ended the season"), cell(s.Say("%s\u00a0h of day", s.Trimmed(y.EndValue, 1)))
}

// endedCell says what ended a season, with the reading and where it stands.
func (s *site) endedCell(y *almanac.ExplainedYear) template.HTML {
	if y.Ended == "" {
		return "–"
	}
	what, reading := s.endOf(y)
	text := template.HTML(s.Say("%s: %s", cell(what), reading))
	if y.EndDay != day.None {
		text = template.HTML(s.Say("%s %s: %s|an end, its day, its reading", cell(what), cell(s.shortDay(y.EndDay)), reading))
	}
	if y.LastDay != day.None {
		text += " <small>" + cell(s.Say("last ripening day %s", s.shortDay(y.LastDay))) + "</small>"
	}
	if y.Place.File != "" {
		where := y.Place.File
		if y.Place.Line > 0 {
			where = fmt.Sprintf("%s:%d", y.Place.File, y.Place.Line)
		}
		text += " <small>"
		if y.Station != "" {
			text += cell(s.stationName(y.Station)) + ", "
		}
		text += "<code>" + cell(where) + "</code></small>"
	}
	return text
}
