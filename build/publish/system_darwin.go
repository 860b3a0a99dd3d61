package publish

import (
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// exchange swaps two folders in one step of the file system.
func exchange(a, b string) error { return unix.RenamexNp(a, b, unix.RENAME_SWAP) }

// isMountPoint tells whether another file system begins at dir.
func isMountPoint(dir string) bool {
	var x, y unix.Stat_t
	if unix.Lstat(dir, &x) != nil || unix.Lstat(filepath.Dir(dir), &y) != nil {
		return false
	}
	return x.Dev != y.Dev
}

// syncWritten hands a new file to the drive. The plain call does not wait for
// the drive's own cache, which would take milliseconds a file.
func syncWritten(f *os.File) error { return unix.Fsync(int(f.Fd())) }

func syncTree(string) error { return nil }

// syncDir brings a folder's names to disk; some file systems cannot, which is
// no reason to fail.
func syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	_ = f.Sync()
	return nil
}
