package page

import (
	"errors"
	"fmt"
	"html/template"
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/figure"
)

// tentsPage is the model of a town's page on tents.
type tentsPage struct {
	Name, Town string
	Cautions   []Caution
	Lead       template.HTML
	Years      string
	Heated     []tentBlock
	Unheated   []unheatedTent
	Cost       string // what a cost rests on; blank without a price
	Methods    string
	Downloads  string
}

// tentBlock is one heated tent, or several ways of growing whose figures are
// the same.
type tentBlock struct {
	ID, Name string
	Answer   template.HTML
	Circuit  template.HTML
	Chart    *chart
	Sheet    sheet
}

// unheatedTent is what a tent without a heater does to a day, in words.
type unheatedTent struct {
	Name  string
	Gives template.HTML
}

// hasTents tells whether a town has a page on tents.
func (s *site) hasTents(t *almanac.Town) bool {
	return len(t.Tents) > 0 || slices.ContainsFunc(s.club.Methods, isUnheatedTent)
}

func isUnheatedTent(m club.Method) bool { return m.DayGainC.Or(0) > 0 && !m.HeatFloorC.Set }

func (s *site) tentsPage(t *almanac.Town) (*tentsPage, error) {
	p := paths{"../../../"}
	m := &tentsPage{Name: s.in(t.Row.Row, "name", t.Row.Name), Town: p.town(string(t.Row.ID)), Years: yearsWords(s.book.Span), Methods: p.page("methods/"), Downloads: p.page("downloads/")}
	m.Cautions = s.cautionsIn("heaters;electricity;snow")
	for i := range s.club.Methods {
		x := &s.club.Methods[i]
		if isUnheatedTent(*x) {
			m.Unheated = append(m.Unheated, unheatedTent{s.in(x.Row, "name", x.Name), s.unheatedWords(x)})
		}
	}
	for _, g := range s.tentGroups(t) {
		b, err := s.tentBlock(t, g)
		if err != nil {
			return nil, err
		}
		m.Heated = append(m.Heated, b)
	}
	switch {
	case len(m.Heated) > 0:
		m.Lead = m.Heated[0].Answer
	case len(m.Unheated) > 0:
		m.Lead = m.Unheated[0].Gives
	}
	if cur := s.club.Settings.Currency; cur != "" && s.club.Settings.EnergyPrice > 0 {
		m.Cost = s.Say("Cost is the mean year’s power at %s %s a kWh, the club’s setting.", s.Trimmed(s.club.Settings.EnergyPrice, 3), cur)
	}
	return m, nil
}

// tentGroup is a heated tent by start date, and the ways of growing that share
// its figures.
type tentGroup struct {
	methods []*club.Method
	starts  []almanac.TentStart
}

func (s *site) tentGroups(t *almanac.Town) []tentGroup {
	var out []tentGroup
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		g := tentGroup{methods: []*club.Method{m}}
		for _, x := range t.Tents {
			if x.Method == string(m.ID) {
				g.starts = append(g.starts, x)
			}
		}
		if len(g.starts) == 0 {
			continue
		}
		same := slices.IndexFunc(out, func(o tentGroup) bool {
			return slices.EqualFunc(o.starts, g.starts, func(a, b almanac.TentStart) bool { a.Method = b.Method; return a == b }) && o.methods[0].HeatFloorC == m.HeatFloorC && o.methods[0].HeaterW == m.HeaterW
		})
		if same >= 0 {
			out[same].methods = append(out[same].methods, m)
		} else {
			out = append(out, g)
		}
	}
	return out
}

