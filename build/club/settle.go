package club

import (
	"fmt"
	"regexp"
	"strings"

	"ripeward/build/diag"
)

// settle turns the tables into the club's rows. With setAside it leaves out
// rows with errors, and again those that refer to them, until nothing refers
// to a row that is not there.
func (l *loader) settle(setAside bool) {
	for _, t := range l.order {
		t.dropped = make([]bool, len(t.from))
	}
	if setAside {
		l.drop()
	}
	for _, t := range l.order {
		for _, p := range t.lost {
			l.report(p, setAside)
		}
		for i := range t.faults {
			for _, f := range t.faults[i] {
				if setAside || !f.follows {
					l.report(f.problem, setAside)
				}
			}
		}
	}
	l.club.Dropped = l.club.Dropped.Sort()
	c := l.club
	c.Zones, c.Towns, c.Stations = l.zones.kept(), l.towns.kept(), l.stations.kept()
	c.Crops, c.Classes, c.Cultivars = l.crops.kept(), l.classes.kept(), l.cultivars.kept()
	c.Methods, c.Stores, c.StoreLog = l.methods.kept(), l.stores.kept(), l.storeLog.kept()
	c.Mixes, c.Pots, c.Feeds, c.Tasks = l.mixes.kept(), l.pots.kept(), l.feeds.kept(), l.tasks.kept()
	c.Trees, c.Reports = l.trees.kept(), l.reports.kept()
	if !setAside {
		return
	}
	for _, x := range []struct {
		t    *tableBase
		left int
	}{{&l.zones.tableBase, len(c.Zones)}, {&l.towns.tableBase, len(c.Towns)}, {&l.stations.tableBase, len(c.Stations)},
		{&l.cultivars.tableBase, len(c.Cultivars)}, {&l.methods.tableBase, len(c.Methods)}, {&l.crops.tableBase, len(c.Crops)}} {
		if x.left == 0 && !x.t.broken && len(x.t.from)+len(x.t.lost) > 0 {
			l.problems = append(l.problems, problem(x.t.where(), "every row was set aside", "mend the rows first"))
		}
	}
}

// report passes a row's error on, as it is or as the warning that the row was
// set aside.
func (l *loader) report(p diag.Problem, setAside bool) {
	if setAside {
		l.club.Dropped = append(l.club.Dropped, public(p))
		p.Severity = diag.Warning
	}
	l.problems = append(l.problems, p)
}

var quoted = regexp.MustCompile(`"(\\.|[^"\\])*"`)

// public takes what a member wrote out of a problem of a report or a tree:
// rows that are set aside are listed on a page of the site, and in a row whose
// cells have shifted anything may stand anywhere, a grower's name too.
func public(p diag.Problem) diag.Problem {
	if strings.HasPrefix(p.Place.File, "data/reports/") || p.Place.File == treeSpec.file {
		p.Message, p.Hint = quoted.ReplaceAllString(p.Message, "“…”"), ""
	}
	return p
}

func (l *loader) drop() {
	for _, t := range l.order {
		for i := range t.faults {
			t.dropped[i] = len(t.faults[i]) > 0
		}
	}
	for again := true; again; {
		again = false
		for _, t := range l.order {
			for k := range t.spec.columns {
				if c := &t.spec.columns[k]; c.ref != "" && !l.tables[c.ref].broken && l.dropReferring(t, c) {
					again = true
				}
			}
		}
	}
}

// dropReferring drops the rows whose column c names a row that was dropped.
func (l *loader) dropReferring(t *tableBase, c *column) (dropped bool) {
	left := l.tables[c.ref].ids(true)
	for i := range t.from {
		if t.dropped[i] || t.unused[i] {
			continue
		}
		for _, id := range t.values(i, c) {
			if left[id] {
				continue
			}
			t.fault(i, c.name, fmt.Sprintf("%s %q was set aside", c.name, id), "mend that row first")
			t.dropped[i] = true
			dropped = true
			break
		}
	}
	return dropped
}

// kept returns the rows that were not dropped.
func (t *table[T]) kept() []T {
	rows := make([]T, 0, len(t.rows))
	for i := range t.rows {
		if !t.dropped[i] && !t.unused[i] {
			rows = append(rows, t.rows[i])
		}
	}
	return rows
}
