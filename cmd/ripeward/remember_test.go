package main

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// rememberingClub makes a club of three towns with reports, small enough to be
// published many times.
func rememberingClub(t *testing.T, dir string) {
	t.Helper()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(repoRoot(t), "testdata", "script", "tiny-club"))); err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"mead", "hill"} {
		if err := os.MkdirAll(filepath.Join(dir, "data", "stations"), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := goldenWeather(filepath.Join(dir, "data", "stations", name+".csv"), 20*i); err != nil {
			t.Fatal(err)
		}
	}
	write := func(file, text string) {
		t.Helper()
		path := filepath.Join(dir, filepath.FromSlash(file))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("data/stations.csv", "station_id,name,latitude,longitude,elevation_m\nmead,Mead,45.1,-40.1,80\nhill,Hill,45.3,-40.2,180\n")
	write("data/towns.csv", "town_id,name,zone_id,latitude,longitude,elevation_m,about_fr\nford,Ford,"+zoneOf(t, dir)+",45.1,-40.1,90,Au gué\nbrow,Brow,"+zoneOf(t, dir)+",45.31,-40.2,170,\n")
	var reports strings.Builder
	reports.WriteString("report_id,town_id,cultivar_id,crop_part,method_id,year,outcome,seen_on,checked_on,date_precision,grower,status\n")
	for i := range 12 {
		fmt.Fprintf(&reports, "r%d,%s,%s,main,pot-plain,%d,ripe,%d-09-%02d,,day,g%d,reviewed\n", i, []string{"ford", "brow"}[i%2], firstCultivar(t, dir), 2005+i, 2005+i, 3+i%9, i%4)
	}
	write("data/reports/all.csv", reports.String())
	write("content/guides/own.md", "%%%\ntitle: Own\n%%%\n\nText.\n")
}

func cellOf(t *testing.T, dir, file, column string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "data", file))
	if err != nil {
		t.Fatal(err)
	}
	var head []string
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(strings.TrimSpace(line), ",")
		if head == nil {
			head = cells
			continue
		}
		for i, h := range head {
			if h == column {
				return cells[i]
			}
		}
	}
	t.Fatalf("no %s in %s", column, file)
	return ""
}

func zoneOf(t *testing.T, dir string) string { return cellOf(t, dir, "zones.csv", "zone_id") }
func firstCultivar(t *testing.T, dir string) string {
	return cellOf(t, dir, "cultivars.csv", "cultivar_id")
}

// publishInto runs a publish and returns what it said.
func publishInto(t *testing.T, club, site string, args ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if code := run(context.Background(), &stdout, &stderr, append([]string{"publish", "--club", club, "--site", site}, args...)); code != done {
		t.Fatalf("publish: exit %d\n%s", code, stderr.String())
	}
	return stdout.String() + stderr.String()
}

// sameSites compares two folders byte for byte.
func sameSites(t *testing.T, what, a, b string) {
	t.Helper()
	files := func(dir string) map[string]string {
		out := map[string]string{}
		err := fs.WalkDir(os.DirFS(dir), ".", func(p string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(p)))
			out[p] = string(data)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	x, y := files(a), files(b)
	for p, text := range x {
		if y[p] != text {
			t.Errorf("%s: %s differs from that of a clean build", what, p)
		}
	}
	if len(x) != len(y) || len(x) < 20 {
		t.Errorf("%s: %d files, %d in a clean build", what, len(x), len(y))
	}
}

// Whatever is edited, a publish that remembers gives the same site as one that
// does not; and one after which nothing was edited says that all is unchanged.
func TestRememberedPublishEqualsACleanOne(t *testing.T) {
	dir := t.TempDir()
	club, site := filepath.Join(dir, "club"), filepath.Join(dir, "site")
	rememberingClub(t, club)
	cacheIn := func(name string) {
		useCacheIn(filepath.Join(dir, name), func(k, v string) error { t.Setenv(k, v); return nil })
	}
	edit := func(file, old, with string) func() {
		return func() {
			path := filepath.Join(club, filepath.FromSlash(file))
			data, err := os.ReadFile(path)
			if err != nil || !strings.Contains(string(data), old) {
				t.Fatalf("%s has no %q: %v", file, old, err)
			}
			if err := os.WriteFile(path, []byte(strings.Replace(string(data), old, with, 1)), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	for i, step := range []struct {
		what string
		do   func()
	}{
		{"first", func() {}},
		{"a guide", edit("content/guides/own.md", "Text.", "Other text.")},
		{"a reading", edit("data/stations/hill.csv", "2001-07-01,", "2001-07-01,-")},
		{"a report", edit("data/reports/all.csv", "r3,brow", "r3,ford")},
		{"a report's status", edit("data/reports/all.csv", "g2,reviewed", "g2,held")},
		{"a town's height", edit("data/towns.csv", "45.31,-40.2,170", "45.31,-40.2,150")},
		{"a translation", edit("data/towns.csv", "Au gué", "Au grand gué")},
		{"a setting", edit("data/club.toml", "name = ", "energy_price_per_kwh = 0.3\nname = ")},
		{"a file of settings beside a station", func() {
			if err := os.WriteFile(filepath.Join(club, "data", "stations", "hill.toml"), []byte("station_id = \"hill\"\n"), 0o666); err != nil {
				t.Fatal(err)
			}
		}},
		{"the cache is gone", func() {
			if err := os.RemoveAll(filepath.Join(dir, "cache")); err != nil {
				t.Fatal(err)
			}
		}},
	} {
		if i >= 4 && os.Getenv("RIPEWARD_LONG") == "" {
			break // the others are as these
		}
		step.do()
		cacheIn("cache")
		warm := publishInto(t, club, site)
		again := publishInto(t, club, site)
		if !strings.Contains(again, "all unchanged") {
			t.Errorf("%s: nothing was edited, and the second publish says %s", step.what, again)
		}
		if cut := func(s string) string { return s[strings.Index(s, "\n")+1:] }; cut(warm) != cut(again) {
			t.Errorf("%s: the second publish says other things:\n%s\n%s", step.what, warm, again)
		}
		cacheIn(fmt.Sprintf("clean%d", i))
		clean := filepath.Join(dir, fmt.Sprintf("clean-site%d", i))
		publishInto(t, club, clean)
		sameSites(t, step.what, site, clean)
	}
}

// A site that somebody touched is written again, though nothing was edited.
func TestTouchedSiteIsMended(t *testing.T) {
	dir := t.TempDir()
	club, site := filepath.Join(dir, "club"), filepath.Join(dir, "site")
	rememberingClub(t, club)
	publishInto(t, club, site)
	page := filepath.Join(site, "index.html")
	whole, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(page, bytes.ToUpper(whole), 0o666); err != nil {
		t.Fatal(err)
	}
	if said := publishInto(t, club, site); !strings.Contains(said, "1 changed") {
		t.Errorf("said %s", said)
	}
	if now, err := os.ReadFile(page); err != nil || !bytes.Equal(now, whole) {
		t.Errorf("not mended: %v", err)
	}
	if err := os.Remove(page); err != nil {
		t.Fatal(err)
	}
	publishInto(t, club, site)
	if now, err := os.ReadFile(page); err != nil || !bytes.Equal(now, whole) {
		t.Errorf("not brought back: %v", err)
	}
}
