// Package day holds calendar days without a time zone, and the season year of
// a hemisphere. Everything that ranks a date does so on a 365-day calendar on
// which 29 February counts as the 28th, so that leap years do not shift dates.
package day

import (
	"fmt"
	"time"
)

// Date is a calendar day, counted in days from 1970-01-01 (proleptic
// Gregorian). The zero value is 1970-01-01; use None where a date is absent.
type Date int32

// None marks an absent date. It sorts before every real one.
const None Date = -1 << 31

// Of returns the day y-m-d. Days past the end of a month run over, as in
// package time.
func Of(y, m, d int) Date {
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	s := t.Unix()
	if s < 0 && s%86400 != 0 {
		s -= 86400
	}
	return Date(s / 86400)
}

// Parse reads an ISO 8601 date, YYYY-MM-DD, and nothing else.
func Parse(s string) (Date, error) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return None, fmt.Errorf("%q is not a date of the form YYYY-MM-DD", s)
	}
	num := func(t string) int {
		n := 0
		for i := 0; i < len(t); i++ {
			if t[i] < '0' || t[i] > '9' {
				return -1
			}
			n = n*10 + int(t[i]-'0')
		}
		return n
	}
	y, m, d := num(s[:4]), num(s[5:7]), num(s[8:])
	if y < 0 || m < 1 || m > 12 || d < 1 || d > DaysIn(y, m) {
		return None, fmt.Errorf("%q is not a day of the calendar", s)
	}
	return Of(y, m, d), nil
}

// YMD returns year, month (1-12) and day of the month.
func (d Date) YMD() (y, m, dom int) {
	t := time.Unix(int64(d)*86400, 0).UTC()
	return t.Year(), int(t.Month()), t.Day()
}

// Year returns the calendar year.
func (d Date) Year() int { y, _, _ := d.YMD(); return y }

// YearDay returns the day of the calendar year, 1-366.
func (d Date) YearDay() int { return int(d-Of(d.Year(), 1, 1)) + 1 }

// String formats d as YYYY-MM-DD; None is the empty string.
func (d Date) String() string {
	if d == None {
		return ""
	}
	y, m, dom := d.YMD()
	return fmt.Sprintf("%04d-%02d-%02d", y, m, dom)
}

// IsLeap tells whether y has a 29 February.
func IsLeap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

// DaysIn returns the number of days of month m (1-12) in year y.
func DaysIn(y, m int) int {
	switch m {
	case 2:
		if IsLeap(y) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}
