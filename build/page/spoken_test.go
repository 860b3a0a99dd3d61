package page

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/words"
	"ripeward/templates"
)

// phrase is a text that the source says: its form for many where it has one.
type phrase struct{ one, many string }

// spokenIn lists what a Go file says: the texts of Say, Mark and Count, and
// the nouns of countWords and countDigits.
func spokenIn(t *testing.T, file string) []phrase {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var out []phrase
	ast.Inspect(f, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		name := ""
		switch fun := call.Fun.(type) {
		case *ast.SelectorExpr:
			if of, ok := fun.X.(*ast.Ident); ok && of.Name == "strings" {
				return true // strings.Count
			}
			name = fun.Sel.Name
		case *ast.Ident:
			name = fun.Name
		}
		text := func(i int) string {
			if i >= len(call.Args) {
				return ""
			}
			return literal(call.Args[i])
		}
		switch name {
		case "Say", "Mark":
			if s := text(0); s != "" {
				out = append(out, phrase{one: s})
			}
		case "Count":
			if s := text(1); s != "" && text(2) != "" { // not bytes.Count
				out = append(out, phrase{s, text(2)})
			}
		case "countWords", "countDigits":
			if noun := text(1); noun != "" {
				out = append(out, phrase{noun, plural(noun)})
				if name == "countWords" {
					out = append(out, phrase{one: "no " + plural(noun)}, phrase{one: "one " + noun})
				}
			}
		}
		return true
	})
	return out
}

// literal is the value of a text, also of one put together with "+".
func literal(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if s, err := strconv.Unquote(e.Value); err == nil {
			return s
		}
	case *ast.BinaryExpr:
		if a, b := literal(e.X), literal(e.Y); a != "" && b != "" {
			return a + b
		}
	}
	return ""
}

// spoken lists all that the site says, by the file that says it.
func spoken(t *testing.T) map[string][]phrase {
	t.Helper()
	out := map[string][]phrase{}
	for _, dir := range []string{".", "../tables", "../almanac", "../needs", "../climate", "../station"} {
		files, err := filepath.Glob(dir + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if list := spokenIn(t, f); len(list) > 0 && !strings.HasSuffix(f, "_test.go") {
				out[filepath.ToSlash(f)] = list
			}
		}
	}
	err := fs.WalkDir(templates.Files, ".", func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(templates.Files, p)
		if err != nil {
			return err
		}
		var keys []string
		switch filepath.Ext(p) {
		case ".html":
			keys = words.TemplateKeys(string(data))
		case ".js":
			keys = words.ScriptKeys(data)
		}
		for _, k := range keys {
			out[p] = append(out[p], phrase{one: k})
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Every text that the site says has a translation in every language's table,
// with the same values in it; and every translation is of something said.
func TestEveryTextIsSpokenInEveryLanguage(t *testing.T) {
	source := spoken(t)
	tags := words.Tags()
	folders, err := fs.ReadDir(wordTables, ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range folders {
		if !slices.Contains(tags, e.Name()) {
			t.Errorf("templates/words/%s: language %q is not declared in build/words/forms.go", e.Name(), e.Name())
		}
	}
	for _, tag := range tags[1:] {
		all := maps.Clone(source)
		for file, list := range figurePhrases(tag) {
			all[file] = append(slices.Clone(all[file]), list...)
		}
		said := map[string]bool{}
		for _, list := range all {
			for _, p := range list {
				said[p.one] = true
			}
		}
		l, err := words.Load(wordTables, tag)
		if err != nil {
			t.Fatal(err)
		}
		table := maps.Collect(l.Table())
		for _, file := range slices.Sorted(maps.Keys(all)) {
			t.Run(tag+"/"+strings.ReplaceAll(strings.TrimPrefix(file, "../"), "/", "-"), func(t *testing.T) {
				for _, p := range all[file] {
					switch {
					case table[p.one] == nil:
						t.Errorf("not in templates/words/%s:\n%s", tag, stub(p))
					default:
						for _, form := range table[p.one] {
							if a, b := valuesIn(p.one), valuesIn(form); !slices.Equal(a, b) && (p.many == "" || !slices.Equal(valuesIn(p.many), b)) {
								t.Errorf("%q has the values %v, its translation %q has %v", p.one, a, form, b)
							}
						}
						if n := len(table[p.one]); p.many != "" && n < 2 {
							t.Errorf("%q is counted and has one form alone:\n%s", p.one, stub(p))
						}
					}
				}
			})
		}
		for key := range l.Table() {
			if !said[key] {
				t.Errorf("templates/words/%s: %q is not said anywhere any more", tag, key)
			}
		}
	}
}

// stub is an entry of a PO file that waits for its translation.
func stub(p phrase) string {
	text, note := p.one, ""
	if i := strings.LastIndexByte(text, '|'); i > 0 {
		text, note = text[:i], text[i+1:]
	}
	out := ""
	if note != "" {
		out = fmt.Sprintf("msgctxt %q\n", note)
	}
	if p.many == "" {
		return out + fmt.Sprintf("msgid %s\nmsgstr \"\"\n", quotePO(text))
	}
	return out + fmt.Sprintf("msgid %s\nmsgid_plural %s\nmsgstr[0] \"\"\nmsgstr[1] \"\"\n", quotePO(text), quotePO(p.many))
}

func quotePO(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(s) + `"`
}

var (
	verbs   = regexp.MustCompile(`%(?:\[(\d+)\])?[-+#0]*[\d.]*([a-zA-Z])`)
	actions = regexp.MustCompile(`\{\{.*?\}\}`)
	hrefs   = regexp.MustCompile(`href="[^"]*"|<[a-z]+|#`)
)

// valuesIn lists what a text is filled with, in an order that translations
// may change: verbs with their places, actions of a template, links and
// elements, the "#" of a script.
func valuesIn(s string) []string {
	var out []string
	if i := strings.LastIndexByte(s, '|'); i > 0 {
		s = s[:i]
	}
	plain := strings.ReplaceAll(s, "%%", "")
	for i, m := range verbs.FindAllStringSubmatch(plain, -1) {
		at := m[1]
		if at == "" {
			at = strconv.Itoa(i + 1)
		}
		out = append(out, at+m[2])
	}
	out = append(out, actions.FindAllString(s, -1)...)
	out = append(out, hrefs.FindAllString(actions.ReplaceAllString(s, ""), -1)...)
	slices.Sort(out)
	return out
}
