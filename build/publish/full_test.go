//go:build linux

package publish_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"ripeward/build/publish"
)

// A disk that fills up while a site is being written leaves the old site, and
// says what stood in the way.
func TestFullDisk(t *testing.T) {
	disk := t.TempDir()
	if err := unix.Mount("tmpfs", disk, "tmpfs", 0, "size=512k"); err != nil {
		t.Skipf("no small disk can be mounted here: %v", err)
	}
	t.Cleanup(func() { _ = unix.Unmount(disk, 0) })
	dir := filepath.Join(disk, "site")
	write(t, dir, first)
	s, err := publish.Open(dir, publish.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var failed error
	for i := 0; i < 100 && failed == nil; i++ {
		failed = s.Put(fmt.Sprintf("p%d.html", i), []byte(strings.Repeat("x", 16<<10)))
	}
	if failed == nil || !strings.Contains(failed.Error(), "no space left") {
		t.Errorf("a full disk gives %v", failed)
	}
	if _, err := s.Finish(manifest); err == nil {
		t.Error("a site with a file missing was finished")
	}
	if err := s.Abandon(); err != nil {
		t.Error(err)
	}
	mustHold(t, dir, first)
	mustBeTidy(t, dir)
	// With room again the next run works.
	if err := unix.Mount("tmpfs", disk, "tmpfs", unix.MS_REMOUNT, "size=8m"); err != nil {
		t.Fatal(err)
	}
	second := pages{"index.html": "second"}
	write(t, dir, second)
	mustHold(t, dir, second)
	_ = os.RemoveAll(dir)
}
