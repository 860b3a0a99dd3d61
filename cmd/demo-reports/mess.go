package main

import (
	"fmt"
	"strings"

	"ripeward/build/day"
)

// A slip is one kind of what goes wrong with growers' reports, put into so many
// of those that it could befall.
type slip struct {
	kind  string
	times int
	// fits tells whether it could befall a report.
	fits func(w *world, r *report) bool
	// spoil changes the report, or returns another to be filed beside it.
	spoil func(w *world, r *report, n int) *report
}

// messUp puts the mess in. A report suffers one slip at most.
func (w *world) messUp(all []*report) ([]*report, error) {
	for _, x := range slips() {
		left := x.times
		for _, i := range draw("slip " + x.kind).Perm(len(all)) {
			r := all[i]
			if left == 0 {
				break
			}
			if r.mess != "" || r.status != "reviewed" || r.treeID == "" || !x.fits(w, r) {
				continue
			}
			hit := r
			if extra := x.spoil(w, r, x.times-left); extra != nil {
				r.mess = "twin" // it stays as it is, and is spared the rest
				all = append(all, extra)
				hit = extra
			}
			hit.mess = x.kind
			left--
		}
		if left > 0 {
			return nil, fmt.Errorf("the slip %q fits %d reports too few", x.kind, left)
		}
	}
	return all, nil
}

func slips() []slip {
	return append(append(nameSlips(), dateSlips()...), judgedSlips()...)
}

// dry is a report whose date tells something exactly.
func dry(r *report) bool {
	return r.outcome == "ripe" && (r.precision == "day" || r.precision == "3-days")
}

func dryMain(_ *world, r *report) bool { return r.part == "main" && dry(r) }

// move sets the day of the first ripe fruit to when so much more heat (or less)
// had fallen, °C·d.
func (r *report) move(heat float64) {
	s := &r.life.supply
	rank, ok := s.RankWhen(s.HeatOn(r.ripeOn) + heat)
	if !ok {
		rank = s.LastDay
	}
	r.seen, r.checked, r.figlet, r.precision = day.North.InSeason(r.life.year, rank), day.None, day.None, "day"
}

// sameDay returns the same day of another year.
func sameDay(d day.Date, year int) day.Date {
	if d == day.None {
		return d
	}
	_, m, dom := d.YMD()
	return day.Of(year, m, min(dom, day.DaysIn(year, m)))
}

// in returns a copy of a report as of another year.
func (r *report) in(year int) *report {
	c := *r
	c.year, c.file, c.age, c.notes = year, year, r.age+year-r.year, ""
	for _, d := range []*day.Date{&c.woke, &c.leafed, &c.out, &c.figlet, &c.seen, &c.checked} {
		*d = sameDay(*d, year)
	}
	return &c
}

// nameSlips are about what the cultivar is called, and which crop it was.
func nameSlips() []slip {
	wrong := map[string]string{"cobbleday": "Old Millrace", "hearthling": "Thimblejack", "harbour-bell": "Little Hearth", "thimblejack": "Hearthling"}
	misspelt := map[string]string{"hearthling": "Harthling", "cobbleday": "Cobble Day", "thimblejack": "Thimble-Jack", "saltgate": "Saltgait", "old-millrace": "Old Mill Race"}
	unknown := []string{"brown one from the plant sale", "Unknown, by the chapel wall"}
	both := func(w *world, r *report) bool { return r.life.cultivar.CropsBorne == "both" && dry(r) }
	return []slip{
		{"wrong-name", 3, func(_ *world, r *report) bool { return wrong[r.cultivar] != "" },
			func(_ *world, r *report, _ int) *report { r.name = wrong[r.cultivar]; return nil }},
		{"misspelt", 4, func(_ *world, r *report) bool { return misspelt[r.cultivar] != "" },
			func(_ *world, r *report, _ int) *report { r.name = misspelt[r.cultivar]; return nil }},
		{"unknown-name", 2, func(w *world, r *report) bool { return r.crop(w) == "fig" },
			func(_ *world, r *report, n int) *report { r.name = unknown[n]; return nil }},
		{"breba-as-main", 3, func(w *world, r *report) bool { return both(w, r) && r.part == "breba" },
			func(_ *world, r *report, _ int) *report { r.part = "main"; return nil }},
		{"main-as-breba", 2, func(w *world, r *report) bool { return both(w, r) && r.part == "main" },
			func(_ *world, r *report, _ int) *report { r.part, r.figlet = "breba", day.None; return nil }},
		{"breba-of-none", 1, func(w *world, r *report) bool { return dryMain(w, r) && r.life.cultivar.CropsBorne == "main" },
			func(_ *world, r *report, _ int) *report { r.part = "breba"; return nil }},
	}
}

