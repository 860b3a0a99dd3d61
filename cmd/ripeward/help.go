package main

import (
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

func (a *app) usage(w io.Writer) {
	var b strings.Builder
	b.WriteString("ripeward builds a club's climate almanac from daily station records.\n\nUse: ripeward COMMAND [FLAGS] [NAMES]\n\n")
	width := 0
	shown := slices.DeleteFunc(commands(), func(c command) bool { return c.hidden })
	for _, c := range shown {
		width = max(width, len(c.name+" "+c.args))
	}
	for _, c := range shown {
		fmt.Fprintf(&b, "  %-*s  %s\n", width, strings.TrimSpace(c.name+" "+c.args), c.summary)
	}
	b.WriteString("\nA first site, from nothing:\n  ripeward begin our-club\n  ripeward publish --club our-club --site our-club/site\n")
	b.WriteString("\nFlags for all commands, before or after names:\n")
	describeFlags(&b, newFlagSet(&command{}, &options{club: ".", site: "site"}), nil)
	b.WriteString(helpEnd)
	io.WriteString(w, b.String())
}

// helpEnd is what holds for all commands.
const helpEnd = `
Results go to standard output, all else to standard error; progress on a
terminal only.

Exit status
  0  done; warnings do not change it
  1  problems in the input, or in reading and writing
  2  wrong use

Environment
  XDG_CACHE_HOME  folder below which ripeward remembers what it computed, on
                  Linux; default ~/.cache. macOS and Windows have their own.
                  What is remembered can be deleted at any time.
  TMPDIR          folder in which preview builds (Windows: TEMP)

ripeward help COMMAND, or --help after a command, says more about it.
`

// exitWords says what a command's exit status can be.
func exitWords(c command) string {
	if c.exits != "" {
		return c.exits
	}
	return "0 done, 1 problems in the input or in reading and writing, 2 wrong use."
}

func (a *app) help(names []string) int {
	if len(names) == 0 {
		a.usage(a.stdout)
		return done
	}
	c, ok := find(names[0])
	if !ok {
		return a.misused(fmt.Errorf("unknown command %q", names[0]), didYouMean(names[0], commandNames(), "ripeward help lists the commands"))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Use: ripeward %s\n\n%s.\n", strings.TrimSpace(c.name+" [FLAGS] "+c.args), strings.ToUpper(c.summary[:1])+c.summary[1:])
	if c.details != "" {
		b.WriteString("\n" + c.details)
	}
	o := defaults()
	fs := newFlagSet(&c, &o)
	if len(fs.own) > 0 {
		b.WriteString("\nFlags:\n")
		describeFlags(&b, fs, fs.own)
	}
	if len(c.examples) > 0 {
		b.WriteString("\nFor example:\n")
		for _, e := range c.examples {
			b.WriteString("  " + e + "\n")
		}
	}
	b.WriteString("\nExit status: " + exitWords(c) + "\nripeward help lists the flags for all commands.\n")
	return a.print(b.String())
}

// describeFlags lists the flags named by only, or all.
func describeFlags(b *strings.Builder, fs *flagSet, only []string) {
	var rows [][2]string
	width := 0
	fs.VisitAll(func(f *flag.Flag) {
		if f.Usage == "" || only != nil && !slices.Contains(only, f.Name) {
			return
		}
		value, words := fs.usageOf(f)
		head := strings.TrimSpace("--" + f.Name + " " + value)
		width = max(width, utf8.RuneCountInString(head))
		rows = append(rows, [2]string{head, words})
	})
	for _, r := range rows {
		fmt.Fprintf(b, "  %s%s  %s\n", r[0], strings.Repeat(" ", width-utf8.RuneCountInString(r[0])), r[1])
	}
}
