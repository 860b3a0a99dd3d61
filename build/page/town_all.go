package page

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"ripeward/build/almanac"
)

// townAllPage has every method of a town.
type townAllPage struct {
	Name, Back string
	Methods    []townMethod
	Weeks      []weeksTable
	Years      string
	Heat       *sheet // by date
	Spans      *sheet // odds then and now
}

// townMethod is one method in a town: dates, odds of everything, jobs.
type townMethod struct {
	ID, Name, Phrase, Weeks string
	Plan                    []fact
	Rows                    []allRow
	Ending                  string
	Jobs                    string // address of its dated jobs
	Carried                 bool   // shows nights of carrying
}

// cropLine is the head of a row: a cultivar, and its crop part where it bears
// several.
type cropLine struct {
	Cultivar link
	Part     string
}

type allRow struct {
	Line      cropLine
	Cell      oddsCell
	Gardens   string // in a cool and in a warm spot
	Ripe      string
	RipeSort  int
	Share     string
	ShareN    int
	SetBacks  string
	SetBacksN string // for sorting
	Carried   string
	CarriedN  int
	Hours     string
	HoursN    int
}

// weeksTable is odds by weeks of head start.
type weeksTable struct {
	ID, Method string
	Weeks      []int
	Rows       []weeksRow
}

type weeksRow struct {
	Line  cropLine
	Cells []oddsCell
}

func (s *site) townAllPage(t *almanac.Town, by *oddsBy) *townAllPage {
	p := paths{"../../../"}
	m := &townAllPage{Name: s.townName(t), Back: p.town(string(t.Row.ID)), Years: yearsWords(s.book.Span), Heat: s.heatSheet(t)}
	if show := s.showcase(t); show != nil {
		m.Spans = s.spansSheet(t, by, show, 0)
	}
	for i := range s.club.Methods {
		c := &s.club.Methods[i]
		x := townMethod{ID: string(c.ID), Name: s.in(c.Row, "name", c.Name), Phrase: s.methodIn(c),
			Ending: s.endingWords(t, string(c.ID))}
		if len(s.dueIn(t, c)) > 0 {
			x.Jobs = p.jobs(string(t.Row.ID), string(c.ID))
		}
		if w := c.HeadStartWeeks.Or(0); w > 0 {
			x.Weeks = s.weeksWords(w)
		}
		if pl := planOf(t, c); pl != nil && c.Place == "pot" {
			for _, d := range []struct {
				name string
				at   almanac.Point
			}{{s.Say("Wake|a date"), pl.Wake}, {s.Say("Dormant pots out"), pl.DormantOut}, {s.Say("Harden off"), pl.HardenOff}, {s.Say("Pots in leaf out"), pl.Out}, {s.Say("Bring in"), pl.In}} {
				if !d.at.None {
					x.Plan = append(x.Plan, fact{d.name, cell(s.dateWords(t.Hemisphere, d.at.Rank))})
				}
			}
		}
		for _, o := range s.ranked(by, c) {
			r := allRow{Line: cropLine{Cultivar: link{s.cultivarName(o.Cultivar), p.cultivar(o.Cultivar)}}, Cell: s.cellOf(o, ""), Ripe: s.ripeSpan(t.Hemisphere, o), RipeSort: int(first(o)),
				Share: fmt.Sprintf("%d\u00a0%%", hundredths(o.CropShare)), ShareN: hundredths(o.CropShare), SetBacks: s.Trimmed(o.SetBacksPer10, 1), SetBacksN: strconv.FormatFloat(math.Round(o.SetBacksPer10*10)/10, 'f', -1, 64),
				Gardens: s.shortInTen(o.Cool) + " / " + s.shortInTen(o.Warm),
				Hours:   s.Grouped(o.Hours), HoursN: int(o.Hours)}
			if k := s.cultivars[o.Cultivar]; k != nil && (bornParts(k) > 1 || o.Part == "breba") {
				r.Line.Part = s.partWords(o.Part)
			}
			if c.CarryBelowC.Set {
				x.Carried = true
				r.Carried = s.Trimmed(o.CarriedMean, 1)
				if o.CarriedP90 > 0 {
					r.Carried = s.Say("%s (%s in a bad year)", s.Trimmed(o.CarriedMean, 1), s.Trimmed(o.CarriedP90, 0))
				}
				r.CarriedN = int(o.CarriedMean * 10)
			}
			x.Rows = append(x.Rows, r)
		}
		if len(x.Rows) > 0 || x.Jobs != "" {
			m.Methods = append(m.Methods, x)
		}
		if w, ok := s.weeksTable(t, by, string(c.ID), p); ok {
			m.Weeks = append(m.Weeks, w)
		}
	}
	return m
}

func (s *site) weeksTable(t *almanac.Town, by *oddsBy, method string, p paths) (weeksTable, bool) {
	w := weeksTable{ID: "weeks-" + method, Method: s.methodName(method)}
	for _, k := range by.keys {
		list := slices.Clone(by.weeks[k][method])
		if len(list) == 0 {
			continue
		}
		slices.SortStableFunc(list, func(a, b *almanac.Odds) int { return a.Weeks - b.Weeks })
		row := weeksRow{Line: cropLine{Cultivar: link{s.cultivarName(k.cultivar), p.cultivar(k.cultivar)}}}
		if c := s.cultivars[k.cultivar]; c != nil && (bornParts(c) > 1 || k.part == "breba") {
			row.Line.Part = s.partWords(k.part)
		}
		if list[0].Reason != "" {
			continue
		}
		for _, o := range list {
			if len(w.Rows) == 0 {
				w.Weeks = append(w.Weeks, o.Weeks)
			}
			row.Cells = append(row.Cells, s.cellOf(o, ""))
		}
		if len(row.Cells) == len(w.Weeks) {
			w.Rows = append(w.Rows, row)
		}
	}
	return w, len(w.Rows) > 0 && len(w.Weeks) > 1
}
