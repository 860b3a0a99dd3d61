package main

import (
	"bytes"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
)

const demo = "../.." // the repository is the demonstration club

type drawn struct {
	*world
	reports []*report
	files   []file
}

var made = sync.OnceValues(func() (drawn, error) {
	w, err := newWorld(demo)
	if err != nil {
		return drawn{}, err
	}
	d := drawn{world: w}
	if d.reports, err = w.reports(); err == nil {
		d.files, err = w.files()
	}
	return d, err
})

func demonstration(t *testing.T) drawn {
	t.Helper()
	d, err := made()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestCommittedFilesAreWhatTheGeneratorWrites(t *testing.T) {
	d := demonstration(t)
	for _, f := range append(d.files, file{"../cmd/demo-reports/truth.csv", d.truth.csv()}) {
		text, err := os.ReadFile(filepath.Join(demo, "data", filepath.FromSlash(f.name)))
		if err != nil {
			t.Error(err)
		} else if !bytes.Equal(text, f.text) {
			t.Errorf("%s: not what the generator writes: run both commands at the head of main.go", f.name)
		}
		if !bytes.Contains(f.text[:bytes.IndexByte(f.text, '\n')], []byte("nvented")) {
			t.Errorf("%s: its first line does not say that it is invented", f.name)
		}
	}
	entries, err := os.ReadDir(filepath.Join(demo, "data", "reports"))
	if err != nil || len(entries) != len(d.files)-1 {
		t.Errorf("%d files of reports, the generator writes %d (%v)", len(entries), len(d.files)-1, err)
	}
}

func TestRun(t *testing.T) {
	d, to := demonstration(t), t.TempDir()
	var stderr bytes.Buffer
	if code := run([]string{"-club", demo, "-to", to}, io.Discard, &stderr); code != 0 {
		t.Fatalf("exit %d: %s", code, &stderr)
	}
	for _, f := range d.files {
		text, err := os.ReadFile(filepath.Join(to, filepath.FromSlash(f.name)))
		if err != nil || !bytes.Equal(text, f.text) {
			t.Errorf("%s differs from an earlier drawing (%v)", f.name, err)
		}
	}
	for _, c := range []struct {
		name string
		args []string
		want int
	}{
		{"unknown flag", []string{"-nothing"}, 2},
		{"stray argument", []string{"here"}, 2},
		{"no club there", []string{"-club", t.TempDir()}, 1},
	} {
		if got := run(c.args, io.Discard, io.Discard); got != c.want {
			t.Errorf("%s: exit %d, want %d", c.name, got, c.want)
		}
	}
}

// What the demonstration must have for the learning to show what it can do.
func TestEnoughToLearnFrom(t *testing.T) {
	d := demonstration(t)
	if len(d.reports) < 250 {
		t.Errorf("%d reports, want at least 250", len(d.reports))
	}
	years, outcomes, precisions, statuses, codes := map[int]int{}, map[string]int{}, map[string]int{}, map[string]int{}, map[string]bool{}
	growersOf, exact := map[needKey]map[string]bool{}, map[needKey]int{}
	for _, r := range d.reports {
		years[r.year]++
		outcomes[r.outcome]++
		precisions[r.precision]++
		statuses[r.status]++
		if r.grower != "" {
			codes[strings.ToLower(r.grower)] = true
		}
		if r.status != "reviewed" || r.mess != "" && r.mess != "twin" {
			continue
		}
		k := needKey{r.cultivar, r.part}
		if growersOf[k] == nil {
			growersOf[k] = map[string]bool{}
		}
		growersOf[k][r.life.grower.Code] = true
		if dry(r) {
			exact[k]++
		}
	}
	if len(codes) < 15 {
		t.Errorf("%d grower codes, want at least 15", len(codes))
	}
	for y := firstYear; y <= lastYear; y++ {
		if years[y] == 0 {
			t.Errorf("no report of %d", y)
		}
	}
	for _, x := range []struct {
		what  string
		had   map[string]int
		least map[string]int
	}{
		{"outcome", outcomes, map[string]int{"ripe": 150, "not-ripe": 40, "already-ripe": 8}},
		{"precision", precisions, map[string]int{"day": 50, "3-days": 30, "week": 20, "third-of-month": 10, "month": 2, "": 3}},
		{"status", statuses, map[string]int{"reviewed": 250, "": 5, "held": 2, "rejected": 2, "kept": 2}},
	} {
		for k, least := range x.least {
			if x.had[k] < least {
				t.Errorf("%d reports of %s %q, want at least %d", x.had[k], x.what, k, least)
			}
		}
		if len(x.had) != len(x.least) {
			t.Errorf("%s: %v, want these only: %v", x.what, x.had, x.least)
		}
	}
	var main, breba, well, few, other int
	for k, g := range growersOf {
		crop := string(d.cultivars[k.cultivar].CropID)
		switch {
		case len(g) < 3:
			few++
		case k.part == "breba":
			breba++
		case crop != "fig":
			other++
		default:
			main++
		}
		if exact[k] >= 8 {
			well++
		}
	}
	for _, x := range []struct {
		what     string
		n, least int
	}{
		{"figs with at least 3 growers in the main crop", main, 12}, {"brebas with at least 3 growers", breba, 2},
		{"other fruits with at least 3 growers", other, 1}, {"needs with 1 or 2 growers", few, 6},
		{"needs with at least 8 exact reports", well, 4},
	} {
		if x.n < x.least {
			t.Errorf("%d %s, want at least %d", x.n, x.what, x.least)
		}
	}
}

// Every kind of mess is there, and the club still loads without an error: the
// almanac judges it, the reader does not refuse it.
func TestMess(t *testing.T) {
	d := demonstration(t)
	kinds, slipTowns, otherNames, firstYears := map[string]int{}, map[string]bool{}, 0, 0
	for _, r := range d.reports {
		kinds[r.mess]++
		if r.grower == "" {
			slipTowns[r.town] = true
			kinds["no grower"]++
		}
		if slices.Contains(d.cultivars[r.cultivar].AlsoCalled, r.name) {
			otherNames++
		}
		if r.age >= 0 && r.age <= 1 {
			firstYears++
		}
	}
	want := map[string]int{}
	for _, x := range slips() {
		want[x.kind] = x.times
	}
	for k, n := range want {
		if kinds[k] != n {
			t.Errorf("%d reports with the slip %q, want %d", kinds[k], k, n)
		}
	}
	if kinds["no grower"] < 5 || len(slipTowns) != 2 {
		t.Errorf("%d reports without a grower in towns %v, want some in two", kinds["no grower"], slices.Collect(maps.Keys(slipTowns)))
	}
	if otherNames < 5 || firstYears < 3 {
		t.Errorf("%d reports under another name, %d of first-year trees: want at least 5 and 3", otherNames, firstYears)
	}

	warned := ""
	_, problems, err := club.Load(demo, club.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		if p.Severity == diag.Error {
			t.Errorf("%s", p.Error())
		}
		warned += p.Error() + "\n"
	}
	for _, w := range []string{"is before leafed_on", "is not in the season of", "is outside the years of tree", "is after seen_on",
		"without a last look cannot count", "bears main only"} {
		if !strings.Contains(warned, w) {
			t.Errorf("the reader does not warn of a report that %q", w)
		}
	}
}

// Apart from the mess, reports are about the trees they name, and in some years
// a tree has none.
func TestReportsAgreeWithTheTrees(t *testing.T) {
	d := demonstration(t)
	code := regexp.MustCompile(`^g[0-9]{2}$`)
	byID, told := map[string]*tree{}, map[string]map[int]bool{}
	for i := range trees {
		x := &trees[i]
		byID[x.ID], told[x.ID] = x, map[int]bool{}
		if x.listed() != code.MatchString(x.Grower) {
			t.Errorf("tree %s: grower %q", x.ID, x.Grower)
		}
	}
	if len(byID) != len(trees) {
		t.Errorf("%d trees, %d ids", len(trees), len(byID))
	}
	for _, r := range d.reports {
		told[r.life.tree.ID][r.year] = true
		if r.mess != "" || r.treeID == "" {
			continue
		}
		x := byID[r.treeID]
		if x.Grower != r.grower || x.Town != r.town || x.Cultivar != r.cultivar || x.Method != r.method {
			t.Errorf("report %s is not about tree %s", r.id, x.ID)
		}
		if r.year < x.Since || x.Until != 0 && r.year > x.Until || r.seen.Year() != r.year {
			t.Errorf("report %s: year %d does not fit its tree or its date %s", r.id, r.year, r.seen)
		}
	}
	gaps, silent := 0, 0
	for _, x := range trees {
		last := lastYear - 1
		if x.Until != 0 {
			last = x.Until
		}
		for y := max(x.Since, firstYear); y <= last; y++ {
			if !told[x.ID][y] {
				gaps++
			}
		}
		if len(told[x.ID]) == 0 {
			silent++
		}
	}
	if gaps < 200 || silent > len(trees)/5 {
		t.Errorf("%d years of trees without a report, %d trees without any", gaps, silent)
	}
}
