package page

// The English sentences of the site are built here and in words_*.go; page
// text that needs no building stands in the templates. A second language adds
// functions of the same shapes and templates of its own.

import (
	"fmt"
	"math"
	"strings"

	"ripeward/build/day"
)

// hundredths is a share (0-1) in whole hundredths, the step it is published in.
func hundredths(share float64) int { return int(math.Round(share * 100)) }

// yearsLevel is how many years in ten a share stands for, 0-10: 0 is fewer
// than one, 10 more than nine.
func yearsLevel(share float64) int {
	switch n := hundredths(share); {
	case n >= 95:
		return 10
	case n < 5:
		return 0
	default:
		return (n + 5) / 10
	}
}

// yearsInTen says a share of years in words: "8 years in 10", "more than 9
// years in 10", "fewer than 1 year in 10".
func yearsInTen(share float64) string {
	switch n := yearsLevel(share); n {
	case 0:
		return "fewer than 1 year in 10"
	case 1:
		return "1 year in 10"
	case 10:
		return "more than 9 years in 10"
	default:
		return fmt.Sprintf("%d years in 10", n)
	}
}

// shortInTen is the number of a table cell, read with "in 10" after it.
func shortInTen(share float64) string {
	switch n := yearsLevel(share); n {
	case 0:
		return "under 1"
	case 10:
		return "over 9"
	default:
		return fmt.Sprint(n)
	}
}

// bandInTen says an interval of shares: "6 to 9 years in 10".
func bandInTen(low, high float64) string {
	a, b := yearsLevel(low), yearsLevel(high)
	switch {
	case a == b:
		return yearsInTen(low)
	case a == 0 && b == 10:
		return "anything from fewer than 1 to more than 9 years in 10"
	case a == 0:
		return fmt.Sprintf("fewer than 1 to %d years in 10", b)
	case b == 10:
		return fmt.Sprintf("%d to more than 9 years in 10", a)
	}
	return fmt.Sprintf("%d to %d years in 10", a, b)
}

// shortBand is an interval for a table cell: "6–9".
func shortBand(low, high float64) string {
	a, b := shortInTen(low), shortInTen(high)
	if a == b {
		return a
	}
	if yearsLevel(low) == 0 || yearsLevel(high) == 10 {
		return a + " to " + b
	}
	return a + "–" + b
}

// gardens is the sentence on how far gardens of one town lie apart.
func gardens(odds, cool, warm float64) string {
	spot := func(share float64) string {
		switch n := yearsLevel(share); n {
		case 0:
			return "hardly ever"
		case 10:
			return "nearly every year"
		default:
			return fmt.Sprint(n)
		}
	}
	about := "about "
	if n := yearsLevel(odds); n == 0 || n == 10 {
		about = ""
	}
	if spot(cool) == spot(warm) {
		return fmt.Sprintf("%s%s across gardens here, %s in cool and warm spots alike", about, yearsInTen(odds), spot(cool))
	}
	return fmt.Sprintf("%s%s across gardens here; %s in a cool spot, %s in a warm one", about, yearsInTen(odds), spot(cool), spot(warm))
}

// dateWords prints a day of season as "12 May" (with a no-break space).
func dateWords(h day.Hemisphere, r day.Rank) string {
	m, d := h.MonthDay(r)
	return fmt.Sprintf("%d\u00a0%s", d, monthNames[m-1])
}

// shortDate prints a day of season as "12 May" with a short month name.
func shortDate(h day.Hemisphere, r day.Rank) string {
	m, d := h.MonthDay(r)
	return fmt.Sprintf("%d\u00a0%s", d, shortMonths[m-1])
}

// calendarDate prints a day with its year: "12 May 2024".
func calendarDate(d day.Date) string {
	if d == day.None {
		return "unknown"
	}
	y, m, dom := d.YMD()
	return fmt.Sprintf("%d\u00a0%s\u00a0%d", dom, monthNames[m-1], y)
}

// dayOfPlan prints a day of the plan year without the year: "12 May".
func dayOfPlan(d day.Date) string {
	_, m, dom := d.YMD()
	return fmt.Sprintf("%d\u00a0%s", dom, monthNames[m-1])
}

var monthNames = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

var shortMonths = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// listWords joins words as English does: "a, b and c".
func listWords(items []string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0]
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

var smallNumbers = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// countWords spells numbers up to twelve, with the noun in the right number:
// "no cultivars", "one cultivar", "seven cultivars", "14 cultivars".
func countWords(n int, noun string) string {
	return numberWord(n) + " " + plural(n, noun)
}

// countDigits is countWords with digits throughout: "1 day", "143 days".
func countDigits(n int, noun string) string { return thousands(n) + " " + plural(n, noun) }

func numberWord(n int) string {
	if n >= 0 && n < len(smallNumbers) {
		return smallNumbers[n]
	}
	return thousands(n)
}

// noneOr is numberWord where no noun follows.
func noneOr(n int) string {
	if n == 0 {
		return "none"
	}
	return numberWord(n)
}

// plural gives the form of noun that goes with n.
func plural(n int, noun string) string {
	switch {
	case n == 1:
		return noun
	case strings.HasSuffix(noun, "s"), strings.HasSuffix(noun, "x"), strings.HasSuffix(noun, "sh"), strings.HasSuffix(noun, "ch"):
		return noun + "es"
	case strings.HasSuffix(noun, "y") && !strings.ContainsAny(noun[max(0, len(noun)-2):len(noun)-1], "aeiou"):
		return noun[:len(noun)-1] + "ies"
	}
	return noun + "s"
}

// upperFirst starts a sentence.
func upperFirst(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// lowerFirst puts a name inside a sentence.
func lowerFirst(s string) string {
	for i, r := range s {
		return strings.ToLower(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// methodPhrase turns a method's name into a place in a sentence: "in a plain
// pot", "in the ground, unprotected".
func methodPhrase(name, place string) string {
	n := lowerFirst(name)
	switch {
	case strings.HasPrefix(n, "in "), strings.HasPrefix(n, "under "), strings.HasPrefix(n, "with "):
		return n
	case place == "pot" && n != "" && strings.ContainsRune("aeiou", rune(n[0])):
		return "in an " + n
	case place == "pot":
		return "in a " + n
	}
	return "with “" + name + "”"
}

// weeksWords says a head start: "6 weeks' head start", "1 week's head start".
func weeksWords(n int) string {
	if n == 1 {
		return "1 week’s head start"
	}
	return fmt.Sprintf("%d weeks’ head start", n)
}

// partWords names a part of the crop.
func partWords(part string) string {
	if part == "breba" {
		return "breba"
	}
	return "main crop"
}

// reasonWords says why there are no odds; short is for a table cell.
func reasonWords(reason string) (short, long string) {
	switch reason {
	case "":
		return "", ""
	case "no-model":
		return "not counted", "This crop is not counted in ripening odds: its fruit hangs for many months, so a heat sum from leaf-out says nothing about it."
	case "no-wasp":
		return "needs the wasp", "The main crop of this kind drops unless a pollinating wasp lives nearby, and it does not live in cold climates."
	case "no-heat-need":
		return "need unknown", "Neither the cultivar nor its class has a heat need yet, so there is nothing to compare the season with."
	case "no-years":
		return "too few years", "The station has too few years with a valid heat sum."
	}
	return reason, upperFirst(reason) + "."
}
