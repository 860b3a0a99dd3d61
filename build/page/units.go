package page

import (
	"html/template"
	"math"

	"ripeward/build/quantity"
)

// units prints values in both systems. The club's own comes first; without
// JavaScript the other follows in parentheses, with it a switch hides one.
type units struct {
	us bool
	voice
}

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
	return u.both(u.celsius(c, dec), u.fahrenheit(c, dec))
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
	return u.text(u.celsius(c, dec), u.fahrenheit(c, dec))
}

func (v voice) celsius(c float64, dec int) string { return v.Signed(c, dec) + "\u00a0°C" }

func (v voice) fahrenheit(c float64, dec int) string {
	return v.Signed(quantity.Celsius(c).Fahrenheit(), dec) + "\u00a0°F"
}

// diff prints a difference of temperature.
func (u units) diff(c float64, dec int) template.HTML {
	return u.both(u.Signed(c, dec)+"\u00a0°C", u.Signed(quantity.Celsius(c).FahrenheitDifference(), dec)+"\u00a0°F")
}

// heat prints a heat sum.
func (u units) heat(cd float64) template.HTML { return u.both(u.heatTexts(cd)) }

func (v voice) heatTexts(cd float64) (metric, us string) {
	return v.Grouped(cd) + "\u00a0°C·d", v.Grouped(quantity.DegreeDays(cd).Fahrenheit()) + "\u00a0°F·d"
}

func (u units) heatText(cd float64) string {
	return u.text(u.heatTexts(cd))
}

// km prints a distance.
func (u units) km(v float64) template.HTML {
	return u.both(u.Fixed(v, 1)+"\u00a0km", u.Fixed(v/1.609344, 1)+"\u00a0mi")
}

// metres prints a height.
func (u units) metres(v float64) template.HTML {
	return u.both(u.Grouped(v)+"\u00a0m", u.Grouped(v/0.3048)+"\u00a0ft")
}

// litres prints a volume (US liquid gallons).
func (u units) litres(v float64) template.HTML {
	return u.both(u.Trimmed(v, 1)+"\u00a0L", u.Trimmed(v/3.785411784, 1)+"\u00a0gal")
}

// cm prints a length.
func (u units) cm(v float64) template.HTML {
	return u.both(u.Trimmed(v, 1)+"\u00a0cm", u.Trimmed(v/2.54, 0)+"\u00a0in")
}

// kg prints a weight.
func (u units) kg(v float64) template.HTML {
	return u.both(u.Trimmed(v, 0)+"\u00a0kg", u.Trimmed(v/0.45359237, 0)+"\u00a0lb")
}
