package station_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

const samples = "../../testdata/station"

// dayOf is a day of the sample weather, by hand from the files.
type dayOf struct {
	date               string
	tmin, tmax, precip quantity.Tenths
}

var (
	metricDays = []dayOf{
		{"2001-05-20", 70, 180, 0}, {"2001-05-21", 98, 237, 48},
		{"2001-05-30", quantity.Missing, quantity.Missing, quantity.Missing},
	}
	// 45, 64, 50, 75 °F and 0.19 in by the definitions of the units:
	// 7.22, 17.78, 10.00, 23.89 °C and 4.826 mm.
	usDays = []dayOf{{"2001-05-20", 72, 178, 0}, {"2001-05-21", 100, 239, 48}}
)

// sampleCase is what a sample holds. A form that has a file for each element is
// tested by itself.
type sampleCase struct {
	file, dialect, id, name string
	lat, lon, elevation     float64
	records                 int
	days                    []dayOf
	aside, used             map[string]int
}

var sampleCases = []sampleCase{
	{"ghcn-dly.dly", "ghcn-dly", "XX000000001", "", 0, 0, 0, 1, metricDays,
		map[string]int{"quality flag says failed or doubtful": 1, "total of several days": 1},
		map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
	{"ghcn-wide.csv", "ghcn-wide", "XX000000001", "INVENTED ON THE HILL, XX", 45.1, -75.2, 79, 1, metricDays,
		map[string]int{"quality flag says failed or doubtful": 1, "total of several days": 1},
		map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
	{"ncei-order-metric.csv", "ncei-order-metric", "XX000000001", "INVENTED ON THE HILL, XX", 45.1, -75.2, 79, 2, metricDays,
		map[string]int{"quality flag says failed or doubtful": 1},
		map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
	{"ncei-order-us.csv", "ncei-order-us", "XX000000001", "INVENTED ON THE HILL, XX", 45.1, -75.2, 79, 1, usDays, nil, nil},
	{"eccc-daily.csv", "eccc-daily", "9999999", "INVENTED ON THE HILL", 45.1, -75.2, 0, 1, metricDays,
		map[string]int{"total of several days": 1},
		map[string]int{"trace, used as 0": 1, "estimated by the publisher": 2, "preliminary, not yet reviewed by the publisher": 3}},
	{"ghcn-by-year.csv", "ghcn-by-year", "XX000000001", "", 0, 0, 0, 2, metricDays,
		map[string]int{"quality flag says failed or doubtful": 1, "total of several days": 1},
		map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
	// 60 rows of level 10, 11 of level 3.
	{"dwd-klima-tag.txt", "dwd-klima-tag", "9999", "", 0, 0, 0, 1, metricDays, nil,
		map[string]int{"preliminary, not yet reviewed by the publisher": 11}},
	// Code 9 on every third of 70 rows, with three values each but for one total.
	{"meteo-france-quotidien.csv", "meteo-france", "99999001", "COLLINE-INVENTEE", 45.1, -1.2, 79, 2, metricDays,
		map[string]int{"quality flag says failed or doubtful": 1},
		map[string]int{"preliminary, not yet reviewed by the publisher": 68}},
	{"meteoswiss-nbcn.csv", "meteoswiss", "XXX", "", 0, 0, 0, 1, metricDays, nil, nil},
	{"meteoswiss-ogd.csv", "meteoswiss", "XXX", "", 0, 0, 0, 1, metricDays, nil, nil},
	{"mapped.csv", "mapped", "own-table", "", 0, 0, 0, 1, metricDays, nil, map[string]int{"trace, used as 0": 1}},
	{"plain-c.csv", "plain-c", "plain-c", "", 0, 0, 0, 1, metricDays, nil, map[string]int{"trace, used as 0": 1}},
	{"plain-c-decimal-comma.csv", "plain-c", "plain-c-decimal-comma", "", 0, 0, 0, 1, metricDays, nil, map[string]int{"trace, used as 0": 1}},
	{"plain-f.csv", "plain-f", "plain-f", "", 0, 0, 0, 1, usDays, nil, map[string]int{"trace, used as 0": 1}},
}

// The samples are invented; their README cites the format document of each.
func TestSamples(t *testing.T) {
	for _, c := range sampleCases {
		t.Run(c.file, func(t *testing.T) {
			recs, ps, err := station.ReadFile(filepath.Join(samples, c.file))
			if err != nil {
				t.Fatal(err)
			}
			if ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
				t.Errorf("problems: %v", ps)
			}
			if len(recs) != c.records {
				t.Fatalf("%d records, want %d", len(recs), c.records)
			}
			r := recs[0]
			if r.ID != c.id || r.Name != c.name || r.Account.Dialects[0] != c.dialect {
				t.Errorf("id %q, name %q, dialect %q", r.ID, r.Name, r.Account.Dialects)
			}
			for _, x := range []struct{ got, want float64 }{
				{r.Latitude, c.lat}, {r.Longitude, c.lon}, {r.ElevationM, c.elevation},
			} {
				if x.want == 0 && x.got == x.got || x.want != 0 && x.got != x.want {
					t.Errorf("position %v, want %v (0: not stated)", x.got, x.want)
				}
			}
			if r.First.String() != "2001-05-20" || r.Last().String() != "2001-07-31" {
				t.Errorf("span %v to %v", r.First, r.Last())
			}
			for _, d := range c.days {
				lo, hi, rain := at(t, &r.Series, d.date)
				if lo != d.tmin || hi != d.tmax || rain != d.precip {
					t.Errorf("%s: %d %d %d, want %+v", d.date, lo, hi, rain, d)
				}
			}
			sameCounts(t, "set aside", r.Account.SetAsideCounts, c.aside)
			sameCounts(t, "used", r.Account.UsedCounts, c.used)
		})
	}
}

// sampleFiles lists the samples in their folder.
func sampleFiles(t testing.TB) []string {
	t.Helper()
	entries, err := os.ReadDir(samples)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		if ext := filepath.Ext(e.Name()); ext != ".md" && ext != ".toml" {
			out = append(out, e.Name())
		}
	}
	return out
}

// Every dialect has a sample, and every sample its format document in the
// README and a case in the tests of samples.
func TestEveryDialectHasASample(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join(samples, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	sampled := map[string]bool{}
	for _, name := range sampleFiles(t) {
		recs, ps, err := station.ReadAll([]string{filepath.Join(samples, name)}, 1)
		if err != nil || len(recs) == 0 {
			t.Errorf("%s is read by no dialect: %v, %v", name, ps, err)
			continue
		}
		sampled[recs[0].Account.Dialects[0]] = true
		if !bytes.Contains(readme, []byte("`"+name+"`")) {
			t.Errorf("testdata/station/README.md does not name %s and the publisher's document of its form", name)
		}
		if !slices.ContainsFunc(sampleCases, func(c sampleCase) bool { return c.file == name }) && !isByElement(name) {
			t.Errorf("%s has no row in sampleCases, nor does it stand in byElement: what is in it is not tested", name)
		}
		if !slices.ContainsFunc(placeCases, func(c placeCase) bool { return slices.Contains(strings.Fields(c.files), name) }) {
			t.Errorf("%s has no row in placeCases: where its values stand is not tested", name)
		}
	}
	for _, d := range station.Dialects() {
		if !sampled[d.Name] {
			t.Errorf("dialect %s has no sample: add an invented file in its form to testdata/station", d.Name)
		}
	}
}

// Samples in °C hold the same weather, so every dialect gives one series, or
// the element of it that its file has.
func TestDialectsAgree(t *testing.T) {
	whole, _, err := station.ReadAll([]string{filepath.Join(samples, "ghcn-dly.dly")}, 1)
	if err != nil {
		t.Fatal(err)
	}
	want := &whole[0].Series
	for _, name := range sampleFiles(t) {
		if name == "ncei-order-us.csv" || name == "plain-f.csv" {
			continue // whole °F
		}
		recs, ps, err := station.ReadAll([]string{filepath.Join(samples, name)}, 1)
		if err != nil || len(recs) == 0 {
			t.Errorf("%s: %v, %v", name, ps, err)
			continue
		}
		got, elements := &recs[0].Series, 0
		for _, e := range []struct{ got, want []quantity.Tenths }{{got.TMin, want.TMin}, {got.TMax, want.TMax}, {got.Precip, want.Precip}} {
			if !slices.ContainsFunc(e.got, func(v quantity.Tenths) bool { return v != quantity.Missing }) {
				continue
			}
			elements++
			if got.First != want.First || !slices.Equal(e.got, e.want) {
				t.Errorf("%s does not give the values of ghcn-dly.dly", name)
			}
		}
		if want := map[bool]int{false: 3, true: 1}[isByElement(name)]; elements != want {
			t.Errorf("%s has %d elements, want %d: where a form has a file for each, they stand in byElement", name, elements, want)
		}
	}
}

// ecadFiles are one sample in three files, one for each element.
var ecadFiles = []string{"ecad-tx.txt", "ecad-tn.txt", "ecad-rr.txt"}

// byElement are the samples of forms that have a file for each element.
var byElement = [][]string{ecadFiles}

func isByElement(name string) bool {
	return slices.ContainsFunc(byElement, func(files []string) bool { return slices.Contains(files, name) })
}

// The files of each such sample make one record, with the weather of the others.
func TestElementsMakeOneRecord(t *testing.T) {
	want, _, err := station.ReadFile(filepath.Join(samples, "ghcn-dly.dly"))
	if err != nil {
		t.Fatal(err)
	}
	for _, files := range byElement {
		var paths []string
		for _, name := range files {
			paths = append(paths, filepath.Join(samples, name))
		}
		recs, ps, err := station.ReadAll(paths, 2)
		if err != nil || len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
			t.Errorf("%v: %d records, %v, %v", files, len(recs), ps, err)
			continue
		}
		if !sameValues(&want[0].Series, &recs[0].Series) {
			t.Errorf("%v do not give the values of ghcn-dly.dly", files)
		}
	}
}

// ECA&D has a file for each element; three of one station make its record.
func TestECADElements(t *testing.T) {
	var paths []string
	for _, name := range ecadFiles {
		paths = append(paths, filepath.Join(samples, name))
	}
	recs, ps, err := station.ReadAll(paths, 2)
	if err != nil || len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
		t.Fatal(len(recs), ps, err)
	}
	r := &recs[0]
	if r.ID != "999999" || r.Name != "NOWHERE, INVENTED HILL" || !slices.Equal(r.Account.Dialects, []string{"ecad"}) || !slices.Equal(r.Account.Files, slices.Sorted(slices.Values(paths))) {
		t.Errorf("id %q, name %q, dialects %q, files %q", r.ID, r.Name, r.Account.Dialects, r.Account.Files)
	}
	sameCounts(t, "set aside", r.Account.SetAsideCounts, map[string]int{"quality flag says failed or doubtful": 1})
	if at := r.Account.SetAside[0].Place; at.Line != 38 || at.Column != 24 {
		t.Errorf("the suspect value is said to stand at %v", at)
	}
}

// The degree sign of the ECCC header comes as UTF-8, as Latin-1 and garbled.
func TestDegreeSign(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(samples, "eccc-daily.csv"))
	if err != nil {
		t.Fatal(err)
	}
	want := one(t, "eccc.csv", text)
	text = bytes.ReplaceAll(bytes.TrimPrefix(text, []byte("\ufeff")), []byte("†"), []byte("\x86"))
	for name, sign := range map[string]string{"latin-1": "\xb0", "garbled": "Â°"} {
		got := one(t, "eccc.csv", bytes.ReplaceAll(text, []byte("°"), []byte(sign)))
		if name == "latin-1" && !sameValues(&want.Series, &got.Series) {
			t.Errorf("%s: other values", name)
		}
		if lo, hi, _ := at(t, &got.Series, "2001-05-21"); lo != 98 || hi != 237 {
			t.Errorf("%s: %d %d", name, lo, hi)
		}
	}
}

