package begin_test

import (
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/begin"
	"ripeward/build/diag"
)

func files(t *testing.T, language string) map[string]string {
	t.Helper()
	list, err := begin.Files(language)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range list {
		if out[f.Path] != "" {
			t.Errorf("%s is there twice", f.Path)
		}
		out[f.Path] = string(f.Data)
	}
	return out
}

// Every column of a table is explained above it.
func TestTablesExplainTheirColumns(t *testing.T) {
	for _, language := range begin.Languages {
		tables := 0
		for path, text := range files(t, language) {
			if filepath.Ext(path) != ".csv" || strings.HasPrefix(path, "built-in/") || strings.HasPrefix(path, "data/stations/") {
				continue
			}
			tables++
			comment, rest := "", text
			for strings.HasPrefix(rest, "#") {
				line, after, _ := strings.Cut(rest, "\n")
				comment, rest = comment+line+"\n", after
			}
			rows, err := csv.NewReader(strings.NewReader(rest)).ReadAll()
			if err != nil || strings.Count(comment, "\n") < 2 {
				t.Fatalf("%s/%s: %v; comment %q", language, path, err, comment)
			}
			for _, column := range rows[0] {
				said := column
				switch {
				case strings.HasPrefix(column, "breba_"):
					said = "breba_..."
				case strings.HasSuffix(column, "_se_cd"):
					said = "_se_"
				case strings.HasSuffix(column, "_sd_cd"):
					said = "_sd_"
				case strings.HasSuffix(column, "_fr"), strings.HasSuffix(column, "_en"):
					said = column[:len(column)-3]
				case slices.Contains([]string{"dialect", "about", "name", "tree_age_y", "notes", "year", "town_id", "cultivar_id", "method_id"}, column):
					continue // explained in another table, or by its name
				}
				if !strings.Contains(comment, said) {
					t.Errorf("%s/%s: nothing is said of %s", language, path, column)
				}
			}
		}
		if tables != 7 {
			t.Errorf("%s: %d tables", language, tables)
		}
	}
}

// Both languages hold the same rows: ids and numbers do not differ.
func TestLanguagesHoldTheSame(t *testing.T) {
	en, fr := files(t, "en"), files(t, "fr")
	if len(en) != len(fr) {
		t.Errorf("%d and %d files", len(en), len(fr))
	}
	for path, text := range en {
		other := fr[path]
		if strings.HasPrefix(path, "content/fr/") {
			other = fr["content/en/"+strings.TrimPrefix(path, "content/fr/")]
		}
		if other == "" {
			t.Errorf("%s has no counterpart", path)
		}
		if path == "data/stations/inkwell-sluice.csv" && text != other {
			t.Error("the weather differs")
		}
		if filepath.Ext(path) == ".csv" && strings.Count(text, "\n") != strings.Count(other, "\n") {
			t.Errorf("%s has other rows", path)
		}
	}
}

// The invented weather is that of a place where figs are a question: it rests
// on nothing, and only has to be likely.
func TestWeatherIsLikely(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(files(t, "en")["data/stations/inkwell-sluice.csv"])).ReadAll()
	if err != nil || len(rows) != 1+31*365+8 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	lows, highs, rain, days := map[string]float64{}, map[string]float64{}, 0.0, map[string]float64{}
	for _, r := range rows[1:] {
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		if v[0] >= v[1] || v[0] < -30 || v[1] > 42 || v[2] < 0 || v[2] > 120 {
			t.Errorf("%v", r)
		}
		month := r[0][5:7]
		lows[month], highs[month], days[month], rain = lows[month]+v[0], highs[month]+v[1], days[month]+1, rain+v[2]
	}
	for _, c := range []struct {
		what         string
		is, low, top float64
	}{
		{"January's lows", lows["01"] / days["01"], -9, -4}, {"July's highs", highs["07"] / days["07"], 25, 29},
		{"July's lows", lows["07"] / days["07"], 12, 17}, {"rain of a year", rain / 31, 500, 1100},
	} {
		if c.is < c.low || c.is > c.top {
			t.Errorf("%s: %.1f, not between %g and %g", c.what, c.is, c.low, c.top)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	for _, at := range []string{dir, file} {
		var p diag.Problem
		if _, err := begin.Write(at, "en"); !errors.As(err, &p) || p.Hint == "" {
			t.Errorf("%s: %v", at, err)
		}
	}
	if _, err := begin.Write(filepath.Join(dir, "new"), "xx"); err == nil {
		t.Error("a language that is not there")
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("written: %v", entries)
	}
}
