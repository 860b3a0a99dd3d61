package station

import (
	"io"

	"ripeward/build/diag"
)

// SetMaxUnpacked lets a test reach the limit of the unpacked size.
func SetMaxUnpacked(n int64) (restore func()) {
	old := maxUnpacked
	maxUnpacked = n
	return func() { maxUnpacked = old }
}

// Read is ReadFile for an open reader; name stands in messages.
func Read(name string, r io.Reader) ([]Record, diag.Problems, error) {
	return ReadWith(r, Options{Name: name})
}

// ReadWith is Read for a file of which more is known than it says.
func ReadWith(r io.Reader, o Options) ([]Record, diag.Problems, error) {
	f, err := scan(r, o)
	if err != nil {
		return nil, nil, err
	}
	defer f.release()
	recs := f.finish()
	return recs, f.settle(recs), nil
}
