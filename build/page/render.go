// Package page turns the book of answers into the site: page models, words,
// charts with their tables, downloads. It knows nothing of how figures are
// computed; every number it prints is in the book already, and it only
// changes units on the way out.
package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"html/template"
	"io/fs"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"ripeward/build/almanac"
	"ripeward/build/diag"
	"ripeward/content"
	"ripeward/templates"
)

// Options are what a rendering needs beside the book.
type Options struct {
	// Content is the club's content folder, or nil. It overlays the embedded
	// default file by file.
	Content fs.FS
	// Problems are what reading the club had to say; they are listed on the
	// page about data quality.
	Problems diag.Problems
	Version  string // of the program, printed on every page's foot
	Jobs     int    // pages rendered at a time; 0 means one per processor
	// Changed are the towns that the feed tells of.
	Changed []TownChange
}

// Render writes all pages of the site through put, with slash paths relative
// to the site folder. put is called from several goroutines, once a path. The
// problems are those of the texts in the content folder, and notes on what was
// left out; with errors among them, the site must not be published.
func Render(b *almanac.Book, o Options, put func(path string, data []byte) error) (diag.Problems, error) {
	s := newSite(b, o)
	if err := s.prepare(); err != nil {
		return nil, err
	}
	files, err := contentFiles(o.Content, content.Files)
	if err != nil {
		return nil, err
	}
	problems := s.findGuides(files)
	s.readCards()
	s.list = s.findable()
	s.assets.Names = s.assets.put("names.js", namesScript(s.list))
	s.downloads, err = Downloads(b)
	if err != nil {
		return nil, fmt.Errorf("downloads: %w", err)
	}

	r := &rendering{site: s, put: put, problems: problems, all: make(map[string]*oddsBy, len(b.Towns)), seen: map[string]bool{}, sums: map[string][32]byte{}}
	for i := range b.Towns {
		r.all[string(b.Towns[i].Row.ID)] = s.arrange(&b.Towns[i])
	}
	jobs := o.Jobs
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	var g errgroup.Group
	g.SetLimit(jobs)
	for _, work := range r.jobs() {
		g.Go(work)
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	if err := r.sitemap(); err != nil {
		return nil, err
	}
	if err := r.whole(); err != nil {
		return nil, err
	}
	return r.problems.Sort(), nil
}

// prepare reads the templates and the assets.
func (s *site) prepare() error {
	var err error
	if s.assets, err = newAssets(cardLabels(s.cardHeads())); err != nil {
		return err
	}
	if u, err := url.Parse(s.club.Settings.SiteURL); err == nil && s.club.Settings.SiteURL != "" {
		s.basePath = strings.TrimSuffix(u.Path, "/") + "/"
	}
	base, err := template.New("").ParseFS(templates.Files, "base.html", "meta.html", "parts.html", "blocks.html", "figures.html")
	if err != nil {
		return err
	}
	s.templates = map[string]*template.Template{"blocks": base}
	for _, kind := range []string{"home", "zone", "town", "town-all", "cultivar", "cultivars", "grid", "grids", "guide", "guides", "methods", "quality", "downloads", "lost", "plans", "plan", "why", "so-far", "how-good", "year", "calendars", "sheet", "winter", "tents", "pots", "town-pots", "figlets", "offline", "search", "compare"} {
		t, err := template.Must(base.Clone()).ParseFS(templates.Files, kind+".html")
		if err != nil {
			return err
		}
		s.templates[kind] = t
	}
	return nil
}

// rendering is one run.
type rendering struct {
	site *site
	put  func(path string, data []byte) error
	all  map[string]*oddsBy

	mu       sync.Mutex
	problems diag.Problems
	seen     map[string]bool
	sums     map[string][32]byte // SHA-256 of the files that a reader's device may keep
	pages    []string
}

// frame is what the base template needs; Body is the page's own model.
type frame struct {
	Lang        string
	Title       string
	Description string
	Root        string
	Home        string
	Canonical   string
	Meta        *headMeta
	Style       string
	Icon        string
	Early, Main string
	Scripts     []string // of this page alone
	Units       string   // metric or us: the club's own
	Club        string
	Notice      string
	Nav         []navItem
	Foot        foot
	Kind        string
	Crumbs      []link
	Body        any
}

type navItem struct {
	link
	Here bool
}

// foot is what stands at the end of every page.
type foot struct {
	CutOff, Years, Stations string
	Version                 string
	Licence, Contact        string
	Quality, Methods, Good  string
	Extra                   []link
}

// page renders one page and hands it over.
func (r *rendering) page(at, kind, title, description string, crumbs []link, body any) error {
	s := r.site
	root := rootOf(at)
	if kind == "lost" && s.basePath != "" {
		root = s.basePath // a host shows it at any address
	}
	p := paths{root}
	f := frame{Lang: "en", Title: title, Description: description, Root: root, Home: p.home(), Style: root + s.assets.Style, Icon: root + s.assets.Icon, Early: root + s.assets.Early, Main: root + s.assets.Main,
		Units: "metric", Club: s.club.Settings.Name, Notice: s.club.Settings.Notice, Kind: kind, Crumbs: crumbs, Body: body}
	if s.us {
		f.Units = "us"
	}
	if s.club.Settings.SiteURL != "" && kind != "lost" && kind != "offline" {
		f.Canonical = s.address(at)
	}
	switch kind {
	case "plan":
		f.Scripts = []string{"sets.js", root + s.assets.Planner}
	case "pots":
		f.Scripts = []string{"reckon.js", root + s.assets.Pots}
	case "figlets":
		f.Scripts = []string{root + s.assets.Figlets}
	}
	f.Scripts = append(s.assets.scripts(kind, root), f.Scripts...)
	top, _, _ := strings.Cut(at, "/")
	for _, n := range []struct{ text, folder string }{
		{"Towns", ""}, {"Cultivars", "cultivars/"}, {"Planner", "plan/"}, {"Grid", "grid/"}, {"Side by side", "compare/"}, {"Guides", "guides/"}, {"Methods", "methods/"}, {"Downloads", "downloads/"}, {"Search", "search/"},
	} {
		item := navItem{link: link{n.text, p.page(n.folder)}, Here: n.folder != "" && top+"/" == n.folder}
		if n.folder == "" {
			item.Href += "#towns"
			item.Here = top == "towns" || top == "zones"
		}
		f.Nav = append(f.Nav, item)
	}
	f.Foot = foot{CutOff: calendarDate(s.book.CutOff), Years: yearsWords(s.book.Span), Stations: s.stationYears(), Version: s.options.Version,
		Licence: s.club.Settings.DataLicence, Contact: s.club.Settings.Contact, Quality: p.page("data-quality/"), Methods: p.page("methods/"), Good: p.page("how-good/")}
	for _, g := range s.extra {
		f.Foot.Extra = append(f.Foot.Extra, link{g.Page.Card.Title, p.root + g.Path})
	}
	var err error
	if f.Meta, err = s.head(at, f); err != nil {
		return fmt.Errorf("page %s: %w", at, err)
	}
	var buf bytes.Buffer
	if err := s.templates[kind].ExecuteTemplate(&buf, "base", f); err != nil {
		return fmt.Errorf("page %s: %w", at, err)
	}
	if kind != "lost" && kind != "offline" {
		r.mu.Lock()
		r.pages = append(r.pages, at)
		r.mu.Unlock()
	}
	return r.emit(at, buf.Bytes())
}

func (r *rendering) emit(at string, data []byte) error {
	var sum [32]byte
	if keepable(at) {
		sum = sha256.Sum256(data)
	}
	r.mu.Lock()
	twice := r.seen[at]
	r.seen[at] = true
	if keepable(at) {
		r.sums[at] = sum
	}
	r.mu.Unlock()
	if twice {
		return fmt.Errorf("two pages want to be %s", at)
	}
	return r.put(at, data)
}

// stationYears says how far the records of the towns' stations reach.
func (s *site) stationYears() string {
	lo, hi := 0, 0
	for i := range s.book.Stations {
		a, b := s.book.Stations[i].First.Year(), s.book.Stations[i].Last.Year()
		if lo == 0 || a < lo {
			lo = a
		}
		hi = max(hi, b)
	}
	if lo == 0 {
		return ""
	}
	return fmt.Sprintf("%s, %d–%d", countDigits(len(s.book.Stations), "station"), lo, hi)
}

// address is the public address of a page, in its folder form.
func (s *site) address(at string) string {
	return strings.TrimSuffix(s.club.Settings.SiteURL, "/") + "/" + strings.TrimSuffix(at, "index.html")
}

// sitemap lists all pages when the site's address is known (sitemaps.org
// protocol 0.9); lastmod is the data cut-off, never the clock.
func (r *rendering) sitemap() error {
	s := r.site
	if s.club.Settings.SiteURL == "" {
		return nil
	}
	slices.Sort(r.pages)
	var buf bytes.Buffer
	buf.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n" + `<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9"` + s.sitemapSpace() + ">\n")
	for _, at := range r.pages {
		fmt.Fprintf(&buf, "<url><loc>%s</loc><lastmod>%s</lastmod>%s</url>\n", template.HTMLEscapeString(s.address(at)), s.book.CutOff, s.sitemapLinks(at))
	}
	buf.WriteString("</urlset>\n")
	return r.emit("sitemap.xml", buf.Bytes())
}
