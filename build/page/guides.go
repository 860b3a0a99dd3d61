package page

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/prose"
)

type heading = prose.Heading

// guide is a Markdown page of the club, or of the default content.
type guide struct {
	Name string // folder of the page: guides/NAME/, or NAME/ for an extra page
	File string // "content/guides/choosing.md", for messages
	Path string // "guides/choosing/index.html"
	Page prose.Page
	Key  string // "guides/choosing.md": its path in the content of any language
	Lang string // of the text
	src  []byte
}

// contentFiles lists the Markdown files of both content trees in the page's
// language, by their path. What the club wrote in its first language stands at
// the top of its folder, translations below their language's code; of the
// default texts the English ones do. A club's own text goes before a default
// one, also where it is in another language only: it may say what the default
// does not.
func (s *site) contentFiles(own, standard fs.FS) (map[string]contentFile, error) {
	files := map[string]contentFile{}
	for _, tree := range []struct {
		fs    fs.FS
		first string // language at the top
		name  string
	}{{standard, "en", ""}, {own, s.written[0], "content/"}} {
		if tree.fs == nil {
			continue
		}
		for _, dir := range []string{"", s.Tag + "/"} {
			lang := s.Tag
			if dir == "" {
				lang = tree.first
			}
			if err := readContent(tree.fs, dir, lang, files); err != nil {
				return nil, fmt.Errorf("reading the content folder: %w", err)
			}
		}
	}
	return files, nil
}

// contentFile is a Markdown file with its language and its place in the
// content folder.
type contentFile struct {
	src        []byte
	lang, file string
}

// readContent adds the Markdown files below a folder of a content tree. What
// lies in webmaster is for whoever builds the site, and is no page.
func readContent(tree fs.FS, dir, lang string, into map[string]contentFile) error {
	start := strings.TrimSuffix(dir, "/")
	if start == "" {
		start = "."
	}
	return fs.WalkDir(tree, start, func(p string, e fs.DirEntry, err error) error {
		if err != nil {
			if errors.Is(err, fs.ErrNotExist) && p == start {
				return nil // no content folder, or none of this language
			}
			return err
		}
		name := strings.TrimPrefix(p, dir)
		if e.IsDir() {
			if dir == "" && slices.Contains(club.Languages, p) {
				return fs.SkipDir
			}
			return nil
		}
		if path.Ext(p) != ".md" || strings.HasPrefix(path.Base(p), ".") || strings.HasPrefix(name, "files/") || strings.HasPrefix(name, "webmaster/") {
			return nil
		}
		// Loading the club has said what stands in place of a file already.
		if info, err := fs.Stat(tree, p); err != nil || !info.Mode().IsRegular() {
			return err
		}
		src, err := fs.ReadFile(tree, p)
		if err != nil {
			return err
		}
		into[name] = contentFile{src, lang, p}
		return nil
	})
}

// reserved are the top folders that the site's own pages live in, those of the
// languages besides.
var reserved = []string{"towns", "zones", "cultivars", "grid", "plan", "search", "compare", "guides", "data-quality", "how-good", "changes", "methods", "downloads", "calendar", "report", "contribute", "assets", "files", "home"}

// findGuides sorts the content into guides, the welcome text and extra pages.
// Bodies are rendered later, once all addresses are known.
func (s *site) findGuides(files map[string]contentFile) diag.Problems {
	var problems diag.Problems
	names := make([]string, 0, len(files))
	for p := range files {
		names = append(names, p)
	}
	slices.Sort(names)
	for _, p := range names {
		g := guide{Key: p, Name: strings.TrimSuffix(path.Base(p), ".md"), File: "content/" + files[p].file, Lang: files[p].lang, src: files[p].src}
		switch dir := path.Dir(p); {
		case p == "home.md":
			g.Path = "index.html"
			s.home = &g
		case dir == "guides":
			g.Path = "guides/" + g.Name + "/index.html"
			s.guides = append(s.guides, g)
		case dir == "." && !slices.Contains(reserved, g.Name) && !slices.Contains(club.Languages, g.Name):
			g.Path = g.Name + "/index.html"
			s.extra = append(s.extra, g)
		default:
			problems = append(problems, diag.Problem{Place: diag.Place{File: g.File}, Severity: diag.Warning,
				Message: "no page is made from this file",
				Hint:    "put guides into content/guides, and other pages into content itself under a name that the site does not use"})
		}
	}
	return problems
}

