package publish

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockFile takes a lock on path, which the system drops by itself when the
// process ends. errLocked means that another holds it. An open file cannot be
// removed here, so the empty lock file stays.
func lockFile(path string) (release func(), err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	err = windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, new(windows.Overlapped))
	if err != nil {
		f.Close()
		if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
			return nil, errLocked
		}
		return nil, err
	}
	return func() { f.Close() }, nil
}
