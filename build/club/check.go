package club

import (
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"ripeward/build/diag"
)

var (
	folderName = regexp.MustCompile(`^[a-z0-9][a-z0-9_-]*$`)
	codeName   = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]*(\.[A-Za-z0-9_-]+)*$`)
	// Names that Windows keeps for devices, whatever follows the first dot
	// (Microsoft, "Naming Files, Paths, and Namespaces").
	deviceName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?$`)
)

// maxID keeps paths of pages below what old file systems hold.
const maxID = 64

// badID says what is wrong with an id, or "".
func badID(id string, f form) (message, hint string) {
	switch {
	case len(id) > maxID:
		return fmt.Sprintf("is longer than %d letters", maxID), "the id is for addresses; the name may be long"
	case deviceName.MatchString(id):
		return "is a name that Windows keeps for itself", "add a letter or a digit"
	case f == folderForm && (id == "all" || id == "index"):
		return "is a name that pages of the site have", "choose another"
	case f == folderForm && !folderName.MatchString(id):
		return "is not a plain id", idHint(id)
	case f == codeForm && !codeName.MatchString(id):
		return "is not a plain id", "use letters, digits, \"-\" and \"_\""
	}
	return "", ""
}

// plainLetters is for turning a name into an id in a hint: the accented
// letters of French and its neighbours.
var plainLetters = strings.NewReplacer("à", "a", "â", "a", "ä", "a", "á", "a", "ç", "c", "é", "e", "è", "e", "ê", "e", "ë", "e",
	"î", "i", "ï", "i", "í", "i", "ñ", "n", "ô", "o", "ö", "o", "ó", "o", "ù", "u", "û", "u", "ü", "u", "ú", "u", "œ", "oe", "æ", "ae", "ß", "ss")

func idHint(id string) string {
	const rule = "use small letters, digits, \"-\" and \"_\""
	if s := plainID(id); s != "" && s != id {
		return rule + ": " + s
	}
	return rule
}

// plainID turns a name into an id; "" where nothing fit is left of it.
func plainID(id string) string {
	s := plainLetters.Replace(strings.ToLower(id))
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_')
	}), "-")
	s = strings.TrimLeft(s, "_")
	if !folderName.MatchString(s) || deviceName.MatchString(s) {
		return ""
	}
	return s
}

// values returns the texts of a text or list column of row i.
func (t *tableBase) values(i int, c *column) []string {
	v := t.row(i).FieldByIndex(c.index)
	if c.kind == listKind {
		return v.Interface().(List)
	}
	if s := v.String(); s != "" {
		return []string{s}
	}
	return nil
}

// number returns the number in a number or whole column.
func (t *tableBase) number(i int, c *column) (float64, bool) {
	switch v := t.row(i).FieldByIndex(c.index).Interface().(type) {
	case Number:
		return v.Value, v.Set
	case Whole:
		return float64(v.Value), v.Set
	}
	return 0, false
}

func (t *tableBase) blank(i int, c *column) bool {
	switch v := t.row(i).FieldByIndex(c.index).Interface().(type) {
	case Text:
		return v == ""
	case List:
		return len(v) == 0
	case Date:
		return !v.Set()
	}
	_, set := t.number(i, c)
	return !set
}

// checkCells applies the rules of the columns to every row.
func (t *tableBase) checkCells() {
	for i := range t.from {
		if !t.whole(i) {
			continue
		}
		for k := range t.spec.columns {
			c := &t.spec.columns[k]
			if t.faulty(i, c.name) {
				continue
			}
			if t.blank(i, c) {
				if c.need == wantCell {
					t.fault(i, c.name, c.name+" is blank", "every row needs one")
				}
				continue
			}
			t.checkCell(i, c)
		}
	}
}

func (t *tableBase) checkCell(i int, c *column) {
	if c.bounded {
		v, _ := t.number(i, c)
		switch {
		case c.above && v <= c.lo:
			t.fault(i, c.name, fmt.Sprintf("%s %s is not above %s", c.name, plain(v), plain(c.lo)), "")
		case v < c.lo || v > c.hi:
			t.fault(i, c.name, fmt.Sprintf("%s %s is outside %s to %s", c.name, plain(v), plain(c.lo), plain(c.hi)), t.boundsHint(i, c.name))
		}
	}
	if c.form != freeForm {
		id := t.values(i, c)[0]
		if message, hint := badID(id, c.form); message != "" {
			t.fault(i, c.name, fmt.Sprintf("%s %s %s", c.name, quote(id), message), hint)
		}
	}
	if c.oneOf != nil {
		if v := t.values(i, c)[0]; !slices.Contains(c.oneOf, v) {
			hint := didYouMean(v, c.oneOf)
			if hint == "" {
				hint = "one of: " + strings.Join(c.oneOf, ", ")
			}
			t.fault(i, c.name, fmt.Sprintf("%s %s is not known", c.name, quote(v)), hint)
		}
	}
}

