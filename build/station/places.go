package station

import (
	"errors"
	"slices"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// Element is one of the things that a station reports for a day.
type Element = element

// The elements of a series.
const (
	TMin   Element = tmin
	TMax   Element = tmax
	Precip Element = precip
)

// Day is one element of one day.
type Day struct {
	Date    day.Date
	Element Element
}

// Places returns where each of the wanted values of a station stands: the file,
// the line and the column of the value that the series of ReadAll has, given
// the same files. Values that the series does not have, because none was read
// or because it was set aside, are not in the map.
//
// Where values stand is not kept in a series, so the files are read once more,
// by the very steps of ReadAll; ask for all days of a station in one call. The
// error joins the I/O failures; what could be found is returned beside it.
func Places(files []string, stationID string, want []Day) (map[Day]diag.Place, error) {
	files = slices.Clone(files)
	slices.Sort(files)
	var scans []*scanner
	var parts []Record
	var failures []error
	defer func() {
		for _, s := range scans {
			s.release()
		}
	}()
	for _, file := range slices.Compact(files) {
		s, err := scanPath(file, Options{})
		if err != nil {
			failures = append(failures, err)
			continue
		}
		s.releaseBuffer()
		scans = append(scans, s)
		for _, r := range s.finish() {
			if r.ID == stationID {
				parts = append(parts, r)
			}
		}
	}
	places := map[Day]diag.Place{}
	if len(parts) > 0 {
		joined, _ := join(parts, Options{}) // leaves parts in the order of precedence
		for _, d := range want {
			if joined.value(d) != quantity.Missing {
				places[d] = placeOf(d, parts, scans)
			}
		}
	}
	return places, errors.Join(failures...)
}

// placeOf is where the first of the parts that has a value has it.
func placeOf(d Day, parts []Record, scans []*scanner) diag.Place {
	for i := range parts {
		if parts[i].value(d) == quantity.Missing {
			continue
		}
		for _, s := range scans {
			if s.name != parts[i].Account.Files[0] {
				continue
			}
			at := s.stations[parts[i].ID].peek(d.Date).spot(d.Element)
			return diag.Place{File: s.name, Line: at.line, Column: at.column}
		}
	}
	return diag.Place{}
}

// value returns the value of a day, Missing where the series has none.
func (s *Series) value(d Day) quantity.Tenths {
	values := [nElements][]quantity.Tenths{s.TMin, s.TMax, s.Precip}
	i := int(d.Date - s.First)
	if d.Element < 0 || d.Element >= nElements || i < 0 || i >= len(values[d.Element]) {
		return quantity.Missing
	}
	return values[d.Element][i]
}
