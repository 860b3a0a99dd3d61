package publish_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"ripeward/build/publish"
)

// A killed run is one in a process of its own: this test's program, told by
// its environment to publish and nothing else.
const (
	killedSite    = "RIPEWARD_KILLED_SITE"
	killedEdition = "RIPEWARD_KILLED_EDITION"
	killedJournal = "RIPEWARD_KILLED_JOURNAL" // "yes": without the exchange in one step
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(killedSite); dir != "" {
		n, err := strconv.Atoi(os.Getenv(killedEdition))
		if err == nil {
			err = publishEdition(dir, n, os.Getenv(killedJournal) == "yes")
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

const pagesOfEdition = 150

// publishEdition writes a site whose pages link to each other and name their
// edition; a third of them do not change from one edition to the next.
func publishEdition(dir string, edition int, journal bool) error {
	var swap func(a, b string) error
	if journal {
		swap = func(string, string) error { return errors.ErrUnsupported }
	}
	s, err := publish.OpenWith(dir, publish.Options{Keep: []string{"CNAME"}}, swap, nil)
	if err != nil {
		return err
	}
	defer s.Abandon()
	for i := range pagesOfEdition {
		e := edition
		if i%3 == 0 {
			e = 0
		}
		text := fmt.Sprintf("<p>edition %d</p><a href=\"../p%d/index.html\">next</a>%512d", e, (i+1)%pagesOfEdition, i)
		if err := s.Put(fmt.Sprintf("p%d/index.html", i), []byte(text)); err != nil {
			return err
		}
	}
	_, err = s.Finish(publish.Manifest{Version: strconv.Itoa(edition), DataCutOff: "2020-12-31"})
	return err
}

var href = regexp.MustCompile(`href="([^"]+)"`)

// mustBeWhole checks that a site is one edition: every file of its manifest
// with its bytes, no other file, every link leading to one.
func mustBeWhole(t *testing.T, dir string) (edition string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, publish.ManifestName))
	if err != nil {
		t.Fatalf("no manifest: %v", err)
	}
	var m publish.Manifest
	if err := json.Unmarshal(data, &m); err != nil || m.Unfinished || len(m.Outputs) != pagesOfEdition {
		t.Fatalf("manifest of %d files, unfinished %v: %v", len(m.Outputs), m.Unfinished, err)
	}
	there := files(t, dir)
	delete(there, "CNAME")
	if len(there) != len(m.Outputs) {
		t.Errorf("%d files, %d in the manifest", len(there), len(m.Outputs))
	}
	for _, o := range m.Outputs {
		h := sha256.Sum256([]byte(there[o.Path]))
		if hex.EncodeToString(h[:]) != o.SHA256 {
			t.Errorf("%s is not what the manifest says", o.Path)
		}
		for _, to := range href.FindAllStringSubmatch(there[o.Path], -1) {
			if _, ok := there[filepath.ToSlash(filepath.Join(filepath.Dir(o.Path), to[1]))]; !ok {
				t.Errorf("%s leads to %s, which is not there", o.Path, to[1])
			}
		}
	}
	return m.Version
}

// However a run ends, readers have one whole site: at once where folders are
// exchanged in one step, after the next run where a journal stands in.
func TestKilledAtAnyMoment(t *testing.T) {
	times := 3
	if os.Getenv("RIPEWARD_LONG") != "" {
		times = 30
	}
	if n, err := strconv.Atoi(os.Getenv("RIPEWARD_KILLS")); err == nil { // as many as one has time for
		times = n
	}
	me, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, journal := range []bool{false, true} {
		name := "exchange"
		if journal {
			name = "journal"
		}
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			run := func(edition int) *exec.Cmd {
				c := exec.Command(me)
				c.Env = append(os.Environ(), killedSite+"="+dir, killedEdition+"="+strconv.Itoa(edition))
				if journal {
					c.Env = append(c.Env, killedJournal+"=yes")
				}
				return c
			}
			mustRun := func(edition int) time.Duration {
				t.Helper()
				began := time.Now()
				if out, err := run(edition).CombinedOutput(); err != nil {
					t.Fatalf("edition %d: %v\n%s", edition, err, out)
				}
				return time.Since(began)
			}
			mustRun(1)
			mustWrite(t, filepath.Join(dir, "CNAME"), "figs.example.org")
			whole := max(mustRun(2), mustRun(3))
			rng := rand.New(rand.NewPCG(7, 11))
			killed, finished, editions := 0, 0, map[string]bool{}
			for i := range times {
				c := run(10 + i)
				if err := c.Start(); err != nil {
					t.Fatal(err)
				}
				// The moments lie over a whole run and a little more.
				kill := time.AfterFunc(time.Duration(rng.Float64()*1.1*float64(whole)), func() { _ = c.Process.Kill() })
				if c.Wait() != nil {
					killed++
				} else {
					finished++
				}
				kill.Stop()
				if journal {
					mustRun(5000 + i)
				}
				editions[mustBeWhole(t, dir)] = true
				if t.Failed() {
					t.Fatalf("after %d runs", i+1)
				}
			}
			if data, err := os.ReadFile(filepath.Join(dir, "CNAME")); err != nil || string(data) != "figs.example.org" {
				t.Errorf("what was to be kept: %q, %v", data, err)
			}
			mustRun(9999)
			mustBeWhole(t, dir)
			mustBeTidy(t, dir)
			t.Logf("%d killed, %d done before, %d editions seen", killed, finished, len(editions))
			if killed == 0 && times >= 10 {
				t.Error("no run was killed")
			}
		})
	}
}
