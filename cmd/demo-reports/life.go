package main

import (
	"fmt"

	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/ripening"
)

// A life is what really befell a tree in one year.
type life struct {
	tree              *tree
	grower            *grower
	year, age         int
	cultivar          *club.Cultivar
	method            *club.Method
	planned           bool // woken indoors on purpose
	weeks             int
	woke, leafed, out day.Date // day.None where there is no such day
	dieback           string   // none, part, ground; blank for pots
	supply            ripening.Supply
}

// Days by which a tree leafs out earlier or later than the heat says, and by
// which a grower moves and wakes pots off the plan.
const (
	leafOutDays = 3.5
	moveDays    = 4.0
	wakeDays    = 2.5
)

// live follows a tree through a year of the model's weather; nil where there
// is no weather, or no leaf.
func (w *world) live(t *tree, year int) *life {
	s := draw(fmt.Sprintf("life %s %d", t.ID, year))
	l := &life{tree: t, grower: growerOf(t.Grower), year: year, age: t.Age + year - t.Since, cultivar: w.cultivars[t.Cultivar],
		method: w.methods[t.Method], woke: day.None, leafed: day.None, out: day.None}
	season := w.season(seasonKey{t.Town, string(l.cultivar.CropID), t.Method, year})
	if season == nil {
		return nil
	}
	if l.planned = l.method.Wake == "planned"; l.planned {
		usual := l.grower.Weeks + l.method.HeadStartWeeks.Or(0) - 6 // day-out methods start later
		l.weeks = max(1, min(l.method.HeadStartMax.Or(12), usual+s.within(1)))
	}
	plan, ok := w.grow.Plan(t.Town, t.Method, l.weeks)
	if !ok {
		return nil
	}
	if l.method.Place == "pot" {
		out := day.North.InSeason(year, plan.Out.Rank)
		l.out = out + day.Date(s.normal(moveDays, 9))
		if l.planned {
			l.woke = out - day.Date(7*l.weeks) + day.Date(s.normal(wakeDays, 6))
		}
	} else {
		l.dieback = w.dieback(t, l, s)
	}
	start := ripening.Start{Woke: l.woke, Leafed: day.None, Out: l.out}
	first := season.SupplyFrom(plan.Out.Rank, l.weeks, start)
	if !first.Leafed {
		return nil
	}
	start.Leafed = day.North.InSeason(year, first.LeafOut) + day.Date(s.normal(leafOutDays, 9))
	if l.woke != day.None {
		start.Leafed = max(start.Leafed, l.woke+5)
	}
	l.leafed = start.Leafed
	l.supply = season.SupplyFrom(plan.Out.Rank, l.weeks, start)
	return l
}

// dieback draws what the winter did to wood in the ground.
func (w *world) dieback(t *tree, l *life, s source) string {
	low, known := w.grow.WinterLow(t.Town, l.year)
	if !known || !l.cultivar.WoodKillC.Set {
		return "none"
	}
	gain := (l.method.WinterGainLowC.Or(0) + l.method.WinterGainHighC.Or(0)) / 2
	crop := w.crops[string(l.cultivar.CropID)]
	above := low + gain - l.cultivar.WoodKillC.Value + float64(s.normal(10*crop.WoodKillSdC.Or(2), 60))/10
	switch {
	case above <= 0:
		return "ground"
	case above <= 2.5:
		return "part"
	}
	return "none"
}

// ripe returns the day of the first ripe fruit of a crop part, day.None where
// nothing ripened.
func (w *world) ripe(l *life, part string) day.Date {
	n, can := w.truth.need(l.tree.Cultivar, part)
	if !can {
		return day.None
	}
	if part == "breba" && (l.supply.SetBacks > 0 || l.dieback == "ground") {
		return day.None // the wood or the shoots that bear them are gone
	}
	s := draw(fmt.Sprintf("year %s %d %s", l.tree.ID, l.year, part))
	year := scatter[n.crop].year
	heat := float64(n.true) + w.truth.garden(l.tree.Grower, n.crop) + float64(s.normal(year, 3*year)) + l.method.ExtraNeedCd.Or(0)
	crop := w.crops[n.crop]
	if part == "main" {
		if l.cultivar.CropsBorne == "both" && l.tree.Brebas == "kept" {
			heat += crop.BrebaDelayCd.Or(0)
		}
		if l.dieback == "ground" {
			heat += crop.DiebackDelayCd.Or(0)
		}
	}
	if l.age <= 1 {
		heat += firstYearDelay
	}
	if r, ok := l.supply.RankWhen(heat); ok {
		return day.North.InSeason(l.year, r)
	}
	return day.None
}
