package figure

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"ripeward/build/quantity"

	"github.com/golang/freetype/truetype"
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// unit is how many of go-chart's whole-number steps make one unit of the
// viewBox, so that lines keep a tenth of a pixel.
const unit = 10

// pen writes SVG. It is the renderer that go-chart draws with (in tenths), and
// our own charts use its other methods (in units of the viewBox). go-chart's
// own SVG renderer neither escapes text nor leaves out inline styles and class
// names of its own; this one writes classes only. Shapes without a class are
// dropped: they are go-chart's backgrounds.
type pen struct {
	out   []byte
	class string
	path  []byte
	id    string
}

func newPen(h Head, kind string, height float64) *pen {
	size := "rw-wide"
	if h.narrow() {
		size = "rw-narrow"
	}
	w, ht := number(h.width()), number(height)
	p := &pen{out: make([]byte, 0, 8192), id: h.ID}
	p.printf(`<svg xmlns="http://www.w3.org/2000/svg" class="rw-figure rw-%s %s" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-labelledby="%s-title %s-desc">`,
		kind, size, w, ht, w, ht, h.ID, h.ID)
	p.printf("\n<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", h.ID, escape(clean(h.Title)), h.ID, escape(clean(h.Desc)))
	return p
}

// asGroup makes of the picture, at its start, a group whose parts can be
// reached, such as links.
func (p *pen) asGroup() {
	p.out = bytes.Replace(p.out, []byte(` role="img"`), []byte(` role="group"`), 1)
}

func (p *pen) printf(format string, args ...any) { p.out = fmt.Appendf(p.out, format, args...) }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func escape(s string) string { return escaper.Replace(s) }

// number writes a coordinate to a tenth.
func number(v float64) string { return string(appendTenths(nil, int(quantity.Round(v*unit)))) }

func appendTenths(b []byte, t int) []byte {
	if t < 0 {
		b, t = append(b, '-'), -t
	}
	b = strconv.AppendInt(b, int64(t/unit), 10)
	if d := t % unit; d != 0 {
		b = append(b, '.', byte('0'+d))
	}
	return b
}

// hatches writes the patterns that fills refer to.
func (p *pen) hatches() {
	p.printf(`<defs><pattern id="%s-hatch" class="rw-pattern" width="6" height="6" patternUnits="userSpaceOnUse"><path class="rw-hatch-line" d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5"/></pattern></defs>`+"\n", p.id)
}

func (p *pen) rect(class string, x, y, w, h, round float64) {
	p.printf(`<rect class="%s" x="%s" y="%s" width="%s" height="%s"`, class, number(x), number(y), number(w), number(h))
	if round > 0 {
		p.printf(` rx="%s"`, number(min(round, w/2, h/2)))
	}
	p.printf("/>\n")
}

// disc draws a filled circle.
func (p *pen) disc(class string, x, y, r float64) {
	p.printf(`<circle class="%s" cx="%s" cy="%s" r="%s"/>`+"\n", class, number(x), number(y), number(r))
}

// hatch lays the hatching over a rectangle.
func (p *pen) hatch(x, y, w, h float64) {
	p.printf(`<rect class="rw-hatched" x="%s" y="%s" width="%s" height="%s" fill="url(#%s-hatch)"/>`+"\n",
		number(x), number(y), number(w), number(h), p.id)
}

func (p *pen) line(class string, xy ...float64) {
	p.printf(`<path class="%s" d="`, class)
	for i := 0; i+1 < len(xy); i += 2 {
		letter := byte('L')
		if i == 0 {
			letter = 'M'
		}
		p.out = append(p.out, letter)
		p.out = appendTenths(p.out, int(quantity.Round(xy[i]*unit)))
		p.out = append(p.out, ' ')
		p.out = appendTenths(p.out, int(quantity.Round(xy[i+1]*unit)))
	}
	p.printf("\"/>\n")
}

// text writes one line. Anchor is "start", "middle" or "end"; y is that of the
// base line.
func (p *pen) text(class, anchor string, x, y float64, s, whole string) {
	p.printf(`<text class="%s" x="%s" y="%s"`, class, number(x), number(y))
	if anchor != "start" {
		p.printf(` text-anchor="%s"`, anchor)
	}
	p.printf(">%s", escape(s))
	if whole != "" {
		p.printf("<title>%s</title>", escape(clean(whole)))
	}
	p.printf("</text>\n")
}

