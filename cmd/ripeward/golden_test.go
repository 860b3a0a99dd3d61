package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ripeward/build/day"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// goldenWeather writes an invented plain record in whole arithmetic, so that
// every machine writes the same bytes: a triangle wave through the year, three
// waves of other lengths on top, and a slow warming.
func goldenWeather(path string, shift int) error {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c,precip_mm\n")
	wave := func(at, length, height int) int { // ±height tenths
		p := at % length * 4 * height / length
		switch {
		case p < height:
			return p
		case p < 3*height:
			return 2*height - p
		}
		return p - 4*height
	}
	for d := day.Of(1990, 1, 1); d <= day.Of(2020, 12, 31); d++ {
		n, y := int(d), d.Year()-1990
		mean := 72 + shift + y/3 + wave(d.YearDay()+255, 366, 175) + wave(n, 11, 45) + wave(n*7, 233, 30) + wave(n, 1500, 12)
		if d.YearDay() > 15 && n%9 != 4 { // some days are missing
			fmt.Fprintf(&b, "%s,%s,%s,%s\n", d, tenths(mean-58+n%7), tenths(mean+55-n%5), tenths(max(0, n*13%97-60)))
		} else if n%3 != 0 {
			fmt.Fprintf(&b, "%s,%s,%s,\n", d, tenths(mean-60), tenths(mean+52))
		}
	}
	return os.WriteFile(path, []byte(b.String()), 0o666)
}

func tenths(v int) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	return fmt.Sprintf("%s%d.%d", sign, v/10, v%10)
}

// TestGoldenSite publishes the tiny club of testdata/site and compares every
// file of its site but the assets, which stand in templates (their hashes are
// in the pages). A file that is not written any more fails too.
func TestGoldenSite(t *testing.T) {
	root := repoRoot(t)
	club, site := filepath.Join(t.TempDir(), "club"), filepath.Join(t.TempDir(), "site")
	if err := os.CopyFS(club, os.DirFS(filepath.Join(root, "testdata", "site", "club"))); err != nil {
		t.Fatal(err)
	}
	stations := filepath.Join(club, "data", "stations")
	if err := os.MkdirAll(stations, 0o777); err != nil {
		t.Fatal(err)
	}
	for name, shift := range map[string]int{"ford-field": 0, "mill-hill": -9} {
		if err := goldenWeather(filepath.Join(stations, name+".csv"), shift); err != nil {
			t.Fatal(err)
		}
	}
	var stdout, stderr bytes.Buffer
	if code := run(context.Background(), &stdout, &stderr, []string{"publish", "--club", club, "--site", site}); code != done {
		t.Fatalf("publish: exit %d\n%s", code, stderr.String())
	}
	golden := filepath.Join(root, "testdata", "site", "golden")
	if *update {
		if err := os.RemoveAll(golden); err != nil {
			t.Fatal(err)
		}
		if err := os.CopyFS(golden, os.DirFS(site)); err != nil {
			t.Fatal(err)
		}
		if err := os.RemoveAll(filepath.Join(golden, "assets")); err != nil {
			t.Fatal(err)
		}
	}
	got, want := readTree(t, site), readTree(t, golden)
	differ := 0
	for name, text := range want {
		switch now, ok := got[name]; {
		case !ok:
			t.Errorf("%s is not written any more", name)
		case now != text:
			if differ++; differ <= 5 {
				t.Errorf("%s differs at line %s", name, firstDifference(text, now))
			}
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s is new", name)
		}
	}
	if t.Failed() {
		t.Logf("%d files differ; if that is meant: go test ./cmd/ripeward -run GoldenSite -update", differ)
	}
}

func readTree(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(path string, e fs.DirEntry, err error) error {
		if path == "assets" {
			return fs.SkipDir
		}
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, path))
		out[path] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func firstDifference(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range w {
		if i >= len(g) || w[i] != g[i] {
			now := "nothing"
			if i < len(g) {
				now = clip(g[i])
			}
			return fmt.Sprintf("%d:\n  golden %s\n  now    %s", i+1, clip(w[i]), now)
		}
	}
	return fmt.Sprintf("%d: now longer", len(w)+1)
}

func clip(s string) string { return s[:min(200, len(s))] }
