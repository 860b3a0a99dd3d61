package club_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// tiny is a club without problems; everything in it is invented.
var tiny = map[string]string{
	"data/club.toml":       "name = \"Tiny Club\"\n",
	"data/zones.csv":       "zone_id,name\nvalley,Valley\n",
	"data/towns.csv":       "town_id,name,zone_id,latitude,longitude,elevation_m,station_ids\nmill,Mill,valley,45.10,7.20,300,S1\n",
	"data/stations.csv":    "station_id,name,latitude,longitude,elevation_m\nS1,Mill weir,45.11,7.21,310\n",
	"data/cultivars.csv":   "cultivar_id,crop_id,name,class_id\nfirst,fig,First,fig-early\n",
	"data/stations/S1.csv": "date,tmin_c,tmax_c\n2020-01-01,-3.0,4.0\n",
}

// write puts files, over those of tiny, into a new folder. An empty text
// leaves the file out.
func write(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	all := map[string]string{}
	for name, text := range tiny {
		all[name] = text
	}
	for name, text := range files {
		if text == "" {
			delete(all, name)
			continue
		}
		all[name] = text
	}
	for name, text := range all {
		full := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func load(t testing.TB, dir string, o club.Options) (*club.Club, diag.Problems) {
	t.Helper()
	c, ps, err := club.Load(dir, o)
	if err != nil {
		t.Fatal(err)
	}
	return c, ps
}

// said prints problems as a command would, the hint behind a bar.
func said(ps diag.Problems) []string {
	var lines []string
	for _, p := range ps {
		s := p.Error()
		if p.Hint != "" {
			s += " | " + p.Hint
		}
		lines = append(lines, s)
	}
	return lines
}

func TestTinyClub(t *testing.T) {
	c, ps := load(t, write(t, map[string]string{
		"content/home.md":           "# Home\n",
		"content/.draft.md":         "no\n",
		"data/stations/S1.toml":     "units = \"metric\"\n",
		"data/stations/README.txt":  "no\n",
		"data/stations/.DS_Store":   "no\n",
		"data/stations/A.csv":       "date,tmin_c,tmax_c\n",
		"data/README.md":            "no\n",
		"data/last-year.json":       "{}\n",
		"data/reports/2024.csv":     "report_id,town_id,cultivar_id,crop_part,method_id,year,outcome,seen_on\nr1,mill,first,main,pot-plain,2024,ripe,2024-08-30\n",
		"data/reports/2023.csv":     "report_id,town_id,cultivar_id,crop_part,method_id,year,outcome,seen_on\nr2,mill,first,main,pot-plain,2023,not-ripe,2023-10-02\n",
		"data/reports/deeper/x.csv": "no\n",
	}), club.Options{})
	if len(ps) > 0 {
		t.Fatalf("problems: %q", said(ps))
	}
	town := c.Town("mill")
	if town == nil || town.Latitude.Value != 45.1 || !slices.Equal(town.StationIDs, []string{"S1"}) || town.DayOffset.Set {
		t.Errorf("town %+v", town)
	}
	if c.Station("S1") == nil || c.Cultivar("first") == nil || c.Method("pot-plain") == nil || c.Store("attached-garage") == nil {
		t.Error("a lookup by id finds nothing")
	}
	if c.Town("nowhere") != nil || c.Tree("t1") != nil {
		t.Error("a lookup finds what is not there")
	}
	want := []string{"content/home.md", "data/club.toml", "data/cultivars.csv", "data/last-year.json", "data/reports/2023.csv", "data/reports/2024.csv",
		"data/stations.csv", "data/stations/A.csv", "data/stations/S1.csv", "data/stations/S1.toml", "data/towns.csv", "data/zones.csv"}
	if !slices.Equal(c.Inputs, want) {
		t.Errorf("inputs %q", c.Inputs)
	}
	if len(c.StationFiles) != 2 || filepath.Base(c.StationFiles[0]) != "A.csv" {
		t.Errorf("station files %q", c.StationFiles)
	}
	for _, f := range c.StationFiles {
		if _, err := os.Stat(f); err != nil {
			t.Error(err)
		}
	}
	// Reports keep the order of file names, and a column that a file does not
	// have leaves no date behind.
	if len(c.Reports) != 2 || c.Reports[0].ID != "r2" || c.Reports[1].SeenOn.String() != "2024-08-30" || c.Reports[1].WokeOn.Date != day.None {
		t.Errorf("reports %+v", c.Reports)
	}
	if at := c.Reports[1].At; at != (diag.Place{File: "data/reports/2024.csv", Line: 2, Column: 1}) {
		t.Errorf("report stands at %v", at)
	}
	s := c.Settings
	if s.Name != "Tiny Club" || s.LapseCPerKm != 6.5 || s.HoursPerWeek != 1 || s.HomeUnits != "metric" || !slices.Equal(s.Languages, []string{"en"}) || s.PlanYear != 0 {
		t.Errorf("settings %+v", s)
	}
}

// The tables in the binary are read with the same rules as a club's own.
func TestBuiltInTables(t *testing.T) {
	c, ps := load(t, write(t, nil), club.Options{})
	if len(ps) > 0 {
		t.Fatalf("problems: %q", said(ps))
	}
	if len(c.Methods) < 8 || len(c.Crops) < 5 || len(c.Classes) < 5 || len(c.Stores) < 2 {
		t.Errorf("%d methods, %d crops, %d classes, %d stores", len(c.Methods), len(c.Crops), len(c.Classes), len(c.Stores))
	}
	i := slices.IndexFunc(c.Crops, func(x club.Crop) bool { return x.ID == "fig" })
	if i < 0 {
		t.Fatal("no fig")
	}
	fig := &c.Crops[i]
	if name, ok := fig.In("fr", "name", string(fig.Name)); !ok || name == "" {
		t.Error("the fig has no French name")
	}
	if fig.BaseC.Value != 10 {
		t.Errorf("fig base %v", fig.BaseC)
	}
}

func TestOwnTableReplacesBuiltIn(t *testing.T) {
	c, ps := load(t, write(t, map[string]string{
		"data/methods.csv": "method_id,name,place\nbucket,In a bucket,pot\n",
		"data/stores.csv":  "store_id,name\nbarn,Barn\n",
	}), club.Options{})
	if len(c.Methods) != 1 || len(c.Stores) != 1 {
		t.Errorf("%d methods, %d stores", len(c.Methods), len(c.Stores))
	}
	for _, k := range c.Tasks {
		for _, m := range k.Methods {
			if c.Method(club.Text(m)) == nil {
				t.Errorf("task %s is for method %s, which the club does not have", k.ID, m)
			}
		}
	}
	// What no longer fits is told in notes, for it is no fault of the club's.
	if len(ps) == 0 || ps.Count(diag.Note) != len(ps) {
		t.Errorf("problems: %q", said(ps))
	}
	for _, p := range ps {
		if !strings.Contains(p.Message, "name what data/methods.csv does not have") || !strings.HasSuffix(p.Hint, "of the club's own replaces the built-in one") {
			t.Errorf("note %q, %q", p.Message, p.Hint)
		}
	}
}

func TestFolders(t *testing.T) {
	file := filepath.Join(t.TempDir(), "f")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for name, dir := range map[string]string{"no such folder": file + "x", "not a folder": file} {
		_, _, err := club.Load(dir, club.Options{})
		var p diag.Problem
		if !errors.As(err, &p) || p.Message != name || p.Hint != "name the club's folder with --club" {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, ps := load(t, t.TempDir(), club.Options{})
	want := []string{
		"data/club.toml: the club has no settings file | a line name = \"...\" in it is enough; is this the club's folder? --club names another",
		"data/cultivars.csv: the club has no such table | it needs the columns cultivar_id, crop_id, name",
		"data/stations: the club has no daily station files | put public daily files there as they were published",
		"data/stations.csv: the club has no such table | it needs the columns station_id, name, latitude, longitude, elevation_m",
		"data/towns.csv: the club has no such table | it needs the columns town_id, name, zone_id, latitude, longitude, elevation_m",
		"data/zones.csv: the club has no such table | it needs the columns zone_id, name",
	}
	if got := said(ps); !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
}

func TestSetAside(t *testing.T) {
	files := map[string]string{
		"data/zones.csv":        "zone_id,name\nvalley,Valley\nHill,Hill\n",
		"data/towns.csv":        tiny["data/towns.csv"] + "crag,Crag,Hill,45.2,7.3,900,S1\nford,Ford,valley,95,7.3,300,S1\nbad,row\n",
		"data/trees.csv":        "tree_id,town_id,cultivar_id\nt1,mill,first\nt2,crag,first\n",
		"data/reports/2024.csv": "report_id,town_id,cultivar_id,crop_part,method_id,year,outcome,seen_on,tree_id\nr1,mill,first,main,pot-plain,2024,ripe,2024-08-30,t1\nr2,crag,first,main,pot-plain,2024,ripe,2024-08-30,t2\n\"r3\"x,mill\n",
	}
	wantErrors := []string{
		"data/reports/2024.csv:4:1: a cell in quotation marks goes on after the closing one | double a quotation mark inside such a cell: \"6\"\" pot\"",
		"data/towns.csv:4:18: latitude 95 is outside -90 to 90 | latitude and longitude look swapped",
		"data/towns.csv:5:1: row has 2 cells, the header has 7 | leave a cell blank rather than out",
		"data/zones.csv:3:1: zone_id \"Hill\" is not a plain id | use small letters, digits, \"-\" and \"_\": hill",
	}
	_, ps := load(t, write(t, files), club.Options{})
	if got := said(ps); !slices.Equal(got, wantErrors) {
		t.Errorf("without set-aside\n%s", strings.Join(got, "\n"))
	}
	c, ps := load(t, write(t, files), club.Options{SetAside: true})
	if ps.Count(diag.Error) > 0 {
		t.Errorf("errors are left: %q", said(ps))
	}
	want := []string{
		"data/reports/2024.csv:4:1: a cell in quotation marks goes on after the closing one",
		// Not a word of what stands in a report is kept for the site.
		"data/reports/2024.csv:3:4: town_id “…” was set aside",
		"data/towns.csv:3:11: zone_id \"Hill\" was set aside | mend that row first",
		wantErrors[1], wantErrors[2],
		"data/trees.csv:3:4: town_id “…” was set aside",
		wantErrors[3],
	}
	slices.Sort(want)
	got := said(c.Dropped)
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("dropped\n%s", strings.Join(got, "\n"))
	}
	for _, p := range c.Dropped {
		if p.Severity != diag.Error {
			t.Errorf("dropped as %v: %v", p.Severity, p)
		}
		if !slices.ContainsFunc(ps, func(w diag.Problem) bool { return w.Place == p.Place && w.Severity == diag.Warning }) {
			t.Errorf("no warning for %v", p)
		}
	}
	if len(c.Zones) != 1 || len(c.Towns) != 1 || len(c.Trees) != 1 || len(c.Reports) != 1 || c.Town("crag") != nil {
		t.Errorf("%d zones, %d towns, %d trees, %d reports", len(c.Zones), len(c.Towns), len(c.Trees), len(c.Reports))
	}
	// A file that cannot be read at all is an error all the same.
	files["data/zones.csv"] = "zone_id,name\nvall\xe9e,Vallée\n"
	if _, ps := load(t, write(t, files), club.Options{SetAside: true}); ps.Count(diag.Error) != 1 {
		t.Errorf("not UTF-8: %q", said(ps))
	}
	files["data/zones.csv"] = "zone_id,name\nVALLEY,Valley\n"
	if _, ps := load(t, write(t, files), club.Options{SetAside: true}); ps.Count(diag.Error) == 0 {
		t.Errorf("nothing is left, and no error: %q", said(ps))
	}
}

// Reading in any order of rows finds the same problems.
func TestSameProblemsTwice(t *testing.T) {
	dir := write(t, map[string]string{"data/towns.csv": tiny["data/towns.csv"] + "Crag,,hill,x,y,1e3,S2;S3\n"})
	_, a := load(t, dir, club.Options{})
	_, b := load(t, dir, club.Options{})
	if !slices.Equal(a, b) || len(a) != 8 {
		t.Errorf("%d problems:\n%s\nthen\n%s", len(a), strings.Join(said(a), "\n"), strings.Join(said(b), "\n"))
	}
}

func ExampleLoad() {
	_, problems, err := club.Load("testdata/broken", club.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range problems {
		fmt.Println(p)
		if p.Hint != "" {
			fmt.Println("  " + p.Hint)
		}
	}
	// Output:
	// data/cultivars.csv:3:16: class_id "fig-erly" is not in built-in/classes.csv
	//   did you mean "fig-early"?
	// data/towns.csv:5:27: elevation_m: "1,234" is not a number
	//   write a decimal point and no thousands mark; a decimal comma is read only in files separated by ";"
}

// A report file that lies there twice is read once; what a spreadsheet leaves
// beside an open file is no file of the club's.
func TestCopiedReports(t *testing.T) {
	const reports = reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2020-09-08,g1\n"
	files := map[string]string{"data/reports/2020.csv": reports, "data/reports/2020 (1).csv": reports, "data/reports/~$2020.csv": "x", "data/~$towns.csv": "x"}
	c, ps := load(t, write(t, files), club.Options{})
	want := []string{"data/reports/2020.csv: warning: file is not read: it is the same as data/reports/2020 (1).csv | delete one of the two"}
	if got := said(ps); !slices.Equal(got, want) || len(c.Reports) != 1 {
		t.Errorf("%d reports, %q", len(c.Reports), got)
	}
	files["data/reports/2020.csv"] = reports + "r2,mill,first,main,pot-plain,2021,ripe,2021-09-08,g1\n"
	_, ps = load(t, write(t, files), club.Options{})
	want = []string{"data/reports/2020.csv:2:1: report_id \"r1\" stands twice; the first is at data/reports/2020 (1).csv:2:1 | give each row its own id; is one file a copy of the other?"}
	if got := said(ps); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// Papers for webmasters are no input of the site: who has access to what is
// written there.
func TestPapersForWebmastersAreNoInput(t *testing.T) {
	c, ps := load(t, write(t, map[string]string{"content/webmaster/handover.md": "x", "content/fr/webmaster/handover.md": "x", "content/guides/a.md": "x"}), club.Options{})
	if len(ps) > 0 || !slices.Contains(c.Inputs, "content/guides/a.md") || slices.ContainsFunc(c.Inputs, func(s string) bool { return strings.Contains(s, "handover") }) {
		t.Errorf("%q, %v", c.Inputs, ps)
	}
}

// A text in another form than Markdown, and a picture beside the guides, would
// be missed without a word.
func TestStrangersInContent(t *testing.T) {
	_, ps := load(t, write(t, map[string]string{"content/guides/pruning.docx": "PK", "content/fr/pear.jpg": "x", "content/files/fr.jpg": "x", "content/guides/a.md": "x"}), club.Options{})
	const hint = "warning: file is not read | pages are Markdown, NAME.md; pictures and papers go into content/files"
	want := []string{"content/fr/pear.jpg: " + hint, "content/guides/pruning.docx: " + hint}
	if got := said(ps); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}
