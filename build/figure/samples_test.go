package figure_test

import (
	"math"
	"math/rand/v2"

	"ripeward/build/figure"
)

// The samples are invented.

func months() []figure.Tick {
	var ts []figure.Tick
	at := 1.0
	for i, m := range []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"} {
		ts = append(ts, figure.Tick{At: at, Label: m, Between: true})
		at += []float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[i]
	}
	return ts
}

func head(id string, width int) figure.Head {
	return figure.Head{ID: id, Title: "Sample " + id, Desc: "An invented sample.", Width: width}
}

func ribbon(width int) figure.Ribbon {
	r := figure.Ribbon{Head: head("ribbon", width), From: 60, Until: 340, Ticks: months(),
		Behind: []figure.Stretch{{From: 0, Until: 118, Kind: "frost"}, {From: 288, Until: 366, Kind: "autumn-frost"}},
		Keys: []figure.Key{{Kind: "grow", Label: "growing"}, {Kind: "ripe-early", Label: "ripe in early or late years"},
			{Kind: "ripe-middle", Label: "ripe in most years"}, {Kind: "ripe", Mark: true, Label: "middle year"},
			{Kind: "wake", Mark: true, Label: "wakes"}, {Kind: "freeze", Mark: true, Label: "first freeze, middle year"}, {Kind: "frost", Label: "frost in most years"}}}
	for i, name := range []string{"Lanternlow Early", "Mossgate Brown", "Quillon’s Amber, main crop", "Pale Hatherby", "Old Wharf Black"} {
		d := float64(i * 13)
		r.Rows = append(r.Rows, figure.RibbonRow{Label: name, Note: []string{"9 in 10", "8 in 10", "6 in 10", "3 in 10", "1 in 10"}[i],
			Stretches: []figure.Stretch{{From: 96, Until: 112, Kind: "wake"}, {From: 112, Until: 206 + d, Kind: "grow"}, {From: 206 + d, Until: 220 + d, Kind: "ripe-early"},
				{From: 220 + d, Until: 240 + d, Kind: "ripe-middle"}, {From: 240 + d, Until: 258 + d*0.7, Kind: "ripe-late"}},
			Marks: []figure.Mark{{At: 96, Kind: "wake"}, {At: 229 + d, Kind: "ripe"}, {At: 294, Kind: "freeze"}}})
	}
	return r
}

func sCurve(mid, slope, top float64) (x, y []float64) {
	for i := 0; i < 53; i++ {
		d := math.Min(float64(7*(i+1)), 365)
		v := top / (1 + math.Exp(-(d-mid)/slope))
		if v < 0.002 {
			v = 0
		}
		x, y = append(x, d), append(y, v)
	}
	return x, y
}

func race(width int) figure.Race {
	r := figure.Race{Head: head("race", width), From: 182, Until: 335, Ticks: months(), YLabel: "Share of years, %",
		YTicks: []figure.Tick{{At: 0, Label: "0"}, {At: .25, Label: "25"}, {At: .5, Label: "50"}, {At: .75, Label: "75"}, {At: 1, Label: "100"}}}
	add := func(label, kind string, mid, slope, top float64) {
		x, y := sCurve(mid, slope, top)
		r.Lines = append(r.Lines, figure.Line{Label: label, Kind: kind, X: x, Y: y})
	}
	add("Frozen (0 °C)", "frost", 283, 6, 1)
	add("Hard freeze (−2.2 °C)", "hard-frost", 297, 7, 1)
	add("Lanternlow Early", "ripe-1", 226, 6, 0.97)
	add("Mossgate Brown", "ripe-2", 240, 7, 0.86)
	add("Quillon’s Amber", "ripe-3", 252, 7, 0.61)
	add("Old Wharf Black", "ripe-4", 265, 8, 0.12)
	return r
}

