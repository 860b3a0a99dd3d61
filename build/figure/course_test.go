package figure_test

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"ripeward/build/figure"
)

// What a course and a frontier refuse, and what they draw of odd input.
func TestErrorsOfCourseAndFrontier(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	co := func(f func(*figure.Course)) figure.Course { c := course(720); f(&c); return c }
	fr := func(f func(*figure.Frontier)) figure.Frontier { c := frontier(720); f(&c); return c }
	for _, c := range []struct {
		name string
		d    drawer
		want error
	}{
		{"no title", co(func(c *figure.Course) { c.Title = " " }), figure.ErrHead},
		{"backwards", co(func(c *figure.Course) { c.From, c.Until = c.Until, c.From }), figure.ErrRange},
		{"low above high", co(func(c *figure.Course) { c.Low = 5 }), figure.ErrRange},
		{"infinite", co(func(c *figure.Course) { c.Lines[0].Y[1] = inf }), figure.ErrNotFinite},
		{"no such kind", co(func(c *figure.Course) { c.Lines[0].Kind = "gold" }), figure.ErrKind},
		{"band of other length", co(func(c *figure.Course) { c.Band.Low = c.Band.Low[1:] }), figure.ErrShape},
		{"band with a gap", co(func(c *figure.Course) { c.Band.High[7] = nan }), figure.ErrShape},
		{"field upside down", co(func(c *figure.Course) { c.Fields = []figure.Field{{From: 5, Until: 0}} }), figure.ErrRange},
		{"field without an end", co(func(c *figure.Course) { c.Fields = []figure.Field{{From: nan, Until: 5}} }), figure.ErrRange},
		{"nothing", co(func(c *figure.Course) { c.Band, c.Lines = nil, nil }), figure.ErrNothing},
		{"frontier without panels", fr(func(c *figure.Frontier) { c.Panels = nil }), figure.ErrNothing},
		{"frontier without room", fr(func(c *figure.Frontier) { c.Most = 0 }), figure.ErrRange},
		{"effort beyond the edge", fr(func(c *figure.Frontier) { c.Panels[0].Points[0].At = 41 }), figure.ErrRange},
		{"share beyond one", fr(func(c *figure.Frontier) { c.Panels[0].Points[0].Share = 1.01 }), figure.ErrRange},
		{"no share", fr(func(c *figure.Frontier) { c.Panels[0].Points[0].Share = nan }), figure.ErrNotFinite},
		{"target beyond one", fr(func(c *figure.Frontier) { c.Targets = []float64{2} }), figure.ErrRange},
		{"ticks not rising", fr(func(c *figure.Frontier) { c.Ticks[0].At = 50 }), figure.ErrShape},
	} {
		if _, err := c.d.SVG(); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	// The stair climbs only: a dearer way that gives less adds no step to it.
	f := frontier(720)
	f.Panels = f.Panels[:1]
	stair := regexp.MustCompile(`class="rw-line rw-ripe-1" d="([^"]+)"`).FindStringSubmatch(string(draw(t, f)))
	if stair == nil || strings.Count(stair[1], "L") != 6 {
		t.Errorf("the stair is %q, want three ways in six steps", stair)
	}
}

// Fields are cut to the range shown, lie behind everything, and are named where
// there is room.
func TestFields(t *testing.T) {
	c := course(720)
	c.Fields = []figure.Field{{From: math.Inf(-1), Until: 600, Label: "low & <mean>", Chosen: true}, {From: 600, Until: 605, Label: "too thin"}, {From: 9000, Until: math.Inf(1), Label: "beyond"}}
	svg := string(draw(t, c))
	if n := strings.Count(svg, `class="rw-field`); n != 2 {
		t.Errorf("%d fields drawn, want two of three", n)
	}
	if !strings.Contains(svg, ">low &amp; &lt;mean&gt;<") || strings.Contains(svg, "too thin") || strings.Contains(svg, "beyond") {
		t.Error("only the field with room should be named")
	}
	if strings.Index(svg, "rw-field") > strings.Index(svg, "rw-grid") {
		t.Error("a field lies over the grid")
	}
}
