package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ripeward/build/tables"
)

const (
	figuresBegin = "<!-- the figures: written by go test ./cmd/ripeward -run Documented -update -->\n"
	figuresEnd   = "<!-- end of the figures -->\n"
)

// TestFiguresAreDocumented compares the table of figures in DEVELOPERS.md with
// the catalogue that it is written from. The months of a measure take one row.
func TestFiguresAreDocumented(t *testing.T) {
	var b strings.Builder
	b.WriteString("| figure | unit | compares | definition | complete enough | source |\n|---|---|---|---|---|---|\n")
	month := regexp.MustCompile(`^(t(?:min|max)_mean|precip)_(\d\d)$`)
	list := tables.MeasuresTable(10)
	at := map[string]int{}
	for i, c := range list.Columns {
		at[c.Name] = i
	}
	for _, row := range list.Rows {
		name, definition := row[at["measure"]], row[at["definition"]]
		if m := month.FindStringSubmatch(name); m != nil {
			if m[2] != "01" {
				continue
			}
			name, definition = m[1]+"_01 ... _12", strings.Replace(definition, "January", "the month", 1)
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s | %s |\n", name, row[at["unit"]], row[at["compares"]], definition, row[at["complete_enough"]], row[at["source"]])
	}
	path := filepath.Join(repoRoot(t), "DEVELOPERS.md")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	i, j := strings.Index(text, figuresBegin), strings.Index(text, figuresEnd)
	if i < 0 || j < i {
		t.Fatal("DEVELOPERS.md has no place for the figures")
	}
	i += len(figuresBegin)
	if text[i:j] == b.String() {
		return
	}
	if !*update {
		t.Fatalf("DEVELOPERS.md differs from the catalogue: %s", firstDifference(text[i:j], b.String()))
	}
	if err := os.WriteFile(path, []byte(text[:i]+b.String()+text[j:]), 0o666); err != nil {
		t.Fatal(err)
	}
}