func heat(width int) figure.Yearly {
	rng := rand.New(rand.NewPCG(4, 9))
	y := figure.Yearly{Head: head("heat", width), Joined: true, YLabel: "Heat from leaf-out, °C·days above 10 °C"}
	t := figure.Line{Label: "Trend: +45 a decade", Kind: "trend"}
	for i := 0; i < 40; i++ {
		v := 1180 + 4.5*float64(i) + rng.NormFloat64()*90
		if i == 11 || i == 12 {
			v = math.NaN()
		}
		y.Years, y.Values = append(y.Years, 1985+i), append(y.Values, v)
		t.X, t.Y = append(t.X, float64(1985+i)), append(t.Y, 1180+4.5*float64(i))
	}
	y.Lines = []figure.Line{t, {Label: "Mossgate Brown needs 1,240", Kind: "level", X: []float64{1900, 2100}, Y: []float64{1240, 1240}}}
	return y
}

func cold(width int) figure.Yearly {
	y := heat(width)
	y.ID, y.Joined, y.YLabel = "cold", false, "Lowest temperature of the winter, °C"
	rng := rand.New(rand.NewPCG(8, 1))
	for i := range y.Values {
		y.Values[i] = -14 + 0.08*float64(i) + rng.NormFloat64()*4
	}
	y.Lines = []figure.Line{{Label: "Wood dies at −12", Kind: "level", X: []float64{1985, 2024}, Y: []float64{-12, -12}}}
	y.Low, y.High = -20, 0
	return y
}

// course is the heat of a season so far against what is usual.
func course(width int) figure.Course {
	c := figure.Course{Head: head("course", width), From: 60, Until: 300, Ticks: months(), YLabel: "Heat since the season began, °C·d", Band: &figure.Band{Label: "8 years in 10"}}
	normal := figure.Line{Label: "a middling year", Kind: "ripe-6"}
	for d := 60.0; d <= 305; d += 7 {
		v := 1200 / (1 + math.Exp((200-d)/28))
		c.Band.X, c.Band.Low, c.Band.High = append(c.Band.X, d), append(c.Band.Low, v*0.85), append(c.Band.High, v*1.2)
		normal.X, normal.Y = append(normal.X, d), append(normal.Y, v)
	}
	c.Lines = []figure.Line{normal, {Label: "this season", Kind: "ripe-2", X: []float64{210}, Y: []float64{830}}}
	return c
}

// frontier is what effort buys, for a few cultivars.
func frontier(width int) figure.Frontier {
	f := figure.Frontier{Head: head("frontier", width), Most: 40, XLabel: "hours of work a year", YLabel: "years in 10", Targets: []float64{0.5, 0.8, 0.9},
		Ticks:  []figure.Tick{{At: 0, Label: "0"}, {At: 10, Label: "10"}, {At: 20, Label: "20"}, {At: 30, Label: "30"}, {At: 40, Label: "40"}},
		YTicks: []figure.Tick{{At: 0, Label: "0"}, {At: 0.5, Label: "5"}, {At: 0.8, Label: "8"}, {At: 0.9, Label: "9"}},
		Keys:   []figure.Key{{Kind: "plain", Mark: true, Label: "nothing carried"}, {Kind: "wake", Mark: true, Label: "carried in at night"}, {Kind: "freeze", Mark: true, Label: "uses electricity"}}}
	for i, name := range []string{"Lanternlow Early", "Mossgate Brown", "Quillon’s Amber, main crop", "Old Wharf Black"} {
		d := float64(i)
		f.Panels = append(f.Panels, figure.Panel{Label: name, Points: []figure.Effort{{At: 2, Share: 0.8 - 0.2*d, Kind: "plain"},
			{At: 12, Share: 0.9 - 0.2*d, Kind: "wake"}, {At: 20, Share: 0.85 - 0.2*d, Kind: "wake"}, {At: 33, Share: 1 - 0.15*d, Kind: "freeze"}}})
	}
	return f
}

type drawer interface{ SVG() ([]byte, error) }

