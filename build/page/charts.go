package page

import (
	"errors"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/figure"
)

// chart is a figure with its words and its numbers.
type chart struct {
	ID, Title string
	SVG       template.HTML
	Caption   template.HTML // what to see in it, in a sentence
	Data      sheet
	Broad     bool // takes the whole width, and has a second drawing for phones
}

// The season ribbon is drawn for a wide and for a narrow screen, and the style
// sheet shows the one that fits. The others are small enough to stand side by
// side, or one below the other on a phone.
const (
	wideChart   = 720
	narrowChart = 360
)

// ribbonRows is how many cultivars a season ribbon shows.
const ribbonRows = 8

// raceLines is how many cultivars race in one chart.
const raceLines = 4

// pictureHead is what a picture says of itself, with the page's way of writing numbers.
func (s *site) pictureHead(id, title, desc string) figure.Head {
	return figure.Head{ID: id, Title: title, Desc: desc, Number: s.Signed}
}

func (s *site) townCharts(t *almanac.Town, by *oddsBy, show *club.Method) ([]chart, error) {
	var out []chart
	add := func(c chart, h *figure.Head, draw func() ([]byte, error)) error {
		widths := []int{narrowChart}
		if c.Broad {
			widths = []int{wideChart, narrowChart}
		}
		for i, width := range widths {
			h.ID, h.Width = c.ID, width
			if i > 0 {
				h.ID += "-narrow"
			}
			svg, err := draw()
			if errors.Is(err, figure.ErrNothing) {
				return nil
			}
			if err != nil {
				return fmt.Errorf("chart %s of town %s: %w", c.ID, t.Row.ID, err)
			}
			c.SVG += template.HTML(svg)
		}
		out = append(out, c)
		return nil
	}
	if show != nil {
		ranked := s.ranked(by, show)
		c, f := s.ribbon(t, show, ranked)
		if err := add(c, &f.Head, func() ([]byte, error) { return f.SVG() }); err != nil {
			return nil, err
		}
		c, r := s.race(t, show, ranked)
		if len(r.Lines) > 0 {
			if err := add(c, &r.Head, func() ([]byte, error) { return r.SVG() }); err != nil {
				return nil, err
			}
		}
	}
	c, y := s.heatChart(t)
	if err := add(c, &y.Head, func() ([]byte, error) { return y.SVG() }); err != nil {
		return nil, err
	}
	c, z := s.coldChart(t)
	if err := add(c, &z.Head, func() ([]byte, error) { return z.SVG() }); err != nil {
		return nil, err
	}
	return out, nil
}

// ranked lists the answers for one method, best odds first, then earliest.
func (s *site) ranked(by *oddsBy, m *club.Method) []*almanac.Odds {
	var out []*almanac.Odds
	for _, k := range by.keys {
		if o := by.at[k][string(m.ID)]; o != nil && o.Reason == "" {
			out = append(out, o)
		}
	}
	slices.SortStableFunc(out, func(a, b *almanac.Odds) int {
		if d := hundredths(b.Odds) - hundredths(a.Odds); d != 0 {
			return d
		}
		return int(first(a)) - int(first(b))
	})
	return out
}

func first(o *almanac.Odds) day.Rank {
	if o.FirstRipe[0].None {
		return 400
	}
	return o.FirstRipe[0].Rank
}

// label names a row or line of a chart.
func (s *site) label(o *almanac.Odds) string {
	name := s.cultivarName(o.Cultivar)
	if o.Part == "breba" && !strings.Contains(strings.ToLower(name), "breba") {
		name += ", " + s.partWords(o.Part)
	}
	return name
}

// leafOut is the median day of leaf-out under a method.
func leafOut(t *almanac.Town, method string) (day.Rank, bool) {
	var ranks []int
	for _, e := range t.Endings {
		if e.Method == method {
			for _, y := range e.HeatByYear {
				if y.LeafOut != 0 {
					ranks = append(ranks, int(y.LeafOut))
				}
			}
		}
	}
	if len(ranks) == 0 {
		return 0, false
	}
	slices.Sort(ranks)
	return day.Rank(ranks[len(ranks)/2]), true
}

