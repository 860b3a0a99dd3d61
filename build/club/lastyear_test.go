package club_test

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/calendar"
	"ripeward/build/club"
	"ripeward/build/day"
)

func TestLastYearComesBack(t *testing.T) {
	dir := write(t, nil)
	if c, ps := load(t, dir, club.Options{}); c.LastYear != nil || len(ps) > 0 {
		t.Fatalf("without a file: %v, %v", c.LastYear, said(ps))
	}
	y := club.LastYear{PlanYear: 2026, DataCutOff: day.Of(2025, 12, 31), Calendar: map[string]calendar.Published{
		"b": {From: day.Of(2026, 12, 28), Until: day.Of(2027, 1, 10), Sequence: 2}, "a": {From: day.Of(2026, 3, 1), Until: day.Of(2026, 3, 1)}},
		Told: &club.Told{Reports: 9}, Before: &club.YearTold{PlanYear: 2025, DataCutOff: day.Of(2024, 12, 31), Told: &club.Told{Reports: 7}}}
	for range 2 { // the second time over the first
		if err := y.Write(dir); err != nil {
			t.Fatal(err)
		}
	}
	c, ps := load(t, dir, club.Options{})
	if len(ps) > 0 || c.LastYear == nil {
		t.Fatalf("%v, %v", c.LastYear, said(ps))
	}
	if got := c.LastYear; got.PlanYear != 2026 || got.DataCutOff != y.DataCutOff || !maps.Equal(got.Calendar, y.Calendar) {
		t.Errorf("read back as %+v", got)
	}
	// The year's own almanac is compared with the year before, the next one with
	// this year.
	if same, next := c.LastYear.Baseline(2026), c.LastYear.Baseline(2027); same.PlanYear != 2025 || same.Told.Reports != 7 || same.DataCutOff != day.Of(2024, 12, 31) || next.PlanYear != 2026 || next.Told.Reports != 9 {
		t.Errorf("baselines %+v and %+v", same, next)
	}
	if !slices.Contains(c.Inputs, club.LastYearFile) {
		t.Errorf("not among the inputs: %v", c.Inputs)
	}
	there, err := os.ReadFile(filepath.Join(dir, club.LastYearFile))
	if want, _ := y.Encode(); err != nil || !bytes.Equal(there, want) {
		t.Errorf("%s, %v", there, err)
	}
	entries, err := os.ReadDir(filepath.Join(dir, "data"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".last-year") {
			t.Errorf("%s is left behind", e.Name())
		}
	}
}

// A file of a newer program has more in it; one that a person wrote less.
func TestLastYearTolerates(t *testing.T) {
	for _, text := range []string{`{}`, "\uFEFF{\n}\n", `{"calendar":{}}`,
		`{"plan_year":2026,"odds":[{"town":"mill","deep":{"er":[1,null]}}],"data_cut_off":"2025-12-31","new":null,"calendar":{"a":{"from":"2026-03-01","until":"2026-03-02","sequence":1,"moved":true}}}`} {
		c, ps := load(t, write(t, map[string]string{club.LastYearFile: text}), club.Options{})
		if len(ps) > 0 || c.LastYear == nil {
			t.Errorf("%s: %v, %v", text, c.LastYear, said(ps))
		}
		if strings.Contains(text, `"a"`) && c.LastYear.Calendar["a"].Sequence != 1 {
			t.Errorf("%s: %+v", text, c.LastYear)
		}
	}
}

func TestBrokenLastYear(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{" ", ":1:2: the file ends too early"},
		{"{\n  \"plan_year\": 2026,\n", ":3:1: the file ends too early"},
		{"{\n  \"plan_year\": 2026,,\n}", ":2:21: invalid character ','"},
		{"[]", ":1:1: there is no object here"},
		{"{\"plan_year\": \"x\"}", ":1:15: cannot unmarshal string"},
		{"{\"plan_year\": 20266}", ":1:15: plan_year: 20266 is outside"},
		{"{\n\"data_cut_off\": \"2025-02-30\"}", `:2:17: data_cut_off: "2025-02-30" is not a day`},
		{"{\"calendar\": []}", ":1:14: there is no object here"},
		{"{\"calendar\": {\n \"a\": {\"from\": \"2026-03-01\", \"until\": \"2026-03-02\"},\n \"b\": {\"from\": \"2026-03-01\", \"until\": \"2026-02-02\"}}}", ":3:7: until: 2026-02-02 is before 2026-03-01"},
		{"{\"calendar\": {\n \"a\": 7}}", ":2:7: cannot unmarshal number"},
		{"{} {}", ":1:3: there is more behind the end"},
		{"{\"a\": nope}", "invalid character"},
		{"\xff\xfe{", ":1:1: invalid character"},
	} {
		_, ps := load(t, write(t, map[string]string{club.LastYearFile: c.text}), club.Options{})
		lines := said(ps)
		if len(lines) != 1 || !strings.HasPrefix(lines[0], "data/last-year.json:") || !strings.Contains(lines[0], c.want) || !strings.Contains(lines[0], "--close-year") {
			t.Errorf("%q: %q, want %s", c.text, lines, c.want)
		}
	}
}

func TestLastYearCannotBeWritten(t *testing.T) {
	dir := write(t, nil)
	if err := os.Mkdir(filepath.Join(dir, club.LastYearFile), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := (club.LastYear{}).Write(dir); err == nil || !strings.Contains(err.Error(), "not a regular file") {
		t.Errorf("over a folder: %v", err)
	}
	if err := (club.LastYear{}).Write(filepath.Join(dir, "nowhere")); err == nil || !strings.HasPrefix(err.Error(), "data/last-year.json: cannot be written") {
		t.Errorf("without a data folder: %v", err)
	}
}
