package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ripeward/build/begin"
)

// TestPreview shows a new club, edits it, breaks it, and ends.
func TestPreview(t *testing.T) {
	temp := t.TempDir()
	for _, key := range []string{"TMPDIR", "TMP", "TEMP"} {
		t.Setenv(key, temp)
	}
	lookEvery = 5 * time.Millisecond
	club := filepath.Join(t.TempDir(), "club")
	if _, err := begin.Write(club, "en"); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	said, tell := io.Pipe()
	lines := make(chan string, 1000)
	go func() {
		for s := bufio.NewScanner(said); s.Scan(); {
			lines <- s.Text()
		}
		close(lines)
	}()
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, tell, tell, []string{"preview", "--club", club, "--site", filepath.Join(club, "site"), "--port", "0"})
		tell.Close()
	}()
	wait := func(want string) string {
		t.Helper()
		for line := range lines {
			if strings.Contains(line, want) {
				return line
			}
		}
		t.Fatalf("it ended without saying %q", want)
		return ""
	}
	edit := func(file, from, to string) {
		t.Helper()
		path := filepath.Join(club, filepath.FromSlash(file))
		data, err := os.ReadFile(path)
		if err != nil || !strings.Contains(string(data), from) {
			t.Fatalf("%s has no %q: %v", file, from, err)
		}
		// The time of change moves, however coarse the file system's clock is.
		info, err := os.Stat(path)
		if err == nil {
			err = os.WriteFile(path+".new", []byte(strings.Replace(string(data), from, to, 1)), 0o666)
		}
		if err == nil {
			err = os.Chtimes(path+".new", time.Time{}, info.ModTime().Add(time.Second))
		}
		if err == nil {
			err = os.Rename(path+".new", path)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	address := wait("http://127.0.0.1:")
	get := func(at string) string {
		t.Helper()
		r, err := http.Get(address + at)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		if err != nil || r.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s, %v", at, r.Status, err)
		}
		return string(body)
	}
	if !strings.Contains(get(""), "Inkwell Green") {
		t.Error("the first page does not name the town")
	}
	edit("data/towns.csv", "Inkwell Green", "Blotting Green")
	wait("changed: data/towns.csv")
	wait("built again")
	if !strings.Contains(get("towns/inkwell-green/"), "Blotting Green") {
		t.Error("the page is not the new one")
	}
	edit("data/towns.csv", "44.50", "north")
	wait("data/towns.csv:")
	if line := wait("1 error"); strings.Contains(line, "published") {
		t.Errorf("a preview speaks of publishing: %q", line)
	}
	wait("the last good site stays")
	if !strings.Contains(get("towns/inkwell-green/"), "Blotting Green") {
		t.Error("the last good page is gone")
	}
	edit("data/towns.csv", "north", "44.51")
	wait("built again")
	cancel()
	for range lines {
	}
	if got := <-code; got != done {
		t.Errorf("exit status %d", got)
	}
	if left, err := os.ReadDir(temp); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
	if _, err := os.Stat(filepath.Join(club, "site")); err == nil {
		t.Error("the site's folder was written")
	}
}
