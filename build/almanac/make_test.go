package almanac_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/station"
)

// weather writes an invented plain record: a cosine year with a slow wave on
// top, by formula. south shifts it by half a year.
func weather(t *testing.T, name string, from, to int, warmer float64, south bool) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c,precip_mm\n")
	for d := day.Of(from, 1, 1); d <= day.Of(to, 12, 31); d++ {
		phase := 2 * math.Pi * float64(d.YearDay()-201) / 365
		if south {
			phase += math.Pi
		}
		k := float64(d)
		mean := 7 + warmer + 14.5*math.Cos(phase) + 4*math.Sin(k/5.3) + 2*math.Sin(k/31.7)
		fmt.Fprintf(&b, "%s,%.1f,%.1f,%.1f\n", d, mean-5.5, mean+5.5, math.Max(0, 6*math.Sin(k/2.1)))
	}
	path := filepath.Join(t.TempDir(), name+".csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

var baseTables = map[string]string{
	"data/club.toml":     "name = \"A test club\"\n",
	"data/zones.csv":     "zone_id,name\nvalley,Valley\n",
	"data/towns.csv":     "town_id,name,zone_id,latitude,longitude,elevation_m,station_ids,night_offset_c\nlow,Low,valley,46,-70,100,,\nhigh,High,valley,46.05,-70,300,,\nhollow,Hollow,valley,46,-70,100,,-3\n",
	"data/stations.csv":  "station_id,name,latitude,longitude,elevation_m\nriver,River,46,-70,100\nhill,Hill,46.5,-70,320\n",
	"data/cultivars.csv": "cultivar_id,crop_id,name,class_id,crops_borne,pollination,skin,flavour,wood_kill_c\nlantern,fig,Lantern,fig-very-early,both,common,dark,berry,-12\npale,fig,Pale,fig-mid,main,,green,honey,-13\nsaint,fig,Saint,fig-early,both,san-pedro,,,\ntwine,fig,Twine,fig-late,main,smyrna,,,\nlemonish,citrus,Lemonish,citrus-potted,,,,,\nunclassed,fig,Unclassed,,main,,,,\n",
}

func with(changes map[string]string) map[string]string {
	out := map[string]string{}
	for k, v := range baseTables {
		out[k] = v
	}
	for k, v := range changes {
		out[k] = v
	}
	return out
}

func makeBook(t *testing.T, files map[string]string, o almanac.Options, stations ...string) *almanac.Book {
	t.Helper()
	b, err := almanac.Make(context.Background(), writeClub(t, files, stations...), o)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func town(t *testing.T, b *almanac.Book, id string) *almanac.Town {
	t.Helper()
	for i := range b.Towns {
		if string(b.Towns[i].Row.ID) == id {
			return &b.Towns[i]
		}
	}
	t.Fatalf("no town %s", id)
	return nil
}

func TestYears(t *testing.T) {
	river, hill := weather(t, "river", 1985, 2024, 0, false), weather(t, "hill", 1985, 2023, -1, false)
	b := makeBook(t, baseTables, almanac.Options{}, river, hill)
	if b.Span != (climate.Span{First: 1995, Last: 2024}) || b.Recent != (climate.Span{First: 2010, Last: 2024}) || b.PlanYear != 2025 {
		t.Errorf("span %v, recent %v, plan %d", b.Span, b.Recent, b.PlanYear)
	}
	if b.CutOff != day.Of(2024, 12, 31) {
		t.Errorf("data cut-off %v", b.CutOff)
	}
	b = makeBook(t, with(map[string]string{"data/club.toml": "name = \"x\"\nreference_years = \"1991-2020\"\nplan_year = 2030\n"}), almanac.Options{}, river, hill)
	if b.Span != (climate.Span{First: 1991, Last: 2020}) || b.PlanYear != 2030 || b.Recent.Last != 2024 {
		t.Errorf("span %v, plan %d, recent %v", b.Span, b.PlanYear, b.Recent)
	}
}

func TestNoRecord(t *testing.T) {
	// One summer alone has no usable season.
	c := writeClub(t, with(map[string]string{"data/stations/river.csv": "date,tmin_c,tmax_c\n2020-07-01,12.0,24.0\n"}))
	if _, err := almanac.Make(context.Background(), c, almanac.Options{}); !errors.Is(err, almanac.ErrNoRecord) || !errors.As(err, new(*almanac.NoRecord)) {
		t.Errorf("a club with one day of weather: %v", err)
	}
}

func TestStationToTown(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false), weather(t, "hill", 1985, 2024, -1, false))
	low, high, hollow := town(t, b, "low"), town(t, b, "high"), town(t, b, "hollow")
	if low.Lead.StationID != "river" || low.Lead.Named || low.Lead.DayShiftC != 0 || low.Lead.NightShiftC != 0 {
		t.Errorf("low: %+v", low.Lead)
	}
	// 200 m higher by 6.5 °C/km: 1.3 °C cooler by day and by night.
	if high.Lead.StationID != "river" || high.Lead.HeightM != 200 || high.Lead.DayShiftC != -1.3 || high.Lead.NightShiftC != -1.3 {
		t.Errorf("high: %+v", high.Lead)
	}
	heat := func(tn *almanac.Town) float64 { return tn.Normal("heat_cd_base10").Mean.V }
	if !(heat(high) < heat(low)) {
		t.Errorf("heat: high %v, low %v", heat(high), heat(low))
	}
	// A hollow's nights are colder, its days are not.
	if got := low.Normal("winter_min_c").Mean.V - hollow.Normal("winter_min_c").Mean.V; math.Abs(got-3) > 0.11 {
		t.Errorf("the hollow's winter minimum lies %v °C lower, want 3", got)
	}
	if low.Normal("tmax_mean_07").Mean != hollow.Normal("tmax_mean_07").Mean {
		t.Error("the hollow's days differ")
	}
	// The other way down the lapse warms days and leaves nights alone.
	c := makeBook(t, with(map[string]string{"data/stations.csv": "station_id,name,latitude,longitude,elevation_m\nriver,River,46,-70,300\n"}), almanac.Options{}, weather(t, "river", 1985, 2024, 0, false))
	if l := town(t, c, "low").Lead; l.DayShiftC != 1.3 || l.NightShiftC != 0 {
		t.Errorf("below its station: %+v", l)
	}
	warned := false
	for _, p := range c.Problems {
		warned = warned || strings.Contains(p.Message, "differs by 200 m")
	}
	if !warned {
		t.Errorf("no warning over 200 m of height: %v", c.Problems)
	}
}

