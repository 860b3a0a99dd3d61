// Package stationtest hands real daily records to tests. The records stay
// outside the repository; a test that asks for one is skipped, saying what is
// missing, where they are not there.
package stationtest

import (
	"bufio"
	"compress/gzip"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/day"
)

// Folder returns the folder of real records, ../shared/data seen from the
// folder of go.mod, or skips t.
func Folder(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Skip("no go.mod above the working folder, so ../shared/data cannot be found")
		}
		dir = up
	}
	dir = filepath.Join(filepath.Dir(dir), "shared", "data")
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("the real records are not here: %s is missing", dir)
	}
	return dir
}

// file returns the path of a file below Folder, or skips t.
func file(t testing.TB, elem ...string) string {
	t.Helper()
	path := filepath.Join(append([]string{Folder(t)}, elem...)...)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("a real record is not here: %s is missing", path)
	}
	return path
}

// Ottawa returns the path of Ottawa CDA, GHCN-Daily fixed width, 1889-11 to
// 2022-09, station CA006105976.
func Ottawa(t testing.TB) string {
	t.Helper()
	return file(t, "CA006105976.dly.gz")
}

// Sion returns the path of Sion (MeteoSwiss, 1953-07 to 2020) in the plain form
// in °C, station id SIO; "-" is a missing value there and an empty one here.
func Sion(t testing.TB) string {
	t.Helper()
	var rows []string
	for _, r := range table(t, ';', file(t, "sion-VS_NBCN.csv.gz"), "date", "tre200dn", "tre200dx", "rre150d0") {
		for i := range r {
			if r[i] == "-" {
				r[i] = ""
			}
		}
		d := r[0]
		if len(d) != 8 {
			t.Fatalf("sion: odd date %q", d)
		}
		r[0] = d[:4] + "-" + d[4:6] + "-" + d[6:]
		rows = append(rows, strings.Join(r, ","))
	}
	return write(t, "SIO.csv", "date,tmin_c,tmax_c,precip_mm", rows)
}

// TwinCities returns the path of the Minneapolis-St Paul thread (1871-2023) in
// the plain form in °F and inches, station id USW00014922. T is a trace.
func TwinCities(t testing.TB) string {
	t.Helper()
	var rows []string
	for _, r := range table(t, ',', file(t, "twin_cities_mn_1871-2023.csv.gz"), "date", "min_temp", "max_temp", "precip_T") {
		rows = append(rows, strings.Join(r, ","))
	}
	return write(t, "USW00014922.csv", "date,tmin_f,tmax_f,precip_in", rows)
}

// WilliamHead returns the path of William Head (ECCC, 1959-11 to 2004-10) in
// the plain form in °C, station id 1018935. Of the publisher's rain flags, T
// (trace) becomes 0 and A and F (total of several days), C and L (amount
// uncertain) leave the day empty, as the reader of the publisher's own CSV
// does; estimates (E) stay.
func WilliamHead(t testing.TB) string {
	t.Helper()
	type cells [3]string
	days := map[day.Date]*cells{}
	for i, name := range []string{"MIN_TEMP", "MAX_TEMP", "ONE_DAY_PRECIPITATION"} {
		path := file(t, "william-head", "1018935_"+name+".csv.gz")
		for _, r := range table(t, ',', path, "year", "jday", name, "flags") {
			y, err1 := strconv.Atoi(r[0])
			n, err2 := strconv.Atoi(r[1])
			if err1 != nil || err2 != nil {
				t.Fatalf("%s: odd day %q %q", path, r[0], r[1])
			}
			v := r[2]
			switch flag := strings.TrimSpace(r[3]); {
			case v == "NA":
				v = ""
			case flag == "T":
				v = "0"
			case strings.ContainsAny(flag, "AFCL"):
				v = ""
			}
			d := day.Of(y, 1, 1) + day.Date(n) - 1
			if days[d] == nil {
				days[d] = new(cells)
			}
			days[d][i] = v
		}
	}
	var order []day.Date
	for d := range days {
		order = append(order, d)
	}
	slices.Sort(order)
	var rows []string
	for _, d := range order {
		c := days[d]
		rows = append(rows, fmt.Sprintf("%s,%s,%s,%s", d, c[0], c[1], c[2]))
	}
	return write(t, "1018935.csv", "date,tmin_c,tmax_c,precip_mm", rows)
}

// table reads the named columns of a packed file with a header.
func table(t testing.TB, sep rune, path string, columns ...string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	r := csv.NewReader(bufio.NewReader(z))
	r.Comma = sep
	header, err := r.Read()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	at := make([]int, len(columns))
	for i, c := range columns {
		if at[i] = slices.Index(header, c); at[i] < 0 {
			t.Fatalf("%s: no column %q in %q", path, c, header)
		}
	}
	var out [][]string
	for {
		rec, err := r.Read()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		row := make([]string, len(at))
		for i, k := range at {
			row[i] = rec[k]
		}
		out = append(out, row)
	}
}

func write(t testing.TB, name, header string, rows []string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	text := header + "\n" + strings.Join(rows, "\n") + "\n"
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
