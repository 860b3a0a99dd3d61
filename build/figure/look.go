package figure

import (
	_ "embed"
	"strings"
)

//go:embed chart.css
var styleSheet string

//go:embed map.css
var mapSheet string

// StyleSheet returns the CSS of all charts. It takes its colours from custom
// properties named --rw-…, which Palette lists; where the page sets none, the
// light ones hold.
func StyleSheet() string { return styleSheet + mapSheet }

// colours lists each custom property for the themes light, dark and print.
// Frost is blue, ripeness violet and orange, growth straw: families that stay
// apart for the common forms of colour blindness. Heights, dashes, hatching
// and words say the same a second time.
var colours = []struct{ name, light, dark, print string }{
	{"ink", "#2b2620", "#ece6d9", "#000000"},
	{"muted", "#665d51", "#b3aa98", "#333333"},
	{"rule", "#8f8573", "#7d7666", "#555555"},
	{"grid", "#ddd5c5", "#39362f", "#cccccc"},
	{"tint", "#f4efe3", "#22201c", "#f5f5f5"},
	{"paper", "#fcf9f2", "#1a1916", "#ffffff"},
	{"frost", "#2c6a99", "#7fb6de", "#1f4e73"},
	{"frost-soft", "#dbe8f1", "#1f303d", "#e6edf2"},
	{"hard-frost", "#16395c", "#b9d8f0", "#000000"},
	{"wake", "#a07d2c", "#a58c4b", "#777777"},
	{"grow", "#e2cd98", "#665a36", "#d5d5d5"},
	{"ripe-early", "#b298cf", "#7a5c9e", "#a9a9a9"},
	{"ripe-middle", "#562783", "#cbaaee", "#3b1b59"},
	{"ripe-1", "#562783", "#cbaaee", "#3b1b59"},
	{"ripe-2", "#b4530a", "#f0a257", "#7a3a0a"},
	{"ripe-3", "#8a5fb8", "#a98ad8", "#6d4b91"},
	{"ripe-4", "#8a6400", "#dcba60", "#5f4500"},
	{"ripe-5", "#8b2f57", "#e59bb6", "#5c1f3a"},
	{"ripe-6", "#4f483d", "#cfc7b6", "#222222"},
	{"trend", "#b4530a", "#f0a257", "#7a3a0a"},
	{"level", "#2c6a99", "#7fb6de", "#1f4e73"},
	{"dot", "#4a4339", "#d6cebd", "#222222"},
}

// Palette returns the custom properties of a theme ("light", "dark" or
// "print") as CSS declarations, to be put into a rule of the page's choice.
// Any other theme gives "".
func Palette(theme string) string {
	var b strings.Builder
	for _, c := range colours {
		v := ""
		switch theme {
		case "light":
			v = c.light
		case "dark":
			v = c.dark
		case "print":
			v = c.print
		default:
			return ""
		}
		b.WriteString("--rw-" + c.name + ":" + v + ";\n")
	}
	return b.String()
}
