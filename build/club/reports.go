package club

import (
	"fmt"
	"regexp"
	"strings"

	"ripeward/build/day"
)

// A grower column holds a code. What looks like a person is a warning, and
// the message does not repeat it.
var (
	mail       = regexp.MustCompile(`\S@\S`)
	phone      = regexp.MustCompile(`^\+?[0-9][0-9 ()./-]{6,}$`)
	personName = regexp.MustCompile(`^(\p{Lu}[\p{Ll}'’.-]{2,}|\p{L}[\p{L}'’.-]*([ ,]+\p{L}[\p{L}'’.-]*)+)$`)
)

// personal says what a grower code looks like, if like a person.
func personal(grower string) string {
	switch {
	case mail.MatchString(grower):
		return "an e-mail address"
	case phone.MatchString(grower):
		return "a telephone number"
	case personName.MatchString(grower):
		return "a name"
	}
	return ""
}

// checkGrowers warns once for each grower of a table.
func (t *tableBase) checkGrowers(grower func(i int) Text) {
	seen := map[Text]bool{}
	for i := range t.from {
		g := grower(i)
		if seen[g] || !t.whole(i) {
			continue
		}
		seen[g] = true
		if what := personal(string(g)); what != "" {
			t.warn(i, "grower", "grower looks like "+what, "write a code that only the club can read, like g07")
		}
	}
}

// checkReports applies the rules for one tree's ripening in one year. A date
// that cannot be is a warning: the report is read, and held later.
func (l *loader) checkReports() {
	l.trees.checkGrowers(func(i int) Text { return l.trees.rows[i].Grower })
	l.reports.checkGrowers(func(i int) Text { return l.reports.rows[i].Grower })
	towns := byID(l.towns.rows, func(r *Town) Text { return r.ID })
	cultivars := byID(l.cultivars.rows, func(r *Cultivar) Text { return r.ID })
	trees := byID(l.trees.rows, func(r *Tree) Text { return r.ID })
	t := &l.reports.tableBase
	for i := range l.reports.rows {
		if !t.whole(i) {
			continue
		}
		r := &l.reports.rows[i]
		if !r.SeenOn.Set() && !t.faulty(i, "seen_on") {
			switch r.Outcome {
			case "ripe":
				t.fault(i, "seen_on", "seen_on is blank in a report of ripe fruit", "the day the first ripe fruit was seen; date_precision says how exactly it is known")
			case "already-ripe":
				t.fault(i, "seen_on", "seen_on is blank in a report of fruit that was already ripe", "the day of the look")
			case "not-ripe":
				t.warn(i, "seen_on", "seen_on is blank: a report without a last look cannot count", "the day of the last look")
			}
		}
		l.checkOrder(i, r)
		if town := towns[r.TownID]; town != nil && r.Year.Set && !t.faulty(i, "year") {
			h := day.HemisphereOf(town.Latitude.Or(0))
			for _, d := range []struct {
				column string
				date   Date
			}{{"leafed_on", r.LeafedOn}, {"figlet_on", r.FigletOn}, {"checked_on", r.CheckedOn}, {"seen_on", r.SeenOn}} {
				if d.date.Set() && h.Season(d.date.Date) != r.Year.Value {
					t.warn(i, d.column, fmt.Sprintf("%s %s is not in the season of %s", d.column, d.date, h.Label(r.Year.Value)), seasonHint(h, r.Year.Value))
				}
			}
		}
		if c := cultivars[r.CultivarID]; c != nil && c.CropsBorne != "" && c.CropsBorne != "both" && r.CropPart != "" && r.CropPart != c.CropsBorne && !t.faulty(i, "crop_part") {
			t.warn(i, "crop_part", fmt.Sprintf("%q is reported of %s, which by %s bears %s only", r.CropPart, r.CultivarID, cultivarSpec.file, c.CropsBorne), "")
		}
		if tree := trees[r.TreeID]; r.TreeID != "" && tree != nil {
			l.checkTree(i, r, tree)
		}
	}
}

func seasonHint(h day.Hemisphere, year int) string {
	return fmt.Sprintf("that season runs from %s to %s", h.Start(year), h.End(year))
}

// checkOrder warns of dates in an order that no tree follows.
func (l *loader) checkOrder(i int, r *Report) {
	t := &l.reports.tableBase
	steps := []struct {
		column string
		date   Date
	}{{"woke_on", r.WokeOn}, {"leafed_on", r.LeafedOn}, {"figlet_on", r.FigletOn}, {"seen_on", r.SeenOn}}
	last := -1
	for k, s := range steps {
		// Brebas are set on last year's wood: their figlets may come first.
		if !s.date.Set() || (s.column == "figlet_on" && r.CropPart == "breba") {
			continue
		}
		if last >= 0 && s.date.Date < steps[last].date.Date {
			t.warn(i, s.column, fmt.Sprintf("%s %s is before %s %s", s.column, s.date, steps[last].column, steps[last].date), "")
		}
		last = k
	}
	if r.CheckedOn.Set() && r.SeenOn.Set() && r.CheckedOn.Date > r.SeenOn.Date {
		t.warn(i, "checked_on", fmt.Sprintf("checked_on %s is after seen_on %s", r.CheckedOn, r.SeenOn), "checked_on is the look before")
	}
}

func treeHint(tree *Tree) string {
	return "the tree stands at " + tree.At.String() + ": which of the two is right?"
}

// checkTree compares a report with the tree it names.
func (l *loader) checkTree(i int, r *Report, tree *Tree) {
	t := &l.reports.tableBase
	for _, x := range []struct {
		column    string
		says, has Text
	}{{"town_id", r.TownID, tree.TownID}, {"cultivar_id", r.CultivarID, tree.CultivarID}} {
		if x.has != "" && x.says != x.has && !t.faulty(i, x.column) {
			t.warn(i, x.column, fmt.Sprintf("%s %q is not that of tree %q: %q", x.column, x.says, tree.ID, x.has), treeHint(tree))
		}
	}
	if r.Grower != "" && tree.Grower != "" && !strings.EqualFold(string(r.Grower), string(tree.Grower)) {
		t.warn(i, "grower", fmt.Sprintf("grower is not that of tree %q", tree.ID), treeHint(tree))
	}
	if y := r.Year.Value; r.Year.Set && ((tree.SinceYear.Set && y < tree.SinceYear.Value) || (tree.UntilYear.Set && y > tree.UntilYear.Value)) {
		t.warn(i, "year", fmt.Sprintf("year %d is outside the years of tree %q", y, tree.ID), "see since_year and until_year in "+treeSpec.file)
	}
}
