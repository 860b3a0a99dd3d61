package prose

import (
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"

	"ripeward/build/diag"
)

// inspect checks the whole tree, gives headings their ids, fills data blocks
// and settles addresses. Nodes are collected first and changed after the walk.
func (j *job) inspect(doc ast.Node) {
	var fences []*ast.FencedCodeBlock
	var addresses []ast.Node // links, automatic links, pictures
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			j.heading(n)
			j.count(n)
		case *ast.Paragraph, *ast.TextBlock, *east.TableCell:
			j.count(n)
		case *ast.FencedCodeBlock:
			fences = append(fences, n)
		case *ast.HTMLBlock:
			j.error(offsetOf(n), "write it in Markdown, or put it between backticks if readers should see it",
				"HTML is not used in pages: %s", excerpt(n.Lines().Value(j.body)))
		case *ast.RawHTML:
			at := n.Segments.At(0).Start
			j.error(at, "write it in Markdown, or put it between backticks if readers should see it",
				"HTML is not used in pages: %s", excerpt(n.Segments.Value(j.body)))
		case *ast.Link, *ast.AutoLink, *ast.Image:
			addresses = append(addresses, n)
		case *ast.Text:
			if p := n.PreviousSibling(); p == nil || p.Kind() != ast.KindText {
				j.leftovers(n)
			}
		}
		return ast.WalkContinue, nil
	})
	for _, f := range fences {
		j.fill(f)
	}
	for _, n := range addresses {
		j.address(n)
	}
}

func excerpt(b []byte) string {
	s := strings.TrimSpace(string(b))
	s, _, _ = strings.Cut(s, "\n")
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return strconv.Quote(s)
}

// offsetOf is a node's offset; goldmark leaves some nodes without one, which
// then take that of their first line or child.
func offsetOf(n ast.Node) int {
	if n.Pos() >= 0 {
		return n.Pos()
	}
	if n.Type() == ast.TypeBlock && n.Lines() != nil && n.Lines().Len() > 0 {
		return n.Lines().At(0).Start
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if at := offsetOf(c); at >= 0 {
			return at
		}
	}
	if n.Parent() != nil && n.Parent().Kind() != ast.KindDocument {
		return n.Parent().Pos()
	}
	return -1
}

func (j *job) count(n ast.Node) { j.page.Words += len(strings.Fields(plain(n, j.body))) }

func (j *job) heading(n *ast.Heading) {
	t := plain(n, j.body)
	last := 1 // the page's title is the heading of level 1
	if k := len(j.page.Headings); k > 0 {
		last = j.page.Headings[k-1].Level
	}
	switch {
	case n.Level == 1:
		j.warn(offsetOf(n), "use ##; the title of the card is the page's first heading", "a heading of level 1 inside the page")
	case n.Level > last+1:
		j.warn(offsetOf(n), "use "+strings.Repeat("#", last+1), "a heading of level %d follows one of level %d", n.Level, last)
	}
	if t == "" {
		j.warn(offsetOf(n), "write its words, or take the # away", "a heading without words")
	}
	slug := Slug(t)
	if slug == "" {
		slug = "section"
	}
	id := slug
	for k := 2; j.ids[id]; k++ {
		id = slug + "-" + strconv.Itoa(k)
	}
	j.ids[id] = true
	id = j.options.IDPrefix + id
	n.SetAttributeString("id", []byte(id))
	j.page.Headings = append(j.page.Headings, Heading{Level: n.Level, ID: id, Text: t})
}

// Slug makes an id of a heading: lower case, letters and digits of every
// script kept, "-" between words.
func Slug(heading string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(heading) {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(r)
		case r == '\'' || r == '’': // grower's -> growers
		default:
			gap = true
		}
	}
	return b.String()
}

var (
	// What is left as text where a link was meant: [x][y] without a
	// definition, or [x](an address with a space).
	leftover = regexp.MustCompile(`\]\[([^\[\]]*)\]|\]\(`)
	footnote = regexp.MustCompile(`\[\^[^\[\]\s]+\]`)
)

// leftovers warns of link marks that stayed text, in the run of text nodes
// that starts with n.
func (j *job) leftovers(n *ast.Text) {
	if n.Parent().Kind() == ast.KindCodeSpan {
		return
	}
	from, to := n.Segment.Start, n.Segment.Stop
	for s := n.NextSibling(); s != nil; s = s.NextSibling() {
		t, ok := s.(*ast.Text)
		if !ok || t.Segment.Start < to {
			break
		}
		to = t.Segment.Stop
	}
	run := j.body[from:to]
	for _, m := range leftover.FindAllSubmatchIndex(run, -1) {
		if m[0] > 0 && run[m[0]-1] == '\\' {
			continue
		}
		at := m[0]
		if open := strings.LastIndexByte(string(run[:m[0]]), '['); open >= 0 {
			at = open
		}
		if m[2] >= 0 {
			j.warn(from+at, `write \[ for a plain bracket, or define it at the end: [name]: address`,
				"link to %q, which is not defined", run[m[2]:m[3]])
		} else {
			j.warn(from+at, "an address has no spaces (or stands in < >) and ends with )", "a link that could not be read")
		}
	}
	for _, m := range footnote.FindAllIndex(run, -1) {
		if m[0] > 0 && run[m[0]-1] == '\\' {
			continue
		}
		j.warn(from+m[0], "say it in the text", "footnotes are not used in pages: %s", run[m[0]:m[1]])
	}
}

