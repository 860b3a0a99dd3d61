// Package cache remembers, from one run to the next, what was computed from
// unchanged input. It may be deleted at any time: then the next run computes
// everything again, with the same result.
//
// Two things are kept in one folder a club. The index tells the SHA-256 of a
// file from its path, size, time of change and file id, so that an unchanged
// file is not read. Answers stand under a key that hashes all they rest on,
// the program itself included. A damaged file counts as one that is not there.
package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/gob"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
)

// Sum is a SHA-256.
type Sum [sha256.Size]byte

// Cache may be used from several goroutines. A nil *Cache keeps nothing and
// knows nothing.
type Cache struct {
	dir     string
	program Sum

	mu    sync.Mutex
	index map[string]seen
	fresh map[string]seen // what this run has looked at
	used  map[string]bool // names of answers
	// spared are how names of answers begin that stay though nobody used them.
	spared []string
}

// Open uses the cache in a folder, which it makes where needed. A folder that
// cannot be used is an error; what is in it never is. rehash forgets what the
// index says.
func Open(dir string, rehash bool) (*Cache, error) {
	if err := os.MkdirAll(filepath.Join(dir, "answers"), 0o700); err != nil {
		return nil, err
	}
	c := &Cache{dir: dir, index: map[string]seen{}, fresh: map[string]seen{}, used: map[string]bool{}}
	var err error
	if c.program, err = thisProgram(); err != nil {
		return nil, err
	}
	if !rehash {
		c.readIndex()
	}
	return c, nil
}

// Folder is where the cache of a club stands: below the user's own folder for
// such things, by a hash of the club's absolute path.
func Folder(club string) (string, error) {
	base, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	abs, err := filepath.Abs(club)
	if err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real
	}
	sum := sha256.Sum256([]byte(abs))
	return filepath.Join(base, "ripeward", hex.EncodeToString(sum[:8])), nil
}

// thisProgram is the hash of the running program: a version number says too
// little while it is being worked on.
func thisProgram() (Sum, error) {
	path, err := os.Executable()
	if err != nil {
		return Sum{}, err
	}
	return hashFile(path)
}

func hashFile(path string) (s Sum, err error) {
	f, err := os.Open(path)
	if err != nil {
		return s, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return s, err
	}
	h.Sum(s[:0])
	return s, nil
}

// Key hashes what an answer rests on. Make one with Cache.Key, add everything
// to it, and ask with it.
type Key struct {
	what string
	h    hash.Hash
}

// Key begins the key of an answer; what names its kind.
func (c *Cache) Key(what string) *Key {
	k := &Key{what, sha256.New()}
	if c != nil {
		k.h.Write(c.program[:])
	}
	return k.Text(what)
}

// Text adds a text, with its length, so that no two lists of texts hash alike.
func (k *Key) Text(s string) *Key {
	k.whole(uint64(len(s)))
	io.WriteString(k.h, s)
	return k
}

// Sum adds a hash.
func (k *Key) Sum(s Sum) *Key { k.h.Write(s[:]); return k }

// Whole adds a whole number.
func (k *Key) Whole(n int) *Key { k.whole(uint64(n)); return k }

// Number adds a number, bit by bit.
func (k *Key) Number(v float64) *Key { k.whole(math.Float64bits(v)); return k }

// Value adds a value of numbers, texts, structs, arrays and slices, field by
// field. It panics at anything else: a map has no order. (Gob will not do: the
// numbers it gives to types hang on what a process has encoded before.)
func (k *Key) Value(v any) *Key {
	k.value(reflect.ValueOf(v))
	return k
}

func (k *Key) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		n := 0
		if v.Bool() {
			n = 1
		}
		k.Whole(n)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		k.whole(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		k.whole(v.Uint())
	case reflect.Float32, reflect.Float64:
		k.Number(v.Float())
	case reflect.String:
		k.Text(v.String())
	case reflect.Slice, reflect.Array:
		k.Whole(v.Len())
		for i := range v.Len() {
			k.value(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			k.value(v.Field(i))
		}
	default:
		panic(fmt.Sprintf("cache: no key can be made of %s", v.Type()))
	}
}

func (k *Key) whole(n uint64) {
	var b [8]byte
	binary.LittleEndian.PutUint64(b[:], n)
	k.h.Write(b[:])
}

// End is the hash of all that was added.
func (k *Key) End() (s Sum) {
	k.h.Sum(s[:0])
	return s
}

func (k *Key) name() string {
	s := k.End()
	return k.what + "-" + hex.EncodeToString(s[:16])
}

// head stands before an answer: a mark, and a checksum of what follows.
const mark = "ripeward answer 1\n"

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// Get reads the answer that a key stands for into a pointer, and tells whether
// there is one. On false, into is not to be used.
func (c *Cache) Get(k *Key, into any) bool {
	if c == nil {
		return false
	}
	name := k.name()
	data, err := os.ReadFile(c.answer(name))
	n := len(mark)
	if err != nil || len(data) < n+4 || string(data[:n]) != mark {
		return false
	}
	body := data[n+4:]
	if crc32.Checksum(body, castagnoli) != binary.LittleEndian.Uint32(data[n:]) || gob.NewDecoder(bytes.NewReader(body)).Decode(into) != nil {
		return false
	}
	c.use(name)
	return true
}

// Put keeps an answer. That it cannot, or that gob cannot carry it, is no
// error: it will be computed again.
func (c *Cache) Put(k *Key, v any) {
	if c == nil {
		return
	}
	var b bytes.Buffer
	b.WriteString(mark)
	b.Write(make([]byte, 4))
	if gob.NewEncoder(&b).Encode(v) != nil {
		return
	}
	data := b.Bytes()
	binary.LittleEndian.PutUint32(data[len(mark):], crc32.Checksum(data[len(mark)+4:], castagnoli))
	name := k.name()
	if write(c.answer(name), data) == nil {
		c.use(name)
	}
}

func (c *Cache) use(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.used[name] = true
}

func (c *Cache) answer(name string) string { return filepath.Join(c.dir, "answers", name) }

// write puts a file in place in one step.
func write(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return err
}

// Kept is how many answers of a kind this run has recalled or kept.
func (c *Cache) Kept(what string) int {
	if c == nil {
		return 0
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	n := 0
	for name := range c.used {
		if strings.HasPrefix(name, what+"-") {
			n++
		}
	}
	return n
}

// Spare leaves the answers of a kind alone when Close removes what this run had
// no use for.
func (c *Cache) Spare(what string) {
	if c != nil {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.spared = append(c.spared, what+"-")
	}
}

// Close writes the index and removes the answers that this run had no use for,
// so that the cache holds one publish. It is called after a run that went well.
func (c *Cache) Close() error {
	if c == nil {
		return nil
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	dir := filepath.Join(c.dir, "answers")
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, e := range entries {
		if !c.used[e.Name()] && !slices.ContainsFunc(c.spared, func(kind string) bool { return strings.HasPrefix(e.Name(), kind) }) {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
	return c.writeIndex()
}
