package club

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"ripeward/build/diag"
)

// kind is the type of a column.
type kind int8

const (
	textKind kind = iota
	numberKind
	wholeKind
	listKind
	dateKind
)

var kinds = map[reflect.Type]kind{
	reflect.TypeFor[Text]():   textKind,
	reflect.TypeFor[Number](): numberKind,
	reflect.TypeFor[Whole]():  wholeKind,
	reflect.TypeFor[List]():   listKind,
	reflect.TypeFor[Date]():   dateKind,
}

// need says what a column must have.
type need int8

const (
	optional   need = iota
	wantColumn      // the column must be there, a cell may be blank
	wantCell        // every cell must be filled
)

// form says what the cells of an id column may look like.
type form int8

const (
	freeForm   form = iota
	folderForm      // names a folder and a part of a URL
	codeForm        // names a row or a publisher's station: capitals are fine
)

// A rule is what is checked of a column beside its type.
type rule struct {
	need  need
	form  form
	oneOf []string
	// lo and hi bound a number; above: lo itself is outside.
	bounded, above bool
	lo, hi         float64
	ref            string // the table whose ids it holds
}

func (r rule) with(n need) rule { r.need = n; return r }

var (
	filled = rule{need: wantCell}
	titled = rule{need: wantColumn}
)

func span(lo, hi float64) rule  { return rule{bounded: true, lo: lo, hi: hi} }
func above(lo, hi float64) rule { return rule{bounded: true, above: true, lo: lo, hi: hi} }
func oneOf(words ...string) rule {
	return rule{oneOf: words}
}
func ref(table string) rule { return rule{ref: table} }

// A column is a column of a row type with its rule.
type column struct {
	name  string
	index []int
	kind  kind
	rule
}

// A spec describes a table.
type spec struct {
	name, file string
	key        string // the column that names a row and is unique, or ""
	columns    []column
	byName     map[string]*column
}

// specOf derives the columns from the csv tags of T and joins the rules. A
// rule for a column that T does not have is a mistake in this package.
func specOf[T any](name, key string, rules map[string]rule) *spec {
	s := &spec{name: name, file: "data/" + name + ".csv", key: key, byName: map[string]*column{}}
	typ := reflect.TypeFor[T]()
	for f := range fields(typ) {
		tag := f.Tag.Get("csv")
		k, known := kinds[f.Type]
		if tag == "" || tag == "-" {
			continue
		}
		if !known {
			panic(fmt.Sprintf("club: column %s of %s has a type that reads no cells", tag, typ))
		}
		s.columns = append(s.columns, column{tag, f.Index, k, rules[tag]})
	}
	for i := range s.columns {
		s.byName[s.columns[i].name] = &s.columns[i]
	}
	for column := range rules {
		if s.byName[column] == nil {
			panic(fmt.Sprintf("club: a rule for %s, which %s does not have", column, typ))
		}
	}
	return s
}

func fields(t reflect.Type) func(func(reflect.StructField) bool) {
	return func(yield func(reflect.StructField) bool) {
		for _, f := range reflect.VisibleFields(t) {
			if !f.Anonymous && len(f.Index) == 1 && !yield(f) {
				return
			}
		}
	}
}

// required returns the columns that a file must have.
func (s *spec) required() []string {
	var names []string
	for _, c := range s.columns {
		if c.need > optional {
			names = append(names, c.name)
		}
	}
	return names
}

func (s *spec) names() []string {
	var names []string
	for _, c := range s.columns {
		names = append(names, c.name)
	}
	return names
}

// A match is how the header of one file meets a spec.
type match struct {
	names  []string       // for gocsv: a column's name or "" for each cell
	cell   map[string]int // cell of each column and each translated text
	other  map[int]string // translated texts by cell: name_fr
	noDate []*column      // date columns that the file lacks
	kinds  map[int]*column
	comma  rune
}

