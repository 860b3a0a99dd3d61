package main

import (
	"errors"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/diag"
)

var inspectCommand = command{
	name: "inspect", summary: "list all problems of the club's tables and station files",
	details: `Each problem stands on a line, FILE:LINE:COLUMN: MESSAGE, with a hint below.
Station files are read once the tables have no errors. Warnings do not change
the exit status. Texts and pictures of content are looked at when pages are made
of them, by publish and preview.

With --reports the review sheet is printed instead: what became of each ripening
report, those that need a look with their row, the reason, and what would free
them. For a spreadsheet: --format csv, which has a row for every report.

With --roll-call a sheet to print is made for each grower, with every tree that
is still kept; --format csv gives the same as rows that are ready for
data/reports. Fill in outcome, seen_on and date_precision, take out the rows
that stayed blank, and set until_year in data/trees.csv for trees that are gone.

With --print the sheets go into FILE instead, one HTML file that a browser
prints on A4 or Letter, a new page for each grower. FILE must not lie in the
site's folder.

With --candidate a member's FILE is looked at as if it lay in the club, which is
left as it is: a table of reports, rows of cultivars.csv, or a daily station
file, plain or packed with gzip. Each row is told what would become of it, and
then which heat needs and which answers would change. Reports without a status
count as reviewed. The exit status is 1 where a row is refused.

The roll-call and the review sheet's rows bear growers' codes: they are for the
club's own use and do not belong on the site.
`,
	exits: "0 no errors, 1 errors, or problems in reading and writing, 2 wrong use.",
	examples: []string{
		"ripeward inspect                                  what is wrong, and where",
		"ripeward inspect --reports --format csv           every report and its fate",
		"ripeward inspect --roll-call --print sheets.html  a sheet a grower, for paper",
	},
	flags: func(fs *flagSet, o *options) {
		fs.BoolVar(&o.reports, "reports", false, "print the review sheet of the ripening reports")
		fs.BoolVar(&o.rollCall, "roll-call", false, "print a sheet for each grower that asks after every tree")
		fs.Func("print", "with --roll-call: write the sheets into a file to print, `FILE`", func(s string) error {
			if s == "" {
				return errors.New("is empty")
			}
			o.printTo = s
			return nil
		})
		fs.Func("candidate", "look at a member's file as if it lay in the club, `FILE`", func(s string) error {
			if s == "" {
				return errors.New("is empty")
			}
			o.candidate = s
			return nil
		})
		fs.whole("year", &o.year, "season that the roll-call asks about, `Y`; default: the plan year", 1600, 2400)
	},
	run: (*app).inspect,
}

func (a *app) inspect([]string) int {
	switch {
	case a.candidate != "" && (a.reports || a.rollCall):
		return a.misused(errors.New("--candidate and the club's own sheets are two things"), "ask for one at a time")
	case a.reports && a.rollCall:
		return a.misused(errors.New("--reports and --roll-call are two sheets"), "ask for one at a time")
	case a.year != 0 && !a.rollCall:
		return a.misused(errors.New("--year is for --roll-call"), "ripeward inspect --roll-call --year "+itoa(a.year))
	case a.printTo != "" && !a.rollCall:
		return a.misused(errors.New("--print is for --roll-call"), "ripeward inspect --roll-call --print "+a.printTo)
	case a.printTo != "" && a.format != "text":
		return a.misused(errors.New("--print writes sheets for paper, --format "+a.format+" writes rows"), "ask for one at a time")
	case a.candidate != "":
		return a.consider()
	case a.reports:
		return a.review()
	case a.rollCall:
		return a.callRoll()
	}
	c, problems, err := club.Load(a.club, club.Options{})
	if err != nil {
		return a.failed(err)
	}
	if problems.Count(diag.Error) == 0 {
		var none *almanac.NoRecord
		book, err := a.book(c)
		switch {
		case errors.As(err, &none):
			problems = append(append(problems, none.Problems...), noRecord(c))
		case err != nil:
			return a.failed(err)
		default:
			problems = append(append(problems, book.Problems...), lag(book)...)
		}
	}
	problems = located(a.club, problems)
	n := problems.Count(diag.Error)
	if a.quiet {
		problems = atLeast(diag.Error, problems)
	}
	if a.format == "text" {
		list(a.stdout, problems)
	} else if err := a.showTable(problemsTable(problems)); err != nil {
		return a.failed(err)
	}
	if len(problems) == 0 {
		a.note("no problems found", "")
	}
	if n > 0 {
		return wrong
	}
	return done
}

// noRecord is the problem of a club none of whose stations can be used. A file
// whose station is in no row, and a row without a file, are the usual reason.
func noRecord(c *club.Club) diag.Problem {
	var ids []string
	for _, s := range c.Stations {
		ids = append(ids, string(s.ID))
	}
	return diag.Problem{Place: diag.Place{File: "data/stations"}, Severity: diag.Error, Message: almanac.ErrNoRecord.Error(),
		Hint: "is a station_id of data/stations.csv (" + strings.Join(ids[:min(len(ids), 5)], ", ") + ") the one that stands in its file? For a plain table that is the file's name. ripeward season FILE says what is in a file"}
}

// book makes the book of a checked club, with progress on a terminal.
func (a *app) book(c *club.Club) (*almanac.Book, error) {
	say, end := a.progress()
	defer end()
	return almanac.Make(a.ctx, c, almanac.Options{Jobs: a.jobs, Progress: say, Unscored: true})
}

// checked loads a club whose tables have no errors. Otherwise it says so, and
// the exit status is the second result. Without needStations errors of the
// daily files do not matter.
func (a *app) checked(needStations bool) (*club.Club, int) {
	c, problems, err := club.Load(a.club, club.Options{})
	if err != nil {
		return nil, a.failed(err)
	}
	problems = slices.DeleteFunc(atLeast(diag.Error, problems), func(p diag.Problem) bool {
		return !needStations && (p.Place.File == "data/stations" || strings.HasPrefix(p.Place.File, "data/stations/"))
	})
	if len(problems) > 0 {
		list(a.stderr, located(a.club, problems))
		return nil, a.failed(diag.Problem{Severity: diag.Error, Message: count(len(problems), "error") + " in the club's folder", Hint: "mend them first; ripeward inspect lists warnings too"})
	}
	return c, done
}
