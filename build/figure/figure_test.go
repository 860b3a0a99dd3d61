package figure_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"ripeward/build/figure"
)

var (
	update  = flag.Bool("update", false, "rewrite the files in testdata")
	gallery = flag.String("gallery", "", "write an HTML page with all samples into this folder")
)

func draw(t testing.TB, d drawer) []byte {
	t.Helper()
	svg, err := d.SVG()
	if err != nil {
		t.Fatal(err)
	}
	return svg
}

type element struct {
	name   string
	attr   map[string]string
	text   string // of text elements, without that of children
	within string // names of the elements around it
}

func parse(t *testing.T, svg []byte) []element {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	var all []element
	var open []int
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := element{name: x.Name.Local, attr: map[string]string{}}
			for _, i := range open {
				e.within += all[i].name + " "
			}
			for _, a := range x.Attr {
				if _, twice := e.attr[a.Name.Local]; twice {
					t.Errorf("<%s> has %s twice", e.name, a.Name.Local)
				}
				e.attr[a.Name.Local] = a.Value
			}
			all = append(all, e)
			open = append(open, len(all)-1)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				all[open[len(open)-1]].text += string(x)
			}
		}
	}
	return all
}

type box struct {
	x0, y0, x1, y1 float64
	what           string
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		t.Fatalf("coordinate %q: %v", s, err)
	}
	return v
}

var (
	pathNumber = regexp.MustCompile(`-?[0-9.]+(e[-+]?[0-9]+)?`)
	pathForm   = regexp.MustCompile(`^([ML]-?[0-9.]+ -?[0-9.]+|V-?[0-9.]+|Z)+$`)
	classForm  = regexp.MustCompile(`^rw-[a-z0-9-]+( rw-[a-z0-9-]+)*$`)
)

// TestForm checks what every chart promises: well-formed XML with a name and a
// description, classes of ours only, no style, unique ids, everything inside
// the picture, and no label on another.
func TestForm(t *testing.T) {
	all := samples()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		t.Run(name, func(t *testing.T) {
			svg := draw(t, all[name])
			es := parse(t, svg)
			root, role := es[0], "img"
			if strings.HasPrefix(name, "map-") {
				role = "group" // its links can be reached
			}
			if root.name != "svg" || root.attr["role"] != role || root.attr["xmlns"] != "http://www.w3.org/2000/svg" {
				t.Fatalf("root %v", root)
			}
			var w, h float64
			if _, err := fmt.Sscanf(root.attr["viewBox"], "0 0 %g %g", &w, &h); err != nil || w <= 0 || h <= 0 || h > 5000 {
				t.Fatalf("viewBox %q", root.attr["viewBox"])
			}
			ids := map[string]string{}
			var boxes []box
			inside := func(x, y float64, what string) {
				if x < 0 || x > w || y < 0 || y > h {
					t.Errorf("%s at %g,%g is outside %g × %g", what, x, y, w, h)
				}
			}
			for _, e := range es {
				if id := e.attr["id"]; id != "" {
					if ids[id] != "" {
						t.Errorf("id %s twice", id)
					}
					ids[id] = e.text
				}
				for a, v := range e.attr {
					if a == "style" || strings.HasPrefix(a, "on") || a == "href" && e.name != "a" {
						t.Errorf("<%s> has %s=%q", e.name, a, v)
					}
				}
				if c, has := e.attr["class"]; has && !classForm.MatchString(c) {
					t.Errorf("class %q", c)
				} else if !has && !slices.Contains([]string{"title", "desc", "defs"}, e.name) {
					t.Errorf("<%s> has no class", e.name)
				}
				if strings.Contains(e.within, "pattern") {
					continue
				}
				switch e.name {
				case "svg", "title", "desc", "defs", "pattern", "a":
				case "path":
					if !pathForm.MatchString(e.attr["d"]) {
						t.Errorf("path %q", e.attr["d"])
					}
					for _, part := range regexp.MustCompile(`[MLV][^MLVZ]*`).FindAllString(e.attr["d"], -1) {
						ns := pathNumber.FindAllString(part, -1)
						if part[0] == 'V' {
							inside(0, num(t, ns[0]), part)
						} else {
							inside(num(t, ns[0]), num(t, ns[1]), part)
						}
					}
				case "rect":
					x, y, rw, rh := num(t, e.attr["x"]), num(t, e.attr["y"]), num(t, e.attr["width"]), num(t, e.attr["height"])
					if rw < 0 || rh < 0 {
						t.Errorf("rect of %g × %g", rw, rh)
					}
					inside(x, y, "rect")
					inside(x+rw, y+rh, "rect")
				case "circle":
					x, y, r := num(t, e.attr["cx"]), num(t, e.attr["cy"]), num(t, e.attr["r"])
					inside(x-r, y-r, "circle")
					inside(x+r, y+r, "circle")
				case "text":
					size := 14.0
					if strings.Contains(e.attr["class"], "rw-tick") {
						size = 13
					}
					x, y, tw := num(t, e.attr["x"]), num(t, e.attr["y"]), figure.TextWidth(e.text, size)
					switch e.attr["text-anchor"] {
					case "middle":
						x -= tw / 2
					case "end":
						x -= tw
					}
					b := box{x, y - 0.76*size, x + tw, y + 0.24*size, e.text}
					inside(b.x0, b.y0, "text "+e.text)
					inside(b.x1, b.y1, "text "+e.text)
					boxes = append(boxes, b)
				default:
					t.Errorf("element <%s>", e.name)
				}
			}
			for i, a := range boxes {
				for _, b := range boxes[:i] {
					if a.x0 < b.x1-0.1 && b.x0 < a.x1-0.1 && a.y0 < b.y1-0.1 && b.y0 < a.y1-0.1 {
						t.Errorf("%q lies on %q (%+v, %+v)", a.what, b.what, a, b)
					}
				}
			}
			named := strings.Fields(root.attr["aria-labelledby"])
			if len(named) != 2 {
				t.Errorf("aria-labelledby %q", root.attr["aria-labelledby"])
			}
			for _, id := range named {
				if strings.TrimSpace(ids[id]) == "" {
					t.Errorf("%s names nothing", id)
				}
			}
			for _, m := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllSubmatch(svg, -1) {
				if _, ok := ids[string(m[1])]; !ok {
					t.Errorf("url(#%s) leads nowhere", m[1])
				}
			}
			if !bytes.Equal(svg, draw(t, samples()[name])) {
				t.Error("drawn twice, the bytes differ")
			}
		})
	}
}

