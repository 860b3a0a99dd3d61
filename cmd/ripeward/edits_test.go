package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/station"
)

// hostileCells are what a cell may be changed to.
var hostileCells = []string{"", " ", "-9999", "1e999", "NaN", "0x10", "2024-02-30", "31/12/2024", "../../etc/passwd", "<script>x</script>", "{{.}}", "[[x]]", "=1+1",
	"\"", "\"\"", "a;b", "a,b", "é", "\u202e", "\x00", "\xff", "\xff\xfe", strings.Repeat("x", 70_000), "999999999999", "-0", "con", "None", "\x1b[2J"}

// edit changes a text in one of the ways that hands and programs do, and says
// which.
func edit(rng *rand.Rand, text []byte) ([]byte, string) {
	lines := bytes.SplitAfter(text, []byte("\n"))
	i, j := rng.IntN(len(lines)), rng.IntN(len(lines))
	at := rng.IntN(len(text) + 1)
	switch rng.IntN(12) {
	case 0:
		return bytes.Join(slices.Delete(slices.Clone(lines), i, i+1), nil), fmt.Sprintf("line %d deleted", i+1)
	case 1:
		return bytes.Join(slices.Insert(slices.Clone(lines), i, lines[i]), nil), fmt.Sprintf("line %d twice", i+1)
	case 2:
		lines[i], lines[j] = lines[j], lines[i]
		return bytes.Join(lines, nil), fmt.Sprintf("lines %d and %d exchanged", i+1, j+1)
	case 3, 4, 5:
		cells := bytes.Split(lines[i], []byte(","))
		k, put := rng.IntN(len(cells)), hostileCells[rng.IntN(len(hostileCells))]
		cells[k] = []byte(put)
		lines[i] = bytes.Join(cells, []byte(","))
		return bytes.Join(lines, nil), fmt.Sprintf("cell %d of line %d is %.20q", k+1, i+1, put)
	case 6:
		column := rng.IntN(6)
		for k, line := range lines {
			if cells := bytes.Split(line, []byte(",")); column < len(cells)-1 {
				lines[k] = bytes.Join(slices.Delete(cells, column, column+1), []byte(","))
			}
		}
		return bytes.Join(lines, nil), fmt.Sprintf("column %d deleted", column+1)
	case 7:
		return text[:at], fmt.Sprintf("cut off after %d bytes", at)
	case 8:
		out := slices.Clone(text)
		if len(out) > 0 {
			out[at%len(out)] ^= byte(1 << rng.IntN(8))
		}
		return out, fmt.Sprintf("a bit of byte %d turned", at)
	case 9:
		put := []string{"\x00", "\xff", "\xc3", "\"", "\r", "\n", "\ufeff"}[rng.IntN(7)]
		return slices.Concat(text[:at], []byte(put), text[at:]), fmt.Sprintf("%q put at byte %d", put, at)
	case 10:
		return append([]byte("\xff\xfe"), text...), "a UTF-16 mark before it"
	}
	lines[i] = bytes.ReplaceAll(lines[i], []byte(","), []byte(";"))
	return bytes.Join(lines, nil), fmt.Sprintf("semicolons in line %d", i+1)
}

