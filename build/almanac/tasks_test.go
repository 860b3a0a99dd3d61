package almanac_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// anchored returns the demonstration club with a task of one day on each anchor
// of the closed list, named after it, and the book made of it.
func anchored(t *testing.T) *almanac.Book {
	t.Helper()
	c, problems, err := club.Load("../..", club.Options{})
	if err != nil || problems.Count(diag.Error) > 0 {
		t.Fatalf("%v, %v", err, problems)
	}
	// The warmest town, a hollow, the highest and a middling one; without
	// reports, which move no anchor's meaning and take their time.
	c.Towns = slices.DeleteFunc(c.Towns, func(x club.Town) bool {
		return !slices.Contains([]club.Text{"quillhaven", "maplecrook", "pinderfell", "velloway"}, x.ID)
	})
	c.Reports, c.Trees, c.Tasks = nil, nil, nil
	for _, a := range club.Anchors {
		c.Tasks = append(c.Tasks, club.Task{ID: club.Text(strings.ReplaceAll(a, "_", "-")), Name: club.Text(a), Anchor: club.Text(a)})
	}
	// Pots winter where they wake early enough for a date (a cool cellar).
	for i := range c.Methods {
		if c.Methods[i].Place == "pot" {
			c.Methods[i].StoreID = "cellar"
		}
	}
	b, err := almanac.Make(context.Background(), c, almanac.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Every anchor of the closed list gives a window where it has a meaning, and
// none where it has not; and they stand in the order of the tree's year.
func TestEveryAnchor(t *testing.T) {
	b := anchored(t)
	always := []string{"leaf-out", "figlet", "useful-end-1-in-2", "last-freeze-1-in-10", "last-freeze-1-in-2", "first-freeze-1-in-10", "first-freeze-1-in-2",
		"first-freeze-m22-1-in-10", "first-freeze-m22-1-in-2", "dormant-in", "feed-stop"}
	// Where hardly anything ripens there is no such day; somewhere there is.
	somewhere := []string{"last-useful-figlet", "last-useful-pinch", "first-ripe-1-in-10", "first-ripe-1-in-2", "first-ripe-9-in-10"}
	found := map[string]int{}
	for i := range b.Towns {
		at := &b.Towns[i]
		for j := range b.Club.Methods {
			m := &b.Club.Methods[j]
			dates := map[string]almanac.TaskDate{}
			for _, d := range at.Tasks {
				if d.Method == string(m.ID) {
					dates[d.Task] = d
				}
			}
			ground, woken := m.Place == "ground", m.Wake == "planned"
			want, never := slices.Clone(always), []string{}
			sort := func(yes bool, names ...string) {
				if yes {
					want = append(want, names...)
				} else {
					never = append(never, names...)
				}
			}
			sort(ground, "uncover")
			sort(!ground && !woken, "dormant-out")
			sort(woken, "wake", "harden-off")
			if ground {
				never = append(never, "out", "store-wakes")
			}
			for _, a := range want {
				if d, ok := dates[a]; !ok || d.From == day.None || d.Until < d.From {
					t.Errorf("%s, %s: %s gives %+v", at.Row.ID, m.ID, a, d)
				}
			}
			for _, a := range never {
				if d, ok := dates[a]; ok {
					t.Errorf("%s, %s: %s gives %+v, and means nothing there", at.Row.ID, m.ID, a, d)
				}
			}
			for a := range dates {
				found[a]++
			}
			inOrder(t, string(at.Row.ID)+", "+string(m.ID), dates)
		}
	}
	for _, a := range append(somewhere, "store-wakes", "out") {
		if found[a] == 0 {
			t.Errorf("%s gives no date in any town", a)
		}
	}
	if len(found) != len(club.Anchors) {
		t.Errorf("%d of %d anchors give dates: %v", len(found), len(club.Anchors), found)
	}
}

// inOrder checks pairs of anchors that follow each other in every year, where
// both have a date.
func inOrder(t *testing.T, where string, dates map[string]almanac.TaskDate) {
	t.Helper()
	for _, p := range [][2]string{{"wake", "harden-off"}, {"harden-off", "out"}, {"wake", "leaf-out"}, {"leaf-out", "figlet"}, {"figlet", "last-useful-figlet"},
		{"last-useful-pinch", "last-useful-figlet"}, {"figlet", "first-ripe-1-in-10"}, {"first-ripe-1-in-10", "first-ripe-1-in-2"}, {"first-ripe-1-in-2", "first-ripe-9-in-10"},
		{"last-freeze-1-in-2", "last-freeze-1-in-10"}, {"first-freeze-1-in-10", "first-freeze-1-in-2"}, {"first-freeze-1-in-2", "first-freeze-m22-1-in-2"},
		{"first-freeze-m22-1-in-10", "first-freeze-m22-1-in-2"}, {"feed-stop", "first-freeze-m22-1-in-2"}, {"last-freeze-1-in-10", "first-freeze-1-in-10"}, {"first-freeze-1-in-2", "dormant-in"}} {
		a, ok1 := dates[p[0]]
		b, ok2 := dates[p[1]]
		if ok1 && ok2 && a.From > b.From {
			t.Errorf("%s: %s on %v comes after %s on %v", where, p[0], a.From, p[1], b.From)
		}
	}
	// A last useful day is one on which there is something to take off.
	if last, ok := dates["last-useful-figlet"]; ok && last.Until < dates["figlet"].From {
		t.Errorf("%s: the last useful figlet is of %v, the first of %v", where, last.Until, dates["figlet"].From)
	}
	if stop, freeze := dates["feed-stop"], dates["first-freeze-m22-1-in-2"]; freeze.From-stop.From != 63 {
		t.Errorf("%s: feeding stops %d days before the freeze, not 63", where, freeze.From-stop.From)
	}
}

// The year's list has every job that a grower asks a date for, by each way of
// growing.
func TestTheDatedListIsWhole(t *testing.T) {
	c, problems, err := club.Load("../..", club.Options{})
	if err != nil || problems.Count(diag.Error) > 0 {
		t.Fatalf("%v, %v", err, problems)
	}
	covers := func(m *club.Method, ids ...string) bool {
		return slices.ContainsFunc(c.Tasks, func(x club.Task) bool {
			return slices.Contains(ids, string(x.ID)) && (len(x.Methods) == 0 || slices.Contains(x.Methods, string(m.ID)))
		})
	}
	for i := range c.Methods {
		m := &c.Methods[i]
		jobs := map[string][]string{"pinch": {"pinch"}, "last useful pinch": {"last-pinch"}, "breba decision": {"brebas"}, "feed start": {"feed-start", "feed-ground"}, "feed stop": {"feed-stop"},
			"drop late figlets": {"drop-figlets"}, "expect ripe": {"expect-ripe"}, "first frost": {"first-frost-watch"}, "water": {"water-daily", "water-ground"}}
		if m.Place == "pot" {
			for job, ids := range map[string][]string{"repot": {"repot-cold", "repot-woken"}, "bring in": {"bring-in"}, "store": {"store"}, "check": {"early-winter-check"},
				"check late": {"late-winter-check", "late-winter-check-woken"}, "water in store": {"early-winter-water"}, "water in store late": {"late-winter-water", "late-winter-water-woken"}} {
				jobs[job] = ids
			}
		} else {
			jobs["late frost"] = []string{"frost-watch"}
		}
		if m.Wake == "planned" {
			for job, ids := range map[string][]string{"wake": {"wake"}, "harden off": {"harden-off"}, "out for good": {"out"}, "cold nights": {"carry-spring", "tent-nights"}} {
				jobs[job] = ids
			}
		} else if m.Place == "pot" {
			jobs["move out dormant"] = []string{"set-out-dormant"}
		}
		if m.CarryBelowC.Set && m.DayGainC.Or(0) == 0 {
			jobs["carry nights"] = []string{"carry-autumn"}
		}
		for job, ids := range jobs {
			if !covers(m, ids...) {
				t.Errorf("%s has no date for: %s; name it in the methods of a row of data/tasks.csv (%s)", m.ID, job, strings.Join(ids, " or "))
			}
		}
	}
	for _, x := range c.Tasks {
		for _, column := range []string{"name", "why"} {
			if _, ok := x.In("fr", column, ""); !ok {
				t.Errorf("%s has no %s in French", x.ID, column)
			}
		}
		if x.Why == "" {
			t.Errorf("%s does not say why", x.ID)
		}
	}
}
