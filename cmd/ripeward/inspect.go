package main

import (
	"errors"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/diag"
)

var inspectCommand = command{
	name: "inspect", summary: "list all problems of the club's tables and station files",
	details: `Each problem stands on a line, FILE:LINE:COLUMN: MESSAGE, with a hint below.
Station files are read once the tables have no errors. Warnings do not change
the exit status.
`,
	run: (*app).inspect,
}

func (a *app) inspect([]string) int {
	c, problems, err := club.Load(a.club, club.Options{})
	if err != nil {
		return a.failed(err)
	}
	if problems.Count(diag.Error) == 0 {
		say, end := a.progress()
		book, err := almanac.Make(a.ctx, c, almanac.Options{Jobs: a.jobs, Progress: say})
		end()
		switch {
		case errors.Is(err, almanac.ErrNoRecord):
			problems = append(problems, diag.Problem{Place: diag.Place{File: "data/stations"}, Severity: diag.Error, Message: err.Error()})
		case err != nil:
			return a.failed(err)
		default:
			problems = append(problems, book.Problems...)
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
