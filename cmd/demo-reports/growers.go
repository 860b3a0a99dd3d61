package main

import "ripeward/build/day"

// The seasons that are reported on. In the last one the weather's data end in
// August; by lastTold all reports of it had come in.
const (
	firstYear = 2009
	lastYear  = 2026
)

var lastTold = day.Of(lastYear, 8, 2)

// A grower's habits. Shares are per cent.
type grower struct {
	Code string
	// Reports is how often a season of a tree is reported at all, Failures how
	// often a season without ripe fruit is, of those.
	Reports, Failures int
	// Precision lists how the dates are known; one is taken at random.
	Precision []string
	// LookDays is how many days pass from one look at the trees to the next.
	LookDays int
	// How often these dates are written down.
	Checked, Leaf, Wake, Out, Figlet int
	// Weeks of head start, where the method has one and the tree no own habit.
	Weeks int
	// NoWeeks is how often the weeks are left blank.
	NoWeeks int
	// Away is how often fruit is found soft only after an absence.
	Away int
	// Public is how often a report may be shown singly; Talks how often it has
	// a note.
	Public, Talks int
	// OtherNames tells that the cultivars are called by their other names.
	OtherNames bool
}

var (
	byDay    = []string{"day"}
	mostDays = []string{"day", "day", "3-days"}
	careful  = []string{"day", "3-days", "3-days", "week"}
	weekly   = []string{"week", "week", "3-days", ""}
	fromMind = []string{"third-of-month", "week", "month"}
	thirds   = []string{"third-of-month", "third-of-month", "week"}
)

