package page

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/figure"
)

// soFarPage is the season that is under way.
type soFarPage struct {
	Name, Town string
	Season     string
	First      string        // the sentence with the cut-off
	Heat       template.HTML // against the usual
	Missing    string
	Chart      *chart
	Methods    []soFarMethod
	Years      string
}

// soFarMethod is one way of growing this season.
type soFarMethod struct {
	ID, Name string
	Open     bool
	Rows     []soFarRow
}

type soFarRow struct {
	Cultivar      link
	Part          string
	Heat          template.HTML
	HeatN         int
	Usual, Now    oddsCell
	Expect, Often string // first ripe as it looks now, and usually
	RipeSort      int
}

func (s *site) soFarPage(t *almanac.Town) (*soFarPage, error) {
	f := t.SoFar
	p := paths{"../../../"}
	season := t.Hemisphere.Label(f.Season)
	m := &soFarPage{Name: string(t.Row.Name), Town: p.town(string(t.Row.ID)), Season: season, Years: yearsWords(s.book.Span)}
	m.First = s.Say("With data to %s, the season %s looks like this in %s. It is not a forecast: each reference year’s weather is tried in turn for the days to come.", s.calendarDate(f.Until), season, t.Row.Name)
	m.Heat = s.heatSoFar(f)
	if words := s.warmRank(f.Rank, f.Of); words != "" {
		m.Heat += " " + cell(s.Say("That is %s.|a place among the years", words))
	}
	if f.MissingDays > 0 {
		m.Missing = s.Count(f.MissingDays, "%s so far has no reading.", "%s so far have no reading.", upperFirst(s.countWords(f.MissingDays, "day")))
	}
	var err error
	if m.Chart, err = s.soFarChart(t); err != nil {
		return nil, err
	}
	show := s.showcase(t)
	for i := range s.club.Methods {
		c := &s.club.Methods[i]
		x := soFarMethod{ID: "now-" + string(c.ID), Name: s.in(c.Row, "name", c.Name), Open: c == show}
		for j := range f.Rows {
			if r := &f.Rows[j]; r.Method == string(c.ID) {
				x.Rows = append(x.Rows, s.soFarRow(t, r, p))
			}
		}
		slices.SortStableFunc(x.Rows, func(a, b soFarRow) int {
			return cmp.Or(cmp.Compare(b.Now.Sort, a.Now.Sort), cmp.Compare(a.RipeSort, b.RipeSort))
		})
		switch {
		case len(x.Rows) == 0:
		case x.Open:
			m.Methods = append([]soFarMethod{x}, m.Methods...)
		default:
			m.Methods = append(m.Methods, x)
		}
	}
	if len(m.Methods) > 0 {
		m.Methods[0].Open = true
	}
	return m, nil
}

// heatSoFar says the heat so far beside that of the middling year.
func (s *site) heatSoFar(f *almanac.SoFar) template.HTML {
	heat, usual := s.heat(f.Heat), s.heat(f.Normal)
	text := ""
	switch {
	case math.Abs(f.Heat-f.Normal) < 0.5:
		text = s.Say("Since the season began it has brought %s above 10 °C (50 °F), just as a middling year.", heat)
	case f.Heat > f.Warm:
		text = s.Say("Since the season began it has brought %s above 10 °C (50 °F), where a middling year has %s and 1 year in 10 passes %s.", heat, usual, s.heat(f.Warm))
	case f.Heat < f.Cool:
		text = s.Say("Since the season began it has brought %s above 10 °C (50 °F), where a middling year has %s and 1 year in 10 stays below %s.", heat, usual, s.heat(f.Cool))
	default:
		text = s.Say("Since the season began it has brought %s above 10 °C (50 °F), where a middling year has %s.", heat, usual)
	}
	return template.HTML(text)
}