// boundsHint recognises two slips of latitude, longitude and elevation.
func (t *tableBase) boundsHint(i int, name string) string {
	lat, lon := t.spec.byName["latitude"], t.spec.byName["longitude"]
	if lat == nil || lon == nil || (name != "latitude" && name != "longitude") {
		return ""
	}
	a, _ := t.number(i, lat)
	b, set := t.number(i, lon)
	if set && name == "latitude" && b >= -90 && b <= 90 && a >= -180 && a <= 180 {
		return "latitude and longitude look swapped"
	}
	return "write degrees with a decimal point; south and west are negative"
}

// checkKeys looks for ids that stand twice.
func (t *tableBase) checkKeys() {
	if t.spec.key == "" {
		return
	}
	c := t.spec.byName[t.spec.key]
	first := map[string]int{}
	for i := range t.from {
		for _, id := range t.values(i, c) {
			k, taken := first[strings.ToLower(id)]
			if !taken {
				first[strings.ToLower(id)] = i
				continue
			}
			if !t.whole(i) {
				continue
			}
			if t.replace(i, k) {
				first[strings.ToLower(id)] = i
				continue
			}
			message, where, hint := "stands twice", t.at(k, c.name).String(), "give each row its own id"
			if t.from[i].sheet != t.from[k].sheet {
				hint += "; is one file a copy of the other?"
			}
			if t.values(k, c)[0] != id {
				message = "differs from another only in capitals"
			}
			t.fault(i, c.name, fmt.Sprintf("%s %s %s; the first is at %s", c.name, quote(id), message, where), hint)
		}
	}
}

// checkNames warns of rows that readers could not tell apart.
func (t *tableBase) checkNames() {
	c := t.spec.byName["name"]
	if c == nil || t.spec.key == "" {
		return
	}
	first := map[string]int{}
	for i := range t.from {
		if !t.whole(i) || t.blank(i, c) || t.unused[i] {
			continue
		}
		name := t.values(i, c)[0]
		if k, taken := first[name]; taken {
			t.warn(i, c.name, fmt.Sprintf("name %s stands twice; the first is at %s", quote(name), t.at(k, c.name)), "readers cannot tell them apart")
			continue
		}
		first[name] = i
	}
}

// checkRefs looks up what a table refers to.
func (l *loader) checkRefs(t *tableBase) {
	for k := range t.spec.columns {
		c := &t.spec.columns[k]
		if c.ref == "" || l.tables[c.ref].broken {
			continue
		}
		target := l.tables[c.ref]
		known, amiss := target.ids(false), target.amiss()
		if t.builtIn() {
			l.adapt(t, c, known)
			continue
		}
		if len(target.from) == 0 && len(target.lost) == 0 {
			l.noSuchTable(t, c, target)
			continue
		}
		var words []string
		hints := map[string]string{} // a wrong id may stand in very many rows
		for i := range t.from {
			if !t.whole(i) || t.faulty(i, c.name) {
				continue
			}
			values := t.values(i, c)
			for j, id := range values {
				if slices.Contains(values[:j], id) {
					t.fault(i, c.name, fmt.Sprintf("%s names %s twice", c.name, quote(id)), "")
				}
				if known[id] {
					continue
				}
				if words == nil {
					words = slices.Sorted(target.list())
				}
				hint, met := hints[id]
				if !met {
					if hint = target.namedHint(id); hint == "" {
						hint = refHint(id, c, words)
					}
					hints[id] = hint
				}
				t.fault(i, c.name, fmt.Sprintf("%s %s is not in %s", c.name, quote(id), target.where()), hint)
				if amiss[id] {
					t.follows(i)
				}
			}
		}
	}
}

