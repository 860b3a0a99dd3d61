package publish

import (
	"os"
	"path/filepath"
	"testing"
)

// Files are reused all together, and only while nobody has touched them.
func TestReuse(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	begin := func() *Site {
		t.Helper()
		s, err := Open(dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	finish := func(s *Site) (Summary, map[string]SealedFile) {
		t.Helper()
		sum, err := s.Finish(Manifest{})
		if err != nil {
			t.Fatal(err)
		}
		seal, err := s.Seal(sum)
		if err != nil {
			t.Fatal(err)
		}
		return sum, seal.ByPath()
	}
	put := func(s *Site, path, text string) {
		t.Helper()
		if err := s.Put(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	a, b := Output{"a/1.html", 3, sum([]byte("one"))}, Output{"2.html", 3, sum([]byte("two"))}

	s := begin()
	put(s, a.Path, "one")
	put(s, b.Path, "two")
	_, sealed := finish(s)

	s = begin()
	if s.Reuse([]Output{a, {b.Path, 3, sum([]byte("owt"))}}, sealed) || s.Reuse([]Output{{"3.html", 1, ""}}, sealed) {
		t.Error("files that are others, or were never there, are reused")
	}
	if !s.Reuse([]Output{a, b}, sealed) {
		t.Fatal("untouched files are not reused")
	}
	put(s, "3.html", "three")
	got, sealed := finish(s)
	if got.Files != 3 || got.Unchanged != 2 || got.Changed != 1 {
		t.Errorf("%+v", got)
	}
	for at, want := range map[string]string{a.Path: "one", b.Path: "two", "3.html": "three"} {
		if data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(at))); err != nil || string(data) != want {
			t.Errorf("%s has %q: %v", at, data, err)
		}
	}

	if err := os.WriteFile(filepath.Join(dir, b.Path), []byte("owt"), 0o666); err != nil {
		t.Fatal(err)
	}
	s = begin()
	defer s.Abandon()
	if s.Reuse([]Output{a, b}, sealed) {
		t.Error("a touched file is reused")
	}
	put(s, a.Path, "one") // none of them was taken
}
