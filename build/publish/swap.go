package publish

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// swapJournal is what SITE.swap holds while a swap is under way: enough to
// tell the new folder from the old one, and what to carry across.
type swapJournal struct {
	Tool     string   `json:"tool"`
	Manifest string   `json:"manifest_sha256"` // of the new site's manifest.json
	Keep     []string `json:"keep"`
}

// Finish writes manifest.json and puts the new site in the place of the old
// one; m says what it was built from. After an error SITE is whole: the old
// site, or the new one where only tidying up failed.
func (s *Site) Finish(m Manifest) (Summary, error) {
	s.mu.Lock()
	release, failed := s.release, s.failed
	s.mu.Unlock()
	if release == nil {
		return Summary{}, fmt.Errorf("%s: is closed already", s.shown)
	}
	if failed != nil {
		return Summary{}, failed
	}
	m.Unfinished = false
	m.Outputs = s.outputs
	data, err := m.encode()
	if err != nil {
		return Summary{}, err
	}
	sumUp := s.summary()
	if s.asBefore(data, sumUp) {
		return sumUp, s.Abandon()
	}
	// Somebody may have put a file there in the meantime.
	if err := s.checkForeign(); err != nil {
		return Summary{}, err
	}
	if err := s.complete(data); err != nil {
		return Summary{}, err
	}
	swapped, err := s.swap()
	if errors.Is(err, errCrash) || swapped {
		// From here on the next run tidies up what is left.
		s.mu.Lock()
		s.release = nil
		s.mu.Unlock()
		defer release()
	}
	if err != nil {
		return Summary{}, err
	}
	return sumUp, s.settle()
}

// errCrash stops a swap as the end of the process would: nothing is undone.
var errCrash = errors.New("crash")

func (s *Site) step(name string) error {
	if s.sys.step == nil {
		return nil
	}
	return s.sys.step(name)
}

func (s *Site) summary() Summary {
	r := Summary{Files: len(s.outputs)}
	now := make(map[string]bool, len(s.outputs))
	for _, o := range s.outputs {
		now[o.Path] = true
		if s.same[o.Path] {
			r.Unchanged++
		} else {
			r.Changed++
		}
	}
	for path := range s.old {
		if !now[path] {
			r.Removed++
		}
	}
	return r
}

// asBefore tells whether SITE already holds exactly this site: then there is
// nothing to swap. Every file was found intact.
func (s *Site) asBefore(manifest []byte, r Summary) bool {
	if r.Changed+r.Removed > 0 {
		return false
	}
	there, err := os.ReadFile(filepath.Join(s.dir, ManifestName))
	return err == nil && bytes.Equal(there, manifest)
}

// complete makes SITE.next a whole site, brings it to disk and writes the
// journal. Files to keep are linked already now, so that a web server finds
// them at all times; folders to keep move after the swap.
func (s *Site) complete(manifest []byte) error {
	next := s.next()
	for _, name := range s.keep {
		from := filepath.Join(s.dir, name)
		if fi, err := os.Lstat(from); err == nil && fi.Mode().IsRegular() {
			if err := linkOrCopy(from, filepath.Join(next, name)); err != nil {
				return trouble(s.shown+"/"+name, "cannot be carried across", "", err)
			}
		}
	}
	// Not in place: the mark of an unfinished site must not be half a manifest.
	if err := replaceFile(filepath.Join(next, ManifestName), manifest); err != nil {
		return s.cannotWrite(err)
	}
	if err := errors.Join(syncTree(next), syncDir(next)); err != nil {
		return s.cannotWrite(err)
	}
	if err := s.step("complete"); err != nil {
		return err
	}
	j, err := json.Marshal(swapJournal{Tool: tool, Manifest: sum(manifest), Keep: s.keep})
	if err == nil {
		err = replaceFile(s.journal(), append(j, '\n'))
	}
	if err == nil {
		err = syncDir(filepath.Dir(s.dir))
	}
	if err != nil {
		return s.cannotWrite(err)
	}
	return nil
}