// amiss returns the ids that rows of the table would have, were they not
// wrong: those of rows that could not be taken apart, and the plain forms of
// ids that are not plain. Rows that name them have no fault of their own.
func (t *tableBase) amiss() map[string]bool {
	m := maps.Clone(t.lostIDs)
	if m == nil {
		m = map[string]bool{}
	}
	for i := range t.from {
		if t.spec.key != "" && len(t.faults[i]) > 0 && t.faulty(i, t.spec.key) {
			for _, id := range t.values(i, t.spec.byName[t.spec.key]) {
				m[plainID(id)] = true
			}
		}
	}
	return m
}

// noSuchTable says once of each file that it names rows of a table that the
// club does not have.
func (l *loader) noSuchTable(t *tableBase, c *column, target *tableBase) {
	told := map[string]bool{}
	for i := range t.from {
		if !t.whole(i) || t.faulty(i, c.name) || t.blank(i, c) {
			continue
		}
		t.fault(i, c.name, fmt.Sprintf("%s %s: the club has no rows in %s", c.name, quote(t.values(i, c)[0]), target.where()),
			"put the table back, or leave "+c.name+" blank in every row")
		if file := t.from[i].sheet.file; told[file] {
			t.follows(i)
		} else {
			told[file] = true
		}
	}
}

// builtIn tells whether the table is the one in the binary.
func (t *tableBase) builtIn() bool {
	return len(t.from) > 0 && strings.HasPrefix(t.from[0].sheet.file, BuiltIn)
}

// adapt fits a built-in table to a club that has its own table of what it
// refers to: a row keeps the ids that the club has, and is left out where it
// would have none. That is no fault of the club's.
func (l *loader) adapt(t *tableBase, c *column, known map[string]bool) {
	left, lost := 0, 0
	for i := range t.from {
		values := t.values(i, c)
		var stay List
		for _, id := range values {
			if known[id] {
				stay = append(stay, id)
			}
		}
		if len(stay) == len(values) {
			continue
		}
		cell := t.row(i).FieldByIndex(c.index)
		switch {
		case c.kind == listKind && len(stay) > 0:
			cell.Set(reflect.ValueOf(stay))
		case c.kind == textKind && c.need == optional:
			cell.SetString("")
			lost++
		default:
			t.unused[i] = true
			left++
		}
	}
	for _, x := range []struct {
		n    int
		what string
	}{{left, "are left out: they"}, {lost, "lose their " + c.name + ": they"}} {
		if x.n > 0 {
			l.problems = append(l.problems, diag.Problem{Place: diag.Place{File: t.where()}, Severity: diag.Note,
				Message: fmt.Sprintf("%d rows %s name what %s does not have", x.n, x.what, l.tables[c.ref].where()),
				Hint:    fmt.Sprintf("a %s of the club's own replaces the built-in one", t.spec.file)})
		}
	}
}

// namedHint says which row has a name that stands in the place of an id.
func (t *tableBase) namedHint(name string) string {
	for _, k := range []string{"name", "also_called"} {
		c := t.spec.byName[k]
		if c == nil {
			continue
		}
		for i := range t.from {
			for _, is := range t.values(i, c) {
				if strings.EqualFold(is, name) && !t.unused[i] {
					return fmt.Sprintf("that is its name: write %s", strings.Join(t.values(i, t.spec.byName[t.spec.key]), ""))
				}
			}
		}
	}
	return ""
}

func refHint(id string, c *column, words []string) string {
	if n := nearest(id, words); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if c.kind == listKind && strings.ContainsAny(id, ", |/") {
		return "separate several ids by \";\""
	}
	if len(words) > 0 && len(words) <= 12 {
		return "there are: " + strings.Join(words, ", ")
	}
	return ""
}

// where names the file that a table came from.
func (t *tableBase) where() string {
	if len(t.from) > 0 && t.spec.name != "reports" {
		return t.from[0].sheet.file
	}
	return t.spec.file
}

// ids returns the ids of the table, of all rows or of those that are kept.
func (t *tableBase) ids(kept bool) map[string]bool {
	m := map[string]bool{}
	c := t.spec.byName[t.spec.key]
	for i := range t.from {
		if t.unused[i] || kept && t.dropped[i] {
			continue
		}
		for _, id := range t.values(i, c) {
			m[id] = true
		}
	}
	return m
}

func (t *tableBase) list() func(func(string) bool) {
	return func(yield func(string) bool) {
		for id := range t.ids(false) {
			if !yield(id) {
				return
			}
		}
	}
}
