package figure_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ripeward/build/figure"
)

// country is an invented map of a few places in three zones.
func country(width int) figure.Map {
	m := figure.Map{Head: head("map", width), Zones: []string{"Shore", "Low valleys", "High ground", "Nobody’s"}, Levels: []float64{150, 300, 450}, Relief: "the darker, the higher: lines at 150, 300 and 450 m"}
	for i, p := range []struct {
		name             string
		lat, lon, height float64
		zone             int
	}{
		{"Mossgate", 45.62, -40.60, 95, 0}, {"Quill", 45.66, -40.69, 98, 0}, {"Old Wharf", 45.71, -40.34, 120, 1}, {"Hatherby-under-the-Hill", 45.77, -40.25, 155, 1},
		{"Lantern", 45.80, -40.16, 172, 1}, {"Amberbeck", 45.83, -40.13, 210, 1}, {"Pale Rise", 46.21, -40.09, 435, 2}, {"Topmost", 46.35, -40.30, 550, 2},
	} {
		m.Places = append(m.Places, figure.Place{Name: p.name, Note: fmt.Sprintf("%.0f m", p.height), Href: fmt.Sprintf("towns/p%d/index.html", i), Latitude: p.lat, Longitude: p.lon, HeightM: p.height, Zone: p.zone})
	}
	return m
}

// mapSamples adds maps, typical and awkward, to the samples.
func mapSamples(m map[string]drawer, size string, w int) {
	m["map-"+size] = country(w)

	one := country(w)
	one.ID, one.Places = "map-one", one.Places[:1]
	m["map-one-"+size] = one

	// Places on top of each other, on both sides of the date line, one
	// without a height, names full of markup.
	rough := country(w)
	rough.ID, rough.Relief = "map-awkward", ""
	for i := range rough.Places {
		p := &rough.Places[i]
		p.Latitude, p.Longitude = -17+p.Latitude/100, 180-float64(i)*0.02
		if i%2 == 1 {
			p.Longitude -= 359.5
		}
		p.Name = `<b>"A&B"</b> of a long long name that nobody reads`
	}
	rough.Places[0].HeightM = math.NaN()
	rough.Places[3].Latitude, rough.Places[3].Longitude = rough.Places[2].Latitude, rough.Places[2].Longitude
	m["map-awkward-"+size] = rough

	many := country(w)
	many.ID, many.Zones = "map-many", nil
	many.Places = nil
	for i := range 14 {
		many.Zones = append(many.Zones, fmt.Sprintf("Zone %d", i+1))
	}
	for i := range 120 {
		a := float64(i) * 2.39996
		many.Places = append(many.Places, figure.Place{Name: fmt.Sprintf("Place %d", i), Href: "x", Latitude: 50 + math.Sqrt(float64(i))*math.Sin(a)/20, Longitude: 8 + math.Sqrt(float64(i))*math.Cos(a)/12, HeightM: 300 + 250*math.Sin(float64(i)/9), Zone: i % 14})
	}
	m["map-many-"+size] = many
}

// North is up, east is right, and both to the same scale.
func TestMapPlaces(t *testing.T) {
	m := figure.Map{Head: head("m", 640), Zones: []string{"a"}}
	for _, at := range [][2]float64{{60, 10}, {60.5, 10}, {60, 11}} { // at 60° a degree of longitude is half as long
		m.Places = append(m.Places, figure.Place{Name: "x", Latitude: at[0], Longitude: at[1], HeightM: math.NaN()})
	}
	var at [][2]float64
	for _, e := range parse(t, draw(t, m)) {
		if e.name == "circle" && strings.Contains(e.within, "a ") {
			at = append(at, [2]float64{num(t, e.attr["cx"]), num(t, e.attr["cy"])})
		}
	}
	if len(at) != 3 {
		t.Fatalf("%d marks", len(at))
	}
	up, right := at[0][1]-at[1][1], at[2][0]-at[0][0]
	if up <= 0 || right <= 0 || math.Abs(up/right-1) > 0.02 {
		t.Errorf("half a degree north is %.1f up, a degree east %.1f to the right", up, right)
	}
}

