package page

import (
	"html/template"
	"maps"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/tables"
)

// jobs lists the work of a rendering; each piece writes one page or a few.
func (r *rendering) jobs() []piece {
	s := r.site
	g := s.groundsOf()
	home := link{s.Say("Home"), "index.html"}
	up := func(n int) link {
		return link{home.Text, paths{rootOf(slashes(n))}.home()}
	}
	var jobs []piece
	always := func(do func(*rendering) error) { jobs = append(jobs, piece{do: do}) }
	always((*rendering).home)
	always(func(r *rendering) error {
		return r.page("cultivars/index.html", "cultivars", s.Say("Cultivars"), s.Say("All cultivars of the almanac with their class, hardiness and where they ripen."),
			[]link{up(1)}, s.cultivarIndex(paths{"../"}, r.all))
	})
	always(func(r *rendering) error {
		return r.page("grid/index.html", "grids", s.Say("Grids"), s.Say("Towns against cultivars, by zone and way of growing."), []link{up(1)}, s.gridIndex())
	})
	always(func(r *rendering) error {
		return r.page("guides/index.html", "guides", s.Say("Guides"), s.Say("How to choose, wake, pot, feed, protect and store tender fruit."), []link{up(1)}, s.guideLines(paths{"../"}))
	})
	always(func(r *rendering) error {
		return r.page("methods/index.html", "methods", s.Say("Methods and sources"), s.Say("How every figure of the almanac is defined and computed, with its source."), []link{up(1)}, s.methodsPage())
	})
	always(func(r *rendering) error {
		return r.page("data-quality/index.html", "quality", s.Say("Data quality"), s.Say("Stations, gaps, values set aside, and which town rests on which station."), []link{up(1)}, s.qualityPage())
	})
	always(func(r *rendering) error {
		m, err := s.howGoodPage()
		if err != nil {
			return err
		}
		return r.page("how-good/index.html", "how-good", s.Say("How good is the almanac?"), m.Lead, []link{up(1)}, m)
	})
	always(func(r *rendering) error {
		return r.page("plan/index.html", "plans", s.Say("What would it take?"), s.Say("Choose a town: what it would take to ripen each cultivar there."), []link{up(1)}, s.planIndex())
	})
	always(func(r *rendering) error {
		return r.page("downloads/index.html", "downloads", s.Say("Downloads"), s.Say("All figures of the almanac as CSV tables."), []link{up(1)}, s.downloadsPage())
	})
	always(func(r *rendering) error {
		return r.page("calendar/index.html", "calendars", s.Say("Calendars"), s.Say("The year’s jobs as calendar files, by town and way of growing."), []link{up(1)}, s.calendarList())
	})
	always(func(r *rendering) error {
		m := s.changesPage()
		return r.page("changes/index.html", "changes", s.Say("What is new"), m.Lead, []link{up(1)}, m)
	})
	for _, do := range []func(*rendering) error{(*rendering).searching, (*rendering).comparing, (*rendering).reporting, (*rendering).files} {
		always(do)
	}
	if s.hasPots() {
		always((*rendering).pots)
	}
	for i := range s.club.Zones {
		z := &s.club.Zones[i]
		name := s.in(z.Row, "name", z.Name)
		restsOn := g.of(s.townsIn(string(z.ID))...)
		jobs = append(jobs, piece{"zone " + string(z.ID), restsOn, func(r *rendering) error {
			return r.page("zones/"+string(z.ID)+"/index.html", "zone", name, s.Say("The towns of %s compared: season, heat, winter, and what ripens.|a zone", name),
				[]link{up(2)}, s.zonePage(z, r.all))
		}})
		for j := range s.club.Methods {
			m := &s.club.Methods[j]
			jobs = append(jobs, piece{"grid " + string(z.ID) + " " + string(m.ID), restsOn, func(r *rendering) error { return r.grid(m, z) }})
		}
	}
	for i := range s.book.Towns {
		t := &s.book.Towns[i]
		restsOn := g.of(t)
		for _, x := range []struct {
			name string
			do   func(*rendering, *almanac.Town) error
		}{{"town", (*rendering).town}, {"plan", (*rendering).plan}, {"odds", (*rendering).aboutOdds}, {"year", (*rendering).year}, {"rest", (*rendering).restOfYear}, {"garden", (*rendering).garden}} {
			jobs = append(jobs, piece{x.name + " " + string(t.Row.ID), restsOn, func(r *rendering) error { return x.do(r, t) }})
		}
	}
	everywhere := g.of(pointers(s.book.Towns)...)
	for i := range s.club.Cultivars {
		c := &s.club.Cultivars[i]
		jobs = append(jobs, piece{"cultivar " + string(c.ID), everywhere, func(r *rendering) error {
			return r.cultivar(c, []link{up(2), {s.Say("Cultivars"), "../index.html"}})
		}})
	}
	for i := range s.guides {
		g := &s.guides[i]
		always(func(r *rendering) error { return r.guide(g, []link{up(2), {s.Say("Guides"), "../index.html"}}) })
	}
	for i := range s.extra {
		g := &s.extra[i]
		always(func(r *rendering) error { return r.guide(g, []link{up(1)}) })
	}
	return jobs
}

