//go:build unix

package publish

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lockFile takes an advisory lock on path, which the system drops by itself
// when the process ends. errLocked means that another holds it.
func lockFile(path string) (release func(), err error) {
	for {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
		if err != nil {
			return nil, err
		}
		err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		for errors.Is(err, unix.EINTR) {
			err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		}
		if err != nil {
			f.Close()
			if errors.Is(err, unix.EWOULDBLOCK) {
				return nil, errLocked
			}
			return nil, err
		}
		// The holder before us removes the file when done: a lock on a
		// file that has gone from the folder protects nothing, so try again.
		held, err1 := f.Stat()
		there, err2 := os.Stat(path)
		if err1 == nil && err2 == nil && os.SameFile(held, there) {
			return func() { os.Remove(path); f.Close() }, nil
		}
		f.Close()
	}
}
