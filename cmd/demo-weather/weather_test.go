package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"ripeward/build/day"
)

const committed = "../../data/stations"

var drawn = sync.OnceValue(files)

// The text is compared, not the packed bytes: how well gzip packs may differ
// between Go releases, what it unpacks to may not.
func TestRegeneratingGivesTheCommittedWeather(t *testing.T) {
	made := drawn()
	if len(made) != 6 {
		t.Fatalf("%d station files, want 6", len(made))
	}
	total := 0
	for _, f := range made {
		packed, err := os.ReadFile(filepath.Join(committed, f.Name))
		if err != nil {
			t.Fatal(err)
		}
		total += len(packed)
		z, err := gzip.NewReader(bytes.NewReader(packed))
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		if z.Name != "" || z.Comment != "" || !z.ModTime.IsZero() {
			t.Errorf("%s: gzip header carries a name, comment or time: %+v", f.Name, z.Header)
		}
		text, err := io.ReadAll(z)
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		if !bytes.Equal(text, f.Text) {
			t.Errorf("%s: not what the generator writes (first difference at byte %d): run go run ./cmd/demo-weather", f.Name, firstDifference(text, f.Text))
		}
	}
	if total > 4<<20 {
		t.Errorf("station files take %d bytes, more than 4 MB", total)
	}
	entries, err := os.ReadDir(committed)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(made) {
		t.Errorf("%d files in %s, the generator writes %d", len(entries), committed, len(made))
	}
}

func firstDifference(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// A second drawing in the same process gives the same files as the first.
func TestRunWritesTheSameFilesAgain(t *testing.T) {
	dir := t.TempDir()
	var stderr bytes.Buffer
	if code := run([]string{"-to", dir}, &stderr); code != 0 {
		t.Fatalf("exit %d: %s", code, &stderr)
	}
	for _, f := range drawn() {
		want, errWant := f.packed()
		got, errGot := os.ReadFile(filepath.Join(dir, f.Name))
		if errWant != nil || errGot != nil || !bytes.Equal(got, want) {
			t.Errorf("%s differs from an earlier drawing (%v, %v)", f.Name, errWant, errGot)
		}
	}
}

func TestRunRefusesWrongUse(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		want int
	}{
		{"unknown flag", []string{"-nothing"}, 2},
		{"stray argument", []string{"here"}, 2},
		{"no such folder", []string{"-to", filepath.Join(t.TempDir(), "none")}, 1},
	} {
		if got := run(c.args, io.Discard); got != c.want {
			t.Errorf("%s: exit %d, want %d", c.name, got, c.want)
		}
	}
}

// A longer record begins with the shorter one: next year's data change no day
// of this year's.
func TestALongerRecordKeepsItsEarlierDays(t *testing.T) {
	first, short, long := day.Of(firstYear, 1, 1), day.Of(2025, 12, 31), day.Of(lastYear, 12, 31)
	before, after := drawRegion(first, short), drawRegion(first, long)
	for i, s := range sites() {
		was, is := drawSite(s, i, before, first), drawSite(s, i, after, first)
		if len(is) <= len(was) || !slices.Equal(was, is[:len(was)]) {
			t.Errorf("%s: %d days to %s are not the first of %d to %s", s.ID, len(was), short, len(is), long)
		}
	}
}

// The last season is under way where the data end, and not on one day for all.
func TestDataEndWithinTheSeason(t *testing.T) {
	ends := map[day.Date]bool{}
	for _, s := range sites() {
		if s.Through.Year() != lastYear {
			continue // the station that closed
		}
		ends[s.Through] = true
		if s.Through < day.Of(lastYear, 8, 5) || s.Through > day.Of(lastYear, 8, 9) {
			t.Errorf("%s ends on %s", s.ID, s.Through)
		}
	}
	if len(ends) < 3 {
		t.Errorf("data end on %d different days, want some delay between stations", len(ends))
	}
}

// Bhaskara I's formula is within 0.0017 of the sine (its known greatest
// error); whole numbers add a rounding.
func TestCosine(t *testing.T) {
	for d := -800; d <= 800; d++ {
		want := 1000 * math.Cos(2*math.Pi*float64(d)/365)
		if got := float64(cosine(d)); math.Abs(got-want) > 3 {
			t.Errorf("cosine(%d) = %v, want %.1f", d, got, want)
		}
	}
}

