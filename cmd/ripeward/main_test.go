package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"ripeward/build/day"
)

func TestMain(m *testing.M) {
	// What is remembered between runs is nobody's but the tests'.
	if dir, err := os.MkdirTemp("", "ripeward-cache"); err == nil && os.Getenv("RIPEWARD_TEST_CACHE") == "" {
		useCacheIn(dir, os.Setenv)
		os.Setenv("RIPEWARD_TEST_CACHE", dir) // scripts run this program again
	}
	testscript.Main(m, map[string]func(){
		"ripeward": func() { os.Exit(run(context.Background(), os.Stdout, os.Stderr, os.Args[1:])) },
	})
}

// TestScripts runs the stories in testdata/script, with commands of their
// own: "weather FILE FIRST LAST [south]" writes an invented daily record,
// "tinyclub DIR" an invented club that uses one, "append FILE LINE" adds a
// line, "without FILE START" drops the lines with that start, and "wrong ARGS"
// runs ripeward, which must exit with status 2 and print no result.
func TestScripts(t *testing.T) {
	script := filepath.Join(repoRoot(t), "testdata", "script")
	testscript.Run(t, testscript.Params{
		Dir:                 script,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			useCacheIn(filepath.Join(e.WorkDir, ".cache"), func(k, v string) error { e.Setenv(k, v); return nil })
			e.Setenv("RIPEWARD_TEST_CACHE", "set")
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"weather": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) < 3 {
					ts.Fatalf("use: weather FILE FIRST LAST [south]")
				}
				first, err1 := strconv.Atoi(args[1])
				last, err2 := strconv.Atoi(args[2])
				if err1 != nil || err2 != nil {
					ts.Fatalf("weather: years must be numbers")
				}
				ts.Check(writeWeather(ts.MkAbs(args[0]), first, last, len(args) > 3 && args[3] == "south"))
			},
			"wrong": func(ts *testscript.TestScript, neg bool, args []string) {
				err := ts.Exec("ripeward", args...)
				var exit *exec.ExitError
				if neg || !errors.As(err, &exit) || exit.ExitCode() != usage {
					ts.Fatalf("ripeward %v: got %v, want exit status %d", args, err, usage)
				}
				if out := ts.ReadFile("stdout"); out != "" {
					ts.Fatalf("ripeward %v printed a result: %s", args, out)
				}
			},
			"append": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) != 2 {
					ts.Fatalf("use: append FILE LINE")
				}
				ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(ts.ReadFile(args[0])+args[1]+"\n"), 0o666))
			},
			"without": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) != 2 {
					ts.Fatalf("use: without FILE START")
				}
				var left strings.Builder
				for line := range strings.Lines(ts.ReadFile(args[0])) {
					if !strings.HasPrefix(line, args[1]) {
						left.WriteString(line)
					}
				}
				ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(left.String()), 0o666))
			},
			"tinyclub": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) != 1 {
					ts.Fatalf("use: tinyclub DIR")
				}
				dir := ts.MkAbs(args[0])
				ts.Check(os.CopyFS(dir, os.DirFS(filepath.Join(script, "tiny-club"))))
				ts.Check(writeWeather(filepath.Join(dir, "data", "stations", "mead.csv"), 1988, 2020, false))
			},
		},
	})
}

// useCacheIn makes a folder the one for caches, as each system names it.
func useCacheIn(dir string, set func(key, value string) error) {
	for _, key := range []string{"XDG_CACHE_HOME", "HOME", "LocalAppData"} {
		if key != "HOME" || runtime.GOOS == "darwin" {
			_ = set(key, dir)
		}
	}
}

// writeWeather writes an invented record in the plain form: a yearly wave, a
// slower wave from year to year, and a nine-day one.
func writeWeather(path string, first, last int, south bool) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c,precip_mm\n")
	for d := day.Of(first, 1, 1); d <= day.Of(last, 12, 31); d++ {
		phase := 2 * math.Pi * (float64(d.YearDay()) - 20) / 365.25
		if south {
			phase += math.Pi
		}
		mean := 10.5 - 13*math.Cos(phase) + 1.2*math.Sin(float64(d.Year())*1.7) + 3.5*math.Sin(float64(d)*2*math.Pi/9.3)
		rain := 0.0
		if d%5 == 0 {
			rain = 4.2
		}
		fmt.Fprintf(&b, "%s,%.1f,%.1f,%.1f\n", d, mean-5.5, mean+5.5, rain)
	}
	return os.WriteFile(path, []byte(b.String()), 0o666)
}