// textFiles lists the files of a club that are edited.
func textFiles(t *testing.T, dir string) (files []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(p string, e fs.DirEntry, err error) error {
		if err == nil && e.Type().IsRegular() && slices.Contains([]string{".csv", ".toml", ".md", ".dly"}, filepath.Ext(p)) {
			rel, _ := filepath.Rel(dir, p)
			files = append(files, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// keptRows counts the rows of a club that came from a file.
func keptRows(c *club.Club, file string) (n int) {
	v := reflect.ValueOf(c).Elem()
	for i := range v.NumField() {
		if v.Field(i).Kind() != reflect.Slice || v.Field(i).Type().Elem().Kind() != reflect.Struct {
			continue
		}
		for k := range v.Field(i).Len() {
			if row := v.Field(i).Index(k).FieldByName("Row"); row.IsValid() && row.Interface().(club.Row).At.File == file {
				n++
			}
		}
	}
	return n
}

// rowsIn counts the rows of a table by the lines that each spans; ok is false
// where its form leaves it to judgement what a row is.
func rowsIn(text []byte) (spans [][2]int, ok bool) {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	before := 0
	for bytes.HasPrefix(text, []byte("#")) || bytes.HasPrefix(text, []byte("\n")) {
		_, text, _ = bytes.Cut(text, []byte("\n"))
		before++
	}
	head, _, _ := bytes.Cut(text, []byte("\n"))
	if bytes.ContainsAny(head, ";\t=\"") {
		return nil, false
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	for {
		cells, err := r.Read()
		if err != nil {
			return spans[min(1, len(spans)):], err.Error() == "EOF" && len(spans) > 0
		}
		first, _ := r.FieldPos(0)
		if strings.TrimSpace(strings.Join(cells, "")) != "" && !strings.HasPrefix(cells[0], "#") { // a remark
			last := first + strings.Count(strings.Join(cells, ""), "\n")
			spans = append(spans, [2]int{before + first, before + last})
		}
	}
}

// account checks that every row of a table is kept or listed.
func account(t *testing.T, what string, c *club.Club, ps diag.Problems, file string, text []byte) bool {
	t.Helper()
	if ps.Count(diag.Error) > 0 || strings.HasPrefix(file, "data/stations/") || filepath.Ext(file) != ".csv" {
		return false
	}
	spans, ok := rowsIn(text)
	if !ok {
		return false
	}
	dropped := map[int]bool{}
	for _, p := range c.Dropped {
		if p.Place.File != file {
			continue
		}
		for i, s := range spans {
			if p.Place.Line >= s[0] && p.Place.Line <= s[1] {
				dropped[i] = true
			}
		}
	}
	if kept := keptRows(c, file); kept+len(dropped) != len(spans) {
		t.Errorf("%s: %d rows, %d kept and %d listed", what, len(spans), kept, len(dropped))
	}
	return true
}

// accountStation checks that every line below the header of a plain record is
// counted.
func accountStation(t *testing.T, what, path string, text []byte) bool {
	t.Helper()
	if !bytes.HasPrefix(text, []byte("date,")) || bytes.ContainsAny(text, "\r\x00") {
		return false
	}
	recs, ps, err := station.ReadFile(path)
	if err != nil || ps.Count(diag.Error) > 0 {
		return false
	}
	want, got := int64(-1), int64(0)
	for line := range bytes.Lines(text) {
		if len(bytes.TrimSpace(line)) > 0 {
			want++
		}
	}
	for _, r := range recs {
		got += r.Account.Rows
	}
	if got != want {
		t.Errorf("%s: %d rows, %d counted", what, want, got)
	}
	return true
}

// Whatever is done to a file of a club: it is published, or a message with its
// place says why not and the old site stays; and every row is used or listed.
func TestRandomEdits(t *testing.T) {
	small := t.TempDir()
	rememberingClub(t, small)
	if os.Getenv("RIPEWARD_LONG") == "" {
		randomEdits(t, small, 60, 30)
		return
	}
	demo := t.TempDir()
	for _, folder := range []string{"data", "content"} {
		if err := os.CopyFS(filepath.Join(demo, folder), os.DirFS(filepath.Join(repoRoot(t), folder))); err != nil {
			t.Fatal(err)
		}
	}
	many, some := 300, 40
	if n, err := strconv.Atoi(os.Getenv("RIPEWARD_EDITS")); err == nil { // as many as one has time for
		many, some = n, n
	}
	t.Run("small", func(t *testing.T) { randomEdits(t, small, many, 25) })
	t.Run("demo", func(t *testing.T) { randomEdits(t, demo, some, 20) })
}

// randomEdits edits a club so many times, and publishes every so many.
func randomEdits(t *testing.T, dir string, edits, publishEach int) {
	site := filepath.Join(t.TempDir(), "site")
	useCacheIn(t.TempDir(), os.Setenv)
	publishInto(t, dir, site)
	rng := rand.New(rand.NewPCG(20, 26))
	files := textFiles(t, dir)
	said, accounted, published := 0, 0, 0
	for n := range edits {
		file := files[rng.IntN(len(files))]
		path := filepath.Join(dir, filepath.FromSlash(file))
		before, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		after, how := edit(rng, bytes.Clone(before))
		what := fmt.Sprintf("edit %d, %s: %s", n, file, how)
		if err := os.WriteFile(path, after, 0o666); err != nil {
			t.Fatal(err)
		}
		_, ps, err := club.Load(dir, club.Options{})
		if err != nil {
			t.Errorf("%s: %v", what, err)
		}
		for _, p := range ps {
			if p.Severity == diag.Error && (p.Place.File == "" || p.Message == "") {
				t.Errorf("%s: not located: %v", what, p)
			}
		}
		said += min(1, len(ps))
		c, aside, err := club.Load(dir, club.Options{SetAside: true})
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if strings.HasPrefix(file, "data/stations/") {
			accounted += one(accountStation(t, what, path, after))
		} else {
			accounted += one(account(t, what, c, aside, file, after))
		}
		if n%publishEach == publishEach-1 {
			published += one(stands(t, what, dir, site))
		}
		if err := os.WriteFile(path, before, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d edits: %d with messages, rows counted in %d, %d of %d published", edits, said, accounted, published, edits/publishEach)
	if accounted < edits/4 {
		t.Errorf("rows were counted for %d edits only", accounted)
	}
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// stands publishes an edited club and tells whether that went well; if not,
// the old site must stand as it did, and a message must have its place.
func stands(t *testing.T, what, dir, site string) bool {
	t.Helper()
	manifest, err := os.ReadFile(filepath.Join(site, "manifest.json"))
	if err != nil {
		t.Fatal(err)
	}
	var stdout, stderr bytes.Buffer
	if run(context.Background(), &stdout, &stderr, []string{"publish", "--club", dir, "--site", site}) == done {
		return true
	}
	still, err := os.ReadFile(filepath.Join(site, "manifest.json"))
	if err != nil || !bytes.Equal(manifest, still) {
		t.Errorf("%s: refused, and the old site is another: %v", what, err)
	}
	if !strings.Contains(stderr.String(), "/data/") && !strings.Contains(stderr.String(), "/content/") {
		t.Errorf("%s: refused without a place: %s", what, stderr.String())
	}
	return false
}
