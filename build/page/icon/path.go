package icon

import (
	"fmt"
	"strconv"
	"strings"
)

// steps is how many straight pieces stand for a curve: on an icon of 512
// pixels they leave it by less than a tenth of a pixel.
const steps = 64

// outline turns path data into closed outlines of straight lines, in
// hundredths of a unit.
func outline(d string) ([][]point, error) {
	r := &pathReader{words: strings.Fields(spaced(d))}
	var out [][]point
	var line []point
	for len(r.words) > 0 {
		command := r.words[0]
		r.words = r.words[1:]
		if (len(line) == 0) != (command == "M") {
			return nil, fmt.Errorf("path data: %q where a shape begins or is not closed", command)
		}
		switch command {
		case "M", "L":
			line = append(line, r.point())
		case "C":
			line = curve(line, r.point(), r.point(), r.point())
		case "Z":
			out = append(out, line)
			line = nil
		default:
			return nil, fmt.Errorf("path data: %q is none of M, L, C, Z", command)
		}
		if r.err != nil {
			return nil, r.err
		}
	}
	if line != nil {
		return nil, fmt.Errorf("path data: a shape is not closed with Z")
	}
	return out, nil
}

// spaced puts blanks around the commands.
func spaced(d string) string {
	var b strings.Builder
	for _, r := range d {
		switch {
		case r == ',':
			b.WriteByte(' ')
		case r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z':
			b.WriteString(" " + string(r) + " ")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

type pathReader struct {
	words []string
	err   error
}

func (r *pathReader) point() point { return point{r.number(), r.number()} }

// number reads a decimal number as whole hundredths.
func (r *pathReader) number() int64 {
	if r.err != nil {
		return 0
	}
	if len(r.words) == 0 {
		r.err = fmt.Errorf("path data: ends too early")
		return 0
	}
	word := r.words[0]
	r.words = r.words[1:]
	whole, part, _ := strings.Cut(word, ".")
	if len(part) > 2 {
		r.err = fmt.Errorf("path data: %q has more than two decimals", word)
		return 0
	}
	v, err := strconv.ParseInt(whole+(part + "00")[:2], 10, 32)
	if err != nil {
		r.err = fmt.Errorf("path data: %q is no number", word)
	}
	return v
}

// curve goes on from the last point of line along a cubic Bézier curve (SVG 2,
// 9.3.6), in points rounded to the hundredth.
func curve(line []point, b, c, d point) []point {
	a := line[len(line)-1]
	const n = int64(steps)
	for t := int64(1); t <= n; t++ {
		s := n - t
		at := func(a, b, c, d int64) int64 {
			return roundDiv(a*s*s*s+3*b*s*s*t+3*c*s*t*t+d*t*t*t, n*n*n)
		}
		line = append(line, point{at(a.x, b.x, c.x, d.x), at(a.y, b.y, c.y, d.y)})
	}
	return line
}

// roundDiv is a/b to the nearest whole number, halves up; b is above 0.
func roundDiv(a, b int64) int64 { return floorDiv(2*a+b, 2*b) }

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