var scheme = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9+.-]*:`)

var schemes = []string{"https:", "http:", "mailto:", "tel:"}

// address checks where a link or picture leads and writes the settled address
// into it. One that cannot stand is taken away; its words stay.
func (j *job) address(n ast.Node) {
	at := offsetOf(n)
	var dest string
	picture := false
	switch n := n.(type) {
	case *ast.Link:
		dest = resolved(n.Destination)
	case *ast.AutoLink:
		dest = string(n.URL(j.body))
		if n.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(dest), "mailto:") {
			dest = "mailto:" + dest
		}
	case *ast.Image:
		dest, picture = resolved(n.Destination), true
		if plain(n, j.body) == "" {
			j.warn(at, "say between the brackets what the picture shows", "a picture without a description")
		}
	}
	href, ok := j.settle(dest, at, picture)
	if !ok {
		unwrap(n, j.body)
		return
	}
	switch n := n.(type) {
	case *ast.Link:
		n.Destination = sealed(href)
	case *ast.Image:
		n.Destination = sealed(href)
		n.SetAttributeString("loading", []byte("lazy"))
	}
	if written := string(util.URLEscape([]byte(href), false)); !j.linked[written] {
		j.linked[written] = true
		j.page.Links = append(j.page.Links, written)
	}
}

// resolved is an address as a browser would read it: goldmark keeps escapes
// and entities in the tree and resolves them only when it writes.
func resolved(dest []byte) string {
	return string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(dest))))
}

// sealed is the form that goldmark writes as exactly href, so that what was
// checked is what stands in the page.
func sealed(href string) []byte {
	return []byte(strings.NewReplacer("&", "&amp;", `\`, "%5C").Replace(href))
}

func (j *job) settle(dest string, at int, picture bool) (string, bool) {
	what := "link"
	if picture {
		what = "picture"
	}
	if dest == "" {
		j.error(at, "write where it leads between ( and )", "a %s without an address", what)
		return "", false
	}
	if strings.ContainsFunc(dest, unicode.IsControl) || strings.Contains(dest, `\`) || strings.HasPrefix(dest, "//") ||
		strings.TrimSpace(dest) != dest {
		j.error(at, "write a full https: address, or one with / between folders", "the address %q cannot be used", dest)
		return "", false
	}
	if s := scheme.FindString(dest); s != "" {
		switch {
		case picture:
			j.error(at, "put the file into content/files and name it from there", "the picture %q would be fetched from elsewhere", short(dest))
			return "", false
		case !slices.Contains(schemes, strings.ToLower(s)):
			j.error(at, "links start with https:, http:, mailto: or tel:, or name a page of the site", "a link may not start with %q", s)
			return "", false
		}
		return dest, true
	}
	if !picture && strings.HasPrefix(dest, "#") {
		name := dest[1:]
		if u, err := url.PathUnescape(name); err == nil {
			name = u
		}
		if name == "" {
			return dest, true // the top of the page
		}
		if !j.ids[name] {
			hint := "link to a heading of the page: its words in lower case with - between"
			if near := diag.Nearest(name, sorted(j.ids)); near != "" {
				hint = "did you mean #" + near + "?"
			}
			j.error(at, hint, "no place %q on this page", "#"+name)
			return "", false
		}
		if slices.ContainsFunc(j.page.Headings, func(h Heading) bool { return h.ID == j.options.IDPrefix+name }) {
			name = j.options.IDPrefix + name
		}
		return "#" + name, true
	}
	if j.options.Link == nil {
		return dest, true
	}
	href, ok := j.options.Link(dest)
	if !ok {
		j.error(at, "check the spelling; addresses count from the folder of this file", "the %s %q leads nowhere", what, dest)
		return "", false
	}
	if s := scheme.FindString(href); s != "" && !slices.Contains(schemes, strings.ToLower(s)) {
		j.error(at, "", "the %s %q leads to an address starting with %q", what, dest, s)
		return "", false
	}
	return href, true
}

func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

func sorted(m map[string]bool) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// unwrap puts a node's children in its place.
func unwrap(n ast.Node, source []byte) {
	parent := n.Parent()
	if a, ok := n.(*ast.AutoLink); ok {
		label := ast.NewString(a.Label(source))
		label.SetRaw(true) // escaped, but without Markdown's own escapes
		parent.InsertBefore(parent, n, label)
	}
	for c := n.FirstChild(); c != nil; {
		next := c.NextSibling()
		parent.InsertBefore(parent, n, c)
		c = next
	}
	parent.RemoveChild(parent, n)
}
