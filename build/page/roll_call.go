package page

import (
	"fmt"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// RollGrower is a grower's trees on a roll-call. Code is blank where the trees
// name nobody.
type RollGrower struct {
	Code  string
	Trees []RollTree
}

// RollTree is a tree with the parts of the crop that are asked after.
type RollTree struct {
	*club.Tree
	Cultivar *club.Cultivar
	Town     *club.Town
	Method   *club.Method // nil where the table does not say
	Parts    []RollPart
}

// RollPart is a part of the crop, main or breba, with what was reported of it
// last year and already this year; nil where nothing was.
type RollPart struct {
	Name       string
	Last, This *club.Report
}

// PrintRollCall makes the growers' sheets to print, a page or more each, as one
// HTML file in the club's first language. It holds growers' codes: it is the
// club's, and no part of the site.
func PrintRollCall(c *club.Club, year int, growers []RollGrower, version string) ([]byte, error) {
	lang, err := words.Load(wordTables, languagesOf(c)[0])
	if err != nil {
		return nil, err
	}
	s := newSite(&almanac.Book{Club: c}, Options{}, lang)
	if err := s.prepare(); err != nil {
		return nil, err
	}
	m := &filledRoll{Year: year}
	for _, g := range growers {
		x := filledGrower{Code: g.Code, Trees: len(g.Trees)}
		for _, t := range g.Trees {
			x.Rows = append(x.Rows, s.filledRows(t)...)
		}
		m.Growers = append(m.Growers, x)
	}
	return s.alonePage("roll-call-filled", alone{Title: s.Say("Roll-call %d", year), Version: version, Body: m})
}

// filledRoll is the model of a roll-call with names.
type filledRoll struct {
	Year    int
	Growers []filledGrower
}

type filledGrower struct {
	Code  string
	Trees int
	Rows  []filledRow
}

// filledRow is a line: one part of one tree's crop. Where it is reported
// already, Done says what.
type filledRow struct {
	Tree, Name, Where, Part, Last, Done string
	HeadStart, Both                     bool
}

func (s *site) filledRows(t RollTree) []filledRow {
	row := filledRow{Tree: string(t.ID)}
	if t.Cultivar != nil {
		row.Name = s.in(t.Cultivar.Row, "name", t.Cultivar.Name)
	}
	where := []string{}
	if t.Town != nil {
		where = append(where, s.in(t.Town.Row, "name", t.Town.Name))
	}
	if t.Method != nil {
		where = append(where, s.in(t.Method.Row, "name", t.Method.Name))
		row.HeadStart = t.Method.HeadStartWeeks.Or(0) > 0
	}
	if t.PotLitres.Set {
		where = append(where, s.Say("%s litres", s.Trimmed(t.PotLitres.Value, 1)))
	}
	for i, w := range where {
		if i > 0 {
			row.Where += "; "
		}
		row.Where += w
	}
	var out []filledRow
	for i, p := range t.Parts {
		x := row
		x.Part = s.partWords(p.Name)
		x.Both = len(t.Parts) == 2 && i == 0
		x.HeadStart = row.HeadStart && i == 0
		if p.Last != nil {
			x.Last = s.Say("last year: %s", s.outcomeOf(p.Last))
		}
		if p.This != nil {
			x.Done = s.Say("reported already: %s", s.outcomeOf(p.This))
		}
		out = append(out, x)
	}
	return out
}

// outcomeOf says what was reported, with its day where it has one.
func (s *site) outcomeOf(r *club.Report) string {
	if !r.SeenOn.Set() {
		switch r.Outcome {
		case "ripe":
			return s.Say("ripe|reported")
		case "already-ripe":
			return s.Say("ripe already|reported")
		case "not-ripe":
			return s.Say("not ripe|reported")
		}
		return fmt.Sprint(r.Outcome)
	}
	d := s.calendarDate(r.SeenOn.Date)
	switch r.Outcome {
	case "ripe":
		return s.Say("ripe on %s", d)
	case "already-ripe":
		return s.Say("ripe already on %s", d)
	case "not-ripe":
		return s.Say("not ripe on %s", d)
	}
	return s.Say("%s, %s|what was reported, day", string(r.Outcome), d)
}
