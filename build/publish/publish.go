// Package publish writes a site folder so that readers never see half a site.
//
// A site is built in SITE.next, beside SITE on the same file system. Files
// that are the same as last time are hard-linked from SITE, not written again.
// When all is there the two folders change places in one step where the system
// has one (Linux, macOS); elsewhere by two renames under a journal, SITE.swap,
// which the next run finishes if this one is cut short. A lock on SITE.lock,
// which the system drops when a process ends, keeps two runs apart.
//
// SITE is only ever replaced when everything in it is known: listed in its
// manifest.json, or named as something to keep. Nothing here reads a clock.
package publish

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Options says how a site folder is written.
type Options struct {
	// Keep are names directly in SITE that are not ours but are carried
	// across: .git, CNAME.
	Keep []string
}

// Summary counts the files of a published site, the manifest left out.
type Summary struct {
	Files     int // in the new site
	Changed   int // of these new, or other than before
	Unchanged int // of these as before
	Removed   int // in the old site only
}

// Site is a site being written. Put may be called from many goroutines.
type Site struct {
	dir   string // absolute
	shown string // as the caller named it, for messages
	keep  []string
	sys   system
	old   map[string]Output // what SITE holds, by path

	mu      sync.Mutex
	names   tree
	outputs []Output
	same    map[string]bool // found in SITE with the same bytes
	failed  error
	release func() // nil once closed

	folders sync.Map // folders made in SITE.next
}

// system is what the tests replace: the exchange of two folders, and a call
// between the steps of a swap that may stop it as a crash would.
type system struct {
	exchange func(a, b string) error
	step     func(name string) error
}

var errLocked = errors.New("locked")

// Open starts a site that will replace dir. It finishes a swap that an earlier
// run left undone, takes the lock, and makes SITE.next. It refuses a dir that
// is a link, a mount point or a file, or holds files that are neither in its
// manifest nor named by Keep. Every Open needs a Finish or an Abandon.
func Open(dir string, o Options) (*Site, error) { return open(dir, o, system{exchange: exchange}) }

func open(dir string, o Options, sys system) (_ *Site, err error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, trouble(dir, "is no usable folder name", "", err)
	}
	if filepath.Dir(abs) == abs {
		return nil, trouble(dir, "is the root of the file system", "name a folder for the site with --site", nil)
	}
	s := &Site{dir: abs, shown: filepath.ToSlash(dir), sys: sys, names: tree{}, same: map[string]bool{}}
	if s.keep, err = checkKeep(o.Keep); err != nil {
		return nil, err
	}
	if err := s.checkPlace(); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(abs), 0o777); err != nil {
		return nil, s.cannotWrite(err)
	}
	release, err := lockFile(s.lock())
	if errors.Is(err, errLocked) {
		return nil, trouble(s.shown, "is being written by another run", "wait until it is done, or stop it", nil)
	}
	if err != nil {
		return nil, s.cannotWrite(err)
	}
	defer func() {
		if err != nil {
			release()
		}
	}()
	if err := s.recover(); err != nil {
		return nil, err
	}
	if err := s.checkPlace(); err != nil { // a finished swap may have changed it
		return nil, err
	}
	if err := s.checkForeign(); err != nil {
		return nil, err
	}
	if err := s.begin(); err != nil {
		return nil, err
	}
	s.release = release
	return s, nil
}

func (s *Site) next() string    { return s.dir + ".next" }
func (s *Site) before() string  { return s.dir + ".before" }
func (s *Site) journal() string { return s.dir + ".swap" }
func (s *Site) lock() string    { return s.dir + ".lock" }

func (s *Site) cannotWrite(err error) error {
	parent := filepath.Dir(s.dir)
	hint := "the site is built beside its folder and moved into place: " + filepath.ToSlash(parent) + " must exist and be writable"
	return trouble(s.shown, "cannot be written", hint, err)
}

func checkKeep(names []string) ([]string, error) {
	const hint = "keep names files and folders directly in the site folder, such as CNAME"
	for _, n := range names {
		if err := checkPath(n); err != nil || strings.Contains(n, "/") {
			return nil, trouble("", fmt.Sprintf("keep has %q, which is no plain name", n), hint, nil)
		}
		if fold(n) == ManifestName {
			return nil, trouble("", fmt.Sprintf("keep has %q, which every run writes", n), hint, nil)
		}
	}
	return slices.Compact(slices.Sorted(slices.Values(names))), nil
}

// checkPlace refuses what cannot be replaced as a whole.
func (s *Site) checkPlace() error {
	fi, err := os.Lstat(s.dir)
	const hint = "name another folder with --site"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return s.cannotWrite(err)
	case fi.Mode()&fs.ModeSymlink != 0:
		target, err := os.Readlink(s.dir)
		if err != nil {
			target = "the folder it leads to"
		}
		return trouble(s.shown, "is a link, which a finished site cannot replace", "give the folder itself: --site "+filepath.ToSlash(target), nil)
	case isMountPoint(s.dir):
		return trouble(s.shown, "is a mount point, which a finished site cannot replace", "name a folder inside it with --site", nil)
	case !fi.IsDir():
		return trouble(s.shown, "is a file, not a folder", hint, nil)
	}
	return nil
}

// litter are files that a file manager leaves in any folder it shows. They
// are neither refused nor kept.
var litter = map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true}

