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
	for _, c := range commands() {
		width = max(width, len(c.name+" "+c.args))
	}
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-*s  %s\n", width, strings.TrimSpace(c.name+" "+c.args), c.summary)
	}
	b.WriteString("\nFlags for all commands, before or after names:\n")
	describeFlags(&b, newFlagSet(&command{}, &options{club: ".", site: "site"}), nil)
	b.WriteString("\nResults go to standard output, all else to standard error.\nExit status: 0 done, 1 problems in the input or in reading and writing, 2 wrong use.\n")
	io.WriteString(w, b.String())
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
	b.WriteString("\nripeward help lists the flags for all commands.\n")
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