// lines writes a wrapped label whose middle is at y.
func (p *pen) lines(class, anchor string, x, y float64, lines []string, whole string) {
	top := y - float64(len(lines)-1)*lineStep/2
	for i, l := range lines {
		p.text(class, anchor, x, top+float64(i)*lineStep+4.8, l, whole)
	}
}

// The rest makes pen a chart.Renderer.

var _ chart.Renderer = (*pen)(nil)

func (p *pen) ResetStyle()                                    { p.class = "" }
func (p *pen) GetDPI() float64                                { return chart.DefaultDPI }
func (p *pen) SetDPI(float64)                                 {}
func (p *pen) SetClassName(c string)                          { p.class = c }
func (p *pen) SetStrokeColor(drawing.Color)                   {}
func (p *pen) SetFillColor(drawing.Color)                     {}
func (p *pen) SetStrokeWidth(float64)                         {}
func (p *pen) SetStrokeDashArray([]float64)                   {}
func (p *pen) SetFont(*truetype.Font)                         {}
func (p *pen) SetFontColor(drawing.Color)                     {}
func (p *pen) SetFontSize(float64)                            {}
func (p *pen) SetTextRotation(float64)                        {}
func (p *pen) ClearTextRotation()                             {}
func (p *pen) MoveTo(x, y int)                                { p.step('M', x, y) }
func (p *pen) LineTo(x, y int)                                { p.step('L', x, y) }
func (p *pen) QuadCurveTo(cx, cy, x, y int)                   { p.step('Q', cx, cy, x, y) }
func (p *pen) ArcTo(cx, cy int, rx, ry, start, delta float64) { p.arc(cx, cy, rx, ry, start, delta) }
func (p *pen) Close()                                         { p.path = append(p.path, 'Z') }
func (p *pen) Stroke()                                        { p.flush() }
func (p *pen) Fill()                                          { p.flush() }
func (p *pen) FillStroke()                                    { p.flush() }

func (p *pen) step(letter byte, xy ...int) {
	p.path = append(p.path, letter)
	for i, v := range xy {
		if i > 0 {
			p.path = append(p.path, ' ')
		}
		p.path = appendTenths(p.path, v)
	}
}

// arc draws part of an ellipse as short straight steps.
func (p *pen) arc(cx, cy int, rx, ry, start, delta float64) {
	n := max(2, int(math.Ceil(math.Abs(delta)*16)))
	for i := 0; i <= n; i++ {
		s, c := math.Sincos(start + delta*float64(i)/float64(n))
		letter := byte('L')
		if i == 0 && len(p.path) == 0 {
			letter = 'M'
		}
		p.step(letter, cx+int(quantity.Round(rx*c)), cy+int(quantity.Round(ry*s)))
	}
}

func (p *pen) flush() {
	if p.class != "" && len(p.path) > 0 {
		p.out = append(p.out, `<path class="`...)
		p.out = append(p.out, p.class...)
		p.out = append(p.out, `" d="`...)
		p.out = append(p.out, p.path...)
		p.out = append(p.out, "\"/>\n"...)
	}
	p.path = p.path[:0]
}

func (p *pen) Circle(radius float64, x, y int) {
	if p.class != "" {
		p.printf(`<circle class="%s" cx="%s" cy="%s" r="%s"/>`+"\n", p.class,
			appendTenths(nil, x), appendTenths(nil, y), appendTenths(nil, int(quantity.Round(radius))))
	}
}

func (p *pen) Text(body string, x, y int) {
	if p.class != "" {
		p.text(p.class, "start", float64(x)/unit, float64(y)/unit, clean(body), "")
	}
}

func (p *pen) MeasureText(body string) chart.Box {
	return chart.Box{Right: int(math.Ceil(textWidth(body, tickSize) * unit)), Bottom: int(tickSize * unit)}
}

// end closes the picture.
func (p *pen) end() []byte { return append(p.out, "</svg>\n"...) }

// Save writes the whole picture.
func (p *pen) Save(w io.Writer) error {
	_, err := w.Write(p.end())
	return err
}
