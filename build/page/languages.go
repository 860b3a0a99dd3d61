package page

import (
	"fmt"
	"io/fs"

	"ripeward/build/almanac"
	"ripeward/build/diag"
	"ripeward/build/words"
	"ripeward/templates"
)

// wordTables are the tables of strings, a folder a language.
var wordTables, _ = fs.Sub(templates.Files, "words")

// loadLanguages reads the tables of the club's languages.
func loadLanguages(b *almanac.Book) ([]*words.Language, error) {
	var out []*words.Language
	for _, tag := range languagesOf(b.Club) {
		l, err := words.Load(wordTables, tag)
		if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, nil
}

// otherLanguage is a page in one language, as seen from the page; the page's
// own has no Href.
type otherLanguage struct{ Tag, Name, Href string }

// others are the page at a path in all languages of the site, the club's first
// one first; nil where there is one alone.
func (s *site) others(at, root string) []otherLanguage {
	if len(s.written) < 2 {
		return nil
	}
	var out []otherLanguage
	for i, tag := range s.written {
		if tag == s.Tag {
			out = append(out, otherLanguage{Tag: tag, Name: words.FormsIn(tag).OwnName})
			continue
		}
		below := ""
		if i > 0 {
			below = tag + "/"
		}
		out = append(out, otherLanguage{tag, words.FormsIn(tag).OwnName, s.top(root) + below + at})
	}
	return out
}

// clubName, tagline and notice are the club's words about itself, in the
// page's language where it has given them.
func (s *site) clubName() string { return s.ofClub("name", s.club.Settings.Name) }
func (s *site) tagline() string  { return s.ofClub("tagline", s.club.Settings.Tagline) }
func (s *site) notice() string   { return s.ofClub("notice", s.club.Settings.Notice) }

func (s *site) ofClub(key, own string) string {
	if t := s.club.Settings.Other[key+"_"+s.Tag]; t != "" {
		return t
	}
	return own
}

// untranslated tells of sentences that a language's table lacks. The tests
// keep this from happening for all that stands in the source; what remains
// are texts of other rooms.
func untranslated(l *words.Language) diag.Problems {
	missing := l.Missing()
	if len(missing) == 0 {
		return nil
	}
	return diag.Problems{{Place: diag.Place{File: "templates/words/" + l.Tag}, Severity: diag.Warning,
		Message: fmt.Sprintf("%d sentences have no text in language %q and stand in English; the first: %q", len(missing), l.Tag, missing[0]),
		Hint:    "this is a fault of the program: please report it"}}
}

// townName is a town's name in the page's language.
func (s *site) townName(t *almanac.Town) string { return s.in(t.Row.Row, "name", t.Row.Name) }
