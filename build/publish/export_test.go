package publish

// ErrCrash, returned by a step, stops a swap as the end of the process would.
var ErrCrash = errCrash

// OpenWith is Open with a replaced exchange (nil: the system's own) and a call
// between the steps of a swap.
func OpenWith(dir string, o Options, swap func(a, b string) error, step func(name string) error) (*Site, error) {
	if swap == nil {
		swap = exchange
	}
	return open(dir, o, system{exchange: swap, step: step})
}
