package club

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"ripeward/build/diag"
)

// What a club's folder may hold: a club is put together from what many hands
// send in, and what stands in it is read and published. So a link that leads
// out of the folder is refused, and so is what is neither file nor folder:
// reading a pipe would wait for ever.

const (
	outside  = "a link that leads out of the club's folder"
	copyHint = "put the file itself there"
)

// look returns what stands at a slash path of the club's folder, links
// followed. ok is false where there is nothing, or nothing that may be read,
// which is noted.
func (l *loader) look(name string) (info fs.FileInfo, ok bool) {
	if l.belowRefused(name) {
		return nil, false
	}
	full := filepath.Join(l.dir, filepath.FromSlash(name))
	info, err := os.Lstat(full)
	if err == nil && info.Mode()&fs.ModeSymlink != 0 {
		if info, err = l.follow(full); errors.Is(err, errOutside) {
			l.refuse(name, outside, copyHint)
			return nil, false
		} else if errors.Is(err, fs.ErrNotExist) {
			l.refuse(name, "a link that leads nowhere", copyHint)
			return nil, false
		}
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, false
	case err != nil:
		l.refuse(name, "cannot be read: "+reason(err), "")
		return nil, false
	case !info.IsDir() && !info.Mode().IsRegular():
		l.refuse(name, "not a regular file", "")
		return nil, false
	}
	return info, true
}

var errOutside = errors.New(outside)

// follow returns what a link leads to, or errOutside.
func (l *loader) follow(full string) (fs.FileInfo, error) {
	root, err := filepath.EvalSymlinks(l.dir)
	if err != nil {
		return nil, err
	}
	if root, err = filepath.Abs(root); err != nil {
		return nil, err
	}
	to, err := filepath.EvalSymlinks(full)
	if err != nil {
		return nil, err
	}
	if to, err = filepath.Abs(to); err != nil {
		return nil, err
	}
	if rel, err := filepath.Rel(root, to); err != nil || !filepath.IsLocal(rel) {
		return nil, errOutside
	}
	return os.Lstat(to)
}

// reason is an error without the path, which the place names already.
func reason(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return strings.TrimPrefix(err.Error(), "EvalSymlinks: ")
}

// refuse notes that something may not be read, nor what stands below it.
func (l *loader) refuse(name, message, hint string) {
	if l.refused == nil {
		l.refused = map[string]bool{}
	}
	l.refused[name] = true
	l.problems = append(l.problems, problem(name, message, hint))
}

func (l *loader) belowRefused(name string) bool {
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if l.refused[dir] {
			return true
		}
	}
	return false
}

// maxName keeps the names of a club's files below what file systems of today
// hold, with the endings that a program adds.
const maxName = 200

// entries lists a folder of the club by name. What may not be read is noted
// and left out; a folder that is not there has no entries.
func (l *loader) entries(folder string) []fs.DirEntry {
	info, ok := l.look(folder)
	if !ok {
		return nil
	}
	if !info.IsDir() {
		l.refuse(folder, "not a folder", "")
		return nil
	}
	all, err := os.ReadDir(filepath.Join(l.dir, filepath.FromSlash(folder)))
	if err != nil {
		l.refuse(folder, "cannot be read: "+reason(err), "")
	}
	return slices.DeleteFunc(all, func(e fs.DirEntry) bool {
		if hidden(e.Name()) {
			return true
		}
		message := badName(e.Name())
		if message != "" {
			l.refuse(path.Join(folder, e.Name()), message, "rename the file")
		}
		return message != ""
	})
}

// badName says what is wrong with the name of a file, or "".
func badName(name string) string {
	switch {
	case !utf8.ValidString(name):
		return "a file name that is not UTF-8"
	case diag.Plain(name) != name:
		return "a control character in a file name"
	case strings.ContainsAny(name, `\`):
		return "a backslash in a file name"
	case len(name) > maxName:
		return fmt.Sprintf("a file name of %d bytes; the limit is %d", len(name), maxName)
	}
	return ""
}

// regular lists the regular files in a folder of the club by name, links
// followed. A folder that is not there has none.
func (l *loader) regular(folder string) []string {
	var names []string
	for _, e := range l.entries(folder) {
		name := path.Join(folder, e.Name())
		if e.Type().IsRegular() {
			names = append(names, e.Name())
			continue
		}
		info, ok := l.look(name)
		switch {
		case !ok:
		case info.IsDir():
			if path.Ext(name) != "" {
				l.refuse(name, "a folder in the place of a file", "put its files into "+folder)
			}
		default:
			names = append(names, e.Name())
		}
	}
	return names
}
