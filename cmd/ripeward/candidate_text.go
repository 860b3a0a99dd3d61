package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/station"
)

// candidateSheet turns what a member's file would change into words.
type candidateSheet struct {
	w      *almanac.WhatIf
	base   *almanac.Book
	review *reviewSheet
}

// candidateFates are what becomes of rows, in the order of the first sentence.
var candidateFates = []struct{ verdict, one, many string }{
	{almanac.ReportUsed, "would be used", "would be used"},
	{almanac.RowAdded, "is new", "are new"},
	{almanac.RowChanged, "would change", "would change"},
	{almanac.RowSame, "says what the club has", "say what the club has"},
	{almanac.ReportWaiting, "would wait for other growers", "would wait for other growers"},
	{almanac.ReportHeld, "would be held", "would be held"},
	{almanac.ReportDuplicate, "is a double", "are doubles"},
	{almanac.ReportUnusable, "says nothing about heat", "say nothing about heat"},
	{almanac.ReportRejected, "is rejected by its status", "are rejected by their status"},
	{almanac.RowRefused, "is refused", "are refused"},
}

func (s *candidateSheet) text() string {
	var b strings.Builder
	if s.w.Kind == almanac.CandidateStation {
		s.stations(&b)
	} else {
		s.rows(&b)
	}
	if len(s.w.Problems) > 0 {
		b.WriteString("\nAlso to be looked at\n")
		list(&b, s.w.Problems)
	}
	s.changes(&b)
	return b.String()
}

// rows tells of each row of a table.
func (s *candidateSheet) rows(b *strings.Builder) {
	what := "ripening reports"
	if s.w.Kind == almanac.CandidateCultivars {
		what = "cultivars"
	}
	fmt.Fprintf(b, "%s: a table of %s. %s\n", s.w.File, what, s.fates())
	if s.w.Kind == almanac.CandidateReports {
		b.WriteString("Reports without a status are taken as reviewed here. The club's folder is left as it is.\n")
	} else {
		b.WriteString("The club's folder is left as it is.\n")
	}
	b.WriteByte('\n')
	for i := range s.w.Rows {
		s.row(b, &s.w.Rows[i])
	}
}

// fates says "Of 12 rows 9 would be used, 2 would be held and 1 is refused."
func (s *candidateSheet) fates() string {
	var parts []string
	for _, f := range candidateFates {
		switch n := s.w.Count(f.verdict); n {
		case 0:
		case 1:
			parts = append(parts, "1 "+f.one)
		default:
			parts = append(parts, fmt.Sprintf("%d %s", n, f.many))
		}
	}
	if len(parts) == 0 {
		return "It has no rows."
	}
	return fmt.Sprintf("Of %s %s.", count(len(s.w.Rows), "row"), listed(parts))
}

func (s *candidateSheet) row(b *strings.Builder, r *almanac.CandidateRow) {
	if r.Verdict == almanac.RowRefused {
		for _, f := range r.Faults {
			fmt.Fprintf(b, "%s: %s: refused: %s\n", f.Place, cmp.Or(oneLine(r.ID), "row"), oneLine(f.Message))
			if f.Hint != "" {
				fmt.Fprintf(b, "  to free it: %s\n", oneLine(f.Hint))
			}
		}
		return
	}
	at, why, frees := s.why(r)
	fmt.Fprintf(b, "%s: %s", at, cmp.Or(oneLine(r.ID), "row"))
	if u := r.Use; u != nil {
		fmt.Fprintf(b, ", %s, %s, %d, %s", s.review.named(u.Row), s.review.townNames[u.Row.TownID], u.Row.Year.Value, outcomeWords(u.Row))
	}
	for _, f := range candidateFates {
		if f.verdict == r.Verdict {
			b.WriteString(": " + f.one)
		}
	}
	if why != "" {
		b.WriteString(": " + why)
	}
	b.WriteByte('\n')
	if r.Use != nil {
		if h := s.review.heatWords(r.Use); h != "" {
			b.WriteString("  " + h + "\n")
		}
		if r.Use.NamedLike != "" {
			fmt.Fprintf(b, "  named %q, which is a name of %s\n", oneLine(string(r.Use.Row.NameAsGiven)), r.Use.NamedLike)
		}
	}
	if frees != "" {
		b.WriteString("  to free it: " + frees + "\n")
	}
}

// why says where a row stands, why it is not used, and what would free it.
func (s *candidateSheet) why(r *almanac.CandidateRow) (at diag.Place, why, frees string) {
	at = r.At
	var reasons, hints []string
	for i, f := range r.Faults {
		if i == 0 {
			at = f.Place
		}
		reasons = append(reasons, oneLine(f.Message))
		if f.Hint != "" {
			hints = append(hints, oneLine(f.Hint))
		}
	}
	for _, e := range r.Edits {
		reasons = append(reasons, fmt.Sprintf("%s %s -> %s", e.Column, cmp.Or(oneLine(e.Before), "blank"), cmp.Or(oneLine(e.After), "blank")))
	}
	if r.Use != nil {
		reasons = append(reasons, oneLine(r.Use.Reason.String()))
		hints = append(hints, oneLine(r.Use.Frees.String()))
	}
	return at, strings.Join(reasons, "; "), strings.Join(hints, "; ")
}

