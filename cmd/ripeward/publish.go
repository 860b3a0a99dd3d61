package main

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"ripeward/build/almanac"
	"ripeward/build/cache"
	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/page"
	"ripeward/build/publish"
	"ripeward/build/tables"
)

var publishCommand = command{
	name: "publish", summary: "build the club's site",
	details: `Reads the club's folder, computes the almanac and puts the finished site in the
place of the old one in one step. With an error in a table nothing is written
and the old site stays.

With --close-year it then writes data/last-year.json into the club's folder:
what readers were told this year, so that next year can say what has moved.
Close once a year, when the plan for the coming season is right, and keep the
file with the tables.

What was computed is remembered in your own cache folder, so that the next
publish computes only what has changed. The folder can be deleted at any time.
`,
	exits: "0 published, 1 not published and the old site stays, 2 wrong use.",
	examples: []string{
		"ripeward publish                                  the club here, into site",
		"ripeward publish --club our-club --site public    another club and place",
		"ripeward publish --set-aside                      although rows are wrong",
		"ripeward publish --close-year                     once a year, when all is right",
	},
	flags: func(fs *flagSet, o *options) {
		fs.BoolVar(&o.setAside, "set-aside", false, "leave out table rows with errors, and list them on the site")
		fs.BoolVar(&o.rehash, "rehash", false, "read every file again, also those that look unchanged")
		fs.BoolVar(&o.closeYear, "close-year", false, "after publishing, write data/last-year.json: the baseline for next year")
	},
	run: (*app).publish,
}

func (a *app) publish([]string) int {
	began := time.Now()
	// A large club's book is most of what there is in memory: at Go's usual
	// pace the peak would be twice as high.
	defer debug.SetGCPercent(debug.SetGCPercent(50))
	c, problems, err := club.Load(a.club, club.Options{SetAside: a.setAside})
	if err != nil {
		return a.failed(err)
	}
	if n := problems.Count(diag.Error); n > 0 {
		a.tell(problems)
		stop := diag.Problem{Severity: diag.Error, Message: count(n, "error") + ", nothing is published; an old site stays as it is"}
		if a.private { // preview says what becomes of its site
			stop.Message = count(n, "error")
		} else if !a.setAside && allInRows(problems) {
			stop.Hint = "mend the rows, or publish without them: ripeward publish --set-aside"
		}
		return a.failed(stop)
	}
	site, err := publish.Open(a.site, publish.Options{Keep: c.Settings.Keep})
	if err != nil {
		return a.failed(err)
	}
	defer site.Abandon()

	store := a.memory()
	inputs, err := publish.HashInputs(a.club, c.Inputs, store.Hash)
	if err != nil {
		return a.failed(err)
	}
	last := lastPublish{}
	key, ground := a.publishKey(store), a.inputsSum(store, inputs)
	known := !a.rehash && store.Get(key, &last)
	if known && !a.closeYear && last.Inputs == ground && site.Holds(last.Seal) {
		a.tell(last.Problems)
		last.Done.Changed, last.Done.Removed, last.Done.Unchanged = 0, 0, last.Done.Files
		return a.published(last.Done, time.Since(began))
	}

	say, end := a.progress()
	book, err := almanac.Make(a.ctx, c, almanac.Options{Jobs: a.jobs, Progress: say, Cache: store})
	if err != nil {
		end()
		var none *almanac.NoRecord
		if errors.As(err, &none) {
			problems = append(problems, none.Problems...)
			err = located(a.club, diag.Problems{noRecord(c)})[0]
		}
		a.tell(problems)
		return a.failed(err)
	}
	var pages atomic.Int64
	sealed := last.Seal.ByPath()
	written, err := page.Render(book, page.Options{Content: a.content(), Problems: problems, Version: version, Jobs: a.jobs, Progress: say, Kept: &last.Kept,
		Reuse: func(files []page.KeptFile) bool {
			var outputs []publish.Output
			n := int64(0)
			for _, f := range files {
				outputs = append(outputs, publish.Output{Path: f.Path, Size: f.Size, SHA256: hex.EncodeToString(f.SHA256[:])})
				if strings.HasSuffix(f.Path, ".html") {
					n++
				}
			}
			if !site.Reuse(outputs, sealed) {
				return false
			}
			pages.Add(n)
			return true
		}},
		func(path string, data []byte) error {
			if err := a.ctx.Err(); err != nil {
				return err
			}
			if strings.HasSuffix(path, ".html") {
				pages.Add(1)
			}
			return site.Put(path, data)
		})
	end()
	problems = slices.Concat(problems, book.Problems, written, lag(book))
	a.tell(problems)
	if err != nil {
		return a.failed(err)
	}
	if n := written.Count(diag.Error); n > 0 {
		return a.failed(errors.New(count(n, "error") + " in the pages, nothing is published; an old site stays as it is"))
	}
	sum, err := site.Finish(publish.Manifest{Version: version, DataCutOff: book.CutOff.String(), Inputs: inputs})
	if err != nil {
		return a.failed(err)
	}
	told := published{len(book.Towns), len(book.Club.Cultivars), len(book.Reports), reportsUsed(book), int(pages.Load()), problems.Count(diag.Warning), sum}
	if seal, err := site.Seal(sum); err == nil {
		store.Put(key, lastPublish{ground, problems, told, seal, last.Kept})
	}
	if err := store.Close(); err != nil {
		a.note("what was computed is not remembered for the next time: "+err.Error(), "")
	}
	// The site stands; only now may the baseline say what it has told.
	if a.closeYear {
		if err := a.close(book); err != nil {
			return a.failed(err)
		}
	}
	return a.published(told, time.Since(began))
}