func replaceFile(path string, data []byte) error {
	tmp := path + ".tmp"
	f, err := os.OpenFile(tmp, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(tmp, path)
}

func linkOrCopy(from, to string) error {
	if os.Link(from, to) == nil {
		return nil
	}
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// swap puts SITE.next in the place of SITE. The journal is written. Where it
// fails, SITE is as it was and the journal is gone.
func (s *Site) swap() (swapped bool, err error) {
	if err := s.step("journal"); err != nil {
		return false, err
	}
	defer func() {
		if err != nil && !errors.Is(err, errCrash) && !swapped {
			os.Remove(s.journal())
		}
	}()
	if _, err := os.Lstat(s.dir); errors.Is(err, fs.ErrNotExist) {
		if err := os.Rename(s.next(), s.dir); err != nil {
			return false, s.cannotWrite(err)
		}
		return true, s.step("swapped")
	}
	// Any refusal of the one-step exchange, for whatever reason a file system
	// has, leads to the two renames; a real obstacle shows again there.
	if s.sys.exchange(s.next(), s.dir) == nil {
		return true, s.step("swapped")
	}
	if _, err := os.Lstat(s.before()); err == nil {
		return false, trouble(s.shown+".before", "is in the way: the old site is moved there for a moment", "move it away", nil)
	}
	if err := os.Rename(s.dir, s.before()); err != nil {
		return false, s.cannotWrite(err)
	}
	if err := s.step("aside"); err != nil {
		return false, err
	}
	if err := os.Rename(s.next(), s.dir); err != nil {
		return false, errors.Join(s.cannotWrite(err), os.Rename(s.before(), s.dir))
	}
	return true, s.step("swapped")
}

// settle carries folders to keep from the old site to the new one, removes the
// old one and then the journal. It may run again after being cut short.
func (s *Site) settle() error {
	const hint = "the new site is in place; the next run tidies up"
	for _, old := range []string{s.next(), s.before()} {
		for _, name := range s.keep {
			from, to := filepath.Join(old, name), filepath.Join(s.dir, name)
			if _, err := os.Lstat(from); err != nil {
				continue
			}
			if _, err := os.Lstat(to); err == nil {
				continue // linked before the swap
			}
			if err := os.Rename(from, to); err != nil {
				return trouble(s.shown+"/"+name, "cannot be carried across", hint, err)
			}
		}
		if err := s.step("kept"); err != nil {
			return err
		}
		if err := removeTree(old); err != nil {
			return trouble(s.shown, "cannot let go of the old site", hint, err)
		}
	}
	if err := s.step("settled"); err != nil {
		return err
	}
	if err := os.Remove(s.journal()); err != nil {
		return trouble(s.shown+".swap", "cannot be removed", hint, err)
	}
	if err := syncDir(filepath.Dir(s.dir)); err != nil {
		return trouble(s.shown, "cannot be brought to disk", hint, err)
	}
	return nil
}

// recover finishes a swap that an earlier run began. Which folder is the new
// site is told by the manifest's checksum, not by the folder's name: the run
// may have stopped on either side of the exchange.
func (s *Site) recover() error {
	data, err := os.ReadFile(s.journal())
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var j swapJournal
	if err == nil && (json.Unmarshal(data, &j) != nil || j.Tool != tool) {
		return trouble(s.shown+".swap", "is in the way: it is no journal of a swap", "move it away", nil)
	}
	if err != nil {
		return s.cannotWrite(err)
	}
	// What was to be kept then is kept, whatever the settings say now.
	keep, err := checkKeep(j.Keep)
	if err != nil {
		return err
	}
	then := &Site{dir: s.dir, shown: s.shown, keep: keep, sys: s.sys}
	isNew := func(dir string) bool {
		data, err := os.ReadFile(filepath.Join(dir, ManifestName))
		return err == nil && sum(data) == j.Manifest
	}
	if !isNew(s.dir) && isNew(s.next()) {
		if _, err := then.swap(); err != nil {
			return err
		}
	}
	if _, err := os.Lstat(s.dir); errors.Is(err, fs.ErrNotExist) {
		// The new site is lost: back to the old one, if that is there.
		if err := os.Rename(s.before(), s.dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return s.cannotWrite(err)
		}
	}
	return then.settle()
}
