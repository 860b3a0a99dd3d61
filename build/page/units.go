package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"ripeward/build/quantity"
)

// units prints values in both systems. The club's own comes first; without
// JavaScript the other follows in parentheses, with it a switch hides one.
type units struct{ us bool }

// both wraps the two spellings of one value. Class m marks the metric one, u
// the one of the United States; the style sheet hides what the reader does
// not want.
func (u units) both(metric, us string) template.HTML {
	a, b, ac, bc := metric, us, "m", "u"
	if u.us {
		a, b, ac, bc = us, metric, "u", "m"
	}
	return template.HTML(`<span class="` + ac + `">` + template.HTMLEscapeString(a) + `</span><span class="` + bc + `"> <i>(</i>` +
		template.HTMLEscapeString(b) + `<i>)</i></span>`)
}

// text is both in plain text, for titles and text alternatives.
func (u units) text(metric, us string) string {
	if u.us {
		return us + " (" + metric + ")"
	}
	return metric + " (" + us + ")"
}

// temp prints a temperature in °C with dec decimals.
func (u units) temp(c float64, dec int) template.HTML {
	return u.both(celsius(c, dec), fahrenheit(c, dec))
}

// tempTrim prints a temperature as exactly as the club's table gives it, to a
// tenth.
func (u units) tempTrim(c float64) template.HTML {
	if c == math.Trunc(c) {
		return u.temp(c, 0)
	}
	return u.temp(c, 1)
}

func (u units) tempText(c float64, dec int) string {
	return u.text(celsius(c, dec), fahrenheit(c, dec))
}

func celsius(c float64, dec int) string { return signed(c, dec) + "\u00a0°C" }

func fahrenheit(c float64, dec int) string {
	return signed(quantity.Celsius(c).Fahrenheit(), dec) + "\u00a0°F"
}

// diff prints a difference of temperature.
func (u units) diff(c float64, dec int) template.HTML {
	return u.both(signed(c, dec)+"\u00a0°C", signed(quantity.Celsius(c).FahrenheitDifference(), dec)+"\u00a0°F")
}

// heat prints a heat sum.
func (u units) heat(cd float64) template.HTML { return u.both(heatTexts(cd)) }

func heatTexts(cd float64) (metric, us string) {
	return grouped(cd) + "\u00a0°C·d", grouped(quantity.DegreeDays(cd).Fahrenheit()) + "\u00a0°F·d"
}

func (u units) heatText(cd float64) string {
	return u.text(heatTexts(cd))
}

// km prints a distance.
func (u units) km(v float64) template.HTML {
	return u.both(fixed(v, 1)+"\u00a0km", fixed(v/1.609344, 1)+"\u00a0mi")
}

// metres prints a height.
func (u units) metres(v float64) template.HTML {
	return u.both(grouped(v)+"\u00a0m", grouped(v/0.3048)+"\u00a0ft")
}

// litres prints a volume (US liquid gallons).
func (u units) litres(v float64) template.HTML {
	return u.both(trimmed(v, 1)+"\u00a0L", trimmed(v/3.785411784, 1)+"\u00a0gal")
}

// cm prints a length.
func (u units) cm(v float64) template.HTML {
	return u.both(trimmed(v, 1)+"\u00a0cm", trimmed(v/2.54, 0)+"\u00a0in")
}

// kg prints a weight.
func (u units) kg(v float64) template.HTML {
	return u.both(trimmed(v, 0)+"\u00a0kg", trimmed(v/0.45359237, 0)+"\u00a0lb")
}

// fixed prints v with dec decimals and never a negative zero.
func fixed(v float64, dec int) string {
	s := strconv.FormatFloat(v, 'f', dec, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// trimmed is fixed without trailing zeros.
func trimmed(v float64, dec int) string {
	s := fixed(v, dec)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// signed is fixed with the minus sign of print.
func signed(v float64, dec int) string {
	return strings.Replace(fixed(v, dec), "-", "\u2212", 1)
}

// plus is signed with a sign on positive values too.
func plus(v float64, dec int) string {
	s := signed(v, dec)
	if v > 0 && strings.Trim(s, "0.") != "" {
		s = "+" + s
	}
	return s
}

// grouped prints a whole number with thousands set apart.
func grouped(v float64) string {
	n := int(math.Round(v))
	if n < 0 {
		return "\u2212" + thousands(-n)
	}
	return thousands(n)
}

func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
