package club_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// Forms of the same table that all give the same town.
func TestForms(t *testing.T) {
	const plain = "town_id,name,zone_id,latitude,longitude,elevation_m,about,about_fr\nmill,Mill,valley,45.1,-7.25,0045,\"By, the weir\",Au moulin\n"
	semicolons := "town_id;name;zone_id;latitude;longitude;elevation_m;about;about_fr\nmill;Mill;valley;45,1;-7,25;45;By, the weir;Au moulin\n"
	tabs := "town_id\tname\tzone_id\tlatitude\tlongitude\televation_m\tabout\tabout_fr\nmill\tMill\tvalley\t45.1\t-7.25\t+45\tBy, the weir\tAu moulin\n"
	quoted := strings.Replace(plain, "town_id", "\"town_id\"", 1)
	for name, text := range map[string]string{
		"comma": plain, "semicolons and decimal commas": semicolons, "tabs": tabs,
		"semicolons and points":                  strings.NewReplacer("45,1", "45.1", "7,25", "7.25").Replace(semicolons),
		"byte order mark":                        "\ufeff" + plain,
		"byte order mark before a quoted header": "\ufeff" + quoted,
		"CRLF":                                   strings.ReplaceAll(plain, "\n", "\r\n"),
		"no line end at the end":                 strings.TrimSpace(plain),
		"sep line":                               "sep=;\n" + semicolons,
		"sep line, mark, CRLF":                   "\ufeffsep=;\r\n" + strings.ReplaceAll(semicolons, "\n", "\r\n"),
		"sep line in capitals":                   "SEP=,\n" + plain,
		"sep line for tabs":                      "sep=\t\n" + tabs,
		"comments and blank lines":               "# one; two; three; four; five; six; seven\n\n#\n" + plain,
		"comment out of a table":                 "\"# one, two\",,,,,,,\n" + plain,
		"blank and empty rows":                   strings.Replace(plain, "\n", "\n\n,,,,,,,\n \n", 1),
		"capitals in the header":                 strings.Replace(plain, "latitude", "Latitude", 1),
		"spaces round header names":              strings.Replace(plain, "latitude,", " latitude , ", 1),
		"spaces round cells":                     strings.Replace(plain, "mill,Mill,valley,45.1", " mill , Mill ,valley , 45.1 ", 1),
		"other order of the columns":             "about_fr,about,elevation_m,longitude,latitude,zone_id,name,town_id\nAu moulin,\"By, the weir\",45,-7.25,45.1,valley,Mill,mill\n",
		"capitals in a translation":              strings.Replace(plain, "about_fr", "About_FR", 1),
	} {
		t.Run(name, func(t *testing.T) {
			c, ps := load(t, write(t, map[string]string{"data/towns.csv": text}), club.Options{})
			for _, p := range ps {
				if name != "capitals in the header" || !strings.Contains(p.Message, "is read as latitude") {
					t.Errorf("problem %v", p)
				}
			}
			if len(c.Towns) != 1 {
				t.Fatalf("%d towns", len(c.Towns))
			}
			w := c.Towns[0]
			if w.ID != "mill" || w.Name != "Mill" || w.ZoneID != "valley" || w.Latitude.Value != 45.1 || w.Longitude.Value != -7.25 ||
				w.ElevationM.Value != 45 || w.About != "By, the weir" || w.Other["about_fr"] != "Au moulin" || len(w.Other) != 1 || w.DayOffset.Set {
				t.Errorf("town %+v", w)
			}
			if got, ok := w.In("fr", "about", string(w.About)); got != "Au moulin" || !ok {
				t.Errorf("in French %q, %v", got, ok)
			}
			if got, ok := w.In("fr", "name", string(w.Name)); got != "Mill" || ok {
				t.Errorf("without translation %q, %v", got, ok)
			}
		})
	}
}

// A number is the one that is written or an error, never another one. The
// columns are those that gocsv itself would read as 8, 16, 1000, 3 and 1.234.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]club.Whole{
		"": {}, " ": {}, "010": {Value: 10, Set: true}, "08": {Value: 8, Set: true}, "-7": {Value: -7, Set: true},
		"+7": {Value: 7, Set: true}, "0": {Set: true}, " 12 ": {Value: 12, Set: true},
	} {
		var w club.Whole
		if err := w.UnmarshalCSV(text); err != nil || w != want {
			t.Errorf("whole %q: %v, %v", text, w, err)
		}
	}
	for _, text := range []string{"3.9", "3.0", "0x10", "1_000", "1,000", "1 000", "NaN", "Inf", "1e3", "٣", "--1", "9999999999", "99999999999999999999"} {
		w := club.Whole{Value: 1, Set: true}
		if err := w.UnmarshalCSV(text); err == nil || w.Set {
			t.Errorf("whole %q: %v, %v", text, w, err)
		}
	}
	for text, want := range map[string]club.Number{
		"": {}, "010": {Value: 10, Set: true}, "3.9": {Value: 3.9, Set: true}, "-0.5": {Value: -0.5, Set: true},
		".5": {Value: 0.5, Set: true}, "+2": {Value: 2, Set: true}, "0": {Set: true},
	} {
		var n club.Number
		if err := n.UnmarshalCSV(text); err != nil || n != want {
			t.Errorf("number %q: %v, %v", text, n, err)
		}
	}
	for _, text := range []string{"1,234", "3,5", "0x10", "0x1p4", "1_000", "NaN", "nan", "Inf", "+Inf", "infinity", "1e3", "5.", ".", "-", "1.2.3", "12 °C", "5%", "1 234", "1e400"} {
		n := club.Number{Value: 1, Set: true}
		if err := n.UnmarshalCSV(text); err == nil || n.Set {
			t.Errorf("number %q: %v, %v", text, n, err)
		}
	}
}