// A height in feet is recognised by the station's in metres.
func TestHeightInFeet(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	for elevation, want := range map[string]string{"328": "is elevation_m in feet? 328 ft are 100 m", "600": "a station at the town's own height would tell more"} {
		b := makeBook(t, with(map[string]string{"data/towns.csv": "town_id,name,zone_id,latitude,longitude,elevation_m\nlow,Low,valley,46,-70," + elevation + "\n"}), almanac.Options{}, river)
		if !slices.ContainsFunc(b.Problems, func(p diag.Problem) bool { return p.Hint == want }) {
			t.Errorf("%s m: %v", elevation, b.Problems)
		}
	}
}

// A town that asks for a station without a file is told which one it has.
func TestNamedStationWithoutARecord(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	b := makeBook(t, with(map[string]string{"data/towns.csv": "town_id,name,zone_id,latitude,longitude,elevation_m,station_ids\nlow,Low,valley,46,-70,100,hill;river\nhigh,High,valley,46,-70,100,hill\n"}), almanac.Options{}, river)
	for _, id := range []string{"low", "high"} {
		if !slices.ContainsFunc(b.Problems, func(p diag.Problem) bool {
			return p.Message == "town "+id+": station hill, which its station_ids names, has no record; it rests on river"
		}) {
			t.Errorf("%s: %v", id, b.Problems)
		}
	}
}

