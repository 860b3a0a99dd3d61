package climate_test

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
)

var (
	duckdb      = flag.String("duckdb", "", "full path of the `folder` that npm installed @duckdb/node-api into; BenchmarkAgainstDuckDB needs it")
	duckdbFiles = flag.Int("duckdb-files", 200, "station files of BenchmarkAgainstDuckDB")
)

const (
	duckdbThreads = 2
	duckdbRounds  = 9
)

// BenchmarkAgainstDuckDB reads GHCN-Daily wide files of 60 years and writes a
// table of their yearly freeze dates (0 °C), degree-days above 10 °C by daily
// means (in twentieths) and rain (in tenths), as .ci/yearly.mjs does with
// DuckDB: both on two threads, in turns, in processes that stay warm, from
// opening the files to the table on the disk. Medians are reported, and as
// ratios of them how many times longer DuckDB takes, looking at the quality
// flags as our reader always does:
//
//	x-unchecked  than our reading without our own quality control
//	x-checked    than our reading with it
//	x-seasons    than that, where all figures of the seasons but chill are computed
//	x-no-flags   than x-unchecked, DuckDB not looking at the flags
//
// The tables must be the same, row by row, first on files with values missing,
// flagged and left out. Our quality control takes a few of the invented values
// for spikes: the years of these are counted and not compared.
func BenchmarkAgainstDuckDB(b *testing.B) {
	if *duckdb == "" {
		b.Skip("-duckdb is not given")
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(duckdbThreads))
	ask := startDuckDB(b)
	unchecked := station.Options{Unchecked: true}

	dir, out := b.TempDir(), b.TempDir()
	for seed := range 4 {
		writeStation(b, dir, seed, worn(stationtest.WideFile(uint64(seed), 60)))
	}
	theirs, ours := filepath.Join(out, "theirs.csv"), filepath.Join(out, "ours.csv")
	ask(b, "flags", dir, theirs)
	yearly(b, dir, ours, unchecked, plainFigures)
	if rows, _ := equalTables(b, theirs, ours, nil); rows < 4*59 {
		b.Fatalf("only %d rows of worn files", rows)
	}

	dir = b.TempDir()
	for i := range *duckdbFiles {
		writeStation(b, dir, i, stationtest.WideFile(uint64(i), 60))
	}
	var suspects map[string]bool
	runs := []struct {
		name string
		run  func(b *testing.B, out string) time.Duration
	}{
		{"flags", func(b *testing.B, out string) time.Duration { return ask(b, "flags", dir, out) }},
		{"unchecked", func(b *testing.B, out string) time.Duration {
			t, _ := yearly(b, dir, out, unchecked, plainFigures)
			return t
		}},
		{"values", func(b *testing.B, out string) time.Duration { return ask(b, "values", dir, out) }},
		{"checked", func(b *testing.B, out string) (t time.Duration) {
			t, suspects = yearly(b, dir, out, station.Options{}, plainFigures)
			return t
		}},
		{"seasons", func(b *testing.B, out string) time.Duration {
			t, _ := yearly(b, dir, out, station.Options{}, seasonFigures)
			return t
		}},
	}
	for b.Loop() {
		times := map[string][]float64{}
		for range duckdbRounds {
			for _, r := range runs {
				runtime.GC()
				times[r.name] = append(times[r.name], r.run(b, filepath.Join(out, r.name+".csv")).Seconds())
			}
		}
		for _, r := range runs[1:] {
			passOver := suspects
			if r.name == "unchecked" || r.name == "values" {
				passOver = nil
			}
			rows, passed := equalTables(b, filepath.Join(out, "flags.csv"), filepath.Join(out, r.name+".csv"), passOver)
			if rows != 60**duckdbFiles || passed*100 > rows {
				b.Fatalf("%s: %d rows, %d of them not compared", r.name, rows, passed)
			}
			b.Logf("%s: %d rows as those of flags, %d not compared for spikes in them", r.name, rows-passed, passed)
		}
		median := map[string]float64{}
		for name, ts := range times {
			slices.Sort(ts)
			median[name] = ts[len(ts)/2]
			b.Logf("%-9s median %.3f s, %.3f to %.3f", name, median[name], ts[0], ts[len(ts)-1])
		}
		for _, name := range []string{"unchecked", "checked", "seasons"} {
			b.ReportMetric(median["flags"]/median[name], "x-"+name)
		}
		b.ReportMetric(median["values"]/median["unchecked"], "x-no-flags")
	}
}

