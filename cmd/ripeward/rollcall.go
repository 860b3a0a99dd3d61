package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/tables"
)

// callRoll prints a sheet for each grower that asks after every tree.
func (a *app) callRoll() int {
	c, code := a.checked(false)
	if c == nil {
		return code
	}
	year, err := a.rollYear(c)
	if err != nil {
		return a.failed(err)
	}
	r := newRollCall(c, year)
	switch {
	case len(c.Trees) == 0:
		a.note("the club has no table of trees", "data/trees.csv says who keeps which tree, where and how")
	case len(r.growers) == 0:
		a.note(fmt.Sprintf("no tree is kept in %d", year), "see since_year and until_year in data/trees.csv; --year names another season")
	}
	if a.printTo != "" {
		err := a.printRoll(r)
		var w *wrongUse
		switch {
		case errors.As(err, &w):
			return a.misused(err, w.hint)
		case err != nil:
			return a.failed(err)
		}
		a.note(fmt.Sprintf("wrote %s, for %s", a.printTo, count(len(r.growers), "grower")), "for the club's own use: growers' codes stand in it")
		return done
	}
	if a.format == "text" {
		return a.print(r.text())
	}
	if err := a.showTable(r.table()); err != nil {
		return a.failed(err)
	}
	return done
}

// rollYear is the season asked about: --year, or the plan year, for which the
// station files are read where the settings do not name it.
func (a *app) rollYear(c *club.Club) (int, error) {
	if y := cmp.Or(a.year, c.Settings.PlanYear); y != 0 {
		return y, nil
	}
	stations := *c // the plan year rests on them alone: towns and reports need not be worked out
	stations.Towns, stations.Reports = nil, nil
	b, err := a.book(&stations)
	if errors.Is(err, almanac.ErrNoRecord) {
		return 0, &wrongUse{"without station files there is no plan year", "name the season with --year, or set plan_year in data/club.toml"}
	}
	if err != nil {
		return 0, err
	}
	return b.PlanYear, nil
}

// rollCall is the growers' trees of one season.
type rollCall struct {
	club    *club.Club
	year    int
	growers []rollGrower // by code; trees without one come last
}

type rollGrower struct {
	code  string // blank where trees name nobody
	trees []rollTree
}

// rollTree is a tree with what the tables say of it.
type rollTree struct {
	*club.Tree
	cultivar *club.Cultivar
	town     *club.Town
	method   *club.Method // nil where the table does not say
	parts    []rollPart
}

// rollPart is a part of the crop that is asked after, with what was reported
// of it last year and already this year; nil where nothing was.
type rollPart struct {
	name       string // main, breba
	last, this *club.Report
}

func newRollCall(c *club.Club, year int) *rollCall {
	r := &rollCall{club: c, year: year}
	at := map[string]int{}
	for i := range c.Trees {
		t := &c.Trees[i]
		if t.SinceYear.Set && t.SinceYear.Value > year || t.UntilYear.Set && t.UntilYear.Value < year {
			continue
		}
		tree := rollTree{Tree: t, cultivar: c.Cultivar(t.CultivarID), town: c.Town(t.TownID), method: c.Method(t.MethodID)}
		for _, part := range borne(tree.cultivar) {
			tree.parts = append(tree.parts, rollPart{part, reportOf(c, t, part, year-1), reportOf(c, t, part, year)})
		}
		code := oneLine(string(t.Grower))
		k, known := at[strings.ToLower(code)]
		if !known {
			k = len(r.growers)
			at[strings.ToLower(code)] = k
			r.growers = append(r.growers, rollGrower{code: code})
		}
		r.growers[k].trees = append(r.growers[k].trees, tree)
	}
	slices.SortStableFunc(r.growers, func(x, y rollGrower) int {
		if x.code == "" || y.code == "" {
			return -cmp.Compare(x.code, y.code) // no code comes last
		}
		return cmp.Compare(strings.ToLower(x.code), strings.ToLower(y.code))
	})
	return r
}

// borne are the parts of the crop that a cultivar can ripen without the wasp.
func borne(c *club.Cultivar) []string {
	switch {
	case c.CropsBorne == "breba", c.Pollination == "san-pedro" && c.CropsBorne != "main":
		return []string{"breba"}
	case c.CropsBorne == "both":
		return []string{"breba", "main"}
	}
	return []string{"main"}
}

// reportOf finds the first report of a tree that nobody rejected: one that
// names the tree, or one that names none and fits this tree alone.
func reportOf(c *club.Club, t *club.Tree, part string, year int) *club.Report {
	for i := range c.Reports {
		r := &c.Reports[i]
		if string(r.CropPart) != part || r.Year.Value != year || r.Status == "rejected" {
			continue
		}
		if r.TreeID == t.ID || r.TreeID == "" && fits(r, t) && alone(c, r) {
			return r
		}
	}
	return nil
}

func fits(r *club.Report, t *club.Tree) bool {
	return r.Grower != "" && strings.EqualFold(string(r.Grower), string(t.Grower)) && r.TownID == t.TownID && r.CultivarID == t.CultivarID &&
		(t.MethodID == "" || r.MethodID == t.MethodID)
}

func alone(c *club.Club, r *club.Report) bool {
	n := 0
	for i := range c.Trees {
		if fits(r, &c.Trees[i]) {
			n++
		}
	}
	return n == 1
}

// table is the sheet as rows of data/reports, of what is not reported yet.
func (r *rollCall) table() tables.Table {
	t := tables.Table{Name: "roll-call", Key: []string{"report_id"}, Columns: tables.ReportColumns()}
	taken := map[string]bool{}
	for i := range r.club.Reports {
		taken[strings.ToLower(string(r.club.Reports[i].ID))] = true
	}
	for _, g := range r.growers {
		for _, tree := range g.trees {
			for _, p := range tree.parts {
				if p.this != nil {
					continue
				}
				t.Rows = append(t.Rows, rowOf(t.Columns, map[string]string{
					"report_id": freshID(taken, string(tree.ID), r.year, p.name), "town_id": string(tree.TownID), "cultivar_id": string(tree.CultivarID),
					"name_as_given": oneLine(string(tree.cultivar.Name)), "crop_part": p.name, "method_id": string(tree.MethodID),
					"year": itoa(r.year), "tree_id": string(tree.ID), "grower": g.code,
				}))
			}
		}
	}
	return t
}

// freshID makes a report_id from tree and year that no report has yet.
func freshID(taken map[string]bool, tree string, year int, part string) string {
	id := fmt.Sprintf("%s-%d", tree, year)
	if part != "main" {
		id += "-" + part
	}
	free := id
	for n := 2; taken[strings.ToLower(free)]; n++ {
		free = fmt.Sprintf("%s-%d", id, n)
	}
	taken[strings.ToLower(free)] = true
	return free
}

// rowOf lays cells out by the names of columns.
func rowOf(columns []tables.Column, cells map[string]string) []string {
	row := make([]string, len(columns))
	for i, c := range columns {
		row[i] = cells[c.Name]
	}
	return row
}

// hemisphere is where the tree's season is counted.
func (t *rollTree) hemisphere() day.Hemisphere { return day.HemisphereOf(t.town.Latitude.Or(0)) }
