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
