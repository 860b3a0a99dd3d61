package station_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

// everyDay asks for every element of every day from a week before to a week
// after the series.
func everyDay(s *station.Series) (want []station.Day) {
	for d := s.First - 7; d <= s.Last()+7; d++ {
		want = append(want, station.Day{Date: d, Element: station.TMin}, station.Day{Date: d, Element: station.TMax}, station.Day{Date: d, Element: station.Precip})
	}
	return want
}

func valueOf(s *station.Series, d station.Day) quantity.Tenths {
	i := int(d.Date - s.First)
	if i < 0 || i >= len(s.TMin) {
		return quantity.Missing
	}
	switch d.Element {
	case station.TMin:
		return s.TMin[i]
	case station.TMax:
		return s.TMax[i]
	}
	return s.Precip[i]
}

// dateForms is how the samples write a day; a line of the fixed-width form
// holds a month.
func dateForms(d day.Date) []string {
	y, m, dom := d.YMD()
	return []string{
		d.String(), fmt.Sprintf("%04d%02d%02d", y, m, dom), fmt.Sprintf("%02d.%02d.%04d", dom, m, y),
		fmt.Sprintf("%d;%d;", y, d.YearDay()), fmt.Sprintf("%04d%02dT", y, m), fmt.Sprintf("%04d%02dP", y, m),
	}
}

func holdsDay(line string, d day.Date) bool {
	return slices.ContainsFunc(dateForms(d), func(form string) bool { return strings.Contains(line, form) })
}

func lineAt(lines []string, at diag.Place) string {
	if at.Line < 1 || at.Line > len(lines) {
		return ""
	}
	return lines[at.Line-1]
}

// writtenAt reads the number that stands at a place of a file.
func writtenAt(lines []string, at diag.Place, decimal string) string {
	line := lineAt(lines, at)
	if at.Column < 1 || at.Column > len(line) {
		return ""
	}
	text := strings.TrimLeft(line[at.Column-1:], ` "`)
	return text[:len(text)-len(strings.TrimLeft(text, "0123456789-"+decimal))]
}

// placeCase says how the numbers that stand in samples are read.
type placeCase struct {
	files   string
	read    func(station.Element, float64) quantity.Tenths
	decimal string
}

var placeCases = func() []placeCase {
	asTenths := func(factor float64) func(e station.Element, v float64) quantity.Tenths {
		return func(_ station.Element, v float64) quantity.Tenths { return quantity.ToTenths(v * factor) }
	}
	us := func(e station.Element, v float64) quantity.Tenths {
		if e == station.Precip {
			return quantity.ToTenths(v * quantity.MillimetresPerInch)
		}
		return quantity.ToTenths(float64(quantity.FromFahrenheit(v)))
	}
	return []placeCase{
		{"ghcn-dly.dly", asTenths(0.1), "."}, {"ghcn-wide.csv", asTenths(0.1), "."}, {"ghcn-by-year.csv", asTenths(0.1), "."},
		{"ncei-order-metric.csv", asTenths(1), "."}, {"ncei-order-us.csv", us, "."}, {"eccc-daily.csv", asTenths(1), "."},
		{"dwd-klima-tag.txt", asTenths(1), "."}, {"meteo-france-quotidien.csv", asTenths(1), "."},
		{"ecad-tn.txt ecad-tx.txt ecad-rr.txt", asTenths(0.1), "."},
		{"meteoswiss-nbcn.csv", asTenths(1), "."}, {"meteoswiss-ogd.csv", asTenths(1), "."}, {"mapped.csv", asTenths(1), ","},
		{"plain-c.csv", asTenths(1), "."}, {"plain-c-decimal-comma.csv", asTenths(1), ","}, {"plain-f.csv", us, "."},
	}
}()

// Every value of every sample is found on the line that holds its day, and
// stands there; nothing is found for a day without a value.
func TestPlacesOfSamples(t *testing.T) {
	for _, c := range placeCases {
		t.Run(c.files, func(t *testing.T) {
			var paths []string
			text := map[string][]string{}
			for _, name := range strings.Fields(c.files) {
				path := filepath.Join(samples, name)
				content, err := os.ReadFile(path)
				if err != nil {
					t.Fatal(err)
				}
				paths, text[path] = append(paths, path), strings.Split(string(content), "\n")
			}
			recs, _, err := station.ReadAll(paths, 1)
			if err != nil {
				t.Fatal(err)
			}
			for i := range recs {
				r := &recs[i]
				want := everyDay(&r.Series)
				places, err := station.Places(paths, r.ID, want)
				if err != nil || len(places) == 0 {
					t.Fatal(len(places), err)
				}
				for _, d := range want {
					at, found := places[d]
					v := valueOf(&r.Series, d)
					if found != (v != quantity.Missing) {
						t.Fatalf("station %s, element %d of %s: found %v, value %d", r.ID, d.Element, d.Date, found, v)
					}
					if !found {
						continue
					}
					if line := lineAt(text[at.File], at); !holdsDay(line, d.Date) {
						t.Errorf("%v does not hold %s: %q", at, d.Date, line)
					}
					number := strings.Replace(writtenAt(text[at.File], at, c.decimal), ",", ".", 1)
					if d.Element == station.Precip && v == 0 && number == "" { // a trace: a mark here or beside it
						continue
					}
					if x, err := strconv.ParseFloat(number, 64); err != nil || c.read(d.Element, x) != v {
						t.Errorf("%v holds %q, want %d tenths (element %d of %s)", at, number, v, d.Element, d.Date)
					}
				}
			}
		})
	}
}

