package club

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ripeward/build/diag"
)

// regular lists the regular files in a folder of the club by name, links
// followed. A folder that is not there has none.
func (l *loader) regular(folder string) ([]string, error) {
	entries, err := os.ReadDir(filepath.Join(l.dir, filepath.FromSlash(folder)))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if hidden(e.Name()) {
			continue
		}
		info, err := os.Stat(filepath.Join(l.dir, filepath.FromSlash(folder), e.Name()))
		if err != nil {
			return nil, err
		}
		if info.Mode().IsRegular() {
			names = append(names, e.Name())
		}
	}
	slices.Sort(names)
	return names, nil
}

// reportFiles reads every table in data/reports into one.
func (l *loader) reportFiles() error {
	const folder = "data/reports"
	names, err := l.regular(folder)
	if err != nil {
		return err
	}
	for _, n := range names {
		file := path.Join(folder, n)
		if path.Ext(strings.ToLower(n)) != ".csv" {
			l.problems = append(l.problems, diag.Problem{Place: diag.Place{File: file}, Severity: diag.Warning,
				Message: "file is not read", Hint: "save reports as CSV"})
			continue
		}
		b, there, err := l.read(file)
		if err != nil {
			return err
		}
		if there && b != nil {
			l.reports.add(l, file, b)
		}
	}
	return nil
}

// stationFiles finds the daily files and what describes them.
func (l *loader) stationFiles() error {
	const folder = "data/stations"
	names, err := l.regular(folder)
	if err != nil {
		return err
	}
	for _, n := range names {
		l.club.Inputs = append(l.club.Inputs, path.Join(folder, n))
		if path.Ext(strings.ToLower(n)) != ".toml" {
			l.club.StationFiles = append(l.club.StationFiles, filepath.Join(l.dir, "data", "stations", n))
		}
	}
	if l.offered != nil && l.offered.Daily != "" {
		l.club.StationFiles = append(l.club.StationFiles, l.offered.Daily)
	}
	if len(l.club.StationFiles) == 0 {
		l.problems = append(l.problems, problem(folder, "the club has no daily station files", "put public daily files there as they were published"))
	}
	return nil
}

// content lists the pages and files of the club; other rooms read them.
func (l *loader) content() error {
	root := filepath.Join(l.dir, "content")
	err := filepath.WalkDir(root, func(p string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if strings.HasPrefix(e.Name(), ".") && p != root {
			if e.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if !e.Type().IsRegular() || path.Ext(e.Name()) == ".go" {
			return nil
		}
		rel, err := filepath.Rel(l.dir, p)
		if err != nil {
			return err
		}
		l.club.Inputs = append(l.club.Inputs, filepath.ToSlash(rel))
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
