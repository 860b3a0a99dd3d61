package station

import (
	"cmp"
	"slices"

	"ripeward/build/day"
	"ripeward/build/diag"
)

// element is a column of the series; row stands for a whole row.
type element int8

const (
	tmin element = iota
	tmax
	precip
	nElements
	wholeRow = nElements
)

var elementNames = [...]string{"tmin", "tmax", "precip", "row"}

// reason says why a value or row was not used; none means that it was.
type reason uint8

const (
	none reason = iota
	lineTooLong
	notUTF8
	misplacedQuote
	fieldCount
	rowTooShort
	otherForm
	noStation
	notAskedFor
	tooManyStations
	badDate
	otherDateForm
	noSuchDay
	dateRange
	notNumber
	notFinite
	notTenths
	impossible
	failedCheck
	refused
	accumulated
	uncertain
	saysMissing
	repeated
	crossed
	overruled
	otherUnit
	stuck
	lone
	nReasons
)

// reasons has the phrase that is counted and shown, whether the publisher (or
// the rule for several files) is behind it rather than damage in the file, and
// what to try.
var reasons = [nReasons]struct {
	phrase  string
	routine bool
	hint    string
}{
	lineTooLong:     {diag.Mark("line longer than 64 kB"), false, "look for a missing line end"},
	notUTF8:         {diag.Mark("not UTF-8"), false, "save the file as UTF-8"},
	misplacedQuote:  {diag.Mark("quote not closed or misplaced"), false, `a quote inside a quoted field is written twice ("")`},
	fieldCount:      {diag.Mark("number of fields differs from the header"), false, "quote a field that holds the separator"},
	rowTooShort:     {diag.Mark("row ends early"), false, "the file may have been cut off: fetch it again"},
	otherForm:       {diag.Mark("not a row of this dialect"), false, "look for lines of another file"},
	noStation:       {diag.Mark("no station id"), false, "fill in the station id"},
	notAskedFor:     {diag.Mark("station not asked for"), true, ""},
	tooManyStations: {diag.Mark("more than 1000 stations in one file"), false, "split the file by station"},
	badDate:         {diag.Mark("date not of the form YYYY-MM-DD"), false, `write dates as YYYY-MM-DD, or put date_form = "day-month-year" (or "month-day-year") into a NAME.toml beside the file`},
	otherDateForm:   {diag.Mark("date not in the form of this file"), false, "write it like the dates of the other rows"},
	noSuchDay:       {diag.Mark("day not in the calendar"), false, "correct the date"},
	dateRange:       {diag.Mark("date outside 1700-2200"), false, "correct the date"},
	notNumber:       {diag.Mark("not a number"), false, "leave a missing value empty"},
	notFinite:       {diag.Mark("number not finite"), false, "leave a missing value empty"},
	notTenths:       {diag.Mark("not a whole number of tenths"), false, "GHCN-Daily values are whole tenths: do not mix files of different units"},
	impossible:      {diag.Mark("outside physical limits"), false, "temperatures from -90 to 60 °C and rain from 0 to 2000 mm a day are taken: check the units"},
	failedCheck:     {diag.Mark("quality flag says failed or doubtful"), true, ""},
	refused:         {diag.Mark("flag that the settings beside the file refuse"), true, ""},
	accumulated:     {diag.Mark("total of several days"), true, ""},
	uncertain:       {diag.Mark("publisher says amount uncertain"), true, ""},
	saysMissing:     {diag.Mark("flag says missing beside a value"), true, ""},
	repeated:        {diag.Mark("repeated date with another value"), false, "the first value is kept: remove one of the two"},
	crossed:         {diag.Mark("tmin above tmax"), false, "both are left out: correct one of them"},
	otherUnit:       {diag.Mark("suspect: in another unit"), false, suspectHints[KindUnits]},
	stuck:           {diag.Mark("suspect: one value for 20 days or more"), false, suspectHints[KindRun]},
	lone:            {diag.Mark("suspect: spike against the days beside it"), false, suspectHints[KindSpike]},
	overruled:       {diag.Mark("another file of the station, ending later, has another value"), true, ""},
}

// remark is something to count about a value that was used.
type remark uint8

const (
	plainValue remark = iota
	trace
	presumedZero
	estimated
	preliminary
	otherTotal
	measurementFlag
	nRemarks
)

var remarks = [nRemarks]string{
	trace:           diag.Mark("trace, used as 0"),
	presumedZero:    diag.Mark("missing, presumed 0 by the publisher"),
	estimated:       diag.Mark("estimated by the publisher"),
	preliminary:     diag.Mark("preliminary, not yet reviewed by the publisher"),
	otherTotal:      diag.Mark("from hourly or part-day values"),
	measurementFlag: diag.Mark("other measurement flag"),
}

// sourceFlagged is counted apart, for a value can have a remark and a source.
var sourceFlagged = diag.Mark("has a source flag")

// spot is a place inside the file being read.
type spot struct{ line, column int }

// tally is an Account under way: counters by small number instead of maps.
type tally struct {
	rows    int64
	aside   [nReasons]int64
	notes   [nRemarks]int64
	sourced int64
	first   [nReasons]spot
	list    []SetAside
}

// setAside counts one value or row and lists it while there is room.
func (t *tally) setAside(file string, e element, d day.Date, why reason, at spot) {
	if t.aside[why]++; t.aside[why] == 1 {
		t.first[why] = at
	}
	if len(t.list) >= MaxListed {
		return
	}
	t.list = append(t.list, SetAside{
		Place:   diag.Place{File: file, Line: at.line, Column: at.column},
		Element: elementNames[e], Date: d, Reason: reasons[why].phrase,
	})
}

// add moves what u holds into t.
func (t *tally) add(u *tally) {
	t.rows += u.rows
	t.sourced += u.sourced
	for i, n := range u.aside {
		if n > 0 && t.aside[i] == 0 || n > 0 && u.first[i].line < t.first[i].line {
			t.first[i] = u.first[i]
		}
		t.aside[i] += n
	}
	for i, n := range u.notes {
		t.notes[i] += n
	}
	t.list = append(t.list, u.list...)
}

// account closes the tally of one station in one file.
func (t *tally) account(file, dialect string) Account {
	a := Account{
		Files: []string{file}, Dialects: []string{dialect}, Rows: t.rows,
		SetAsideCounts: map[string]int{}, UsedCounts: map[string]int{},
	}
	for i, n := range t.aside {
		if n > 0 {
			a.SetAsideCounts[reasons[i].phrase] = int(n)
		}
	}
	for i, n := range t.notes {
		if n > 0 {
			a.UsedCounts[remarks[i]] = int(n)
		}
	}
	if t.sourced > 0 {
		a.UsedCounts[sourceFlagged] = int(t.sourced)
	}
	slices.SortStableFunc(t.list, comparePlaces)
	a.SetAside = t.list[:min(len(t.list), MaxListed)]
	return a
}

func comparePlaces(a, b SetAside) int {
	return cmp.Or(cmp.Compare(a.Place.File, b.Place.File),
		cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Column, b.Place.Column))
}
