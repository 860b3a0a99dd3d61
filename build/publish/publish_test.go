package publish_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"ripeward/build/cache"
	"ripeward/build/diag"
	"ripeward/build/publish"
)

type pages map[string]string

var manifest = publish.Manifest{Version: "1.2.3", DataCutOff: "2020-12-31",
	Inputs: []publish.Input{{Path: "data/towns.csv", SHA256: "b"}, {Path: "data/club.toml", SHA256: "a"}}}

var first = pages{"index.html": "home", "towns/a/index.html": "town a", "towns/b/index.html": "town b", "assets/look.css": "p{}"}

func put(t *testing.T, s *publish.Site, ps pages) {
	t.Helper()
	for path, text := range ps {
		if err := s.Put(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
}

func write(t *testing.T, dir string, ps pages, keep ...string) publish.Summary {
	t.Helper()
	s, err := publish.Open(dir, publish.Options{Keep: keep})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Abandon()
	put(t, s, ps)
	sum, err := s.Finish(manifest)
	if err != nil {
		t.Fatal(err)
	}
	return sum
}

// files reads a folder; the manifest is left out.
func files(t *testing.T, dir string) pages {
	t.Helper()
	got := pages{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		if d.Type()&fs.ModeSymlink != 0 {
			target, err := os.Readlink(path)
			got[rel] = "link to " + target
			return err
		}
		data, err := os.ReadFile(path)
		if rel != publish.ManifestName {
			got[filepath.ToSlash(rel)] = string(data)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func mustHold(t *testing.T, dir string, want pages) {
	t.Helper()
	if got := files(t, dir); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%s holds %v, want %v", filepath.Base(dir), got, want)
	}
}

// mustBeTidy checks that nothing of a run is left beside the site.
func mustBeTidy(t *testing.T, dir string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(dir))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		name := e.Name()
		if name != filepath.Base(dir) && (runtime.GOOS != "windows" || !strings.HasSuffix(name, ".lock")) {
			t.Errorf("%s is left beside the site", name)
		}
	}
}

func mustWrite(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func mustRefuse(t *testing.T, err error, message, hint string) {
	t.Helper()
	var p diag.Problem
	if !errors.As(err, &p) {
		t.Fatalf("got %v, want a problem that says %q", err, message)
	}
	if !strings.Contains(p.Message, message) || !strings.Contains(p.Hint, hint) {
		t.Errorf("got %q with hint %q, want %q with %q", p.Message, p.Hint, message, hint)
	}
}

func TestFirstPublish(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out", "site") // the parent is made too
	if got, want := write(t, dir, first), (publish.Summary{Files: 4, Changed: 4}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	mustHold(t, dir, first)
	mustBeTidy(t, dir)
}

func TestManifest(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, pages{"b.html": "two\n", "a/b.html": "", "a.html": "<&>"})
	got, err := os.ReadFile(filepath.Join(dir, publish.ManifestName))
	if err != nil {
		t.Fatal(err)
	}
	// The three checksums are what sha256sum of GNU coreutils 9 prints for the bytes.
	want := `{
 "tool": "ripeward",
 "tool_version": "1.2.3",
 "data_cut_off": "2020-12-31",
 "inputs": [
  {
   "path": "data/club.toml",
   "sha256": "a"
  },
  {
   "path": "data/towns.csv",
   "sha256": "b"
  }
 ],
 "outputs": [
  {
   "path": "a.html",
   "size": 3,
   "sha256": "6b23c96867fb2b3082359dda58202ca9b084e97fcb5969922dcad6325f8ceb01"
  },
  {
   "path": "a/b.html",
   "size": 0,
   "sha256": "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
  },
  {
   "path": "b.html",
   "size": 4,
   "sha256": "27dd8ed44a83ff94d557f9fd0412ed5a8cbca69ea04922d88c01184a07300a5a"
  }
 ]
}
`
	if string(got) != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
	// Pages put in any order, from many goroutines, give the same bytes.
	again := filepath.Join(t.TempDir(), "site")
	s, err := publish.Open(again, publish.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for path, text := range (pages{"a.html": "<&>", "b.html": "two\n", "a/b.html": ""}) {
		wg.Go(func() {
			if err := s.Put(path, []byte(text)); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if _, err := s.Finish(manifest); err != nil {
		t.Fatal(err)
	}
	if second, _ := os.ReadFile(filepath.Join(again, publish.ManifestName)); string(second) != want {
		t.Errorf("the second site's manifest differs: %s", second)
	}
}

func TestRepublishUnchanged(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	before, err := os.Stat(filepath.Join(dir, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := write(t, dir, first), (publish.Summary{Files: 4, Unchanged: 4}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	after, err := os.Stat(filepath.Join(dir, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	if !os.SameFile(before, after) || before.ModTime() != after.ModTime() {
		t.Error("an unchanged page was written again")
	}
	mustHold(t, dir, first)
	mustBeTidy(t, dir)
}

func TestRepublishChanged(t *testing.T) {
	for _, c := range []struct {
		name string
		swap func(a, b string) error
	}{
		{"exchange", nil},
		{"two renames", func(a, b string) error { return errors.ErrUnsupported }},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			write(t, dir, first)
			kept, err := os.Stat(filepath.Join(dir, "assets", "look.css"))
			if err != nil {
				t.Fatal(err)
			}
			s, err := publish.OpenWith(dir, publish.Options{}, c.swap, nil)
			if err != nil {
				t.Fatal(err)
			}
			second := pages{"index.html": "new home", "towns/a/index.html": "town a", "towns/c/index.html": "town c", "assets/look.css": "p{}"}
			put(t, s, second)
			mustHold(t, dir, first) // nothing shows before Finish
			got, err := s.Finish(manifest)
			if err != nil {
				t.Fatal(err)
			}
			if want := (publish.Summary{Files: 4, Changed: 2, Unchanged: 2, Removed: 1}); got != want {
				t.Errorf("got %+v, want %+v", got, want)
			}
			mustHold(t, dir, second)
			mustBeTidy(t, dir)
			if now, err := os.Stat(filepath.Join(dir, "assets", "look.css")); err != nil || !os.SameFile(kept, now) {
				t.Error("an unchanged file is not the same file any more")
			}
			if err := s.Put("late.html", nil); err == nil {
				t.Error("a page was taken after Finish")
			}
		})
	}
}

func TestEditedFileIsRestored(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	mustWrite(t, filepath.Join(dir, "index.html"), "HOME") // same length
	if got, want := write(t, dir, first), (publish.Summary{Files: 4, Changed: 1, Unchanged: 3}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	mustHold(t, dir, first)
}

func TestKeptNames(t *testing.T) {
	for _, c := range []struct {
		name string
		swap func(a, b string) error
	}{
		{"exchange", nil},
		{"two renames", func(a, b string) error { return errors.ErrUnsupported }},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			write(t, dir, first)
			mustWrite(t, filepath.Join(dir, ".git", "objects", "x"), "object")
			mustWrite(t, filepath.Join(dir, "CNAME"), "figs.example")
			s, err := publish.OpenWith(dir, publish.Options{Keep: []string{".git", "CNAME", "absent"}}, c.swap, nil)
			if err != nil {
				t.Fatal(err)
			}
			put(t, s, pages{"index.html": "new"})
			if _, err := s.Finish(manifest); err != nil {
				t.Fatal(err)
			}
			mustHold(t, dir, pages{"index.html": "new", ".git/objects/x": "object", "CNAME": "figs.example"})
			mustBeTidy(t, dir)
		})
	}
}

func TestRefusedPlaces(t *testing.T) {
	cases := []struct {
		name          string
		make          func(t *testing.T, dir string)
		keep          []string
		message, hint string
	}{
		{"foreign file", func(t *testing.T, dir string) {
			write(t, dir, first)
			mustWrite(t, filepath.Join(dir, "towns", "notes.txt"), "mine")
		}, nil, "not written by ripeward: towns/notes.txt", "keep"},
		{"folder without manifest", func(t *testing.T, dir string) {
			for i := range 5 {
				mustWrite(t, filepath.Join(dir, fmt.Sprintf("photo%d.jpg", i)), "mine")
			}
		}, nil, "photo0.jpg, photo1.jpg, photo2.jpg and 2 more", "another folder"},
		{"another tool's manifest", func(t *testing.T, dir string) {
			mustWrite(t, filepath.Join(dir, "manifest.json"), `{"name": "an app"}`)
		}, nil, "not written by ripeward: manifest.json", "--site"},
		{"link", func(t *testing.T, dir string) {
			if err := os.Mkdir(dir+"-real", 0o777); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink(dir+"-real", dir); err != nil {
				t.Skip("links cannot be made here: ", err)
			}
		}, nil, "is a link", "-real"},
		{"file", func(t *testing.T, dir string) { mustWrite(t, dir, "text") }, nil, "is a file", "--site"},
		{"foreign next", func(t *testing.T, dir string) { mustWrite(t, dir+".next/photo.jpg", "mine") }, nil, "in the way", "move it"},
		{"foreign journal", func(t *testing.T, dir string) { mustWrite(t, dir+".swap", "mine") }, nil, "in the way", "move it"},
		{"keep with a slash", func(*testing.T, string) {}, []string{"a/b"}, `"a/b"`, "directly in"},
		{"keep of the manifest", func(*testing.T, string) {}, []string{"Manifest.json"}, "Manifest.json", "directly in"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			c.make(t, dir)
			before := files(t, filepath.Dir(dir))
			_, err := publish.Open(dir, publish.Options{Keep: c.keep})
			mustRefuse(t, err, c.message, c.hint)
			mustHold(t, filepath.Dir(dir), before)
		})
	}
}

func TestMountPointRefused(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("needs /proc, a mount point of every Linux system")
	}
	_, err := publish.Open("/proc", publish.Options{})
	mustRefuse(t, err, "is a mount point", "--site")
}

func TestReadOnlyParent(t *testing.T) {
	parent := t.TempDir()
	if os.Geteuid() == 0 {
		if _, err := os.Stat("/sys/kernel"); err != nil {
			t.Skip("runs as root, who may write anywhere, and there is no /sys to try")
		}
		parent = "/sys/kernel" // not even root can make files there
	} else if err := os.Chmod(parent, 0o555); err != nil {
		t.Fatal(err)
	}
	_, err := publish.Open(filepath.Join(parent, "site"), publish.Options{})
	mustRefuse(t, err, "cannot be written", "must exist and be writable")
	if !errors.Is(err, fs.ErrPermission) && !strings.Contains(err.Error(), "read-only") {
		t.Errorf("the cause is lost: %v", err)
	}
}

func TestLitterIsNoObstacle(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	mustWrite(t, filepath.Join(dir, "towns", ".DS_Store"), "icons")
	write(t, dir, pages{"index.html": "new"})
	mustHold(t, dir, pages{"index.html": "new"})
}

func TestForeignFileWhileWriting(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	s, err := publish.Open(dir, publish.Options{})
	if err != nil {
		t.Fatal(err)
	}
	put(t, s, pages{"index.html": "new"})
	mustWrite(t, filepath.Join(dir, "photo.jpg"), "mine")
	_, err = s.Finish(manifest)
	mustRefuse(t, err, "photo.jpg", "keep")
	if err := s.Abandon(); err != nil {
		t.Fatal(err)
	}
	if files(t, dir)["photo.jpg"] != "mine" || files(t, dir)["index.html"] != "home" {
		t.Error("the old site was touched")
	}
	mustBeTidy(t, dir)
}

func TestRefusedPaths(t *testing.T) {
	cases := []struct{ name, path, message string }{
		{"empty", "", "empty"},
		{"absolute", "/etc/passwd", "absolute"},
		{"parent", "../x", `".."`},
		{"inner parent", "a/../x", `".."`},
		{"dot", "./x", `"."`},
		{"empty part", "a//b", "empty part"},
		{"trailing slash", "a/", "empty part"},
		{"backslash", `a\b`, "character"},
		{"drive", "c:x", "character"},
		{"control", "a\nb", "character"},
		{"trailing stop", "a./b", "full stop"},
		{"device", "towns/CON/index.html", "reserved"},
		{"device with extension", "nul.html", "reserved"},
		{"not UTF-8", "a\xff", "UTF-8"},
		{"long part", strings.Repeat("x", 256), "255"},
		{"twice", "index.html", "twice"},
		{"letter case", "Index.html", "letter case"},
		{"letter case of a folder", "Towns/z/index.html", "letter case"},
		{"folder over file", "index.html/x", "is a file"},
		{"file over folder", "towns", "is a folder"},
		{"manifest", "Manifest.json", "by itself"},
		{"kept", ".GIT/config", "keep"},
	}
	dir := filepath.Join(t.TempDir(), "site")
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s, err := publish.Open(dir, publish.Options{Keep: []string{".git"}})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Abandon()
			put(t, s, first)
			err = s.Put(c.path, []byte("x"))
			mustRefuse(t, err, c.message, "")
			if _, err := s.Finish(manifest); err == nil {
				t.Error("a site with a refused page was finished")
			}
		})
	}
	if _, err := os.Lstat(dir); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a site was made: %v", err)
	}
	mustBeTidy(t, dir)
}

func TestSecondRunIsLockedOut(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	s, err := publish.Open(dir, publish.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = publish.Open(dir, publish.Options{})
	mustRefuse(t, err, "another run", "wait")
	put(t, s, first)
	if _, err := s.Finish(manifest); err != nil {
		t.Fatal(err)
	}
	write(t, dir, first) // free again
	mustBeTidy(t, dir)
}

func TestLeftLockFileIsNoLock(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	mustWrite(t, dir+".lock", "")
	write(t, dir, first)
}

func TestAbandon(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	s, err := publish.Open(dir, publish.Options{})
	if err != nil {
		t.Fatal(err)
	}
	put(t, s, pages{"index.html": "new"})
	for range 2 {
		if err := s.Abandon(); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.Finish(manifest); err == nil {
		t.Error("an abandoned site was finished")
	}
	mustHold(t, dir, first)
	mustBeTidy(t, dir)
}

// TestCrash stops a run between any two steps and looks at what readers see
// then, and at what the next run makes of it.
func TestCrash(t *testing.T) {
	second := pages{"index.html": "second", "towns/c/index.html": "town c"}
	third := pages{"index.html": "third"}
	keep := pages{".git/config": "kept", "CNAME": "figs.example"}
	with := func(ps pages) pages {
		all := pages{}
		for _, m := range []pages{ps, keep} {
			for k, v := range m {
				all[k] = v
			}
		}
		return all
	}
	unsupported := func(a, b string) error { return errors.ErrUnsupported }
	cases := []struct {
		step    string
		swap    func(a, b string) error
		visible pages // nil: no SITE at this moment
		then    pages // after recovery, before the next pages show
	}{
		{"complete", nil, with(first), with(first)},
		{"journal", nil, with(first), with(second)},
		{"swapped", nil, pages{"index.html": "second", "towns/c/index.html": "town c", "CNAME": "figs.example"}, with(second)},
		{"kept", nil, with(second), with(second)},
		{"settled", nil, with(second), with(second)},
		{"journal", unsupported, with(first), with(second)},
		{"aside", unsupported, nil, with(second)},
		{"swapped", unsupported, pages{"index.html": "second", "towns/c/index.html": "town c", "CNAME": "figs.example"}, with(second)},
		{"settled", unsupported, with(second), with(second)},
	}
	for _, c := range cases {
		t.Run(fmt.Sprintf("%s/%v", c.step, c.swap == nil), func(t *testing.T) {
			if c.swap == nil && runtime.GOOS != "linux" && runtime.GOOS != "darwin" && c.step != "complete" {
				t.Skip("this system has no exchange of two folders")
			}
			dir := filepath.Join(t.TempDir(), "site")
			write(t, dir, first)
			for path, text := range keep {
				mustWrite(t, filepath.Join(dir, filepath.FromSlash(path)), text)
			}
			o := publish.Options{Keep: []string{".git", "CNAME"}}
			reached := false
			s, err := publish.OpenWith(dir, o, c.swap, func(name string) error {
				if name == c.step {
					reached = true
					return publish.ErrCrash
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			put(t, s, second)
			if _, err := s.Finish(manifest); !errors.Is(err, publish.ErrCrash) || !reached {
				t.Fatalf("no crash at %s: %v", c.step, err)
			}
			if c.step == "complete" { // before the journal the run is still in charge
				if _, err := os.Stat(dir + ".next"); err != nil {
					t.Fatal(err)
				}
				defer s.Abandon()
				mustHold(t, dir, c.visible)
				return
			}
			if c.visible == nil {
				if _, err := os.Lstat(dir); !errors.Is(err, fs.ErrNotExist) {
					t.Errorf("SITE is there: %v", err)
				}
			} else {
				mustHold(t, dir, c.visible)
			}
			next, err := publish.OpenWith(dir, o, c.swap, nil)
			if err != nil {
				t.Fatal(err)
			}
			mustHold(t, dir, c.then)
			put(t, next, third)
			if _, err := next.Finish(manifest); err != nil {
				t.Fatal(err)
			}
			mustHold(t, dir, with(third))
			mustBeTidy(t, dir)
		})
	}
}

// TestJournalWithoutSites: somebody removed the folders after a crash.
func TestJournalWithoutSites(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	mustWrite(t, dir+".swap", `{"tool":"ripeward","manifest_sha256":"00","keep":[]}`)
	write(t, dir, first)
	mustHold(t, dir, first)
	mustBeTidy(t, dir)
}

// TestStaleNext: a run was killed while writing pages.
func TestStaleNext(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	mustWrite(t, dir+".next/manifest.json", `{"tool":"ripeward","unfinished":true}`)
	mustWrite(t, dir+".next/old.html", "old")
	write(t, dir, first)
	mustHold(t, dir, first)
	mustBeTidy(t, dir)
}

// TestNeverMissing looks for SITE at every step of a swap by exchange.
func TestNeverMissing(t *testing.T) {
	if runtime.GOOS != "linux" && runtime.GOOS != "darwin" {
		t.Skip("this system has no exchange of two folders")
	}
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	var steps []string
	s, err := publish.OpenWith(dir, publish.Options{}, nil, func(name string) error {
		steps = append(steps, name)
		if _, err := os.Stat(filepath.Join(dir, "index.html")); err != nil {
			t.Errorf("at %s: %v", name, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	put(t, s, pages{"index.html": "new"})
	if _, err := s.Finish(manifest); err != nil {
		t.Fatal(err)
	}
	if slices.Contains(steps, "aside") || !slices.Contains(steps, "swapped") {
		t.Errorf("the swap took the steps %v", steps)
	}
}

func TestFailedSecondRenameGoesBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	write(t, dir, first)
	s, err := publish.OpenWith(dir, publish.Options{}, func(a, b string) error { return errors.ErrUnsupported }, func(name string) error {
		if name == "aside" { // somebody takes SITE.next away
			return os.Rename(dir+".next", dir+".gone")
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	put(t, s, pages{"index.html": "new"})
	_, err = s.Finish(manifest)
	mustRefuse(t, err, "cannot be written", "")
	if err := s.Abandon(); err != nil {
		t.Fatal(err)
	}
	mustHold(t, dir, first)
	os.RemoveAll(dir + ".gone")
	mustBeTidy(t, dir)
}

func TestHashInputs(t *testing.T) {
	dir := t.TempDir()
	for path, text := range (pages{"data/club.toml": "abc", "data/reports/2019.csv": "x", "data/reports/2020.csv": "y", "data/stations/one.csv": ""}) {
		mustWrite(t, filepath.Join(dir, filepath.FromSlash(path)), text)
	}
	var none *cache.Cache
	hash := none.Hash
	paths := []string{"data/stations/one.csv", "data/reports/2020.csv", "data/club.toml", "data/reports/2019.csv"}
	got, err := publish.HashInputs(dir, paths, hash)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 3 || got[0].Path != "data/club.toml" || got[1].Path != "data/reports" || got[2].Path != "data/stations/one.csv" {
		t.Fatalf("got %v", got)
	}
	// NIST FIPS 180-2, appendix B.1: SHA-256 of "abc".
	if want := "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"; got[0].SHA256 != want {
		t.Errorf("club.toml: got %s, want %s", got[0].SHA256, want)
	}
	reports := got[1].SHA256
	slices.Reverse(paths)
	if again, _ := publish.HashInputs(dir, paths, hash); !slices.Equal(again, got) {
		t.Errorf("another order gives %v, want %v", again, got)
	}
	mustWrite(t, filepath.Join(dir, "data/reports/2020.csv"), "z")
	if changed, _ := publish.HashInputs(dir, paths, hash); changed[1].SHA256 == reports {
		t.Error("a changed report does not change the reports' checksum")
	}
	if _, err := publish.HashInputs(dir, []string{"data/none.csv"}, hash); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing input gives %v", err)
	}
}