// samples are all charts that the checks of form look at, typical ones and
// awkward ones, at both widths.
func samples() map[string]drawer {
	m := map[string]drawer{}
	nan, long := math.NaN(), "A very long cultivar name that somebody wrote with <care> & \"quotes\", Grüße, 春の無花果 and nospacesatallinthiswordwhichgoesonandon"
	for size, w := range map[string]int{"wide": 720, "narrow": 360} {
		m["ribbon-"+size] = ribbon(w)
		m["race-"+size] = race(w)
		m["heat-"+size] = heat(w)
		m["cold-"+size] = cold(w)
		m["course-"+size] = course(w)
		m["frontier-"+size] = frontier(w)

		rough := frontier(w)
		rough.ID, rough.XLabel, rough.Panels = "frontier-awkward", long, append(rough.Panels, figure.Panel{Label: long, Points: []figure.Effort{{}, {At: 40, Share: 1}, {At: 40, Share: 1}}}, figure.Panel{})
		m["frontier-awkward-"+size] = rough
		bare := course(w)
		bare.ID, bare.Lines = "course-bare", nil
		m["course-bare-"+size] = bare

		mapSamples(m, size, w)

		r := ribbon(w)
		r.ID, r.Ticks = "ribbon-many", nil
		for i := 0.0; i < 60; i++ {
			r.Ticks = append(r.Ticks, figure.Tick{At: 60 + 5*i, Label: "12 May"})
		}
		for i := 0; i < 20; i++ {
			r.Rows = append(r.Rows, figure.RibbonRow{Label: long, Note: "fewer than 1 in 10 of all years",
				Stretches: []figure.Stretch{{From: -1e6, Until: 1e6, Kind: "grow"}, {From: 100, Until: 100, Kind: "ripe-middle"}},
				Marks:     []figure.Mark{{At: 60, Kind: "out"}, {At: 340, Kind: "in"}, {At: 200, Kind: "else"}, {At: 1e9, Kind: "ripe"}}}, figure.RibbonRow{})
		}
		r.Keys = append(r.Keys, figure.Key{Kind: "wake", Label: long})
		m["ribbon-many-"+size] = r

		rc := race(w)
		rc.ID, rc.YLabel = "race-awkward", long
		for i := range rc.Lines {
			rc.Lines[i].Label = long
			for k := range rc.Lines[i].Y {
				rc.Lines[i].Y[k] = 1 // all end at the same place
			}
		}
		rc.Lines[1].Y[30], rc.Lines[1].Y[32] = nan, nan // leaves a single point between
		for k := range rc.Lines[2].Y {
			rc.Lines[2].Y[k] = nan
		}
		rc.YTicks = nil
		for i := 0.0; i <= 50; i++ {
			rc.YTicks = append(rc.YTicks, figure.Tick{At: i / 50, Label: "label & more"})
		}
		m["race-awkward-"+size] = rc

		one := figure.Yearly{Head: head("one", w), Years: []int{2001}, Values: []float64{3}, Joined: true}
		m["yearly-one-"+size] = one
		flat := figure.Yearly{Head: head("flat", w), Years: []int{1990, 1991, 1995, 2020}, Values: []float64{-7, -7, -7, nan}, Joined: true, YLabel: "°C"}
		m["yearly-flat-"+size] = flat
		zero := flat
		zero.ID, zero.Values = "zero", []float64{0, 0, 0, 0}
		m["yearly-zero-"+size] = zero
		tiny := flat
		tiny.ID, tiny.Values = "tiny", []float64{1000, 1000.000001, 1000, 1000}
		m["yearly-tiny-"+size] = tiny
		huge := flat
		huge.ID, huge.Values = "huge", []float64{-1e12, 1e12, 0, 1}
		m["yearly-huge-"+size] = huge
		centuries := figure.Yearly{Head: head("centuries", w), YLabel: "°C"}
		for i := 0; i < 260; i++ {
			centuries.Years, centuries.Values = append(centuries.Years, 1763+i), append(centuries.Values, math.Sin(float64(i)))
		}
		m["yearly-centuries-"+size] = centuries
	}
	return m
}
