package tables

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/sync/errgroup"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/words"
)

// Download is one file of the downloads folder: Name is its slash path in
// there.
type Download struct {
	Name, Title, Description string
	Rows                     int // data rows; 0 for datapackage.json
	Size                     int // bytes
	// Said is the title as a page says it, with a place for the name of the
	// town whose id is Town.
	Said, Town string
}

// PackageName is the file that describes the tables beside it.
const PackageName = "datapackage.json"

// intervalLevel is the level of the intervals of odds.
const intervalLevel = 0.9

// resource is what the package says about a table.
type resource struct {
	path, title, description string
	town, townName           string // where it is of one town; its name goes into the title
}

// toMake is a table that is made when it is called for. Of a town's it is known
// beforehand how many rows it has, and empty makes it without them.
type toMake struct {
	resource
	make, empty func() Table
	rows        int
}

// called is the title in English.
func (r resource) called() string {
	if r.town == "" {
		return r.title
	}
	return fmt.Sprintf(r.title, r.townName)
}

// Downloads hands over all files of the downloads folder, several at a time:
// the tables as CSV, and last datapackage.json, which describes them. They come
// back in order, without their bytes, which are many in a large club. Columns
// that hold nobody's figures yet are left out rather than left empty, save
// growers and reports, which are empty where there are fewer than three growers.
//
// kept, which may be nil, tells of a town's file that is in its place already,
// with its size in bytes and its SHA-256.
func Downloads(b *almanac.Book, jobs int, kept func(town, name string) (size int, sum [32]byte, ok bool, err error), put func(town, name string, data []byte) error) ([]Download, error) {
	tables := resources(b)
	ds, described := make([]Download, len(tables), len(tables)+1), make([]packageResource, len(tables))
	var g errgroup.Group
	g.SetLimit(max(jobs, 1))
	for i := range tables {
		t := &tables[i]
		g.Go(func() error {
			ds[i] = Download{Name: t.path, Title: t.called(), Description: t.description, Said: t.title, Town: t.town}
			if t.town != "" && kept != nil {
				size, sum, ok, err := kept(t.town, t.path)
				if ok || err != nil {
					ds[i].Size, ds[i].Rows = size, t.rows
					described[i] = describe(t.resource, t.empty(), size, sum)
					return err
				}
			}
			made := t.make()
			var csv bytes.Buffer
			if err := made.CSV(&csv); err != nil {
				return err
			}
			ds[i].Size, ds[i].Rows = csv.Len(), len(made.Rows)
			described[i] = describe(t.resource, made, csv.Len(), sha256.Sum256(csv.Bytes()))
			return put(t.town, t.path, csv.Bytes())
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	data, err := dataPackage(b, described)
	if err != nil {
		return nil, err
	}
	title := words.Mark("Data package")
	return append(ds, Download{Name: PackageName, Title: title, Said: title, Size: len(data),
		Description: words.Mark("what every file and column holds, in the form of the Frictionless Data Package")}), put("", PackageName, data)
}

// resources are the tables, each made when it is called for.
func resources(b *almanac.Book) []toMake {
	type table struct {
		path, title, description string
		make                     func(*almanac.Book) Table
	}
	list := []table{
		{"stations.csv", words.Mark("Stations"), words.Mark("the weather stations that the figures rest on"), stationsTable},
		{"seasons.csv", words.Mark("Seasons"), words.Mark("figures of every season by town"), seasonsOfTowns},
		{"normals.csv", words.Mark("Normals"), words.Mark("what is usual in the reference years, with percentiles and trend, by town"), normalsOfTowns},
		{"spring-risk.csv", words.Mark("Freezes still to come"), words.Mark("chance that a low still comes after a day of spring"), springRiskTable},
		{"ground.csv", words.Mark("Winter in the ground"), words.Mark("chance that a winter kills the wood of a tree in the ground"), groundTableOf},
		{"winter.csv", words.Mark("Winter in store"), words.Mark("how cold and how warm a store gets over each winter, by town, crop and wrapping"), winterTable},
		{"tents.csv", words.Mark("Tents"), words.Mark("electricity that a heated tent takes, by town and start date"), tentsTable},
		{"tasks.csv", words.Mark("Jobs of the year"), words.Mark("when each job is due in the plan year, by town and method"), tasksTable},
		{"what-it-takes.csv", words.Mark("What it takes"), words.Mark("the ways of growing that ripen a crop in 5, 8 or 9 years of 10 and that no other beats, by town"), whatItTakesTable},
		{"heat-needs.csv", words.Mark("Heat needs"), words.Mark("the heat each crop part needs, and how many reports it is learned from"), heatNeedsTable},
		{"how-good.csv", words.Mark("How good it is"), words.Mark("how well reports were predicted without their own grower's, against two plain rules"), howGoodTable},
		{"changes.csv", words.Mark("Changes"), words.Mark("what has moved since the club last closed a year"), changesTable},
		{"set-aside.csv", words.Mark("Set aside"), words.Mark("rows and values of the input that were not used; where a station has very many, the first of them"), setAsideTable},
	}
	if len(b.Towns) <= almanac.ManyTowns {
		list = append(list, table{"odds.csv", words.Mark("Ripening odds"), words.Mark("chance that a cultivar ripens, by town and method, at each method's usual weeks of head start"),
			func(b *almanac.Book) Table { return oddsTable("odds", b.Towns, usual) }})
	}
	var out []toMake
	for _, t := range list {
		out = append(out, toMake{resource: resource{t.path, t.title, t.description, "", ""}, make: func() Table { return t.make(b) }})
	}
	for i := range b.Towns {
		id, name, one := string(b.Towns[i].Row.ID), string(b.Towns[i].Row.Name), b.Towns[i:i+1]
		t := toMake{resource: resource{"weeks/" + id + ".csv", words.Mark("Weeks of head start, %s"), words.Mark("the ripening odds for every whole week of head start"), id, name}}
		table, of := "weeks-"+id, everyWeek
		if len(b.Towns) > almanac.ManyTowns {
			t.resource = resource{"odds/" + id + ".csv", words.Mark("Ripening odds, %s"), words.Mark("chance that a cultivar ripens, by method, at each method's usual weeks of head start"), id, name}
			table, of = "odds-"+id, usual
		}
		t.make, t.empty, t.rows = func() Table { return oddsTable(table, one, of) }, func() Table { return oddsTable(table, nil, of) }, len(of(&one[0]))
		out = append(out, t)
	}
	return out
}

func seasonsOfTowns(b *almanac.Book) Table {
	ids, seasons := make([]string, len(b.Towns)), make([][]climate.Season, len(b.Towns))
	for i := range b.Towns {
		ids[i], seasons[i] = string(b.Towns[i].Row.ID), b.Towns[i].Seasons
	}
	return SeasonsTable("town_id", ids, seasons, climate.DefaultHeat().Base)
}

func normalsOfTowns(b *almanac.Book) Table {
	ids, hemispheres, normals := make([]string, len(b.Towns)), make([]day.Hemisphere, len(b.Towns)), make([][]climate.Normal, len(b.Towns))
	for i := range b.Towns {
		t := &b.Towns[i]
		ids[i], hemispheres[i], normals[i] = string(t.Row.ID), t.Hemisphere, t.Normals
	}
	return NormalsTable("town_id", ids, hemispheres, normals)
}

func stationsTable(b *almanac.Book) Table {
	t := Table{Name: "stations", Key: []string{"station_id"}, Columns: []Column{
		{Name: "station_id", Type: "string", Description: idDescriptions["station_id"]},
		{Name: "name", Type: "string", Description: "name of the station"},
		{Name: "latitude", Type: "number", Unit: "°", Description: "north is positive"},
		{Name: "longitude", Type: "number", Unit: "°", Description: "east is positive"},
		{Name: "elevation_m", Type: "number", Unit: "m", Description: "height above sea level"},
		{Name: "first_year", Type: "year", Description: "calendar year of the first day with a value"},
		{Name: "last_year", Type: "year", Description: "calendar year of the last day with a value"},
		{Name: "valid_years", Type: "integer", Unit: "years", Description: "seasons with a valid heat sum"},
		{Name: "days_set_aside", Type: "integer", Unit: "days", Description: "days with a value that was not used"},
		{Name: "credit", Type: "string", Description: "whom to name when using the record"},
		{Name: "licence", Type: "string", Description: "terms of the record"},
	}}
	for _, s := range b.Stations {
		year := func(d day.Date) string {
			if d == day.None || s.First == day.None || s.Last < s.First {
				return ""
			}
			return strconv.Itoa(d.Year())
		}
		t.Rows = append(t.Rows, []string{s.ID, s.Name, number(s.Latitude, -1), number(s.Longitude, -1), number(s.ElevationM, -1),
			year(s.First), year(s.Last), strconv.Itoa(s.ValidYears), strconv.Itoa(s.DaysSetAside), s.Credit, s.Licence})
	}
	slices.SortStableFunc(t.Rows, func(a, b []string) int { return cmp.Compare(a[0], b[0]) })
	return t
}

func usual(t *almanac.Town) []almanac.Odds     { return t.Odds }
func everyWeek(t *almanac.Town) []almanac.Odds { return t.Weeks }

func oddsTable(name string, towns []almanac.Town, of func(*almanac.Town) []almanac.Odds) Table {
	share := func(name, description string) Column {
		return Column{Name: name, Type: "number", Description: description}
	}
	ripe := func(p, words string) Column {
		return Column{Name: "first_ripe_p" + p, Type: "string", Pattern: monthDayOrNone,
			Description: "month and day by which " + words + " of all years have a first ripe fruit; none: never so many"}
	}
	t := Table{Name: name, Key: []string{"town_id", "cultivar_id", "crop_part", "method_id", "head_start_weeks", "brebas"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "cultivar_id", Type: "string", Description: "cultivar"},
		{Name: "crop_part", Type: "string", Description: "main crop, or the brebas on last year's wood", Allowed: []string{"main", "breba"}},
		{Name: "method_id", Type: "string", Description: "way of growing"},
		{Name: "head_start_weeks", Type: "integer", Unit: "weeks", Description: "weeks indoors before the pot moves out"},
		{Name: "brebas", Type: "string", Description: "whether brebas are kept or removed; empty where the cultivar bears one crop", Allowed: []string{"kept", "removed"}},
		{Name: "years_first", Type: "year", Description: "first season that counted"},
		{Name: "years_last", Type: "year", Description: "last season that counted"},
		{Name: "years", Type: "integer", Unit: "years", Description: "seasons that counted: those with a valid heat sum"},
		{Name: "ripe_years", Type: "number", Unit: "years", Description: "sum of the yearly chances"},
		share("odds", "share of years with ripe fruit, across gardens"),
		share("odds_low", "lower end of the interval of odds"),
		share("odds_high", "upper end of the interval of odds"),
		share("interval_level", "level of that interval"),
		share("odds_cool_garden", "odds in a cool garden of the town"),
		share("odds_warm_garden", "odds in a warm garden of the town"),
		{Name: "likelihood", Type: "string", Description: "likelihood term of the IPCC"},
		{Name: "reports", Type: "integer", Description: "reports behind the heat need; empty where they are of one or two growers"},
		{Name: "growers", Type: "integer", Description: "growers behind the heat need; empty where one or two"},
		{Name: "basis", Type: "string", Description: "what the heat need rests on: reports, cultivar-row, class or crop"},
		ripe("10", "10 %"), ripe("50", "half"), ripe("90", "90 %"),
		share("not_finished_share", "share of years without ripe fruit"),
		share("crop_share", "mean share of the crop that ripens"),
		{Name: "set_backs_per_10", Type: "number", Unit: "years", Description: "years in ten in which a spring freeze kills the shoots"},
		{Name: "carried_nights_mean", Type: "number", Unit: "nights", Description: "nights a year that pots are carried in, mean"},
		{Name: "carried_nights_p90", Type: "integer", Unit: "nights", Description: "the same, not exceeded in 9 years of 10"},
		{Name: "energy_kwh_mean", Type: "number", Unit: "kWh", Description: "electricity a year of a tent's heater, mean; 0 without one"},
		{Name: "energy_kwh_p90", Type: "number", Unit: "kWh", Description: "the same, not exceeded in 9 years of 10"},
		{Name: "reason", Type: "string", Description: "why there are no odds, or none but zero", Allowed: []string{"no-model", "no-wasp", "no-heat-need", "no-years"}},
	}}
	for i := range towns {
		for k := range of(&towns[i]) {
			t.Rows = append(t.Rows, oddsRow(&towns[i], &of(&towns[i])[k], len(t.Columns)))
		}
	}
	return t
}

func oddsRow(t *almanac.Town, o *almanac.Odds, columns int) []string {
	row := make([]string, 0, columns)
	row = append(row, string(t.Row.ID), o.Cultivar, o.Part, o.Method, strconv.Itoa(o.Weeks), o.Brebas)
	if o.Reason != "" {
		for len(row) < columns-1 {
			row = append(row, "")
		}
		if o.Reason == "no-wasp" { // nothing ripens: that is an answer
			row[10] = number(0, 2)
		}
		return append(row, o.Reason)
	}
	ripe := func(i int) string {
		if o.FirstRipe[i].None {
			return none
		}
		return monthDay(t.Hemisphere, o.FirstRipe[i].Rank)
	}
	return append(row, strconv.Itoa(o.Years.First), strconv.Itoa(o.Years.Last), strconv.Itoa(o.N), number(o.RipeYears, 1),
		number(o.Odds, 2), number(o.Low, 2), number(o.High, 2), number(intervalLevel, 1), number(o.Cool, 2), number(o.Warm, 2),
		o.Likelihood, counted(o.Reports, o.Growers), counted(o.Growers, o.Growers), o.Basis, ripe(0), ripe(1), ripe(2), number(1-o.Odds, 2), number(o.CropShare, 2),
		number(o.SetBacksPer10, 1), number(o.CarriedMean, 1), number(o.CarriedP90, 0), number(o.KWhMean, 0), number(o.KWhP90, 0), "")
}

func groundTableOf(b *almanac.Book) Table {
	uncover := func(name, words string) Column {
		return Column{Name: name, Type: "string", Pattern: monthDayOrNone,
			Description: "month and day after which -4.4 °C (24 °F) still comes in " + words + "; empty for a method without a cover"}
	}
	t := Table{Name: "ground", Key: []string{"town_id", "cultivar_id", "method_id"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "cultivar_id", Type: "string", Description: "cultivar"},
		{Name: "method_id", Type: "string", Description: "way of growing in the ground"},
		{Name: "kill_chance_low", Type: "number", Description: "mean chance a winter that the wood is killed, where the cover helps most"},
		{Name: "kill_chance_high", Type: "number", Description: "the same, where it helps least"},
		{Name: "last_kill_winter", Type: "string", Pattern: `none|\d{4}`, Description: "season after the last winter that would more likely than not have killed it"},
		uncover("uncover_first", "1 spring of 5"), uncover("uncover_last", "1 spring of 10"),
	}}
	covers := map[string]bool{}
	for _, m := range b.Club.Methods {
		covers[string(m.ID)] = m.WinterGainHighC.Or(0) > 0 || m.WinterGainLowC.Or(0) > 0
	}
	for i := range b.Towns {
		town := &b.Towns[i]
		after := func(p int) string {
			n := town.Normal("last_spring_freeze_m44")
			switch {
			case n == nil || !n.P[p].OK:
				return ""
			case n.P[p].None:
				return none
			}
			return monthDay(town.Hemisphere, day.Rank(n.P[p].V))
		}
		for _, w := range town.Winters {
			last, from, until := none, "", ""
			if w.LastKillWinter != 0 {
				last = strconv.Itoa(w.LastKillWinter)
			}
			if covers[w.Method] {
				from, until = after(7), after(8)
			}
			t.Rows = append(t.Rows, []string{string(town.Row.ID), w.Cultivar, w.Method, number(w.KillLow, 2), number(w.KillHigh, 2), last, from, until})
		}
	}
	return t
}

func tasksTable(b *almanac.Book) Table {
	t := Table{Name: "tasks", Key: []string{"town_id", "method_id", "task_id"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "method_id", Type: "string", Description: "way of growing"},
		{Name: "task_id", Type: "string", Description: "job of the year"},
		{Name: "from", Type: "date", Description: "first day it is due in the plan year"},
		{Name: "until", Type: "date", Description: "last day"},
	}}
	for i := range b.Towns {
		for _, d := range b.Towns[i].Tasks {
			t.Rows = append(t.Rows, []string{string(b.Towns[i].Row.ID), d.Method, d.Task, d.From.String(), d.Until.String()})
		}
	}
	slices.SortStableFunc(t.Rows, func(a, b []string) int { return slices.Compare(a[:3], b[:3]) })
	return t
}

