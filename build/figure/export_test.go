package figure

// For tests that measure labels and colours.
var (
	TextWidth = textWidth
	Wrap      = wrap
	Rounded   = Head{}.rounded
	Spread    = spread
	YearTicks = yearTicks
)

// Colours returns a theme's colour by name.
func Colours(theme string) map[string]string {
	m := map[string]string{}
	for _, c := range colours {
		m[c.name] = map[string]string{"light": c.light, "dark": c.dark, "print": c.print}[theme]
	}
	return m
}
