// Package figure turns a chart's description into SVG, all charts in one look.
// It is the only importer of go-chart and knows nothing of where numbers come
// from. Colours come from the page's style sheet by class; an SVG carries no
// style of its own.
//
// Every chart draws at two sizes: 720 wide for screens and paper, and 360 for
// phones, with fewer ticks and its names under the plot (Head.Width). Put both
// into an element of class "rw-pair" and StyleSheet shows the one that fits.
package figure

import "errors"

// What is wrong with a description; errors.Is tells them apart.
var (
	// ErrNothing: there is nothing to draw, such as no rows or no value at all.
	ErrNothing = errors.New("nothing to draw")
	// ErrRange: the range shown is empty or runs backwards, or a value that
	// has fixed limits lies outside them.
	ErrRange = errors.New("range does not hold")
	// ErrNotFinite: a value is infinite, or NaN where no gap is possible.
	ErrNotFinite = errors.New("value is not finite")
	// ErrShape: lists that belong together differ in length or order.
	ErrShape = errors.New("lists do not fit together")
	// ErrKind: a Kind that has no look.
	ErrKind = errors.New("unknown kind")
	// ErrHead: the id, title or description is missing or cannot be used.
	ErrHead = errors.New("head is not complete")
)

// Head is what every chart states of itself. ID must be unique on the page (an
// ASCII letter, then letters, digits, "-" or "_") and prefixes the ids inside;
// Title and Desc become the SVG's title and description (its text
// alternative). None of the three may be blank.
type Head struct {
	ID, Title, Desc string
	Width           int // of the viewBox, 300-1200; 0 means 720; below 480 the narrow layout
	// Number writes the numbers that a chart chooses itself, such as round
	// ticks, with so many decimals. None: digits, a point and the minus sign
	// of print. Coordinates are not written by it.
	Number func(v float64, decimals int) string
}

// Tick is a labelled place on an axis. Where labels would touch, some are
// left out.
type Tick struct {
	At    float64
	Label string
	// Between: the label names the stretch from here to the next tick, such as
	// a month, and stands in its middle.
	Between bool
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

// Mark is a point in a ribbon row, such as the middle ripening date. Kind
// names the shape: "ripe" a diamond, "wake" a triangle, "freeze" a star, "out"
// and "in" arrow heads; all else a disc.
type Mark struct {
	At   float64
	Kind string
}

// Key explains a look in words, under the chart. Kind is that of a Stretch or,
// with Mark set, of a Mark.
type Key struct {
	Kind  string
	Mark  bool
	Label string
}

// Ribbon is the season ribbon: one row per cultivar along the days of the
// season, with bands behind all rows.
type Ribbon struct {
	Head
	From, Until float64 // days of season shown
	Ticks       []Tick
	Behind      []Stretch
	Rows        []RibbonRow
	Keys        []Key // optional
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
	YTicks      []Tick // in 0-1; none: quarters in per cent
	YLabel      string
	Lines       []Line // X rising
}

// Yearly shows one figure a year as points (joined or not), with lines over it
// such as the trend or a threshold. NaN leaves a gap.
type Yearly struct {
	Head
	Years  []int // rising
	Values []float64
	Joined bool
	Lines  []Line // X in years
	YLabel string
	Low    float64 // least range shown; widened to the data; both 0: the data alone
	High   float64
	YTicks []Tick // none: chosen round
}
