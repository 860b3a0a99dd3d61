package club

import (
	"crypto/sha256"
	"path"
	"path/filepath"
	"strings"

	"ripeward/build/diag"
)

// reportFiles reads every table in data/reports into one.
func (l *loader) reportFiles() error {
	const folder = "data/reports"
	had := map[[sha256.Size]byte]string{}
	for _, n := range l.regular(folder) {
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
		if !there || b == nil {
			continue
		}
		sum := sha256.Sum256(b)
		if first, copied := had[sum]; copied && len(b) > 0 {
			l.problems = append(l.problems, diag.Problem{Place: diag.Place{File: file}, Severity: diag.Warning,
				Message: "file is not read: it is the same as " + first, Hint: "delete one of the two"})
			continue
		}
		had[sum] = file
		l.reports.add(l, file, b)
	}
	return nil
}

// stationFiles finds the daily files and what describes them.
func (l *loader) stationFiles() {
	const folder = "data/stations"
	for _, n := range l.regular(folder) {
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
}

// webmasters is the folder in content, or in a language's folder of it, whose
// papers are for whoever keeps the site: the site is not made from them.
const webmasters = "webmaster"

// belowFiles tells whether a file of content lies in the folder of pictures and
// papers.
func belowFiles(name string) bool { return strings.HasPrefix(name, "content/files/") }

// content lists the pages and files of the club; other rooms read them.
func (l *loader) content() { l.contentIn("content") }

func (l *loader) contentIn(folder string) {
	for _, e := range l.entries(folder) {
		name := path.Join(folder, e.Name())
		if e.Type().IsRegular() && path.Ext(name) == ".go" {
			continue
		}
		info, ok := l.look(name)
		switch {
		case !ok:
		case !info.IsDir():
			l.club.Inputs = append(l.club.Inputs, name)
			if path.Ext(name) != ".md" && !belowFiles(name) {
				l.problems = append(l.problems, diag.Problem{Place: diag.Place{File: name}, Severity: diag.Warning,
					Message: "file is not read", Hint: "pages are Markdown, NAME.md; pictures and papers go into content/files"})
			}
		case e.IsDir() && e.Name() == webmasters:
		case e.IsDir():
			l.contentIn(name)
		default:
			l.problems = append(l.problems, diag.Problem{Place: diag.Place{File: name}, Severity: diag.Warning,
				Message: "a link to a folder is not followed", Hint: "put the folder itself there"})
		}
	}
}