// stations tells of the stations of a daily file.
func (s *candidateSheet) stations(b *strings.Builder) {
	fmt.Fprintf(b, "%s: a daily station file with %s. The club's folder is left as it is.\n", s.w.File, count(len(s.w.Stations), "station"))
	about := map[string]string{}
	for _, d := range station.Dialects() {
		about[d.Name] = d.About
	}
	for i := range s.w.Stations {
		r := &s.w.Stations[i]
		fmt.Fprintf(b, "\n%s: %s\n", r.ID, s.stationVerdict(r))
		for _, d := range r.Account.Dialects {
			fmt.Fprintf(b, "  form: %s. %s\n", d, about[d])
		}
		fmt.Fprintf(b, "  %s read, %s set aside\n", count(int(r.Account.Rows), "row"), count(r.Account.SetAsideTotal(), "value"))
		for _, c := range r.Account.SetAsideByReason() {
			fmt.Fprintf(b, "    %d %s\n", c.N, c.Reason)
		}
		for _, x := range r.Account.Suspects {
			used := "not used"
			if x.Used {
				used = "used all the same"
			}
			fmt.Fprintf(b, "  looks doubtful, %s to %s, %s: %s (%s)\n", x.First, x.Last, x.Kind, x.Reason, used)
		}
		for _, t := range []struct {
			towns []string
			does  string
		}{{s.w.Lead[r.ID], "would rest on it"}, {s.w.Serves[r.ID], "would fill gaps from it"}} {
			if len(t.towns) > 0 {
				fmt.Fprintf(b, "  %s: %s\n", t.does, listed(s.townsOf(t.towns)))
			}
		}
		if frees := s.stationFrees(r); frees != "" {
			fmt.Fprintf(b, "  to use it: %s\n", frees)
		}
	}
}

func (s *candidateSheet) townsOf(ids []string) []string {
	var out []string
	for _, id := range ids {
		out = append(out, cmp.Or(s.review.townNames[club.Text(id)], id))
	}
	return out
}

// stationVerdict says which days a station has.
func (s *candidateSheet) stationVerdict(r *station.Record) string {
	if len(r.TMin) == 0 {
		return "no day that can be used"
	}
	return fmt.Sprintf("%s to %s, %s", r.First, r.Last(), count(len(r.TMin), "day"))
}

// stationFrees says what the club would have to do for the station to count.
func (s *candidateSheet) stationFrees(r *station.Record) string {
	switch {
	case s.base.Club.Station(club.Text(r.ID)) == nil && len(s.w.Lead[r.ID])+len(s.w.Serves[r.ID]) > 0:
		return "put the file into data/stations and add a row for " + r.ID + " to data/stations.csv, with its name, place and credit"
	case s.base.Club.Station(club.Text(r.ID)) == nil:
		return "no town would use it as it is: add a row for " + r.ID + " to data/stations.csv with its place and height, and name it in station_ids of a town"
	case len(s.w.Lead[r.ID])+len(s.w.Serves[r.ID]) == 0:
		return "no town uses it: name it in station_ids of a town"
	}
	return "put the file into data/stations"
}

// changes tells what would be otherwise on the pages.
func (s *candidateSheet) changes(b *strings.Builder) {
	c := s.w.Changes
	if c == nil {
		return
	}
	b.WriteString("\nWhat the almanac would say otherwise\n")
	if len(s.w.Needs) == 0 {
		b.WriteString("No heat need would change.\n")
	} else {
		fmt.Fprintf(b, "%s would change (mean need, give or take its doubt):\n", count(len(s.w.Needs), "heat need"))
	}
	for _, n := range s.w.Needs {
		fmt.Fprintf(b, "  %s: %s ± %s -> %s ± %s °C·d\n", s.part(n.Cultivar, n.Part), heat(n.Before), heat(n.SEBefore), heat(n.After), heat(n.SEAfter))
	}
	for _, p := range c.NewParts {
		fmt.Fprintf(b, "  %s: a heat need where there was none\n", s.part(p.Cultivar, p.Part))
	}
	for _, p := range c.GoneParts {
		fmt.Fprintf(b, "  %s: no heat need any more\n", s.part(p.Cultivar, p.Part))
	}
	if len(c.Odds) == 0 {
		b.WriteString("No answer would change its likelihood word.\n")
	} else {
		fmt.Fprintf(b, "%s would change the likelihood word:\n", count(len(c.Odds), "answer"))
	}
	methods := map[string]string{}
	for i := range s.w.With.Club.Methods {
		m := &s.w.With.Club.Methods[i]
		methods[string(m.ID)] = oneLine(string(m.Name))
	}
	for _, o := range c.Odds {
		fmt.Fprintf(b, "  %s, %s, %s: %s (%.2f) -> %s (%.2f)\n", s.townsOf([]string{o.Town})[0], s.part(o.Cultivar, o.Part), methods[o.Method], o.WordBefore, o.Before, o.WordAfter, o.After)
	}
	if s.w.NewAnswers > 0 {
		fmt.Fprintf(b, "%s would be given where there was none.\n", count(s.w.NewAnswers, "answer"))
	}
	if len(c.Measures) > 0 {
		towns := map[string]bool{}
		for _, m := range c.Measures {
			towns[s.townsOf([]string{m.Town})[0]] = true
		}
		fmt.Fprintf(b, "Season figures would move beyond their doubt in %s.\n", listed(slices.Sorted(maps.Keys(towns))))
	}
}

func (s *candidateSheet) part(cultivar, part string) string {
	return cmp.Or(s.review.names[club.Text(cultivar)], cultivar) + " (" + partWords(part) + ")"
}