func (s *site) soFarRow(t *almanac.Town, r *almanac.SoFarRow, p paths) soFarRow {
	x := soFarRow{Cultivar: link{s.cultivarName(r.Cultivar), p.cultivar(r.Cultivar)}, Part: s.partNote(oddsKey{r.Cultivar, r.Part}), Heat: cell(s.Say("no leaves yet")), HeatN: -1, RipeSort: 1 << 20}
	if r.Brebas == "kept" {
		x.Part = s.Say("%s, brebas kept|a part of the crop", x.Part)
	}
	if r.LeafedOut {
		x.Heat, x.HeatN = s.heat(r.HeatSoFar), int(r.HeatSoFar)
	}
	share := func(v float64) oddsCell {
		return oddsCell{Has: true, Level: yearsLevel(v), Number: s.shortInTen(v), Sort: hundredths(v)}
	}
	x.Usual, x.Now = share(r.Usual), share(r.Now)
	x.Usual.Title, x.Now.Title = s.Say("Usual|odds"), s.Say("Now|odds")
	x.Expect, x.Often = s.shortSpan(t.Hemisphere, r.FirstRipe, r.Now), s.shortSpan(t.Hemisphere, r.UsualRipe, r.Usual)
	if !r.FirstRipe[0].None {
		x.RipeSort = int(r.FirstRipe[0].Rank)
	}
	return x
}

// soFarChart draws this season's heat against the band of usual years.
func (s *site) soFarChart(t *almanac.Town) (*chart, error) {
	f, h := t.SoFar, t.Hemisphere
	last := len(t.HeatNormal) - 1
	if t.HeatNormal[last] == 0 {
		return nil, nil
	}
	c := &chart{ID: "so-far", Title: s.Say("Heat so far"), Broad: true}
	c.Data = sheet{Caption: s.Say("Heat gathered by the day"), Head: []string{s.Say("By|a day"), s.Say("cool year, 1 in 10"), s.Say("middle year"), s.Say("warm year, 1 in 10"), s.Say("this season")}}
	until := h.Rank(f.Until)
	from := h.RankOf(3, 1)
	g := figure.Course{From: float64(from), Until: 365, Ticks: s.monthTicks(h, from, 365), YLabel: s.Say("°C·d above 10 °C (×1.8 = °F·d)"),
		Band: &figure.Band{Label: s.Say("8 years in 10 lie in this band")}}
	normal := figure.Line{Label: s.Say("middle year"), Kind: "ripe-6"}
	for i := range t.HeatNormal {
		x := float64(almanac.RankAt(i))
		if i > 0 && x <= float64(almanac.RankAt(i-1)) {
			continue
		}
		g.Band.X, g.Band.Low, g.Band.High = append(g.Band.X, x), append(g.Band.Low, float64(t.HeatCool[i])), append(g.Band.High, float64(t.HeatWarm[i]))
		normal.X, normal.Y = append(normal.X, x), append(normal.Y, float64(t.HeatNormal[i]))
		if i%heatWeeks == heatWeeks-1 && t.HeatWarm[i] > 0 {
			c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(s.dateWords(h, almanac.RankAt(i))), s.heat(float64(t.HeatCool[i])), s.heat(float64(t.HeatNormal[i])), s.heat(float64(t.HeatWarm[i])), "–"})
		}
	}
	c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(s.Say("%s, the last day with data", s.calendarDate(f.Until))), s.heat(f.Cool), s.heat(f.Normal), s.heat(f.Warm), s.heat(f.Heat)})
	g.Lines = []figure.Line{normal, {Label: s.Say("this season, %s", s.shortDate(h, until)), Kind: "ripe-2", X: []float64{math.Max(float64(until), g.From)}, Y: []float64{f.Heat}}}
	c.Caption = cell(s.Say("The dot is this season on the last day with data. The band runs from a cool year, 1 in 10, to a warm one, 1 in 10."))
	g.Head = s.pictureHead(c.ID, s.Say("Heat so far in %s", t.Row.Name), s.Say("By %s this season has brought %s; a middling year has %s by then, a cool one in ten %s, a warm one in ten %s.",
		s.dateWords(h, until), s.heatText(f.Heat), s.heatText(f.Normal), s.heatText(f.Cool), s.heatText(f.Warm)))
	for i, width := range []int{wideChart, narrowChart} {
		g.Width = width
		if i > 0 {
			g.ID += "-narrow"
		}
		svg, err := g.SVG()
		if err != nil {
			return nil, fmt.Errorf("chart %s of town %s: %w", c.ID, t.Row.ID, err)
		}
		c.SVG += template.HTML(svg)
	}
	return c, nil
}
