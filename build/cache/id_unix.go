//go:build unix

package cache

import (
	"io/fs"
	"syscall"
)

// fileID tells a file from another one put in its place.
func fileID(fi fs.FileInfo) uint64 {
	if st, ok := fi.Sys().(*syscall.Stat_t); ok {
		return uint64(st.Ino)
	}
	return 0
}
