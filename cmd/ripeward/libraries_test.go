package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// licenceOf tells a licence by what its text says.
func licenceOf(text string) string {
	words := strings.Join(strings.Fields(text), " ")
	switch {
	case strings.Contains(words, "The FreeType License"):
		return "FTL"
	case strings.Contains(words, "Permission is hereby granted, free of charge, to any person obtaining a copy of this software"):
		return "MIT"
	case strings.Contains(words, "Redistribution and use in source and binary forms, with or without modification, are permitted") &&
		(strings.Contains(words, "Neither the name") || strings.Contains(words, "endorse or promote products")):
		return "BSD-3-Clause"
	}
	return "unknown"
}

// Every library that go.mod names stands in DEVELOPERS.md with its version, the
// licence that its own file has, and why it is there; and no other does.
func TestLibrariesAreDocumented(t *testing.T) {
	root := repoRoot(t)
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, text, found := strings.Cut(string(data), "\n| module | version | licence | why |\n|---|---|---|---|\n")
	table, _, ends := strings.Cut(text, "\n\n")
	if !found || !ends {
		t.Fatal("DEVELOPERS.md has no table of libraries")
	}
	rows := map[string]string{}
	for row := range strings.Lines(table + "\n") {
		name, _, _ := strings.Cut(strings.TrimPrefix(row, "| `"), "`")
		rows[name] = strings.TrimSpace(row)
	}
	list := exec.Command("go", "list", "-m", "-f", "{{if not (or .Main .Indirect)}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}", "all")
	list.Dir, list.Stderr = root, os.Stderr
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(out)) {
		f := strings.Split(strings.TrimSpace(line), "\t")
		if len(f) < 3 {
			continue
		}
		licence := "unknown"
		for _, name := range []string{"LICENSE", "COPYING"} {
			if text, err := os.ReadFile(filepath.Join(f[2], name)); err == nil {
				licence = licenceOf(string(text))
			}
		}
		row, want := rows[f[0]], fmt.Sprintf("| `%s` | %s | %s | ", f[0], f[1], licence)
		if why := strings.TrimPrefix(row, want); why == row || len(why) < 10 {
			t.Errorf("the table of libraries in DEVELOPERS.md has %q\nwant %swhy |", row, want)
		}
		delete(rows, f[0])
	}
	for name := range rows {
		t.Errorf("the table of libraries in DEVELOPERS.md has %s, which go.mod does not name", name)
	}
}
