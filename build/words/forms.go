package words

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Forms declare a language: its names, and how it writes numbers, dates and
// lists. Whatever asks which languages there are asks Tags. Source of the
// French ones: Lexique des règles typographiques en usage à l'Imprimerie
// nationale (narrow no-break space between thousands and before ; ! ?, "1er"
// for the first of a month, no capital for months).
type Forms struct {
	OwnName     string // for readers
	EnglishName string // in messages to authors
	Locale      string // as Open Graph has it, with the territory that it wants

	decimal, group string
	Months         [12]string
	ShortMonths    [12]string
	numbers        []string // spelt out, from 0
	and            string   // before the last item of a list
	dayOfMonth     func(d int) string
	plural         func(n int) int
}

var formsOf = map[string]Forms{
	"en": {
		OwnName: "English", EnglishName: "English", Locale: "en_US", // Open Graph's default
		decimal: ".", group: ",", and: " and ",
		Months:      [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"},
		ShortMonths: [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"},
		numbers:     []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"},
		dayOfMonth:  strconv.Itoa,
		plural: func(n int) int {
			if n == 1 {
				return 0
			}
			return 1
		},
	},
	"fr": {
		OwnName: "Français", EnglishName: "French", Locale: "fr_FR",
		decimal: ",", group: "\u202f", and: " et ",
		Months:      [12]string{"janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre", "octobre", "novembre", "décembre"},
		ShortMonths: [12]string{"janv.", "févr.", "mars", "avr.", "mai", "juin", "juil.", "août", "sept.", "oct.", "nov.", "déc."},
		numbers:     []string{"aucun", "un", "deux", "trois", "quatre", "cinq", "six", "sept", "huit", "neuf", "dix", "onze", "douze"},
		dayOfMonth: func(d int) string {
			if d == 1 {
				return "1er"
			}
			return strconv.Itoa(d)
		},
		plural: func(n int) int {
			if n < 2 && n > -2 {
				return 0
			}
			return 1
		},
	},
}

// Tags are the codes (BCP 47) of the languages that a site can be in: English,
// in which the keys are written, then the others in order.
func Tags() []string {
	others := slices.Sorted(maps.Keys(formsOf))
	return append([]string{"en"}, slices.DeleteFunc(others, func(tag string) bool { return tag == "en" })...)
}

// FormsIn are the forms of a language, nothing for one that Tags lacks.
func FormsIn(tag string) Forms { return formsOf[tag] }

// Fixed prints v with dec decimals, never a negative zero, with the plain
// minus sign.
func (f Forms) Fixed(v float64, dec int) string {
	return strings.Replace(fixed(v, dec), ".", f.decimal, 1)
}

// Trimmed is Fixed without trailing zeros.
func (f Forms) Trimmed(v float64, dec int) string {
	s := fixed(v, dec)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return strings.Replace(s, ".", f.decimal, 1)
}

// Signed is Fixed with the minus sign of print.
func (f Forms) Signed(v float64, dec int) string {
	return strings.Replace(f.Fixed(v, dec), "-", "\u2212", 1)
}

// Plus is Signed with a sign on positive values too.
func (f Forms) Plus(v float64, dec int) string {
	s := f.Signed(v, dec)
	if v > 0 && strings.Trim(s, "0.,") != "" {
		s = "+" + s
	}
	return s
}

// Grouped prints a whole number with thousands set apart.
func (f Forms) Grouped(v float64) string {
	n := int(math.Round(v))
	if n < 0 {
		return "\u2212" + f.Whole(-n)
	}
	return f.Whole(n)
}

// Whole prints a count with thousands set apart.
func (f Forms) Whole(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + f.group + s[i:]
	}
	return s
}

// Number spells a number up to twelve and writes others in digits.
func (f Forms) Number(n int) string {
	if n >= 0 && n < len(f.numbers) {
		return f.numbers[n]
	}
	return f.Whole(n)
}

// Date is a day of a month (1-12), with a no-break space: "12 May".
func (f Forms) Date(month, d int) string {
	return f.dayOfMonth(d) + "\u00a0" + f.Months[month-1]
}

// Day is the day of a month alone.
func (f Forms) Day(d int) string { return f.dayOfMonth(d) }

// ShortDate is Date with the month cut short.
func (f Forms) ShortDate(month, d int) string {
	return f.dayOfMonth(d) + "\u00a0" + f.ShortMonths[month-1]
}

// List joins items: "a, b and c".
func (f Forms) List(items []string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0]
	}
	return strings.Join(items[:len(items)-1], ", ") + f.and + items[len(items)-1]
}

func fixed(v float64, dec int) string {
	s := strconv.FormatFloat(v, 'f', dec, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}