func pointers[T any](list []T) []*T {
	out := make([]*T, len(list))
	for i := range list {
		out[i] = &list[i]
	}
	return out
}

func slashes(n int) string {
	out := ""
	for range n {
		out += "x/"
	}
	return out
}

func (r *rendering) home() error {
	s := r.site
	m := s.homePage(r.all)
	var err error
	if m.Map, err = s.whereMap(paths{""}); err != nil {
		return err
	}
	if s.home != nil {
		page, problems := s.write(s.home)
		r.note(problems...)
		m.Welcome, m.WelcomeLang = page.Body, s.unless(s.home.Lang)
	}
	description := s.tagline()
	if description == "" {
		description = s.Say("Season lengths and ripening odds, town by town and cultivar by cultivar.")
	}
	return r.page("index.html", "home", s.clubName(), description, nil, m)
}

func (r *rendering) town(t *almanac.Town) error {
	s := r.site
	id := string(t.Row.ID)
	by := r.all[id]
	m, err := s.townPage(t, by)
	if err != nil {
		return err
	}
	crumbs := []link{{s.Say("Home"), "../../index.html"}}
	if m.Zone.Text != "" {
		crumbs = append(crumbs, m.Zone)
	}
	if err := r.page("towns/"+id+"/index.html", "town", m.Name, m.Lead, crumbs, m); err != nil {
		return err
	}
	if err := r.oneFile(t, m); err != nil {
		return err
	}
	all := s.townAllPage(t, by)
	up := []link{{s.Say("Home"), "../../../index.html"}, {m.Name, "../index.html"}}
	return r.page("towns/"+id+"/all/index.html", "town-all", s.Say("%s, every method|a town", m.Name), s.Say("Odds in %s for every cultivar and every way of growing, with dates and effort.|a town", m.Name), up, all)
}

// plan writes a town's planner and the data of its script.
func (r *rendering) plan(t *almanac.Town) error {
	s := r.site
	id := string(t.Row.ID)
	m, err := s.planPage(t, r.all[id])
	if err != nil {
		return err
	}
	data, err := s.setsFile(t)
	if err != nil {
		return err
	}
	if err := r.emit("plan/"+id+"/sets.js", data); err != nil {
		return err
	}
	up := []link{{s.Say("Home"), "../../index.html"}, {s.Say("Planner"), "../index.html"}, {m.Name, m.Town}}
	return r.page("plan/"+id+"/index.html", "plan", s.Say("%s: what would it take?|a town", m.Name), m.Lead, up, m)
}

