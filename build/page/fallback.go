package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/club"
	"ripeward/build/diag"
)

// A text that is not there in the page's language is shown in its own: names
// and short words as they are, sentences with a mark for screen readers and
// browsers. What fell back so is counted once a publish.

// languageOf is the language of a row's texts without a code: of a table of
// the club's own the club's first, of a built-in one English.
func (s *site) languageOf(r club.Row) string {
	if strings.HasPrefix(r.At.File, club.BuiltIn) {
		return "en"
	}
	return s.written[0]
}

// unless is a text's language where it is not the page's, else "".
func (s *site) unless(lang string) string {
	if lang == s.Tag {
		return ""
	}
	return lang
}

// prose is a column of sentences in the page's language; where it is not
// translated it says which language it is in.
func (s *site) prose(r club.Row, column string, own club.Text) template.HTML {
	text, found := r.In(s.Tag, column, string(own))
	lang := s.unless(s.languageOf(r))
	if found || lang == "" || text == "" {
		return cell(text)
	}
	return template.HTML(`<span lang="` + esc(lang) + `">` + esc(text) + `</span>`)
}

// fallen counts the texts of one column that are not in the page's language.
type fallen struct {
	file, column string
	n            int
	some         bool // others are
}

// fallBacks notes what is not in the page's language: the texts in Markdown
// one by one, the tables by file and column. A club that writes in one
// language hears nothing of it. Names of towns, zones and cultivars are taken
// for proper names that need no translation, unless others of their column
// have one.
func (s *site) fallBacks() diag.Problems {
	if len(s.written) < 2 {
		return nil
	}
	var out diag.Problems
	note := func(file, message, hint string) {
		out = append(out, diag.Problem{Place: diag.Place{File: file}, Severity: diag.Note, Message: message, Hint: hint})
	}
	if files := s.foreignTexts(); len(files) > 0 {
		what := "text has"
		if len(files) > 1 {
			what = "texts have"
		}
		note("content", fmt.Sprintf("%d %s no %s: %s", len(files), what, s.EnglishName, strings.Join(files, ", ")),
			fmt.Sprintf("write it in content/%s/, under the same name", s.Tag))
	}
	for _, f := range s.foreignColumns() {
		what := "row has"
		if f.n > 1 {
			what = "rows have"
		}
		note(f.file, fmt.Sprintf("%d %s no %s_%s: the pages show %s as it stands", f.n, what, f.column, s.Tag, f.column), fmt.Sprintf("add a column %s_%s, or fill it", f.column, s.Tag))
	}
	return out
}

// foreignTexts are the Markdown files that are not in the page's language.
func (s *site) foreignTexts() []string {
	var out []string
	texts := slices.Concat(s.guides, s.extra)
	if s.home != nil {
		texts = append(texts, *s.home)
	}
	for i := range texts {
		if texts[i].Lang != s.Tag {
			out = append(out, texts[i].File)
		}
	}
	slices.Sort(out)
	return out
}

// foreignColumns are the columns of the tables with texts that are not in the
// page's language.
func (s *site) foreignColumns() []fallen {
	c := s.club
	var all []fallen
	for _, list := range [][]fallen{
		lacking(s, c.Zones, func(x *club.Zone) (club.Row, columns) {
			return x.Row, columns{{"name", x.Name, false}, {"about", x.About, true}}
		}),
		lacking(s, c.Towns, func(x *club.Town) (club.Row, columns) {
			return x.Row, columns{{"name", x.Name, false}, {"about", x.About, true}}
		}),
		lacking(s, c.Crops, func(x *club.Crop) (club.Row, columns) { return x.Row, columns{{"name", x.Name, true}} }),
		lacking(s, c.Classes, func(x *club.Class) (club.Row, columns) { return x.Row, columns{{"name", x.Name, true}} }),
		lacking(s, c.Cultivars, func(x *club.Cultivar) (club.Row, columns) {
			return x.Row, columns{{"name", x.Name, false}, {"notes", x.Notes, true}, {"skin", x.Skin, false}, {"flavour", x.Flavour, false}}
		}),
		lacking(s, c.Methods, func(x *club.Method) (club.Row, columns) { return x.Row, columns{{"name", x.Name, true}} }),
		lacking(s, c.Stores, func(x *club.Store) (club.Row, columns) { return x.Row, columns{{"name", x.Name, true}} }),
		lacking(s, c.Tasks, func(x *club.Task) (club.Row, columns) {
			return x.Row, columns{{"name", x.Name, true}, {"why", x.Why, true}}
		}),
		lacking(s, c.Mixes, func(x *club.Mix) (club.Row, columns) {
			return x.Row, columns{{"name", x.Name, true}, {"part", x.Part, true}}
		}),
		lacking(s, c.Feeds, func(x *club.Feed) (club.Row, columns) { return x.Row, columns{{"name", x.Name, true}} }),
	} {
		all = append(all, list...)
	}
	return all
}

// columns are the text columns of a row; those that are no proper names want a
// translation always.
type columns []struct {
	name  string
	text  club.Text
	wants bool
}

func lacking[T any](s *site, rows []T, of func(*T) (club.Row, columns)) []fallen {
	var out []fallen
	wants := map[string]bool{}
	for i := range rows {
		r, cs := of(&rows[i])
		if s.unless(s.languageOf(r)) == "" {
			return nil // a table is in one language
		}
		for _, c := range cs {
			at := slices.IndexFunc(out, func(f fallen) bool { return f.column == c.name })
			if at < 0 {
				at = len(out)
				out = append(out, fallen{file: r.At.File, column: c.name})
				wants[c.name] = c.wants
			}
			if _, found := r.In(s.Tag, c.name, ""); found {
				out[at].some = true
			} else if c.text != "" {
				out[at].n++
			}
		}
	}
	return slices.DeleteFunc(out, func(f fallen) bool { return f.n == 0 || !f.some && !wants[f.column] })
}
