package tables_test

import (
	"encoding/csv"
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/tables"
)

var sampleTable = tables.Table{Name: "sample", Key: []string{"id"}, Columns: []tables.Column{
	{Name: "id", Type: "string"}, {Name: "heat", Type: "integer", Unit: "°C·d"}, {Name: "low", Type: "number"}, {Name: "first", Type: "string"}, {Name: "figure", Type: "any"},
}, Rows: [][]string{
	{"a, \"b\"", "1200", "-3.5", "none", "05-12"},
	{"two\nlines", "", "0.0", "1999-05-01", "12.5"},
	{"häß<&>", "7", "", "", ""},
	{"007", "0", "1.25", "007", "4b"},
}}

func TestTableCSV(t *testing.T) {
	var b strings.Builder
	if err := sampleTable.CSV(&b); err != nil {
		t.Fatal(err)
	}
	// RFC 4180, 2.5-2.7: a cell with a comma, quote or line break is quoted,
	// a quote in it is doubled. Only the line ends are LF.
	want := "id,heat,low,first,figure\n\"a, \"\"b\"\"\",1200,-3.5,none,05-12\n\"two\nlines\",,0.0,1999-05-01,12.5\nhäß<&>,7,,,\n007,0,1.25,007,4b\n"
	if b.String() != want {
		t.Errorf("got  %q\nwant %q", b.String(), want)
	}
	back, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil || !reflect.DeepEqual(back[1:], sampleTable.Rows) {
		t.Errorf("reads back as %q, %v", back, err)
	}
}

func TestTableJSON(t *testing.T) {
	var b strings.Builder
	if err := sampleTable.JSON(&b); err != nil {
		t.Fatal(err)
	}
	var got []map[string]any
	if err := json.Unmarshal([]byte(b.String()), &got); err != nil {
		t.Fatal(err)
	}
	want := []map[string]any{
		{"id": `a, "b"`, "heat": 1200.0, "low": -3.5, "first": "none", "figure": "05-12"},
		{"id": "two\nlines", "heat": nil, "low": 0.0, "first": "1999-05-01", "figure": 12.5},
		{"id": "häß<&>", "heat": 7.0, "low": nil, "first": nil, "figure": nil},
		{"id": "007", "heat": 0.0, "low": 1.25, "first": "007", "figure": "4b"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v\nwant %v", got, want)
	}
	if !strings.HasPrefix(b.String(), "[\n{\"id\": ") || !strings.Contains(b.String(), "häß<&>") || !strings.Contains(b.String(), "0.0") {
		t.Errorf("not one object a line in column order, or numbers and texts changed: %s", b.String())
	}
	b.Reset()
	if err := (tables.Table{Columns: sampleTable.Columns}).JSON(&b); err != nil || b.String() != "[]\n" {
		t.Errorf("a table without rows gives %q, %v", b.String(), err)
	}
}

func TestTableText(t *testing.T) {
	table := tables.Table{Columns: sampleTable.Columns[:3], Rows: [][]string{{"häß", "1200", "-3.5"}, {"b", "", "10.0"}}}
	var b strings.Builder
	if err := table.Text(&b); err != nil {
		t.Fatal(err)
	}
	want := "id   heat   low\nhäß  1200  -3.5\nb       -  10.0\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

// Everything published is in the catalogue: each column of the seasons and each
// measure of the normals has its words there, and no two have the same.
func TestEveryMeasureIsDefined(t *testing.T) {
	list := tables.MeasuresTable(10)
	defined, seen := map[string]string{}, map[string]string{}
	for _, row := range list.Rows {
		for i, cell := range row {
			if column := list.Columns[i].Name; cell == "" && column != "compares" {
				t.Errorf("%s has no %s", row[0], column)
			}
		}
		words := row[3] + ": " + row[4]
		if other, ok := seen[words]; ok {
			t.Errorf("%s and %s have the same words", row[0], other)
		}
		seen[words], defined[row[0]] = row[0], words
	}
	for _, c := range tables.SeasonsTable("town_id", nil, nil, 10).Columns {
		if words := defined[c.Name]; c.Name != "town_id" && c.Name != "year" && !strings.HasPrefix(c.Description, words) {
			t.Errorf("column %s is described as %q, in the catalogue as %q", c.Name, c.Description, words)
		}
	}
	for _, m := range climate.Measures(10) {
		if defined[m.Name] == "" {
			t.Errorf("%s is not listed", m.Name)
		}
	}
}

// What members wrote runs in nobody's spreadsheet; numbers keep their sign.
func TestCSVRunsNothing(t *testing.T) {
	table := tables.Table{Columns: []tables.Column{{Name: "a", Type: "string"}, {Name: "b", Type: "integer"}, {Name: "c", Type: "any"}}}
	cells := []string{"=1+1", "+A1", "-A1", "@x", "\tx", "\rx", "x=1", "", "'x", "-3"}
	want := []string{"'=1+1", "'+A1", "'-A1", "'@x", "'\tx", "'\rx", "x=1", "", "'x", "-3"}
	for _, c := range cells {
		table.Rows = append(table.Rows, []string{c, "-5", "-5.25"})
	}
	var out strings.Builder
	if err := table.CSV(&out); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows[1:] {
		if row[0] != want[i] || row[1] != "-5" || row[2] != "-5.25" {
			t.Errorf("%q becomes %q, want %q", cells[i], row, want[i])
		}
	}
	if table.Rows[0][0] != "=1+1" {
		t.Error("the table itself was changed")
	}
}