// checkForeign reads the manifest of SITE and refuses a folder with files that
// it does not list.
func (s *Site) checkForeign() error {
	m, ours, err := readManifest(s.dir)
	if err != nil {
		return trouble(s.shown, "cannot be read", "", err)
	}
	s.old = make(map[string]Output, len(m.Outputs))
	for _, o := range m.Outputs {
		s.old[o.Path] = o
	}
	var foreign []string
	err = filepath.WalkDir(s.dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || path == s.dir {
			return err
		}
		rel, err := filepath.Rel(s.dir, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if slices.Contains(s.keep, rel) {
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if _, known := s.old[rel]; known || d.IsDir() || litter[d.Name()] || ours && rel == ManifestName {
			return nil
		}
		foreign = append(foreign, rel)
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) {
		return nil // no SITE yet
	}
	if err != nil {
		return trouble(s.shown, "cannot be read", "", err)
	}
	if len(foreign) == 0 {
		return nil
	}
	list, more := foreign, ""
	if len(list) > 3 {
		list, more = list[:3], fmt.Sprintf(" and %d more", len(foreign)-3)
	}
	return trouble(s.shown, fmt.Sprintf("holds files that were not written by ripeward: %s%s", strings.Join(list, ", "), more),
		"a site folder is replaced as a whole: name another folder with --site, move the files away, or list their top names under keep in data/club.toml", nil)
}

// begin makes an empty SITE.next, in place of one that an earlier run left.
func (s *Site) begin() error {
	next := s.next()
	if entries, err := os.ReadDir(next); err == nil {
		if _, ours, _ := readManifest(next); !ours && len(entries) > 0 {
			return trouble(s.shown+".next", "is in the way: the site is built there, and it holds something else", "move it away", nil)
		}
		if err := removeTree(next); err != nil {
			return s.cannotWrite(err)
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return s.cannotWrite(err)
	}
	if err := os.Mkdir(next, 0o777); err != nil {
		return s.cannotWrite(err)
	}
	// Marks the folder as ours, should this run be cut short.
	mark, err := Manifest{Unfinished: true}.encode()
	if err == nil {
		err = writeFile(filepath.Join(next, ManifestName), mark)
	}
	if err != nil {
		return s.cannotWrite(err)
	}
	return nil
}

// removeTree removes a folder of ours, the mark that makes it ours last.
func removeTree(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() == ManifestName {
			continue
		}
		if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return os.RemoveAll(dir)
}

func writeFile(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = syncWritten(f)
	}
	return errors.Join(err, f.Close())
}

// Put adds a file to the site. path is a slash path inside it. A path that is
// absolute, has "..", could not be a file on some system in use, or falls on
// another one where letter case does not count is refused.
func (s *Site) Put(path string, data []byte) error {
	err := s.put(path, data)
	if err != nil {
		s.fail(err)
	}
	return err
}

// fail keeps the first error, for Finish.
func (s *Site) fail(err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.failed == nil {
		s.failed = err
	}
}

func (s *Site) put(path string, data []byte) error {
	if err := s.claim(path); err != nil {
		return trouble(s.shown, "cannot hold a page: "+err.Error(), "", nil)
	}
	out := Output{Path: path, Size: int64(len(data)), SHA256: sum(data)}
	target := filepath.Join(s.next(), filepath.FromSlash(path))
	if err := s.folder(filepath.Dir(target)); err != nil {
		return trouble(s.shown+"/"+path, "cannot be written", "", err)
	}
	same := s.old[path] == out && s.intact(path, data)
	// A file system without links takes a copy.
	if !same || os.Link(s.inSite(path), target) != nil {
		if err := writeFile(target, data); err != nil {
			return trouble(s.shown+"/"+path, "cannot be written", "", err)
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.outputs = append(s.outputs, out)
	if same {
		s.same[path] = true
	}
	return nil
}

func (s *Site) claim(path string) error {
	if err := checkPath(path); err != nil {
		return err
	}
	if fold(path) == ManifestName {
		return fmt.Errorf("%q is written by itself", path)
	}
	first, _, _ := strings.Cut(path, "/")
	for _, k := range s.keep {
		if fold(k) == fold(first) {
			return fmt.Errorf("%q falls on %q, which keep names", path, k)
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.release == nil {
		return fmt.Errorf("%q comes after the site was closed", path)
	}
	return s.names.add(path)
}

func (s *Site) folder(dir string) error {
	if _, ok := s.folders.Load(dir); ok {
		return nil
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	s.folders.Store(dir, true)
	return nil
}

func (s *Site) inSite(path string) string { return filepath.Join(s.dir, filepath.FromSlash(path)) }

// intact tells whether SITE holds the file with these bytes. It compares them,
// not the manifest's word for them: somebody may have edited the file.
func (s *Site) intact(path string, data []byte) bool {
	fi, err := os.Lstat(s.inSite(path))
	if err != nil || !fi.Mode().IsRegular() || fi.Size() != int64(len(data)) {
		return false
	}
	there, err := os.ReadFile(s.inSite(path))
	return err == nil && bytes.Equal(there, data)
}

// Abandon drops what was written and leaves SITE as it is. After Finish it
// does nothing, so that it can be deferred.
func (s *Site) Abandon() error {
	s.mu.Lock()
	release := s.release
	s.release = nil
	s.mu.Unlock()
	if release == nil {
		return nil
	}
	err := removeTree(s.next())
	release()
	if err != nil {
		return trouble(s.shown+".next", "cannot be removed", "", err)
	}
	return nil
}
