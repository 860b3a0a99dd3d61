package station

import (
	"bytes"
	"encoding/binary"
	"math/bits"
	"strings"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// unit is how a dialect writes a value.
type unit uint8

const (
	wholeTenths unit = iota // of °C or mm
	wholeUnits              // °C or mm, with decimals
	fahrenheit
	inches
)

// Physical limits in tenths. The lowest air temperature on record is -89.2 °C
// (Vostok, 21 July 1983) and the highest 56.7 °C (Death Valley, 10 July 1913),
// the most rain in 24 hours 1825 mm (La Réunion, 1966): WMO World Weather and
// Climate Extremes Archive, from memory.
var limits = [nElements]struct{ low, high int64 }{
	tmin: {-900, 600}, tmax: {-900, 600}, precip: {0, 20000},
}

var powers = [...]int64{1, 10, 100, 1000, 10_000, 100_000, 1_000_000}

// decimal reads [sign] digits [mark digits] with spaces around as m/10^k.
// Decimals past the sixth are cut, which changes no rounding to tenths of a
// metric value; whole digits past the ninth give a number that is out of all
// limits.
func decimal(b []byte, comma bool) (m int64, k int, why reason) {
	b = trim(b)
	i, negative := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		negative = b[0] == '-'
		i++
	}
	digits, dot := 0, false
	for ; i < len(b); i++ {
		switch c := b[i]; {
		case c >= '0' && c <= '9':
			digits++
			if dot {
				if k < len(powers)-1 {
					m, k = m*10+int64(c-'0'), k+1
				}
			} else if m < 1e9 {
				m = m*10 + int64(c-'0')
			}
		case !dot && (c == '.' || comma && c == ','):
			dot = true
		default:
			return 0, 0, wordReason(b)
		}
	}
	if digits == 0 {
		return 0, 0, notNumber
	}
	if negative {
		m = -m
	}
	return m, k, none
}

func wordReason(b []byte) reason {
	switch strings.ToLower(strings.TrimLeft(string(b[:min(len(b), 16)]), "+-")) {
	case "nan", "inf", "infinity", "1.#inf", "1.#qnan":
		return notFinite
	}
	return notNumber
}

// value reads a measured value of element e.
func value(b []byte, e element, u unit, comma bool) (quantity.Tenths, reason) {
	m, k, why := decimal(b, comma)
	if why != none {
		return quantity.Missing, why
	}
	switch u {
	case wholeTenths:
		if k > 0 {
			return quantity.Missing, notTenths
		}
	case wholeUnits:
		m = divide(m*10, powers[k])
	case fahrenheit:
		f := float64(m) / float64(powers[k])
		if f < -1000 || f > 1000 {
			return quantity.Missing, impossible
		}
		m = int64(quantity.ToTenths(float64(quantity.FromFahrenheit(f))))
	case inches:
		// 25.4 mm by definition (quantity.MillimetresPerInch), in whole
		// numbers: 0.75 in is 19.05 mm, and in floating point would round down.
		m = divide(m*254, powers[k])
	}
	if m < limits[e].low || m > limits[e].high {
		return quantity.Missing, impossible
	}
	return quantity.Tenths(m), none
}

// quickTenths reads [spaces] [-] digits in at most five bytes, within the limits
// of e; whatever else there is is left to value.
func quickTenths(b []byte, e element) (quantity.Tenths, bool) {
	switch n := len(b); {
	case n == 5:
		return fiveTenths(uint64(binary.LittleEndian.Uint32(b))|uint64(b[4])<<32, e)
	case n == 0 || n > 5:
		return quantity.Missing, false
	}
	w := uint64(' ') * ones5
	for _, c := range b {
		w = w>>8 | uint64(c)<<32
	}
	return fiveTenths(w, e)
}

const ones5 = 0x0101010101

