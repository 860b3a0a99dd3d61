package page

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

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
	src  []byte
}

// contentFiles lists the Markdown files of both content trees; a file of the
// club replaces the default one of the same path. Texts under fr/ are French
// and have no place on an English page.
func contentFiles(own, standard fs.FS) (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, tree := range []fs.FS{standard, own} {
		if tree == nil {
			continue
		}
		err := fs.WalkDir(tree, ".", func(p string, e fs.DirEntry, err error) error {
			if err != nil {
				if errors.Is(err, fs.ErrNotExist) && p == "." {
					return nil // a club without a content folder
				}
				return err
			}
			if e.IsDir() || path.Ext(p) != ".md" || strings.HasPrefix(path.Base(p), ".") || strings.HasPrefix(p, "files/") || strings.HasPrefix(p, "fr/") {
				return nil
			}
			src, err := fs.ReadFile(tree, p)
			if err != nil {
				return err
			}
			files[p] = src
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("reading the content folder: %w", err)
		}
	}
	return files, nil
}

// reserved are the top folders that the site's own pages live in.
var reserved = []string{"towns", "zones", "cultivars", "grid", "plan", "search", "compare", "guides", "data-quality", "how-good", "changes", "methods", "downloads", "calendar", "assets", "files", "home"}

// findGuides sorts the content into guides, the welcome text and extra pages.
// Bodies are rendered later, once all addresses are known.
func (s *site) findGuides(files map[string][]byte) diag.Problems {
	var problems diag.Problems
	names := make([]string, 0, len(files))
	for p := range files {
		names = append(names, p)
	}
	slices.Sort(names)
	for _, p := range names {
		g := guide{Name: strings.TrimSuffix(path.Base(p), ".md"), File: "content/" + p, src: files[p]}
		switch dir := path.Dir(p); {
		case p == "home.md":
			g.Path = "index.html"
			s.home = &g
		case dir == "guides":
			g.Path = "guides/" + g.Name + "/index.html"
			s.guides = append(s.guides, g)
		case dir == "." && !slices.Contains(reserved, g.Name):
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
		from := path.Dir(strings.TrimPrefix(g.File, "content/"))
		want := "content/" + path.Join(from, to)
		if strings.HasPrefix(to, "/") {
			want = "content" + path.Clean(to)
		}
		if s.home != nil && want == s.home.File {
			return p.home() + frag, true
		}
		for _, list := range [][]guide{s.guides, s.extra} {
			for i := range list {
				if list[i].File == want {
					return p.root + list[i].Path + frag, hasHeading(&list[i], frag)
				}
			}
		}
		return "", false
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
	case "", ".", "cultivars", "grid", "guides", "methods", "data-quality", "downloads", "plan", "how-good", "search", "compare":
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
		return s.cultivars[id] != nil
	case "guides":
		return slices.ContainsFunc(s.guides, func(g guide) bool { return g.Name == id })
	case "grid":
		m, z, _ := strings.Cut(id, "/")
		return s.methods[m] != nil && s.zones[z] != nil
	}
	return slices.ContainsFunc(s.extra, func(g guide) bool { return g.Name == folder })
}
