package station_test

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
)

func wideFile(years int) []byte { return stationtest.WideFile(1, years) }

// baseline does the same job with encoding/csv and ReuseRecord: columns by
// name, dates, quality flags, values, limits, a series by day.
func baseline(r io.Reader) (map[day.Date][3]quantity.Tenths, error) {
	c := csv.NewReader(r)
	c.ReuseRecord = true
	header, err := c.Read()
	if err != nil {
		return nil, err
	}
	at := map[string]int{}
	for i, h := range header {
		at[h] = i
	}
	iDate, iRain, iMax, iMin := at["DATE"], at["PRCP"], at["TMAX"], at["TMIN"]
	series := make([][3]quantity.Tenths, 0, 1<<15)
	first := day.None
	none := [3]quantity.Tenths{quantity.Missing, quantity.Missing, quantity.Missing}
	for {
		rec, err := c.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		d, err := day.Parse(rec[iDate])
		if err != nil {
			return nil, err
		}
		if first == day.None {
			first = d
		}
		row := none
		for k, i := range [3]int{iMin, iMax, iRain} {
			flags := rec[i+1]
			if p := strings.IndexByte(flags, ','); p >= 0 && p+1 < len(flags) && flags[p+1] != ',' {
				continue
			}
			s := rec[i]
			for len(s) > 0 && s[0] == ' ' {
				s = s[1:]
			}
			if s == "" {
				continue
			}
			v, err := strconv.Atoi(s)
			if err != nil {
				return nil, err
			}
			if v > -900 && v < 20000 {
				row[k] = quantity.Tenths(v)
			}
		}
		for int(d-first) >= len(series) {
			series = append(series, none)
		}
		series[d-first] = row
	}
	return map[day.Date][3]quantity.Tenths{first: series[0], first + day.Date(len(series)) - 1: series[len(series)-1]}, nil
}

// BenchmarkRead reports how many times faster ReadFile is than the baseline on
// 200 files of 60 years, with one and two threads for both: fastest pass over
// each four files against fastest pass, measured in turns so that the load of the
// machine hits both. The baseline reads through a buffer of the size that
// suits it best (32 kB; with its own of 4 kB it is slower).
// Without quality control is reported beside it, and the most memory that the
// process had asked for after reading all files one by one.
func BenchmarkRead(b *testing.B) {
	paths, bytesInAll := benchFiles(b)
	pass := func(threads int, paths []string, read func(path string) error) time.Duration {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(threads))
		next := make(chan string)
		failed := make(chan error, threads)
		start := time.Now()
		for range threads {
			go func() {
				var first error
				for p := range next {
					if err := read(p); err != nil && first == nil {
						first = err
					}
				}
				failed <- first
			}()
		}
		for _, p := range paths {
			next <- p
		}
		close(next)
		for range threads {
			if err := <-failed; err != nil {
				b.Error(err)
			}
		}
		return time.Since(start)
	}
	ours := func(o station.Options) func(string) error {
		return func(path string) error {
			recs, ps, err := station.ReadFileWith(path, o)
			if err == nil && (len(recs) != 1 || len(recs[0].TMin) < 20000 || len(ps) > 0) {
				return fmt.Errorf("%s: %d records, %v", path, len(recs), ps)
			}
			return err
		}
	}
	theirs := func(path string) error {
		f, err := os.Open(path)
		if err != nil {
			return err
		}
		defer f.Close()
		_, err = baseline(bufio.NewReaderSize(f, 32<<10))
		return err
	}
	for _, threads := range []int{1, 2} {
		b.Run(fmt.Sprintf("threads=%d", threads), func(b *testing.B) {
			b.SetBytes(bytesInAll)
			const part = 4
			var best [3][200 / part]time.Duration // theirs, ours, ours without quality control
			var memory runtime.MemStats
			readers := [3]func(string) error{theirs, ours(station.Options{}), ours(station.Options{Unchecked: true})}
			for b.Loop() {
				pass(threads, paths, readers[1])
				b.StopTimer()
				if memory.Sys == 0 {
					runtime.ReadMemStats(&memory)
				}
				for range 3 {
					for k := range best[0] {
						for r := range readers {
							t := pass(threads, paths[k*part:(k+1)*part], readers[r])
							if old := best[r][k]; old == 0 || t < old {
								best[r][k] = t
							}
						}
					}
				}
				b.StartTimer()
			}
			var sum [3]float64
			for r := range best {
				for _, t := range best[r] {
					sum[r] += t.Seconds()
				}
			}
			b.ReportMetric(sum[0]/sum[1], "x-encoding/csv")
			b.ReportMetric(sum[0]/sum[2], "x-unchecked")
			b.ReportMetric(float64(bytesInAll)/1e6/sum[0], "MB/s-encoding/csv")
			b.ReportMetric(float64(bytesInAll)/1e6/sum[1], "MB/s-fastest")
			if threads == 1 {
				b.ReportMetric(float64(memory.Sys)/(1<<20), "MiB-asked-for")
			}
		})
	}
}

const benchYears = 60

// benchFiles writes the files of a benchmark, once a run.
func benchFiles(b *testing.B) (paths []string, size int64) {
	dir := b.TempDir()
	for i := range 200 {
		text := stationtest.WideFile(uint64(i+1), benchYears)
		path := filepath.Join(dir, fmt.Sprintf("XX%09d.csv", i+1))
		if err := os.WriteFile(path, text, 0o600); err != nil {
			b.Fatal(err)
		}
		paths = append(paths, path)
		size += int64(len(text))
	}
	same(b, paths[0])
	runtime.GC()
	debug.FreeOSMemory()
	return paths, size
}

// same holds the two readers to the same values at both ends of a file.
func same(b *testing.B, path string) {
	recs, _, err := station.ReadFile(path)
	if err != nil || len(recs) != 1 {
		b.Fatal(len(recs), err)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	ends, err := baseline(bytes.NewReader(text))
	if err != nil {
		b.Fatal(err)
	}
	r := recs[0]
	for d, row := range ends {
		i := d - r.First
		if got := [3]quantity.Tenths{r.TMin[i], r.TMax[i], r.Precip[i]}; got != row {
			b.Fatalf("%v: %v is not %v", d, got, row)
		}
	}
}
