package station_test

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

func write(t testing.TB, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func sample(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(samples, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Rows in any order give the same series, in one file or split over two.
func TestAnyOrderOfRows(t *testing.T) {
	for _, c := range []struct {
		file   string
		header int
	}{{"ghcn-dly.dly", 0}, {"ghcn-wide.csv", 1}, {"ncei-order-metric.csv", 1}, {"ncei-order-us.csv", 1}, {"eccc-daily.csv", 1},
		{"ghcn-by-year.csv", 0}, {"dwd-klima-tag.txt", 1}, {"meteo-france-quotidien.csv", 1}, {"ecad-rr.txt", 17}, {"meteoswiss-nbcn.csv", 1}, {"meteoswiss-ogd.csv", 1}} {
		t.Run(c.file, func(t *testing.T) {
			text := sample(t, c.file)
			want, _, err := station.Read("x.csv", strings.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			lines := strings.SplitAfter(strings.TrimSuffix(text, "\n")+"\n", "\n")
			head, rows := strings.Join(lines[:c.header], ""), slices.DeleteFunc(lines[c.header:], func(s string) bool { return s == "" })
			rng := rand.New(rand.NewPCG(7, 11))
			for range 5 {
				rng.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
				got, _, err := station.Read("x.csv", strings.NewReader(head+strings.Join(rows, "")))
				if err != nil {
					t.Fatal(err)
				}
				half := len(rows) / 2
				dir := t.TempDir()
				paths := []string{
					write(t, dir, "b.csv", head+strings.Join(rows[:half], "")),
					write(t, dir, "a.csv", head+strings.Join(rows[half:], "")),
				}
				split, ps, err := station.ReadAll(paths, 2)
				if err != nil || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
					t.Fatal(ps, err)
				}
				if len(got) != len(want) || len(split) != len(want) {
					t.Fatalf("%d and %d records, want %d", len(got), len(split), len(want))
				}
				for i := range want {
					if !sameValues(&want[i].Series, &got[i].Series) {
						t.Errorf("shuffled: station %s differs", want[i].ID)
					}
					if !sameValues(&want[i].Series, &split[i].Series) {
						t.Errorf("split: station %s differs", want[i].ID)
					}
					sameCounts(t, "shuffled", got[i].Account.SetAsideCounts, want[i].Account.SetAsideCounts)
					sameCounts(t, "split", split[i].Account.SetAsideCounts, want[i].Account.SetAsideCounts)
					if split[i].Account.Rows != want[i].Account.Rows || split[i].Name != want[i].Name {
						t.Errorf("split: %d rows of %q", split[i].Account.Rows, split[i].Name)
					}
				}
			}
		})
	}
}

// Columns in any order give the same series, quoted or not.
func TestAnyOrderOfColumns(t *testing.T) {
	text := sample(t, "ghcn-wide.csv")
	want := one(t, "x.csv", []byte(text))
	var table [][]string
	for line := range strings.Lines(text) {
		table = append(table, fieldsOf(strings.TrimSuffix(line, "\n")))
	}
	rng := rand.New(rand.NewPCG(3, 5))
	perm := make([]int, len(table[0]))
	for i := range perm {
		perm[i] = i
	}
	for n := range 20 {
		rng.Shuffle(len(perm), func(i, j int) { perm[i], perm[j] = perm[j], perm[i] })
		var b strings.Builder
		for _, row := range table {
			for i, k := range perm {
				if i > 0 {
					b.WriteByte(',')
				}
				b.WriteString(row[k])
			}
			b.WriteByte('\n')
		}
		got := one(t, "x.csv", []byte(b.String()))
		if !sameValues(&want.Series, &got.Series) || got.Name != want.Name || got.Latitude != want.Latitude || got.ElevationM != 79 {
			t.Fatalf("order %d: %v", n, perm)
		}
	}
}

// fieldsOf splits a row without doubled quotes, keeping the quotes.
func fieldsOf(line string) (fs []string) {
	quoted, from := false, 0
	for i := range len(line) {
		switch {
		case line[i] == '"':
			quoted = !quoted
		case line[i] == ',' && !quoted:
			fs, from = append(fs, line[from:i]), i+1
		}
	}
	return append(fs, line[from:])
}

// Between files the one that ends later wins, whatever it is called; what it
// overrules is listed where it stands.
func TestJoinedFiles(t *testing.T) {
	dir := t.TempDir()
	early := write(t, dir, "old/hill.csv", "date,tmin_c,tmax_c\n2001-05-01,1.0,9.0\n2001-05-02,2.0,9.5\n2001-05-03,3.0,9.9\n")
	late := write(t, dir, "zz/hill.csv", "date,tmin_c,precip_mm\n2001-05-02,2.5,1.0\n2001-05-03,12.0,0.0\n2001-05-04,5.0,0.0\n")
	other := write(t, dir, "alone.csv", "date,tmin_c\n2001-05-02,4.0\n")
	var first []station.Record
	for i, paths := range [][]string{{early, late, other}, {other, late, early}, {late, early, late, other}} {
		recs, ps, err := station.ReadAll(paths, i+1)
		if err != nil || len(recs) != 2 {
			t.Fatalf("%d records, %v, %v", len(recs), ps, err)
		}
		if recs[0].ID != "alone" || recs[1].ID != "hill" {
			t.Fatalf("%s, %s", recs[0].ID, recs[1].ID)
		}
		h := &recs[1]
		m := quantity.Missing
		if want := []quantity.Tenths{10, 25, m, 50}; !slices.Equal(h.TMin, want) {
			t.Errorf("tmin %v, want %v", h.TMin, want)
		}
		if want := []quantity.Tenths{90, 95, m, m}; !slices.Equal(h.TMax, want) {
			t.Errorf("tmax %v, want %v", h.TMax, want)
		}
		if want := []quantity.Tenths{m, 10, 0, 0}; !slices.Equal(h.Precip, want) {
			t.Errorf("precip %v, want %v", h.Precip, want)
		}
		sameCounts(t, "set aside", h.Account.SetAsideCounts, map[string]int{
			"another file of the station, ending later, has another value": 2, "tmin above tmax": 2,
		})
		var places []string
		for _, s := range h.Account.SetAside {
			places = append(places, fmt.Sprintf("%s %s", strings.TrimPrefix(s.Place.String(), dir), s.Element))
		}
		want := []string{"/old/hill.csv:3:12 tmin", "/old/hill.csv:4:12 tmin", "/old/hill.csv:4:16 tmax", "/zz/hill.csv:3:12 tmin"}
		if !slices.Equal(places, want) {
			t.Errorf("places %q, want %q", places, want)
		}
		if !slices.Equal(h.Account.Files, []string{early, late}) {
			t.Errorf("files %v", h.Account.Files)
		}
		if i == 0 {
			first = recs
		} else if fmt.Sprintf("%v", first) != fmt.Sprintf("%v", recs) {
			t.Error("another order of paths gives other records")
		}
	}
}

// A file that cannot be opened is an I/O error; the others are read.
func TestMissingFile(t *testing.T) {
	dir := t.TempDir()
	good := write(t, dir, "good.csv", "date,tmin_c\n2001-05-02,4.0\n")
	recs, _, err := station.ReadAll([]string{filepath.Join(dir, "no.csv"), good}, 2)
	if err == nil || !strings.Contains(err.Error(), "no.csv") || len(recs) != 1 {
		t.Errorf("%d records, %v", len(recs), err)
	}
	if _, _, err := station.ReadFile(dir); err == nil {
		t.Error("a folder is read as a file")
	}
}

// The ways in which one table of the plain form may be written.
func TestPackings(t *testing.T) {
	want := one(t, "x.csv", []byte("date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,0.0\n2001-05-02,,10.0,2.3\n"))
	for name, text := range map[string]string{
		"byte order mark":           "\ufeffdate,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,0.0\n2001-05-02,,10.0,2.3\n",
		"byte order mark, quoted":   "\ufeff\"date\",\"tmin_c\",\"tmax_c\",\"precip_mm\"\n2001-05-01,1.5,9.0,0.0\n2001-05-02,,10.0,2.3\n",
		"CRLF":                      "date,tmin_c,tmax_c,precip_mm\r\n2001-05-01,1.5,9.0,0.0\r\n2001-05-02,,10.0,2.3\r\n",
		"CR alone":                  "date,tmin_c,tmax_c,precip_mm\r2001-05-01,1.5,9.0,0.0\r2001-05-02,,10.0,2.3\r",
		"no last line end":          "date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,0.0\n2001-05-02,,10.0,2.3",
		"semicolons":                "date;tmin_c;tmax_c;precip_mm\n2001-05-01;1.5;9.0;0.0\n2001-05-02;;10.0;2.3\n",
		"semicolons, decimal comma": "date;tmin_c;tmax_c;precip_mm\n2001-05-01;1,5;9,0;0\n2001-05-02;;10,0;2,3\n",
		"sep= line":                 "sep=;\r\ndate;tmin_c;tmax_c;precip_mm\r\n2001-05-01;1,5;9,0;0\r\n2001-05-02;;10,0;2,3\r\n",
		"sep= line, upper case":     "SEP=,\ndate,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,0.0\n2001-05-02,,10.0,2.3\n",
		"tabs":                      "date\ttmin_c\ttmax_c\tprecip_mm\n2001-05-01\t1.5\t9.0\t0.0\n2001-05-02\t\t10.0\t2.3\n",
		"quotes and spaces":         "\"date\",\"tmin_c\",\"tmax_c\",\"precip_mm\"\n\"2001-05-01\",\" 1.5\",\"9.0 \",\"0.0\"\n\"2001-05-02\",\"\",\" 10.0\",\"2.3\"\n",
		"comments and blank lines":  "# by hand\n\n# more\ndate,tmin_c,tmax_c,precip_mm\n\n2001-05-01,1.5,9.0,0.0\n   \n2001-05-02,,10.0,2.3\n\n",
		"trailing separators":       "date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,0.0,,\n2001-05-02,,10.0,2.3,\n",
		"trace and missing marks":   "date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,T\n2001-05-02,NA,10.0,2.3\n2001-05-03,-9999,-,M\n",
		"same row twice":            "date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.5,9.0,0.0\n2001-05-02,,10.0,2.3\n2001-05-01,1.5,9,0\n",
		"upper case, other columns": "DATE,wind,TMIN_C,note,TMAX_C,PRECIP_MM\n2001-05-01,3,1.5,\"a \"\"fine\"\" day, dry\",9.0,0.0\n2001-05-02,,,,10.0,2.3\n",
		"basic dates":               "date,tmin_c,tmax_c,precip_mm\n20010501,1.5,9.0,0.0\n20010502,,10.0,2.3\n",
		"more decimals":             "date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.46,8.95,0.049\n2001-05-02,,9.9999999999999,2.34999\n",
	} {
		t.Run(name, func(t *testing.T) {
			for _, body := range [][]byte{[]byte(text), pack(t, text)} {
				got := one(t, "x.csv", body)
				if !sameValues(&want.Series, &got.Series) {
					t.Errorf("%v %v %v", got.TMin, got.TMax, got.Precip)
				}
				if got.Account.SetAsideTotal() > 0 {
					t.Errorf("set aside: %v", got.Account.SetAside)
				}
			}
		})
	}
}

// Editors drop blanks at line ends; the flags of the last day of a month are
// mostly blank.
func TestTrimmedDly(t *testing.T) {
	text := dlyLine("200105", "TMIN", "   10   ")
	read := func(text string) station.Record {
		recs, _, err := station.ReadWith(strings.NewReader(text), station.Options{Name: "x.dly", Unchecked: true})
		if err != nil || len(recs) != 1 {
			t.Fatal(len(recs), err)
		}
		return recs[0]
	}
	want := read(text)
	for n := range 4 {
		got := read(text[:len(text)-n])
		if !sameValues(&want.Series, &got.Series) || got.Account.SetAsideTotal() > 0 || len(got.TMin) != 31 {
			t.Errorf("%d cut: %v %v", n, got.TMin, got.Account.SetAside)
		}
	}
}

func TestStationIDFromName(t *testing.T) {
	for name, want := range map[string]string{
		"a/b/hill.csv": "hill", "hill.csv.gz": "hill", "hill.TXT": "hill", "hill": "hill", "US1.2.csv": "US1.2",
	} {
		if r := one(t, name, []byte(plainHead)); r.ID != want {
			t.Errorf("%s: %q, want %q", name, r.ID, want)
		}
	}
}

func TestMisspeltColumn(t *testing.T) {
	_, ps, _ := station.Read("x.csv", strings.NewReader("date,tmin_c,tmx_c\n2001-05-01,1,2\n"))
	if len(ps) != 1 || ps[0].Severity != diag.Warning || ps[0].Place.String() != "x.csv:1:13" || !strings.Contains(ps[0].Hint, "tmax_c") {
		t.Errorf("%v", ps)
	}
}

// Whole degrees Fahrenheit to tenths of °C: CHECKS.md, cross-cutting trap 2
// (32 °F is 0.0 °C, 28 °F is -2.2, 36 °F is 2.2). Inches: 1 in is 25.4 mm by
// definition; halves of a tenth round away from zero (0.25 in is 6.35 mm, 0.75
// in is 19.05 mm).
func TestUSUnits(t *testing.T) {
	r := one(t, "x.csv", []byte("date,tmin_f,tmax_f,precip_in\n2001-01-01,28,32,0.25\n2001-01-02,-40,36,0.75\n2001-01-03,0,100,1\n"))
	m := r.TMin
	if !slices.Equal(m, []quantity.Tenths{-22, -400, -178}) {
		t.Errorf("tmin %v", m)
	}
	if !slices.Equal(r.TMax, []quantity.Tenths{0, 22, 378}) {
		t.Errorf("tmax %v", r.TMax)
	}
	if !slices.Equal(r.Precip, []quantity.Tenths{64, 191, 254}) {
		t.Errorf("precip %v", r.Precip)
	}
}

// The units of an NCEI order are told by its values; see the rules in the code.
func TestUnitsOfAnOrder(t *testing.T) {
	row := func(h string, rows ...string) string { return h + "\n" + strings.Join(rows, "\n") + "\n" }
	const (
		bare  = "STATION,NAME,DATE,PRCP,TMAX,TMIN"
		attrs = "STATION,NAME,DATE,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES"
		wide  = "STATION,DATE,NAME,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES"
	)
	many := func(good, odd string, n int) string {
		return bare + "\n" + strings.Repeat(good+"\n", n) + odd + "\n"
	}
	for _, c := range []struct{ name, text, dialect string }{
		{"decimals", row(bare, "X,N,2001-05-01,0.0,20.0,10.6"), "ncei-order-metric"},
		{"hundredths of an inch", row(bare, "X,N,2001-01-01,0.05,30,20"), "ncei-order-us"},
		{"too warm for °C", row(bare, "X,N,2001-07-01,,88,61"), "ncei-order-us"},
		{"one wrong value among many is no sign", many("X,N,2001-01-01,,30,20", "X,N,2001-01-02,,88,20", 300), ""},
		{"one decimal among whole °F", many("X,N,2001-07-01,0.10,88,61", "X,N,2001-07-02,0.00,88.5,61", 300), "ncei-order-us"},
		{"cold and whole", row(bare, "X,N,2001-01-01,0,30,20"), ""},
		{"rain alone, one decimal", row("STATION,NAME,DATE,PRCP", "X,N,2001-01-01,0.3"), "ncei-order-metric"},
		{"rain alone, two decimals", row("STATION,NAME,DATE,PRCP", "X,N,2001-01-01,0.31"), "ncei-order-us"},
		{"US with attributes", row(attrs, `X,N,2001-01-01,0.05,",,7",30,",,7",20,",,7"`), "ncei-order-us"},
		{"US with attributes, no rain", row(attrs, `X,N,2001-07-01,,,88,",,7",61,",,7"`), "ncei-order-us"},
		{"tenths by the order of the columns", row(wide, `X,2001-01-01,N,0,",,7",30,",,7",20,",,7"`), "ghcn-wide"},
		{"tenths by their size", row(attrs, `X,N,2001-07-01,0,",,7",281,",,7",155,",,7"`), "ghcn-wide"},
		{"attributes, whole and small", row(attrs, `X,N,2001-01-01,0,",,7",30,",,7",20,",,7"`), ""},
		{"larger than °F without attributes", row(bare, "X,N,2001-07-01,0,281,155"), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			recs, ps, err := station.Read("x.csv", strings.NewReader(c.text))
			if err != nil {
				t.Fatal(err)
			}
			if c.dialect == "" {
				if len(recs) != 0 || ps.Count(diag.Error) != 1 || !strings.Contains(ps[0].Hint, "NAME.toml") {
					t.Errorf("%d records, %v", len(recs), ps)
				}
				return
			}
			if len(recs) != 1 || recs[0].Account.Dialects[0] != c.dialect {
				t.Fatalf("%v %v", recs, ps)
			}
		})
	}
	text := row(bare, "X,N,2001-01-01,0,50,20")
	for units, want := range map[string]quantity.Tenths{"metric": 500, "us": 100} {
		recs, ps, err := station.ReadWith(strings.NewReader(text), station.Options{Name: "x.csv", Units: units})
		if err != nil || len(recs) != 1 || recs[0].TMax[0] != want {
			t.Errorf("%s: %v %v %v", units, recs, ps, err)
		}
	}
}

// A lone wrong year makes a long series and nothing worse; gaps stay missing.
func TestLoneYear(t *testing.T) {
	r := one(t, "x.csv", []byte("date,tmin_c\n2001-05-01,1\n1702-05-01,2\n2001-05-03,3\n"))
	if r.First != day.Of(1702, 5, 1) || r.Last() != day.Of(2001, 5, 3) || len(r.TMin) != int(r.Last()-r.First)+1 {
		t.Fatalf("%v to %v", r.First, r.Last())
	}
	if lo, _, _ := at(t, &r.Series, "2001-05-02"); lo != quantity.Missing {
		t.Errorf("the gap has %d", lo)
	}
	n := 0
	for _, v := range r.TMin {
		if v != quantity.Missing {
			n++
		}
	}
	if n != 3 {
		t.Errorf("%d values", n)
	}
}

// More stations than a file may hold are set aside row by row.
func TestManyStations(t *testing.T) {
	var b strings.Builder
	b.WriteString("STATION,NAME,DATE,TMAX,TMIN\n")
	for i := range 1100 {
		fmt.Fprintf(&b, "X%05d,N,2001-05-01,20.5,10.5\n", i)
	}
	recs, ps, err := station.Read("x.csv", strings.NewReader(b.String()))
	if err != nil || len(recs) != 1000 {
		t.Fatalf("%d records, %v", len(recs), err)
	}
	n := 0
	for _, r := range recs {
		n += r.Account.SetAsideCounts["more than 1000 stations in one file"]
	}
	if n != 100 || ps.Count(diag.Warning) != 1 {
		t.Errorf("%d set aside, %v", n, ps)
	}
}

// Thirty times the rows take no more memory: all that is ever allocated while
// reading hardly grows.
func TestMemoryIsFlat(t *testing.T) {
	file := wideFile(20)
	header, rows, _ := bytes.Cut(file, []byte("\n"))
	allocated := func(times int) int64 {
		var before, after runtime.MemStats
		parts := []io.Reader{bytes.NewReader(header), strings.NewReader("\n")}
		for range times {
			parts = append(parts, bytes.NewReader(rows))
		}
		runtime.ReadMemStats(&before)
		recs, _, err := station.Read("x.csv", io.MultiReader(parts...))
		runtime.ReadMemStats(&after)
		if err != nil || len(recs) != 1 || recs[0].Account.Rows != int64(times*7305) {
			t.Fatalf("%d records, %v", len(recs), err)
		}
		return int64(after.TotalAlloc - before.TotalAlloc)
	}
	allocated(1) // fills the pools
	once, often := allocated(1), allocated(30)
	if often > once+1<<20 {
		t.Errorf("%d bytes for one copy of the rows, %d for thirty (%d bytes of text)", once, often, 30*len(rows))
	}
}

// However many files are read one by one, the process asks for no more memory.
func TestMemoryDoesNotGrowWithFiles(t *testing.T) {
	path := write(t, t.TempDir(), "x.csv", string(wideFile(60)))
	asked := func(files int) uint64 {
		for range files {
			recs, _, err := station.ReadFile(path)
			if err != nil || len(recs) != 1 {
				t.Fatal(len(recs), err)
			}
		}
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.Sys
	}
	few := asked(20)
	if many := asked(100); many > few+8<<20 {
		t.Errorf("%d MiB asked for after 20 files, %d after 120", few>>20, many>>20)
	}
}
