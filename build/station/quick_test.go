package station

import (
	"fmt"
	"testing"
)

// quickTenths agrees with value wherever it answers, on every string of up to
// five bytes of an alphabet that holds all its cases.
func TestQuickTenths(t *testing.T) {
	const alphabet = " -+079.x"
	b := make([]byte, 0, 5)
	n := 0
	var walk func()
	walk = func() {
		for _, e := range []element{tmin, precip} {
			v, quick := quickTenths(b, e)
			w, why := value(b, e, wholeTenths, false)
			if !quick {
				continue
			}
			n++
			if why != none || v != w {
				t.Fatalf("%q: %d, and %d (%s)", b, v, w, reasons[why].phrase)
			}
		}
		if len(b) == cap(b) {
			return
		}
		for i := range len(alphabet) {
			b = append(b, alphabet[i])
			walk()
			b = b[:len(b)-1]
		}
	}
	walk()
	if n < 500 {
		t.Errorf("answered %d times", n)
	}
}

// Padded numbers of the bulk are all answered.
func TestQuickTenthsPadded(t *testing.T) {
	for m := limits[tmin].low; m <= limits[tmin].high; m++ {
		if v, quick := quickTenths(fmt.Appendf(nil, "%5d", m), tmin); !quick || int64(v) != m {
			t.Fatalf("%5d: %d, %v", m, v, quick)
		}
	}
}
