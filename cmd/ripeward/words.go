package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"ripeward/build/day"
)

// Words that several commands print.

var monthNames = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// fullDate prints "12 May 2024".
func fullDate(d day.Date) string { return fmt.Sprintf("%s %d", dayMonth(d), d.Year()) }

// dayMonth prints "12 May".
func dayMonth(d day.Date) string {
	_, m, dom := d.YMD()
	return fmt.Sprintf("%d %s", dom, monthNames[m-1])
}

// shortDay prints "12 May" with three letters of the month; nothing where
// there is no such day.
func shortDay(d day.Date) string {
	if d == day.None {
		return ""
	}
	_, m, dom := d.YMD()
	return fmt.Sprintf("%d %s", dom, monthNames[m-1][:3])
}

// heat prints whole degree-days with thousands set apart: "1,720".
func heat(v float64) string {
	n := int(math.Round(v))
	if n < 0 {
		return "-" + heat(float64(-n))
	}
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// listed joins words as English does: "a, b and c".
func listed(items []string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

// partWords names a part of the crop.
func partWords(part string) string {
	if part == "breba" {
		return "brebas"
	}
	return "main crop"
}

// columns is the width of s on a terminal or in print: a mark set over a
// letter takes none, a letter of East Asian scripts two.
func columns(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana):
			n += 2
		default:
			n++
		}
	}
	return n
}

// wrap breaks text into lines of at most width columns, at spaces where there
// are any. The first line begins with first, the others with indent.
func wrap(first, indent, text string, width int) []string {
	var lines []string
	line, fresh := first, true // fresh: nothing but its beginning yet
	flush := func() {
		lines = append(lines, line)
		line, fresh = indent, true
	}
	for _, word := range strings.Fields(text) {
		space := " "
		if fresh {
			space = ""
		}
		if !fresh && columns(line+space+word) > width {
			flush()
			space = ""
		}
		for columns(line+space+word) > width { // longer than a line
			at := fitting(word, max(1, width-columns(line)))
			line += word[:at]
			word = word[at:]
			flush()
		}
		line += space + word
		fresh = false
	}
	if !fresh || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// fitting returns the bytes of the longest beginning of word that takes at
// most width columns, at least one letter.
func fitting(word string, width int) int {
	at := 0
	for i, r := range word {
		if end := i + len(string(r)); at == 0 || columns(word[:end]) <= width {
			at = end
			continue
		}
		break
	}
	return at
}

// oneLine puts a text with line ends on one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// padded fills s with spaces to width columns.
func padded(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-columns(s)))
}