// ribbonOf picks the rows of a ribbon, the earliest first: main crops by their
// odds, and brebas where main crops leave room.
func ribbonOf(ranked []*almanac.Odds) []*almanac.Odds {
	var rows []*almanac.Odds
	for _, part := range []string{"main", "breba"} {
		for _, o := range ranked {
			if len(rows) < ribbonRows && o.Part == part && !o.FirstRipe[0].None {
				rows = append(rows, o)
			}
		}
	}
	slices.SortStableFunc(rows, func(a, b *almanac.Odds) int { return int(first(a)) - int(first(b)) })
	return rows
}

func (s *site) ribbon(t *almanac.Town, m *club.Method, ranked []*almanac.Odds) (chart, figure.Ribbon) {
	h := t.Hemisphere
	how := s.methodIn(m)
	rows := ribbonOf(ranked)
	c := chart{ID: "ribbon", Title: s.Say("The season, cultivar by cultivar"), Broad: true}
	c.Data = sheet{Caption: s.Say("The days behind the ribbon"), Head: []string{s.Say("Cultivar"), s.Say("Ripe by, 1 year in 10"), s.Say("1 year in 2"), s.Say("9 years in 10"), s.Say("Odds")}}
	pl, out := planOf(t, m), day.Rank(0)
	leaf, leafKnown := leafOut(t, string(m.ID))
	if pl != nil && !pl.Wake.None && pl.Weeks > 0 {
		out = pl.Wake.Rank
	} else if pl != nil && !pl.DormantOut.None {
		out = pl.DormantOut.Rank
	}
	from, until := h.RankOf(3, 1), h.RankOf(11, 30)
	if out != 0 && out < from {
		from = out - 7
	}
	f := figure.Ribbon{From: float64(from), Until: float64(until), Ticks: s.monthTicks(h, from, until)}
	if n := t.Normal("last_spring_freeze_0"); n != nil && n.P[8].OK && !n.P[8].None {
		f.Behind = append(f.Behind, figure.Stretch{From: f.From, Until: n.P[8].V, Kind: "frost"})
	}
	if n := t.Normal("first_autumn_freeze_0"); n != nil && n.P[0].OK && !n.P[0].None {
		f.Behind = append(f.Behind, figure.Stretch{From: n.P[0].V, Until: f.Until, Kind: "autumn-frost"})
	}
	end := float64(until)
	for _, e := range t.Endings {
		if e.Method == string(m.ID) && !e.LastDay[2].None {
			end = min(end, float64(e.LastDay[2].Rank))
		}
	}
	for _, o := range rows {
		a := float64(o.FirstRipe[0].Rank)
		row := figure.RibbonRow{Label: s.label(o), Note: s.Say("%s in 10", s.shortInTen(o.Odds))}
		put := func(from, until float64, kind string) {
			if until > from {
				row.Stretches = append(row.Stretches, figure.Stretch{From: from, Until: until, Kind: kind})
			}
		}
		if leafKnown {
			if out != 0 {
				put(float64(out), float64(leaf), "wake")
			}
			put(float64(leaf), a, "grow")
		}
		cells := []string{s.shortDate(h, o.FirstRipe[0].Rank), s.Say("not in every second year"), s.Say("not in 9 years in 10")}
		late := max(end, a+1)
		if x := o.FirstRipe[2]; !x.None {
			late = float64(x.Rank)
			cells[2] = s.shortDate(h, x.Rank)
			put(late, end, "ripe-middle")
		}
		put(a, late, "ripe-early")
		if x := o.FirstRipe[1]; !x.None {
			row.Marks = append(row.Marks, figure.Mark{At: float64(x.Rank), Kind: "ripe"})
			cells[1] = s.shortDate(h, x.Rank)
		}
		f.Rows = append(f.Rows, row)
		c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(row.Label), cell(cells[0]), cell(cells[1]), cell(cells[2]), cell(row.Note)})
	}
	if len(rows) > 0 {
		o := rows[0]
		c.Caption = cell(s.Say("%s: %s is the first to ripen, from %s in an early year.", upperFirst(how), s.label(o), s.dateWords(h, o.FirstRipe[0].Rank)))
	}
	if leafKnown {
		c.Caption += " " + cell(s.Say("Leaves come around %s.", s.dateWords(h, leaf)))
	}
	for _, k := range []figure.Key{
		{Kind: "wake", Label: s.Say("out or woken, no leaves yet")}, {Kind: "grow", Label: s.Say("in leaf")},
		{Kind: "ripe-early", Label: s.Say("first fruit, from an early year to a late one")}, {Kind: "ripe", Mark: true, Label: s.Say("the middle year")},
		{Kind: "ripe-middle", Label: s.Say("in fruit 9 years in 10")}, {Kind: "frost", Label: s.Say("freezes in 1 year in 10 or more")},
	} {
		if k.Mark || used(f, k.Kind) {
			f.Keys = append(f.Keys, k)
		}
	}
	f.Head = s.pictureHead(c.ID, s.Say("The season, cultivar by cultivar %s", how), s.ribbonDesc(t, rows, how))
	return c, f
}

