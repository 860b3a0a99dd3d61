package page

// Sentences that need building are built here and in words_*.go, and said
// through the language's table (package words); text that needs no building
// stands in the templates.

import (
	"fmt"
	"math"
	"strings"

	"ripeward/build/day"
	"ripeward/build/words"
)

// voice is the language that pages speak.
type voice struct{ *words.Language }

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
func (v voice) yearsInTen(share float64) string {
	switch n := yearsLevel(share); n {
	case 0:
		return v.Say("fewer than 1 year in 10")
	case 1:
		return v.Say("1 year in 10")
	case 10:
		return v.Say("more than 9 years in 10")
	default:
		return v.Say("%d years in 10", n)
	}
}

// shortInTen is the number of a table cell, read with "in 10" after it.
func (v voice) shortInTen(share float64) string {
	switch n := yearsLevel(share); n {
	case 0:
		return v.Say("under 1")
	case 10:
		return v.Say("over 9")
	default:
		return fmt.Sprint(n)
	}
}

// bandInTen says an interval of shares: "6 to 9 years in 10".
func (v voice) bandInTen(low, high float64) string {
	a, b := yearsLevel(low), yearsLevel(high)
	switch {
	case a == b:
		return v.yearsInTen(low)
	case a == 0 && b == 10:
		return v.Say("anything from fewer than 1 to more than 9 years in 10")
	case a == 0:
		return v.Say("fewer than 1 to %d years in 10", b)
	case b == 10:
		return v.Say("%d to more than 9 years in 10", a)
	}
	return v.Say("%d to %d years in 10", a, b)
}

// shortBand is an interval for a table cell: "6–9".
func (v voice) shortBand(low, high float64) string {
	a, b := v.shortInTen(low), v.shortInTen(high)
	if a == b {
		return a
	}
	if yearsLevel(low) == 0 || yearsLevel(high) == 10 {
		return v.Say("%s to %s|numbers", a, b)
	}
	return a + "–" + b
}

// gardens is the sentence on how far gardens of one town lie apart.
func (v voice) gardens(odds, cool, warm float64) string {
	spot := func(share float64) string {
		switch n := yearsLevel(share); n {
		case 0:
			return v.Say("hardly ever")
		case 10:
			return v.Say("nearly every year")
		default:
			return fmt.Sprint(n)
		}
	}
	years := v.yearsInTen(odds)
	if n := yearsLevel(odds); n != 0 && n != 10 {
		years = v.Say("about %s", years)
	}
	if spot(cool) == spot(warm) {
		return v.Say("%s across gardens here, %s in cool and warm spots alike", years, spot(cool))
	}
	return v.Say("%s across gardens here; %s in a cool spot, %s in a warm one", years, spot(cool), spot(warm))
}

// dateWords prints a day of season as "12 May" (with a no-break space).
func (v voice) dateWords(h day.Hemisphere, r day.Rank) string {
	m, d := h.MonthDay(r)
	return v.Date(m, d)
}

// shortDate prints a day of season as "12 May" with a short month name.
func (v voice) shortDate(h day.Hemisphere, r day.Rank) string {
	m, d := h.MonthDay(r)
	return v.ShortDate(m, d)
}

// calendarDate prints a day with its year: "12 May 2024".
func (v voice) calendarDate(d day.Date) string {
	if d == day.None {
		return v.Say("unknown|a day")
	}
	y, m, dom := d.YMD()
	return v.Date(m, dom) + "\u00a0" + fmt.Sprint(y)
}

// dayOfPlan prints a day of the plan year without the year: "12 May".
func (v voice) dayOfPlan(d day.Date) string {
	_, m, dom := d.YMD()
	return v.Date(m, dom)
}

// countWords spells numbers up to twelve, with the noun in the right number:
// "no cultivars", "one cultivar", "seven cultivars", "14 cultivars". The nouns
// are strings of the table, with their "no" and "one".
func (v voice) countWords(n int, noun string) string {
	many := plural(noun)
	switch n {
	case 0:
		return v.Say("no " + many)
	case 1:
		return v.Say("one " + noun)
	}
	return v.numberWord(n) + " " + v.Count(n, noun, many)
}

// countDigits is countWords with digits throughout: "1 day", "143 days".
func (v voice) countDigits(n int, noun string) string {
	return v.Whole(n) + " " + v.Count(n, noun, plural(noun))
}

func (v voice) numberWord(n int) string { return v.Number(n) }

// noneOr is numberWord of cultivars, where no noun follows.
func (v voice) noneOr(n int) string {
	switch n {
	case 0:
		return v.Say("none|of the cultivars")
	case 1:
		return v.Say("one|of the cultivars")
	}
	return v.numberWord(n)
}

// plural is the English form of a noun for any number but one: a half of its
// key in the table.
func plural(noun string) string {
	switch {
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
func (v voice) methodPhrase(name, place string) string {
	n := lowerFirst(name)
	for _, start := range strings.Split(v.Say("in/under/with|words that begin a place"), "/") {
		if strings.HasPrefix(n, start+" ") {
			return n
		}
	}
	switch {
	case place == "pot" && n != "" && strings.ContainsRune("aeiou", rune(n[0])):
		return v.Say("in an %s", n)
	case place == "pot":
		return v.Say("in a %s", n)
	}
	return v.Say("with “%s”", name)
}

// weeksWords says a head start: "6 weeks' head start", "1 week's head start".
func (v voice) weeksWords(n int) string {
	return v.Count(n, "%d week’s head start", "%d weeks’ head start", n)
}

// partWords names a part of the crop.
func (v voice) partWords(part string) string {
	if part == "breba" {
		return v.Say("breba")
	}
	return v.Say("main crop")
}

// reasonWords says why there are no odds; short is for a table cell.
func (v voice) reasonWords(reason string) (short, long string) {
	switch reason {
	case "":
		return "", ""
	case "no-model":
		return v.Say("not counted"), v.Say("This crop is not counted in ripening odds: its fruit hangs for many months, so a heat sum from leaf-out says nothing about it.")
	case "no-wasp":
		return v.Say("needs the wasp"), v.Say("The main crop of this kind drops unless a pollinating wasp lives nearby, and it does not live in cold climates.")
	case "no-heat-need":
		return v.Say("need unknown"), v.Say("Neither the cultivar nor its class has a heat need yet, so there is nothing to compare the season with.")
	case "no-years":
		return v.Say("too few years"), v.Say("The station has too few years with a valid heat sum.")
	}
	return reason, upperFirst(reason) + "."
}
