package station_test

import (
	"path/filepath"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
)

// Spans as the README beside the records gives them. The numbers of values were
// counted in the files with awk (not missing; Ottawa: no quality flag; William
// Head: no rain flag A, C, F or L), and single days were looked up there.
func TestRealRecords(t *testing.T) {
	for _, c := range []struct {
		name         string
		path         func(testing.TB) string
		id, dialect  string
		first, last  string
		n            [3]int // values of tmin, tmax, precip
		on           string
		tmin, tmax   quantity.Tenths
		precip       quantity.Tenths
		severalDays  int // MDPR values
		failedChecks int
	}{
		{"ottawa", stationtest.Ottawa, "CA006105976", "ghcn-dly", "1889-11-01", "2022-09-09",
			[3]int{48333, 48346, 48311}, "1889-11-01", -17, 39, 0, 26, 6},
		{"sion", stationtest.Sion, "SIO", "plain-c", "1958-01-01", "2020-12-31",
			[3]int{23011, 23011, 23011}, "2020-12-31", -17, 38, 0, 0, 0},
		// 92 °F, 62 °F, 0.28 in: 33.3 and 16.7 °C, 7.112 mm.
		{"twin cities", stationtest.TwinCities, "USW00014922", "plain-f", "1871-01-01", "2023-03-09",
			[3]int{54944, 54945, 55584}, "1876-06-24", 167, 333, 71, 0, 0},
		// Day 304 of the leap year 2004.
		{"william head", stationtest.WilliamHead, "1018935", "plain-c", "1959-11-20", "2004-10-31",
			[3]int{15733, 15704, 15323}, "2004-10-30", 70, 120, 36, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := c.path(t)
			recs, ps, err := station.ReadFile(path)
			if err != nil || len(recs) != 1 {
				t.Fatalf("%d records, %v", len(recs), err)
			}
			if ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
				t.Errorf("problems: %v", ps)
			}
			r := &recs[0]
			check(t, r)
			if r.ID != c.id || r.Account.Dialects[0] != c.dialect {
				t.Errorf("%s in dialect %s", r.ID, r.Account.Dialects)
			}
			if r.First.String() != c.first || r.Last().String() != c.last {
				t.Errorf("%v to %v, want %s to %s", r.First, r.Last(), c.first, c.last)
			}
			for e, values := range [][]quantity.Tenths{r.TMin, r.TMax, r.Precip} {
				n := 0
				for _, v := range values {
					if v != quantity.Missing {
						n++
					}
				}
				if n != c.n[e] {
					t.Errorf("element %d: %d values, want %d", e, n, c.n[e])
				}
			}
			if lo, hi, rain := at(t, &r.Series, c.on); lo != c.tmin || hi != c.tmax || rain != c.precip {
				t.Errorf("%s: %d %d %d", c.on, lo, hi, rain)
			}
			want := map[string]int{}
			if c.severalDays > 0 {
				want["total of several days"] = c.severalDays
				want["quality flag says failed or doubtful"] = c.failedChecks
			}
			sameCounts(t, "set aside", r.Account.SetAsideCounts, want)

			joined, _, err := station.ReadAll([]string{path}, 2)
			if err != nil || len(joined) != 1 || !sameValues(&joined[0].Series, &r.Series) {
				t.Errorf("read among others it differs: %v", err)
			}
		})
	}
}

// Sion in the publisher's own form gives what the plain form made of it gives.
func TestSionInItsOwnDialect(t *testing.T) {
	want, _, err := station.ReadFile(stationtest.Sion(t))
	if err != nil {
		t.Fatal(err)
	}
	recs, ps, err := station.ReadFile(filepath.Join(stationtest.Folder(t), "sion-VS_NBCN.csv.gz"))
	if err != nil || len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
		t.Fatal(len(recs), ps, err)
	}
	if r := recs[0]; r.ID != "SIO" || r.Account.Dialects[0] != "meteoswiss" || !sameValues(&want[0].Series, &r.Series) {
		t.Errorf("%s in dialect %q, %v to %v", r.ID, r.Account.Dialects, r.First, r.Last())
	}
}
