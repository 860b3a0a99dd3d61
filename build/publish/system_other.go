//go:build !linux && !darwin

package publish

import (
	"errors"
	"os"
)

// exchange is not to be had here; the journal takes its place.
func exchange(a, b string) error { return errors.ErrUnsupported }

// isMountPoint tells whether a volume is mounted at dir. On Windows such a
// folder is a reparse point, which Lstat shows as irregular.
func isMountPoint(dir string) bool {
	fi, err := os.Lstat(dir)
	return err == nil && fi.Mode()&os.ModeIrregular != 0
}

func syncWritten(f *os.File) error { return f.Sync() }

func syncTree(string) error { return nil }

func syncDir(string) error { return nil } // folders cannot be synced here