// lastPublish is a publish as it is remembered: if nothing has changed since,
// the next one says the same and does nothing.
type lastPublish struct {
	Inputs   cache.Sum // of the club
	Problems diag.Problems
	Done     published
	Seal     publish.Seal
	Kept     page.Kept // for the next one to take over
}

// memory opens the cache of the club. Without one everything is computed.
func (a *app) memory() *cache.Cache {
	dir, err := cache.Folder(a.club)
	if err == nil {
		var c *cache.Cache
		if c, err = cache.Open(dir, a.rehash); err == nil {
			return c
		}
	}
	a.note("nothing is remembered from one publish to the next: "+err.Error(), "")
	return nil
}

// publishKey stands for a site: the last publish into it is remembered.
func (a *app) publishKey(store *cache.Cache) *cache.Key {
	where, err := filepath.Abs(a.site)
	if err != nil {
		where = a.site
	}
	store.Spare("publish")
	what := "publish"
	if a.private {
		what = "preview"
	}
	return store.Key(what).Text(a.club).Text(where).Text(version)
}

// inputsSum hashes everything that a site is made from.
func (a *app) inputsSum(store *cache.Cache, inputs []publish.Input) cache.Sum {
	key := store.Key("inputs")
	for _, in := range inputs {
		key.Text(in.Path).Text(in.SHA256)
	}
	if a.setAside {
		key.Text("set aside")
	}
	return key.End()
}

// close writes the baseline of the year that was just published.
func (a *app) close(b *almanac.Book) error {
	y, err := page.CloseYear(b)
	if err != nil {
		return err
	}
	if err := y.Write(a.club); err != nil {
		var p diag.Problem
		if errors.As(err, &p) {
			p.Place.File = filepath.ToSlash(filepath.Join(a.club, p.Place.File))
			p.Message += "; the site is published, the year is not closed"
			return p
		}
		return err
	}
	a.note(fmt.Sprintf("closed %d: %s in %s", b.PlanYear, count(len(y.Calendar), "calendar event"), filepath.ToSlash(filepath.Join(a.club, club.LastYearFile))), "keep the file with the tables; what moves from now on is told on the site's page changes/")
	return nil
}

// allInRows tells whether every error stands in a row of a table, so that
// leaving out rows can help.
func allInRows(ps diag.Problems) bool {
	for _, p := range atLeast(diag.Error, ps) {
		if p.Place.Line < 2 || !strings.HasSuffix(p.Place.File, ".csv") {
			return false
		}
	}
	return true
}

// tell prints problems on stderr; with --quiet errors alone.
func (a *app) tell(ps diag.Problems) {
	least := diag.Note
	switch {
	case a.quiet:
		least = diag.Error
	case a.again:
		least = diag.Warning
	}
	list(a.stderr, atLeast(least, located(a.club, ps)))
}

// content is the club's own content folder, or nil.
func (a *app) content() fs.FS {
	dir := filepath.Join(a.club, "content")
	if fi, err := os.Stat(dir); err != nil || !fi.IsDir() {
		return nil
	}
	return os.DirFS(dir)
}

// published says what a publish did.
type published struct {
	Towns, Cultivars, Reports, Used, Pages, Warnings int
	publish.Summary
}

func (a *app) published(d published, took time.Duration) int {
	where := filepath.ToSlash(filepath.Clean(a.site))
	if a.format == "text" {
		if a.quiet {
			return done
		}
		did := fmt.Sprintf("%d changed, %d removed", d.Changed, d.Removed)
		if d.Changed+d.Removed == 0 {
			did = "all unchanged"
		}
		heard := ""
		if d.Reports > 0 {
			heard = fmt.Sprintf("; %s, %d used", count(d.Reports, "report"), d.Used)
		}
		if d.Reports > 0 && d.Used == 0 && !a.again {
			a.note("no report is used yet", "ripeward inspect --reports says why, and what would free each")
		}
		return a.print(fmt.Sprintf("%s, %s, %s%s; %s, %s; %s, %s: %s\n", count(d.Towns, "town"), count(d.Cultivars, "cultivar"),
			count(d.Pages, "page"), heard, count(d.Files, "file"), did, count(d.Warnings, "warning"), timeWords(took), where+"/index.html"))
	}
	t := tables.Table{Name: "published"}
	row := []string{}
	for _, f := range []struct {
		name string
		n    int
	}{{"towns", d.Towns}, {"cultivars", d.Cultivars}, {"reports", d.Reports}, {"reports_used", d.Used}, {"pages", d.Pages}, {"files", d.Files}, {"changed", d.Changed}, {"unchanged", d.Unchanged}, {"removed", d.Removed}, {"warnings", d.Warnings}} {
		t.Columns = append(t.Columns, tables.Column{Name: f.name, Type: "integer"})
		row = append(row, strconv.Itoa(f.n))
	}
	t.Columns = append(t.Columns, tables.Column{Name: "site", Type: "string"})
	t.Rows = [][]string{append(row, where)}
	if err := a.showTable(t); err != nil {
		return a.failed(err)
	}
	return done
}

// reportsUsed counts the reports that stand behind heat needs.
func reportsUsed(b *almanac.Book) int {
	n := 0
	for i := range b.Reports {
		if b.Reports[i].Verdict == almanac.ReportUsed {
			n++
		}
	}
	return n
}
