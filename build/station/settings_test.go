package station_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
)

// mapped reads text with settings.
func mapped(t testing.TB, toml, text string) ([]station.Record, diag.Problems) {
	t.Helper()
	s, ps := station.ReadSettings("hill.toml", []byte(toml))
	if len(ps) > 0 {
		t.Fatalf("settings: %v", ps)
	}
	recs, ps, err := station.ReadWith(strings.NewReader(text), station.Options{Name: "hill.csv", Settings: s})
	if err != nil {
		t.Fatal(err)
	}
	return recs, ps
}

// The ways in which settings name the columns, days and units of one table:
// 1 °C and 9 °C (33.8 and 48.2 °F), 2.54 mm (0.1 in), then a day with a trace.
func TestMappedTables(t *testing.T) {
	const columns = "\n[columns]\ndate = \"when\"\ntmin = \"low\"\ntmax = \"high\"\nprecip = \"rain\"\n"
	for _, c := range []struct{ name, toml, text string }{
		{"°C", columns, "when,low,high,rain\n2001-02-03,1.0,9.0,2.5\n2001-02-04,2.0,,0\n"},
		{"other case and spaces", columns, "When , LOW,High,rain\n2001-02-03,1.0,9.0,2.5\n2001-02-04,2.0,,0\n"},
		{"°F", `units = "us"` + columns, "when,low,high,rain\n2001-02-03,33.8,48.2,0.1\n2001-02-04,35.6,,0\n"},
		{"°F and mm", "temperature_unit = \"f\"\nprecip_unit = \"mm\"" + columns, "when,low,high,rain\n2001-02-03,33.8,48.2,2.54\n2001-02-04,35.6,,0\n"},
		{"°C and inches", `precip_unit = "in"` + columns, "when,low,high,rain\n2001-02-03,1,9,0.1\n2001-02-04,2,,0\n"},
		{"tenths", "temperature_unit = \"tenths\"\nprecip_unit = \"tenths\"" + columns, "when,low,high,rain\n2001-02-03,10,90,25\n2001-02-04,20,,0\n"},
		{"tab", `separator = "tab"` + columns, "when\tlow\thigh\train\n2001-02-03\t1\t9\t2.5\n2001-02-04\t2\t\t0\n"},
		{"bars, decimal comma", `separator = "|"` + columns, "when|low|high|rain\n2001-02-03|1,0|9,0|2,5\n2001-02-04|2,0||0\n"},
		{"marks", "missing = [\"999\", \"none\"]\ntrace = [\"tr\", \"+\"]" + columns, "when,low,high,rain\n2001-02-03,1,9,2.5\n2001-02-04,2,999,tr\n2001-02-05,none,none,999\n"},
		{"day first", `date_form = "day-month-year"` + columns, "when,low,high,rain\n3/2/2001,1,9,2.5\n04.02.2001 06:00,2,,0\n"},
		{"month first", `date_form = "month-day-year"` + columns, "when,low,high,rain\n2/3/2001,1,9,2.5\n02-04-2001,2,,0\n"},
		{"year first", `date_form = "year-month-day"` + columns, "when,low,high,rain\n2001/2/3,1,9,2.5\n2001-02-04,2,,0\n"},
		{"year and day", "[columns]\nyear = \"y\"\nday_of_year = \"n\"\ntmin = \"low\"\ntmax = \"high\"\nprecip = \"rain\"", "n,y,low,high,rain\n34,2001,1,9,2.5\n35,2001,2,,0\n"},
		{"year, month and day", "[columns]\nyear = \"y\"\nmonth = \"m\"\nday = \"d\"\ntmin = \"low\"\ntmax = \"high\"\nprecip = \"rain\"", "d,m,y,low,high,rain\n3,2,2001,1,9,2.5\n4,2,2001,2,,0\n"},
		{"flags", "trace = \"T\"\nrefuse_flags = [\"A\"]" + columns + "tmax_flags = \"f\"\nprecip_flags = \"g\"", "when,low,high,f,rain,g\n2001-02-03,1,9,,2.5,E\n2001-02-04,2,7,AE,,T\n"},
		{"stations of their own", "station_id = \"hill\"" + columns + "station = \"id\"", "id,when,low,high,rain\n77,2001-02-03,1,9,2.5\n77,2001-02-04,2,,0\n"},
		{"one station of two", "stations = [\"hill\"]" + columns + "station = \"id\"", "id,when,low,high,rain\nhill,2001-02-03,1,9,2.5\ndale,2001-02-04,8,8,8\nhill,2001-02-04,2,,0\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			recs, ps := mapped(t, c.toml, c.text)
			if len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
				t.Fatalf("%d records, %v", len(recs), ps)
			}
			r := &recs[0]
			m := quantity.Missing
			if r.ID != "hill" || r.Account.Dialects[0] != "mapped" || r.First.String() != "2001-02-03" ||
				!slices.Equal(r.TMin, []quantity.Tenths{10, 20}) || !slices.Equal(r.TMax, []quantity.Tenths{90, m}) || !slices.Equal(r.Precip, []quantity.Tenths{25, 0}) {
				t.Errorf("%s %v %v: %v %v %v", r.ID, r.Account.Dialects, r.First, r.TMin, r.TMax, r.Precip)
			}
		})
	}
}

