package club_test

import (
	"bytes"
	"compress/gzip"
	"os"
	"path/filepath"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
)

// A row of a candidate stands for the club's own of the same id, unless it has
// an error: then the club's own stays.
func TestCandidateReplacesRows(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "script", "tiny-club")
	text := "cultivar_id,crop_id,name,main_heat_cd\nquickling,fig,Quickling,950\nslowling,fig,Slowling,much\nnewling,fig,Newling,1200\nnewling,fig,Newling,1300\n"
	c, problems, err := club.Load(dir, club.Options{SetAside: true, Candidate: &club.Candidate{File: "offer.csv", Table: "cultivars", Text: []byte(text)}})
	if err != nil {
		t.Fatal(err)
	}
	want := map[club.Text]float64{"quickling": 950, "slowling": 1900, "newling": 1200}
	if len(c.Cultivars) != len(want) {
		t.Errorf("%d cultivars, want %d", len(c.Cultivars), len(want))
	}
	for id, heat := range want {
		if k := c.Cultivar(id); k == nil || k.MainHeatCd.Value != heat {
			t.Errorf("%s: %+v, want a heat need of %g", id, k, heat)
		}
	}
	if len(c.Offers) != 4 {
		t.Fatalf("%d offers: %+v", len(c.Offers), c.Offers)
	}
	for i, faults := range []int{0, 1, 0, 1} {
		if o := c.Offers[i]; len(o.Faults) != faults || o.At != (diag.Place{File: "offer.csv", Line: i + 2, Column: 1}) {
			t.Errorf("offer %d: %+v, want %d faults", i, o, faults)
		}
	}
	if o := c.Offers[0]; o.ID != "quickling" || o.Replaces.File != "data/cultivars.csv" || o.Replaces.Line != 2 {
		t.Errorf("%+v does not replace the club's row", o)
	}
	for _, p := range problems {
		if p.Place.File == "data/cultivars.csv" {
			t.Errorf("the club's own table is blamed: %v", p)
		}
	}
}

func TestReadCandidateTellsTheTable(t *testing.T) {
	dir := t.TempDir()
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	z.Write([]byte("report_id,town_id,year,outcome\n"))
	z.Close()
	for name, x := range map[string]struct{ text, table string }{
		"reports.csv":    {"sep=;\nreport_id;town_id;cultivar_id;year;outcome;seen_on\n", "reports"},
		"packed.csv.gz":  {packed.String(), "reports"},
		"cut-off.csv.gz": {packed.String()[:12], ""},
		"cultivars.csv":  {"cultivar_id,crop_id,name,name_fr\n", "cultivars"},
		"trees.csv":      {"tree_id,grower,town_id,cultivar_id,since_year\n", "trees"},
		"daily.csv":      {"date,tmin_c,tmax_c,precip_mm\n2001-01-01,1,2,0\n", ""},
		"wide.csv":       {"STATION,NAME,LATITUDE,LONGITUDE,DATE,TMAX,TMIN\n", ""},
		"letter.txt":     {"Dear club,\n", ""},
		"nothing.csv":    {"", ""},
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(x.text), 0o666); err != nil {
			t.Fatal(err)
		}
		if c, err := club.ReadCandidate(path); err != nil || c.Table != x.table {
			t.Errorf("%s: table %q, %v; want %q", name, c.Table, err, x.table)
		}
	}
	if _, err := club.ReadCandidate(dir); err == nil {
		t.Error("a folder is a candidate")
	}
	t.Chdir(dir)
	if err := os.MkdirAll("data", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename("cultivars.csv", filepath.Join("data", "cultivars.csv")); err != nil {
		t.Fatal(err)
	}
	if c, err := club.ReadCandidate("data/cultivars.csv"); err != nil || c.File == "data/cultivars.csv" {
		t.Errorf("%+v, %v: named like a table of the club", c, err)
	}
}
