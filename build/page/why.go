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
	a := whyAnswer{ID: fmt.Sprintf("why-%d", i+1), Title: name + ": " + lowerFirst(s.howWords(o)), Cultivar: link{s.cultivarName(o.Cultivar), p.cultivar(o.Cultivar)}}
	how := s.methodName(o.Method)
	if m := s.methods[o.Method]; m != nil {
		how = s.methodPhrase(string(m.Name), string(m.Place))
	}
	if o.Weeks > 0 {
		how += ", " + s.countDigits(o.Weeks, "week")
	}
	a.Answer = fmt.Sprintf("%s, %s: its first fruit ripens in %s.", name, how, s.gardens(o.Odds, o.Cool, o.Warm))
	a.Need = s.whyNeed(e)
	if e.Delay > 0 {
		a.Delay = "To this come " + s.heat(e.Delay) + " for the way of growing: brebas left on, or a need of the method’s own."
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
	text := template.HTML("The fruit needs about ") + s.heat(n.Mu) + " above " + s.temp(n.BaseC, 0) + " from leaf-out on, known to about ± " + s.heat(math.Round(n.SE)) +
		cell(" ("+s.learnedWords(basis, reports, growers)+"). ")
	return text + "Gardens scatter around it by " + s.heat(n.GardenSd) + " and years by " + s.heat(n.YearSd) +
		", so a year that brings just that much ripens it in about half the gardens."
}

// followWords says how the odds follow from the chances of the years.
func (s *site) followWords(e *almanac.Explanation) string {
	o := &e.Odds
	if o.N == 0 {
		return "No year counts, so there are no odds."
	}
	return fmt.Sprintf("How the odds follow: each year’s heat is set against the need, which gives that year a chance. The chances of the %s that count add up to %s years with ripe fruit; %s out of %d is %d in 100, or %s.",
		s.countDigits(o.N, "year"), s.Trimmed(o.RipeYears, 1), s.Trimmed(o.RipeYears, 1), o.N, hundredths(o.Odds), s.yearsInTen(o.Odds))
}

func (s *site) whyRow(t *almanac.Town, y *almanac.ExplainedYear) whyRow {
	r := whyRow{Season: t.Hemisphere.Label(y.Year), Wake: s.dayOrDash(y.Wake), Leaf: s.dayOrDash(y.LeafOut), Out: s.dayOrDash(y.Out), Ripe: s.dayOrDash(y.FirstRipe),
		Heat: s.both(s.Grouped(y.Heat), s.Grouped(fahrenheitDays(y.Heat))), HeatNo: int(y.Heat), Months: s.byMonth(t.Hemisphere, y.ByMonth), Back: "–", Carried: fmt.Sprint(y.Carried),
		Kill: percentWords(y.Kill), Chance: percentWords(y.P), ChanceSort: hundredths(y.P), Level: yearsLevel(y.P)}
	if !y.Counts {
		r.Season += " (not counted)"
	}
	if y.FirstRipe == day.None {
		r.Ripe = "not in time"
	}
	if len(y.SetBacks) > 0 {
		var days []string
		for _, d := range y.SetBacks {
			days = append(days, s.shortDay(d))
		}
		r.Back = cell(s.List(days)) + " <small>lost " + s.both(s.Grouped(y.LostHeat), s.Grouped(fahrenheitDays(y.LostHeat))) + "</small>"
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
	return fmt.Sprintf("%d\u00a0%s", dom, s.ShortMonths[m-1])
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

// endedCell says what ended a season, with the reading and where it stands.
func (s *site) endedCell(y *almanac.ExplainedYear) template.HTML {
	if y.Ended == "" {
		return "–"
	}
	text := cell(upperFirst(endedWords(y.Ended)))
	if y.EndDay != day.None {
		text += cell(" " + s.shortDay(y.EndDay))
	}
	switch y.Ended {
	case "freeze":
		text += ": " + s.temp(y.EndValue, 1)
	case "cold":
		text += ": ten days’ mean " + s.temp(y.EndValue, 1)
	case "short-days":
		text += cell(": " + s.Trimmed(y.EndValue, 1) + "\u00a0h of day")
	}
	if y.LastDay != day.None {
		text += " <small>last ripening day " + cell(s.shortDay(y.LastDay)) + "</small>"
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
