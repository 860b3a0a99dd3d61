package prose

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"ripeward/build/diag"
)

const fence = "%%%"

var cardKeys = []string{"title", "order", "language", "summary"}

// A BCP 47 language with an optional script and region.
var languageCode = regexp.MustCompile(`^[a-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|[0-9]{3}))?$`)

// splitCard reads the page card and returns the text after it with the number
// of lines that stand before that text.
func splitCard(file, src string, fragment bool) (card Card, body string, before int, ps diag.Problems) {
	problem := func(line, column int, hint, format string, args ...any) {
		ps = append(ps, diag.Problem{Place: diag.Place{File: file, Line: line, Column: column},
			Severity: diag.Error, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
	start, first := src, 0 // the card may follow blank lines
	for {
		line, rest, more := strings.Cut(start, "\n")
		if !more || strings.TrimSpace(line) != "" {
			break
		}
		start, first = rest, first+1
	}
	line, rest, more := strings.Cut(start, "\n")
	if strings.TrimRight(line, " \t") != fence {
		if !fragment {
			hint := "start the file with a line " + fence + ", a line \"title: …\" and a line " + fence
			if t := strings.TrimSpace(line); strings.HasPrefix(t, "---") || strings.HasPrefix(t, "+++") || strings.HasPrefix(t, "%%") {
				hint = "the card stands between two lines " + fence
			}
			problem(first+1, 1, hint, "the page has no card")
		}
		return card, src, 0, ps
	}
	opened := first + 1
	n, seen, closed := opened, map[string]int{}, false
	for more && !closed {
		line, rest, more = strings.Cut(rest, "\n")
		n++
		text := strings.TrimSpace(line)
		if text == fence {
			closed = true
			continue
		}
		if text == "" || text[0] == '#' {
			continue
		}
		at := strings.Index(line, text) + 1
		key, value, ok := strings.Cut(line, ":")
		key = strings.TrimSpace(key)
		if !ok || key == "" {
			problem(n, at, "write key: value; the card ends with a line "+fence, "this line of the card is not of the form key: value")
			continue
		}
		column := len(line) - len(value) + 1
		column += len(value) - len(strings.TrimLeft(value, " \t"))
		value = strings.TrimSpace(value)
		if was, twice := seen[key]; twice {
			problem(n, at, "keep one of them", "%q stands twice in the card, first on line %d", key, was)
			continue
		}
		seen[key] = n
		switch key {
		case "title":
			card.Title = value
			if value == "" {
				problem(n, at, "write the page's name after title:", "the title is blank")
			}
		case "order":
			v, err := strconv.Atoi(value)
			if err != nil {
				problem(n, column, "write a whole number such as 20", "order %q is not a whole number", value)
			}
			card.Order = v
		case "language":
			if !languageCode.MatchString(value) {
				problem(n, column, "write a language code such as en, fr or fr-CA", "%q is not a language code", value)
				continue
			}
			card.Language = value
		case "summary":
			card.Summary = value
		default:
			hint := "a card has " + strings.Join(cardKeys, ", ")
			if near := diag.Nearest(key, cardKeys); near != "" {
				hint = "did you mean " + near + "?"
			}
			problem(n, at, hint, "the card knows no %q", key)
		}
	}
	if !closed {
		problem(opened, 1, "end the card with a line "+fence, "the card is not closed")
		return card, "", n, ps
	}
	if _, ok := seen["title"]; !ok && !fragment {
		problem(opened, 1, "add a line title: …", "the card has no title")
	}
	return card, rest, n, ps
}