func TestBellHasMeanZeroAndSpreadOne(t *testing.T) {
	region := drawRegion(day.Of(1986, 1, 1), day.Of(2025, 12, 31))
	var sum, square float64
	for _, r := range region {
		sum += float64(r.Clear)
		square += float64(r.Clear) * float64(r.Clear)
	}
	n := float64(len(region))
	mean := sum / n
	// The sky is AR(1) with 0.4: its mean over n days has a standard error of
	// about 1000·√((1+0.4)/(1-0.4)/n) = 13.
	if math.Abs(mean) > 50 {
		t.Errorf("mean %.0f, want about 0", mean)
	}
	if sd := math.Sqrt(square/n - mean*mean); sd < 960 || sd > 1040 {
		t.Errorf("spread %.0f, want about 1000", sd)
	}
}

// The climate that the demonstration needs: cold winters, short summers,
// higher stations cooler, and warming.
func TestClimate(t *testing.T) {
	first, last := day.Of(firstYear, 1, 1), day.Of(lastYear, 12, 31)
	region := drawRegion(first, last)
	lastMean := math.Inf(1)
	for i, s := range sites() {
		days := drawSite(s, i, region, first)
		var sum, early, late, july, january float64
		var nEarly, nLate, nJuly, nJanuary, coldest, warmest int
		for _, q := range days {
			if q.TMin >= q.TMax {
				t.Fatalf("%s %s: minimum %d is not below maximum %d", s.ID, q.Day, q.TMin, q.TMax)
			}
			mean := float64(q.TMin+q.TMax) / 20
			sum += mean
			y, m, _ := q.Day.YMD()
			if y < 2006 {
				early, nEarly = early+mean, nEarly+1
			} else {
				late, nLate = late+mean, nLate+1
			}
			switch m {
			case 7:
				july, nJuly = july+mean, nJuly+1
			case 1:
				january, nJanuary = january+mean, nJanuary+1
			}
			coldest, warmest = min(coldest, q.TMin), max(warmest, q.TMax)
		}
		mean := sum / float64(len(days))
		if mean >= lastMean {
			t.Errorf("%s: mean %.1f °C is not below the %.1f °C of the lower station before it", s.ID, mean, lastMean)
		}
		lastMean = mean
		if v := july / float64(nJuly); v < 17 || v > 23.5 {
			t.Errorf("%s: July mean %.1f °C", s.ID, v)
		}
		if v := january / float64(nJanuary); v < -12 || v > -4 {
			t.Errorf("%s: January mean %.1f °C", s.ID, v)
		}
		if coldest < -380 || coldest > -260 || warmest < 320 || warmest > 430 {
			t.Errorf("%s: from %.1f to %.1f °C", s.ID, float64(coldest)/10, float64(warmest)/10)
		}
		// Twenty years apart, at 0.36 °C a decade, is 0.72 °C; chance adds
		// about ±0.3.
		if v := late/float64(nLate) - early/float64(nEarly); v < 0.3 || v > 1.2 {
			t.Errorf("%s: second half is %.2f °C warmer than the first", s.ID, v)
		}
	}
}

func TestBlemishesReachTheFiles(t *testing.T) {
	text := map[string]string{}
	for _, f := range drawn() {
		text[f.Name] = string(f.Text)
	}
	wide := text["XX000000001.csv.gz"]
	for _, c := range []struct {
		name, in, what string
		want           int
	}{
		{"a fortnight without any value", wide, `"1991-02-1`, 0},
		{"a repeated day", wide, `"2016-05-04"`, 2},
		{"a failed check", wide, `",I,X"`, 1},
		{"an impossible value", text["XX000000002.csv.gz"], `"  731"`, 1},
		{"days of the Canadian form that are missing", text["XX00004.csv.gz"], `"2008-06-15","2008","06","15","","","M","","M"`, 1},
	} {
		if got := strings.Count(c.in, c.what); got != c.want {
			t.Errorf("%s: %q stands %d times, want %d", c.name, c.what, got, c.want)
		}
	}
	if n := strings.Count(text["XX00004.csv.gz"], `"E"`); n == 0 {
		t.Error("no estimated value in the Canadian form")
	}
	if n := strings.Count(wide, `"T,,X"`); n < 100 {
		t.Errorf("%d traces of rain in the wide form, want many", n)
	}
	for i, line := range strings.Split(strings.TrimSuffix(text["XX000000003.dly.gz"], "\n"), "\n") {
		if len(line) != 269 { // GHCN-Daily readme, section III: 21 + 31·8
			t.Fatalf("dly line %d has %d columns, want 269", i+1, len(line))
		}
	}
	if !strings.HasPrefix(text["XX000000003.dly.gz"], "XX000000003199305TMAX") {
		t.Error("the station that starts late does not start in May 1993")
	}
	if got := text["XX000000006.csv.gz"]; !strings.Contains(got, "\n2022-10-16,") || strings.Contains(got, "\n2022-10-17,") {
		t.Error("the station that ends early does not end on 2022-10-16")
	}
}
