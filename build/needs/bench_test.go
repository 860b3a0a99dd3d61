package needs

import (
	"math/rand/v2"
	"testing"
)

func benchmarkClub(growers, each, needs int) madeClub {
	plan := clubPlan{needs: needs, growers: growers, each: each, reported: 1}
	return makeClub(plan, rand.New(rand.NewPCG(7, 7)))
}

func BenchmarkLearn(b *testing.B) {
	for _, size := range []struct {
		name                 string
		growers, each, needs int
	}{{"250", 15, 17, 30}, {"5000", 300, 17, 100}} {
		m := benchmarkClub(size.growers, size.each, size.needs)
		for _, option := range []struct {
			name string
			o    Options
		}{{"plain", Options{}}, {"unreported", Options{UnreportedFailures: true}}} {
			b.Run(size.name+"/"+option.name, func(b *testing.B) {
				for b.Loop() {
					if _, err := Learn(m.priors, m.obs, option.o); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// Learn and every Without of a club like the demo's.
func BenchmarkWithoutEach(b *testing.B) {
	m := benchmarkClub(15, 17, 30)
	for b.Loop() {
		l, err := Learn(m.priors, m.obs, Options{UnreportedFailures: true})
		if err != nil {
			b.Fatal(err)
		}
		for g := range 15 {
			l.Without(g)
		}
	}
}