func writeStation(b *testing.B, dir string, number int, text []byte) {
	b.Helper()
	if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("XX%09d.csv", number)), text, 0o600); err != nil {
		b.Fatal(err)
	}
}

// worn takes rows and values out of a file and flags some of the rest.
func worn(text []byte) []byte {
	rows := bytes.SplitAfter(text, []byte("\n"))
	kept := slices.Clone(rows[:1])
	for i, row := range rows[200:] {
		if i%97 == 0 || i%4000 > 3900 {
			continue
		}
		row = bytes.ReplaceAll(row, []byte(`4",",,X,`), []byte(`4",",I,X,`))
		row = bytes.ReplaceAll(row, []byte(`13",",,X,`), []byte(`13","H,,X,`))
		for _, gone := range []string{`"   -7",",,X,0700"`, `"   48",",,X,"`, `"   35",",,X,0700"`} {
			row = bytes.ReplaceAll(row, []byte(gone), []byte(`"",""`))
		}
		kept = append(kept, row)
	}
	return bytes.Join(kept, nil)
}

// startDuckDB starts .ci/yearly.mjs and returns how to ask it for a table.
func startDuckDB(b *testing.B) func(b *testing.B, kind, dir, out string) time.Duration {
	cmd := exec.Command("node", "../../.ci/yearly.mjs", strconv.Itoa(duckdbThreads))
	cmd.Env = append(os.Environ(), "NODE_PATH="+filepath.Join(*duckdb, "node_modules"))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	answers, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		in.Close()
		if err := cmd.Wait(); err != nil {
			b.Errorf(".ci/yearly.mjs: %v", err)
		}
	})
	lines := bufio.NewReader(answers)
	return func(b *testing.B, kind, dir, out string) time.Duration {
		b.Helper()
		if _, err := io.WriteString(in, kind+"\t"+dir+"\t"+out+"\n"); err != nil {
			b.Fatal(err)
		}
		line, err := lines.ReadString('\n')
		if err != nil {
			b.Fatalf("no answer of .ci/yearly.mjs: %v", err)
		}
		seconds, err := strconv.ParseFloat(strings.TrimSpace(line), 64)
		if err != nil {
			b.Fatal(err)
		}
		return time.Duration(seconds * float64(time.Second))
	}
}

// yearly is our side: it reads the files of a folder and writes the table. It
// returns the rows that values set aside by our quality control fall into.
func yearly(b *testing.B, dir, out string, o station.Options, figures func(*station.Record) []byte) (time.Duration, map[string]bool) {
	b.Helper()
	start := time.Now()
	paths, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil {
		b.Fatal(err)
	}
	recs, _, err := station.ReadAllWith(paths, duckdbThreads, o)
	if err != nil || len(recs) != len(paths) {
		b.Fatal(len(recs), err)
	}
	rows := make([][]byte, len(recs)+1)
	rows[0] = []byte("station,year,last_spring_freeze,first_autumn_freeze,heat,rain\n")
	var wg sync.WaitGroup
	for k := range duckdbThreads {
		wg.Go(func() {
			for i := k; i < len(recs); i += duckdbThreads {
				rows[i+1] = figures(&recs[i])
			}
		})
	}
	wg.Wait()
	if err := os.WriteFile(out, bytes.Join(rows, nil), 0o600); err != nil {
		b.Fatal(err)
	}
	took := time.Since(start)
	suspects := map[string]bool{}
	for i := range recs {
		for _, s := range recs[i].Account.Suspects {
			for y := s.First.Year(); !s.Used && y <= s.Last.Year(); y++ {
				suspects[fmt.Sprintf("%s,%d,", recs[i].ID, y)] = true
			}
		}
	}
	return took, suspects
}

