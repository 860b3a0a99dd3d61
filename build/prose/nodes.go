package prose

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

var kindFilled = ast.NewNodeKind("RipewardFilled")

// filled is a data block with its HTML.
type filled struct {
	ast.BaseBlock
	html string
}

func (*filled) Kind() ast.NodeKind            { return kindFilled }
func (f *filled) Dump(source []byte, lvl int) { ast.DumpHelper(f, source, lvl, nil, nil) }

// nodes renders what differs from goldmark's own output: data blocks, raw HTML
// (shown as text), and tables that scroll, name themselves and carry no style.
type nodes struct{}

func (nodes) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(kindFilled, renderFilled)
	r.Register(ast.KindHTMLBlock, renderRawBlock)
	r.Register(ast.KindRawHTML, renderRawInline)
	r.Register(east.KindTable, renderTable)
	r.Register(east.KindTableCell, renderCell)
}

func renderFilled(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = w.WriteString(n.(*filled).html)
		_ = w.WriteByte('\n')
	}
	return ast.WalkSkipChildren, nil
}

func renderRawBlock(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkSkipChildren, nil
	}
	b := n.(*ast.HTMLBlock)
	_, _ = w.WriteString("<pre><code>")
	for i := 0; i < b.Lines().Len(); i++ {
		s := b.Lines().At(i)
		_, _ = w.Write(util.EscapeHTML(s.Value(source)))
	}
	if b.HasClosure() {
		_, _ = w.Write(util.EscapeHTML(b.ClosureLine.Value(source)))
	}
	_, _ = w.WriteString("</code></pre>\n")
	return ast.WalkSkipChildren, nil
}

func renderRawInline(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		s := n.(*ast.RawHTML).Segments
		for i := 0; i < s.Len(); i++ {
			part := s.At(i)
			_, _ = w.Write(util.EscapeHTML(part.Value(source)))
		}
	}
	return ast.WalkSkipChildren, nil
}

// A wide table scrolls inside a region that the keyboard reaches and a screen
// reader can name (WCAG 2.2, 2.1.1 and 1.4.10).
func renderTable(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		_, _ = w.WriteString("</table>\n</div>\n")
		return ast.WalkContinue, nil
	}
	_, _ = w.WriteString(`<div class="rw-scroll" role="region" tabindex="0" aria-label="`)
	_, _ = w.Write(util.EscapeHTML([]byte(tableName(n, source))))
	_, _ = w.WriteString("\">\n<table>\n")
	return ast.WalkContinue, nil
}

// tableName is the table's column heads: it tells tables of one section apart
// and needs no words of our own.
func tableName(n ast.Node, source []byte) string {
	var heads []string
	if h := n.FirstChild(); h != nil {
		for c := h.FirstChild(); c != nil; c = c.NextSibling() {
			if t := plain(c, source); t != "" {
				heads = append(heads, t)
			}
		}
	}
	if len(heads) == 0 {
		return "…"
	}
	return strings.Join(heads, ", ")
}

var alignClass = map[east.Alignment]string{
	east.AlignLeft: "rw-left", east.AlignRight: "rw-right", east.AlignCenter: "rw-centre",
}

func renderCell(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*east.TableCell)
	tag := "td"
	if n.Parent().Kind() == east.KindTableHeader {
		tag = "th"
	}
	if !entering {
		_, _ = w.WriteString("</" + tag + ">\n")
		return ast.WalkContinue, nil
	}
	_, _ = w.WriteString("<" + tag)
	if tag == "th" {
		_, _ = w.WriteString(` scope="col"`)
	}
	if c := alignClass[n.Alignment]; c != "" {
		_, _ = w.WriteString(` class="` + c + `"`)
	}
	_ = w.WriteByte('>')
	return ast.WalkContinue, nil
}

// plain is a node's text as a reader sees it, without marks; pictures give
// their alternative text.
func plain(n ast.Node, source []byte) string {
	var b strings.Builder
	addPlain(&b, n, source)
	return strings.Join(strings.Fields(b.String()), " ")
}

func addPlain(b *strings.Builder, n ast.Node, source []byte) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Text:
			v := c.Segment.Value(source)
			if n.Kind() != ast.KindCodeSpan && !c.IsRaw() {
				v = util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(v)))
			}
			b.Write(v)
			if c.SoftLineBreak() || c.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(c.Value)
		case *ast.AutoLink:
			b.Write(c.Label(source))
		case *ast.RawHTML:
		default:
			addPlain(b, c, source)
		}
	}
}
