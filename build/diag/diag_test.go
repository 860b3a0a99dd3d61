package diag_test

import (
	"testing"

	"ripeward/build/diag"
)

func TestProblemText(t *testing.T) {
	p := diag.Problem{Place: diag.Place{File: "data/towns.csv", Line: 3, Column: 7}, Severity: diag.Error, Message: "no zone", Hint: "add one"}
	if got := p.Error(); got != "data/towns.csv:3:7: no zone" {
		t.Error(got)
	}
	p.Severity, p.Place.Column = diag.Warning, 0
	if got := p.Error(); got != "data/towns.csv:3: warning: no zone" {
		t.Error(got)
	}
}

func TestSortDropsRepeats(t *testing.T) {
	at := func(f string, l, c int, m string) diag.Problem {
		return diag.Problem{Place: diag.Place{File: f, Line: l, Column: c}, Message: m}
	}
	ps := diag.Problems{at("b", 1, 1, "x"), at("a", 10, 1, "x"), at("a", 2, 5, "y"), at("a", 2, 5, "x"), at("a", 2, 5, "y")}.Sort()
	want := diag.Problems{at("a", 2, 5, "x"), at("a", 2, 5, "y"), at("a", 10, 1, "x"), at("b", 1, 1, "x")}
	if len(ps) != len(want) {
		t.Fatalf("%d problems, want %d", len(ps), len(want))
	}
	for i := range want {
		if ps[i] != want[i] {
			t.Errorf("%d: %v, want %v", i, ps[i], want[i])
		}
	}
}

func TestNearest(t *testing.T) {
	names := []string{"town_id", "zone_id", "elevation_m", "latitude"}
	for word, want := range map[string]string{"townid": "town_id", "Town ID": "town_id", "elevaton_m": "elevation_m", "latitdue": "latitude", "colour": "", "x": ""} {
		if got := diag.Nearest(word, names); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
}
