// Command ripeward turns a growers' club's folder of daily station records and
// tables into a static climate almanac. It parses flags, calls the rooms of
// the house and turns the outcome into an exit status: 0 done, 1 problems in
// the input or in reading and writing, 2 wrong use.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"ripeward/build/diag"
	"ripeward/build/tables"
)

// version is the program's, printed on pages and in manifests.
const version = "0.1.0"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	code := run(ctx, os.Stdout, os.Stderr, os.Args[1:])
	stop()
	os.Exit(code)
}

// Exit statuses.
const (
	done  = 0
	wrong = 1
	usage = 2
)

// command is something ripeward does.
type command struct {
	name, args, summary string
	details             string
	examples            []string // a line each: what to type, and what it is for
	exits               string   // what the exit status means, where more can be said
	hidden              bool     // not for people: no help lists it
	flags               func(*flagSet, *options)
	run                 func(*app, []string) int
}

// app is one run of the program.
type app struct {
	ctx            context.Context
	stdout, stderr io.Writer
	options
}

func commands() []command {
	return []command{beginCommand, publishCommand, previewCommand, inspectCommand, explainCommand, seasonCommand,
		{name: "completion", args: "bash|zsh|fish", summary: "print a script that lets the shell complete commands", details: completionDetails, examples: completionExamples, run: (*app).completion},
		{name: "candidates", args: "-- WORD...", summary: "list what the last word can become, for the shell's script", hidden: true, run: (*app).candidates},
		{name: "version", summary: "print the version", examples: []string{"ripeward version --format json"}, run: (*app).version},
		{name: "help", args: "[COMMAND]", summary: "say how to use a command", examples: []string{"ripeward help publish"}, run: (*app).help},
	}
}

// run does what args say and returns the exit status.
func run(ctx context.Context, stdout, stderr io.Writer, args []string) int {
	a := &app{ctx: ctx, stdout: stdout, stderr: stderr, options: defaults()}
	// Common flags may come before the command.
	common := newFlagSet(nil, &a.options)
	var name string
	var rest []string
	for i := 0; i < len(args); i++ {
		if !isFlag(args[i]) {
			name, rest = args[i], args[i+1:]
			break
		}
		used, err := common.take(args[i:])
		if err != nil {
			return a.misused(err, "")
		}
		i += used - 1
	}
	if a.askedHelp || a.askedVersion {
		if a.askedVersion {
			name, rest = "version", nil
		} else {
			rest = strings.Fields(name)
			name = "help"
		}
	}
	if name == "" {
		a.usage(a.stderr)
		return usage
	}
	c, ok := find(name)
	if !ok {
		return a.misused(fmt.Errorf("unknown command %q", name), didYouMean(name, commandNames(), "ripeward help lists the commands"))
	}
	names, err := newFlagSet(&c, &a.options).parse(rest)
	switch {
	case err != nil:
		return a.misused(err, "ripeward help "+c.name+" lists its flags")
	case a.askedHelp && c.name != "help":
		return a.help([]string{c.name})
	case len(names) > 0 && c.args == "":
		hint := "ripeward help " + c.name + " says how to use it"
		if fi, err := os.Stat(names[0]); err == nil && fi.IsDir() {
			hint = "for another club's folder: ripeward " + c.name + " --club " + quoted(names[0])
		}
		return a.misused(fmt.Errorf("%s takes no names, but there is %q", c.name, names[0]), hint)
	}
	return c.run(a, names)
}

func find(name string) (command, bool) {
	for _, c := range commands() {
		if c.name == name {
			return c, true
		}
	}
	return command{}, false
}

func commandNames() []string {
	var names []string
	for _, c := range commands() {
		if !c.hidden {
			names = append(names, c.name)
		}
	}
	return names
}

func didYouMean(word string, candidates []string, otherwise string) string {
	if near := diag.Nearest(word, candidates); near != "" {
		return "did you mean " + near + "?"
	}
	return otherwise
}

// misused reports wrong use.
func (a *app) misused(err error, hint string) int {
	a.complain(err, hint)
	return usage
}

// failed reports an error and where it has one its hint.
func (a *app) failed(err error) int {
	if errors.Is(err, context.Canceled) {
		err = errors.New("stopped")
	}
	a.complain(err, "")
	return wrong
}

// complain prints each of joined errors on a line of its own.
func (a *app) complain(err error, hint string) {
	if joined, ok := err.(interface{ Unwrap() []error }); ok && strings.Contains(err.Error(), "\n") {
		for _, e := range joined.Unwrap() {
			a.complain(e, hint)
		}
		return
	}
	fmt.Fprintf(a.stderr, "ripeward: %s\n", err)
	var p diag.Problem
	var w *wrongUse
	if hint == "" && errors.As(err, &p) {
		hint = p.Hint
	}
	if errors.As(err, &w) && w.hint != "" {
		hint = w.hint
	}
	if hint != "" {
		fmt.Fprintf(a.stderr, "  hint: %s\n", hint)
	}
}

// note prints a remark on stderr, unless --quiet.
func (a *app) note(message, hint string) {
	if a.quiet {
		return
	}
	fmt.Fprintf(a.stderr, "ripeward: %s\n", message)
	if hint != "" {
		fmt.Fprintf(a.stderr, "  hint: %s\n", hint)
	}
}

// print writes a result.
func (a *app) print(text string) int {
	if _, err := io.WriteString(a.stdout, text); err != nil {
		return a.failed(err)
	}
	return done
}

func (a *app) version([]string) int {
	if a.format == "text" {
		return a.print("ripeward " + version + "\n")
	}
	t := tables.Table{Name: "version", Columns: []tables.Column{{Name: "program", Type: "string"}, {Name: "version", Type: "string"}}, Rows: [][]string{{"ripeward", version}}}
	if err := a.showTable(t); err != nil {
		return a.failed(err)
	}
	return done
}
