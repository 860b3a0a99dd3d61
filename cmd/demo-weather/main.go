// Command demo-weather draws the invented weather of the demonstration club
// and writes it as six station files, in the formats that publishers use. It
// is seeded: the same files come out every time, everywhere.
//
//	go run ./cmd/demo-weather -to data/stations
//
// The stations do not exist; neither does the region.
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"ripeward/build/day"
)

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

func run(args []string, stderr io.Writer) int {
	flags := flag.NewFlagSet("demo-weather", flag.ContinueOnError)
	flags.SetOutput(stderr)
	to := flags.String("to", "data/stations", "folder to write the station files into")
	if err := flags.Parse(args); err != nil || flags.NArg() > 0 {
		return 2
	}
	for _, f := range files() {
		data, err := f.packed()
		if err == nil {
			err = os.WriteFile(filepath.Join(*to, f.Name), data, 0o644)
		}
		if err != nil {
			fmt.Fprintln(stderr, "demo-weather:", err)
			return 1
		}
	}
	return 0
}

// file is one station file, not yet packed.
type file struct {
	Name string
	Text []byte
}

// packed returns the bytes on disk: a gzip file has no name and no time in
// its header, so that it depends on its text alone.
func (f file) packed() ([]byte, error) {
	if filepath.Ext(f.Name) != ".gz" {
		return f.Text, nil
	}
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(f.Text); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// files draws everything.
func files() []file {
	first, last := day.Of(firstYear, 1, 1), day.Of(lastYear, 12, 31)
	region := drawRegion(first, last)
	var out []file
	for i, s := range sites() {
		days := blemished(s, drawSite(s, i, region, first))
		out = append(out, file{s.File, s.Write(s, days)})
	}
	return out
}
