package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"ripeward/build/begin"
	"ripeward/build/tables"
)

var beginCommand = command{
	name: "begin", args: "DIR", summary: "make a folder that a new club can start from",
	details: `Writes tables whose first lines explain their columns, an invented town with
thirty years of invented weather, a welcome and a guide in English and French,
copies of the built-in tables, papers for whoever keeps the site, and README.txt
with what to do next. The folder can be published at once; every page says that
it is invented. DIR must be empty or not there yet: nothing is ever written over.
`,
	examples: []string{
		"ripeward begin our-club                  a folder in English, French below",
		"ripeward begin --language fr notre-club  in French, English below",
	},
	flags: func(fs *flagSet, o *options) {
		fs.choice("language", &o.language, "the club's first language, of its tables and its site", begin.Languages...)
	},
	run: (*app).begin,
}

func (a *app) begin(names []string) int {
	if len(names) != 1 || names[0] == "" {
		return a.misused(fmt.Errorf("begin needs one folder, and there %s", are(len(names))), "ripeward begin DIR")
	}
	dir := names[0]
	files, err := begin.Write(dir, a.language)
	if err != nil {
		if len(files) > 0 {
			err = errors.Join(err, fmt.Errorf("%s of the new folder are there: delete %s before you try again", count(len(files), "file"), filepath.ToSlash(dir)))
		}
		return a.failed(err)
	}
	where := filepath.ToSlash(filepath.Clean(dir))
	if a.format != "text" {
		t := tables.Table{Name: "files", Columns: []tables.Column{{Name: "file", Type: "string"}}}
		for _, f := range files {
			t.Rows = append(t.Rows, []string{where + "/" + f})
		}
		if err := a.showTable(t); err != nil {
			return a.failed(err)
		}
		return done
	}
	if a.quiet {
		return done
	}
	return a.print(fmt.Sprintf(`%[1]s: %[2]s; town, weather, cultivars and reports in them are invented

What next:
  1. ripeward publish --club %[3]s --site %[4]s
     builds a site at once; open %[1]s/site/index.html
  2. put your own rows in the place of the invented ones: %[1]s/README.txt
     says in which order, and each table what its columns hold
  3. ripeward inspect --club %[3]s
     lists what is wrong, and what to try
  4. ripeward preview --club %[3]s
     shows the site in a browser while you edit
`, where, count(len(files), "file"), quoted(where), quoted(where+"/site")))
}

// quoted is a word as a shell reads it.
func quoted(word string) string {
	if !strings.ContainsAny(word, " \t'\"$&;()*?`\\") {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
