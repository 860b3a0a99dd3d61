package tables_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/tables"
)

// inventedSeasons computes seasons and normals from an invented record: a
// yearly wave, warm where mild (no freeze at all), with a hole in 2003.
func inventedSeasons(h day.Hemisphere, mild bool) ([]climate.Season, []climate.Normal) {
	first, last := day.Of(1999, 1, 1), day.Of(2012, 12, 31)
	d := climate.Daily{First: first, Hemisphere: h}
	for x := first; x <= last; x++ {
		phase := 2 * math.Pi * float64(h.Rank(x)-20) / 365
		mean := 11 - 13*math.Cos(phase) + 3*math.Sin(float64(x)*0.7)
		if mild {
			mean += 25
		}
		lo, hi := quantity.ToTenths(mean-5), quantity.ToTenths(mean+5)
		if x.Year() == 2003 && x.YearDay() > 100 && x.YearDay() < 160 {
			lo, hi = quantity.Missing, quantity.Missing
		}
		d.TMin, d.TMax, d.Precip = append(d.TMin, lo), append(d.TMax, hi), append(d.Precip, 12)
	}
	seasons := climate.Seasons(&d, climate.DefaultHeat())
	return seasons, climate.Normals(seasons, climate.Span{First: 2001, Last: 2010}, 10)
}

func inventedDownloadsBook(towns int) *almanac.Book {
	dir := filepath.Join("somewhere", "club")
	b := &almanac.Book{
		Club: &club.Club{Dir: dir, Settings: club.Settings{Name: "Invented Circle", Notice: "Everything here is invented.", DataLicence: "CC-BY-4.0"},
			Methods: []club.Method{{ID: "covered", WinterGainHighC: club.Number{Value: 6, Set: true}}, {ID: "open"}},
			Dropped: diag.Problems{{Place: diag.Place{File: "data/towns.csv", Line: 3, Column: 7}, Severity: diag.Error, Message: `longitude: "far" is not a number`}}},
		Span: climate.Span{First: 2001, Last: 2010}, PlanYear: 2013, CutOff: day.Of(2012, 12, 31),
		Stations: []almanac.Station{
			{ID: "mead", Name: "Mead, the \"old\" one", Latitude: 44.1, Longitude: -38.25, ElevationM: 120, Credit: "Invented weather", Licence: "CC-BY-4.0",
				First: day.Of(1999, 1, 1), Last: day.Of(2012, 12, 31), ValidYears: 13, DaysSetAside: 2,
				Account: station.Account{Files: []string{"data/stations/mead.csv"},
					Suspects: []station.Suspect{{Kind: station.KindJump, Element: "tmax", First: day.Of(2005, 1, 1), Last: day.Of(2012, 12, 31), Values: 8, Reason: diag.Say("0.9 °C warmer from then on"), Used: true}},
					SetAside: []station.SetAside{{Place: diag.Place{File: "data/stations/mead.csv", Line: 12, Column: 5}, Element: "tmin", Reason: "tmin above tmax"}}}},
			{ID: "blank", Latitude: math.NaN(), Longitude: math.NaN(), ElevationM: math.NaN(), First: day.None, Last: day.None},
		},
	}
	for i := range towns {
		h, mild := day.North, i == 2
		if i == 1 {
			h = day.South
		}
		t := almanac.Town{Row: club.Town{ID: club.Text(fmt.Sprintf("town-%03d", i)), Name: "Invented"}, Hemisphere: h}
		if i < 3 {
			t.Seasons, t.Normals = inventedSeasons(h, mild)
		}
		t.Odds = []almanac.Odds{
			{Cultivar: "quickling", Part: "main", Method: "open", Years: climate.Span{First: 2001, Last: 2010}, N: 9, RipeYears: 6.3, Odds: 0.7, Low: 0.55, High: 0.82,
				Cool: 0.4, Warm: 0.95, Likelihood: "likely", Basis: "class", FirstRipe: [3]almanac.Point{{Rank: 230}, {Rank: 256}, {None: true}}, CropShare: 0.41, SetBacksPer10: 0.5},
			{Cultivar: "waspling", Part: "main", Method: "open", Reason: "no-wasp"},
			{Cultivar: "zestling", Part: "main", Method: "open", Reason: "no-model"},
		}
		t.Weeks = append(slices.Clone(t.Odds[:1]), t.Odds[0])
		t.Weeks[1].Weeks = 8
		t.Winters = []almanac.WinterLoss{{Cultivar: "quickling", Method: "covered", KillLow: 0.1, KillHigh: 0.25, LastKillWinter: 2009}, {Cultivar: "quickling", Method: "open", KillLow: 0, KillHigh: 0}}
		t.SpringRisk = []climate.SpringDay{
			{Rank: 135, Chance: [4]climate.Value{climate.P22: {V: 0.9, OK: true}, climate.Zero: {V: 0.25, OK: true}, climate.M22: {V: 0.1, OK: true}, climate.M44: {}}},
			{Rank: 136, Chance: [4]climate.Value{climate.P22: {V: 0.8, OK: true}, climate.Zero: {V: 0.2, OK: true}, climate.M22: {V: 0, OK: true}, climate.M44: {}}}}
		t.Tasks = []almanac.TaskDate{{Method: "open", Task: "wake", From: day.Of(2013, 3, 1), Until: day.Of(2013, 3, 8)}}
		b.Towns = append(b.Towns, t)
	}
	return b
}

