package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"ripeward/build/climate"
)

// options are the values of all flags.
type options struct {
	club, site, format string
	jobs               int
	quiet              bool

	setAside, closeYear, rehash bool // publish

	reports, rollCall bool   // inspect
	printTo           string // a file; inspect --roll-call
	candidate         string // a file; inspect

	part  string // explain
	weeks int    // explain; -1: the method's own

	year int // inspect, explain; 0: not asked for

	table, degreeDays string // season
	years             *climate.Span
	heat              climate.HeatOptions
	latitude          *float64
	listNames         bool

	language string // begin
	port     int    // preview
	private  bool   // preview, in a folder of its own
	again    bool   // preview, not the first build: notes were told

	askedHelp, askedVersion bool
}

func defaults() options {
	return options{club: ".", site: "site", format: "text", table: "seasons", degreeDays: "sine", heat: climate.DefaultHeat(), weeks: -1, language: "en", port: 8100}
}

// flagSet is a standard flag set that allows flags after names and says what
// is wrong in the house's words.
type flagSet struct {
	*flag.FlagSet
	command string
	own     []string          // names of the command's own flags
	choices map[string]string // what stands for the value in help
}

func newFlagSet(c *command, o *options) *flagSet {
	fs := &flagSet{FlagSet: flag.NewFlagSet("ripeward", flag.ContinueOnError), choices: map[string]string{}}
	fs.SetOutput(io.Discard)
	if c != nil {
		fs.command = c.name
		if c.flags != nil {
			c.flags(fs, o)
		}
		fs.VisitAll(func(f *flag.Flag) { fs.own = append(fs.own, f.Name) })
	} else {
		fs.BoolVar(&o.askedVersion, "version", false, "print the version")
	}
	fs.text("club", &o.club, "the club's folder, `DIR`")
	fs.text("site", &o.site, "the folder that the site is written to, `DIR`")
	fs.Func("jobs", "how many things to do at a time, `N`; default: one per processor", func(s string) error {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 || n > 1024 {
			return errors.New("is not a whole number from 1 to 1024")
		}
		o.jobs = n
		return nil
	})
	fs.choice("format", &o.format, "how results are printed", "text", "csv", "json")
	// The values so far are the defaults: they may come from before the command.
	fs.BoolVar(&o.quiet, "quiet", o.quiet, "print results and errors only")
	fs.BoolVar(&o.askedHelp, "help", o.askedHelp, "say how to use the command")
	fs.BoolVar(&o.askedHelp, "h", o.askedHelp, "")
	return fs
}

func (fs *flagSet) text(name string, to *string, what string) {
	fs.Func(name, what+"; default "+*to, func(s string) error {
		if s == "" {
			return errors.New("is empty")
		}
		*to = s
		return nil
	})
}

func (fs *flagSet) choice(name string, to *string, what string, of ...string) {
	fs.choices[name] = strings.Join(of, "|")
	fs.Func(name, what+"; default "+of[0], func(s string) error {
		if !slices.Contains(of, s) {
			return &wrongUse{"is none of " + strings.Join(of, ", "), didYouMean(s, of, "")}
		}
		*to = s
		return nil
	})
}

// number is a flag with a number from low to high, both finite.
func (fs *flagSet) number(name, what string, low, high float64, set func(float64)) {
	fs.Func(name, what, func(s string) error {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || math.IsNaN(v) || v < low || v > high || strings.ContainsAny(s, "_xXpP") {
			return fmt.Errorf("is not a number from %g to %g", low, high)
		}
		set(v)
		return nil
	})
}

// whole is a flag with a whole number from low to high.
func (fs *flagSet) whole(name string, to *int, what string, low, high int) {
	fs.Func(name, what, func(s string) error {
		v, err := strconv.Atoi(s)
		if err != nil || v < low || v > high {
			return fmt.Errorf("is not a whole number from %d to %d", low, high)
		}
		*to = v
		return nil
	})
}

// wrongUse is a misuse with a hint.
type wrongUse struct{ message, hint string }

func (w *wrongUse) Error() string { return w.message }

func isFlag(arg string) bool { return len(arg) > 1 && arg[0] == '-' }

// parse takes the flags out of args and returns the names between them. After
// "--" everything is a name.
func (fs *flagSet) parse(args []string) (names []string, err error) {
	for i := 0; i < len(args); i++ {
		if args[i] == "--" {
			return append(names, args[i+1:]...), nil
		}
		if !isFlag(args[i]) {
			names = append(names, args[i])
			continue
		}
		used, err := fs.take(args[i:])
		if err != nil {
			return nil, err
		}
		i += used - 1
	}
	return names, nil
}

// take sets the flag at the head of args and returns how many args it used.
func (fs *flagSet) take(args []string) (used int, err error) {
	name, value, hasValue := strings.Cut(strings.TrimPrefix(args[0][1:], "-"), "=")
	f := fs.Lookup(name)
	if f == nil {
		var known []string
		fs.VisitAll(func(f *flag.Flag) { known = append(known, "--"+f.Name) })
		otherwise := "ripeward help lists the flags for all commands; others come after the command"
		if fs.command != "" {
			otherwise = "ripeward help " + fs.command + " lists its flags"
		}
		return 0, &wrongUse{fmt.Sprintf("unknown flag --%s", name), didYouMean("--"+name, known, otherwise)}
	}
	used = 1
	if b, ok := f.Value.(interface{ IsBoolFlag() bool }); ok && b.IsBoolFlag() {
		if !hasValue {
			value = "true"
		}
		if err := f.Value.Set(value); err != nil {
			return 0, &wrongUse{fmt.Sprintf("--%s %q is neither true nor false", name, value), "give --" + name + " alone"}
		}
		return used, nil
	}
	if !hasValue {
		if len(args) < 2 {
			value, _ := fs.usageOf(f)
			return 0, &wrongUse{fmt.Sprintf("--%s needs a value", name), "--" + name + " " + value}
		}
		value, used = args[1], 2
	}
	if err := f.Value.Set(value); err != nil {
		hint := ""
		var w *wrongUse
		if errors.As(err, &w) {
			hint = w.hint
		}
		return 0, &wrongUse{fmt.Sprintf("--%s %q %s", name, value, err), hint}
	}
	return used, nil
}

// usageOf returns what stands for a flag's value in help, and what it does.
func (fs *flagSet) usageOf(f *flag.Flag) (value, words string) {
	value, _ = flag.UnquoteUsage(f)
	words = f.Usage
	if i := strings.IndexByte(words, '`'); i >= 0 {
		before, rest := strings.TrimSuffix(words[:i], ", "), words[i+1:]
		_, after, _ := strings.Cut(rest, "`")
		words = before + after
	}
	if c, ok := fs.choices[f.Name]; ok {
		value = c
	}
	return value, words
}
