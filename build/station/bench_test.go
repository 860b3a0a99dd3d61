package station_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
	"time"

	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/station"
)

// wideFile invents a GHCN-Daily wide file of so many years, with quoted cells,
// padded values and the columns that such files of well-kept stations have.
func wideFile(years int) []byte {
	rng := rand.New(rand.NewPCG(1, 2))
	var b bytes.Buffer
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	for d := day.Of(1960, 1, 1); d < day.Of(1960+years, 1, 1); d++ {
		mean := 80 - 150*math.Cos(float64(d.YearDay())/365*2*math.Pi) + 40*rng.NormFloat64()
		rain := max(0, int(60*rng.NormFloat64()))
		fmt.Fprintf(&b, `"XX000000001","%s","45.1000","-75.2000","79.0","INVENTED ON THE HILL, XX","%5d",",,X,0700","%5d",",,X,","%5d",",,X,0700","%5d",",,X,0700"`+"\n",
			d, rain, 0, int(mean+50), int(mean-50))
	}
	return b.Bytes()
}

// baseline does the same job with encoding/csv and ReuseRecord: columns by
// name, dates, quality flags, values, limits, a series by day.
func baseline(r io.Reader) (map[day.Date][3]int, error) {
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
	series := make([][3]int, 0, 1<<15)
	first := day.None
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
		row := [3]int{-9999, -9999, -9999}
		for k, i := range [3]int{iMin, iMax, iRain} {
			flags := rec[i+1]
			if p := bytes.IndexByte([]byte(flags), ','); p >= 0 && p+1 < len(flags) && flags[p+1] != ',' {
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
				row[k] = v
			}
		}
		for int(d-first) >= len(series) {
			series = append(series, [3]int{-9999, -9999, -9999})
		}
		series[d-first] = row
	}
	return map[day.Date][3]int{first: series[0], first + day.Date(len(series)) - 1: series[len(series)-1]}, nil
}

// BenchmarkRead reports how many times faster Read is than the baseline,
// fastest run against fastest run, measured in turns so that the load of the
// machine hits both.
func BenchmarkRead(b *testing.B) {
	file := wideFile(60)
	recs, _, err := station.Read("wide.csv", bytes.NewReader(file))
	if err != nil {
		b.Fatal(err)
	}
	ends, err := baseline(bytes.NewReader(file))
	if err != nil {
		b.Fatal(err)
	}
	r := recs[0]
	for d, row := range ends {
		i := d - r.First
		if got := [3]quantity.Tenths{r.TMin[i], r.TMax[i], r.Precip[i]}; got != [3]quantity.Tenths{quantity.Tenths(row[0]), quantity.Tenths(row[1]), quantity.Tenths(row[2])} {
			b.Fatalf("%v: %v is not %v", d, got, row)
		}
	}
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	mine, theirs := time.Hour, time.Hour
	for b.Loop() {
		b.StopTimer()
		start := time.Now()
		if _, err := baseline(bytes.NewReader(file)); err != nil {
			b.Fatal(err)
		}
		theirs = min(theirs, time.Since(start))
		b.StartTimer()
		start = time.Now()
		if _, _, err := station.Read("wide.csv", bytes.NewReader(file)); err != nil {
			b.Fatal(err)
		}
		mine = min(mine, time.Since(start))
	}
	b.ReportMetric(float64(theirs)/float64(mine), "x-encoding/csv")
}