func (s *site) tentBlock(t *almanac.Town, g tentGroup) (tentBlock, error) {
	m := g.methods[0]
	var names []string
	for i, x := range g.methods {
		name := s.in(x.Row, "name", x.Name)
		if i > 0 {
			name = lowerFirst(name)
		}
		names = append(names, name)
	}
	b := tentBlock{ID: "tent-" + string(m.ID), Name: s.List(names), Answer: s.tentAnswer(t, m, g.starts), Circuit: s.circuitWords(t, m, g.starts)}
	b.Sheet = sheet{Caption: s.Say("Heating from a date to the last ripening day"), Head: []string{s.Say("From|a date"), s.Say("kWh, mean year"), s.Say("kWh, 1 year in 10 or more"), s.Say("Cost, mean year"), s.Say("Heater draws up to"), s.Say("Holding it takes up to"), s.Say("Nights not held, mean year")}}
	for _, x := range g.starts {
		b.Sheet.Rows = append(b.Sheet.Rows, htmlRow(s.dateWords(t.Hemisphere, x.Start), s.Grouped(x.KWhMean), s.Grouped(x.KWhP90), s.cost(x.Cost), s.Grouped(x.PeakW)+"\u00a0W", s.Grouped(x.NeedW)+"\u00a0W", s.Trimmed(x.Short, 1)))
	}
	var err error
	b.Chart, err = s.tentChart(t, b, g)
	return b, err
}

// usualStart is the start date nearest before the tent's pots go out: the last
// of all where they go out later still, the first where earlier.
func usualStart(t *almanac.Town, m *club.Method, starts []almanac.TentStart) almanac.TentStart {
	use := starts[0]
	out := day.Rank(365)
	if p := planOf(t, m); p != nil {
		switch {
		case p.Weeks > 0 && !p.Out.None:
			out = p.Out.Rank
		case !p.DormantOut.None:
			out = p.DormantOut.Rank
		}
	}
	for _, x := range starts {
		if x.Start <= out {
			use = x
		}
	}
	return use
}

// tentAnswer says what heating takes from about when the pots go out, and from
// the earliest start.
func (s *site) tentAnswer(t *almanac.Town, m *club.Method, starts []almanac.TentStart) template.HTML {
	early, usual := starts[0], usualStart(t, m, starts)
	floor := string(s.temp(m.HeatFloorC.Value, 0))
	power := func(x almanac.TentStart) string {
		kwh := esc(s.Grouped(x.KWhMean) + "\u00a0kWh")
		if c := s.cost(x.Cost); c != "–" {
			return s.Say("<b>%s</b> (about %s)", kwh, esc(c))
		}
		return "<b>" + kwh + "</b>"
	}
	date := func(x almanac.TentStart) string { return esc(s.dateWords(t.Hemisphere, x.Start)) }
	text := s.Say("Keeping a tent at %s from %s on takes %s in a mean year, and in 1 year in 10 %s or more.", floor, date(usual), power(usual), esc(s.Grouped(usual.KWhP90)+"\u00a0kWh"))
	if usual.Start > early.Start {
		text += " " + s.Say("That is about when its pots go out. Started on %s it takes %s.", date(early), power(early))
	}
	return template.HTML(text)
}

// circuitWords sets what holding the floor would take beside the heater, and
// hands over to those who know the wiring.
func (s *site) circuitWords(t *almanac.Town, m *club.Method, starts []almanac.TentStart) template.HTML {
	x := starts[0]
	need := esc(s.Grouped(x.NeedW) + "\u00a0W")
	text := s.Say("Started on %s, the coldest hour of the year asks for %s or less in 9 years of 10.", esc(s.dateWords(t.Hemisphere, x.Start)), need)
	if w := m.HeaterW; w.Set && w.Value > 0 {
		has := esc(s.Grouped(w.Value) + "\u00a0W")
		switch {
		case x.NeedW > w.Value:
			text += " " + s.Say("The heater reckoned with has %s: <b>it is too small for such an hour</b>, and on %s a year, in the mean, it cannot hold its temperature.", has, s.nightsWords(x.Short))
			if i := slices.IndexFunc(starts, func(x almanac.TentStart) bool { return x.NeedW <= w.Value }); i >= 0 {
				text += " " + s.Say("Started on %s or later, it suffices in 9 years of 10.", esc(s.dateWords(t.Hemisphere, starts[i].Start)))
			}
		case x.Short > 0:
			text += " " + s.Say("The heater reckoned with has %s, which suffices but for %s a year in the mean.", has, s.nightsWords(x.Short))
		default:
			text += " " + s.Say("The heater reckoned with has %s, which suffices.", has)
		}
	} else {
		text += " " + s.Say("The table gives the heater no limit.")
	}
	return template.HTML(text + " " + s.Say("A household circuit carries only so much, for hours on end less still, and all else that hangs on it counts too: before you run a heater of that size, ask a licensed electrician and follow your local code."))
}

