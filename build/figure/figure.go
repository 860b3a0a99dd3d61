// Package figure turns a chart's description into SVG, all charts in one look.
// It is the only importer of go-chart and knows nothing of where numbers come
// from. Colours come from the page's style sheet by class; an SVG carries no
// style of its own.
package figure

// Head is what every chart states of itself. ID must be unique on the page and
// prefixes the ids inside; Title and Desc become the SVG's title and
// description (its text alternative).
type Head struct {
	ID, Title, Desc string
	Width           int // of the viewBox; 0 means 720
}

// Tick is a labelled place on an axis.
type Tick struct {
	At    float64
	Label string
}

// Stretch is a horizontal bar from one day of season to another in a ribbon
// row. Kind names the look: "frost", "wake", "grow", "ripe-early",
// "ripe-middle", "ripe-late", "autumn-frost".
type Stretch struct {
	From, Until float64
	Kind        string
}

// RibbonRow is one line of a season ribbon: a cultivar's year.
type RibbonRow struct {
	Label     string
	Note      string // short text at the right end, such as "8 in 10"
	Stretches []Stretch
	Marks     []Mark
}

// Mark is a point in a ribbon row, such as the middle ripening date.
type Mark struct {
	At   float64
	Kind string
}

// Ribbon is the season ribbon: one row per cultivar along the days of the
// season, with bands behind all rows.
type Ribbon struct {
	Head
	From, Until float64 // days of season shown
	Ticks       []Tick
	Behind      []Stretch
	Rows        []RibbonRow
}

// Line is a line of a race or yearly chart. NaN breaks it. Kind names the
// look: "ripe-1" ... "ripe-6", "frost", "hard-frost", "trend", "level".
type Line struct {
	Label string
	Kind  string
	X, Y  []float64
}

// Race is the ripening race: shares (0-1) of years against the day of season.
type Race struct {
	Head
	From, Until float64
	Ticks       []Tick
	YTicks      []Tick // in 0-1
	YLabel      string
	Lines       []Line
}

// Yearly shows one figure a year as points (joined or not), with lines over it
// such as the trend or a threshold. NaN leaves a gap.
type Yearly struct {
	Head
	Years  []int
	Values []float64
	Joined bool
	Lines  []Line // X in years
	YLabel string
	Low    float64 // least range shown; widened to the data
	High   float64
	YTicks []Tick // none: chosen round
}
