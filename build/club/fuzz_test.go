package club_test

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/data"
)

// tables are the club's tables, each with its header and a row to begin with.
var tables = []struct{ file, text string }{
	{"data/zones.csv", tiny["data/zones.csv"]},
	{"data/towns.csv", tiny["data/towns.csv"]},
	{"data/stations.csv", tiny["data/stations.csv"]},
	{"data/cultivars.csv", tiny["data/cultivars.csv"]},
	{"data/trees.csv", treeHead + "t1,mill,first,g1,2001,2009,wall\n"},
	{"data/store-log.csv", "store_id,town_id,date,low_c,high_c,reset_on\nshed,mill,2020-01-02,-3,4,2020-01-01\n"},
	{"data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2020-09-01,g1\n"},
	{"data/crops.csv", ""}, {"data/classes.csv", ""}, {"data/methods.csv", ""}, {"data/stores.csv", ""},
	{"data/mixes.csv", ""}, {"data/pots.csv", ""}, {"data/feeds.csv", ""}, {"data/tasks.csv", ""},
}

// kept counts the rows of the club's own table that file is.
func kept(c *club.Club, file string) int {
	rows := map[string]any{"data/zones.csv": c.Zones, "data/towns.csv": c.Towns, "data/stations.csv": c.Stations,
		"data/cultivars.csv": c.Cultivars, "data/trees.csv": c.Trees, "data/store-log.csv": c.StoreLog, "data/reports/r.csv": c.Reports,
		"data/crops.csv": c.Crops, "data/classes.csv": c.Classes, "data/methods.csv": c.Methods, "data/stores.csv": c.Stores,
		"data/mixes.csv": c.Mixes, "data/pots.csv": c.Pots, "data/feeds.csv": c.Feeds, "data/tasks.csv": c.Tasks}
	return reflect.ValueOf(rows[file]).Len()
}

// Whatever stands in any of the tables: no panic, messages with a place inside
// the file, the same twice, and no row set aside in silence.
func FuzzEveryTable(f *testing.F) {
	for i := range tables {
		x := &tables[i]
		if x.text == "" {
			b, err := data.Rules.ReadFile(filepath.Base(x.file))
			if err != nil {
				f.Fatal(err)
			}
			x.text = string(b[:min(len(b), 1500)])
		}
		f.Add(byte(i), x.text)
		f.Add(byte(i), strings.ReplaceAll(x.text, ",", ";"))
		f.Add(byte(i), strings.ReplaceAll(x.text, "\n", "\r\n")+"x\n\"\n")
	}
	dirs := map[string]string{}
	for _, x := range tables {
		dirs[x.file] = write(f, map[string]string{x.file: x.text})
	}
	f.Fuzz(func(t *testing.T, which byte, text string) {
		x := tables[int(which)%len(tables)]
		dir := dirs[x.file]
		if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(x.file)), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(text, "\n")
		for _, aside := range []bool{false, true} {
			c, ps, err := club.Load(dir, club.Options{SetAside: aside})
			if err != nil {
				t.Fatal(err)
			}
			again, ps2, err := club.Load(dir, club.Options{SetAside: aside})
			if err != nil || !slices.Equal(ps, ps2) || kept(c, x.file) != kept(again, x.file) {
				t.Errorf("a second reading gives something else: %v", err)
			}
			for _, p := range ps {
				inFile := p.Place.File == x.file
				if p.Message == "" || inFile && (p.Place.Line > len(lines) || p.Place.Line > 0 && p.Place.Column > len(lines[p.Place.Line-1])+1) {
					t.Errorf("%v is outside the file %q", p, text)
				}
			}
			if ps.Count(diag.Error) == 0 && !aside && len(c.Dropped) > 0 {
				t.Errorf("rows are left out without being asked: %v", c.Dropped)
			}
		}
	})
}

// Whatever stands in the baseline: no panic, and a message with a place inside
// the file or a baseline that comes back the same.
func FuzzLastYear(f *testing.F) {
	f.Add(`{"plan_year": 2020, "data_cut_off": "2019-12-31", "calendar": {"a@b": {"sequence": 1}}, "told": {"reports": 3}}`)
	f.Add("\ufeff{\n \"plan_year\": 1e9}\n")
	f.Add(strings.Repeat(`{"x":[`, 50))
	dir := write(f, nil)
	file := filepath.Join(dir, filepath.FromSlash(club.LastYearFile))
	f.Fuzz(func(t *testing.T, text string) {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		c, ps, err := club.Load(dir, club.Options{})
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(text, "\n")
		for _, p := range ps {
			if p.Place.Line > len(lines) || p.Place.Line > 0 && p.Place.Column > len(lines[p.Place.Line-1])+4 || p.Message == "" {
				t.Errorf("%v is outside the file %q", p, text)
			}
		}
		if c.LastYear == nil {
			if ps.Count(diag.Error) == 0 {
				t.Error("no baseline, and no error")
			}
			return
		}
		if c.LastYear.PlanYear == 0 {
			return // each key may be left out; the program never writes it so
		}
		b, err := c.LastYear.Encode()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b, 0o644); err != nil {
			t.Fatal(err)
		}
		again, ps, _ := club.Load(dir, club.Options{})
		if again.LastYear == nil || len(again.LastYear.Calendar) != len(c.LastYear.Calendar) {
			t.Errorf("it does not come back: %v", ps)
		}
	})
}
