package page

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"strings"

	"ripeward/build/diag"
	"ripeward/build/scrub"
)

// attachedFolder holds the pictures and papers of a club, in its content and
// on the site.
const attachedFolder = "files"

// What a site can carry, bytes: a picture as a phone takes it fits, a film does
// not (judgement).
const (
	mostAttached    = 16 << 20
	mostAttachedAll = 400 << 20
)

// attachedName is a part of a path that every host, file system and address
// takes as it is.
var attachedName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]*$`)

// attachedFile is a picture or paper of the club.
type attachedFile struct {
	path    string // "files/garden/june.jpg", in content and on the site
	refused bool   // which was told
}

// attached lists the files of the club's content folder that pages can show or
// lead to. The problems are those of names and sizes.
func attached(content fs.FS) ([]attachedFile, diag.Problems, error) {
	if content == nil {
		return nil, nil, nil
	}
	a := attaching{spelled: map[string]string{}}
	err := fs.WalkDir(content, attachedFolder, func(p string, e fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist) && p == attachedFolder:
			return nil
		case err != nil:
			return err
		case e.IsDir() && (strings.HasPrefix(e.Name(), ".") || !a.named(p)):
			return fs.SkipDir
		case e.IsDir() || strings.HasPrefix(e.Name(), "."):
			return nil
		}
		return a.file(p, e)
	})
	if err != nil {
		return nil, nil, fmt.Errorf("reading content/%s: %w", attachedFolder, err)
	}
	return a.files, a.problems, nil
}

// attaching is what is known while files are listed.
type attaching struct {
	files    []attachedFile
	problems diag.Problems
	spelled  map[string]string // paths by their small letters
	total    int64
}

func (a *attaching) wrong(p, hint, message string, values ...any) {
	a.problems = append(a.problems, diag.Problem{Place: diag.Place{File: "content/" + p}, Severity: diag.Error, Message: fmt.Sprintf(message, values...), Hint: hint})
}

// named tells whether the last part of a path can be one of an address.
func (a *attaching) named(p string) bool {
	if attachedName.MatchString(path.Base(p)) {
		return true
	}
	a.wrong(p, "letters without accents, digits, \"-\", \"_\" and \".\" are fine in addresses", "this name cannot be an address")
	return false
}

func (a *attaching) file(p string, e fs.DirEntry) error {
	f := attachedFile{path: p, refused: !a.named(p)}
	if !e.Type().IsRegular() {
		a.wrong(p, "put the file itself there", "links are not followed")
		f.refused = true
	}
	if other, twice := a.spelled[strings.ToLower(p)]; twice {
		a.wrong(p, "rename one of them", "differs from %s in capitals alone, and many hosts cannot tell them apart", path.Base(other))
		f.refused = true
	}
	a.spelled[strings.ToLower(p)] = p
	if !f.refused {
		info, err := e.Info()
		if err != nil {
			return err
		}
		a.total += info.Size()
		switch {
		case info.Size() > mostAttached:
			a.wrong(p, "make a picture 1600 pixels wide before you put it there; put films elsewhere and link to them", "file of %.1f MB; the limit is %d MB", float64(info.Size())/(1<<20), mostAttached>>20)
			f.refused = true
		case a.total > mostAttachedAll:
			a.wrong(p, "make pictures smaller", "the files up to this one come to more than %d MB", mostAttachedAll>>20)
			return fs.SkipAll
		}
	}
	a.files = append(a.files, f)
	return nil
}

// attach copies one of the club's files to the site, cleaned of what it tells
// beside what it shows.
func (o *output) attach(content fs.FS, f attachedFile) error {
	if f.refused {
		return nil
	}
	data, err := fs.ReadFile(content, f.path)
	if err != nil {
		return err
	}
	clean, err := scrub.Clean(f.path, data)
	var no *scrub.Refused
	if errors.As(err, &no) {
		o.note(diag.Problem{Place: diag.Place{File: "content/" + f.path}, Severity: diag.Error, Message: no.Message, Hint: no.Hint})
		return nil
	}
	if err != nil {
		return fmt.Errorf("content/%s: %w", f.path, err)
	}
	return o.emit(f.path, clean)
}

// attachments are the club's files as the pages of one language see them.
type attachments map[string]bool

func attachmentsOf(files []attachedFile) attachments {
	a := attachments{}
	for _, f := range files {
		a[f.path] = true
	}
	return a
}

// find returns the path on the site of a file that a text names: seen from the
// text's own folder, from its page's place, or from the top.
func (a attachments) find(g *guide, to string) (string, bool) {
	if strings.HasPrefix(to, "/") {
		at := path.Clean(to)[1:]
		return at, a[at]
	}
	for _, dir := range []string{path.Dir(strings.TrimPrefix(g.File, "content/")), path.Dir(g.Key), path.Dir(g.Path), "."} {
		if at := path.Join(dir, to); a[at] {
			return at, true
		}
	}
	return "", false
}
