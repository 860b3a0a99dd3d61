package page_test

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// contributed is the description of the empty tables, as far as checked.
type contributed struct {
	Resources []struct {
		Name, Path string
		Schema     struct {
			PrimaryKey []string
			Fields     []contributedField
		}
	}
}

type contributedField struct {
	Name, Type, Description string
	Constraints             struct {
		Required         bool
		Pattern          string
		Enum             []string
		MaxLength        int
		Minimum, Maximum *float64
	}
}

// fault says what the Table Schema has against a cell (specs.frictionlessdata.io,
// table-schema 1.0: an empty text is a missing value).
func (f *contributedField) fault(cell string) string {
	c := &f.Constraints
	if cell == "" {
		if c.Required {
			return "is blank"
		}
		return ""
	}
	var err error
	number := 0.0
	switch f.Type {
	case "number":
		number, err = strconv.ParseFloat(cell, 64)
	case "integer":
		var n int
		n, err = strconv.Atoi(cell)
		number = float64(n)
	case "date":
		_, err = time.Parse(time.DateOnly, cell)
	}
	switch {
	case err != nil:
		return err.Error()
	case c.Minimum != nil && number < *c.Minimum, c.Maximum != nil && number > *c.Maximum:
		return "is out of bounds"
	case c.Enum != nil && !slices.Contains(c.Enum, cell):
		return "is none of the enum"
	case c.Pattern != "" && !regexp.MustCompile(c.Pattern).MatchString(cell):
		return "does not match"
	case c.MaxLength > 0 && len([]rune(cell)) > c.MaxLength:
		return "is too long"
	}
	return ""
}

func readContributed(t *testing.T) map[string][]contributedField {
	t.Helper()
	site := demoSite(t)
	var p contributed
	if err := json.Unmarshal(site["contribute/datapackage.json"], &p); err != nil {
		t.Fatal(err)
	}
	out := map[string][]contributedField{}
	for _, r := range p.Resources {
		var names []string
		for _, f := range r.Schema.Fields {
			names = append(names, f.Name)
		}
		if got := string(site["contribute/"+r.Path]); got != strings.Join(names, ",")+"\n" {
			t.Errorf("%s is %q", r.Path, got)
		}
		for _, k := range r.Schema.PrimaryKey {
			if !slices.Contains(names, k) {
				t.Errorf("%s: the key %s is no field", r.Name, k)
			}
		}
		out[r.Name] = r.Schema.Fields
	}
	return out
}

// The schemas of the empty tables accept every row of the demonstration
// club's own tables, which its reader accepts too.
func TestEmptyTablesFitTheClubsRows(t *testing.T) {
	tables := readContributed(t)
	for name, file := range map[string]string{"reports": "reports/*.csv", "cultivars": "cultivars.csv", "trees": "trees.csv", "stations": "stations.csv", "store-log": "store-log.csv"} {
		fields, rows := map[string]*contributedField{}, 0
		for i := range tables[name] {
			fields[tables[name][i].Name] = &tables[name][i]
		}
		files, err := filepath.Glob(filepath.Join("..", "..", "data", filepath.FromSlash(file)))
		if err != nil || len(files) == 0 {
			t.Fatalf("no %s: %v", file, err)
		}
		for _, path := range files {
			f, err := os.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			r := csv.NewReader(f)
			r.Comment = '#'
			all, err := r.ReadAll()
			f.Close()
			if err != nil {
				t.Fatal(err)
			}
			for i, row := range all[1:] {
				rows++
				for k, cell := range row {
					f := fields[all[0][k]]
					if f == nil {
						if !strings.HasSuffix(all[0][k], "_fr") {
							t.Fatalf("%s: no field %s", name, all[0][k])
						}
						continue
					}
					if fault := f.fault(strings.TrimSpace(cell)); fault != "" {
						t.Errorf("%s, row %d: %s %q %s", path, i+2, f.Name, cell, fault)
					}
				}
			}
		}
		if rows == 0 {
			t.Errorf("%s: no rows", name)
		}
	}
}

// What the club's reader refuses, the schema refuses too.
func TestEmptyTablesRefuse(t *testing.T) {
	tables := readContributed(t)
	for _, x := range []struct{ table, column, bad, good string }{
		{"reports", "report_id", "two words", "2026-01"}, {"reports", "report_id", "", "r.1"}, {"reports", "outcome", "Ripe", "already-ripe"},
		{"reports", "seen_on", "2026-02-30", "2026-02-28"}, {"reports", "year", "20266", "2026"}, {"reports", "crop_part", "", "breba"},
		{"cultivars", "cultivar_id", "Éclair", "eclair"}, {"cultivars", "wood_kill_c", "-600", "-12.5"}, {"cultivars", "crops_borne", "all", ""},
		{"cultivars", "cultivar_id", strings.Repeat("a", 65), strings.Repeat("a", 64)},
		{"trees", "site", "roof", "hollow"}, {"stations", "latitude", "95", "-45.2"}, {"store-log", "low_c", "cold", "-3"}, {"store-log", "reset_on", "", "2026-01-01"},
	} {
		found := false
		for i := range tables[x.table] {
			if f := &tables[x.table][i]; f.Name == x.column {
				found = true
				if f.fault(x.bad) == "" || f.fault(x.good) != "" {
					t.Errorf("%s.%s: %q: %q, %q: %q", x.table, x.column, x.bad, f.fault(x.bad), x.good, f.fault(x.good))
				}
			}
		}
		if !found {
			t.Errorf("no %s.%s", x.table, x.column)
		}
	}
}

// The page leads to the tables from every language.
func TestContributePage(t *testing.T) {
	for at, table := range map[string]string{"contribute/index.html": `href="../contribute/reports.csv"`, "fr/contribute/index.html": `href="../../contribute/reports.csv"`} {
		if !strings.Contains(string(bilingual(t, nil)[at]), table) {
			t.Errorf("%s has no %s", at, table)
		}
	}
	if site := demoSite(t); !strings.Contains(string(site["report/index.html"]), `href="../contribute/index.html"`) {
		t.Error("the form does not lead to the page")
	}
}
