package figure_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/figure"
)

// Numbers that a chart chooses are written as the caller writes them; its
// coordinates are not.
func TestNumber(t *testing.T) {
	comma := func(v float64, decimals int) string {
		return strings.Replace(strconv.FormatFloat(v, 'f', decimals, 64), ".", ",", 1)
	}
	head := figure.Head{ID: "n", Title: "T", Desc: "D", Number: comma}
	yearly := figure.Yearly{Head: head, Years: []int{2000, 2001}, Values: []float64{0.1, 0.7}}
	course := figure.Course{Head: head, From: 0, Until: 1, Lines: []figure.Line{{Kind: "level", X: []float64{0, 1}, Y: []float64{0.1, 0.7}}}}
	places := figure.Map{Head: head, Zones: []string{"a"}, Places: []figure.Place{{Name: "A", Href: "a", Latitude: 45}, {Name: "B", Href: "b", Latitude: 45, Longitude: 0.01}}}
	label := regexp.MustCompile(`>0,\d`)
	attributes := regexp.MustCompile(`(?:d|x|y|cx|cy|width|height|viewBox)="[^"]*,[^"]*"`)
	for name, draw := range map[string]func() ([]byte, error){"yearly": yearly.SVG, "course": course.SVG, "map": places.SVG} {
		svg, err := draw()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !label.Match(svg) {
			t.Errorf("%s: no label with a comma in %s", name, svg)
		}
		if m := attributes.Find(svg); m != nil {
			t.Errorf("%s: %s", name, m)
		}
	}
}