// date_form alone is enough where the columns have their plain names, as a
// spreadsheet saves them.
func TestDateFormOfPlainTables(t *testing.T) {
	for form, text := range map[string]string{
		"day-month-year": "date;tmin_c;tmax_c;precip_mm\r\n03/02/2001;1,0;9,0;2,5\r\n04/02/2001;2,0;;0\r\n",
		"month-day-year": "date,tmin_c,tmax_c,precip_mm\n2/3/2001,1.0,9.0,2.5\n2/4/2001,2.0,,0\n",
	} {
		recs, ps := mapped(t, "date_form = \""+form+"\"\n", text)
		if len(recs) != 1 || len(ps) > 0 || recs[0].Account.Dialects[0] != "plain-c" || recs[0].First.String() != "2001-02-03" ||
			!slices.Equal(recs[0].TMin, []quantity.Tenths{10, 20}) {
			t.Errorf("%s: %v, %v", form, recs, ps)
		}
	}
	_, ps := mapped(t, "", "date;tmin_c\n03/02/2001;1,0\n")
	if i := slices.IndexFunc(ps, func(p diag.Problem) bool { return strings.Contains(p.Hint, "date_form") }); i < 0 {
		t.Errorf("nothing says what to try: %v", ps)
	}
}

// A table of no known form is told how to become one.
func TestStrangersAreToldWhatToTry(t *testing.T) {
	for text, want := range map[string]string{
		"Day;Low;High\n03/02/2001;1,0;9,0\n": "below [columns] of hill.toml beside it",
		" <!doctype html><title>404</title>": "a web page",
	} {
		dir := t.TempDir()
		_, ps, err := station.ReadFile(write(t, dir, "hill.csv", text))
		if err != nil || len(ps) != 1 || !strings.Contains(ps[0].Hint, want) {
			t.Errorf("%q: %v, %v", text, ps, err)
		}
	}
}

