package page_test

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/page"
	"ripeward/build/station"
)

var keepSite = flag.String("keep-site", "", "write the demonstration club's site into this `folder` too, to be looked at")

// demo is the demonstration club's book, made once for all tests, in English
// alone: what is common to languages need not be looked at twice.
var demo = sync.OnceValues(func() (*almanac.Book, error) {
	c, problems, err := club.Load("../..", club.Options{})
	if err != nil {
		return nil, err
	}
	if n := problems.Count(diag.Error); n > 0 {
		return nil, fmt.Errorf("%d errors in the demonstration club", n)
	}
	c.Settings.Languages = []string{"en"}
	return almanac.Make(context.Background(), c, almanac.Options{})
})

func demoBook(t testing.TB) *almanac.Book {
	t.Helper()
	b, err := demo()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// render returns the files of a site.
func render(t testing.TB, b *almanac.Book, o page.Options) (map[string][]byte, diag.Problems) {
	t.Helper()
	files := map[string][]byte{}
	var mu sync.Mutex
	problems, err := page.Render(b, o, func(path string, data []byte) error {
		mu.Lock()
		defer mu.Unlock()
		if _, twice := files[path]; twice {
			return fmt.Errorf("%s is written twice", path)
		}
		files[path] = data
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files, problems
}

// demoPages is the demonstration club's site, rendered once for all tests,
// which only read it.
var demoPages struct {
	once  sync.Once
	files map[string][]byte
}

func demoSite(t testing.TB) map[string][]byte {
	t.Helper()
	demoPages.once.Do(func() {
		files, problems := render(t, demoBook(t), page.Options{Content: os.DirFS("../../content"), Version: "0.0.0-test"})
		for _, p := range problems {
			if p.Severity > diag.Note {
				t.Errorf("the demonstration's content: %v", p)
			}
		}
		if *keepSite != "" {
			writeSite(t, files, *keepSite)
		}
		demoPages.files = files
	})
	if demoPages.files == nil {
		t.Fatal("the demonstration's site could not be rendered")
	}
	return demoPages.files
}

func writeSite(t testing.TB, files map[string][]byte, folder string) {
	t.Helper()
	for p, data := range files {
		at := filepath.Join(folder, filepath.FromSlash(p))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func num(v float64) club.Number { return club.Number{Value: v, Set: true} }

func whole(v int) club.Whole { return club.Whole{Value: v, Set: true} }

func value(v float64) climate.Value { return climate.Value{V: v, OK: true} }

// hard is a small invented book with everything that is awkward: names full of
// markup, a southern town, a town with next to no data, US units, an address
// under a sub-path, a class without a need, crops without odds.
func hard() *almanac.Book {
	c := &club.Club{
		Settings: club.Settings{Name: `Figs & <b>Friends</b> "Quoted"`, Tagline: "Odd names", HomeUnits: "us", SiteURL: "https://almanac.example.org/figs/",
			Notice: "Everything here is invented <i>& odd</i>.", LapseCPerKm: 6.5, HoursPerWeek: 1, DataLicence: "CC0", Contact: "club@example.org"},
		Zones: []club.Zone{{ID: "north", Name: "North & <up>", About: "Hills"}, {ID: "south", Name: "South"}, {ID: "empty", Name: "Nobody lives here"}},
		Towns: []club.Town{{ID: "aa", Name: `A&A's "Town"`, ZoneID: "north", Latitude: num(45)}, {ID: "bb", Name: "<script>alert(1)</script>", ZoneID: "south", Latitude: num(-37)}},
		Crops: []club.Crop{
			{ID: "fig", Name: "Fig", Latin: "Ficus carica", RipeningModel: "first-ripe-heat", BaseC: num(10), UpperC: num(30), Source: "judgement & more"},
			{ID: "citrus", Name: "Citrus", RipeningModel: "none"},
		},
		Classes:   []club.Class{{ID: "early", CropID: "fig", Name: "Early", MainHeatCd: num(1300), Source: "seed"}, {ID: "none", CropID: "fig", Name: "Unknown"}},
		Cultivars: []club.Cultivar{{ID: "one", CropID: "fig", Name: `One "<em>1</em>"`, ClassID: "early", CropsBorne: "both", Pollination: "common", WoodKillC: num(-12.5), Notes: "a < b & c"}, {ID: "two", CropID: "fig", Name: "Two", ClassID: "none", CropsBorne: "main", Pollination: "smyrna"}, {ID: "lemon", CropID: "citrus", Name: "Lemonish", WoodKillC: num(-3)}},
		Methods: []club.Method{{ID: "pot", Name: "Plain pot", Place: "pot", Wake: "natural", Cautions: "sap;lifting;keep <calm>"},
			{ID: "early-pot", Name: "Pot with a head start", Place: "pot", Wake: "planned", HeadStartWeeks: whole(1), HeadStartMax: whole(2), CarryBelowC: num(2), MinutesPerCarry: num(10)},
			{ID: "ground", Name: "In the ground", Place: "ground", Wake: "natural"}},
		Tasks: []club.Task{{ID: "wake", Name: "Wake & shake", Anchor: "wake", Why: "Because <why>", Caution: "electricity;mind the <cat>", Link: "waking-and-hardening-off#hardening-off"},
			{ID: "stray", Name: "Stray", Link: "no-such-guide"}},
		Dropped: diag.Problems{{Place: diag.Place{File: "data/towns.csv", Line: 3, Column: 2}, Severity: diag.Error, Message: "latitude <x> is no number", Hint: "write 45.1"}},
	}
	b := &almanac.Book{Club: c, Span: climate.Span{First: 1991, Last: 2020}, Recent: climate.Span{First: 2006, Last: 2020}, PlanYear: 2021, CutOff: day.Of(2020, 12, 31),
		Stations: []almanac.Station{{ID: "ST1", Name: `Field & "Farm"`, Latitude: math.NaN(), Longitude: math.NaN(), ElevationM: math.NaN(), First: day.Of(1991, 1, 1), Last: day.Of(2020, 12, 31), ValidYears: 30,
			Account: station.Account{Dialects: []string{"plain-c", "unheard-of"}, SetAsideCounts: map[string]int{"tmin above tmax": 3}, SetAside: []station.SetAside{{Place: diag.Place{File: "data/stations/a<b.csv", Line: 9}, Element: "tmin", Date: day.Of(2000, 1, 1), Reason: "tmin above tmax"}}}}},
		Problems: diag.Problems{{Place: diag.Place{File: "data/stations/a<b.csv"}, Severity: diag.Warning, Message: "coordinates differ by 0.1°"}},
	}
	b.Towns = []almanac.Town{fullTown(c.Towns[0]), {Row: c.Towns[1], Hemisphere: day.South, Lead: almanac.Lead{StationID: "ST1"}}}
	learned(b)
	return b
}

func fullTown(row club.Town) almanac.Town {
	t := almanac.Town{Row: row, Hemisphere: day.North, Lead: almanac.Lead{StationID: "ST1", DistanceKm: 12.3, HeightM: -40, DayShiftC: 0.3, Fillers: []string{"ST1"}, FilledMin: 3, FilledMax: 1}}
	dates := func(measure string, from float64) climate.Normal {
		n := climate.Normal{Measure: measure, Unit: "date", Span: climate.Span{First: 1991, Last: 2020}, Years: 30, YearsWith: 30, Enough: true, Mean: value(from + 10)}
		for i := range n.P {
			n.P[i] = climate.Point{V: from + 3*float64(i), OK: true}
		}
		return n
	}
	for _, s := range []string{"_p22", "_0", "_m22", "_m44"} {
		t.Normals = append(t.Normals, dates("last_spring_freeze"+s, 110), dates("first_autumn_freeze"+s, 265))
	}
	// Hardly a winter without such a freeze, but some autumns.
	t.Normals[7].P[8].None = true
	free := dates("freeze_free_days_0", 130)
	cold := climate.Normal{Measure: "winter_min_c", Unit: "°C", Span: climate.Span{First: 1991, Last: 2020}, Years: 30, YearsWith: 30, Enough: true, Mean: value(-22.4), Trend: value(0.02), TrendP: value(0.9)}
	for i := range cold.P {
		cold.P[i] = climate.Point{V: -26 + float64(i), OK: true}
	}
	heat := climate.Normal{Measure: "heat_cd_base10", Unit: "°C·d", Span: cold.Span, Years: 30, YearsWith: 30, Enough: true, Mean: value(1140), Trend: value(35), TrendP: value(0.01)}
	t.Normals = append(t.Normals, free, cold, heat, climate.Normal{Measure: "hardiness_zone", Zone: "5b"})
	t.Recent = t.Normals
	for y := 1991; y <= 2020; y++ {
		s := climate.Season{Year: y, Heat: value(1100 + 5*float64(y%9)), WinterMin: value(-20 - float64(y%7))}
		if y == 2003 {
			s.Heat.OK = false
		}
		t.Seasons = append(t.Seasons, s)
	}
	odds := func(cultivar, part, method string, weeks int, share float64) almanac.Odds {
		o := almanac.Odds{Cultivar: cultivar, Part: part, Method: method, Weeks: weeks, N: 30, Odds: share, Low: share - 0.1, High: min(share+0.1, 1), Cool: share / 2, Warm: min(1, share*1.5), Likelihood: "likely", Basis: "class", Mu: 1300, Sd: 145, CropShare: share * 0.8, Hours: 2 + float64(weeks)}
		for i := range o.FirstRipe {
			o.FirstRipe[i] = almanac.Point{Rank: day.Rank(220 + 15*i), None: share < 0.9 && i == 2}
		}
		o.Curve = new(almanac.Curve)
		for i := range o.Curve {
			o.Curve[i] = float32(share / (1 + math.Exp(float64(35-i))))
		}
		return o
	}
	for _, m := range []string{"early-pot", "ground", "pot"} {
		weeks := map[string]int{"early-pot": 1}[m]
		t.Odds = append(t.Odds, odds("one", "breba", m, weeks, 0.97), odds("one", "main", m, weeks, 0.82),
			almanac.Odds{Cultivar: "two", Part: "main", Method: m, Reason: "no-wasp"}, almanac.Odds{Cultivar: "lemon", Part: "main", Method: m, Reason: "no-model"})
		t.Endings = append(t.Endings, almanac.Ending{Method: m, Freeze: 20, Cold: 9, ShortDays: 1, LastDay: [3]almanac.Point{{Rank: 270}, {Rank: 280}, {Rank: 290}}, HeatByYear: []almanac.YearHeat{{Year: 1991, Heat: 900, LeafOut: 140, LastDay: 280}}})
		t.Plans = append(t.Plans, almanac.Plan{Method: m, DormantOut: almanac.Point{Rank: 105}, HardenOff: almanac.Point{Rank: 125}, Out: almanac.Point{Rank: 139}, Wake: almanac.Point{Rank: 132, None: weeks == 0}, In: almanac.Point{Rank: 300}, Weeks: weeks})
		t.Tasks = append(t.Tasks, almanac.TaskDate{Method: m, Task: "wake", From: day.Of(2021, 5, 12), Until: day.Of(2021, 5, 19)}, almanac.TaskDate{Method: m, Task: "stray", From: day.Of(2021, 3, 1), Until: day.None})
	}
	for w := range 3 {
		o := odds("one", "main", "early-pot", w, 0.7+0.1*float64(w))
		o.FirstRipe, o.Curve = [3]almanac.Point{{None: true}, {None: true}, {None: true}}, nil
		t.Weeks = append(t.Weeks, o)
	}
	t.Winters = []almanac.WinterLoss{{Cultivar: "one", Method: "ground", KillLow: 0.3, KillHigh: 0.6, LastKillWinter: 2019}}
	for i := range t.Frozen0 {
		t.Frozen0[i] = float32(1 / (1 + math.Exp(float64(39-i))))
		t.FrozenM22[i] = float32(1 / (1 + math.Exp(float64(41-i))))
	}
	return t
}

// text returns a page of a site, or fails.
func text(t testing.TB, files map[string][]byte, at string) string {
	t.Helper()
	data, ok := files[at]
	if !ok {
		t.Fatalf("there is no page %s", at)
	}
	return string(data)
}

// isPage tells the site's pages; pages in one file, made to be carried away,
// have a test of their own.
func isPage(p string) bool { return strings.HasSuffix(p, ".html") && !oneFile.MatchString(p) }