// match finds the columns in the header of s and notes there what is wrong
// with it. It leaves the package globals of gocsv, which would do some of
// this for every reader of the process, alone.
func (s *spec) match(sh *sheet) *match {
	m := &match{names: make([]string, len(sh.header)), cell: map[string]int{}, other: map[int]string{},
		kinds: map[int]*column{}, comma: sh.comma}
	type stray struct {
		headerCell
		near string
	}
	var strays []stray
	known := 0
	for i, h := range sh.header {
		name := h.text
		c := s.byName[name]
		if c == nil {
			if c = s.byName[strings.ToLower(name)]; c != nil {
				sh.warn(h.at, fmt.Sprintf("column %s is read as %s", quote(name), c.name), "write column names in small letters")
				name = c.name
			}
		}
		translated := ""
		if c == nil {
			if translated = s.translated(strings.ToLower(name)); translated != "" {
				name = translated
			}
		}
		switch {
		case c == nil && translated == "":
			if name != "" {
				strays = append(strays, stray{h, nearest(name, s.names())})
			} else if sh.filledBelow(i) {
				sh.warn(h.at, fmt.Sprintf("column %d has no name and is not read", i+1), "name it, or delete its cells")
			}
			continue
		case hasKey(m.cell, name):
			sh.fail(h.at, fmt.Sprintf("column %s stands twice; the first is at %s", name, sh.header[m.cell[name]].at), "delete or rename one of them")
			continue
		}
		known++
		m.cell[name] = i
		if c == nil {
			m.other[i] = name
			continue
		}
		m.names[i] = c.name
		m.kinds[i] = c
	}
	head := sh.header[0].at
	if known == 0 {
		sh.problems = nil // nothing else is worth saying of it
		sh.fail(head, fmt.Sprintf("this is no header of %s: none of its columns is known", s.file), "a title above the header begins with #; the header names at least: "+strings.Join(s.required(), ", "))
		return m
	}
	for _, x := range strays {
		if c := s.byName[x.near]; c != nil && c.need != optional && !hasKey(m.cell, x.near) {
			continue // told below
		}
		hint := "columns: " + strings.Join(s.names(), ", ")
		if x.near != "" && !hasKey(m.cell, x.near) {
			hint = fmt.Sprintf("did you mean %s?", x.near)
		}
		sh.warn(x.at, fmt.Sprintf("unknown column %s is not read", quote(x.text)), hint)
	}
	for i := range s.columns {
		c := &s.columns[i]
		if hasKey(m.cell, c.name) {
			continue
		}
		if c.kind == dateKind {
			m.noDate = append(m.noDate, c)
		}
		if c.need == optional {
			continue
		}
		hint, at := "add it to the header", head
		for _, x := range strays {
			if x.near == c.name {
				hint, at = fmt.Sprintf("rename the column %s to %s", quote(x.text), c.name), x.at
			}
		}
		sh.fail(at, fmt.Sprintf("required column %s is missing", c.name), hint)
	}
	return m
}

func (sh *sheet) warn(at diag.Place, message, hint string) {
	sh.problems = append(sh.problems, diag.Problem{Place: at, Severity: diag.Warning, Message: message, Hint: hint})
}

func (sh *sheet) filledBelow(i int) bool {
	return slices.ContainsFunc(sh.records, func(r record) bool {
		return i < len(r.cells) && strings.TrimSpace(r.cells[i]) != ""
	})
}

func hasKey[V any](m map[string]V, k string) bool { _, ok := m[k]; return ok }

// translated returns name if it is a text column with a language at its end.
func (s *spec) translated(name string) string {
	for _, lang := range Languages {
		if x, ok := strings.CutSuffix(name, "_"+lang); ok {
			if c := s.byName[x]; c != nil && (c.kind == textKind || c.kind == listKind) {
				return name
			}
		}
	}
	return ""
}

// translate turns the cells of a record into what the column types read:
// decimal commas of files separated by ";" into points, and short dates into
// ISO form where the club says in which order it writes them.
func (m *match) translate(cells []string, order string, fault func(column, message, hint string)) {
	if m.comma != ';' && order == "" {
		return
	}
	for i, c := range m.kinds {
		switch {
		case c.kind == numberKind && m.comma == ';' && commaNumber.MatchString(strings.TrimSpace(cells[i])):
			cells[i] = strings.Replace(cells[i], ",", ".", 1)
		case c.kind == dateKind && order != "":
			iso, why := inOrder(cells[i], order)
			if why != "" {
				fault(c.name, fmt.Sprintf("%s: %s is not a day of the calendar read %s", c.name, quote(strings.TrimSpace(cells[i])), strings.Replace(order, "-", " ", 1)),
					why+"; date_order in data/club.toml says how dates are read")
			}
			cells[i] = iso
		}
	}
}
