package main

import (
	"fmt"
	"strings"

	"ripeward/build/day"
)

// A report is a row of reports/YEAR.csv, and what the generator knows of it.
type report struct {
	id, town, cultivar, name, part, method   string
	year                                     int
	outcome                                  string
	weeks                                    int // -1: blank
	woke, leafed, out, figlet, seen, checked day.Date
	precision, brebas, dieback               string
	treeID                                   string
	age                                      int // -1: blank
	grower, consent, status, notes           string
	file                                     int // the year of the file it stands in
	life                                     *life
	ripeOn                                   day.Date // the truth
	mess                                     string   // what is wrong with it, or special
}

// reported returns what a grower writes of a tree's year: one report a crop
// part, or none.
func (w *world) reported(t *tree, year int) []*report {
	g := growerOf(t.Grower)
	s := draw(fmt.Sprintf("report %s %d", t.ID, year))
	if !s.percent(g.Reports) {
		return nil
	}
	l := w.live(t, year)
	if l == nil {
		return nil
	}
	var out []*report
	pollination, borne := l.cultivar.Pollination, l.cultivar.CropsBorne
	if borne != "breba" && pollination != "san-pedro" {
		out = append(out, w.report(l, "main"))
	}
	if borne == "breba" || pollination == "san-pedro" || borne == "both" && t.Brebas == "kept" && s.percent(55) {
		if l.dieback != "ground" {
			out = append(out, w.report(l, "breba"))
		}
	}
	kept := out[:0]
	for _, r := range out {
		if r != nil {
			kept = append(kept, r)
		}
	}
	return kept
}

// report writes down one crop part; nil where the grower does not.
func (w *world) report(l *life, part string) *report {
	g, t := l.grower, l.tree
	s := draw(fmt.Sprintf("look %s %d %s", t.ID, l.year, part))
	r := &report{town: t.Town, cultivar: t.Cultivar, name: w.name(t, s), part: part, method: t.Method, year: l.year, weeks: -1,
		woke: day.None, leafed: day.None, out: day.None, figlet: day.None, seen: day.None, checked: day.None,
		treeID: t.ID, age: l.age, file: l.year, grower: g.Code, status: "reviewed", life: l}
	if !t.listed() {
		r.treeID, r.age, r.grower = "", -1, ""
	}
	r.ripeOn = w.ripe(l, part)
	if !r.look(s) {
		return nil
	}
	r.dates(w, s)
	if l.cultivar.CropsBorne == "both" && !s.percent(20) {
		r.brebas = t.Brebas
	}
	if l.dieback != "" && (l.dieback != "none" || s.percent(60)) {
		r.dieback = l.dieback
	}
	if s.percent(g.Public) {
		r.consent = "public"
	}
	if fresh := map[int]int{lastYear: 75, lastYear - 1: 12}[l.year]; s.percent(fresh) {
		r.status = ""
	}
	if s.percent(g.Talks) {
		r.notes = w.note(r, s)
	}
	if s.percent(4) && t.listed() {
		r.treeID = "" // forgot which
	}
	return r
}

// name is what the grower calls the cultivar.
func (w *world) name(t *tree, s source) string {
	c := w.cultivars[t.Cultivar]
	name := string(c.Name)
	if growerOf(t.Grower).OtherNames && len(c.AlsoCalled) > 0 && s.percent(65) {
		name = c.AlsoCalled[s.IntN(len(c.AlsoCalled))]
	}
	if s.percent(5) {
		name = strings.ToLower(name)
	}
	return name
}

// look fills in what the grower saw, and when; false where nothing is told.
func (r *report) look(s source) bool {
	g, l := r.life.grower, r.life
	underWay := l.year == lastYear
	if r.ripeOn == day.None || underWay && r.ripeOn > lastTold-6 {
		if underWay || !s.percent(g.Failures) {
			return false
		}
		last := day.North.InSeason(l.year, l.supply.LastDay)
		if s.percent(85) {
			r.seen = last - day.Date(s.IntN(14))
		} else {
			r.seen = last - day.Date(14+s.IntN(28)) // gave up too early
		}
		r.outcome, r.precision = "not-ripe", "day"
		return true
	}
	k := max(1, g.LookDays)
	switch {
	case !underWay && s.percent(3) && s.percent(g.Failures):
		// Not ripe when last looked at; it ripened unseen.
		r.outcome, r.precision, r.seen = "not-ripe", "day", r.ripeOn-day.Date(3+s.IntN(18))
	case !underWay && s.percent(g.Away):
		r.outcome, r.precision, r.seen = "already-ripe", "day", r.ripeOn+day.Date(3+s.IntN(12))
	default:
		r.outcome, r.precision = "ripe", g.Precision[s.IntN(len(g.Precision))]
		r.seen = r.dated(s, k)
	}
	return true
}

// dated writes down the day of the first ripe fruit as well as it is known.
func (r *report) dated(s source, lookDays int) day.Date {
	switch r.precision {
	case "3-days":
		return r.ripeOn + day.Date(s.within(1))
	case "week":
		return r.ripeOn + day.Date(s.within(3))
	case "third-of-month":
		y, m, d := r.ripeOn.YMD()
		return day.Of(y, m, [...]int{5, 15, 25}[min(2, (d-1)/10)])
	case "month":
		y, m, _ := r.ripeOn.YMD()
		return day.Of(y, m, 15)
	}
	// Found at a look; the fruit ripened since the one before.
	if !s.percent(r.life.grower.Checked) {
		return r.ripeOn
	}
	late := s.IntN(lookDays)
	r.checked = r.ripeOn + day.Date(late-lookDays)
	return r.ripeOn + day.Date(late)
}

// dates fills in how the tree began its year, as far as it was noted.
func (r *report) dates(w *world, s source) {
	g, l := r.life.grower, r.life
	if l.planned && !s.percent(g.NoWeeks) {
		r.weeks = l.weeks
	}
	if l.planned && s.percent(g.Wake) {
		r.woke = l.woke
	}
	if s.percent(g.Leaf) {
		r.leafed = l.leafed
	}
	if l.out != day.None && s.percent(g.Out) {
		r.out = l.out
	}
	class := w.classes[string(l.cultivar.ClassID)]
	if r.part != "main" || !s.percent(g.Figlet) || class == nil || !class.FigletHeatCd.Set {
		return
	}
	rank, ok := l.supply.RankWhen(class.FigletHeatCd.Value)
	on := day.North.InSeason(l.year, rank) + day.Date(s.within(4))
	if ok && on < r.seen-20 && on > l.leafed {
		r.figlet = on
	}
}
