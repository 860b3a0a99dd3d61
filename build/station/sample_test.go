package station_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

const samples = "../../testdata/station"

// The samples are invented; their README cites the format document of each.
func TestSamples(t *testing.T) {
	// Days of the sample weather, by hand from the files.
	type dayOf struct {
		date               string
		tmin, tmax, precip quantity.Tenths
	}
	metric := []dayOf{
		{"2001-05-20", 70, 180, 0}, {"2001-05-21", 98, 237, 48},
		{"2001-05-30", quantity.Missing, quantity.Missing, quantity.Missing},
	}
	// 45, 64, 50, 75 °F and 0.19 in by the definitions of the units:
	// 7.22, 17.78, 10.00, 23.89 °C and 4.826 mm.
	us := []dayOf{{"2001-05-20", 72, 178, 0}, {"2001-05-21", 100, 239, 48}}
	for _, c := range []struct {
		file, dialect, id, name string
		lat, lon, elevation     float64
		records                 int
		days                    []dayOf
		aside, used             map[string]int
	}{
		{"ghcn-dly.dly", "ghcn-dly", "XX000000001", "", 0, 0, 0, 1, metric,
			map[string]int{"quality flag says failed or doubtful": 1, "total of several days": 1},
			map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
		{"ghcn-wide.csv", "ghcn-wide", "XX000000001", "INVENTED ON THE HILL, XX", 45.1, -75.2, 79, 1, metric,
			map[string]int{"quality flag says failed or doubtful": 1, "total of several days": 1},
			map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
		{"ncei-order-metric.csv", "ncei-order-metric", "XX000000001", "INVENTED ON THE HILL, XX", 45.1, -75.2, 79, 2, metric,
			map[string]int{"quality flag says failed or doubtful": 1},
			map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
		{"ncei-order-us.csv", "ncei-order-us", "XX000000001", "INVENTED ON THE HILL, XX", 45.1, -75.2, 79, 1, us, nil, nil},
		{"eccc-daily.csv", "eccc-daily", "9999999", "INVENTED ON THE HILL", 45.1, -75.2, 0, 1, metric,
			map[string]int{"total of several days": 1},
			map[string]int{"trace, used as 0": 1, "estimated by the publisher": 2, "preliminary, not yet reviewed by the publisher": 3}},
		{"ghcn-by-year.csv", "ghcn-by-year", "XX000000001", "", 0, 0, 0, 2, metric,
			map[string]int{"quality flag says failed or doubtful": 1, "total of several days": 1},
			map[string]int{"trace, used as 0": 1, "has a source flag": 211}},
		// 60 rows of level 10, 11 of level 3.
		{"dwd-klima-tag.txt", "dwd-klima-tag", "9999", "", 0, 0, 0, 1, metric, nil,
			map[string]int{"preliminary, not yet reviewed by the publisher": 11}},
		// Code 9 on every third of 70 rows, with three values each but for one total.
		{"meteo-france-quotidien.csv", "meteo-france", "99999001", "COLLINE-INVENTEE", 45.1, -1.2, 79, 2, metric,
			map[string]int{"quality flag says failed or doubtful": 1},
			map[string]int{"preliminary, not yet reviewed by the publisher": 68}},
		{"meteoswiss-nbcn.csv", "meteoswiss", "XXX", "", 0, 0, 0, 1, metric, nil, nil},
		{"meteoswiss-ogd.csv", "meteoswiss", "XXX", "", 0, 0, 0, 1, metric, nil, nil},
		{"mapped.csv", "mapped", "own-table", "", 0, 0, 0, 1, metric, nil, map[string]int{"trace, used as 0": 1}},
		{"plain-c.csv", "plain-c", "plain-c", "", 0, 0, 0, 1, metric, nil, map[string]int{"trace, used as 0": 1}},
		{"plain-c-decimal-comma.csv", "plain-c", "plain-c-decimal-comma", "", 0, 0, 0, 1, metric, nil, map[string]int{"trace, used as 0": 1}},
		{"plain-f.csv", "plain-f", "plain-f", "", 0, 0, 0, 1, us, nil, map[string]int{"trace, used as 0": 1}},
	} {
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

// Metric samples hold the same weather, so every dialect gives one series.
func TestDialectsAgree(t *testing.T) {
	var first station.Series
	for i, name := range []string{"ghcn-dly.dly", "ghcn-wide.csv", "ncei-order-metric.csv", "eccc-daily.csv", "plain-c.csv", "plain-c-decimal-comma.csv",
		"ghcn-by-year.csv", "dwd-klima-tag.txt", "meteo-france-quotidien.csv", "meteoswiss-nbcn.csv", "meteoswiss-ogd.csv", "mapped.csv"} {
		recs, _, err := station.ReadFile(filepath.Join(samples, name))
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = recs[0].Series
		} else if !sameValues(&first, &recs[0].Series) {
			t.Errorf("%s does not give the values of ghcn-dly.dly", name)
		}
	}
}

// ECA&D has a file for each element; three of one station make its record.
func TestECADElements(t *testing.T) {
	want, _, err := station.ReadFile(filepath.Join(samples, "ghcn-dly.dly"))
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, e := range []string{"tx", "tn", "rr"} {
		paths = append(paths, filepath.Join(samples, "ecad-"+e+".txt"))
	}
	recs, ps, err := station.ReadAll(paths, 2)
	if err != nil || len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
		t.Fatal(len(recs), ps, err)
	}
	r := &recs[0]
	if r.ID != "999999" || r.Name != "NOWHERE, INVENTED HILL" || !slices.Equal(r.Account.Dialects, []string{"ecad"}) || !slices.Equal(r.Account.Files, slices.Sorted(slices.Values(paths))) {
		t.Errorf("id %q, name %q, dialects %q, files %q", r.ID, r.Name, r.Account.Dialects, r.Account.Files)
	}
	if !sameValues(&want[0].Series, &r.Series) {
		t.Error("the three files do not give the values of ghcn-dly.dly")
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
		if d.Name == "" || d.About == "" || d.Format == "" {
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
