package main

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

const seed = 20260809

// A source draws what befalls one tree in one year, or one quantity of the
// truth. Each has its own, named by a key, so that a tree more or less changes
// nothing of the others.
type source struct{ *rand.Rand }

func draw(key string) source {
	h := fnv.New64a()
	h.Write([]byte(key))
	sum := h.Sum64() // keys that differ in a letter differ in few of its bits: mix
	for range 2 {
		sum = (sum ^ sum>>31) * 0xbf58476d1ce4e5b9
	}
	return source{rand.New(rand.NewPCG(seed^sum>>32, sum))}
}

// percent is true in so many cases of a hundred.
func (s source) percent(p int) bool { return s.IntN(100) < p }

// within draws a whole number from -n to n, all alike likely.
func (s source) within(n int) int { return s.IntN(2*n+1) - n }

// normal draws a whole number around 0 with a standard deviation, and none
// further out than limit.
func (s source) normal(sd, limit float64) int {
	return int(math.Round(max(-limit, min(limit, sd*s.NormFloat64()))))
}