// used tells whether a kind of stretch occurs in a ribbon.
func used(f figure.Ribbon, kind string) bool {
	has := func(ss []figure.Stretch) bool {
		return slices.ContainsFunc(ss, func(x figure.Stretch) bool { return x.Kind == kind })
	}
	return has(f.Behind) || slices.ContainsFunc(f.Rows, func(r figure.RibbonRow) bool { return has(r.Stretches) })
}

func (s *site) ribbonDesc(t *almanac.Town, rows []*almanac.Odds, how string) string {
	if len(rows) == 0 {
		return s.Say("No cultivar ripens here %s.", how)
	}
	a, b := rows[0], rows[len(rows)-1]
	first := s.dateWords(t.Hemisphere, a.FirstRipe[0].Rank)
	if len(rows) == 1 {
		return s.Say("Each bar is a cultivar's year %s. %s comes first, ripe by %s in 1 year in 10. The table below has all dates.", how, s.label(a), first)
	}
	return s.Say("Each bar is a cultivar's year %s. %s comes first, ripe by %s in 1 year in 10; %s last, by %s. The table below has all dates.",
		how, s.label(a), first, s.label(b), s.dateWords(t.Hemisphere, b.FirstRipe[0].Rank))
}

// monthTicks are the first days of the months in a window.
func (s *site) monthTicks(h day.Hemisphere, from, until day.Rank) []figure.Tick {
	var out []figure.Tick
	for m := 1; m <= 12; m++ {
		if r := h.RankOf(m, 1); r >= from && r <= until {
			out = append(out, figure.Tick{At: float64(r), Label: s.ShortMonths[h.Northern(m)-1], Between: true})
		}
	}
	return out
}

