package station_test

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

func FuzzRead(f *testing.F) {
	entries, err := os.ReadDir(samples)
	if err != nil {
		f.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(samples, e.Name()))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b[:min(len(b), 3000)])
	}
	f.Add([]byte(plainHead))
	f.Add([]byte("sep=;\r\ndate;tmin_f\r\n2001-05-01;\"3\"\"\"\r\n"))
	f.Add([]byte("STATION,NAME,DATE,TMAX,TMIN\nX,N,2001-05-01,2.5,1.5\nY,N,2001-05-01,2.5,11.5\n"))
	f.Add(pack(f, plainHead))
	for _, head := range []string{longHead, dwdHead, mfHead, ecaHead, msHead} {
		f.Add([]byte(head))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		recs, ps, err := station.Read("fuzz.csv", bytes.NewReader(text))
		if err != nil {
			t.Fatalf("content is not I/O: %v", err)
		}
		if len(recs) == 0 && ps.Count(diag.Error)+ps.Count(diag.Warning) == 0 {
			t.Fatal("nothing read and nothing said")
		}
		for _, p := range ps {
			if p.Place.File != "fuzz.csv" || p.Place.Line < 1 || p.Message == "" {
				t.Fatalf("not located: %+v", p)
			}
		}
		for i := range recs {
			check(t, &recs[i])
		}
		again, ps2, _ := station.Read("fuzz.csv", bytes.NewReader(text))
		if len(recs) != len(again) || !slices.Equal(ps, ps2) {
			t.Fatal("a second reading gives something else")
		}
		for i := range recs {
			if !sameValues(&recs[i].Series, &again[i].Series) || !reflect.DeepEqual(recs[i].Account, again[i].Account) {
				t.Fatal("a second reading gives another record")
			}
		}
	})
}

// check holds what is true of every record.
func check(t testing.TB, r *station.Record) {
	t.Helper()
	if len(r.TMin) != len(r.TMax) || len(r.TMin) != len(r.Precip) {
		t.Fatalf("lengths %d %d %d", len(r.TMin), len(r.TMax), len(r.Precip))
	}
	if n := len(r.TMin); n > 0 {
		if y := r.First.Year(); y < 1700 || r.Last().Year() > 2200 {
			t.Fatalf("from %v to %v", r.First, r.Last())
		}
		for _, i := range []int{0, n - 1} {
			if r.TMin[i] == quantity.Missing && r.TMax[i] == quantity.Missing && r.Precip[i] == quantity.Missing {
				t.Fatal("an end of the series is empty")
			}
		}
	}
	for i := range r.TMin {
		lo, hi, rain := r.TMin[i], r.TMax[i], r.Precip[i]
		for _, v := range []quantity.Tenths{lo, hi} {
			if v != quantity.Missing && (v < -900 || v > 600) {
				t.Fatalf("temperature %d", v)
			}
		}
		if rain != quantity.Missing && (rain < 0 || rain > 20000) {
			t.Fatalf("rain %d", rain)
		}
		if lo != quantity.Missing && hi != quantity.Missing && lo > hi {
			t.Fatalf("tmin %d above tmax %d", lo, hi)
		}
	}
	a := &r.Account
	if len(a.SetAside) > station.MaxListed || len(a.SetAside) > a.SetAsideTotal() || a.SetAsideTotal() <= station.MaxListed && len(a.SetAside) != a.SetAsideTotal() {
		t.Fatalf("%d listed of %d", len(a.SetAside), a.SetAsideTotal())
	}
	listed := map[string]int{}
	for _, s := range a.SetAside {
		listed[s.Reason]++
		if s.Place.Line < 1 || s.Place.Column < 1 {
			t.Fatalf("not located: %+v", s)
		}
	}
	if a.SetAsideTotal() <= station.MaxListed && len(listed) > 0 && !reflect.DeepEqual(listed, a.SetAsideCounts) {
		t.Fatalf("listed %v, counted %v", listed, a.SetAsideCounts)
	}
}