func TestGolden(t *testing.T) {
	all := samples()
	var known []string
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if strings.Contains(name, "-many-") || strings.Contains(name, "centuries") || strings.Contains(name, "huge") {
			continue
		}
		file := filepath.Join("testdata", name+".svg")
		known = append(known, file)
		got := draw(t, all[name])
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs (go test -update rewrites it)", file)
		}
	}
	files, _ := filepath.Glob("testdata/*.svg")
	for _, f := range files {
		if !slices.Contains(known, f) {
			t.Errorf("%s belongs to no sample", f)
		}
	}
}

func TestErrors(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	line := func(f func(*figure.Line)) figure.Race {
		r := race(720)
		f(&r.Lines[0])
		return r
	}
	year := func(f func(*figure.Yearly)) figure.Yearly { y := heat(720); f(&y); return y }
	rib := func(f func(*figure.Ribbon)) figure.Ribbon { r := ribbon(720); f(&r); return r }
	tests := []struct {
		name string
		d    drawer
		want error
	}{
		{"ribbon without rows", rib(func(r *figure.Ribbon) { r.Rows = nil }), figure.ErrNothing},
		{"ribbon backwards", rib(func(r *figure.Ribbon) { r.From, r.Until = 10, 10 }), figure.ErrRange},
		{"ribbon without end", rib(func(r *figure.Ribbon) { r.Until = nan }), figure.ErrNotFinite},
		{"stretch backwards", rib(func(r *figure.Ribbon) { r.Rows[0].Stretches[0].Until = 1 }), figure.ErrRange},
		{"stretch without end", rib(func(r *figure.Ribbon) { r.Rows[0].Stretches[0].Until = inf }), figure.ErrNotFinite},
		{"stretch of no kind", rib(func(r *figure.Ribbon) { r.Behind[0].Kind = "x" }), figure.ErrKind},
		{"mark nowhere", rib(func(r *figure.Ribbon) { r.Rows[0].Marks[0].At = nan }), figure.ErrNotFinite},
		{"key of no kind", rib(func(r *figure.Ribbon) { r.Keys[0].Kind = "x" }), figure.ErrKind},
		{"ticks mixed up", rib(func(r *figure.Ribbon) { r.Ticks[3].At = 2 }), figure.ErrShape},
		{"no id", rib(func(r *figure.Ribbon) { r.ID = "" }), figure.ErrHead},
		{"id with a quote", rib(func(r *figure.Ribbon) { r.ID = `a"b` }), figure.ErrHead},
		{"no title", rib(func(r *figure.Ribbon) { r.Title = " " }), figure.ErrHead},
		{"no description", rib(func(r *figure.Ribbon) { r.Desc = "\x00" }), figure.ErrHead},
		{"too narrow", rib(func(r *figure.Ribbon) { r.Width = 100 }), figure.ErrHead},
		{"race without lines", figure.Race{Head: head("a", 0), From: 1, Until: 2}, figure.ErrNothing},
		{"race of gaps", figure.Race{Head: head("a", 0), From: 1, Until: 2, Lines: []figure.Line{{Kind: "frost", X: []float64{1, 2}, Y: []float64{nan, nan}}}}, figure.ErrNothing},
		{"race outside", figure.Race{Head: head("a", 0), From: 1, Until: 2, Lines: []figure.Line{{Kind: "frost", X: []float64{3, 4}, Y: []float64{0, 1}}}}, figure.ErrNothing},
		{"share above 1", line(func(l *figure.Line) { l.Y[40] = 1.1 }), figure.ErrRange},
		{"endless share", line(func(l *figure.Line) { l.Y[40] = inf }), figure.ErrNotFinite},
		{"day that is none", line(func(l *figure.Line) { l.X[40] = nan }), figure.ErrNotFinite},
		{"days mixed up", line(func(l *figure.Line) { l.X[40] = 1 }), figure.ErrShape},
		{"days missing", line(func(l *figure.Line) { l.X = l.X[1:] }), figure.ErrShape},
		{"line of no kind", line(func(l *figure.Line) { l.Kind = "ripe-7" }), figure.ErrKind},
		{"no years", figure.Yearly{Head: head("a", 0)}, figure.ErrNothing},
		{"years without values", year(func(y *figure.Yearly) { y.Values = y.Values[1:] }), figure.ErrShape},
		{"years mixed up", year(func(y *figure.Yearly) { y.Years[3] = 1 }), figure.ErrShape},
		{"all gaps", figure.Yearly{Head: head("a", 0), Years: []int{1, 2}, Values: []float64{nan, nan}}, figure.ErrNothing},
		{"endless value", year(func(y *figure.Yearly) { y.Values[3] = -inf }), figure.ErrNotFinite},
		{"range backwards", year(func(y *figure.Yearly) { y.Low, y.High = 2, 1 }), figure.ErrRange},
		{"range without end", year(func(y *figure.Yearly) { y.High = nan }), figure.ErrNotFinite},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			svg, err := tt.d.SVG()
			if !errors.Is(err, tt.want) || svg != nil {
				t.Errorf("got %d bytes and %v, want %v", len(svg), err, tt.want)
			}
		})
	}
}

