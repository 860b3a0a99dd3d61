package figure

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

var idForm = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)

func (h Head) check() error {
	switch {
	case !idForm.MatchString(h.ID):
		return fmt.Errorf("%w: id %q", ErrHead, h.ID)
	case clean(h.Title) == "":
		return fmt.Errorf("%w: chart %s has no title", ErrHead, h.ID)
	case clean(h.Desc) == "":
		return fmt.Errorf("%w: chart %s has no description", ErrHead, h.ID)
	case h.Width != 0 && (h.Width < 300 || h.Width > 1200):
		return fmt.Errorf("%w: width %d of chart %s, allowed are 300 to 1200", ErrHead, h.Width, h.ID)
	}
	return nil
}

func (h Head) width() float64 {
	if h.Width == 0 {
		return 720
	}
	return float64(h.Width)
}

func (h Head) narrow() bool { return h.width() < 480 }

// large is the greatest size of a value; beyond it nothing has a meaning here
// and sums might overflow.
const large = 1e12

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.Abs(v) > large {
			return false
		}
	}
	return true
}

func checkRange(from, until float64) error {
	if !finite(from, until) {
		return fmt.Errorf("%w: range from %v to %v", ErrNotFinite, from, until)
	}
	if from >= until {
		return fmt.Errorf("%w: from %v to %v", ErrRange, from, until)
	}
	return nil
}

func checkTicks(ts []Tick) error {
	for i, t := range ts {
		if !finite(t.At) {
			return fmt.Errorf("%w: tick %q at %v", ErrNotFinite, t.Label, t.At)
		}
		if i > 0 && t.At <= ts[i-1].At {
			return fmt.Errorf("%w: ticks are not rising at %q", ErrShape, t.Label)
		}
	}
	return nil
}

// scale maps values to places, from lo at a to hi at b.
type scale struct{ lo, hi, a, b float64 }

func (s scale) at(v float64) float64 { return s.a + (v-s.lo)/(s.hi-s.lo)*(s.b-s.a) }

// label is a tick's words at a place along an axis.
type label struct {
	text     string
	at       float64 // middle
	from, to float64 // room taken
}

// along sets tick labels along a horizontal axis, inside from 2 to width-2,
// and leaves out every second, third … so that none touch.
func along(ts []Tick, s scale, width float64) []label {
	var all []label
	for i, t := range ts {
		text := clean(t.Label)
		at := s.at(t.At)
		if t.Between {
			next := s.hi
			if i+1 < len(ts) {
				next = ts[i+1].At
			}
			a, b := math.Max(t.At, s.lo), math.Min(next, s.hi)
			if a >= b || (a > t.At || b < next || i+1 == len(ts)) && s.at(b)-s.at(a) < textWidth(text, tickSize) {
				continue // outside, or cut so short that its name would stand over a neighbour
			}
			at = (s.at(a) + s.at(b)) / 2
		} else if t.At < s.lo || t.At > s.hi {
			continue
		}
		half := textWidth(text, tickSize) / 2
		at = min(max(at, 2+half), width-2-half)
		all = append(all, label{text, at, at - half, at + half})
	}
	for k := 1; k <= len(all); k++ {
		if kept := everyNth(all, k); kept != nil {
			return kept
		}
	}
	return nil
}

func everyNth(all []label, k int) []label {
	kept := []label{}
	for i := 0; i < len(all); i += k {
		l := all[i]
		if l.text == "" {
			continue
		}
		if n := len(kept); n > 0 && l.from < kept[n-1].to+7 {
			return nil
		}
		kept = append(kept, l)
	}
	return kept
}

// gridAt lists where grid lines stand: ticks strictly inside the range.
func gridAt(ts []Tick, s scale) []float64 {
	var xs []float64
	for _, t := range ts {
		if t.At > s.lo && t.At < s.hi {
			xs = append(xs, s.at(t.At))
		}
	}
	return xs
}

// number writes a number that readers see.
func (h Head) number(v float64, decimals int) string {
	if h.Number == nil {
		return decimal(v, decimals)
	}
	return h.Number(v, decimals)
}

// rounded chooses round ticks that cover lo to hi with at most n steps.
func (h Head) rounded(lo, hi float64, n int) []Tick {
	if room := math.Max(math.Abs(lo), math.Abs(hi)); hi-lo <= room*1e-9 {
		half := math.Max(room*0.05, 0.5)
		lo, hi = lo-half, hi+half
	}
	power := math.Floor(math.Log10((hi - lo) / float64(n)))
	for ; ; power++ {
		for _, m := range []float64{1, 2, 5} {
			step := m * math.Pow(10, power)
			first, last := math.Floor(lo/step+1e-9), math.Ceil(hi/step-1e-9)
			if last-first > float64(n) {
				continue
			}
			digits := max(0, int(-power))
			var ts []Tick
			for k := first; k <= last; k++ {
				v := k * step
				ts = append(ts, Tick{At: v, Label: h.number(v, digits)})
			}
			return ts
		}
	}
}

// decimal formats with a true minus sign.
func decimal(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "\u2212", 1)
}

// yearTicks chooses years that end roundly and whose labels fit.
func yearTicks(first, last int, plot float64) []Tick {
	room := textWidth("0000", tickSize) + 14
	for _, step := range []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000} {
		from := int(math.Ceil(float64(first)/float64(step))) * step
		if from > last && step > 1 {
			break
		}
		n := (last-from)/step + 1
		if float64(step)/float64(last-first+1)*plot < room && n > 1 {
			continue
		}
		var ts []Tick
		for y := from; y <= last; y += step {
			ts = append(ts, Tick{At: float64(y), Label: strconv.Itoa(y)})
		}
		return ts
	}
	return []Tick{{At: float64(first), Label: strconv.Itoa(first)}}
}

// spread moves label boxes of the given heights, wished at the given middles
// (rising), apart so that none overlap and all stay between top and bottom.
// The caller has seen to it that they fit.
func spread(wish, height []float64, top, bottom float64) []float64 {
	at := make([]float64, len(wish))
	edge := top
	for i := range wish {
		at[i] = math.Max(wish[i], edge+height[i]/2)
		edge = at[i] + height[i]/2
	}
	edge = bottom
	for i := len(wish) - 1; i >= 0; i-- {
		at[i] = math.Min(at[i], edge-height[i]/2)
		edge = at[i] - height[i]/2
	}
	return at
}