// What is wrong with settings is said at its place in the .toml file.
func TestWrongSettings(t *testing.T) {
	const table = "when,low\n2001-02-03,1\n"
	for _, c := range []struct {
		name, toml, at, says, hint string
		severity                   diag.Severity
	}{
		{"unknown setting", "station_id = \"a\"\nseperator = \",\"\n", "2:1", "seperator", "separator", diag.Warning},
		{"unknown column", "[columns]\ndate = \"when\"\n  tmn = \"low\"\n", "3:3", "tmn", "tmin", diag.Warning},
		{"column outside", "tmin = \"low\"\n", "1:1", "outside [columns]", "[columns]", diag.Error},
		{"no TOML", "station_id = hill\n", "1:14", "expected value", "quotation marks", diag.Error},
		{"not a text", "station_id = 7\n", "1:1", "not a text", `station_id = "..."`, diag.Error},
		{"unit", "temperature_unit = \"k\"\n[columns]\ndate=\"when\"\ntmin=\"low\"\n", "1:1", "c, f, tenths", "", diag.Error},
		{"units", "units = \"imperial\"\n", "1:1", "neither metric nor us", "temperature_unit", diag.Error},
		{"separator", "separator = \"ab\"\n", "1:1", "cannot stand between cells", "tab", diag.Error},
		{"marks", "missing = 7\n", "1:1", "list of texts", "missing = [", diag.Error},
		{"columns no table", "columns = 7\n", "1:1", "not a table", "[columns]", diag.Error},
		{"unit without columns", "temperature_unit = \"f\"\n", "1:1", "no effect", "columns", diag.Warning},
		{"column not there", "[columns]\ndate = \"when\"\ntmin = \"lwo\"\n", "3:1", `"lwo" is not in the file`, `"low"`, diag.Error},
		{"column twice", "[columns]\ndate = \"when\"\ntmin = \"low\"\ntmax = \"low\"\n", "4:1", "twice", "once", diag.Error},
		{"no day", "[columns]\ntmin = \"low\"\n", "1", "date", "day_of_year", diag.Error},
		{"two kinds of day", "[columns]\ndate = \"when\"\nyear = \"low\"\ntmin = \"low\"\n", "3:1", "both a date and parts", "one or the other", diag.Error},
		{"no element", "[columns]\ndate = \"when\"\n", "1", "no column named that holds an element", "tmin", diag.Error},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "hill.csv", table)
			toml := write(t, dir, "hill.toml", c.toml)
			_, ps, err := station.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			i := slices.IndexFunc(ps, func(p diag.Problem) bool { return p.Place.String() == toml+":"+c.at })
			if i < 0 || ps[i].Severity != c.severity || !strings.Contains(ps[i].Message, c.says) || !strings.Contains(ps[i].Hint, c.hint) {
				t.Errorf("want %q (%q) at %s: %+v", c.says, c.hint, c.at, ps)
			}
		})
	}
}

// Which file beside a station file holds its settings.
func TestSettingsBeside(t *testing.T) {
	const text = "STATION,NAME,DATE,TMAX,TMIN\nX,HILL,2001-01-01,30,20\n"
	for _, name := range []string{"order.toml", "order.csv.toml", "order.csv.gz.toml"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "order.csv.gz")
		if err := os.WriteFile(path, pack(t, text), 0o600); err != nil {
			t.Fatal(err)
		}
		if recs, ps, _ := station.ReadFile(path); len(recs) > 0 || ps.Count(diag.Error) != 1 || !strings.Contains(ps[0].Hint, "NAME.toml") {
			t.Fatalf("without settings: %v, %v", recs, ps)
		}
		write(t, dir, name, "units = \"us\"\nstation_id = \"Y\"\n")
		recs, ps, err := station.ReadAll([]string{path}, 1)
		if err != nil || len(ps) > 0 || len(recs) != 1 || recs[0].ID != "Y" || recs[0].TMax[0] != -11 {
			t.Errorf("%s: %v, %v, %v", name, recs, ps, err)
		}
	}
	dir := t.TempDir()
	path := write(t, dir, "order.csv", text)
	write(t, dir, "order.csv.toml", "units = \"metric\"\n")
	far := write(t, dir, "order.toml", "units = \"us\"\n")
	recs, ps, err := station.ReadFile(path)
	if err != nil || len(recs) != 1 || recs[0].TMax[0] != 300 || len(ps) != 1 || ps[0].Place.File != far || !strings.Contains(ps[0].Message, "order.csv.toml stands nearer") {
		t.Errorf("two settings: %v, %v, %v", recs, ps, err)
	}
}

func TestStationIDForManyStations(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "order.csv", "STATION,NAME,DATE,TMAX,TMIN\nX,HILL,2001-01-01,3.5,2.5\nY,HILL,2001-01-01,3.5,2.5\n")
	write(t, dir, "order.toml", "station_id = \"Z\"\n")
	recs, ps, err := station.ReadFile(path)
	if err != nil || len(recs) != 2 || recs[0].ID != "X" || ps.Count(diag.Error) != 1 || !strings.Contains(ps[0].Message, `"Z"`) {
		t.Errorf("%v, %v, %v", recs, ps, err)
	}
}