// fiveTenths is quickTenths of the five low bytes of w; the others are 0. Where
// a padded number begins, and whether it has a sign, changes from row to row,
// so the five bytes are worked on at once instead of branching on each.
func fiveTenths(w uint64, e element) (quantity.Tenths, bool) {
	const (
		space  = ' ' ^ '0'
		minus  = '-' ^ '0'
		toMost = 0x80 - 10 // takes any byte from 10 on to its top bit
	)
	x := w ^ '0'*ones5 // digits become 0 to 9
	other := (x + toMost*ones5) & (0x80 * ones5)
	before := bits.Len64(other) // bits before the first digit
	low := uint64(1)<<before - 1
	if w&(0x80*ones5) != 0 || before == 40 || other != 0x80*ones5&low {
		return quantity.Missing, false
	}
	// Nothing but spaces before it, or a minus in the last byte there, told by
	// the lowest bit of space^minus.
	odd, last := x&low^space*ones5&low, uint(before-8)
	negative := -int64(odd >> last & 1)
	if odd != (space^minus)<<last&uint64(negative) {
		return quantity.Missing, false
	}
	// Eight digits, of which the first three are 0, joined by twos, fours, all.
	x = (x &^ low) << 24
	x = (x*10 + x>>8) & 0x00ff00ff00ff00ff
	x = (x*100 + x>>16) & 0x0000ffff0000ffff
	m := int64((x*10000 + x>>32) & 0xffffffff)
	m = (m ^ negative) - negative // minus m where negative is -1
	if m < limits[e].low || m > limits[e].high {
		return quantity.Missing, false
	}
	return quantity.Tenths(m), true
}

// divide rounds m/by to the nearest whole number, halves away from zero.
func divide(m, by int64) int64 {
	if m < 0 {
		return -((-m + by/2) / by)
	}
	return (m + by/2) / by
}

func trim(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	return b
}

// date reads YYYY-MM-DD or YYYYMMDD (the two forms of ISO 8601), alone or
// before a time of day ("2020-01-01T00:00").
func date(b []byte) (y, m, d int, why reason) {
	b = trim(b)
	if len(b) > 10 && b[4] == '-' && (b[10] == 'T' || b[10] == ' ') {
		b = b[:10]
	}
	switch {
	case len(b) == 10 && b[4] == '-' && b[7] == '-':
		y, m, d = digits(b[:4]), digits(b[5:7]), digits(b[8:10])
	case len(b) == 8:
		y, m, d = digits(b[:4]), digits(b[4:6]), digits(b[6:8])
	default:
		return 0, 0, 0, badDate
	}
	return y, m, d, calendar(y, m, d)
}

// monthMemo remembers the month of the row before: in files that run day by
// day only the last two digits of a date differ.
type monthMemo struct {
	prefix  uint64 // "YYYY-MM-"
	y, m, n int    // n is the days of the month
}

// date is date with a short way for days of the month remembered.
func (k *monthMemo) date(b []byte) (y, m, d int, why reason) {
	if len(b) != 10 {
		return date(b)
	}
	prefix := binary.LittleEndian.Uint64(b)
	if prefix == k.prefix {
		if d = int(b[8]-'0')*10 + int(b[9]-'0'); b[8]-'0' <= 9 && b[9]-'0' <= 9 && d >= 1 && d <= k.n {
			return k.y, k.m, d, none
		}
	}
	if y, m, d, why = date(b); why == none && b[4] == '-' {
		*k = monthMemo{prefix, y, m, day.DaysIn(y, m)}
	}
	return y, m, d, why
}

func calendar(y, m, d int) reason {
	switch {
	case y < 0 || m < 0 || d < 0:
		return badDate
	case m < 1 || m > 12 || d < 1 || d > 28 && d > day.DaysIn(y, m):
		return noSuchDay
	case y < firstYear || y > lastYear:
		return dateRange
	}
	return none
}

// digits reads a number of digits only; -1 if it is not.
func digits(b []byte) int {
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' {
			return -1
		}
		n = n*10 + int(c-'0')
	}
	return n
}

// missingMark tells the ways in which files leave a value out. None of them
// can be a value: -9999 and -99.9 are below any temperature.
func missingMark(b []byte) bool {
	switch len(b) {
	case 0:
		return true
	case 1:
		return b[0] == '-' || b[0] == 'M' || b[0] == 'm'
	case 2:
		return bytes.EqualFold(b, []byte("NA"))
	}
	if b[0] != '-' || b[1] != '9' {
		return len(b) == 4 && bytes.EqualFold(b, []byte("null"))
	}
	switch string(b) {
	case "-9999", "-9999.0", "-999.9", "-999", "-99.9":
		return true
	}
	return false
}
