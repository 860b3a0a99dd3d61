package begin

import (
	"bytes"
	"fmt"

	"ripeward/build/day"
)

// Years of the invented record.
const (
	firstYear = 1995
	lastYear  = 2025
)

// weather is the invented daily record in the plain form. It is drawn in whole
// numbers from a fixed seed, so that it is the same on every machine.
func weather() []byte {
	var b bytes.Buffer
	b.WriteString("date,tmin_c,tmax_c,precip_mm\n")
	r := dice(20_250_417)
	spell, warm := 0, 0 // tenths of a degree: of these days, of this year
	for d := day.Of(firstYear, 1, 1); d <= day.Of(lastYear, 12, 31); d++ {
		if d.YearDay() == 1 {
			warm = r.around(14)
		}
		spell = (spell*4 + r.around(34)*2) / 5
		mean := 98 - wave(d.YearDay()-20)*124/1000 + warm + spell
		half := 56 + wave(d.YearDay()-170)*12/1000 + r.around(14)
		rain := 0
		if r.below(10) < 3 {
			half -= 14
			rain = 1 + r.below(60)*r.below(60)/12
		}
		half = max(half, 12)
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", d, tenths(mean-half), tenths(mean+half), tenths(rain))
	}
	return b.Bytes()
}

// wave is a thousand times the cosine of a yearly wave with its top at day 0,
// by the rational approximation of Bhaskara I (seventh century; error below
// 0.002).
func wave(day int) int {
	deg := ((day%365+365)%365*360/365 + 90) % 360
	sign := 1
	if deg >= 180 {
		deg, sign = deg-180, -1
	}
	p := deg * (180 - deg)
	return sign * 4000 * p / (40500 - p)
}

// tenths prints tenths as a decimal.
func tenths(n int) string {
	if n < 0 {
		return "-" + tenths(-n)
	}
	return fmt.Sprintf("%d.%d", n/10, n%10)
}

// generator is a row of numbers without pattern (xorshift64*; Vigna 2016, "An
// experimental exploration of Marsaglia's xorshift generators, scrambled").
type generator struct{ state uint64 }

func dice(seed uint64) *generator { return &generator{seed} }

// below is a number from 0 to n-1.
func (g *generator) below(n int) int {
	g.state ^= g.state >> 12
	g.state ^= g.state << 25
	g.state ^= g.state >> 27
	return int((g.state * 2685821657736338717 >> 33) % uint64(n))
}

// around is a number near 0 with a standard deviation of about s: a sum of
// four even ones, each of s/√3, is 1.15 s wide; seven eighths of it are taken.
func (g *generator) around(s int) int {
	sum := 0
	for range 4 {
		sum += g.below(2*s+1) - s
	}
	return sum * 7 / 8
}
