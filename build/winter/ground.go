// Package winter asks whether the tree lives: so far, wood in the ground. It
// is pure, and knows nothing of files or pages. Definitions: SCIENCE 6, 9.
package winter

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Wood is how much cold a cultivar's wood stands: the temperature (°C) that
// kills it in half of all cases, and the scatter of that (°C).
type Wood struct{ KillC, SdC float64 }

// Cover is what a protection adds to the outdoor low, °C: anywhere between
// LowC and HighC, all alike likely. Without protection both are 0.
type Cover struct{ LowC, HighC float64 }

// Kill returns the chance (0-1) that a winter whose lowest outdoor temperature
// was lowest (°C) kills the wood under a cover:
//
//	Φ((kill − (lowest + gain)) / √(sd² + range²/12))
//
// gain is the middle of the cover's range; range²/12 is the variance of a
// uniform gain (SCIENCE 6).
func Kill(lowest float64, w Wood, c Cover) float64 {
	gain, spread := (c.LowC+c.HighC)/2, c.HighC-c.LowC
	sd := math.Sqrt(w.SdC*w.SdC + spread*spread/12)
	gap := w.KillC - (lowest + gain)
	if sd == 0 {
		if gap >= 0 {
			return 1
		}
		return 0
	}
	return distuv.UnitNormal.CDF(gap / sd)
}

// Range returns the mean chance over winters at the two ends of a cover's
// range: least (the full gain every winter) and most (the least gain).
func Range(lowest []float64, w Wood, c Cover) (least, most float64) {
	if len(lowest) == 0 {
		return math.NaN(), math.NaN()
	}
	for _, t := range lowest {
		least += Kill(t, w, Cover{c.HighC, c.HighC})
		most += Kill(t, w, Cover{c.LowC, c.LowC})
	}
	n := float64(len(lowest))
	return least / n, most / n
}
