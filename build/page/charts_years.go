package page

import (
	"html/template"
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/figure"
	"ripeward/build/quantity"
	"ripeward/build/words"
)

// yearly fills what the two charts of one figure a year have in common.
func yearly(t *almanac.Town, value func(*climate.Season) climate.Value) (years []int, values []float64) {
	for i := range t.Seasons {
		v := value(&t.Seasons[i])
		years = append(years, t.Seasons[i].Year)
		if v.OK {
			values = append(values, v.V)
		} else {
			values = append(values, math.NaN())
		}
	}
	return years, values
}

// trendLine is the straight line with the published slope through the median
// of what it leaves (Theil-Sen intercept).
func trendLine(label string, years []int, values []float64, n *climate.Normal) (figure.Line, bool) {
	if n == nil || !n.Trend.OK {
		return figure.Line{}, false
	}
	slope := n.Trend.V / 10
	var left []float64
	for i, y := range years {
		if n.Span.Has(y) && !math.IsNaN(values[i]) {
			left = append(left, values[i]-slope*float64(y))
		}
	}
	if len(left) == 0 {
		return figure.Line{}, false
	}
	slices.Sort(left)
	k := len(left)
	mid := (left[(k-1)/2] + left[k/2]) / 2
	a, b := float64(n.Span.First), float64(n.Span.Last)
	return figure.Line{Label: label, Kind: "trend", X: []float64{a, b}, Y: []float64{mid + slope*a, mid + slope*b}}, true
}

// trendWords says a trend with what stands behind it; step is what its amount
// is printed to, more and less are the sentences for its two ways.
func (s *site) trendWords(n *climate.Normal, amount template.HTML, step float64, more, less string) template.HTML {
	if n == nil || !n.Trend.OK || !n.TrendP.OK {
		return ""
	}
	if math.Abs(n.Trend.V) < step/2 {
		return template.HTML(" " + s.Say("Next to no trend over %s.", esc(yearsWords(n.Span))))
	}
	way := more
	if n.Trend.V < 0 {
		way = less
	}
	sure := s.Say("too uncertain to tell from chance|a trend")
	if n.TrendP.V < 0.05 {
		sure = s.Say("hard to explain by chance alone|a trend")
	}
	return template.HTML(" " + s.Say(way, esc(yearsWords(n.Span)), amount, esc(sure)))
}

func (s *site) heatChart(t *almanac.Town) (chart, figure.Yearly) {
	n := t.Normal("heat_cd_base10")
	c := chart{ID: "heat", Title: s.Say("Heat, year by year")}
	years, values := yearly(t, func(x *climate.Season) climate.Value { return x.Heat })
	f := figure.Yearly{Years: years, Values: values, YLabel: s.Say("°C·d above 10 °C (×1.8 = °F·d)")}
	if l, ok := trendLine(s.Say("Trend"), years, values, n); ok {
		f.Lines = append(f.Lines, l)
	}
	c.Data = sheet{Caption: s.Say("Heat of each season above 10 °C (50 °F)"), Units: true, Head: []string{s.Say("Season"), "°C·d", "°F·d"}}
	for i, y := range years {
		if !math.IsNaN(values[i]) {
			c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(t.Hemisphere.Label(y)), cell(s.Grouped(values[i])), cell(s.Grouped(fahrenheitDays(values[i])))})
		} else {
			c.Data.Rows = append(c.Data.Rows, s.tooManyMissing(t.Hemisphere.Label(y)))
		}
	}
	desc := s.Say("Heat of each season above 10 °C.")
	if n != nil && n.Mean.OK {
		c.Caption = template.HTML(s.Say("A season brings %s (degree-days) on average.", s.heat(n.Mean.V)))
		desc += " " + s.Say("Average %s.", s.heatText(n.Mean.V))
		if n.Trend.OK {
			c.Caption += s.trendWords(n, s.heat(math.Abs(n.Trend.V)), 1, words.Mark("Trend over %s: %s more per decade, %s."), words.Mark("Trend over %s: %s less per decade, %s."))
			desc += " " + s.Say("Trend %s per decade.", s.heatText(n.Trend.V))
		}
	}
	f.Head = s.pictureHead(c.ID, c.Title, desc)
	return c, f
}

// tooManyMissing is the row of a season without its figure.
func (s *site) tooManyMissing(season string) []template.HTML {
	why := cell(s.Say("too many days missing"))
	return []template.HTML{cell(season), why, why}
}

func (s *site) coldChart(t *almanac.Town) (chart, figure.Yearly) {
	n := t.Normal("winter_min_c")
	c := chart{ID: "cold", Title: s.Say("Coldest night, winter by winter")}
	years, values := yearly(t, func(x *climate.Season) climate.Value { return x.WinterMin })
	f := figure.Yearly{Years: years, Values: values, YLabel: "°C"}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !math.IsNaN(v) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	if lo <= hi {
		f.Low, f.High = 5*math.Floor(lo/5), 5*math.Ceil(hi/5)
		if f.High == f.Low {
			f.High += 5
		}
		step := 5.0
		if f.High-f.Low > 30 {
			step = 10
			f.Low, f.High = 10*math.Floor(lo/10), 10*math.Ceil(hi/10)
		}
		f.YLabel = "°C (°F)"
		for v := f.Low; v <= f.High+0.1; v += step {
			f.YTicks = append(f.YTicks, figure.Tick{At: v, Label: s.Signed(v, 0) + " (" + s.Signed(v*1.8+32, 0) + ")"})
		}
	}
	if l, ok := trendLine(s.Say("Trend"), years, values, n); ok {
		f.Lines = append(f.Lines, l)
	}
	c.Data = sheet{Caption: s.Say("Coldest night of each winter"), Units: true, Head: []string{s.Say("Winter before the season of"), "°C", "°F"}}
	for i, y := range years {
		if !math.IsNaN(values[i]) {
			c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(t.Hemisphere.Label(y)), cell(s.Signed(values[i], 1)), cell(s.Signed(quantity.Celsius(values[i]).Fahrenheit(), 1))})
		} else {
			c.Data.Rows = append(c.Data.Rows, s.tooManyMissing(t.Hemisphere.Label(y)))
		}
	}
	desc := s.Say("Lowest temperature of each winter.")
	if n != nil && n.Mean.OK {
		c.Caption = template.HTML(s.Say("On average the coldest night is %s.", s.temp(n.Mean.V, 1)))
		desc += " " + s.Say("Average %s.", s.tempText(n.Mean.V, 1))
		if n.P[0].OK {
			c.Caption += template.HTML(" " + s.Say("In 1 winter in 10 it reaches %s or less.", s.temp(n.P[0].V, 1)))
			desc += " " + s.Say("1 winter in 10 reaches %s or less.", s.tempText(n.P[0].V, 1))
		}
		c.Caption += s.trendWords(n, s.diff(math.Abs(n.Trend.V), 1), 0.1, words.Mark("Trend over %s: %s warmer per decade, %s."), words.Mark("Trend over %s: %s colder per decade, %s."))
	}
	f.Head = s.pictureHead(c.ID, c.Title, desc)
	return c, f
}
