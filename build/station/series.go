// Package station turns public daily station files, in the publishers' own
// dialects, into one compact daily series per station, and keeps account of
// every value it did not use.
package station

import (
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// Series is the daily record of one station. The three slices have one entry
// per day from First on, quantity.Missing where there is no value;
// temperatures are in tenths of °C, rain in tenths of mm. Latitude, longitude
// (degrees) and elevation (m) are NaN where the files do not state them.
type Series struct {
	ID, Name                        string
	Latitude, Longitude, ElevationM float64
	First                           day.Date
	TMin, TMax, Precip              []quantity.Tenths
}

// Last returns the last day of the record.
func (s *Series) Last() day.Date { return s.First + day.Date(len(s.TMin)) - 1 }

// SetAside is one value or row that was not used.
type SetAside struct {
	Place   diag.Place
	Element string // tmin, tmax, precip, row
	Date    day.Date
	Reason  string // a fixed short phrase, countable
}

// Account says what became of the rows of the files of one station.
type Account struct {
	Files    []string
	Dialects []string
	Rows     int64
	// Counts has the number of values (or rows) per reason, for what was set
	// aside and for what was used with a remark (trace, estimated).
	SetAsideCounts map[string]int
	UsedCounts     map[string]int
	// SetAside lists them with their places; at most MaxListed, the rest is
	// in the counts alone so that memory stays flat.
	SetAside []SetAside
	// Suspects lists what our own quality control found, used or not.
	Suspects []Suspect
}

// MaxListed is how many set-aside values are listed one by one per station.
const MaxListed = 2000

// Record is a station's series with its account.
type Record struct {
	Series
	Account Account

	crossed []day.Date    // days with both temperatures left out for tmin > tmax, in order
	before  *Record       // as it was before the quality control, if that found anything
	judged  diag.Problems // what there is to say of the suspects
}
