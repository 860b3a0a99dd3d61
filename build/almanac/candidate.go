package almanac

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/station"
)

// Kinds of candidates.
const (
	CandidateReports   = "reports"
	CandidateCultivars = "cultivars"
	CandidateStation   = "station"
)

// What would become of a row of a candidate, beside the verdicts on reports.
const (
	RowRefused = "refused" // has an error
	RowAdded   = "new row"
	RowChanged = "changed"
	RowSame    = "unchanged"
)

// A WhatIf is what a file from outside would change if it lay in the club.
type WhatIf struct {
	Kind     string
	File     string
	Rows     []CandidateRow   // of a table
	Stations []station.Record // of a station file
	// Serves has the towns, by station, that would draw from the file's
	// stations; Lead among them those that would rest on it.
	Serves, Lead map[string][]string
	Needs        []NeedShift
	Changes      *Changes // of the whole book; nil where nothing could be computed
	NewAnswers   int      // towns, cultivars and methods that had no odds
	// Problems are those of the file as a whole and warnings about its rows.
	Problems diag.Problems
	With     *Book // nil where nothing could be computed
}

// CandidateRow is a row of the file.
type CandidateRow struct {
	At      diag.Place
	ID      string
	Verdict string
	Faults  diag.Problems // why it is refused
	Use     *ReportUse    // of a report that can be read
	Edits   []Edit        // of a changed row
	Was     diag.Place    // where the club's row stands
}

// Edit is a cell that differs from the club's.
type Edit struct{ Column, Before, After string }

// NeedShift is a heat need that would be another, °C·d; SE is its doubt.
type NeedShift struct {
	PartKey
	Before, After, SEBefore, SEAfter float64
}

// Count counts the rows with one of some verdicts.
func (w *WhatIf) Count(verdicts ...string) int {
	n := 0
	for i := range w.Rows {
		if slices.Contains(verdicts, w.Rows[i].Verdict) {
			n++
		}
	}
	return n
}

// Consider looks at a file as if it lay in the club, which it leaves alone;
// base is the book of the club without it, from Make with the same options.
// Reports without a status count as reviewed. The error is about I/O, or that
// the file is of no kind that can be looked at.
func Consider(ctx context.Context, base *Book, file *club.Candidate, o Options) (*WhatIf, error) {
	w := &WhatIf{File: file.File, Kind: file.Table}
	switch file.Table {
	case CandidateReports, CandidateCultivars:
	case "":
		w.Kind = CandidateStation
		made, err := w.station(base, file)
		if err != nil || made == nil {
			return w, err
		}
		file = made
	default:
		return nil, diag.Problem{Place: diag.Place{File: file.File}, Severity: diag.Error,
			Message: "this is a table of the kind " + file.Table + ", which is the club's own to write",
			Hint:    "what members bring are reports, rows of cultivars.csv and station files"}
	}
	c, problems, err := club.Load(base.Club.Dir, club.Options{SetAside: true, Candidate: file})
	if err != nil {
		return nil, err
	}
	w.offers(base, c, problems)
	if w.Problems.Count(diag.Error) > 0 {
		return w, nil
	}
	for i := range c.Reports {
		if r := &c.Reports[i]; r.At.File == w.File && r.Status == "" {
			r.Status = "reviewed"
		}
	}
	if w.With, err = Make(ctx, c, o); err != nil {
		return nil, err
	}
	w.compare(base)
	return w, nil
}

// offers lists the rows and what is said of the file.
func (w *WhatIf) offers(base *Book, c *club.Club, problems diag.Problems) {
	if w.Kind == CandidateStation {
		return // the rows are our own, and the file has been read
	}
	said := map[diag.Place]bool{} // of rows that are refused
	for _, offer := range c.Offers {
		r := CandidateRow{At: offer.At, ID: offer.ID, Was: offer.Replaces, Faults: offer.Faults}
		for _, p := range offer.Faults {
			said[p.Place] = true
		}
		switch {
		case len(r.Faults) > 0:
			r.Verdict = RowRefused
		case w.Kind == CandidateCultivars && r.Was.File == "":
			r.Verdict = RowAdded
		case w.Kind == CandidateCultivars:
			r.Verdict = RowSame
			if r.Edits = edits(base.Club.Cultivar(club.Text(r.ID)), c.Cultivar(club.Text(r.ID))); len(r.Edits) > 0 {
				r.Verdict = RowChanged
			}
		}
		w.Rows = append(w.Rows, r)
	}
	for _, p := range problems {
		if p.Place.File == w.File && !said[p.Place] {
			w.Problems = append(w.Problems, p)
		}
	}
}

