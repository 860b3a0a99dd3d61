package page

import (
	"slices"
	"testing"

	"ripeward/build/tables"
)

// The form asks for every column of the reports that a member can fill, in the
// table's order, and the columns of trees.csv come last.
func TestFormHasEveryColumn(t *testing.T) {
	var want, got []string
	for _, c := range tables.ReportColumns() {
		if c.Name != "report_id" && c.Name != "status" { // whoever keeps the table fills these
			want = append(want, c.Name)
		}
	}
	for _, e := range formEntries {
		got = append(got, e.column)
	}
	if want = append(want, "pot_litres, site"); !slices.Equal(got, want) {
		t.Errorf("the form has  %v\nthe table has %v", got, want)
	}
}