func (s *site) race(t *almanac.Town, m *club.Method, ranked []*almanac.Odds) (chart, figure.Race) {
	h := t.Hemisphere
	how := s.methodIn(m)
	c := chart{ID: "race", Title: s.Say("Ripening against frost")}
	runners := slices.DeleteFunc(slices.Clone(ranked), func(o *almanac.Odds) bool { return o.Curve == nil || hundredths(o.Odds) < 5 })
	if mains := slices.DeleteFunc(slices.Clone(runners), func(o *almanac.Odds) bool { return o.Part != "main" }); len(mains) > 1 {
		runners = mains
	}
	pick := spread(runners, raceLines)
	var xs []float64
	for i := range len(almanac.Curve{}) {
		xs = append(xs, float64(almanac.RankAt(i)))
	}
	// From just before anything ripens to where the frost curve is full.
	lo, hi := len(xs)-1, 0
	for i := range xs {
		for _, o := range pick {
			if o.Curve[i] > 0.005 {
				lo = min(lo, max(i-2, 0))
			}
		}
		if t.Frozen0[i] > 0.005 {
			lo = min(lo, max(i-1, 0))
		}
	}
	for i := len(xs) - 1; i > 0; i-- {
		if t.FrozenM22[i]-t.FrozenM22[i-1] > 0.005 {
			hi = max(hi, min(i+1, len(xs)-1))
		}
		for _, o := range pick {
			if o.Curve[i]-o.Curve[i-1] > 0.005 {
				hi = max(hi, min(i+1, len(xs)-1))
			}
		}
	}
	lo = max(min(lo, hi), int(h.RankOf(6, 1))/7-1)
	if hi <= lo {
		return c, figure.Race{} // neither fruit nor frost: no race
	}
	f := figure.Race{From: xs[lo], Until: xs[hi], YLabel: s.Say("years in 10"),
		YTicks: []figure.Tick{{At: 0, Label: "0"}, {At: 0.2, Label: "2"}, {At: 0.4, Label: "4"}, {At: 0.6, Label: "6"}, {At: 0.8, Label: "8"}, {At: 1, Label: "10"}}}
	f.Ticks = s.monthTicks(h, day.Rank(xs[lo]), day.Rank(xs[hi]))
	c.Data = sheet{Caption: s.Say("Years in 10 by which it has happened"), Head: []string{s.Say("By|a day")}}
	line := func(label, kind string, curve *almanac.Curve) {
		ys := make([]float64, 0, hi-lo+1)
		for i := lo; i <= hi; i++ {
			ys = append(ys, float64(curve[i]))
		}
		f.Lines = append(f.Lines, figure.Line{Label: label, Kind: kind, X: xs[lo : hi+1], Y: ys})
		c.Data.Head = append(c.Data.Head, label)
	}
	for i, o := range pick {
		line(s.label(o), fmt.Sprintf("ripe-%d", i+1), o.Curve)
	}
	line(s.Say("first freeze"), "frost", &t.Frozen0)
	line(s.Say("hard freeze"), "hard-frost", &t.FrozenM22)
	for i := lo; i <= hi; i += 2 {
		row := []template.HTML{cell(s.shortDate(h, day.Rank(xs[i])))}
		for _, l := range f.Lines {
			row = append(row, cell(s.Fixed(l.Y[i-lo]*10, 1)))
		}
		c.Data.Rows = append(c.Data.Rows, row)
	}
	c.Caption = cell(s.Say("%s. A ripening line that climbs well before the frost lines is a safe choice; one that they overtake is a gamble.", upperFirst(how)))
	desc := []string{s.Say("Share of years in which the first fruit is ripe by a date, against the share in which it has frozen by then.")}
	for _, o := range pick {
		if !o.FirstRipe[1].None {
			desc = append(desc, s.Say("%s: ripe by %s in 1 year in 2.", s.label(o), s.dateWords(h, o.FirstRipe[1].Rank)))
		} else {
			desc = append(desc, s.Say("%s: ripe in %s.", s.label(o), s.yearsInTen(o.Odds)))
		}
	}
	if n := t.Normal("first_autumn_freeze_0"); n != nil && n.P[4].OK && !n.P[4].None {
		desc = append(desc, s.Say("First freeze by %s in 1 year in 2.", s.rankWords(t, n.P[4])))
	}
	f.Head = s.pictureHead(c.ID, s.Say("Ripening against frost %s", how), strings.Join(desc, " "))
	return c, f
}

// spread picks n of the list, its ends among them, evenly in between.
func spread[T any](list []T, n int) []T {
	if len(list) <= n {
		return list
	}
	out := make([]T, 0, n)
	for i := range n {
		out = append(out, list[i*(len(list)-1)/(n-1)])
	}
	return out
}
