package club_test

import (
	"path/filepath"
	"strings"
	"testing"

	"ripeward/build/club"
)

// A blank table with its header alone is one that the reader accepts whole,
// and every column says what it holds.
func TestBlanksAreRead(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "script", "tiny-club")
	for _, b := range club.Blanks() {
		var names []string
		for _, f := range b.Fields {
			names = append(names, f.Name)
			if f.Type == "" || len(f.About) < 10 || !strings.HasSuffix(f.About, ".") {
				t.Errorf("%s.%s: type %q, about %q", b.Name, f.Name, f.Type, f.About)
			}
		}
		file := b.Name + "-blank.csv"
		_, problems, err := club.Load(dir, club.Options{Candidate: &club.Candidate{File: file, Table: b.Name, Text: []byte(strings.Join(names, ",") + "\n")}})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range problems {
			if p.Place.File == file {
				t.Errorf("%v", p)
			}
		}
	}
}
