package page

import (
	"fmt"
	"html/template"
	"io"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/diag"
)

// sentence puts a sentence of another room into the page's language, with the
// names and numbers in it.
func (s *site) sentence(x diag.Sentence) string {
	values := make([]any, len(x.Values))
	for i, v := range x.Values {
		switch v := v.(type) {
		case float64:
			values[i] = spokenNumber{s.voice, v}
		case almanac.Named:
			values[i] = s.named(v)
		default:
			values[i] = v
		}
	}
	if x.Form == "" {
		return ""
	}
	return s.Say(x.Form, values...)
}

// named is a crop or cultivar by its name in the page's language.
func (s *site) named(n almanac.Named) string {
	if c := s.crops[n.ID]; n.Of == "crop" && c != nil {
		return s.in(c.Row, "name", c.Name)
	}
	if c := s.cultivars[n.ID]; n.Of == "cultivar" && c != nil {
		return s.in(c.Row, "name", c.Name)
	}
	return n.Name
}

// spokenNumber is a number that "%.1f" prints as the language writes it.
type spokenNumber struct {
	voice
	v float64
}

// Format implements fmt.Formatter.
func (n spokenNumber) Format(f fmt.State, _ rune) {
	dec, _ := f.Precision()
	_, _ = io.WriteString(f, n.Signed(n.v, dec))
}

// bilingual is a text of the catalogue of figures in the page's language: its
// own French, and what the language's table has for any other.
func (v voice) bilingual(b climate.Bilingual) string {
	switch v.Tag {
	case "en":
		return b.English
	case "fr":
		return b.French
	}
	return v.Say(b.English)
}

// inEnglish marks a text that the page's language has none for: a message
// about a file, as the program prints it.
func (v voice) inEnglish(text string) template.HTML {
	if v.Tag == "en" || text == "" {
		return cell(text)
	}
	return `<span lang="en">` + cell(text) + `</span>`
}

// someDays prints a number of days with a decimal; the noun goes with its
// size.
func (v voice) someDays(text string, days float64) string {
	return v.Count(int(max(days, -days)), "%s\u00a0days", "%s\u00a0days", text)
}
