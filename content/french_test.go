package content_test

import (
	"encoding/csv"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ripeward/build/prose"
	"ripeward/content"
)

// twins calls f for every English page with its French one.
func twins(t *testing.T, f func(name string, en, fr prose.Page, enSrc, frSrc string)) {
	t.Helper()
	all := pages(t)
	n := 0
	for name, en := range all {
		if strings.HasPrefix(name, "fr/") {
			if _, ok := all[strings.TrimPrefix(name, "fr/")]; !ok {
				t.Errorf("%s has no English page", name)
			}
			continue
		}
		fr, ok := all["fr/"+name]
		if !ok {
			t.Errorf("%s has no French page", name)
			continue
		}
		n++
		f(name, en, fr, source(t, name), source(t, "fr/"+name))
	}
	if n < 8 {
		t.Errorf("only %d pages in both languages", n)
	}
}

func source(t *testing.T, name string) string {
	t.Helper()
	src, err := fs.ReadFile(content.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	return string(src)
}

func texts(hs []prose.Heading) (out []string) {
	for _, h := range hs {
		out = append(out, h.Text)
	}
	return out
}

// The French page says the same: its card, its blocks with their settings in
// order, its links, its headings, rows, steps and temperatures.
func TestFrenchPagesMatchTheEnglish(t *testing.T) {
	blocks := regexp.MustCompile("(?m)^```ripeward:.*$")
	rows := regexp.MustCompile(`(?m)^(\||- |[0-9]\. )`)
	degrees := regexp.MustCompile(`−?[0-9]+(?:[.,][0-9]+)?[ \x{a0}](?:°[CF]|%)`)
	twins(t, func(name string, en, fr prose.Page, enSrc, frSrc string) {
		if fr.Card.Language != "fr" || fr.Card.Order != en.Card.Order || fr.Card.Title == "" || fr.Card.Summary == "" ||
			fr.Card.Title == en.Card.Title || fr.Card.Summary == en.Card.Summary {
			t.Errorf("fr/%s: the page card does not fit: %+v", name, fr.Card)
		}
		if a, b := blocks.FindAllString(enSrc, -1), blocks.FindAllString(frSrc, -1); !slices.Equal(a, b) {
			t.Errorf("fr/%s: blocks %q, want %q", name, b, a)
		}
		if a, b := slices.Sorted(slices.Values(en.Links)), slices.Sorted(slices.Values(fr.Links)); !slices.Equal(a, b) {
			t.Errorf("fr/%s: links %q, want %q", name, b, a)
		}
		if a, b := rows.FindAllString(enSrc, -1), rows.FindAllString(frSrc, -1); !slices.Equal(a, b) {
			t.Errorf("fr/%s: %d rows and items, want %d in the same order", name, len(b), len(a))
		}
		if len(en.Headings) != len(fr.Headings) {
			t.Errorf("fr/%s: headings %q, want as in %q", name, texts(fr.Headings), texts(en.Headings))
		} else {
			for i := range en.Headings {
				if en.Headings[i].Level != fr.Headings[i].Level {
					t.Errorf("fr/%s: heading %q has another level than %q", name, fr.Headings[i].Text, en.Headings[i].Text)
				}
			}
		}
		plain := func(src string) []string {
			src = strings.NewReplacer("\u00a0", " ", ",", ".").Replace(strings.Join(degrees.FindAllString(src, -1), "|"))
			return slices.Sorted(slices.Values(strings.Split(src, "|")))
		}
		if a, b := plain(enSrc), plain(frSrc); !slices.Equal(a, b) {
			t.Errorf("fr/%s: temperatures and shares %q, want %q", name, b, a)
		}
		if fr.Words < en.Words*9/10 || fr.Words > en.Words*14/10 {
			t.Errorf("fr/%s: %d words for %d English ones", name, fr.Words, en.Words)
		}
	})
}

// A fragment that a text or the demo's list of tasks uses to point into a
// guide leads to a heading in both languages.
func TestAnchorsUsedElsewhereExistInBothLanguages(t *testing.T) {
	all := pages(t)
	check := func(from, guide, fragment string) {
		for _, name := range []string{guide, "fr/" + guide} {
			p, ok := all[name]
			if !ok {
				t.Errorf("%s: no guide %s", from, name)
			} else if fragment != "" && !slices.ContainsFunc(p.Headings, func(h prose.Heading) bool { return h.ID == fragment }) {
				t.Errorf("%s: %s has no heading #%s", from, name, fragment)
			}
		}
	}
	for from, p := range all {
		for _, link := range p.Links {
			to, fragment, _ := strings.Cut(link, "#")
			if strings.HasSuffix(to, ".md") {
				check(from, strings.TrimPrefix(path.Join(path.Dir(from), to), "fr/"), fragment)
			}
		}
	}
	file, err := os.Open("../data/tasks.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	table, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column, found := slices.Index(table[0], "link"), 0
	for _, row := range table[1:] {
		to, fragment, _ := strings.Cut(row[column], "#")
		if strings.HasPrefix(to, "guides/") {
			found++
			check("data/tasks.csv, "+row[0], to+".md", fragment)
		}
	}
	if found < 10 {
		t.Errorf("only %d links to guides in data/tasks.csv", found)
	}
}

// No English is left behind, and the signs of French are in place.
func TestFrenchIsFrench(t *testing.T) {
	english := regexp.MustCompile(`(?i)(^|[^\pL])(the|and|of|with|that|your|from|which|is|are|when|pot in|years)([^\pL]|$)`)
	// Titles and names of sources stay in their language.
	names := strings.NewReplacer("Journal of the Japanese Society for Horticultural Science", "", "University of Massachusetts Extension", "")
	address := regexp.MustCompile(`\]\([^)]*\)`)
	signs := map[string]*regexp.Regexp{
		"a common space before a high sign or inside guillemets": regexp.MustCompile(`« | »| [;:?!%]| °[CF]`),
		"a high sign without its space":                          regexp.MustCompile(`\pL[;?!]`),
		"a decimal point":                                        regexp.MustCompile(`[0-9]\.[0-9]`),
		"a straight quotation mark or apostrophe":                regexp.MustCompile(`['"]`),
		"tu":                                    regexp.MustCompile(`(?i)(^|[^\pL])(tu|ton|tes)([^\pL]|$)`),
		"another word for a thing that has one": regexp.MustCompile(`(?i)breba|cultivar|main crop`),
	}
	twins(t, func(name string, _, _ prose.Page, _, frSrc string) {
		for i, line := range strings.Split(frSrc, "\n") {
			if strings.HasPrefix(line, "```") {
				continue
			}
			line = address.ReplaceAllString(line, "]")
			if m := english.FindString(names.Replace(line)); m != "" {
				t.Errorf("fr/%s:%d: English word %q", name, i+1, strings.TrimSpace(m))
			}
			for what, sign := range signs {
				if m := sign.FindString(line); m != "" {
					t.Errorf("fr/%s:%d: %s: %q", name, i+1, what, m)
				}
			}
		}
	})
}
