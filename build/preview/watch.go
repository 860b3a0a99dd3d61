package preview

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"time"
)

// deepest is how many folders are looked into below each other: links between
// folders can make a ring.
const deepest = 12

// Files is what a look at files tells of each: enough to see that it changed.
type Files map[string]stamp

type stamp struct {
	size  int64
	mtime time.Time
	mode  fs.FileMode
}

// Look lists the files in folders of dir, given by slash paths, as they are
// now. What cannot be read is left out.
func Look(dir string, folders ...string) Files {
	f := Files{}
	for _, name := range folders {
		f.look(dir, name, deepest)
	}
	return f
}

func (f Files) look(dir, name string, depth int) {
	entries, err := os.ReadDir(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil || depth == 0 {
		return
	}
	for _, e := range entries {
		at := path.Join(name, e.Name())
		info, err := os.Stat(filepath.Join(dir, filepath.FromSlash(at)))
		switch {
		case err != nil:
		case info.IsDir():
			f.look(dir, at, depth-1)
		default:
			f[at] = stamp{info.Size(), info.ModTime(), info.Mode()}
		}
	}
}

// Changed lists the files that differ between two looks, sorted.
func (f Files) Changed(before Files) []string {
	var out []string
	for name, now := range f {
		if was, there := before[name]; !there || was.size != now.size || !was.mtime.Equal(now.mtime) || was.mode != now.mode {
			out = append(out, name)
		}
	}
	for name := range before {
		if _, there := f[name]; !there {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}
