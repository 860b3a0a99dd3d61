//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"ripeward/build/station/stationtest"
)

var (
	largeStations = flag.Int("stations", 100, "stations of the large club of BenchmarkLargeClub")
	largeFolder   = flag.String("large", "", "where BenchmarkLargeClub keeps its clubs and sites; empty: a folder that goes afterwards")
)

// The large club: as many towns as stations, one each, 60 years of records,
// 100 cultivars, 10 ways of growing, and 400 reports from 40 of the towns.
const (
	largeYears     = 60
	largeCultivars = 100
	largeReporting = 40 // towns
)

// writeLargeClub makes the folder of an invented club of any size. Stations
// written before are left as they are.
func writeLargeClub(dir string, stations int) error {
	if err := os.MkdirAll(filepath.Join(dir, "data", "stations"), 0o777); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Join(dir, "data", "reports"), 0o777); err != nil {
		return err
	}
	var towns, rows, zones, cultivars, reports strings.Builder
	zones.WriteString("zone_id,name\n")
	for z := range (stations + 24) / 25 {
		fmt.Fprintf(&zones, "zone-%d,Zone %d\n", z, z)
	}
	towns.WriteString("town_id,name,zone_id,latitude,longitude,elevation_m,station_ids\n")
	rows.WriteString("station_id,name,latitude,longitude,elevation_m,credit\n")
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range stations {
		id := fmt.Sprintf("XX%09d", i)
		lat, lon := fmt.Sprintf("%.4f", 45.1+0.1*float64(i/40)), fmt.Sprintf("%.4f", -45.2-0.1*float64(i%40))
		fmt.Fprintf(&rows, "%s,Station %d,%s,%s,79,Invented weather\n", id, i, lat, lon)
		fmt.Fprintf(&towns, "town-%d,Town %d,zone-%d,%s,%s,79,%s\n", i, i, i/25, lat, lon, id)
		path := filepath.Join(dir, "data", "stations", id+".csv")
		if _, err := os.Stat(path); err == nil {
			continue
		}
		g.Go(func() error {
			data := stationtest.WideFile(uint64(i), largeYears)
			data = bytes.ReplaceAll(data, []byte(`"45.1000","-75.2000"`), []byte(`"`+lat+`","`+lon+`"`))
			return os.WriteFile(path, data, 0o666)
		})
	}
	cultivars.WriteString("cultivar_id,crop_id,name,class_id,crops_borne,pollination,main_heat_cd,wood_kill_c,source\n")
	classes := []string{"fig-very-early", "fig-early", "fig-mid"}
	for i := range largeCultivars {
		borne := "main"
		if i%3 == 0 {
			borne = "both"
		}
		fmt.Fprintf(&cultivars, "cultivar-%d,fig,Cultivar %d,%s,%s,common,%d,%d,invented\n", i, i, classes[i*3/largeCultivars], borne, 1050+8*i, -9-i%7)
	}
	reports.WriteString("report_id,town_id,cultivar_id,crop_part,method_id,year,outcome,seen_on,date_precision,grower,status\n")
	for i := range 400 {
		town := i % min(largeReporting, stations)
		fmt.Fprintf(&reports, "r%d,town-%d,cultivar-%d,main,pot-plain,%d,ripe,%d-08-%02d,day,g%d,reviewed\n", i, town, i%60, 1995+i%24, 1995+i%24, 5+i%25, i%80)
	}
	methods, err := os.ReadFile(filepath.Join("..", "..", "data", "methods.csv"))
	if err != nil {
		return err
	}
	// Two ways more: the last two once again, under other names.
	lines := strings.Split(strings.TrimRight(string(methods), "\n"), "\n")
	for _, l := range lines[len(lines)-2:] {
		id, rest, _ := strings.Cut(l, ",")
		name, rest, _ := strings.Cut(rest, ",")
		lines = append(lines, id+"-too,"+name+" again,"+rest)
	}
	for name, text := range map[string]string{
		"club.toml": "name = \"A large club\"\nnotice = \"Invented, to measure speed.\"\nlanguages = [\"en\"]\n",
		"zones.csv": zones.String(), "towns.csv": towns.String(), "stations.csv": rows.String(), "cultivars.csv": cultivars.String(),
		"methods.csv": strings.Join(lines, "\n") + "\n", "reports/2020.csv": reports.String(),
	} {
		if err := os.WriteFile(filepath.Join(dir, "data", filepath.FromSlash(name)), []byte(text), 0o666); err != nil {
			return err
		}
	}
	return g.Wait()
}

// BenchmarkLargeClub publishes a large club: cold, with nothing changed, with
// one station changed whose town has no report, and with one whose town has.
// Each goes on from the one before.
func BenchmarkLargeClub(b *testing.B) {
	dir := *largeFolder
	if dir == "" {
		dir = b.TempDir()
	}
	dir = filepath.Join(dir, fmt.Sprintf("club-%d", *largeStations))
	if err := writeLargeClub(dir, *largeStations); err != nil {
		b.Fatal(err)
	}
	useCacheIn(filepath.Join(dir, ".cache"), os.Setenv)
	for _, c := range []struct {
		name   string
		before func() error
	}{
		{"cold", func() error {
			return errors.Join(os.RemoveAll(filepath.Join(dir, ".cache")), os.RemoveAll(filepath.Join(dir, "site")))
		}},
		{"unchanged", func() error { return nil }},
		{"one-station", func() error { return coolSummer(dir, *largeStations-1) }},
		{"reporting-station", func() error { return coolSummer(dir, 0) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			busy := 0.0
			for b.Loop() {
				b.StopTimer()
				if err := c.before(); err != nil {
					b.Fatal(err)
				}
				runtime.GC()
				busy -= processorSeconds()
				b.StartTimer()
				var out, problems bytes.Buffer
				if run(context.Background(), &out, &problems, []string{"publish", "--club", dir, "--site", filepath.Join(dir, "site")}) != done {
					b.Fatal(problems.String())
				}
				busy += processorSeconds()
				b.Log(out.String())
			}
			b.ReportMetric(busy/float64(b.N), "processor-s/op")
			if kb, ok := peakMemory(); ok {
				b.ReportMetric(kb/1024, "MiB-peak-so-far")
			}
		})
	}
}

// coolSummer takes half a degree off the lows of the last July of a station.
func coolSummer(dir string, station int) error {
	path := filepath.Join(dir, "data", "stations", fmt.Sprintf("XX%09d.csv", station))
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	lines := bytes.Split(data, []byte("\n"))
	for i, l := range lines {
		if !bytes.Contains(l, fmt.Appendf(nil, `"%d-07-`, 1960+largeYears-1)) {
			continue
		}
		at := bytes.LastIndex(l, []byte(`",",,X,0700"`))
		var tenths int
		if _, err := fmt.Sscan(string(l[at-5:at]), &tenths); err != nil {
			return err
		}
		lines[i] = append(fmt.Appendf(slices.Clone(l[:at-5]), "%5d", tenths-5), l[at:]...)
	}
	return os.WriteFile(path, bytes.Join(lines, []byte("\n")), 0o666)
}

// peakMemory is the most memory this process has had, KiB, where the system
// tells (Linux, /proc/self/status).
func peakMemory() (kb float64, ok bool) {
	data, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0, false
	}
	_, after, found := strings.Cut(string(data), "VmHWM:")
	if !found {
		return 0, false
	}
	_, err = fmt.Sscan(after, &kb)
	return kb, err == nil
}

// processorSeconds is what this process has used of all processors: on a
// machine with other work it tells more than the clock.
func processorSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}
