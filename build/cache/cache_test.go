package cache

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"testing"
	"time"
)

type answer struct {
	Name string
	Vs   []float64
}

func open(t *testing.T, dir string) *Cache {
	t.Helper()
	c, err := Open(dir, false)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAnswers(t *testing.T) {
	dir := t.TempDir()
	c := open(t, dir)
	key := func(c *Cache, n int) *Key { return c.Key("town").Text("a").Whole(n).Number(0.5) }
	c.Put(key(c, 1), answer{"one", []float64{1, 2}})
	c.Put(key(c, 2), answer{"two", nil})
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}

	c = open(t, dir)
	var a answer
	if !c.Get(key(c, 1), &a) || a.Name != "one" || len(a.Vs) != 2 {
		t.Fatalf("%+v", a)
	}
	if c.Get(key(c, 3), &a) {
		t.Error("an answer that was never kept")
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	// What the last run had no use for is gone.
	c = open(t, dir)
	if c.Get(key(c, 2), &a) {
		t.Error("an answer without use is still there")
	}
	// Damage counts as absence, wherever it is.
	file := filepath.Join(dir, "answers", key(c, 1).name())
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for i := range whole {
		bad := append([]byte(nil), whole...)
		bad[i] ^= 0x40
		if err := os.WriteFile(file, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		if c.Get(key(c, 1), &a) {
			t.Errorf("byte %d is wrong and nobody minds", i)
		}
		if err := os.WriteFile(file, whole[:i], 0o600); err != nil {
			t.Fatal(err)
		}
		if c.Get(key(c, 1), &a) {
			t.Errorf("%d bytes of %d pass", i, len(whole))
		}
	}
}

func TestKeysDiffer(t *testing.T) {
	c := open(t, t.TempDir())
	seen := map[string]int{}
	for i, k := range []*Key{
		c.Key("a"), c.Key("b"), c.Key("a").Text(""), c.Key("a").Text("x").Text("y"), c.Key("a").Text("xy"), c.Key("a").Whole(1), c.Key("a").Number(1),
		c.Key("a").Value([]int{1}), c.Key("a").Value([]int{1, 2}), c.Key("a").Sum(Sum{1}),
	} {
		if j, twice := seen[k.name()]; twice {
			t.Errorf("keys %d and %d are one", i, j)
		}
		seen[k.name()] = i
	}
}

// Keys of equal values are equal, whatever a process has done before: a test
// process that encodes one type more has the same keys.
func TestKeysHoldFromRunToRun(t *testing.T) {
	type span struct{ First, Last int }
	type estimate struct {
		Mu   float64
		Name string
		OK   bool
		Of   []span
	}
	k := (*Cache)(nil).Key("a").Value([]estimate{{1.5, "fig", true, []span{{1991, 2020}}}}).Value(span{1, 2}).End()
	const want = "8fb3b73e" // SHA-256 of the same bytes by another program
	if got := hex.EncodeToString(k[:4]); got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// A file is read again whenever its size, time or id may tell of a change, and
// not otherwise.
func TestHash(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "f")
	clock := time.Unix(2_000_000_000, 0)
	now = func() time.Time { return clock }
	t.Cleanup(func() { now = time.Now })
	put := func(text string, at time.Time) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(file, at, at); err != nil {
			t.Fatal(err)
		}
	}
	run := func(rehash bool, want string, what string) {
		t.Helper()
		c, err := Open(filepath.Join(dir, "cache"), rehash)
		if err != nil {
			t.Fatal(err)
		}
		got, err := c.Hash(file)
		if err != nil || got != Sum(sha256.Sum256([]byte(want))) {
			t.Errorf("%s: %x %v", what, got, err)
		}
		if err := c.Close(); err != nil {
			t.Fatal(err)
		}
	}
	old := clock.Add(-time.Hour)
	put("one", old)
	run(false, "one", "first look")
	put("two", old)
	run(false, "one", "changed behind our back: nothing to see") // shows that it was not read
	run(true, "two", "all read again")
	put("three", old)
	run(false, "three", "other size")
	put("seven", old.Add(time.Second))
	run(false, "seven", "other time")
	// Changed in the very moment of the last look, and again since.
	put("eight", clock)
	run(false, "eight", "just changed")
	put("forty", clock)
	run(false, "forty", "changed within the step of its time")
	if _, err := open(t, dir).Hash(filepath.Join(dir, "none")); !os.IsNotExist(err) {
		t.Errorf("a file that is not there: %v", err)
	}
}

func TestNoCache(t *testing.T) {
	var c *Cache
	c.Put(c.Key("a"), 1)
	var v int
	if c.Get(c.Key("a"), &v) {
		t.Error("nothing knows something")
	}
	if _, err := c.Hash("cache_test.go"); err != nil {
		t.Error(err)
	}
	if err := c.Close(); err != nil {
		t.Error(err)
	}
}
