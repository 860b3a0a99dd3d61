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
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"ripeward/build/almanac"
	"ripeward/build/diag"
	"ripeward/build/tables"
	"ripeward/build/words"
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
	// Progress is told how far the work has come, from several goroutines; may
	// be nil.
	Progress func(diag.Step)
	// Kept is what the last rendering wrote, and afterwards what this one has
	// written; nil: nothing is taken over. Reuse puts files of the last site
	// into the new one, all of them or none.
	Kept  *Kept
	Reuse func([]KeptFile) bool
}

// Render writes all pages of the site through put, with slash paths relative
// to the site folder. put is called from several goroutines, once a path. The
// problems are those of the texts in the content folder, and notes on what was
// left out; with errors among them, the site must not be published.
func Render(b *almanac.Book, o Options, put func(path string, data []byte) error) (diag.Problems, error) {
	languages, err := loadLanguages(b)
	if err != nil {
		return nil, err
	}
	out := &output{put: put, seen: map[string]bool{}, sums: map[string][32]byte{}}
	var keep *keeping
	if o.Kept != nil {
		keep = &keeping{last: *o.Kept, reuse: o.Reuse, now: Kept{}}
	}
	files, problems, err := attached(o.Content)
	if err != nil {
		return nil, err
	}
	out.note(problems...)
	jobs := o.Jobs
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	downloads, err := keep.downloads(b, jobs, out)
	if err != nil {
		return nil, fmt.Errorf("downloads: %w", err)
	}
	var all []*rendering
	for _, l := range languages {
		r, err := newRendering(b, o, l, downloads, out)
		if err != nil {
			return nil, err
		}
		r.site.attached, r.keeping = attachmentsOf(files), keep
		all = append(all, r)
	}
	var g errgroup.Group
	g.SetLimit(jobs)
	var work []func() error
	for _, r := range all {
		for _, p := range r.jobs() {
			work = append(work, func() error { return r.run(p) })
		}
	}
	for _, f := range files {
		work = append(work, func() error { return out.attach(o.Content, f) })
	}
	var ready atomic.Int64
	for _, do := range work {
		g.Go(func() error {
			if o.Progress != nil {
				defer func() { o.Progress(diag.Step{What: "pages", Done: int(ready.Add(1)), Of: len(work)}) }()
			}
			return do()
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	if err := whole(all); err != nil {
		return nil, err
	}
	for i, l := range languages {
		out.note(untranslated(l)...)
		out.note(all[i].site.fallBacks()...)
	}
	if keep != nil {
		*o.Kept = keep.now
	}
	return out.problems.Sort(), nil
}

// newRendering prepares the pages in one language.
func newRendering(b *almanac.Book, o Options, l *words.Language, downloads []tables.Download, out *output) (*rendering, error) {
	s := newSite(b, o, l)
	s.downloads = downloads
	if err := s.prepare(); err != nil {
		return nil, err
	}
	files, err := s.contentFiles(o.Content, content.Files)
	if err != nil {
		return nil, err
	}
	out.note(s.findGuides(files)...)
	s.readCards()
	s.list = s.findable()
	s.assets.Names = s.assets.put("names.js", namesScript(s.list))
	r := &rendering{site: s, output: out, all: make(map[string]*oddsBy, len(b.Towns))}
	for i := range b.Towns {
		r.all[string(b.Towns[i].Row.ID)] = s.arrange(&b.Towns[i])
	}
	return r, nil
}

// prepare reads the templates and the assets.
func (s *site) prepare() error {
	var err error
	if s.assets, err = newAssets(s.Language, cardLabels(s.cardHeads())); err != nil {
		return err
	}
	if u, err := url.Parse(s.club.Settings.SiteURL); err == nil && s.club.Settings.SiteURL != "" {
		s.basePath = strings.TrimSuffix(u.Path, "/") + "/"
	}
	once := &repeats{}
	base := template.New("").Funcs(template.FuncMap{"whole": s.Whole, "same": once.same})
	for _, name := range []string{"base", "meta", "parts", "blocks", "figures"} {
		if err := s.parse(base, name); err != nil {
			return err
		}
	}
	once.parts = template.Must(base.Clone())
	s.templates = map[string]*template.Template{"blocks": base}
	for _, kind := range pageKinds {
		t := template.Must(base.Clone())
		if err := s.parse(t, kind); err != nil {
			return err
		}
		s.templates[kind] = t
	}
	return s.prepareAlone(base)
}

// pageKinds are the kinds of pages, a template each.
var pageKinds = []string{"home", "contribute", "zone", "town", "town-all", "cultivar", "cultivars", "grid", "grids", "guide", "guides", "methods", "quality", "downloads", "lost", "plans", "plan", "why",
	"so-far", "how-good", "year", "calendars", "sheet", "winter", "tents", "pots", "town-pots", "figlets", "garden", "offline", "search", "compare", "cultivar-sheet", "report", "roll-call", "changes"}

// parse adds a template's file in the page's language.
func (s *site) parse(t *template.Template, name string) error {
	src, err := templates.Files.ReadFile(name + ".html")
	if err != nil {
		return err
	}
	if _, err := t.New(name + ".html").Parse(s.Template(string(src))); err != nil {
		return fmt.Errorf("template %s in language %s: %w", name, s.Tag, err)
	}
	return nil
}

// rendering is the pages of one language.
type rendering struct {
	site *site
	all  map[string]*oddsBy
	*output
	keeping *keeping   // nil: all is rendered
	piece   *KeptPiece // what is being written, where it is kept
}

// output is what all languages write to.
type output struct {
	put func(path string, data []byte) error

	mu       sync.Mutex
	problems diag.Problems
	seen     map[string]bool
	sums     map[string][32]byte // SHA-256 of the files that a reader's device may keep
	pages    []string
}

// frame is what the base template needs; Body is the page's own model.
type frame struct {
	Lang        string
	Others      []otherLanguage
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
	Names       string   // the list of all names, fetched when it is wanted
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
	Report                  string
	News                    string // what is new since the last closed year
	Extra                   []link
}

// page renders one page and hands it over.
func (r *rendering) page(at, kind, title, description string, crumbs []link, body any) error {
	s := r.site
	root := rootOf(at)
	if kind == "lost" && s.basePath != "" {
		root = s.basePath // a host shows it at any address
	}
	p, top := paths{root}, s.top(root)
	f := frame{Lang: s.Tag, Title: title, Description: description, Root: root, Home: p.home(), Style: top + s.assets.Style, Icon: top + s.assets.Icon, Early: top + s.assets.Early, Main: top + s.assets.Main,
		Units: "metric", Club: s.clubName(), Notice: s.notice(), Kind: kind, Crumbs: crumbs, Body: body}
	if s.us {
		f.Units = "us"
	}
	if s.club.Settings.SiteURL != "" && kind != "lost" && kind != "offline" {
		f.Canonical = s.address(s.below + at)
	}
	if kind != "lost" && kind != "offline" {
		f.Others = s.others(at, root)
	}
	switch kind {
	case "plan":
		f.Scripts = []string{"sets.js", top + s.assets.Planner}
	case "pots":
		f.Scripts = []string{"reckon.js", top + s.assets.Pots}
	case "garden":
		f.Scripts = []string{"reckon.js", top + s.assets.Garden}
	case "figlets":
		f.Scripts = []string{top + s.assets.Figlets}
	}
	f.Scripts = append(s.assets.scripts(kind, top), f.Scripts...)
	switch kind {
	case "home", "search", "town", "town-all", "grid", "zone":
		f.Names = top + s.assets.Names
	}
	folder, _, _ := strings.Cut(at, "/")
	for _, n := range []struct{ text, folder string }{
		{s.Say("Towns"), ""}, {s.Say("Cultivars"), "cultivars/"}, {s.Say("Planner"), "plan/"}, {s.Say("Grid"), "grid/"}, {s.Say("Side by side"), "compare/"}, {s.Say("Guides"), "guides/"},
		{s.Say("Methods"), "methods/"}, {s.Say("Downloads"), "downloads/"}, {s.Say("Search|the page"), "search/"},
	} {
		item := navItem{link: link{n.text, p.page(n.folder)}, Here: n.folder != "" && folder+"/" == n.folder}
		if n.folder == "" {
			item.Href += "#towns"
			item.Here = folder == "towns" || folder == "zones"
		}
		f.Nav = append(f.Nav, item)
	}
	f.Foot = foot{CutOff: r.site.calendarDate(s.book.CutOff), Years: yearsWords(s.book.Span), Stations: s.stationYears(), Version: s.options.Version,
		Licence: s.club.Settings.DataLicence, Contact: s.club.Settings.Contact, Quality: p.page("data-quality/"), Methods: p.page("methods/"), Good: p.page("how-good/"), Report: p.page("report/"), News: p.page("changes/")}
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
		r.output.list(s.below + at)
		if r.piece != nil {
			r.piece.Pages = append(r.piece.Pages, s.below+at)
		}
	}
	return r.emit(at, buf.Bytes())
}

// emit hands over a file among the pages of the language.
func (r *rendering) emit(at string, data []byte) error {
	r.piece.wrote(r.site.below+at, data)
	return r.output.emit(r.site.below+at, data)
}

// list notes a page for the sitemap.
func (o *output) list(at ...string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.pages = append(o.pages, at...)
}

// takeOver counts the files of a piece that was put into the site as it was.
func (o *output) takeOver(p KeptPiece) error {
	o.list(p.Pages...)
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, f := range p.Files {
		if o.seen[f.Path] {
			return fmt.Errorf("two pages want to be %s", f.Path)
		}
		o.seen[f.Path] = true
		if keepable(f.Path) {
			o.sums[f.Path] = f.SHA256
		}
	}
	return nil
}

// asset hands over a file that languages may share: its name tells its bytes.
func (o *output) asset(at string, data []byte) error {
	o.mu.Lock()
	twice := o.seen[at]
	o.mu.Unlock()
	if twice {
		return nil
	}
	return o.emit(at, data)
}

func (o *output) emit(at string, data []byte) error {
	var sum [32]byte
	if keepable(at) {
		sum = sha256.Sum256(data)
	}
	o.mu.Lock()
	twice := o.seen[at]
	o.seen[at] = true
	if keepable(at) {
		o.sums[at] = sum
	}
	o.mu.Unlock()
	if twice {
		return fmt.Errorf("two pages want to be %s", at)
	}
	return o.put(at, data)
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
	return s.Say("%s, %d–%d", s.countDigits(len(s.book.Stations), "station"), lo, hi)
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
	return r.output.emit("sitemap.xml", buf.Bytes())
}
