package main

import (
	"fmt"
	"io"
	"path"
	"path/filepath"
	"strconv"
	"strings"

	"ripeward/build/diag"
	"ripeward/build/page"
)

// located names the files of problems as seen from the working folder, so
// that an editor can jump there. Rooms name them inside the club's folder.
func located(clubDir string, ps diag.Problems) diag.Problems {
	out := make(diag.Problems, len(ps))
	for i, p := range ps {
		p.Place = placed(clubDir, p.Place)
		out[i] = p
	}
	return out.Sort()
}

// placed names the file of one place as seen from the working folder.
func placed(clubDir string, at diag.Place) diag.Place {
	dir, file := filepath.ToSlash(filepath.Clean(clubDir)), filepath.ToSlash(at.File)
	if file != "" && !path.IsAbs(file) && !filepath.IsAbs(at.File) && !strings.HasPrefix(file, dir+"/") && !strings.HasPrefix(file, "built-in/") {
		at.File = path.Join(dir, file)
	}
	return at
}

// list prints problems, each on a line of its own with its hint below.
func list(w io.Writer, ps diag.Problems) {
	for _, p := range ps {
		fmt.Fprintln(w, p.Error())
		if p.Hint != "" {
			fmt.Fprintf(w, "  hint: %s\n", diag.Plain(p.Hint))
		}
	}
}

// atLeast returns the problems of severity s or worse.
func atLeast(s diag.Severity, ps diag.Problems) diag.Problems {
	var out diag.Problems
	for _, p := range ps {
		if p.Severity >= s {
			out = append(out, p)
		}
	}
	return out
}

func count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}

func itoa(n int) string { return strconv.Itoa(n) }

func problemsTable(ps diag.Problems) page.Table {
	t := page.Table{Name: "problems", Columns: []page.Column{
		{Name: "file", Type: "string"}, {Name: "line", Type: "integer"}, {Name: "column", Type: "integer"},
		{Name: "severity", Type: "string"}, {Name: "message", Type: "string"}, {Name: "hint", Type: "string"},
	}}
	whole := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	for _, p := range ps {
		t.Rows = append(t.Rows, []string{p.Place.File, whole(p.Place.Line), whole(p.Place.Column), p.Severity.String(), p.Message, p.Hint})
	}
	return t
}

// showTable prints a table in the format asked for.
func (a *app) showTable(t page.Table) error {
	switch a.format {
	case "csv":
		return t.CSV(a.stdout)
	case "json":
		return t.JSON(a.stdout)
	}
	return t.Text(a.stdout)
}
