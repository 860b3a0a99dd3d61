package climate_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"testing"
	"time"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
)

func BenchmarkSeasons60Years(b *testing.B) {
	d := weather(day.North, 1961, 2020, 9, 12, 1)
	b.ReportAllocs()
	for b.Loop() {
		if n := len(climate.Seasons(d, climate.DefaultHeat())); n != 60 {
			b.Fatal(n)
		}
	}
}

// Seasons without the latitude, and so without chill: what chill costs.
func BenchmarkSeasons60YearsNoChill(b *testing.B) {
	d := without(weather(day.North, 1961, 2020, 9, 12, 1))
	for b.Loop() {
		climate.Seasons(d, climate.DefaultHeat())
	}
}

func BenchmarkNormals30Years(b *testing.B) {
	s := climate.Seasons(weather(day.North, 1961, 2020, 9, 12, 1), climate.DefaultHeat())
	b.ReportAllocs()
	for b.Loop() {
		climate.Normals(s, climate.Span{First: 1991, Last: 2020}, 10)
	}
}

func BenchmarkReturnLevels30Winters(b *testing.B) {
	s := climate.Seasons(weather(day.North, 1961, 2020, 9, 12, 1), climate.DefaultHeat())
	for b.Loop() {
		climate.WinterReturnLevels(s, climate.Span{First: 1991, Last: 2020})
	}
}

func BenchmarkFillAndMove60Years(b *testing.B) {
	lead, other := weather(day.North, 1961, 2020, 9, 12, 1), weather(day.North, 1961, 2020, 8, 12, 2)
	lose(lead, day.Of(1985, 3, 1), 40, lead.TMin, lead.TMax)
	b.ReportAllocs()
	for b.Loop() {
		d, _, _ := climate.Fill(lead, other)
		climate.Move(&d, climate.Shift{Day: -0.6, Night: -0.6})
	}
}

// everyFigure computes all that is published of one station.
func everyFigure(d *climate.Daily) int {
	ref, recent := climate.Span{First: 1991, Last: 2020}, climate.Span{First: 2006, Last: 2020}
	seasons := climate.Seasons(d, climate.DefaultHeat())
	a, b := climate.Normals(seasons, ref, 10), climate.Normals(seasons, recent, 10)
	differ := 0
	for i := range a {
		if climate.Differs(a[i], b[i]) {
			differ++
		}
	}
	climate.HeatByDay(d, ref, climate.DefaultHeat())
	_, winters := climate.WinterReturnLevels(seasons, ref)
	climate.SpringRisk(seasons, ref, d.Hemisphere)
	for _, to := range []day.Rank{240, 260, 280, 300} {
		climate.RainSpells(d, ref, to-20, to, climate.SpellDays, climate.SpellMM)
	}
	return winters
}

// BenchmarkEveryFigure60Years reports how many times longer every figure takes,
// chill included, than reading the same record from a GHCN-Daily wide file:
// fastest run against fastest run, in turns.
func BenchmarkEveryFigure60Years(b *testing.B) {
	d := weather(day.North, 1961, 2020, 9, 12, 1)
	var file bytes.Buffer
	file.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	for i := range d.TMin {
		fmt.Fprintf(&file, `"XX000000001","%s","45.0000","-75.2000","79.0","INVENTED ON THE HILL, XX","%5d",",,X,0700","%5d",",,X,","%5d",",,X,0700","%5d",",,X,0700"`+"\n",
			d.First+day.Date(i), d.Precip[i], 0, d.TMax[i], d.TMin[i])
	}
	path := filepath.Join(b.TempDir(), "wide.csv")
	if err := os.WriteFile(path, file.Bytes(), 0o644); err != nil {
		b.Fatal(err)
	}
	recs, _, err := station.ReadFile(path)
	if err != nil || len(recs) != 1 {
		b.Fatal(len(recs), err)
	}
	for i := range d.TMin {
		if recs[0].TMin[i] != d.TMin[i] || recs[0].TMax[i] != d.TMax[i] {
			b.Fatalf("%v is not read as written", d.First+day.Date(i))
		}
	}
	reading, figures := time.Hour, time.Hour
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		start := time.Now()
		if _, _, err := station.ReadFile(path); err != nil {
			b.Fatal(err)
		}
		reading = min(reading, time.Since(start))
		b.StartTimer()
		start = time.Now()
		if n := everyFigure(d); n < 29 {
			b.Fatal(n)
		}
		figures = min(figures, time.Since(start))
	}
	b.ReportMetric(float64(figures)/float64(reading), "x-reading")
	b.ReportMetric(float64(reading.Nanoseconds()), "reading-ns")
}

// BenchmarkEveryFigureOf200Files reads 200 GHCN-Daily wide files of 60 years one
// by one and computes every figure of each, chill included. It reports how many
// times longer the figures take than the reading, and the most memory that the
// process had asked for.
func BenchmarkEveryFigureOf200Files(b *testing.B) {
	dir := b.TempDir()
	var paths []string
	for seed := range uint64(200) {
		path := filepath.Join(dir, fmt.Sprintf("XX%09d.csv", seed+1))
		if err := os.WriteFile(path, stationtest.WideFile(seed+1, 60), 0o600); err != nil {
			b.Fatal(err)
		}
		paths = append(paths, path)
	}
	runtime.GC()
	debug.FreeOSMemory()
	var reading, figures time.Duration
	for b.Loop() {
		for _, path := range paths {
			start := time.Now()
			recs, _, err := station.ReadFile(path)
			if err != nil || len(recs) != 1 {
				b.Fatal(path, len(recs), err)
			}
			reading += time.Since(start)
			r := &recs[0]
			d := &climate.Daily{First: r.First, TMin: r.TMin, TMax: r.TMax, Precip: r.Precip, Hemisphere: day.North, Latitude: climate.AtLatitude(r.Latitude)}
			start = time.Now()
			if n := everyFigure(d); n < 29 {
				b.Fatal(path, n)
			}
			figures += time.Since(start)
		}
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	b.ReportMetric(float64(figures)/float64(reading), "x-reading")
	b.ReportMetric(float64(memory.Sys)/(1<<20), "MiB-asked-for")
}