// readCards renders every text once, without blocks and links, to learn
// titles, order and headings.
func (s *site) readCards() {
	each := func(g *guide) {
		g.Page, _ = prose.Render(g.File, g.src, prose.Options{Blocks: s.silentBlocks()})
		if g.Page.Card.Title == "" {
			g.Page.Card.Title = upperFirst(strings.ReplaceAll(g.Name, "-", " "))
		}
	}
	for i := range s.guides {
		each(&s.guides[i])
	}
	for i := range s.extra {
		each(&s.extra[i])
	}
	byOrder := func(a, b guide) int {
		return cmp.Or(cmp.Compare(a.Page.Card.Order, b.Page.Card.Order), cmp.Compare(a.Name, b.Name))
	}
	slices.SortStableFunc(s.guides, byOrder)
	slices.SortStableFunc(s.extra, byOrder)
	if s.home != nil {
		each(s.home)
	}
}

// write renders a text for its page.
func (s *site) write(g *guide) (prose.Page, diag.Problems) {
	p := paths{rootOf(g.Path)}
	prefix := ""
	if g == s.home {
		prefix = "club-"
	}
	page, problems := prose.Render(g.File, g.src, prose.Options{
		Blocks:   s.blocks(p),
		Link:     func(dest string) (string, bool) { return s.resolve(g, p, dest) },
		IDPrefix: prefix,
	})
	if page.Card.Title == "" {
		page.Card.Title = g.Page.Card.Title
	}
	return page, problems
}

// resolve turns an address in a text into one on the site. Authors may write
// another Markdown file ("winter-storage.md", "../about.md"), or a page of the
// site ("/towns/x/", "../../towns/x/index.html", "towns/x/").
func (s *site) resolve(g *guide, p paths, dest string) (string, bool) {
	to, frag, hasFrag := strings.Cut(dest, "#")
	if hasFrag {
		frag = "#" + frag
	}
	if strings.HasSuffix(to, ".md") {
		want := path.Join(path.Dir(g.Key), to)
		if strings.HasPrefix(to, "/") {
			want = path.Clean(to)[1:]
		}
		if s.home != nil && want == s.home.Key {
			return p.home() + frag, true
		}
		for _, list := range [][]guide{s.guides, s.extra} {
			for i := range list {
				if list[i].Key == want {
					return p.root + list[i].Path + frag, hasHeading(&list[i], frag)
				}
			}
		}
		return "", false
	}
	if at, ok := s.attached.find(g, to); ok {
		return s.top(p.root) + at + frag, true
	}
	// As seen from the page itself, else from the top of the site.
	from := path.Dir(g.Path)
	for _, base := range []string{from, "."} {
		at := path.Join(base, to)
		if strings.HasPrefix(to, "/") {
			at = path.Clean(to)[1:]
		}
		if strings.HasPrefix(at, "..") {
			continue
		}
		at = strings.TrimSuffix(strings.TrimSuffix(at, "index.html"), "/")
		if s.isPage(at) {
			if at == "" || at == "." {
				return p.home() + frag, true
			}
			return p.page(at+"/") + frag, true
		}
	}
	return "", false
}

func hasHeading(g *guide, frag string) bool {
	return frag == "" || slices.ContainsFunc(g.Page.Headings, func(h heading) bool { return "#"+h.ID == frag })
}

// isPage tells whether a folder of the site has a page.
func (s *site) isPage(folder string) bool {
	switch folder {
	case "", ".", "cultivars", "grid", "guides", "methods", "data-quality", "downloads", "plan", "how-good", "search", "compare", "changes", "report", "report/roll-call", contributeFolder:
		return true
	case "pots":
		return s.hasPots()
	}
	kind, id, _ := strings.Cut(folder, "/")
	switch kind {
	case "towns":
		town, page, _ := strings.Cut(id, "/")
		t := s.towns[town]
		switch page {
		case "", "all":
			return t != nil
		case "why":
			return t != nil && len(t.Why) > 0
		case "this-season":
			return t != nil && t.SoFar != nil
		case "winter":
			return t != nil && hasWinter(t)
		case "tents":
			return t != nil && s.hasTents(t)
		case "garden":
			return t != nil && hasGarden(t)
		case "figlets":
			return t != nil && hasFiglets(t)
		case "pots":
			return t != nil && s.hasTownPots(t)
		}
		return false
	case "plan":
		return s.towns[id] != nil
	case "zones":
		return s.zones[id] != nil
	case "cultivars":
		cultivar, page, _ := strings.Cut(id, "/")
		return s.cultivars[cultivar] != nil && (page == "" || page == "sheet")
	case "guides":
		return slices.ContainsFunc(s.guides, func(g guide) bool { return g.Name == id })
	case "grid":
		m, z, _ := strings.Cut(id, "/")
		return s.methods[m] != nil && s.zones[z] != nil
	}
	return slices.ContainsFunc(s.extra, func(g guide) bool { return g.Name == folder })
}