// Drawing must not change the description: descriptions share slices.
func TestInputsStay(t *testing.T) {
	r := race(720)
	r.Lines[0].Y[52] = 1 + 1e-9
	draw(t, r)
	if r.Lines[0].Y[52] == 1 {
		t.Error("a share was changed in the caller's slice")
	}
}

func TestManyAtOnce(t *testing.T) {
	all := samples()
	want := map[string][]byte{}
	for name, d := range all {
		want[name] = draw(t, d)
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for name, d := range all {
				if svg, err := d.SVG(); err != nil || !bytes.Equal(svg, want[name]) {
					t.Errorf("%s: %v", name, err)
				}
			}
		})
	}
	wg.Wait()
}

func TestGaps(t *testing.T) {
	y := heat(720) // two years are missing: the joined line is in two parts
	if n := strings.Count(string(draw(t, y)), `rw-joined"`); n != 2 {
		t.Errorf("%d parts, want 2", n)
	}
	if n := strings.Count(string(draw(t, y)), "<circle"); n != 38 {
		t.Errorf("%d dots, want 38", n)
	}
}

func TestRounded(t *testing.T) {
	tests := []struct {
		lo, hi float64
		want   string
	}{
		{0, 100, "0 20 40 60 80 100"},
		{-17.2, 3, "−20 −15 −10 −5 0 5"},
		{0.02, 0.09, "0.02 0.04 0.06 0.08 0.10"},
		{7, 7, "6.4 6.6 6.8 7.0 7.2 7.4 7.6"},
		{1180, 1533, "1100 1200 1300 1400 1500 1600"},
	}
	for _, tt := range tests {
		var got []string
		ts := figure.Rounded(tt.lo, tt.hi, 6)
		for _, x := range ts {
			got = append(got, x.Label)
		}
		if s := strings.Join(got, " "); s != tt.want {
			t.Errorf("%g to %g: %s, want %s", tt.lo, tt.hi, s, tt.want)
		}
		if ts[0].At > tt.lo || ts[len(ts)-1].At < tt.hi {
			t.Errorf("%g to %g is not covered", tt.lo, tt.hi)
		}
	}
}