func places(t testing.TB, id string, dates []string, files ...string) map[string]string {
	t.Helper()
	var want []station.Day
	for _, date := range dates {
		d, err := day.Parse(date)
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, station.Day{Date: d, Element: station.TMin}, station.Day{Date: d, Element: station.TMax})
	}
	found, err := station.Places(files, id, want)
	if err != nil {
		t.Fatal(err)
	}
	short := map[string]string{}
	for d, at := range found {
		name := "tmin "
		if d.Element == station.TMax {
			name = "tmax "
		}
		short[name+d.Date.String()] = fmt.Sprintf("%s:%d:%d", filepath.Base(at.File), at.Line, at.Column)
	}
	return short
}

func samePlaces(t testing.TB, got, want map[string]string) {
	t.Helper()
	for k, v := range want {
		if got[k] != v {
			t.Errorf("%s stands at %q, want %q", k, got[k], v)
		}
	}
	for k, v := range got {
		if want[k] == "" {
			t.Errorf("%s is said to stand at %q, want none", k, v)
		}
	}
}

// Of a repeated date the first row counts; a low above its high and what is no
// number are not used.
func TestPlacesOfWhatIsUsed(t *testing.T) {
	path := write(t, t.TempDir(), "hill.csv", "date,tmin_c,tmax_c\n"+
		"2001-05-02,4.0,15.0\n"+
		"2001-05-01,3.0,14.0\n"+
		"2001-05-02,9.0,19.0\n"+
		"2001-05-03,12.0,6.0\n"+
		"2001-05-04,x,16.0\n"+
		"2001-05-05,,17.0\n"+
		"2001-05-05,6.0,17.0\n")
	got := places(t, "hill", []string{"2001-05-01", "2001-05-02", "2001-05-03", "2001-05-04", "2001-05-05", "2001-05-06"}, path, path)
	samePlaces(t, got, map[string]string{
		"tmin 2001-05-01": "hill.csv:3:12", "tmax 2001-05-01": "hill.csv:3:16",
		"tmin 2001-05-02": "hill.csv:2:12", "tmax 2001-05-02": "hill.csv:2:16",
		"tmax 2001-05-04": "hill.csv:6:14",
		"tmin 2001-05-05": "hill.csv:8:12", "tmax 2001-05-05": "hill.csv:7:13",
	})
	if got := places(t, "valley", []string{"2001-05-01"}, path); len(got) > 0 {
		t.Errorf("another station's values: %v", got)
	}
}

// Of two files the one that ends later wins, value by value; a day on which
// they cross is nobody's.
func TestPlacesInSeveralFiles(t *testing.T) {
	dir := t.TempDir()
	for name, rows := range map[string]string{
		"a": "2001-05-01,1.0,11.0\n2001-05-02,2.0,12.0\n2001-05-03,13.0,20.0\n2001-05-04,4.0,14.0\n",
		"b": "2001-05-02,5.0,12.0\n2001-05-03,,6.0\n2001-05-04,,15.0\n2001-05-05,7.0,17.0\n",
	} {
		write(t, dir, name+".csv", "date,tmin_c,tmax_c\n"+rows)
		write(t, dir, name+".toml", "station_id = \"hill\"\n")
	}
	files := []string{filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.csv")}
	want := map[string]string{
		"tmin 2001-05-01": "a.csv:2:12", "tmax 2001-05-01": "a.csv:2:16",
		"tmin 2001-05-02": "b.csv:2:12", "tmax 2001-05-02": "b.csv:2:16",
		"tmin 2001-05-04": "a.csv:5:12", "tmax 2001-05-04": "b.csv:4:13",
		"tmin 2001-05-05": "b.csv:5:12", "tmax 2001-05-05": "b.csv:5:16",
	}
	dates := []string{"2001-05-01", "2001-05-02", "2001-05-03", "2001-05-04", "2001-05-05"}
	samePlaces(t, places(t, "hill", dates, files...), want)
	samePlaces(t, places(t, "hill", dates, files[1], files[0]), want)
}

// A value that our own quality control refuses is not the one used.
func TestPlacesLeaveOutRefusedValues(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for i := range 60 {
		low := float64(i%5) + 5
		if i == 30 {
			low = -45
		}
		fmt.Fprintf(&b, "%s,%.1f,%.1f\n", day.Of(2001, 5, 1+i), low, 20+float64(i%4))
	}
	path := write(t, t.TempDir(), "hill.csv", b.String())
	samePlaces(t, places(t, "hill", []string{"2001-05-30", "2001-05-31"}, path), map[string]string{
		"tmin 2001-05-30": "hill.csv:31:12", "tmax 2001-05-30": "hill.csv:31:16",
		"tmax 2001-05-31": "hill.csv:32:18",
	})
}

func TestPlacesOfMissingFile(t *testing.T) {
	path := write(t, t.TempDir(), "hill.csv", "date,tmin_c,tmax_c\n2001-05-01,3.0,14.0\n")
	want := station.Day{Date: day.Of(2001, 5, 1), Element: station.TMax}
	found, err := station.Places([]string{path, path + ".gone"}, "hill", []station.Day{want})
	if err == nil {
		t.Error("no error for a file that is not there")
	}
	if at := found[want]; at.Line != 2 || at.File != path {
		t.Errorf("what the other file has stands at %v", at)
	}
}

func BenchmarkPlaces(b *testing.B) {
	path := write(b, b.TempDir(), "wide.csv", string(wideFile(60)))
	recs, _, err := station.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	want := []station.Day{{Date: recs[0].First + 1000, Element: station.TMin}}
	b.Run("ReadFile", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := station.ReadFile(path); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("Places", func(b *testing.B) {
		for b.Loop() {
			if found, err := station.Places([]string{path}, recs[0].ID, want); err != nil || len(found) != 1 {
				b.Fatal(found, err)
			}
		}
	})
}
