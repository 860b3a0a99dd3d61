//go:build unix

package club_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
)

// A club's folder is read no further than its own files: what leads out of it,
// or is no file, is refused with its place, and nothing waits.
func TestInside(t *testing.T) {
	elsewhere := filepath.Join(t.TempDir(), "secret.csv")
	if err := os.WriteFile(elsewhere, []byte("zone_id,name\nvalley,Secret\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	link := func(to string) func(at string) error {
		return func(at string) error { return os.Symlink(to, at) }
	}
	pipe := func(at string) error { return syscall.Mkfifo(at, 0o644) }
	folder := func(at string) error { return os.Mkdir(at, 0o755) }
	const (
		out = ": a link that leads out of the club's folder | put the file itself there"
		odd = ": not a regular file"
	)
	for _, c := range []struct {
		name, at string
		make     func(at string) error
		want     []string // of what is new
	}{
		{"table from elsewhere", "data/zones.csv", link(elsewhere), []string{"data/zones.csv" + out}},
		{"table from above", "data/zones.csv", link("../../../secret.csv"), []string{"data/zones.csv: a link that leads nowhere | put the file itself there"}},
		{"password file", "data/trees.csv", link("/etc/passwd"), []string{"data/trees.csv" + out}},
		{"settings from elsewhere", "data/club.toml", link(elsewhere), []string{"data/club.toml" + out}},
		{"baseline from elsewhere", "data/last-year.json", link(elsewhere), []string{"data/last-year.json" + out}},
		{"reports from elsewhere", "data/reports", link(filepath.Dir(elsewhere)), []string{"data/reports" + out}},
		{"report from elsewhere", "data/reports/r.csv", link(elsewhere), []string{"data/reports/r.csv" + out}},
		{"station from elsewhere", "data/stations/S2.csv", link(elsewhere), []string{"data/stations/S2.csv" + out}},
		{"station settings from elsewhere", "data/stations/S1.toml", link(elsewhere), []string{"data/stations/S1.toml" + out}},
		{"guide from elsewhere", "content/guides/g.md", link("/etc/passwd"), []string{"content/guides/g.md" + out}},
		{"guides from elsewhere", "content", link("/etc"), []string{"content" + out}},
		{"guide from a table", "content/guides/g.md", link("../../data/zones.csv"), nil},
		{"station from another", "data/stations/S2.csv", link("S1.csv"), nil},
		{"station by its whole path", "data/stations/S2.csv", func(at string) error { return os.Symlink(filepath.Join(filepath.Dir(at), "S1.csv"), at) }, nil},
		{"link to itself", "data/stations/S2.csv", link("S2.csv"), []string{"data/stations/S2.csv: cannot be read: too many links"}},
		{"link to a folder of content", "content/more", link("../data"), []string{"content/more: warning: a link to a folder is not followed | put the folder itself there"}},
		{"device", "data/stations/S2.csv", link("/dev/zero"), []string{"data/stations/S2.csv" + out}},
		{"pipe for a table", "data/trees.csv", pipe, []string{"data/trees.csv" + odd}},
		{"pipe for a station", "data/stations/S2.csv", pipe, []string{"data/stations/S2.csv" + odd}},
		{"pipe for station settings", "data/stations/S1.csv.toml", pipe, []string{"data/stations/S1.csv.toml" + odd}},
		{"pipe for reports", "data/reports/r.csv", pipe, []string{"data/reports/r.csv" + odd}},
		{"pipe for a guide", "content/guides/g.md", pipe, []string{"content/guides/g.md" + odd}},
		{"folder for a table", "data/trees.csv", folder, []string{"data/trees.csv" + odd}},
		{"folder for a station", "data/stations/S2.csv", folder, []string{"data/stations/S2.csv: a folder in the place of a file | put its files into data/stations"}},
		{"line end in a name", "data/reports/a\nb.csv", link("x"), []string{`data/reports/a\nb.csv: a control character in a file name | rename the file`}},
		{"escape in a name", "data/stations/\x1b[2J.csv", pipe, []string{`data/stations/\x1b[2J.csv: a control character in a file name | rename the file`}},
		{"turned name", "content/guides/\u202egpj.md", pipe, []string{`content/guides/\u202egpj.md: a control character in a file name | rename the file`}},
		{"name of other bytes", "content/guides/\xff.md", pipe, []string{`content/guides/\xff.md: a file name that is not UTF-8 | rename the file`}},
		{"long name", "data/stations/" + strings.Repeat("x", 240) + ".csv", pipe, []string{
			"data/stations/" + strings.Repeat("x", 240) + ".csv: a file name of 244 bytes; the limit is 200 | rename the file"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			leave := map[string]string{}
			if _, there := tiny[c.at]; there {
				leave[c.at] = ""
			}
			dir := write(t, leave)
			at := filepath.Join(dir, filepath.FromSlash(c.at))
			if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := c.make(at); err != nil {
				t.Skip("not to be had here:", err)
			}
			loaded, ps := load(t, dir, club.Options{})
			if got := said(ps); !slices.Equal(got, c.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
			if used := slices.Contains(loaded.Inputs, c.at); used != (ps.Count(diag.Error) == 0 && !strings.Contains(c.at, "more")) {
				t.Errorf("among the inputs: %v", used)
			}
		})
	}
}

// The folder itself may be reached by a link: who names it chose it.
func TestClubBehindALink(t *testing.T) {
	dir := write(t, nil)
	if err := os.Symlink("S1.csv", filepath.Join(dir, "data", "stations", "S2.csv")); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	door := filepath.Join(t.TempDir(), "door")
	if err := os.Symlink(dir, door); err != nil {
		t.Fatal(err)
	}
	if c, ps := load(t, door, club.Options{}); len(ps) > 0 || len(c.StationFiles) != 2 {
		t.Errorf("%q, %q", said(ps), c.StationFiles)
	}
}