func TestLists(t *testing.T) {
	var l club.List
	if err := l.UnmarshalCSV(" a; b b ;;c;"); err != nil || strings.Join(l, "|") != "a|b b|c" {
		t.Errorf("%q, %v", l, err)
	}
	// Decoding again leaves nothing of the longer list before.
	if err := l.UnmarshalCSV("d"); err != nil || strings.Join(l, "|") != "d" {
		t.Errorf("%q, %v", l, err)
	}
	if err := l.UnmarshalCSV(" "); err != nil || l != nil {
		t.Errorf("%q, %v", l, err)
	}
}

func TestDateOrder(t *testing.T) {
	const report = reportHead + "r1,mill,first,main,pot-plain,2020,ripe,9/8/2020,g1\nr2,mill,first,main,pot-plain,2020,ripe,2020-09-08,g1\n"
	for order, want := range map[string]string{"day-first": "2020-08-09", "month-first": "2020-09-08"} {
		files := map[string]string{"data/club.toml": "name = \"T\"\ndate_order = \"" + order + "\"\n", "data/reports/r.csv": report}
		c, ps := load(t, write(t, files), club.Options{})
		if len(ps) > 0 || c.Reports[0].SeenOn.String() != want || c.Reports[1].SeenOn.String() != "2020-09-08" {
			t.Errorf("%s: %v, %q", order, c.Reports[0].SeenOn, said(ps))
		}
		files["data/reports/r.csv"] = strings.ReplaceAll(report, "9/8/2020", "30/30/2020")
		_, ps = load(t, write(t, files), club.Options{})
		wantSaid := "data/reports/r.csv:2:40: seen_on: \"30/30/2020\" is not a day of the calendar read " + strings.Replace(order, "-", " ", 1)
		if len(ps) == 0 || ps[0].Error() != wantSaid {
			t.Errorf("%s: %q", order, said(ps))
		}
	}
}

// South of the equator a season runs from July to June.
func TestSouthernSeason(t *testing.T) {
	files := map[string]string{
		"data/towns.csv":     townHead + "mill,Mill,valley,-35,145,300\n",
		"data/stations.csv":  "station_id,name,latitude,longitude,elevation_m\nS1,Weir,-35,145,300\n",
		"data/reports/r.csv": reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2021-03-01,g1\nr2,mill,first,main,pot-plain,2020,ripe,2020-03-01,g1\n",
	}
	_, ps := load(t, write(t, files), club.Options{})
	want := "data/reports/r.csv:3:40: warning: seen_on 2020-03-01 is not in the season of 2020/21 | that season runs from 2020-07-01 to 2021-06-30"
	if got := said(ps); len(got) != 1 || got[0] != want {
		t.Errorf("got %q", got)
	}
}

// Every bad cell of a long table is reported at its own line, however gocsv
// is fed.
func TestManyBadCells(t *testing.T) {
	var b strings.Builder
	b.WriteString("zone_id,name\nvalley,Valley\n")
	zones := b.String()
	b.Reset()
	b.WriteString(townHead)
	const rows = 1000
	want := 0
	for i := range rows {
		lat, high := "45", "300"
		if i%3 == 0 {
			lat = "north"
			want++
		}
		if i%7 == 0 {
			high = "high"
			want++
		}
		b.WriteString("t" + strings.Repeat("i", i%50) + "-" + string(rune('a'+i/50)) + fmt.Sprintf(",T%d,valley,", i) + lat + ",7," + high + "\n")
	}
	c, ps := load(t, write(t, map[string]string{"data/zones.csv": zones, "data/towns.csv": b.String()}), club.Options{})
	if len(ps) != want || len(c.Towns) != rows {
		t.Fatalf("%d problems of %d, %d towns", len(ps), want, len(c.Towns))
	}
	for _, p := range ps {
		i := p.Place.Line - 2
		if !(i%3 == 0 && strings.HasPrefix(p.Message, "latitude") || i%7 == 0 && strings.HasPrefix(p.Message, "elevation")) {
			t.Errorf("row %d: %v", i, p)
		}
	}
	for i, w := range c.Towns {
		if w.At.Line != i+2 || w.Latitude.Set == (i%3 == 0) {
			t.Fatalf("town %d: %+v", i, w)
		}
	}
}