// TestOttawaMonthlyMeans compares the command's output with the 24 monthly
// means of 1971-2000 that the publisher of the record prints.
func TestOttawaMonthlyMeans(t *testing.T) {
	shared := filepath.Join(repoRoot(t), "..", "shared", "data")
	record, figures := filepath.Join(shared, "CA006105976.dly.gz"), filepath.Join(shared, "published_values.tsv")
	for _, f := range []string{record, figures} {
		if _, err := os.Stat(f); err != nil {
			t.Skipf("needs %s: %v", filepath.Base(f), err)
		}
	}
	// Source: Canadian Climate Normals 1971-2000, Ottawa CDA (station 6105976).
	want := map[string]string{}
	data, err := os.ReadFile(figures)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		f := strings.Split(line, "\t")
		if len(f) < 4 || f[0] != "CA006105976 Ottawa CDA" || f[2] != "1971-2000" {
			continue
		}
		name := map[string]string{"mean daily min Jan..Dec": "tmin_mean_", "mean daily max Jan..Dec": "tmax_mean_"}[f[1]]
		if name == "" {
			continue
		}
		for i, v := range strings.Fields(f[3])[:12] {
			x, err := strconv.ParseFloat(v, 64)
			if err != nil {
				t.Fatal(err)
			}
			want[fmt.Sprintf("%s%02d", name, i+1)] = fmt.Sprintf("%.1f", x)
		}
	}
	if len(want) != 24 {
		t.Fatalf("found %d published means, want 24", len(want))
	}
	var out, errs strings.Builder
	if code := run(t.Context(), &out, &errs, []string{"season", "--table", "normals", "--years", "1971-2000", "--format", "csv", record}); code != 0 {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	got := map[string]string{}
	for line := range strings.Lines(out.String()) {
		if f := strings.Split(line, ","); len(f) > 7 {
			got[f[1]] = f[7]
		}
	}
	for measure, mean := range want {
		if got[measure] != mean {
			t.Errorf("%s: got %s, published %s", measure, got[measure], mean)
		}
	}
}

// TestHelpNamesEveryFlag keeps help complete: every flag has words.
func TestHelpNamesEveryFlag(t *testing.T) {
	for _, c := range commands() {
		var out, errs strings.Builder
		if code := run(t.Context(), &out, &errs, []string{"help", c.name}); code != done || errs.Len() > 0 {
			t.Errorf("help %s: exit %d, %s", c.name, code, errs.String())
		}
		o := defaults()
		fs := newFlagSet(&c, &o)
		for _, name := range fs.own {
			if _, words := fs.usageOf(fs.Lookup(name)); words == "" || !strings.Contains(out.String(), "--"+name) {
				t.Errorf("help %s does not explain --%s", c.name, name)
			}
		}
	}
}

// TestPublishIsReproducible builds the tiny club twice, from folders with
// other names and with other numbers of workers.
func TestPublishIsReproducible(t *testing.T) {
	build := func(name, jobs string) map[string]string {
		dir := filepath.Join(t.TempDir(), name)
		if err := os.CopyFS(dir, os.DirFS(filepath.Join(repoRoot(t), "testdata", "script", "tiny-club"))); err != nil {
			t.Fatal(err)
		}
		if err := writeWeather(filepath.Join(dir, "data", "stations", "mead.csv"), 1988, 2020, false); err != nil {
			t.Fatal(err)
		}
		// A value set aside must not tell where the club's folder stands.
		record, err := os.OpenFile(filepath.Join(dir, "data", "stations", "mead.csv"), os.O_APPEND|os.O_WRONLY, 0)
		if err != nil {
			t.Fatal(err)
		}
		_, err = record.WriteString("2021-01-01,9,-9,0\n")
		if err = errors.Join(err, record.Close()); err != nil {
			t.Fatal(err)
		}
		site := filepath.Join(dir, "public")
		var out, errs strings.Builder
		if code := run(t.Context(), &out, &errs, []string{"publish", "--club", dir, "--site", site, "--jobs", jobs}); code != done {
			t.Fatalf("exit %d: %s", code, errs.String())
		}
		files := map[string]string{}
		err = filepath.WalkDir(site, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := os.ReadFile(path)
			rel, _ := filepath.Rel(site, path)
			files[filepath.ToSlash(rel)] = string(data)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return files
	}
	one, two := build("one", "1"), build("other-name", "4")
	if len(one) < 10 || len(one) != len(two) {
		t.Fatalf("got %d and %d files", len(one), len(two))
	}
	for path, data := range one {
		if two[path] != data {
			t.Errorf("%s differs", path)
		}
	}
}