// Every place is a link with a name, labelled or not, and a sparse map labels
// all of them.
func TestMapLinks(t *testing.T) {
	for name, d := range samples() {
		m, ok := d.(figure.Map)
		if !ok {
			continue
		}
		es := parse(t, draw(t, d))
		links, labels := 0, 0
		for i, e := range es {
			switch {
			case e.name == "a":
				links++
				if es[i+1].name != "title" || es[i+1].text == "" {
					t.Errorf("%s: a link without a name", name)
				}
			case e.name == "text" && strings.Contains(e.within, "a "):
				labels++
			}
		}
		if links != len(m.Places) {
			t.Errorf("%s: %d links for %d places", name, links, len(m.Places))
		}
		if m.ID == "map" && labels != links {
			t.Errorf("%s: %d of %d places are labelled", name, labels, links)
		}
	}
}

// Zones differ in shape: marks moved to the same place differ in form, not
// only in class.
func TestMapShapes(t *testing.T) {
	forms := map[string]bool{}
	class := regexp.MustCompile(` class="[^"]*"`)
	for zone := range 12 {
		m := figure.Map{Head: head("m", 640), Zones: make([]string, 12), Places: []figure.Place{{Name: "x", Zone: zone}}}
		svg := draw(t, m)
		from := bytes.Index(svg, []byte("<a "))
		forms[string(class.ReplaceAll(svg[from:bytes.Index(svg, []byte("<text"))], nil))] = true
	}
	if len(forms) != 12 {
		t.Errorf("%d shapes for 12 zones", len(forms))
	}
}

// The shading holds what lies at a level or above it: a town inside a ring is
// higher than the level, one outside lower.
func TestRelief(t *testing.T) {
	m := country(640)
	m.Levels = []float64{300}
	var rings [][][2]float64
	marks := map[string][2]float64{}
	es := parse(t, draw(t, m))
	for i, e := range es {
		if e.attr["class"] == "rw-relief" && !strings.Contains(e.within, "a ") && len(rings) == 0 {
			for ring := range strings.SplitSeq(strings.TrimSuffix(e.attr["d"], "Z"), "Z") {
				var pts [][2]float64
				ns := pathNumber.FindAllString(ring, -1)
				for k := 0; k+1 < len(ns); k += 2 {
					pts = append(pts, [2]float64{num(t, ns[k]), num(t, ns[k+1])})
				}
				rings = append(rings, pts)
			}
		}
		if e.name == "a" {
			r := es[i+2] // the square to press
			marks[es[i+1].text] = [2]float64{num(t, r.attr["x"]) + num(t, r.attr["width"])/2, num(t, r.attr["y"]) + num(t, r.attr["height"])/2}
		}
	}
	if len(rings) == 0 {
		t.Fatal("no rings")
	}
	inside := func(p [2]float64) bool {
		in := false
		for _, r := range rings {
			for i, a := range r {
				b := r[(i+1)%len(r)]
				if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < (b[0]-a[0])*(p[1]-a[1])/(b[1]-a[1])+a[0] {
					in = !in
				}
			}
		}
		return in
	}
	for _, p := range m.Places {
		if got := inside(marks[p.Name+", "+p.Note]); got != (p.HeightM >= 300) {
			t.Errorf("%s at %v m lies inside the ring of 300 m: %v", p.Name, p.HeightM, got)
		}
	}
}

func TestMapErrors(t *testing.T) {
	change := func(f func(*figure.Map)) figure.Map {
		m := country(640)
		m.Places = slices.Clone(m.Places)
		f(&m)
		return m
	}
	for name, c := range map[string]struct {
		m    figure.Map
		want error
	}{
		"no places":     {change(func(m *figure.Map) { m.Places = nil }), figure.ErrNothing},
		"nowhere":       {change(func(m *figure.Map) { m.Places[1].Latitude = math.NaN() }), figure.ErrNotFinite},
		"endless":       {change(func(m *figure.Map) { m.Places[1].HeightM = math.Inf(1) }), figure.ErrNotFinite},
		"off the globe": {change(func(m *figure.Map) { m.Places[1].Latitude = 91 }), figure.ErrRange},
		"zone unknown":  {change(func(m *figure.Map) { m.Places[1].Zone = 4 }), figure.ErrKind},
		"levels fall":   {change(func(m *figure.Map) { m.Levels = []float64{2, 1} }), figure.ErrShape},
		"no title":      {change(func(m *figure.Map) { m.Title = "" }), figure.ErrHead},
	} {
		if svg, err := c.m.SVG(); !errors.Is(err, c.want) || svg != nil {
			t.Errorf("%s: %d bytes and %v, want %v", name, len(svg), err, c.want)
		}
	}
}

func BenchmarkMap(b *testing.B) { benchmark(b, country(640)) }