func TestNamedLeadAndFiller(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	text, err := os.ReadFile(river)
	if err != nil {
		t.Fatal(err)
	}
	// Six weeks of one summer are missing at the named station.
	var kept []string
	for _, line := range strings.Split(string(text), "\n") {
		if !(line >= "2010-06-01" && line < "2010-07-15") {
			kept = append(kept, line)
		}
	}
	if err := os.WriteFile(river, []byte(strings.Join(kept, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	towns := "town_id,name,zone_id,latitude,longitude,elevation_m,station_ids\nlow,Low,valley,46,-70,100,%s\n"
	heat := func(ids string) (climate.Value, almanac.Lead) {
		b := makeBook(t, with(map[string]string{"data/towns.csv": fmt.Sprintf(towns, ids)}), almanac.Options{}, river, weather(t, "hill", 1985, 2024, -1, false))
		tn := town(t, b, "low")
		for _, s := range tn.Seasons {
			if s.Year == 2010 {
				return s.Heat, tn.Lead
			}
		}
		t.Fatal("no 2010")
		return climate.Value{}, almanac.Lead{}
	}
	if v, lead := heat("river"); v.OK || !lead.Named {
		t.Errorf("a season with six weeks missing has heat %v (lead %+v)", v, lead)
	}
	v, lead := heat("river;hill")
	if !v.OK || len(lead.Fillers) != 1 || lead.FilledMin != 44 {
		t.Errorf("filled from the hill: %v, %+v", v, lead)
	}
	if v2, lead := heat("hill"); lead.StationID != "hill" || !v2.OK {
		t.Errorf("named lead hill: %+v", lead)
	}
}

func TestOddsRows(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false))
	low := town(t, b, "low")
	rows := map[string]almanac.Odds{}
	for _, o := range low.Odds {
		if o.Method == "pot-plain" {
			rows[o.Cultivar+" "+o.Part+" "+o.Brebas] = o
		}
	}
	for _, c := range []struct{ key, reason, basis string }{
		{"lantern main removed", "", almanac.BasisClass}, {"lantern main kept", "", almanac.BasisClass}, {"lantern breba kept", "", almanac.BasisClass},
		{"pale main ", "", almanac.BasisClass}, {"saint breba kept", "", almanac.BasisClass}, {"saint main ", almanac.NoWasp, almanac.BasisClass},
		{"twine main ", almanac.NoWasp, almanac.BasisClass}, {"lemonish main ", almanac.NoModel, ""}, {"unclassed main ", "", almanac.BasisCrop},
	} {
		o, ok := rows[c.key]
		if !ok {
			t.Errorf("no row %q in %v", c.key, reflect.ValueOf(rows).MapKeys())
			continue
		}
		if o.Reason != c.reason || o.Basis != c.basis {
			t.Errorf("%q: reason %q, basis %q", c.key, o.Reason, o.Basis)
		}
		if c.reason == "" && (o.N != 30 || o.Low > o.Odds || o.High < o.Odds || o.Cool > o.Warm) {
			t.Errorf("%q: %+v", c.key, o)
		}
	}
	if len(rows) != 9 {
		t.Errorf("%d rows, want 9", len(rows))
	}
	if !(rows["lantern main kept"].Odds <= rows["lantern main removed"].Odds) {
		t.Error("keeping brebas made the main crop likelier")
	}
	// In the ground a winter below the wood's limit costs odds.
	open, protected := oddsOf(t, low.Odds, "pale", "ground-open", 0), oddsOf(t, low.Odds, "pale", "ground-protected", 0)
	if !(open.Odds <= protected.Odds) {
		t.Errorf("unprotected %v, protected %v", open.Odds, protected.Odds)
	}
	for _, w := range low.Winters {
		if w.KillLow > w.KillHigh || w.KillHigh > 1 {
			t.Errorf("%+v", w)
		}
	}
	// Each week of head start is at least as good as the one before.
	last := -1.0
	for w := 1; w <= 12; w++ {
		o := oddsOf(t, low.Weeks, "pale", "pot-head-start", w)
		if o.Odds < last {
			t.Errorf("week %d: odds fall from %v to %v", w, last, o.Odds)
		}
		last = o.Odds
	}
	curves := 0
	for _, o := range low.Odds {
		if o.Curve == nil {
			continue
		}
		curves++
		for i := 1; i < len(o.Curve); i++ {
			if o.Curve[i] < o.Curve[i-1] {
				t.Fatalf("%s %s: the share ripe falls", o.Cultivar, o.Method)
			}
		}
		if d := float64(o.Curve[52]) - o.Odds; o.Reason == "" && math.Abs(d) > 0.006 {
			t.Errorf("%s %s: the curve ends at %v, the odds are %v", o.Cultivar, o.Method, o.Curve[52], o.Odds)
		}
	}
	if curves == 0 {
		t.Error("no line has a curve")
	}
}

// differ says where two values differ in what they show; NaN equals NaN.
func differ(a, b any) string {
	return cmp.Diff(a, b, cmpopts.EquateNaNs(), cmpopts.IgnoreUnexported(almanac.Town{}))
}

// Permuting skin and flavour changes no figure (SCIENCE 11).
func TestColourSaysNothing(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	a := makeBook(t, baseTables, almanac.Options{}, river)
	swapped := strings.NewReplacer("dark,berry", "green,honey", "green,honey", "dark,berry").Replace(baseTables["data/cultivars.csv"])
	if swapped == baseTables["data/cultivars.csv"] {
		t.Fatal("nothing was swapped")
	}
	b := makeBook(t, with(map[string]string{"data/cultivars.csv": swapped}), almanac.Options{}, river)
	for i := range a.Towns {
		if d := differ(a.Towns[i], b.Towns[i]); d != "" {
			t.Errorf("figures of %s differ: %s", a.Towns[i].Row.ID, d)
		}
	}
}

func TestJobsDoNotMatter(t *testing.T) {
	files := []string{weather(t, "river", 1985, 2024, 0, false), weather(t, "hill", 1985, 2024, -1, false)}
	a, b := makeBook(t, baseTables, almanac.Options{Jobs: 1}, files...), makeBook(t, baseTables, almanac.Options{Jobs: 7}, files...)
	for i := range a.Towns {
		if d := differ(a.Towns[i], b.Towns[i]); d != "" {
			t.Errorf("town %s differs between 1 and 7 jobs: %s", a.Towns[i].Row.ID, d)
		}
	}
}

// The same weather half a year later in the south gives the same odds, give or
// take the half-day by which the halves of a year differ.
func TestSouthernClub(t *testing.T) {
	north := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false))
	tables := with(map[string]string{
		"data/towns.csv":    strings.ReplaceAll(strings.ReplaceAll(baseTables["data/towns.csv"], ",46,", ",-46,"), ",46.05,", ",-46.05,"),
		"data/stations.csv": strings.ReplaceAll(strings.ReplaceAll(baseTables["data/stations.csv"], ",46,", ",-46,"), ",46.5,", ",-46.5,"),
	})
	south := makeBook(t, tables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, true))
	n, s := town(t, north, "low"), town(t, south, "low")
	if s.Hemisphere != day.South {
		t.Fatal("not southern")
	}
	for _, method := range []string{"pot-plain", "ground-protected", "tent-unheated"} {
		a, b := oddsOf(t, n.Odds, "pale", method, 0), oddsOf(t, s.Odds, "pale", method, 0)
		if math.Abs(a.Odds-b.Odds) > 0.08 {
			t.Errorf("%s: north %v, south %v", method, a.Odds, b.Odds)
		}
	}
	for _, task := range s.Tasks {
		if task.From == 0 || task.From > task.Until {
			t.Errorf("%+v", task)
		}
	}
}