// place copies a packed record into dir, unpacked, with settings beside it.
func placeWith(t testing.TB, dir, name, from, settings string) string {
	t.Helper()
	f, err := os.Open(from)
	if err != nil {
		t.Skipf("a real record is not here: %v", err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if _, err := io.Copy(&b, z); err != nil {
		t.Fatal(err)
	}
	write(t, dir, strings.TrimSuffix(name, ".csv")+".toml", settings)
	return write(t, dir, name, b.String())
}

// William Head comes in three files of one element each, with the day of the
// year; its settings give what the plain form made of it gives.
func TestWilliamHeadBySettings(t *testing.T) {
	want, _, err := station.ReadFile(stationtest.WilliamHead(t))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var paths []string
	for element, column := range map[string]string{"tmin": "MIN_TEMP", "tmax": "MAX_TEMP", "precip": "ONE_DAY_PRECIPITATION"} {
		paths = append(paths, placeWith(t, dir, column+".csv",
			filepath.Join(stationtest.Folder(t), "william-head", "1018935_"+column+".csv.gz"),
			"station_id = \"1018935\"\ntrace = \"T\"\nrefuse_flags = [\"A\", \"F\", \"C\", \"L\"]\n"+
				"[columns]\nyear = \"year\"\nday_of_year = \"jday\"\n"+element+" = \""+column+"\"\n"+element+"_flags = \"flags\"\n"))
	}
	recs, ps, err := station.ReadAll(paths, 2)
	if err != nil || len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
		t.Fatal(len(recs), ps, err)
	}
	if r := &recs[0]; r.ID != "1018935" || !sameValues(&want[0].Series, &r.Series) {
		t.Errorf("%s from %v to %v, set aside %v", r.ID, r.First, r.Last(), r.Account.SetAsideCounts)
	}
}

func TestTwinCitiesBySettings(t *testing.T) {
	want, _, err := station.ReadFile(stationtest.TwinCities(t))
	if err != nil {
		t.Fatal(err)
	}
	path := placeWith(t, t.TempDir(), "twin.csv", filepath.Join(stationtest.Folder(t), "twin_cities_mn_1871-2023.csv.gz"),
		"station_id = \"USW00014922\"\nunits = \"us\"\ntrace = [\"T\"]\n[columns]\ndate = \"date\"\ntmin = \"min_temp\"\ntmax = \"max_temp\"\nprecip = \"precip_T\"\n")
	recs, ps, err := station.ReadFile(path)
	if err != nil || len(recs) != 1 || ps.Count(diag.Error)+ps.Count(diag.Warning) > 0 {
		t.Fatal(len(recs), ps, err)
	}
	if r := &recs[0]; r.ID != "USW00014922" || !sameValues(&want[0].Series, &r.Series) || r.Account.UsedCounts["trace, used as 0"] == 0 {
		t.Errorf("%s from %v to %v, used %v", r.ID, r.First, r.Last(), r.Account.UsedCounts)
	}
}

func FuzzReadSettings(f *testing.F) {
	f.Add("station_id = \"1\"\nmissing = [\"NA\"]\n[columns]\ndate = \"when\"\ntmin = \"low\"\n", "when,low\n2001-02-03,1\n")
	f.Add("units = \"us\"\ndate_form = \"day-month-year\"\n[columns]\nyear = \"y\"\nday_of_year = \"n\"\ntmin = \"low\"\n", "n,y,low\n366,2001,1\n")
	f.Add("columns = { date = \"d\", tmax = \"h\" }\nseparator=\" \"\n", "d h\n1.2.2001 3\n")
	f.Fuzz(func(t *testing.T, toml, text string) {
		s, ps := station.ReadSettings("hill.toml", []byte(toml))
		if ps.Count(diag.Error) == 0 {
			recs, more, err := station.ReadWith(strings.NewReader(text), station.Options{Name: "hill.csv", Settings: s})
			if err != nil {
				t.Fatal(err)
			}
			if len(recs) == 0 && more.Count(diag.Error)+more.Count(diag.Warning) == 0 {
				t.Fatal("nothing read and nothing said")
			}
			for i := range recs {
				check(t, &recs[i])
			}
			ps = append(ps, more...)
		}
		for _, p := range ps {
			if p.Place.File != "hill.toml" && p.Place.File != "hill.csv" || p.Place.Line < 1 || p.Message == "" {
				t.Fatalf("not located: %+v", p)
			}
		}
	})
}
