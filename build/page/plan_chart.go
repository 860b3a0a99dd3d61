package page

import (
	"cmp"
	"errors"
	"fmt"
	"html/template"
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/figure"
)

// frontierPanels is how many cultivars the chart of effort shows.
const frontierPanels = 6

// frontierChart draws what effort buys, for cultivars from easy to hard.
func (s *site) frontierChart(t *almanac.Town, by *oddsBy, takes map[oddsKey]map[int]*almanac.Take) (*chart, error) {
	type panel struct {
		key  oddsKey
		ways []almanac.TakeWay
	}
	var all []panel
	for _, k := range by.keys {
		if ways := distinctWays(takes[k]); len(ways) > 1 {
			all = append(all, panel{k, ways})
		}
	}
	mains := slices.DeleteFunc(slices.Clone(all), func(x panel) bool { return x.key.part != "main" })
	if len(mains) >= frontierPanels {
		all = mains
	}
	// From the one that ripens for least effort to the one that takes most.
	slices.SortStableFunc(all, func(a, b panel) int { return cmp.Compare(dearness(takes[a.key]), dearness(takes[b.key])) })
	all = spread(all, frontierPanels)
	if len(all) == 0 {
		return nil, nil
	}
	f := figure.Frontier{YLabel: s.Say("years in 10"), XLabel: s.Say("hours of work a year"),
		Targets: takeTargets[:], YTicks: []figure.Tick{{At: 0, Label: "0"}, {At: 0.5, Label: "5"}, {At: 0.8, Label: "8"}, {At: 1, Label: "10"}}}
	c := &chart{ID: "effort", Title: s.Say("What effort buys"), Broad: true}
	c.Data = sheet{Caption: s.Say("The ways drawn"), Head: []string{s.Say("Cultivar and way"), s.Say("Years in 10"), s.Say("Hours a year"), s.Say("Nights carried"), "kWh"}}
	most := 1.0
	kinds := map[string]bool{}
	for _, x := range all {
		name := s.cultivarName(x.key.cultivar)
		if note := s.partNote(x.key); note != "" {
			name += ", " + note
		}
		pn := figure.Panel{Label: name}
		for i := range x.ways {
			w := &x.ways[i]
			kind := "plain"
			switch {
			case w.KWh > 0:
				kind = "freeze"
			case w.Nights > 0:
				kind = "wake"
			}
			kinds[kind] = true
			most = max(most, w.Hours)
			pn.Points = append(pn.Points, figure.Effort{At: w.Hours, Share: w.Odds, Kind: kind})
			c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(s.Say("%s: %s", name, lowerFirst(s.wayName(w)))), cell(s.shortInTen(w.Odds)), cell(s.Grouped(w.Hours)), cell(s.Trimmed(w.Nights, 1)), cell(s.Grouped(w.KWh))})
		}
		f.Panels = append(f.Panels, pn)
	}
	step := 10 * math.Ceil(most/40)
	f.Most = step * math.Ceil((most+1)/step)
	for v := 0.0; v <= f.Most; v += step {
		f.Ticks = append(f.Ticks, figure.Tick{At: v, Label: s.Trimmed(v, 0)})
	}
	for _, k := range []figure.Key{{Kind: "plain", Mark: true, Label: s.Say("nothing carried, no power")}, {Kind: "wake", Mark: true, Label: s.Say("carried in on cold nights")}, {Kind: "freeze", Mark: true, Label: s.Say("uses power")}} {
		if kinds[k.Kind] {
			f.Keys = append(f.Keys, k)
		}
	}
	a, b := f.Panels[0], f.Panels[len(f.Panels)-1]
	c.Caption = cell(s.Say("Each mark is a way of growing that no other beats on work, nights and power at once; the stair is the best that so many hours reach. The lines stand at 5, 8 and 9 years in 10."))
	f.Head = s.pictureHead(c.ID, s.Say("What effort buys in %s", t.Row.Name),
		s.Say("Hours of work a year against years in 10, for %s, from %s, the least work, to %s, the most. The table below has all numbers.", s.countWords(len(f.Panels), "cultivar"), a.Label, b.Label))
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
			return nil, fmt.Errorf("chart of effort of town %s: %w", t.Row.ID, err)
		}
		c.SVG += template.HTML(svg)
	}
	return c, nil
}

// distinctWays are the ways of all targets, each once, by hours.
func distinctWays(takes map[int]*almanac.Take) []almanac.TakeWay {
	var out []almanac.TakeWay
	add := func(w almanac.TakeWay) {
		if !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	for _, target := range takeTargets {
		if t := takes[hundredths(target)]; t != nil {
			for _, w := range t.Ways {
				add(w)
			}
			if t.Best != nil {
				add(*t.Best)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b almanac.TakeWay) int { return cmp.Compare(a.Hours, b.Hours) })
	return out
}

// dearness orders cultivars by the hours that 8 years in 10 take; those that
// never get there come last, the worst at the very end.
func dearness(takes map[int]*almanac.Take) float64 {
	t := takes[hundredths(takeTargets[1])]
	switch {
	case t == nil:
		return math.Inf(1)
	case len(t.Ways) > 0:
		return t.Ways[0].Hours
	case t.Best != nil:
		return 1e6 - t.Best.Odds
	}
	return 1e7
}
