package main

import (
	"fmt"
	"strings"

	"ripeward/build/club"
)

// An A4 or Letter sheet at ten letters to the inch and six lines to the inch,
// with a margin all around.
const (
	sheetColumns = 76
	sheetLines   = 58
)

const ownUse = "For the club's own use, not for the site: growers' codes stand here only."

// text is the sheet to print: growers and pages are set apart by a form feed.
func (r *rollCall) text() string {
	var sheets []string
	for i := range r.growers {
		sheets = append(sheets, r.sheets(&r.growers[i])...)
	}
	return strings.Join(sheets, "\f")
}

// sheets are a grower's pages. A tree is never split between two.
func (r *rollCall) sheets(g *rollGrower) []string {
	blocks := [][]string{r.instructions()}
	for i := range g.trees {
		blocks = append(blocks, r.block(&g.trees[i]))
	}
	const head = 5 // lines of pageHead
	var pages [][]string
	room := 0
	for _, b := range blocks {
		if room < len(b)+1 || len(pages) == 0 {
			pages = append(pages, nil)
			room = sheetLines - head
		}
		last := &pages[len(pages)-1]
		*last = append(append(*last, ""), b...)
		room -= len(b) + 1
	}
	out := make([]string, len(pages))
	for i, p := range pages {
		out[i] = strings.Join(append(r.pageHead(g, i+1, len(pages)), p...), "\n") + "\n"
	}
	return out
}

func (r *rollCall) pageHead(g *rollGrower, page, of int) []string {
	who := "No code: " + count(len(g.trees), "tree")
	if g.code != "" {
		who = "Grower " + g.code + ": " + count(len(g.trees), "tree")
	}
	return []string{
		apart(oneLine(r.club.Settings.Name), "Roll-call "+itoa(r.year)),
		apart(who, fmt.Sprintf("page %d of %d", page, of)),
		"",
		ownUse,
	}
}

// apart sets two texts at the two ends of a line; the first is cut where they
// do not fit.
func apart(left, right string) string {
	width := sheetColumns - columns(right) - 2
	if columns(left) > width {
		left = left[:fitting(left, width-1)] + "…"
	}
	return left + strings.Repeat(" ", sheetColumns-columns(left)-columns(right)) + right
}

func (r *rollCall) instructions() []string {
	return wrap("", "", `Tick one box for each crop. Ripe: the day on which the first fruit was soft and ripe; circle how well you know that day. `+
		`If fruit was ripe already when you looked, write "already" beside the day of that look. Not ripe counts just as much: `+
		`give the day on which you last looked. Gone: the tree died or was given away. Leave blank what you do not know.`, sheetColumns)
}

// block asks after one tree.
func (r *rollCall) block(t *rollTree) []string {
	const indent = "      "
	about := []string{oneLine(string(t.cultivar.Name)), oneLine(string(t.town.Name))}
	if t.method != nil {
		about = append(about, oneLine(string(t.method.Name)))
	}
	if t.PotLitres.Set {
		about = append(about, fmt.Sprintf("%g litres", t.PotLitres.Value))
	}
	lines := wrap(padded(string(t.ID), 5)+" ", indent, strings.Join(about, "; "), sheetColumns)
	for _, p := range t.parts {
		if p.last != nil {
			lines = append(lines, wrap(indent, indent+"  ", fmt.Sprintf("last year: %s %s", partWords(p.name), seenWords(p.last)), sheetColumns)...)
		}
	}
	date := blankDate(t, r.year)
	for _, p := range t.parts {
		name := indent + padded(partWords(p.name), 10)
		if p.this != nil {
			lines = append(lines, wrap(name+" ", indent+"  ", "reported already: "+seenWords(p.this), sheetColumns)...)
			continue
		}
		lines = append(lines, name+" [ ] ripe   [ ] not ripe    on "+date,
			indent+"           known to the:  day   3 days   week   third of month   month")
	}
	lines = append(lines, indent+padded("tree", 10)+" [ ] gone   came into leaf on "+date)
	if t.method != nil && t.method.HeadStartWeeks.Or(0) > 0 {
		lines = append(lines, indent+"           weeks of head start indoors ____")
	}
	if len(t.parts) == 2 {
		lines = append(lines, indent+"           brebas [ ] kept   [ ] removed")
	}
	return lines
}

// blankDate is room for a date, with the year where there is but one.
func blankDate(t *rollTree, year int) string {
	h := t.hemisphere()
	if h.Start(year).Year() == h.End(year).Year() {
		return fmt.Sprintf("%d-____-____", year)
	}
	return "______-____-____"
}

// seenWords says what was reported: "ripe on 4 September 2025, known to the week".
func seenWords(r *club.Report) string {
	s := outcomeWords(r)
	if r.SeenOn.Set() && r.DatePrecision != "" && r.DatePrecision != "day" {
		s += ", known to " + map[club.Text]string{"3-days": "3 days", "week": "the week", "third-of-month": "the third of the month", "month": "the month"}[r.DatePrecision]
	}
	return s
}