// download is a file with its bytes.
type download struct {
	tables.Download
	Data []byte
}

func downloadsOf(t *testing.T, b *almanac.Book) map[string]download {
	t.Helper()
	var mu sync.Mutex
	files := map[string][]byte{}
	list, err := tables.Downloads(b, 2, nil, func(_, name string, data []byte) error {
		mu.Lock()
		defer mu.Unlock()
		files[name] = bytes.Clone(data)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	m := map[string]download{}
	for _, d := range list {
		if _, twice := m[d.Name]; twice {
			t.Errorf("%s is there twice", d.Name)
		}
		if d.Title == "" || d.Description == "" {
			t.Errorf("%s has no title or description", d.Name)
		}
		if d.Size != len(files[d.Name]) {
			t.Errorf("%s has %d bytes, not %d", d.Name, len(files[d.Name]), d.Size)
		}
		m[d.Name] = download{d, files[d.Name]}
	}
	return m
}

func TestDownloadsFiles(t *testing.T) {
	m := downloadsOf(t, inventedDownloadsBook(3))
	for name, rows := range map[string]int{"stations.csv": 2, "seasons.csv": 43, "normals.csv": 3 * len(climate.Measures(10)), "spring-risk.csv": 6, "odds.csv": 9, "weeks/town-000.csv": 2, "weeks/town-002.csv": 2,
		"ground.csv": 6, "tasks.csv": 3, "set-aside.csv": 3, "datapackage.json": 0} {
		d, ok := m[name]
		if !ok || d.Rows != rows {
			t.Errorf("%s: there %v with %d rows, want %d", name, ok, d.Rows, rows)
		}
	}
	many := downloadsOf(t, inventedDownloadsBook(201))
	if _, ok := many["odds.csv"]; ok {
		t.Error("odds.csv is not split above 200 towns")
	}
	for name := range many {
		if strings.HasPrefix(name, "weeks/") {
			t.Errorf("%s is there above 200 towns", name)
		}
	}
	if d := many["odds/town-200.csv"]; d.Rows != 3 {
		t.Errorf("odds/town-200.csv has %d rows, want 3", d.Rows)
	}
}

func TestDownloadsCells(t *testing.T) {
	m := downloadsOf(t, inventedDownloadsBook(3))
	contains := []struct{ name, file, line string }{
		{"odds", "odds.csv", "town-000,quickling,main,open,0,,2001,2010,9,6.3,0.70,0.55,0.82,0.9,0.40,0.95,likely,0,0,class,08-18,09-13,none,0.30,0.41,0.5,0.0,0,0,0,\n"},
		{"odds in the south", "odds.csv", "town-001,quickling,main,open,0,,2001,2010,9,6.3,0.70,0.55,0.82,0.9,0.40,0.95,likely,0,0,class,02-15,03-13,none,0.30,0.41,0.5,0.0,0,0,0,\n"},
		{"no wasp is an answer", "odds.csv", "town-000,waspling,main,open,0,,,,,,0.00,,,,,,,,,,,,,,,,,,,,no-wasp\n"},
		{"no model is none", "odds.csv", "town-000,zestling,main,open,0,,,,,,,,,,,,,,,,,,,,,,,,,,no-model\n"},
		{"kill winter", "ground.csv", ",quickling,covered,0.10,0.25,2009,"},
		{"no kill, no cover", "ground.csv", "town-000,quickling,open,0.00,0.00,none,,\n"},
		{"no freeze to uncover after", "ground.csv", "town-002,quickling,covered,0.10,0.25,2009,none,none\n"},
		{"tasks", "tasks.csv", "town-000,open,wake,2013-03-01,2013-03-08\n"},
		{"freezes still to come, north", "spring-risk.csv", "town-000,05-15,0.90,0.25,0.10,\n"},
		{"freezes still to come, south", "spring-risk.csv", "town-001,11-12,0.90,0.25,0.10,\n"},
		{"suspect that is used", "set-aside.csv", "data/stations/mead.csv,,,\"tmax: suspect but used: jump in level, 2005-01-01 to 2012-12-31: 0.9 °C warmer from then on\"\n"},
		{"dropped row", "set-aside.csv", "data/towns.csv,3,7,\"longitude: \"\"far\"\" is not a number\"\n"},
		{"value set aside", "set-aside.csv", "data/stations/mead.csv,12,5,tmin: tmin above tmax\n"},
		{"station", "stations.csv", "mead,\"Mead, the \"\"old\"\" one\",44.1,-38.25,120,1999,2012,13,2,Invented weather,CC-BY-4.0\n"},
		{"station of which nothing is known", "stations.csv", "blank,,,,,,,0,0,,\n"},
		{"no freeze in a mild place", "seasons.csv", "town-002,2001,yes,none,none,365,none,none,365,none,none,365,none,none,365,0,0,"},
		{"normal of no freeze", "normals.csv", "town-002,last_spring_freeze_0,date,2001,2010,9,0,,none,none,"},
	}
	for _, c := range contains {
		t.Run(c.name, func(t *testing.T) {
			if !bytes.Contains(m[c.file].Data, []byte(c.line)) {
				t.Errorf("%s has no %q", c.file, c.line)
			}
		})
	}
	// 2003 has a hole over spring: the last freeze is not known, the year not complete.
	if !regexp.MustCompile(`(?m)^town-000,2003,no,,`).Match(m["seasons.csv"].Data) {
		t.Error("an invalid freeze is not an empty cell")
	}
	// In the south the first autumn freeze falls in the year after.
	if !regexp.MustCompile(`(?m)^town-001,2005,yes,2005-(09|1\d)-\d\d,2006-0\d-\d\d,`).Match(m["seasons.csv"].Data) {
		t.Error("southern dates are not those of the season that begins in July 2005")
	}
}

type frictionless struct {
	Profile, Name string
	Licenses      []struct{ Name, Path string }
	Sources       []struct{ Title string }
	Resources     []struct {
		Profile, Name, Path, Encoding, Hash string
		Bytes                               int
		Schema                              struct {
			MissingValues []string
			PrimaryKey    []string
			Fields        []struct {
				Name, Type, Unit, Description string
				Constraints                   struct {
					Pattern string
					Enum    []string
				}
			}
		}
	}
}

// TestDataPackage holds datapackage.json against the files it describes, by
// the rules of the Frictionless Data Package 1 (names, licences, profiles) and
// Table Schema 1 (types, constraints, keys), specs.frictionlessdata.io.
func TestDataPackage(t *testing.T) {
	for _, towns := range []int{3, 201} {
		m := downloadsOf(t, inventedDownloadsBook(towns))
		var p frictionless
		if err := json.Unmarshal(m["datapackage.json"].Data, &p); err != nil {
			t.Fatal(err)
		}
		name := regexp.MustCompile(`^[a-z0-9._-]+$`)
		if p.Profile != "tabular-data-package" || !name.MatchString(p.Name) {
			t.Errorf("profile %q, name %q", p.Profile, p.Name)
		}
		if len(p.Licenses) != 1 || p.Licenses[0].Name != "CC-BY-4.0" {
			t.Errorf("licences %v", p.Licenses)
		}
		if len(p.Sources) != 2 || !strings.Contains(p.Sources[1].Title, "Invented weather (CC-BY-4.0)") {
			t.Errorf("sources %v", p.Sources)
		}
		if len(p.Resources) != len(m)-1 {
			t.Errorf("%d resources for %d files", len(p.Resources), len(m)-1)
		}
		names := map[string]bool{}
		for _, r := range p.Resources {
			if names[r.Name] || !name.MatchString(r.Name) {
				t.Errorf("resource name %q is no name, or there twice", r.Name)
			}
			names[r.Name] = true
			d, ok := m[r.Path]
			h := sha256.Sum256(d.Data)
			if !ok || r.Bytes != len(d.Data) || r.Hash != "sha256:"+hex.EncodeToString(h[:]) || r.Encoding != "utf-8" || r.Profile != "tabular-data-resource" {
				t.Errorf("resource %s does not describe its file", r.Path)
				continue
			}
			rows, err := csv.NewReader(bytes.NewReader(d.Data)).ReadAll()
			if err != nil {
				t.Errorf("%s: %v", r.Path, err)
				continue
			}
			if len(rows)-1 != d.Rows || len(rows[0]) != len(r.Schema.Fields) {
				t.Errorf("%s: %d rows and %d columns, described as %d and %d", r.Path, len(rows)-1, len(rows[0]), d.Rows, len(r.Schema.Fields))
				continue
			}
			keys := map[string]bool{}
			for i, f := range r.Schema.Fields {
				if rows[0][i] != f.Name || f.Description == "" {
					t.Errorf("%s: field %d is %q (%q), the header says %q", r.Path, i, f.Name, f.Description, rows[0][i])
				}
				pattern := regexp.MustCompile("^(?:" + f.Constraints.Pattern + ")$")
				for n, row := range rows[1:] {
					cell := row[i]
					if slices.Contains(r.Schema.MissingValues, cell) {
						continue
					}
					if !parsesAs(f.Type, cell) || f.Constraints.Pattern != "" && !pattern.MatchString(cell) || f.Constraints.Enum != nil && !slices.Contains(f.Constraints.Enum, cell) {
						t.Errorf("%s:%d: %s %q is no %s", r.Path, n+2, f.Name, cell, f.Type)
					}
				}
			}
			for n, row := range rows[1:] {
				var key []string
				for _, k := range r.Schema.PrimaryKey {
					key = append(key, row[slices.Index(rows[0], k)])
				}
				if k := strings.Join(key, "\x00"); key != nil && keys[k] {
					t.Errorf("%s:%d: the key %q is there twice", r.Path, n+2, key)
				} else {
					keys[k] = true
				}
			}
		}
	}
}

// parsesAs tells whether a cell is of a Table Schema type in its default form.
func parsesAs(kind, cell string) bool {
	switch kind {
	case "string", "any":
		return true
	case "integer":
		_, err := strconv.Atoi(cell)
		return err == nil
	case "year":
		_, err := strconv.Atoi(cell)
		return err == nil && len(cell) == 4
	case "number":
		v, err := strconv.ParseFloat(cell, 64)
		return err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) && !strings.ContainsAny(cell, "eE")
	case "date":
		_, err := day.Parse(cell)
		return err == nil
	}
	return false
}

// TestNormalsSteps: figures of normals are printed at their unit's step.
func TestNormalsSteps(t *testing.T) {
	_, normals := inventedSeasons(day.North, false)
	table := tables.NormalsTable("station_id", []string{"x"}, []day.Hemisphere{day.North}, [][]climate.Normal{normals})
	want := map[string]string{"date": `^(none|\d\d-\d\d)$`, "days": `^\d+\.\d$`, "°C": `^-?\d+\.\d$`, "mm": `^\d+\.\d$`, "°C·d": `^\d+$`, "zone": `^\d+[ab]$`}
	seen := map[string]bool{}
	for _, row := range table.Rows {
		form, unit := regexp.MustCompile(want[row[2]]), row[2]
		for i, cell := range row[7:23] {
			if cell == "" {
				continue
			}
			seen[unit] = true
			if want[unit] == "" || !form.MatchString(cell) {
				t.Errorf("%s, column %d: %q", row[1], i+7, cell)
			}
		}
	}
	if len(seen) != len(want) {
		t.Errorf("saw the units %v only", seen)
	}
}

func TestHeatBaseNamesTheColumn(t *testing.T) {
	seasons, _ := inventedSeasons(day.North, false)
	table := tables.SeasonsTable("station_id", []string{"x"}, [][]climate.Season{seasons}, 8)
	if !slices.ContainsFunc(table.Columns, func(c tables.Column) bool { return c.Name == "heat_cd_base8" && c.Unit == "°C·d" }) {
		t.Error("no column heat_cd_base8")
	}
	if table.Columns[0].Name != "station_id" || !slices.Equal(table.Key, []string{"station_id", "year"}) {
		t.Errorf("first column %s, key %v", table.Columns[0].Name, table.Key)
	}
}