// dateSlips are dates that cannot be, doubles, and fruit that was not ripe.
func dateSlips() []slip {
	return []slip{
		{"duplicate", 5, func(_ *world, r *report) bool { return r.outcome == "ripe" },
			func(_ *world, r *report, n int) *report {
				c := *r
				c.seen, c.checked, c.leafed, c.precision = r.seen+day.Date(n%3+1), day.None, day.None, "week"
				c.notes, c.consent = []string{"Also told at the meeting.", "", "Posted this one too, not sure it arrived.", "", "From the card on the notice board."}[n], ""
				if n == 1 {
					c.grower = strings.ToUpper(c.grower)
				}
				if c.figlet != day.None && c.figlet >= c.seen {
					c.figlet = day.None
				}
				return &c
			}},
		{"before-leaf-out", 2, func(w *world, r *report) bool { return dryMain(w, r) && r.leafed != day.None },
			func(_ *world, r *report, n int) *report { // the month is one of autumn
				r.leafed, r.figlet = r.seen+day.Date(9+5*n), day.None
				return nil
			}},
		{"other-year", 2, func(w *world, r *report) bool { // nothing is told of the year before: no double
			return dryMain(w, r) && r.year > r.life.tree.Since+1 && len(w.reported(r.life.tree, r.year-1)) == 0
		},
			func(_ *world, r *report, _ int) *report { r.year--; return nil }},
		{"before-since", 2, func(w *world, r *report) bool {
			return dryMain(w, r) && r.age >= 0 && r.life.tree.Since-2 >= firstYear && r.year <= r.life.tree.Since+5
		}, func(_ *world, r *report, _ int) *report {
			c := r.in(r.life.tree.Since - 2)
			c.age = -1
			return c
		}},
		{"looked-after", 1, func(w *world, r *report) bool { return dryMain(w, r) && r.checked != day.None },
			func(_ *world, r *report, _ int) *report { r.checked = r.seen + 4; return nil }},
		{"no-last-look", 2, func(_ *world, r *report) bool { return r.outcome == "not-ripe" && r.part == "main" },
			func(_ *world, r *report, _ int) *report { r.seen, r.precision = day.None, ""; return nil }},
		{"no-weather", 1, func(_ *world, r *report) bool { return r.town == "pinderfell" && r.outcome == "ripe" },
			func(_ *world, r *report, _ int) *report { return r.in(2024) }},
		{"coloured", 3, dryMain, func(_ *world, r *report, n int) *report {
			r.move([]float64{-400, -600, -400}[n])
			r.notes = []string{"Lovely dark colour all over.", "Turned colour, counted it.", "Early this year!"}[n]
			return nil
		}},
		{"bought-in-leaf", 2, func(w *world, r *report) bool {
			return dryMain(w, r) && r.life.method.Place == "pot" && r.age <= 5 && r.seen > day.Of(r.year, 8, 10)
		}, func(_ *world, r *report, n int) *report {
			r.leafed, r.woke, r.out, r.figlet, r.weeks = day.Of(r.year, 6, 9+8*n), day.None, day.None, day.None, -1
			r.notes = "Had to replace this one: the new one came in full leaf, from the sale in June."
			return nil
		}},
		{"wild", 1, func(w *world, r *report) bool {
			return dryMain(w, r) && r.life.supply.Heat > r.life.supply.HeatOn(r.ripeOn)+430
		}, func(_ *world, r *report, _ int) *report {
			r.move(400)
			r.notes = "First I noticed."
			return nil
		}},
	}
}

// judgedSlips are those on which a reviewer has spoken, and a season that is
// not over.
func judgedSlips() []slip {
	return []slip{
		{"indoors", 3, func(_ *world, r *report) bool { return r.outcome == "not-ripe" && r.part == "main" },
			func(_ *world, r *report, n int) *report {
				r.outcome, r.status, r.precision = "ripe", "rejected", "day"
				r.seen = day.North.InSeason(r.life.year, r.life.supply.LastDay) + day.Date(12+7*n)
				r.notes = "Reviewer: finished indoors under a lamp."
				return nil
			}},
		{"held-colour", 1, dryMain, func(_ *world, r *report, _ int) *report {
			r.move(-380)
			r.status, r.notes = "held", "Reviewer: coloured, or soft? Asked the grower."
			return nil
		}},
		{"held-mixed", 2, dryMain, func(_ *world, r *report, _ int) *report {
			r.status, r.notes = "held", "Reviewer: two pots with one label; which was it?"
			return nil
		}},
		{"kept-early", 1, dryMain, func(_ *world, r *report, _ int) *report {
			r.move(-260)
			r.status, r.notes = "kept", "Reviewer: asked. The pot stands against a boiler flue; true."
			return nil
		}},
		{"kept", 2, dryMain, func(_ *world, r *report, _ int) *report {
			r.status, r.notes = "kept", "Reviewer: seen it myself."
			return nil
		}},
		{"not-yet", 1, func(w *world, r *report) bool {
			return r.part == "main" && r.life.year == lastYear-1 && r.life.planned
		}, func(_ *world, r *report, _ int) *report {
			c := r.in(lastYear)
			c.outcome, c.status, c.seen, c.checked, c.figlet = "not-ripe", "", day.Of(lastYear, 7, 19), day.None, day.None
			c.precision, c.notes = "day", "Nothing yet, asked to write anyway."
			return c
		}},
	}
}