func TestDialectsAreDocumented(t *testing.T) {
	var names []string
	for _, d := range station.Dialects() {
		if d.Name == "" || d.Label == "" || d.About == "" || d.Format == "" {
			t.Errorf("incomplete: %+v", d)
		}
		names = append(names, d.Name)
	}
	slices.Sort(names)
	if len(slices.Compact(names)) != len(station.Dialects()) {
		t.Error("a name is there twice")
	}
}

func one(t testing.TB, name string, text []byte) station.Record {
	t.Helper()
	recs, ps, err := station.Read(name, bytes.NewReader(text))
	if err != nil || len(recs) != 1 {
		t.Fatalf("%d records, %v, %v", len(recs), ps, err)
	}
	return recs[0]
}

func at(t testing.TB, s *station.Series, date string) (lo, hi, rain quantity.Tenths) {
	t.Helper()
	d, err := day.Parse(date)
	if err != nil {
		t.Fatal(err)
	}
	i := int(d - s.First)
	if i < 0 || i >= len(s.TMin) {
		return quantity.Missing, quantity.Missing, quantity.Missing
	}
	return s.TMin[i], s.TMax[i], s.Precip[i]
}

func sameValues(a, b *station.Series) bool {
	return a.First == b.First && slices.Equal(a.TMin, b.TMin) && slices.Equal(a.TMax, b.TMax) && slices.Equal(a.Precip, b.Precip)
}

func sameCounts(t testing.TB, what string, got, want map[string]int) {
	t.Helper()
	for r, n := range want {
		if got[r] != n {
			t.Errorf("%s: %q %d times, want %d", what, r, got[r], n)
		}
	}
	for r, n := range got {
		if want[r] == 0 {
			t.Errorf("%s: %q %d times, want none", what, r, n)
		}
	}
}
