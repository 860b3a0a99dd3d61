package needs

import (
	"runtime"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// share runs jobs 0 … n−1 on up to GOMAXPROCS goroutines; begin gives each
// goroutine its own scratch and returns what runs a job. What a job computes
// must depend on its number alone.
func share(n int, begin func() func(int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	if workers < 2 {
		job := begin()
		for i := range n {
			job(i)
		}
		return
	}
	var next atomic.Int64
	var group errgroup.Group
	for range workers {
		group.Go(func() error {
			job := begin()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				job(i)
			}
			return nil
		})
	}
	_ = group.Wait() // no job fails
}
