package stationtest

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"

	"ripeward/build/day"
)

// WideFile invents a GHCN-Daily wide file of so many years from 1960 on, with
// quoted cells, padded values and the columns that such files of well-kept
// stations have. The station's number is the seed's.
func WideFile(seed uint64, years int) []byte {
	rng := rand.New(rand.NewPCG(seed, 2))
	var b bytes.Buffer
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	for d := day.Of(1960, 1, 1); d < day.Of(1960+years, 1, 1); d++ {
		mean := 80 - 150*math.Cos(float64(d.YearDay())/365*2*math.Pi) + 40*rng.NormFloat64()
		rain := max(0, int(60*rng.NormFloat64()))
		fmt.Fprintf(&b, `"XX%09d","%s","45.1000","-75.2000","79.0","INVENTED ON THE HILL, XX","%5d",",,X,0700","%5d",",,X,","%5d",",,X,0700","%5d",",,X,0700"`+"\n",
			seed, d, rain, 0, int(mean+50), int(mean-50))
	}
	return b.Bytes()
}