// springRiskTable lists the chance of a low still to come, by town and day.
func springRiskTable(b *almanac.Book) Table {
	t := Table{Name: "spring-risk", Key: []string{"town_id", "date"}, Columns: []Column{
		{Name: "town_id", Type: "string", Description: idDescriptions["town_id"]},
		{Name: "date", Type: "string", Pattern: `\d{2}-\d{2}`, Description: "month and day"},
	}}
	order := [4]int{climate.P22, climate.Zero, climate.M22, climate.M44}
	suffixes := [4]string{climate.P22: "_p22", climate.Zero: "_0", climate.M22: "_m22", climate.M44: "_m44"}
	for _, k := range order {
		t.Columns = append(t.Columns, Column{Name: "chance" + suffixes[k], Type: "number", Description: figureWords("spring_risk" + suffixes[k])})
	}
	for i := range b.Towns {
		town := &b.Towns[i]
		for _, d := range town.SpringRisk {
			row := []string{string(town.Row.ID), monthDay(town.Hemisphere, d.Rank)}
			for _, k := range order {
				row = append(row, value(d.Chance[k], 2))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

func setAsideTable(b *almanac.Book) Table {
	t := Table{Name: "set-aside", Columns: []Column{
		{Name: "file", Type: "string", Description: "file in the club's folder"},
		{Name: "line", Type: "integer", Description: "line, counted from 1"},
		{Name: "column", Type: "integer", Description: "byte in the line, counted from 1"},
		{Name: "reason", Type: "string", Description: "why it was not used; a suspect that is used all the same says so"},
	}}
	whole := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	type row struct {
		file         string
		line, column int
		reason       string
	}
	var rows []row
	for _, p := range b.Club.Dropped {
		rows = append(rows, row{p.Place.File, p.Place.Line, p.Place.Column, p.Message})
	}
	for i := range b.Reports {
		if r := &b.Reports[i]; r.Verdict != almanac.ReportUsed && r.Row != nil {
			rows = append(rows, row{r.Row.At.File, r.Row.At.Line, r.Row.At.Column, reportReason(r)})
		}
	}
	for _, s := range b.Stations {
		for _, a := range s.Account.SetAside {
			rows = append(rows, row{a.Place.File, a.Place.Line, a.Place.Column, strings.TrimPrefix(a.Element+": ", "row: ") + a.Reason})
		}
	}
	for _, s := range b.Stations {
		for _, x := range s.Account.Suspects {
			if x.Used {
				file := strings.Join(s.Account.Files, "; ")
				rows = append(rows, row{file: file, reason: fmt.Sprintf("%s: suspect but used: %s, %s to %s: %s", x.Element, x.Kind, x.First, x.Last, x.Reason)})
			}
		}
	}
	slices.SortFunc(rows, func(a, b row) int {
		return cmp.Or(cmp.Compare(a.file, b.file), cmp.Compare(a.line, b.line), cmp.Compare(a.column, b.column), cmp.Compare(a.reason, b.reason))
	})
	for _, r := range rows {
		t.Rows = append(t.Rows, []string{r.file, whole(r.line), whole(r.column), r.reason})
	}
	return t
}