// yearOf is a row of the table; days are day.None and sums -1 where there are
// none.
type yearOf struct {
	last, first day.Date
	heat, rain  int
}

func (y yearOf) append(out []byte, id string, year int) []byte {
	out = append(append(out, id...), ',')
	out = append(strconv.AppendInt(out, int64(year), 10), ',')
	for _, d := range []day.Date{y.last, y.first} {
		if d != day.None {
			out = append(out, d.String()...)
		}
		out = append(out, ',')
	}
	if y.heat >= 0 {
		out = strconv.AppendInt(out, int64(y.heat), 10)
	}
	out = append(out, ',')
	if y.rain >= 0 {
		out = strconv.AppendInt(out, int64(y.rain), 10)
	}
	return append(out, '\n')
}

// plainFigures makes the rows of a station without asking how much is missing.
func plainFigures(r *station.Record) (out []byte) {
	for y := r.First.Year(); y <= r.Last().Year(); y++ {
		row := yearOf{day.None, day.None, -1, -1}
		august := day.Of(y, 8, 1)
		for d := max(r.First, day.Of(y, 1, 1)); d <= min(r.Last(), day.Of(y, 12, 31)); d++ {
			i := d - r.First
			lo, hi, rain := r.TMin[i], r.TMax[i], r.Precip[i]
			if lo != quantity.Missing {
				if lo <= 0 && d < august {
					row.last = d
				} else if lo <= 0 && row.first == day.None {
					row.first = d
				}
				if hi != quantity.Missing {
					row.heat = max(row.heat, 0) + max(int(lo)+int(hi)-200, 0)
				}
			}
			if rain != quantity.Missing {
				row.rain = max(row.rain, 0) + int(rain)
			}
		}
		out = row.append(out, r.ID, y)
	}
	return out
}

// seasonFigures makes the rows of a station from the figures that we publish.
// In a year with nothing missing they are the same.
func seasonFigures(r *station.Record) (out []byte) {
	d := &climate.Daily{First: r.First, TMin: r.TMin, TMax: r.TMax, Precip: r.Precip, Hemisphere: day.North}
	for _, s := range climate.Seasons(d, climate.DefaultHeat()) {
		row := yearOf{day.None, day.None, -1, -1}
		if f := s.Last[climate.Zero]; f.Outcome == climate.Found {
			row.last = f.Date
		}
		if f := s.First[climate.Zero]; f.Outcome == climate.Found {
			row.first = f.Date
		}
		if s.HeatMean.OK {
			row.heat = int(math.Round(s.HeatMean.V * 20))
		}
		if s.Precip.OK {
			row.rain = int(math.Round(s.Precip.V * 10))
		}
		out = row.append(out, r.ID, s.Year)
	}
	return out
}

// equalTables holds two tables to the same rows, but for those that begin with
// one of passOver, and counts them.
func equalTables(b *testing.B, wantFile, gotFile string, passOver map[string]bool) (rows, passed int) {
	b.Helper()
	var lines [2][]string
	for i, path := range []string{wantFile, gotFile} {
		text, err := os.ReadFile(path)
		if err != nil {
			b.Fatal(err)
		}
		lines[i] = strings.SplitAfter(string(text), "\n")
	}
	want, got := lines[0], lines[1]
	if len(want) != len(got) {
		b.Fatalf("%s has %d lines and %s %d", wantFile, len(want), gotFile, len(got))
	}
	for i := range want {
		cells := strings.SplitN(want[i], ",", 3)
		if len(cells) == 3 && passOver[cells[0]+","+cells[1]+","] {
			passed++
		} else if want[i] != got[i] {
			b.Fatalf("line %d: %q, and by DuckDB %q", i+1, got[i], want[i])
		}
	}
	return len(want) - 2, passed // but for the header and what follows the last line end
}
