package main

import (
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport says which rooms a room may import. A room's own folders below it
// belong to it.
var mayImport = map[string][]string{
	"build/diag":     {},
	"build/quantity": {},
	"build/day":      {},
	"data":           {},
	"content":        {},
	"templates":      {},
	"build/shallow":  {},
	"build/club":     {"data", "build/calendar", "build/shallow", "build/words", "build/diag", "build/quantity", "build/day"},
	"build/station":  {"build/shallow", "build/diag", "build/quantity", "build/day"},
	"build/climate":  {"build/diag", "build/quantity", "build/day"},
	"build/ripening": {"build/climate", "build/diag", "build/quantity", "build/day"},
	"build/needs":    {},
	"build/pots":     {},
	"build/words":    {},
	"build/cache":    {},
	"build/calendar": {"build/day"},
	"build/winter":   {"build/climate", "build/diag", "build/quantity", "build/day"},
	"build/almanac": {"build/cache", "build/club", "build/station", "build/climate", "build/needs", "build/ripening", "build/winter",
		"build/diag", "build/quantity", "build/day"},
	"build/figure": {"build/diag", "build/quantity", "build/day"},
	"build/prose":  {"build/diag", "build/quantity", "build/day"},
	"build/tables": {"build/almanac", "build/club", "build/climate", "build/words", "build/day"},
	"build/page": {"build/almanac", "build/tables", "build/cache", "build/calendar", "build/pots", "build/words", "build/club", "build/climate", "build/figure", "build/prose", "build/scrub", "templates", "content",
		"build/diag", "build/quantity", "build/day"},
	"build/publish": {"build/cache", "build/diag", "build/quantity", "build/day"},
	"build/begin":   {"content", "data", "templates", "build/diag", "build/day"},
	"build/preview": {"build/diag"},
	"build/scrub":   {},
}

// onlyIn names the one room that may import a library.
var onlyIn = map[string]string{
	"github.com/gocarina/gocsv":       "build/club",
	"github.com/wcharczuk/go-chart":   "build/figure",
	"github.com/golang/freetype":      "build/figure",
	"github.com/yuin/goldmark":        "build/prose",
	"github.com/rogpeppe/go-internal": "tests",
	"github.com/chromedp":             "tests",
}

func roomOf(dir string) (string, bool) {
	if dir == "cmd" || strings.HasPrefix(dir, "cmd/") {
		return "cmd", true
	}
	parts := strings.Split(dir, "/")
	room := parts[0]
	if room == "build" && len(parts) > 1 {
		room = "build/" + parts[1]
	}
	_, ok := mayImport[room]
	return room, ok
}

// checkImport tells what is wrong with an import by a file in folder dir.
func checkImport(dir, path string) error {
	room, ok := roomOf(dir)
	if !ok {
		return fmt.Errorf("%s is no room of the house: add it to mayImport", dir)
	}
	for library, owner := range onlyIn {
		if (path == library || strings.HasPrefix(path, library+"/")) && owner != room {
			return fmt.Errorf("%s imports %s, which only %s may", room, path, owner)
		}
	}
	ours, ok := strings.CutPrefix(path, "ripeward/")
	if !ok || room == "cmd" {
		return nil
	}
	target, ok := roomOf(ours)
	if !ok || target == "cmd" || target != room && !slices.Contains(mayImport[room], target) {
		return fmt.Errorf("%s imports %s, which is not to its left", room, ours)
	}
	return nil
}

func TestImportsRunOneWay(t *testing.T) {
	root := repoRoot(t)
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		dir := filepath.ToSlash(filepath.Dir(rel))
		if room, ok := roomOf(dir); ok {
			seen[room] = true
		} else {
			t.Errorf("%s: no room of the house", filepath.ToSlash(rel))
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range f.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if err := checkImport(dir, name); err != nil {
				t.Errorf("%s: %v", filepath.ToSlash(rel), err)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for room := range mayImport {
		if !seen[room] {
			t.Errorf("%s has no Go file: is its name right?", room)
		}
	}
}

// TestCheckImport shows that the check can fail.
func TestCheckImport(t *testing.T) {
	cases := []struct {
		name, dir, path string
		ok              bool
	}{
		{"to the left", "build/page", "ripeward/build/almanac", true},
		{"to the right", "build/almanac", "ripeward/build/page", false},
		{"base imports nothing", "build/diag", "ripeward/build/day", false},
		{"neighbours apart", "build/winter", "ripeward/build/ripening", false},
		{"nobody imports a command", "build/page", "ripeward/cmd/ripeward", false},
		{"commands import all", "cmd/ripeward", "ripeward/build/publish", true},
		{"a room's own folder", "build/station", "ripeward/build/station/stationtest", true},
		{"gocsv in its room", "build/club", "github.com/gocarina/gocsv", true},
		{"gocsv elsewhere", "build/station", "github.com/gocarina/gocsv", false},
		{"go-chart elsewhere, a version path", "cmd/ripeward", "github.com/wcharczuk/go-chart/v2", false},
		{"goldmark elsewhere, a folder", "build/page", "github.com/yuin/goldmark/ast", false},
		{"testscript outside tests", "cmd/ripeward", "github.com/rogpeppe/go-internal/testscript", false},
		{"unknown room", "build/cellar", "fmt", false},
		{"standard library", "build/day", "time", true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if err := checkImport(c.dir, c.path); (err == nil) != c.ok {
				t.Errorf("%s importing %s gives %v", c.dir, c.path, err)
			}
		})
	}
}

// repoRoot is the folder of go.mod.
func repoRoot(t testing.TB) string {
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if parent := filepath.Dir(dir); parent != dir {
			dir = parent
			continue
		}
		t.Fatal("no go.mod above the working folder")
	}
}
