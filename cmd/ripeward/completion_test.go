package main

import (
	"bytes"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/begin"
)

func TestComplete(t *testing.T) {
	club := filepath.Join(t.TempDir(), "club")
	if _, err := begin.Write(club, "en"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		words []string
		want  []string // all of them, in any order
	}{
		{"commands", []string{"p"}, []string{"publish", "preview"}},
		{"commands after a flag", []string{"--format", "json", "in"}, []string{"inspect"}},
		{"help's commands", []string{"help", "s"}, []string{"season"}},
		{"a command's flags", []string{"publish", "--s"}, []string{"--set-aside", "--site"}},
		{"flags before the command", []string{"--cl"}, []string{"--club"}},
		{"choices", []string{"season", "--degree-days", ""}, []string{"sine", "mean"}},
		{"choices of a common flag", []string{"inspect", "--format", "j"}, []string{"json"}},
		{"choices behind =", []string{"inspect", "--format=c"}, []string{"--format=csv"}},
		{"as bash takes = apart", []string{"inspect", "--format", "=", "c"}, []string{"csv"}},
		{"nothing behind = yet", []string{"begin", "--language", "="}, []string{"en", "fr"}},
		{"folders", []string{"publish", "--club", "x"}, []string{":folders"}},
		{"a file", []string{"inspect", "--roll-call", "--print", ""}, []string{":files"}},
		{"season's files", []string{"season", "--list", ""}, []string{":files"}},
		{"begin's folder", []string{"begin", ""}, []string{":folders"}},
		{"begin takes one", []string{"begin", "a", ""}, nil},
		{"towns", []string{"explain", "--club", club, ""}, []string{"inkwell-green"}},
		{"towns of a club given before", []string{"--club=" + club, "explain", "ink"}, []string{"inkwell-green"}},
		{"cultivars", []string{"explain", "--club", club, "inkwell-green", ""}, []string{"inkpot", "blotterby", "paperlatch", "margins-end", "sealing-wax"}},
		{"methods", []string{"explain", "--club", club, "inkwell-green", "inkpot", "tent-h"}, []string{"tent-heated", "tent-heated-head-start"}},
		{"no fourth name", []string{"explain", "--club", club, "a", "b", "c", ""}, nil},
		{"a club that is not there", []string{"explain", "--club", "nowhere", ""}, nil},
		{"numbers are nobody's", []string{"explain", "--weeks", ""}, nil},
		{"shells", []string{"completion", ""}, []string{"bash", "zsh", "fish"}},
		{"a name behind --", []string{"season", "--", "--"}, []string{":files"}},
		{"an unknown command", []string{"fly", ""}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := &app{ctx: t.Context(), options: defaults()}
			var got []string
			for _, x := range a.complete(c.words) {
				got = append(got, x.text)
			}
			slices.Sort(got)
			slices.Sort(c.want)
			if !slices.Equal(got, c.want) {
				t.Errorf("%q: got %q, want %q", c.words, got, c.want)
			}
		})
	}
}

// TestNothingDisturbsTheLine: whatever was typed, the shell hears candidates
// or nothing.
func TestNothingDisturbsTheLine(t *testing.T) {
	for _, words := range [][]string{{}, {""}, {"--jobs", "many", "publish", ""}, {"publish", "--nonsense", ""}, {"="}, {"--", "-"}} {
		var out, errs strings.Builder
		if code := run(t.Context(), &out, &errs, append([]string{"candidates", "--"}, words...)); code != done || errs.Len() > 0 {
			t.Errorf("%q: exit %d, %s", words, code, errs.String())
		}
	}
}

// TestCompletionScripts lets each shell that is here read its script, and bash
// complete a line with it.
func TestCompletionScripts(t *testing.T) {
	for _, shell := range shells {
		t.Run(shell, func(t *testing.T) {
			path, err := exec.LookPath(shell)
			if err != nil {
				t.Skipf("needs %s", shell)
			}
			var script, errs strings.Builder
			if code := run(t.Context(), &script, &errs, []string{"completion", shell}); code != done {
				t.Fatalf("exit %d: %s", code, errs.String())
			}
			read := exec.CommandContext(t.Context(), path, "-n")
			read.Stdin = strings.NewReader(script.String())
			if out, err := read.CombinedOutput(); err != nil || len(out) > 0 {
				t.Fatalf("%v: %s", err, out)
			}
			if shell != "bash" {
				return
			}
			// In the place of the program a function tells what it was asked.
			use := exec.CommandContext(t.Context(), path, "--norc")
			use.Stdin = strings.NewReader(script.String() + `
ripeward() { printf 'pub:%s\tbuild it\nsecond one\n' "$*"; }
COMP_WORDS=(ripeward --club 'a b' pub more); COMP_CWORD=3
_ripeward ripeward pub 'a b'
printf '[%s]' "${COMPREPLY[@]}"
`)
			out, err := use.Output()
			if want := "[pub:candidates -- --club a b pub][second one]"; err != nil || !bytes.Equal(out, []byte(want)) {
				t.Errorf("bash completes %q, want %q (%v)", out, want, err)
			}
		})
	}
}