// growers are invented. Some keep a diary and report every tree, whatever came
// of it; some write once a year from memory, and of what went well.
var growers = []grower{
	{Code: "g01", Reports: 35, Failures: 100, Precision: mostDays, LookDays: 2, Checked: 60, Leaf: 70, Wake: 60, Out: 50, Figlet: 20, Weeks: 5, NoWeeks: 5, Away: 4, Public: 90, Talks: 30},
	{Code: "g02", Reports: 26, Failures: 60, Precision: careful, LookDays: 3, Checked: 50, Leaf: 30, Wake: 40, Out: 40, Figlet: 45, Weeks: 7, NoWeeks: 10, Away: 8, Public: 60, Talks: 25, OtherNames: true},
	{Code: "g03", Reports: 36, Failures: 95, Precision: mostDays, LookDays: 3, Checked: 70, Leaf: 60, Wake: 30, Out: 20, Figlet: 30, Weeks: 6, NoWeeks: 5, Away: 4, Public: 80, Talks: 35},
	{Code: "g04", Reports: 28, Failures: 30, Precision: weekly, LookDays: 4, Checked: 30, Leaf: 45, Wake: 30, Out: 30, Figlet: 25, Weeks: 4, NoWeeks: 20, Away: 12, Public: 70, Talks: 20},
	{Code: "g05", Reports: 34, Failures: 80, Precision: byDay, LookDays: 1, Checked: 40, Leaf: 80, Wake: 75, Out: 60, Figlet: 50, Weeks: 6, NoWeeks: 0, Away: 3, Public: 100, Talks: 30},
	{Code: "g06", Reports: 21, Failures: 20, Precision: thirds, LookDays: 7, Leaf: 10, Wake: 10, Out: 10, Figlet: 5, Weeks: 6, NoWeeks: 50, Away: 10, Public: 40, Talks: 20, OtherNames: true},
	{Code: "g07", Reports: 31, Failures: 100, Precision: careful, LookDays: 3, Checked: 50, Leaf: 60, Wake: 40, Out: 45, Figlet: 20, Weeks: 7, NoWeeks: 10, Away: 5, Public: 90, Talks: 40},
	{Code: "g08", Reports: 33, Failures: 75, Precision: mostDays, LookDays: 2, Checked: 55, Leaf: 55, Wake: 70, Out: 70, Figlet: 30, Weeks: 6, NoWeeks: 5, Away: 5, Public: 75, Talks: 20},
	{Code: "g09", Reports: 24, Failures: 35, Precision: weekly, LookDays: 5, Checked: 20, Leaf: 35, Wake: 30, Out: 40, Figlet: 20, Weeks: 5, NoWeeks: 15, Away: 12, Public: 50, Talks: 15},
	{Code: "g10", Reports: 34, Failures: 90, Precision: mostDays, LookDays: 2, Checked: 60, Leaf: 70, Wake: 50, Out: 55, Figlet: 35, Weeks: 8, NoWeeks: 5, Away: 3, Public: 100, Talks: 25},
	{Code: "g11", Reports: 24, Failures: 85, Precision: thirds, LookDays: 6, Checked: 15, Leaf: 20, Wake: 20, Out: 20, Figlet: 10, Weeks: 6, NoWeeks: 25, Away: 8, Public: 20, Talks: 20},
	{Code: "g12", Reports: 31, Failures: 100, Precision: byDay, LookDays: 1, Checked: 60, Leaf: 65, Wake: 60, Out: 50, Figlet: 55, Weeks: 8, NoWeeks: 0, Away: 2, Public: 85, Talks: 30},
	{Code: "g13", Reports: 28, Failures: 100, Precision: careful, LookDays: 4, Checked: 40, Leaf: 50, Wake: 50, Out: 40, Figlet: 15, Weeks: 8, NoWeeks: 10, Away: 5, Public: 100, Talks: 40},
	{Code: "g14", Reports: 28, Failures: 55, Precision: weekly, LookDays: 3, Checked: 30, Leaf: 40, Wake: 40, Out: 35, Figlet: 20, Weeks: 6, NoWeeks: 10, Away: 8, Public: 60, Talks: 25},
	{Code: "g15", Reports: 28, Failures: 25, Precision: careful, LookDays: 3, Checked: 35, Leaf: 40, Wake: 35, Out: 30, Figlet: 20, Weeks: 6, NoWeeks: 15, Away: 10, Public: 70, Talks: 20, OtherNames: true},
	{Code: "g16", Reports: 25, Failures: 70, Precision: thirds, LookDays: 5, Checked: 20, Leaf: 25, Wake: 25, Out: 25, Figlet: 10, Weeks: 5, NoWeeks: 20, Away: 10, Public: 50, Talks: 15},
	{Code: "g17", Reports: 30, Failures: 45, Precision: mostDays, LookDays: 2, Checked: 50, Leaf: 50, Wake: 60, Out: 50, Figlet: 35, Weeks: 7, NoWeeks: 5, Away: 6, Public: 80, Talks: 25},
	{Code: "g18", Reports: 26, Failures: 15, Precision: fromMind, LookDays: 7, Leaf: 5, Wake: 15, Out: 15, Figlet: 5, Weeks: 6, NoWeeks: 35, Away: 10, Public: 30, Talks: 30},
	{Code: "g19", Reports: 31, Failures: 85, Precision: careful, LookDays: 2, Checked: 60, Leaf: 55, Wake: 50, Out: 50, Figlet: 30, Weeks: 6, NoWeeks: 5, Away: 4, Public: 90, Talks: 20},
	{Code: "g20", Reports: 28, Failures: 65, Precision: mostDays, LookDays: 3, Checked: 40, Leaf: 40, Wake: 45, Out: 45, Figlet: 25, Weeks: 5, NoWeeks: 10, Away: 6, Public: 75, Talks: 20},
	{Code: "g21", Reports: 26, Failures: 40, Precision: weekly, LookDays: 4, Checked: 25, Leaf: 30, Wake: 30, Out: 30, Figlet: 15, Weeks: 7, NoWeeks: 20, Away: 8, Public: 65, Talks: 25},
	{Code: "g22", Reports: 30, Failures: 80, Precision: careful, LookDays: 3, Checked: 45, Leaf: 50, Wake: 40, Out: 40, Figlet: 30, Weeks: 6, NoWeeks: 10, Away: 5, Public: 85, Talks: 25},
	// Two who handed in slips without a code: the almanac takes them for one
	// garden in each town.
	{Code: "slip-v", Reports: 60, Failures: 50, Precision: fromMind, LookDays: 5, Weeks: 6, NoWeeks: 60, Public: 0, Talks: 20},
	{Code: "slip-o", Reports: 60, Failures: 50, Precision: weekly, LookDays: 5, Leaf: 10, Weeks: 6, NoWeeks: 40, Public: 0, Talks: 20},
}

func growerOf(code string) *grower {
	for i := range growers {
		if growers[i].Code == code {
			return &growers[i]
		}
	}
	panic("demo-reports: no grower " + code)
}