func TestTasksKeepTheirOrder(t *testing.T) {
	b := makeBook(t, baseTables, almanac.Options{}, weather(t, "river", 1985, 2024, 0, false))
	low := town(t, b, "low")
	if len(low.Tasks) == 0 {
		t.Fatal("no tasks")
	}
	dates := map[string]almanac.TaskDate{}
	for i, x := range low.Tasks {
		if x.From > x.Until {
			t.Errorf("%s ends %v before it begins %v", x.Task, x.Until, x.From)
		}
		if i > 0 && low.Tasks[i-1].Method == x.Method && low.Tasks[i-1].From > x.From {
			t.Errorf("%s out of order", x.Task)
		}
		dates[x.Method+" "+x.Task] = x
	}
	for _, p := range low.Plans {
		if p.Weeks > 0 && !(p.Wake.Rank < p.HardenOff.Rank && p.HardenOff.Rank < p.Out.Rank) {
			t.Errorf("%s: wake %d, harden off %d, out %d", p.Method, p.Wake.Rank, p.HardenOff.Rank, p.Out.Rank)
		}
		if p.Weeks > 0 && p.Out.Rank-p.Wake.Rank != day.Rank(7*p.Weeks) {
			t.Errorf("%s: %d weeks from %d to %d", p.Method, p.Weeks, p.Wake.Rank, p.Out.Rank)
		}
	}
}

func TestSeasonTables(t *testing.T) {
	records, _, err := station.ReadAll([]string{weather(t, "river", 1985, 2024, 0, false)}, 1)
	if err != nil {
		t.Fatal(err)
	}
	o := almanac.SeasonOptions{Heat: climate.DefaultHeat()}
	s := almanac.SeasonTables(records, o)
	if len(s) != 1 || s[0].ID != "river" || !s[0].Assumed || s[0].Hemisphere != day.North || s[0].Span.Last != 2024 || len(s[0].Seasons) != 40 {
		t.Errorf("%+v", s)
	}
	south := -46.0
	o.Latitude, o.Years = &south, &climate.Span{First: 1990, Last: 1999}
	s = almanac.SeasonTables(records, o)
	if s[0].Assumed || s[0].Hemisphere != day.South || s[0].Span.First != 1990 {
		t.Errorf("%+v", s[0])
	}
}

// What the book says of station files names them within the club's folder, and
// counts days, not values.
func TestStationAccount(t *testing.T) {
	river := weather(t, "river", 1985, 2024, 0, false)
	text, err := os.ReadFile(river)
	if err != nil {
		t.Fatal(err)
	}
	crossed := strings.Replace(string(text), "\n2001-07-01,", "\n2001-07-01,55.0,-20.0,0.0\n2001-07-01,", 1)
	if err := os.WriteFile(river, []byte(crossed), 0o644); err != nil {
		t.Fatal(err)
	}
	b := makeBook(t, baseTables, almanac.Options{}, river)
	for _, s := range b.Stations {
		if s.ID != "river" {
			continue
		}
		if s.DaysSetAside != 1 || s.Account.SetAsideTotal() < 2 {
			t.Errorf("%d days for %d values", s.DaysSetAside, s.Account.SetAsideTotal())
		}
		for _, x := range s.Account.SetAside {
			if x.Place.File != "data/stations/river.csv" {
				t.Errorf("a value of %s", x.Place.File)
			}
		}
	}
	for _, p := range b.Problems {
		if filepath.IsAbs(p.Place.File) {
			t.Errorf("%v", p)
		}
	}
}
