package main

import (
	"cmp"
	"errors"
	"fmt"
	"runtime"
	"strconv"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/station"
	"ripeward/build/tables"
)

var seasonCommand = command{
	name: "season", args: "FILE...", summary: "print the season figures of daily station files, without a club",
	details: `Files are public daily records in any form that a club can use, plain or packed
with gzip. Without --years the last 30 years are taken, to the last complete
season of each station.
`,
	exits: "0 done, 1 a file could not be read or has no record, 2 wrong use.",
	examples: []string{
		"ripeward season CA006105976.dly.gz                     the last 30 seasons",
		"ripeward season --table normals --years 1991-2020 FILE what was usual",
		"ripeward season --list                                 what each figure is",
	},
	flags: func(fs *flagSet, o *options) {
		fs.choice("table", &o.table, "figures of each season, or what is usual", "seasons", "normals")
		fs.Func("years", "seasons to show, `FIRST-LAST`; default: the last 30", func(s string) (err error) {
			o.years, err = parseYears(s)
			return err
		})
		fs.number("base", "base temperature of the heat sum in °C, `C`; default 10", -50, 50, func(v float64) { o.heat.Base = v })
		fs.number("upper", "upper cut-off of the heat sum in °C, `C`; default: none", -50, 80, func(v float64) { o.heat.Upper = v })
		fs.choice("degree-days", &o.degreeDays, "a day's heat by a sine curve or by the daily mean", "sine", "mean")
		fs.number("latitude", "latitude of the stations, `DEGREES`; south is negative", -90, 90, func(v float64) { o.latitude = &v })
		fs.BoolVar(&o.listNames, "list", false, "list the measures with unit and definition")
	},
	run: (*app).season,
}

func (a *app) season(files []string) int {
	if a.heat.Upper <= a.heat.Base {
		return a.misused(fmt.Errorf("--upper %g is not above --base %g", a.heat.Upper, a.heat.Base), "the heat sum counts what lies between them")
	}
	if a.listNames {
		if err := a.showTable(tables.MeasuresTable(a.heat.Base)); err != nil {
			return a.failed(err)
		}
		return done
	}
	if len(files) == 0 {
		return a.misused(errors.New("season needs a file"), "ripeward season FILE...")
	}
	records, problems, err := station.ReadAll(files, cmp.Or(a.jobs, runtime.GOMAXPROCS(0)))
	if a.quiet {
		list(a.stderr, atLeast(diag.Error, problems))
	} else {
		list(a.stderr, problems)
	}
	code := done
	if problems.Count(diag.Error) > 0 {
		code = wrong
	}
	if err != nil {
		code = a.failed(err)
	}
	if len(records) == 0 {
		if code == done {
			code = a.failed(errors.New("no daily record in these files"))
		}
		return code
	}
	a.heat.Mean = a.degreeDays == "mean"
	stations := almanac.SeasonTables(records, almanac.SeasonOptions{Years: a.years, Heat: a.heat, Latitude: a.latitude})
	if err := a.showTable(a.seasonTable(stations)); err != nil {
		return a.failed(err)
	}
	return code
}

func (a *app) seasonTable(stations []almanac.StationSeasons) tables.Table {
	ids, hemispheres := make([]string, len(stations)), make([]day.Hemisphere, len(stations))
	seasons, normals := make([][]climate.Season, len(stations)), make([][]climate.Normal, len(stations))
	for i, t := range stations {
		ids[i], hemispheres[i], normals[i] = t.ID, t.Hemisphere, t.Normals
		for _, s := range t.Seasons {
			if t.Span.Has(s.Year) {
				seasons[i] = append(seasons[i], s)
			}
		}
		if t.Assumed {
			a.note(t.ID+": latitude not known, the north is assumed", "give it with --latitude")
		}
		if t.Span.Years() < 1 {
			a.note(t.ID+": no usable season", "a season needs a low and a high on nearly every day from March to October (south: September to April)")
			normals[i] = nil
		}
	}
	if a.table == "normals" {
		return tables.NormalsTable("station_id", ids, hemispheres, normals)
	}
	return tables.SeasonsTable("station_id", ids, seasons, a.heat.Base)
}

func parseYears(s string) (*climate.Span, error) {
	bad := &wrongUse{"is not a span of years", "--years 1981-2010"}
	first, last, ok := strings.Cut(s, "-")
	if !ok || len(first) != 4 || len(last) != 4 {
		return nil, bad
	}
	f, err1 := strconv.Atoi(first)
	l, err2 := strconv.Atoi(last)
	switch {
	case err1 != nil || err2 != nil || f < 1600 || l > 2400:
		return nil, bad
	case f > l:
		return nil, &wrongUse{"ends before it begins", fmt.Sprintf("--years %d-%d", l, f)}
	}
	return &climate.Span{First: f, Last: l}, nil
}
