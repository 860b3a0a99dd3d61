package publish

import (
	"os"
	"path/filepath"

	"ripeward/build/cache"
)

// Seal is what a finished site looked like from outside: enough to tell later,
// without reading it, that nobody has touched it.
type Seal struct {
	Summary Summary
	Files   []SealedFile // the manifest among them
}

// SealedFile is a file of a finished site.
type SealedFile struct {
	Path        string
	Size, MTime int64 // bytes, nanoseconds
	ID          uint64
}

// Seal looks at a finished site.
func (s *Site) Seal(sum Summary) (Seal, error) {
	seal := Seal{Summary: sum}
	paths := []string{ManifestName}
	for _, o := range s.outputs {
		paths = append(paths, o.Path)
	}
	for _, p := range paths {
		f, err := s.look(p)
		if err != nil {
			return Seal{}, err
		}
		seal.Files = append(seal.Files, f)
	}
	return seal, nil
}

// ByPath has the sealed files by path.
func (s Seal) ByPath() map[string]SealedFile {
	out := make(map[string]SealedFile, len(s.Files))
	for _, f := range s.Files {
		out[f.Path] = f
	}
	return out
}

// Holds tells whether SITE is still the site that was sealed. Files that are
// not ours were looked for when the site was opened.
func (s *Site) Holds(seal Seal) bool {
	if len(seal.Files) == 0 || len(seal.Files) != len(s.old)+1 {
		return false
	}
	for _, f := range seal.Files {
		if now, err := s.look(f.Path); err != nil || now != f {
			return false
		}
	}
	return true
}

func (s *Site) look(path string) (SealedFile, error) {
	fi, err := os.Lstat(filepath.Join(s.dir, filepath.FromSlash(path)))
	if err != nil {
		return SealedFile{}, err
	}
	f := SealedFile{Path: path}
	f.Size, f.MTime, f.ID = cache.Trace(fi)
	return f, nil
}

// Reuse puts files of SITE into the new site as they are: all of them, or none
// and false where one is not what outputs say or was touched since it was
// sealed. sealed has the files of the last seal by path.
func (s *Site) Reuse(outputs []Output, sealed map[string]SealedFile) bool {
	for _, o := range outputs {
		f, known := sealed[o.Path]
		if !known || s.old[o.Path] != o {
			return false
		}
		if now, err := s.look(o.Path); err != nil || now != f {
			return false
		}
	}
	for _, o := range outputs {
		if err := s.take(o); err != nil {
			s.fail(err)
			return true // Finish tells of it
		}
	}
	return true
}

// take links a file of SITE into the new site; a file system without links
// takes a copy.
func (s *Site) take(o Output) error {
	if err := s.claim(o.Path); err != nil {
		return trouble(s.shown, "cannot hold a page: "+err.Error(), "", nil)
	}
	target := filepath.Join(s.next(), filepath.FromSlash(o.Path))
	err := s.folder(filepath.Dir(target))
	if err == nil && os.Link(s.inSite(o.Path), target) != nil {
		var data []byte
		if data, err = os.ReadFile(s.inSite(o.Path)); err == nil {
			err = writeFile(target, data)
		}
	}
	if err != nil {
		return trouble(s.shown+"/"+o.Path, "cannot be written", "", err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.outputs = append(s.outputs, o)
	s.same[o.Path] = true
	return nil
}
