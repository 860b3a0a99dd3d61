package page_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/figure"
)

// Text stands out from its ground by at least 4.5 to 1, and marks that carry
// meaning by at least 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11), in light and in dark.
// Bars of odds carry their number and ten marks beside them; their lowest tone
// need not reach 3.
func TestContrast(t *testing.T) {
	css, err := os.ReadFile("../../templates/assets/almanac.css")
	if err != nil {
		t.Fatal(err)
	}
	light, dark := colours(figure.Palette("light")), colours(figure.Palette("dark"))
	root := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindSubmatch(css)
	darkRoot := regexp.MustCompile(`(?s):root\[data-theme=dark\] \{(.*?)\}`).FindSubmatch(css)
	if root == nil || darkRoot == nil {
		t.Fatal("the style sheet has no colours")
	}
	for name, value := range colours(string(root[1])) {
		light["--"+strings.TrimPrefix(name, "--")] = value
		if _, set := dark[name]; !set {
			dark[name] = value
		}
	}
	for name, value := range colours(string(darkRoot[1])) {
		dark[name] = value
	}
	for _, theme := range []struct {
		name string
		of   map[string]string
	}{{"light", light}, {"dark", dark}} {
		for _, c := range []struct {
			front, ground string
			least         float64
		}{
			{"--rw-ink", "--rw-paper", 4.5}, {"--rw-muted", "--rw-paper", 4.5}, {"--rw-muted", "--rw-tint", 4.5}, {"--rw-ink", "--rw-tint", 4.5},
			{"--link", "--rw-paper", 4.5}, {"--link-hover", "--rw-paper", 4.5}, {"--link", "--rw-tint", 4.5}, {"--rw-ink", "--care-soft", 4.5}, {"--link", "--care-soft", 4.5},
			{"--focus", "--rw-paper", 3}, {"--care", "--care-soft", 3}, {"--rw-ripe-middle", "--rw-paper", 3}, {"--bar-mid", "--rw-paper", 3},
			{"--rw-frost", "--rw-paper", 3}, {"--rw-hard-frost", "--rw-paper", 3}, {"--rw-trend", "--rw-paper", 3}, {"--rw-level", "--rw-paper", 3}, {"--rw-dot", "--rw-paper", 3},
			{"--rw-rule", "--rw-paper", 3}, {"--rw-wake", "--rw-paper", 3},
			{"--rw-ripe-1", "--rw-paper", 3}, {"--rw-ripe-2", "--rw-paper", 3}, {"--rw-ripe-3", "--rw-paper", 3}, {"--rw-ripe-4", "--rw-paper", 3}, {"--rw-ripe-5", "--rw-paper", 3}, {"--rw-ripe-6", "--rw-paper", 3},
		} {
			front, ground := theme.of[c.front], theme.of[c.ground]
			if front == "" || ground == "" {
				t.Errorf("%s: no colour for %s (%q) on %s (%q)", theme.name, c.front, front, c.ground, ground)
				continue
			}
			got := contrast(t, front, ground)
			t.Logf("%s: %s on %s %.1f", theme.name, c.front, c.ground, got)
			if got < c.least {
				t.Errorf("%s: %s %s on %s %s has a contrast of %.2f, want %v", theme.name, c.front, front, c.ground, ground, got, c.least)
			}
		}
	}
}

// colours reads custom properties that are plain colours.
func colours(css string) map[string]string {
	out := map[string]string{}
	for _, m := range regexp.MustCompile(`(--[a-z0-9-]+): ?(#[0-9a-f]{6})`).FindAllStringSubmatch(css, -1) {
		out[m[1]] = m[2]
	}
	return out
}

// contrast is the ratio of WCAG 2.2's relative luminances.
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	luminance := func(hex string) float64 {
		sum := 0.0
		for i, w := range [3]float64{0.2126, 0.7152, 0.0722} {
			n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
			if err != nil {
				t.Fatal(fmt.Errorf("colour %q: %w", hex, err))
			}
			c := float64(n) / 255
			if c <= 0.04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			sum += w * c
		}
		return sum
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}