// aboutOdds writes the pages that say why a town's odds are what they are, and
// how the season stands, where there is something to say.
func (r *rendering) aboutOdds(t *almanac.Town) error {
	s := r.site
	id, name := string(t.Row.ID), s.townName(t)
	up := []link{{s.Say("Home"), "../../../index.html"}, {name, "../index.html"}}
	if len(t.Why) > 0 {
		if err := r.page("towns/"+id+"/why/index.html", "why", s.Say("%s: why these odds?|a town", name), s.Say("The top answers for %s, followed year by year back to the readings.|a town", name), up, s.whyPage(t)); err != nil {
			return err
		}
	}
	if t.SoFar == nil {
		return nil
	}
	m, err := s.soFarPage(t)
	if err != nil {
		return err
	}
	return r.page("towns/"+id+"/this-season/index.html", "so-far", s.Say("%s: this season so far|a town", name), m.First, up, m)
}

func (r *rendering) grid(m *club.Method, z *club.Zone) error {
	s := r.site
	for at, g := range s.gridPages(m, z, r.all) {
		p := paths{rootOf(at)}
		if err := r.page(at, "grid", s.Say("%s, %s|way of growing, zone", g.Method, g.Zone), s.Say("Years in ten in which each cultivar ripens in the towns of %s %s.|zone, way of growing", g.Zone, g.Phrase),
			[]link{{s.Say("Home"), p.home()}, {s.Say("Grid"), p.page("grid/")}}, g); err != nil {
			return err
		}
	}
	return nil
}

// guidePage is the model of a Markdown page.
type guidePage struct {
	Title, Summary string
	Lang           string // of the text, where it is not the page's
	Body           template.HTML
	Contents       []link
}

func (r *rendering) guide(g *guide, crumbs []link) error {
	page, problems := r.site.write(g)
	r.note(problems...)
	m := &guidePage{Title: page.Card.Title, Summary: page.Card.Summary, Lang: r.site.unless(g.Lang), Body: page.Body}
	for _, h := range page.Headings {
		if h.Level == 2 {
			m.Contents = append(m.Contents, link{h.Text, "#" + h.ID})
		}
	}
	if len(m.Contents) < 3 {
		m.Contents = nil
	}
	return r.page(g.Path, "guide", m.Title, m.Summary, crumbs, m)
}

// note keeps the problems of a text.
func (o *output) note(problems ...diag.Problem) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.problems = append(o.problems, problems...)
}

// downloadsPage lists the files of the downloads folder.
type downloadRow struct {
	Name, Title, Description string
	Href                     string
	Rows                     string
	Size                     string
}

func (s *site) downloadsPage() []downloadRow {
	var out []downloadRow
	for _, d := range s.downloads {
		row := downloadRow{Name: d.Name, Title: s.downloadTitle(&d), Description: upperFirst(s.Say(d.Description)), Href: s.top("../") + "downloads/" + d.Name, Rows: "–", Size: s.sizeWords(d.Size)}
		if d.Rows > 0 {
			row.Rows = s.Whole(d.Rows)
		}
		out = append(out, row)
	}
	return out
}

// downloadTitle is what a file is called in the page's language.
func (s *site) downloadTitle(d *tables.Download) string {
	if t := s.towns[d.Town]; t != nil {
		return s.Say(d.Said, s.townName(t))
	}
	return s.Say(d.Said)
}

// sizeWords prints a size in kB of 1,000 bytes.
func (s *site) sizeWords(n int) string {
	switch {
	case n < 1000:
		return s.countDigits(n, "byte")
	case n < 1000000:
		return s.Say("%s\u00a0kB", s.Trimmed(float64(n)/1000, 0))
	}
	return s.Say("%s\u00a0MB", s.Trimmed(float64(n)/1e6, 1))
}

// files writes the assets.
func (r *rendering) files() error {
	for _, at := range slices.Sorted(maps.Keys(r.site.assets.files)) {
		if err := r.asset(at, r.site.assets.files[at]); err != nil {
			return err
		}
	}
	return nil
}
