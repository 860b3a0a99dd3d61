// Command demo-reports draws the invented trees of the demonstration club and
// what their invented growers reported of them, from a hidden truth: how much
// heat each cultivar really needs, and how each garden differs. It is seeded:
// the same files come out every time, everywhere.
//
//	go run ./cmd/demo-reports                        writes data/trees.csv, data/reports/*.csv
//	go run ./cmd/demo-reports -truth > cmd/demo-reports/truth.csv
//
// The almanac sees the reports alone; truth.csv is here so that what it learns
// from them can be held against what there was to learn.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("demo-reports", flag.ContinueOnError)
	flags.SetOutput(stderr)
	from := flags.String("club", ".", "the demonstration club's folder: its tables and weather")
	to := flags.String("to", "data", "folder to write trees.csv and reports/ into")
	show := flags.Bool("truth", false, "print the hidden truth as CSV and write nothing")
	if err := flags.Parse(args); err != nil || flags.NArg() > 0 {
		return 2
	}
	w, err := newWorld(*from)
	if err == nil && *show {
		_, err = stdout.Write(w.truth.csv())
	} else if err == nil {
		err = write(w, *to)
	}
	if err != nil {
		fmt.Fprintln(stderr, "demo-reports:", err)
		return 1
	}
	return 0
}

func write(w *world, to string) error {
	files, err := w.files()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Join(to, "reports"), 0o755); err != nil {
		return err
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(to, filepath.FromSlash(f.name)), f.text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
