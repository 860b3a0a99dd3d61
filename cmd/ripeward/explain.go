package main

import (
	"errors"
	"fmt"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

var explainCommand = command{
	name: "explain", args: "TOWN CULTIVAR METHOD", summary: "follow one answer through the years, back to the readings",
	details: `Says how the odds of a cultivar in a town under a way of growing come about:
what the heat need rests on, the dates of the plan, and year by year when the
tree woke, leafed out and went out, what set it back, the heat of each month,
what ended the season with its reading (FILE:LINE), and the chance of ripe
fruit.

Town, cultivar and method are ids or names; names of several words stand in
quotation marks. With --year one season is told in sentences, also one that is
not among the reference years.
`,
	examples: []string{
		"ripeward explain ostermere hearthling pot-plain",
		"ripeward explain ostermere 'Little Hearth' pot-head-start --weeks 6 --year 2019",
	},
	flags: func(fs *flagSet, o *options) {
		fs.choice("part", &o.part, "part of the crop (breba, where a cultivar ripens brebas alone)", "main", "breba")
		fs.whole("weeks", &o.weeks, "weeks of head start, `N`; default: the method's own", 0, 52)
		fs.whole("year", &o.year, "tell this season alone, `Y`", 1600, 2400)
	},
	run: (*app).explain,
}

func (a *app) explain(names []string) int {
	if len(names) != 3 {
		return a.misused(fmt.Errorf("explain needs a town, a cultivar and a method, and there %s", are(len(names))),
			`ripeward explain TOWN CULTIVAR METHOD, names of several words in quotation marks`)
	}
	c, code := a.checked(true)
	if c == nil {
		return code
	}
	ask, err := a.asked(c, names)
	if err != nil {
		return a.misused(err, "")
	}
	say, end := a.progress()
	e, err := almanac.Explain(a.ctx, c, almanac.Options{Jobs: a.jobs, Progress: say}, ask)
	end()
	switch {
	case errors.Is(err, almanac.ErrUnknown):
		return a.misused(err, "")
	case err != nil:
		return a.failed(err)
	}
	t := newTold(a.club, c, e)
	switch {
	case a.format != "text":
		return a.toldTable(t)
	case a.year != 0:
		return a.print(t.season(a.year))
	}
	return a.print(t.text())
}

func (a *app) toldTable(t *told) int {
	if a.year != 0 && t.yearOf(a.year) == nil {
		a.note(t.noWeather(a.year), "")
	}
	if err := a.showTable(t.table(a.year)); err != nil {
		return a.failed(err)
	}
	return done
}

func are(n int) string {
	switch n {
	case 0:
		return "are none"
	case 1:
		return "is one name"
	}
	return "are " + itoa(n) + " names"
}

// asked turns names and flags into a question that the club's tables can
// answer.
func (a *app) asked(c *club.Club, names []string) (almanac.Ask, error) {
	q := almanac.Ask{Weeks: a.weeks, Year: a.year, Part: a.part}
	for _, x := range []struct {
		kind, word string
		rows       []called
		to         *string
	}{{"town", names[0], callTowns(c), &q.Town}, {"cultivar", names[1], callCultivars(c), &q.Cultivar}, {"method", names[2], callMethods(c), &q.Method}} {
		id, err := pick(x.kind, x.word, x.rows)
		if err != nil {
			return q, err
		}
		*x.to = id
	}
	cultivar, method := c.Cultivar(club.Text(q.Cultivar)), c.Method(club.Text(q.Method))
	parts := borne(cultivar)
	if q.Part == "" {
		q.Part = parts[len(parts)-1]
	} else if !slices.Contains(parts, q.Part) && !(q.Part == "main" && cultivar.Pollination == "san-pedro") {
		return q, &wrongUse{fmt.Sprintf("%s bears no %s by the cultivar table", cultivar.Name, partWords(q.Part)), "without --part its " + partWords(parts[0]) + " is explained"}
	}
	most := max(method.HeadStartMax.Or(0), method.HeadStartWeeks.Or(0))
	if method.Place == "ground" || method.Wake != "planned" {
		most = 0
	}
	switch {
	case a.weeks > 0 && most == 0:
		return q, &wrongUse{fmt.Sprintf("--weeks %d: %s takes no head start", a.weeks, q.Method), "leave --weeks out"}
	case a.weeks > most:
		return q, &wrongUse{fmt.Sprintf("--weeks %d: %s takes at most %d weeks", a.weeks, q.Method, most), fmt.Sprintf("--weeks %d", most)}
	}
	return q, nil
}
