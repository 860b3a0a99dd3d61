package main

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/station"
)

const demo = "../.." // the repository is the demonstration club

func load(t *testing.T) *club.Club {
	t.Helper()
	c, problems, err := club.Load(demo, club.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		// What is wrong with the reports is wrong on purpose: cmd/demo-reports.
		if p.Severity > diag.Warning || p.Severity > diag.Note && !strings.HasPrefix(p.Place.File, "data/reports/") {
			t.Errorf("%s", p.Error())
		}
	}
	return c
}

// Every blemish put into the records is found by the reader, and nothing else.
func TestReaderFindsTheBlemishes(t *testing.T) {
	var paths []string
	for _, s := range sites() {
		paths = append(paths, filepath.Join(committed, s.File))
	}
	records, _, err := station.ReadAll(paths, 2)
	if err != nil {
		t.Fatal(err)
	}
	type found struct {
		dialect  string
		setAside map[string]int
	}
	const (
		crossedPair = "tmin above tmax"
		flagged     = "quality flag says failed or doubtful"
		outside     = "outside physical limits"
		twice       = "repeated date with another value"
		oneValue    = "suspect: one value for 20 days or more"
		spike       = "suspect: spike against the days beside it"
	)
	want := map[string]found{
		"XX000000001": {"ghcn-wide", map[string]int{crossedPair: 2, flagged: 2, twice: 2}},
		"XX000000002": {"ghcn-wide", map[string]int{outside: 1, flagged: 1}},
		"XX000000003": {"ghcn-dly", map[string]int{crossedPair: 2, flagged: 2}},
		"XX00004":     {"eccc-daily", map[string]int{spike: 1}},
		"XX000000005": {"ncei-order-metric", map[string]int{flagged: 2}},
		"XX000000006": {"plain-c", map[string]int{crossedPair: 2, outside: 1, oneValue: 24}},
	}
	if len(records) != len(want) {
		t.Fatalf("%d stations, want %d", len(records), len(want))
	}
	for _, r := range records {
		w := want[r.ID]
		if !slices.Equal(r.Account.Dialects, []string{w.dialect}) {
			t.Errorf("%s: read as %v, want %s", r.ID, r.Account.Dialects, w.dialect)
		}
		if !maps.Equal(r.Account.SetAsideCounts, w.setAside) {
			t.Errorf("%s: set aside %v, want %v", r.ID, r.Account.SetAsideCounts, w.setAside)
		}
		i := slices.IndexFunc(sites(), func(s site) bool { return s.ID == r.ID })
		if s := sites()[i]; r.First != s.From || r.Last() != s.Through {
			t.Errorf("%s: %s to %s, want %s to %s", r.ID, r.First, r.Last(), s.From, s.Through)
		}
	}
}

func TestDemoClubIsWhole(t *testing.T) {
	c := load(t)
	if !strings.Contains(c.Settings.Notice, "invented") {
		t.Errorf("notice %q does not say that the demonstration is invented", c.Settings.Notice)
	}
	classes, figs := map[string]int{}, 0
	for _, x := range c.Cultivars {
		if x.Source != "invented for the demonstration" {
			t.Errorf("%s: %s does not say that it is invented", x.At, x.ID)
		}
		if x.CropID == "fig" {
			figs++
			classes[string(x.ClassID)]++
		}
	}
	if figs != 24 || len(c.Cultivars) != 30 {
		t.Errorf("%d figs of %d cultivars, want 24 of 30", figs, len(c.Cultivars))
	}
	for _, x := range c.Classes {
		if x.CropID == "fig" && classes[string(x.ID)] == 0 {
			t.Errorf("no fig of class %s", x.ID)
		}
	}
	if len(c.Zones) != 3 || len(c.Towns) < 8 || len(c.Stations) != 6 {
		t.Errorf("%d zones, %d towns, %d stations", len(c.Zones), len(c.Towns), len(c.Stations))
	}
	// Open ocean: no real place shares these coordinates.
	for _, x := range c.Towns {
		if x.Latitude.Value < 45 || x.Latitude.Value > 47 || x.Longitude.Value < -42 || x.Longitude.Value > -39 {
			t.Errorf("%s: %s lies outside the invented region", x.At, x.ID)
		}
	}
}

// Colour must be no guide to earliness in the demonstration either: every
// common skin colour occurs in several classes.
func TestSkinColourIsNoGuideToClass(t *testing.T) {
	classesOf := map[string]map[string]bool{}
	for _, x := range load(t).Cultivars {
		if x.CropID != "fig" {
			continue
		}
		skin := string(x.Skin)
		if classesOf[skin] == nil {
			classesOf[skin] = map[string]bool{}
		}
		classesOf[skin][string(x.ClassID)] = true
	}
	for skin, classes := range classesOf {
		if len(classes) < 2 {
			t.Errorf("all %s figs are %v", skin, slices.Collect(maps.Keys(classes)))
		}
	}
}