// unheatedWords says what a tent without a heater gives by night and by day.
func (s *site) unheatedWords(m *club.Method) template.HTML {
	night := s.Say("nothing|what a tent gives by night")
	if v := m.NightGainC.Or(0); v != 0 {
		night = string(s.diff(v, 1))
	}
	gain, vent, carry := string(s.diff(m.DayGainC.Value, 1)), string(s.temp(m.VentC.Or(0), 0)), string(s.temp(m.CarryBelowC.Or(0), 0))
	var text string
	switch vented, carried := m.VentC.Set, m.CarryBelowC.Set; {
	case vented && carried:
		text = s.Say("Without a heater a tent is counted as %s warmer by day, until it is vented at %s, and %s by night: pots are still carried in when the night falls to %s.", gain, vent, night, carry)
	case vented:
		text = s.Say("Without a heater a tent is counted as %s warmer by day, until it is vented at %s, and %s by night.", gain, vent, night)
	case carried:
		text = s.Say("Without a heater a tent is counted as %s warmer by day, and %s by night: pots are still carried in when the night falls to %s.", gain, night, carry)
	default:
		text = s.Say("Without a heater a tent is counted as %s warmer by day, and %s by night.", gain, night)
	}
	return template.HTML(text + " " + s.Say("These are the club’s own figures (judgement): measure yours."))
}

// tentChart draws the energy by start date.
func (s *site) tentChart(t *almanac.Town, b tentBlock, g tentGroup) (*chart, error) {
	if len(g.starts) < 2 {
		return nil, nil
	}
	h := t.Hemisphere
	c := &chart{ID: b.ID + "-kwh", Title: s.Say("Power by start date")}
	c.Data = sheet{Caption: s.Say("Power by start date"), Head: []string{s.Say("From|a date"), s.Say("kWh, mean year"), s.Say("kWh, 1 year in 10 or more")}}
	first, last := g.starts[0].Start, g.starts[len(g.starts)-1].Start
	f := figure.Course{From: float64(first), Until: float64(last), YLabel: s.Say("kWh to the last ripening day")}
	many, mean := figure.Line{Label: s.Say("1 year in 10 takes more"), Kind: "trend"}, figure.Line{Label: s.Say("mean year"), Kind: "ripe-1"}
	for _, x := range g.starts {
		at := float64(x.Start)
		mean.X, mean.Y = append(mean.X, at), append(mean.Y, x.KWhMean)
		many.X, many.Y = append(many.X, at), append(many.Y, x.KWhP90)
		f.High = math.Max(f.High, x.KWhP90)
		c.Data.Rows = append(c.Data.Rows, htmlRow(s.dateWords(h, x.Start), s.Grouped(x.KWhMean), s.Grouped(x.KWhP90)))
	}
	f.Lines = []figure.Line{many, mean}
	for _, x := range g.starts {
		if m, d := h.MonthDay(day.Rank(x.Start)); d == 1 {
			f.Ticks = append(f.Ticks, figure.Tick{At: float64(x.Start), Label: s.Day(1) + " " + s.ShortMonths[m-1]})
		}
	}
	c.Caption = cell(s.Say("From %s to %s the start alone makes %s of difference in a mean year.", s.dateWords(h, first), s.dateWords(h, last), s.Grouped(g.starts[0].KWhMean-g.starts[len(g.starts)-1].KWhMean)+"\u00a0kWh"))
	f.Head = figure.Head{ID: c.ID, Width: narrowChart, Title: c.Title + ", " + s.in(t.Row.Row, "name", t.Row.Name), Desc: s.Say("Power from the start date to the last ripening day: %s kWh in a mean year from %s on, %s kWh from %s on.",
		s.Grouped(g.starts[0].KWhMean), s.dateWords(h, first), s.Grouped(g.starts[len(g.starts)-1].KWhMean), s.dateWords(h, last))}
	svg, err := f.SVG()
	if errors.Is(err, figure.ErrNothing) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("chart %s of town %s: %w", c.ID, t.Row.ID, err)
	}
	c.SVG = template.HTML(svg)
	return c, nil
}