// edits compares two rows of a table cell by cell.
func edits(before, after *club.Cultivar) []Edit {
	if before == nil || after == nil {
		return nil
	}
	var out []Edit
	a, z := reflect.ValueOf(*before), reflect.ValueOf(*after)
	for _, f := range reflect.VisibleFields(a.Type()) {
		name := f.Tag.Get("csv")
		if name == "" || name == "-" || len(f.Index) != 1 {
			continue
		}
		if x, y := cell(a.FieldByIndex(f.Index)), cell(z.FieldByIndex(f.Index)); x != y {
			out = append(out, Edit{name, x, y})
		}
	}
	for _, k := range bothKeys(before.Other, after.Other) {
		if x, y := before.Other[k], after.Other[k]; x != y {
			out = append(out, Edit{k, x, y})
		}
	}
	return out
}

func cell(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case club.Text:
		return string(x)
	case club.List:
		return strings.Join(x, ";")
	case club.Number:
		if x.Set {
			return strconv.FormatFloat(x.Value, 'f', -1, 64)
		}
	}
	return ""
}

// compare sets the book with the file beside the one without it.
func (w *WhatIf) compare(base *Book) {
	uses := map[diag.Place]*ReportUse{}
	for i := range w.With.Reports {
		uses[w.With.Reports[i].Row.At] = &w.With.Reports[i]
	}
	for i := range w.Rows {
		if r := &w.Rows[i]; w.Kind == CandidateReports && r.Verdict == "" {
			if r.Use = uses[r.At]; r.Use != nil {
				r.Verdict = r.Use.Verdict
			}
		}
	}
	then, now := base.Told(), w.With.Told()
	w.Changes = w.With.since(then)
	for _, key := range bothKeys(then.Needs, nil) {
		a := then.Needs[key]
		z, still := now.Needs[key]
		if k, ok := partKey(key); ok && still && a != z {
			w.Needs = append(w.Needs, NeedShift{k, a.Heat, z.Heat, a.SE, z.SE})
		}
	}
	for id, town := range now.Towns {
		for key := range town.Odds {
			if _, had := then.Towns[id].Odds[key]; !had {
				w.NewAnswers++
			}
		}
	}
	w.serve()
}

// serve finds the towns that would draw from the stations of the file.
func (w *WhatIf) serve() {
	w.Serves, w.Lead = map[string][]string{}, map[string][]string{}
	for i := range w.Stations {
		id := w.Stations[i].ID
		for k := range w.With.Towns {
			t := &w.With.Towns[k]
			switch {
			case t.Lead.StationID == id:
				w.Lead[id] = append(w.Lead[id], string(t.Row.ID))
			case slices.Contains(t.Lead.Fillers, id):
				w.Serves[id] = append(w.Serves[id], string(t.Row.ID))
			}
		}
	}
}

// station reads a station file, and makes what the club would need to use it:
// a row for each station that it does not list. It is nil where the file
// cannot be used.
func (w *WhatIf) station(base *Book, file *club.Candidate) (*club.Candidate, error) {
	records, problems, err := station.ReadFile(file.File)
	if err != nil {
		return nil, err
	}
	w.Problems = problems
	for _, r := range records {
		if len(r.TMin) > 0 || r.Account.SetAsideTotal() > 0 {
			w.Stations = append(w.Stations, r)
		}
	}
	if len(w.Stations) == 0 && problems.Count(diag.Error) > 0 {
		return nil, nil
	}
	var b strings.Builder
	out := csv.NewWriter(&b)
	out.Write([]string{"station_id", "name", "latitude", "longitude", "elevation_m"})
	added := 0
	for i := range w.Stations {
		r := &w.Stations[i]
		if base.Club.Station(club.Text(r.ID)) != nil {
			continue
		}
		name := r.Name
		if name == "" {
			name = r.ID
		}
		out.Write([]string{r.ID, name, known(r.Latitude), known(r.Longitude), known(r.ElevationM)})
		added++
	}
	out.Flush()
	made := &club.Candidate{File: file.File, Daily: file.File}
	if added > 0 {
		made.Table, made.Text = "stations", []byte(b.String())
	}
	return made, out.Error()
}

// known prints what a file states of its station, blank where it does not.
func known(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return fmt.Sprint(v)
}
