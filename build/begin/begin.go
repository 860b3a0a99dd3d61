// Package begin writes the folder that a new club starts with: tables whose
// first lines explain their columns, an invented town with invented weather
// and cultivars so that a site can be published at once, texts in both
// languages, copies of the built-in tables, papers for whoever keeps the site,
// and what to do next.
package begin

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ripeward/build/diag"
	"ripeward/content"
	"ripeward/data"
	"ripeward/templates"
)

// Languages are those that a folder can be in; the other language of the site
// stands below it.
var Languages = []string{"en", "fr"}

// Folders of what was written and what the club does not have to keep.
const (
	stationFile = "data/stations/inkwell-sluice.csv"
	copies      = "built-in/"
)

// File is a file of the new folder.
type File struct {
	Path string // slash path inside the folder
	Data []byte
}

// Files lists what a new folder in the language holds, by path.
func Files(language string) ([]File, error) {
	if !slices.Contains(Languages, language) {
		return nil, fmt.Errorf("no language %q: %s", language, strings.Join(Languages, ", "))
	}
	out := []File{{stationFile, weather()}}
	add := func(from fs.FS, dir, to string) error {
		return fs.WalkDir(from, dir, func(p string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			text, err := fs.ReadFile(from, p)
			out = append(out, File{path.Join(to, strings.TrimPrefix(p, dir)), text})
			return err
		})
	}
	papers := "webmaster"
	if language != "en" {
		papers = language + "/webmaster"
	}
	err := errors.Join(add(templates.Files, "begin/"+language, "."), add(data.Rules, ".", copies), add(content.Webmaster, papers, "content/webmaster"))
	for _, l := range Languages {
		to := "content"
		if l != language {
			to = path.Join(to, l)
		}
		err = errors.Join(err, add(templates.Files, "begin/words/"+l, to))
	}
	slices.SortFunc(out, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return out, err
}

// Write fills the folder dir, which it makes where there is none. A folder
// that holds anything is refused. What it wrote is returned, by path.
func Write(dir, language string) ([]string, error) {
	files, err := Files(language)
	if err != nil {
		return nil, err
	}
	if err := free(dir); err != nil {
		return nil, err
	}
	var paths []string
	for _, f := range files {
		full := filepath.Join(dir, filepath.FromSlash(f.Path))
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			return paths, err
		}
		if err := create(full, f.Data); err != nil {
			return paths, err
		}
		paths = append(paths, f.Path)
	}
	return paths, nil
}

// create writes a file that must not be there yet.
func create(full string, text []byte) error {
	f, err := os.OpenFile(full, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = bytes.NewReader(text).WriteTo(f)
	return errors.Join(err, f.Close())
}

// free tells whether dir can be filled: it is not there, or empty.
func free(dir string) error {
	no := func(message, hint string) error {
		return diag.Problem{Place: diag.Place{File: filepath.ToSlash(dir)}, Severity: diag.Error, Message: message, Hint: hint}
	}
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return no("is a file, not a folder", "name a folder that is not there yet")
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	if len(entries) > 0 {
		return no("the folder is not empty: it holds "+entries[0].Name(), "name a folder that is not there yet, or an empty one")
	}
	return nil
}
