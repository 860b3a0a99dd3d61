package icon

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"ripeward/templates"
)

func ours(t testing.TB) Drawing {
	t.Helper()
	svg, err := templates.Files.ReadFile("assets/icon.svg")
	if err != nil {
		t.Fatal(err)
	}
	d, err := Parse(svg)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

var paper = color.RGBA{0xfc, 0xf9, 0xf2, 0xff}

func TestSquareCoversWhatItShould(t *testing.T) {
	// A square of a quarter of the area, half a pixel off the grid on one
	// side: pixels inside are full, those on the edge half, by geometry.
	d, err := Parse([]byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 8"><path fill="#ff0000" d="M2 2L6.5 2L6.5 6L2 6Z"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	m := d.Draw(8, Look{})
	for y := range 8 {
		for x := range 8 {
			want := color.RGBA{}
			if y >= 2 && y < 6 && x >= 2 && x < 6 {
				want = color.RGBA{255, 0, 0, 255}
			} else if y >= 2 && y < 6 && x == 6 {
				want = color.RGBA{128, 0, 0, 128}
			}
			if got := m.RGBAAt(x, y); got != want {
				t.Errorf("pixel %d,%d is %v, want %v", x, y, got, want)
			}
		}
	}
}

// The area of a drawn circle of cubic curves is that of the circle, but for
// the 0.06 % that four such curves are off (common practice).
func TestCircleArea(t *testing.T) {
	d, err := Parse([]byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20"><path fill="#000000" d="M18 10C18 14.42 14.42 18 10 18C5.58 18 2 14.42 2 10C2 5.58 5.58 2 10 2C14.42 2 18 5.58 18 10Z"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	m := d.Draw(400, Look{})
	sum := 0.0
	for i := 3; i < len(m.Pix); i += 4 {
		sum += float64(m.Pix[i]) / 255
	}
	want := 3.14159265 * 160 * 160
	if sum < want*0.998 || sum > want*1.002 {
		t.Errorf("the circle covers %.0f pixels, want %.0f", sum, want)
	}
}

func TestNonZeroRule(t *testing.T) {
	// Two overlapping squares drawn the same way round: the overlap is
	// inside. Drawn the other way round, the inner one is a hole.
	for _, c := range []struct {
		inner string
		want  uint8
	}{{"M2 2L6 2L6 6L2 6Z", 255}, {"M2 2L2 6L6 6L6 2Z", 0}} {
		d, err := Parse([]byte(`<svg viewBox="0 0 8 8"><path fill="#00ff00" d="M0 0L8 0L8 8L0 8Z` + c.inner + `"/></svg>`))
		if err != nil {
			t.Fatal(err)
		}
		if got := d.Draw(8, Look{}).RGBAAt(4, 4).A; got != c.want {
			t.Errorf("%s: middle has alpha %d, want %d", c.inner, got, c.want)
		}
	}
}

func TestOurIcon(t *testing.T) {
	d := ours(t)
	m := d.Draw(512, Look{})
	purple, straw := color.RGBA{0x56, 0x27, 0x83, 255}, color.RGBA{0xe2, 0xcd, 0x98, 255}
	for _, c := range []struct {
		x, y int
		want color.RGBA
	}{{0, 0, color.RGBA{}}, {511, 511, color.RGBA{}}, {256, 100, purple}, {256, 300, straw}, {120, 400, purple}} {
		if got := m.RGBAAt(c.x, c.y); got != c.want {
			t.Errorf("pixel %d,%d is %v, want %v", c.x, c.y, got, c.want)
		}
	}
	// A maskable icon is opaque, and everything of meaning lies in the circle
	// of 40 % of the side (W3C Web Application Manifest, "safe zone").
	k := d.Draw(512, Look{Inset: 10, Paper: paper})
	for y := range 512 {
		for x := range 512 {
			got := k.RGBAAt(x, y)
			dx, dy := x-256, y-256
			if got.A != 255 {
				t.Fatalf("pixel %d,%d is not opaque", x, y)
			}
			if dx*dx+dy*dy > 205*205 && got != paper {
				t.Fatalf("pixel %d,%d lies outside the safe zone and is %v", x, y, got)
			}
		}
	}
}

// The same pixels on every machine: the sum pins them, so that another
// processor or another release of Go shows itself here. It says nothing of
// whether the picture is right; the tests above do.
func TestSamePixels(t *testing.T) {
	d := ours(t)
	one, two := d.Draw(192, Look{Inset: 10, Paper: paper}), ours(t).Draw(192, Look{Inset: 10, Paper: paper})
	if !bytes.Equal(one.Pix, two.Pix) {
		t.Error("two drawings differ")
	}
	a, err := PNG(one)
	if err != nil {
		t.Fatal(err)
	}
	b, err := PNG(two)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a, b) {
		t.Error("two files of one drawing differ")
	}
	sum := sha256.Sum256(one.Pix)
	if got, want := hex.EncodeToString(sum[:8]), "80c7770f6912ae5c"; got != want {
		t.Errorf("pixels have the sum %s, not %s", got, want)
	}
	back, err := png.Decode(bytes.NewReader(a))
	if err != nil {
		t.Fatal(err)
	}
	for y := range 192 {
		for x := range 192 {
			r, g, bl, al := back.At(x, y).RGBA()
			r2, g2, b2, a2 := one.At(x, y).RGBA()
			if r != r2 || g != g2 || bl != b2 || al != a2 {
				t.Fatalf("pixel %d,%d does not come back from the file", x, y)
			}
		}
	}
}

func TestICO(t *testing.T) {
	d := ours(t)
	data, err := ICO(d.Draw(16, Look{}), d.Draw(32, Look{}))
	if err != nil {
		t.Fatal(err)
	}
	le := binary.LittleEndian
	if le.Uint16(data) != 0 || le.Uint16(data[2:]) != 1 || le.Uint16(data[4:]) != 2 {
		t.Fatalf("head % x", data[:6])
	}
	end := 6 + 2*16
	for i, side := range []int{16, 32} {
		e := data[6+16*i:]
		size, at := int(le.Uint32(e[8:])), int(le.Uint32(e[12:]))
		if int(e[0]) != side || int(e[1]) != side || at != end {
			t.Errorf("entry %d: % x", i, e[:16])
		}
		c, err := png.DecodeConfig(bytes.NewReader(data[at : at+size]))
		if err != nil || c.Width != side || c.Height != side {
			t.Errorf("picture %d: %v %v", i, c, err)
		}
		end = at + size
	}
	if end != len(data) {
		t.Errorf("%d bytes, %d told", len(data), end)
	}
	if _, err := ICO(); err == nil {
		t.Error("a file without pictures")
	}
	if _, err := ICO(image.NewRGBA(image.Rect(0, 0, 300, 300))); err == nil {
		t.Error("a picture too large for the directory is taken")
	}
}

func TestParseRefuses(t *testing.T) {
	path := func(p string) string { return `<svg viewBox="0 0 8 8">` + p + `</svg>` }
	for name, c := range map[string]struct{ svg, says string }{
		"no XML":           {`<svg`, "EOF"},
		"nothing":          {`<svg viewBox="0 0 8 8"></svg>`, "nothing to draw"},
		"not square":       {`<svg viewBox="0 0 8 9"/>`, "no square"},
		"a circle":         {path(`<circle r="3"/>`), "only paths"},
		"a stroke":         {path(`<path fill="#000000" stroke="#ffffff" d="M0 0L1 1Z"/>`), "stroke"},
		"a style":          {path(`<path style="fill:red" d="M0 0L1 1Z"/>`), "style"},
		"a colour's name":  {path(`<path fill="red" d="M0 0L1 1Z"/>`), "#rrggbb"},
		"relative":         {path(`<path fill="#000000" d="M0 0l1 1Z"/>`), `"l"`},
		"not closed":       {path(`<path fill="#000000" d="M0 0L1 1"/>`), "not closed"},
		"too short":        {path(`<path fill="#000000" d="M0 0C1 1 2"/>`), "too early"},
		"too fine":         {path(`<path fill="#000000" d="M0.125 0L1 1Z"/>`), "two decimals"},
		"no number":        {path(`<path fill="#000000" d="M0 --1L1 1Z"/>`), "no number"},
		"begins with line": {path(`<path fill="#000000" d="L0 0L1 1Z"/>`), `"L"`},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := Parse([]byte(c.svg)); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("says %v, want %q", err, c.says)
			}
		})
	}
}

func FuzzParse(f *testing.F) {
	svg, err := templates.Files.ReadFile("assets/icon.svg")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(svg))
	f.Fuzz(func(t *testing.T, svg string) {
		if d, err := Parse([]byte(svg)); err == nil {
			d.Draw(4, Look{})
		}
	})
}

func BenchmarkDraw512(b *testing.B) {
	d := ours(b)
	for b.Loop() {
		if _, err := PNG(d.Draw(512, Look{})); err != nil {
			b.Fatal(err)
		}
	}
}