func TestLimits(t *testing.T) {
	defer club.SetLimits(2000, 50)()
	zones := "zone_id,name\nvalley,Valley\n\n"
	for i := range 50 {
		zones += fmt.Sprintf("z%d,Z%d\n", i, i)
	}
	_, ps := load(t, write(t, map[string]string{
		"data/zones.csv":     zones,
		"data/cultivars.csv": tiny["data/cultivars.csv"] + strings.Repeat("\n", 2001-len(tiny["data/cultivars.csv"])),
	}), club.Options{})
	want := []string{
		"data/cultivars.csv: file of 2001 bytes; the limit is 2000 | club tables are small: is this a station file?",
		"data/zones.csv:53:1: more than 50 rows | split the table, or leave out rows that are no longer needed",
	}
	if got := said(ps); !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
}

// The columns that TABLES prints in bold, in its order; for trees, mixes, pots
// and feeds, where it prints none, those without which a row says nothing.
func TestRequiredColumns(t *testing.T) {
	for file, columns := range map[string]string{
		"zones.csv":     "zone_id, name",
		"towns.csv":     "town_id, name, zone_id, latitude, longitude, elevation_m",
		"stations.csv":  "station_id, name, latitude, longitude, elevation_m",
		"crops.csv":     "crop_id, name, ripening_model, base_c, upper_c",
		"classes.csv":   "class_id, crop_id, name",
		"cultivars.csv": "cultivar_id, crop_id, name",
		"trees.csv":     "tree_id, town_id, cultivar_id",
		"reports/r.csv": "report_id, town_id, cultivar_id, crop_part, method_id, year, outcome, seen_on",
		"methods.csv":   "method_id, name, place",
		"stores.csv":    "store_id, name",
		"store-log.csv": "store_id, town_id, date, low_c, high_c, reset_on",
		"mixes.csv":     "mix_id, part, parts",
		"pots.csv":      "pot_id, litres",
		"feeds.csv":     "feed_id",
		"tasks.csv":     "task_id, name, anchor, offset_days",
	} {
		_, ps := load(t, write(t, map[string]string{"data/" + file: "x\n"}), club.Options{})
		want := "a title above the header begins with #; the header names at least: " + columns
		if !slices.ContainsFunc(ps, func(p diag.Problem) bool { return p.Place.File == "data/"+file && p.Hint == want }) {
			t.Errorf("%s: %q", file, said(ps))
		}
	}
}

func TestStationLinkIsFollowed(t *testing.T) {
	dir := write(t, nil)
	link := filepath.Join(dir, "data", "stations", "S2.csv")
	if err := os.Symlink("S1.csv", link); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	c, _ := load(t, dir, club.Options{})
	if len(c.StationFiles) != 2 || c.StationFiles[1] != link {
		t.Errorf("station files %q", c.StationFiles)
	}
}

// Whatever stands in a table: no panic, places inside the file, and blank
// dates where nothing was read.
func FuzzTable(f *testing.F) {
	for _, b := range broken {
		if strings.HasPrefix(b.file, "data/reports/") && len(b.text) < 500 {
			f.Add(b.text)
		}
	}
	f.Add("sep=;\n" + strings.ReplaceAll(reportHead, ",", ";") + "r1;mill;\"a\n\nb\";main\n")
	f.Add("\ufeff\"report_id\",\"\"\n,\n")
	dir := write(f, nil)
	if err := os.Mkdir(filepath.Join(dir, "data", "reports"), 0o755); err != nil {
		f.Fatal(err)
	}
	file := filepath.Join(dir, "data", "reports", "r.csv")
	f.Fuzz(func(t *testing.T, text string) {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(text, "\n")
		for _, aside := range []bool{false, true} {
			c, ps, err := club.Load(dir, club.Options{SetAside: aside})
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range ps {
				if p.Place.Line < 0 || p.Place.Line > len(lines) || p.Place.Line > 0 && p.Place.Column > len(lines[p.Place.Line-1])+1 {
					t.Errorf("%v is outside the file %q", p, text)
				}
				if p.Message == "" {
					t.Error("a problem without a message")
				}
			}
			for _, r := range c.Reports {
				if r.WokeOn.Date != day.None && !strings.Contains(text, "woke_on") && !strings.Contains(strings.ToLower(text), "woke_on") {
					t.Errorf("woke on %v", r.WokeOn)
				}
				if aside && (r.ID == "" || c.Town(r.TownID) == nil || c.Method(r.MethodID) == nil) {
					t.Errorf("kept %+v", r)
				}
			}
		}
	})
}
