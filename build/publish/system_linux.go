package publish

import (
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// exchange swaps two folders in one step of the file system.
func exchange(a, b string) error {
	return unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
}

// isMountPoint tells whether another file system (or a bind mount) begins at
// dir.
func isMountPoint(dir string) bool {
	var st unix.Statx_t
	err := unix.Statx(unix.AT_FDCWD, dir, unix.AT_SYMLINK_NOFOLLOW, unix.STATX_TYPE, &st)
	if err == nil && st.Attributes_mask&unix.STATX_ATTR_MOUNT_ROOT != 0 {
		return st.Attributes&unix.STATX_ATTR_MOUNT_ROOT != 0
	}
	return otherDevice(dir, filepath.Dir(dir))
}

func otherDevice(a, b string) bool {
	var x, y unix.Stat_t
	if unix.Lstat(a, &x) != nil || unix.Lstat(b, &y) != nil {
		return false
	}
	return x.Dev != y.Dev
}

// syncWritten does nothing here: syncTree brings everything to disk at once,
// which is much faster than file by file.
func syncWritten(*os.File) error { return nil }

// syncTree brings the file system that holds dir to disk.
func syncTree(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := unix.Syncfs(int(f.Fd())); err == nil {
		return nil
	}
	unix.Sync() // a file system without syncfs
	return nil
}

// syncDir brings a folder's names to disk; some file systems cannot, which is
// no reason to fail.
func syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	_ = unix.Fsync(int(f.Fd()))
	return nil
}
