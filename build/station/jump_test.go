package station

import (
	"math"
	"math/rand/v2"
	"testing"
)

// JumpStatistic is above the 99 % point of the test on white noise.
func TestJumpStatistic(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	const trials = 2000
	for _, n := range []int{20, 40, 80, 150} {
		over := 0
		x := make([]float64, n)
		for range trials {
			for i := range x {
				x[i] = rng.NormFloat64()
			}
			if b, ok := findBreak(x); ok && b.statistic >= JumpStatistic {
				over++
			}
		}
		if over*100 > trials {
			t.Errorf("%d years: reached by %d of %d series of noise", n, over, trials)
		}
	}
}

// By hand: 0 five times, then 1 five times. The mean is 0.5, the variance
// 2.5/9; z is -0.5 and 0.5 over its root, so T = 10·0.25·9/2.5 = 9.
func TestFindBreakByHand(t *testing.T) {
	b, ok := findBreak([]float64{0, 0, 0, 0, 0, 1, 1, 1, 1, 1})
	if !ok || b.at != 5 || b.before != 0 || b.after != 1 || math.Abs(b.statistic-9) > 1e-12 || math.Abs(b.stepSquares) > 1e-12 {
		t.Errorf("%+v", b)
	}
	// A bent line leaves nothing of a bent line.
	if s := hingeSquares([]float64{1, 1, 1, 1, 2, 3, 4, 5}); s > 1e-9 {
		t.Errorf("%g left", s)
	}
}
