package cache

import (
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// seen is a file as it was when its hash was taken.
type seen struct {
	size, mtime int64 // bytes; nanoseconds since 1970
	id          uint64
	at          int64 // when it was hashed, nanoseconds since 1970
	sum         Sum
}

// racy is how near to its hashing a file may have changed for its time not to
// be trusted: file systems keep times in steps of up to 2 s.
const racy = int64(2 * time.Second)

// now is the clock. No answer depends on it: it only decides whether a file is
// read again to make sure.
var now = time.Now

// Hash is the SHA-256 of a file. A file whose size, time and id are those of
// the index is not read, unless it changed so short a time before it was
// hashed that its time tells nothing.
func (c *Cache) Hash(path string) (Sum, error) {
	if c == nil {
		return hashFile(path)
	}
	key, err := filepath.Abs(path)
	if err != nil {
		return Sum{}, err
	}
	fi, err := os.Stat(path)
	if err != nil {
		return Sum{}, err
	}
	s := seen{}
	s.size, s.mtime, s.id = Trace(fi)
	c.mu.Lock()
	old, known := c.fresh[key]
	if !known {
		old, known = c.index[key]
	}
	c.mu.Unlock()
	if known && old.size == s.size && old.mtime == s.mtime && old.id == s.id && old.mtime < old.at-racy {
		c.keep(key, old)
		return old.sum, nil
	}
	s.at = now().UnixNano()
	if s.sum, err = hashFile(path); err != nil {
		return Sum{}, err
	}
	c.keep(key, s)
	return s.sum, nil
}

func (c *Cache) keep(key string, s seen) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.fresh[key] = s
}

// Trace is what tells a changed file from an unchanged one without reading it:
// its size in bytes, its time of change in nanoseconds, and its id.
func Trace(fi fs.FileInfo) (size, mtime int64, id uint64) {
	return fi.Size(), fi.ModTime().UnixNano(), fileID(fi)
}

const indexMark = "ripeward index 1"

func (c *Cache) indexFile() string { return filepath.Join(c.dir, "index") }

// readIndex reads as many lines as are whole.
func (c *Cache) readIndex() {
	data, err := os.ReadFile(c.indexFile())
	if err != nil {
		return
	}
	lines := strings.Split(string(data), "\n")
	if lines[0] != indexMark {
		return
	}
	for _, line := range lines[1:] {
		var s seen
		var sum, path string
		if n, _ := fmt.Sscanf(line, "%d %d %d %d %64s %q", &s.size, &s.mtime, &s.id, &s.at, &sum, &path); n != 6 {
			continue
		}
		if b, err := hex.DecodeString(sum); err == nil && copy(s.sum[:], b) == len(s.sum) {
			c.index[path] = s
		}
	}
}

// writeIndex keeps what this run has looked at. The mutex is held.
func (c *Cache) writeIndex() error {
	paths := make([]string, 0, len(c.fresh))
	for p := range c.fresh {
		paths = append(paths, p)
	}
	slices.Sort(paths)
	var b strings.Builder
	b.WriteString(indexMark + "\n")
	for _, p := range paths {
		s := c.fresh[p]
		fmt.Fprintf(&b, "%d %d %d %d %s %q\n", s.size, s.mtime, s.id, s.at, hex.EncodeToString(s.sum[:]), p)
	}
	return write(c.indexFile(), []byte(b.String()))
}
