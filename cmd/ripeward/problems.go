package main

import (
	"fmt"
	"io"
	"path"
	"path/filepath"
	"strconv"
	"strings"

	"ripeward/build/diag"
	"ripeward/build/tables"
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

// list prints problems, each on a line of its own with its hint below. What is
// said of several lines of a file in the same words is said once, with the
// other lines below it: tables and JSON have every one.
func list(w io.Writer, ps diag.Problems) {
	type same struct {
		file          string
		severity      diag.Severity
		message, hint string
	}
	lines := map[same][]int{}
	words := func(p diag.Problem) same { return same{p.Place.File, p.Severity, p.Message, p.Hint} }
	for _, p := range ps {
		lines[words(p)] = append(lines[words(p)], p.Place.Line)
	}
	for _, p := range ps {
		also := lines[words(p)]
		if also == nil {
			continue // said with the first of them
		}
		lines[words(p)] = nil
		fmt.Fprintln(w, p.Error())
		if len(also) > 1 {
			fmt.Fprintf(w, "  also on %s\n", lineWords(also[1:]))
		}
		if p.Hint != "" {
			fmt.Fprintf(w, "  hint: %s\n", diag.Plain(p.Hint))
		}
	}
}

// lineWords names lines of a file, sorted; of many the first and the last.
func lineWords(lines []int) string {
	const most = 8
	if len(lines) == 1 {
		return "line " + strconv.Itoa(lines[0])
	}
	shown := lines[:min(most, len(lines))]
	text := "lines " + strings.Trim(strings.ReplaceAll(fmt.Sprint(shown), " ", ", "), "[]")
	if more := len(lines) - len(shown); more > 0 {
		text += fmt.Sprintf(" and %d more, to line %d", more, lines[len(lines)-1])
	}
	return text
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

func problemsTable(ps diag.Problems) tables.Table {
	t := tables.Table{Name: "problems", Columns: []tables.Column{
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
func (a *app) showTable(t tables.Table) error {
	switch a.format {
	case "csv":
		return t.CSV(a.stdout)
	case "json":
		return t.JSON(a.stdout)
	}
	return t.Text(a.stdout)
}