func TestWrap(t *testing.T) {
	tests := []struct {
		s     string
		width float64
		want  string
		cut   bool
	}{
		{"one", 100, "one", false},
		{"", 100, "", false},
		{"one two three", 60, "one two|three", false},
		{"one two three four five six", 60, "one two|three…", true},
		{"unbreakableword", 70, "unbreaka|bleword", false},
		{"xxxx", 1, "…", true},
	}
	for _, tt := range tests {
		lines, cut := figure.Wrap(tt.s, 14, tt.width, 2)
		if got := strings.Join(lines, "|"); got != tt.want || cut != tt.cut {
			t.Errorf("%q in %g: %q %v, want %q %v", tt.s, tt.width, got, cut, tt.want, tt.cut)
		}
	}
}

// Contrast as in WCAG 2.2: text 4.5:1 (1.4.3), lines and marks 3:1 (1.4.11).
func TestContrast(t *testing.T) {
	luminance := func(hex string) float64 {
		l := 0.0
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
			if err != nil {
				t.Fatal(err)
			}
			c := float64(n) / 255
			if c <= 0.04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			l += weight * c
		}
		return l
	}
	ratio := func(a, b string) float64 {
		x, y := luminance(a), luminance(b)
		return (max(x, y) + 0.05) / (min(x, y) + 0.05)
	}
	for _, theme := range []string{"light", "dark", "print"} {
		c := figure.Colours(theme)
		for _, text := range []string{"ink", "muted"} {
			for _, ground := range []string{"paper", "tint", "frost-soft"} {
				if r := ratio(c[text], c[ground]); r < 4.5 {
					t.Errorf("%s: %s on %s has %.2f:1", theme, text, ground, r)
				}
			}
		}
		for _, line := range []string{"frost", "hard-frost", "wake", "ripe-middle", "ripe-1", "ripe-2", "ripe-3", "ripe-4", "ripe-5", "ripe-6", "trend", "level", "dot"} {
			for _, ground := range []string{"paper", "tint"} {
				if r := ratio(c[line], c[ground]); r < 3 {
					t.Errorf("%s: %s on %s has %.2f:1", theme, line, ground, r)
				}
			}
		}
	}
	if figure.Palette("sepia") != "" {
		t.Error("a theme that is none")
	}
}

// Every property that the style sheet reads is in the palette, with the light
// value as fallback, and every property of the palette is read.
func TestStyleSheet(t *testing.T) {
	css, light := figure.StyleSheet(), figure.Colours("light")
	read := map[string]bool{"font": true}
	for _, m := range regexp.MustCompile(`var\(--rw-([a-z0-9-]+), (#[0-9a-f]+)\)`).FindAllStringSubmatch(css, -1) {
		read[m[1]] = true
		if light[m[1]] != m[2] {
			t.Errorf("--rw-%s falls back to %s, the palette has %s", m[1], m[2], light[m[1]])
		}
	}
	for _, m := range regexp.MustCompile(`var\(--rw-([a-z0-9-]+)`).FindAllStringSubmatch(css, -1) {
		if !read[m[1]] {
			t.Errorf("--rw-%s has no colour as fallback", m[1])
		}
	}
	for name := range light {
		if !read[name] {
			t.Errorf("nothing reads --rw-%s", name)
		}
	}
	for _, m := range regexp.MustCompile(`\.([a-zA-Z_][\w-]*)`).FindAllStringSubmatch(css, -1) {
		if !strings.HasPrefix(m[1], "rw-") {
			t.Errorf("class %s", m[1])
		}
	}
}

func TestGallery(t *testing.T) {
	if *gallery == "" {
		t.Skip("no -gallery folder given")
	}
	all := samples()
	for _, theme := range []string{"light", "dark", "print"} {
		for _, size := range []string{"wide", "narrow"} {
			var b strings.Builder
			fmt.Fprintf(&b, "<!doctype html><meta charset=utf-8><meta name=viewport content='width=device-width'><title>Charts</title><style>:root{%s}\nbody{background:var(--rw-paper);color:var(--rw-ink);margin:0;padding:8px;max-width:%s;font-family:sans-serif}figure{margin:0 0 28px}\n%s</style>",
				figure.Palette(theme), map[string]string{"wide": "720px", "narrow": "344px"}[size], figure.StyleSheet())
			for _, name := range slices.Sorted(maps.Keys(all)) {
				if strings.HasSuffix(name, size) {
					svg := string(draw(t, all[name]))
					fmt.Fprintf(&b, "<figure>%s</figure>\n", svg)
				}
			}
			if err := os.WriteFile(filepath.Join(*gallery, theme+"-"+size+".html"), []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func benchmark(b *testing.B, d drawer) {
	draw(b, d)
	b.ReportAllocs()
	for b.Loop() {
		draw(b, d)
	}
}

func BenchmarkRibbon(b *testing.B) { benchmark(b, ribbon(720)) }
func BenchmarkRace(b *testing.B)   { benchmark(b, race(720)) }
func BenchmarkYearly(b *testing.B) { benchmark(b, heat(720)) }
