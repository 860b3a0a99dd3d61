package page

import (
	"errors"
	"fmt"
	"html/template"
	"math"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/figure"
)

// tableWeeks is every how many weeks the table under the chart has a row.
const tableWeeks = 2

// storeChart draws the middle winter in a store, week by week, against the
// crop's limits; nil where the book has no weeks.
func (s *site) storeChart(t *almanac.Town, crop *club.Crop, x storePair) (*chart, error) {
	r, h := x.bare, t.Hemisphere
	n := min(len(r.Low), len(r.High))
	if n < 2 || r.In.None || r.Out.None {
		return nil, nil
	}
	store, cropName := lowerFirst(s.storeName(r.Store)), s.in(crop.Row, "name", crop.Name)
	c := &chart{ID: "winter-" + r.Store, Title: s.Say("The middle winter in the %s", store), Broad: true}
	c.Data = sheet{Caption: s.Say("Lowest and highest of each week in the %s, middle winter", store), Head: []string{s.Say("Week from"), s.Say("Lowest, bare pot"), s.Say("Highest, bare pot")}}
	wrapped := x.wrapped != nil && len(x.wrapped.Low) >= n
	if wrapped {
		c.Data.Head = append(c.Data.Head, s.Say("Lowest, wrapped pot"))
	}
	first := float64(r.In.Rank) - 365
	f := figure.Course{From: first, Until: first + 7*float64(n-1), YLabel: "°C (°F)", Band: &figure.Band{Label: s.Say("bare pot, lowest to highest of the week")}}
	sheltered := figure.Line{Label: s.Say("wrapped pot, lowest"), Kind: "ripe-1"}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range n {
		at, lo, hi := first+7*float64(i), float64(r.Low[i]), float64(r.High[i])
		if lo != lo || hi != hi {
			return nil, nil
		}
		low, high = min(low, lo), max(high, hi)
		f.Band.X, f.Band.Low, f.Band.High = append(f.Band.X, at), append(f.Band.Low, lo), append(f.Band.High, hi)
		row := []template.HTML{cell(s.shortDate(h, day.Rank(at))), s.temp(lo, 1), s.temp(hi, 1)}
		if wrapped {
			w := float64(x.wrapped.Low[i])
			sheltered.X, sheltered.Y = append(sheltered.X, at), append(sheltered.Y, w)
			row = append(row, s.temp(w, 1))
		}
		if i%tableWeeks == 0 {
			c.Data.Rows = append(c.Data.Rows, row)
		}
	}
	if wrapped {
		f.Lines = append(f.Lines, sheltered)
	}
	for _, l := range []struct {
		limit club.Number
		kind  string
		words string
	}{{crop.StoreHighC, "trend", s.Say("warmest it should be")}, {crop.StoreLowC, "level", s.Say("coldest it should be")}} {
		if l.limit.Set {
			v := l.limit.Value
			low, high = min(low, v), max(high, v)
			f.Lines = append(f.Lines, figure.Line{Label: l.words, Kind: l.kind, X: []float64{f.From, f.Until}, Y: []float64{v, v}})
		}
	}
	f.Low, f.High, f.YTicks = s.degreeTicks(low, high)
	if isFig(crop) {
		for _, b := range bandFields {
			f.Fields = append(f.Fields, figure.Field{From: b.from, Until: b.until, Label: s.Say(b.label), Chosen: b.label == bandBest})
		}
	}
	f.Ticks = s.winterTicks(h, f.From, f.Until)
	c.Caption = cell(s.Say("From %s, when %s pots go in, to %s, when they go out. Each week shows the middle of %s; single winters go further both ways.",
		s.dateWords(h, r.In.Rank), lowerFirst(cropName), s.dateWords(h, r.Out.Rank), s.countDigits(r.Winters, "winter")))
	desc := s.Say("The lowest and highest temperature of each week in the %s. The weeks go down to %s and up to %s.", store, s.tempText(minOf(f.Band.Low), 1), s.tempText(maxOf(f.Band.High), 1))
	if crop.StoreLowC.Set && crop.StoreHighC.Set {
		desc += " " + s.Say("%s should stay between %s and %s.", cropName, s.tempText(crop.StoreLowC.Value, 0), s.tempText(crop.StoreHighC.Value, 0))
	}
	f.Head = s.pictureHead(c.ID, c.Title+", "+string(t.Row.Name), desc)
	for i, width := range []int{wideChart, narrowChart} {
		f.Width = width
		if i > 0 {
			f.ID += "-narrow"
		}
		svg, err := f.SVG()
		if errors.Is(err, figure.ErrNothing) {
			return nil, nil
		}
		if err != nil {
			return nil, fmt.Errorf("chart %s of town %s: %w", c.ID, t.Row.ID, err)
		}
		c.SVG += template.HTML(svg)
	}
	return c, nil
}

// winterTicks are the first days of the months from the autumn before on.
func (s *site) winterTicks(h day.Hemisphere, from, until float64) []figure.Tick {
	var out []figure.Tick
	for at := day.Rank(math.Ceil(from)); float64(at) <= until; at++ {
		if m, d := h.MonthDay(at); d == 1 {
			out = append(out, figure.Tick{At: float64(at), Label: s.ShortMonths[m-1], Between: true})
		}
	}
	return out
}

// degreeTicks is an axis of temperature in both units, round in °C.
func (s *site) degreeTicks(low, high float64) (from, until float64, ticks []figure.Tick) {
	step := 5.0
	if high-low > 30 {
		step = 10
	}
	from, until = step*math.Floor(low/step), step*math.Ceil(high/step)
	if from == until {
		until += step
	}
	for v := from; v <= until+0.1; v += step {
		ticks = append(ticks, figure.Tick{At: v, Label: s.Signed(v, 0) + " (" + s.Signed(v*1.8+32, 0) + ")"})
	}
	return from, until, ticks
}

func minOf(vs []float64) float64 {
	m := math.Inf(1)
	for _, v := range vs {
		m = min(m, v)
	}
	return m
}

func maxOf(vs []float64) float64 {
	m := math.Inf(-1)
	for _, v := range vs {
		m = max(m, v)
	}
	return m
}
