package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/tables"
)

// consider looks at a member's file as if it lay in the club.
func (a *app) consider() int {
	file, err := club.ReadCandidate(a.candidate)
	if errors.Is(err, fs.ErrNotExist) {
		return a.failed(diag.Problem{Place: diag.Place{File: a.candidate}, Severity: diag.Error, Message: "no such file", Hint: "name the member's file with --candidate"})
	}
	if err != nil {
		return a.failed(err)
	}
	c, code := a.checked(true)
	if c == nil {
		return code
	}
	if in := heldBy(c, a.candidate); in != "" {
		return a.failed(diag.Problem{Place: diag.Place{File: a.candidate}, Severity: diag.Error, Message: "the file lies in the club already, as " + in,
			Hint: "ripeward inspect and ripeward inspect --reports tell what becomes of it"})
	}
	base, err := a.book(c)
	if err != nil {
		return a.failed(err)
	}
	w, err := a.whatIf(base, file)
	if err != nil {
		return a.failed(err)
	}
	if w.With == nil { // nothing could be computed
		list(a.stderr, w.Problems)
		if w.Kind == almanac.CandidateStation {
			return a.failed(diag.Problem{Severity: diag.Error, Message: a.candidate + " is no table of reports, no table of cultivars and no station file that can be read",
				Hint: "a table of reports begins with the columns of data/reports, one of cultivars with those of data/cultivars.csv"})
		}
		return a.failed(errors.New(a.candidate + " cannot be read as a table of " + w.Kind))
	}
	s := &candidateSheet{w: w, base: base, review: newReview(a.club, w.With)}
	if a.format == "text" {
		code = a.print(s.text())
	} else if err := a.showTable(s.table()); err != nil {
		return a.failed(err)
	}
	if w.Count(almanac.RowRefused) > 0 || w.Problems.Count(diag.Error) > 0 {
		return wrong
	}
	return code
}

func (a *app) whatIf(base *almanac.Book, file *club.Candidate) (*almanac.WhatIf, error) {
	say, end := a.progress()
	defer end()
	return almanac.Consider(a.ctx, base, file, almanac.Options{Jobs: a.jobs, Progress: say, Unscored: true})
}

// heldBy names the club's own file that path is, if it is one.
func heldBy(c *club.Club, path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	for _, name := range c.Inputs {
		if own, err := os.Stat(filepath.Join(c.Dir, filepath.FromSlash(name))); err == nil && os.SameFile(info, own) {
			return name
		}
	}
	return ""
}

// table is the sheet as rows: those of the file, then what would
// change.
func (s *candidateSheet) table() tables.Table {
	t := tables.Table{Name: "candidate", Columns: []tables.Column{
		{Name: "about", Type: "string", Allowed: []string{"row", "station", "heat-need", "answer"}},
		{Name: "file", Type: "string"}, {Name: "line", Type: "integer"}, {Name: "column", Type: "integer"}, {Name: "id", Type: "string"},
		{Name: "verdict", Type: "string"}, {Name: "reason", Type: "string"}, {Name: "to_free_it", Type: "string"},
		{Name: "town_id", Type: "string"}, {Name: "cultivar_id", Type: "string"}, {Name: "crop_part", Type: "string"}, {Name: "method_id", Type: "string"},
		{Name: "before", Type: "number"}, {Name: "after", Type: "number"}, {Name: "doubt_before", Type: "number"}, {Name: "doubt_after", Type: "number"},
		{Name: "word_before", Type: "string"}, {Name: "word_after", Type: "string"},
	}}
	exact := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	for i := range s.w.Rows {
		r := &s.w.Rows[i]
		at, why, frees := s.why(r)
		var town, cultivar, part, method string
		if r.Use != nil {
			town, cultivar, part, method = string(r.Use.Row.TownID), string(r.Use.Row.CultivarID), string(r.Use.Row.CropPart), string(r.Use.Row.MethodID)
		}
		t.Rows = append(t.Rows, []string{"row", at.File, itoa(at.Line), itoa(at.Column), r.ID, r.Verdict, why, frees, town, cultivar, part, method, "", "", "", "", "", ""})
	}
	for i := range s.w.Stations {
		r := &s.w.Stations[i]
		t.Rows = append(t.Rows, []string{"station", s.w.File, "", "", r.ID, s.stationVerdict(r), fmt.Sprintf("%d values set aside, %d suspects", r.Account.SetAsideTotal(), len(r.Account.Suspects)), s.stationFrees(r), "", "", "", "", "", "", "", "", "", ""})
	}
	for _, n := range s.w.Needs {
		t.Rows = append(t.Rows, []string{"heat-need", "", "", "", "", "", "", "", "", n.Cultivar, n.Part, "", exact(n.Before), exact(n.After), exact(n.SEBefore), exact(n.SEAfter), "", ""})
	}
	if s.w.Changes != nil {
		for _, o := range s.w.Changes.Odds {
			t.Rows = append(t.Rows, []string{"answer", "", "", "", "", "", "", "", o.Town, o.Cultivar, o.Part, o.Method, exact(o.Before), exact(o.After), "", "", o.WordBefore, o.WordAfter})
		}
	}
	return t
}
