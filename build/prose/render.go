package prose

import (
	"bytes"
	"fmt"
	"html/template"
	"sort"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"ripeward/build/diag"
)

// One Markdown object serves all goroutines; what belongs to one page lives in
// a job and in the nodes.
var markdown = sync.OnceValue(func() goldmark.Markdown {
	return goldmark.New(
		goldmark.WithExtensions(
			extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignNone)),
			extension.Strikethrough,
			extension.Linkify,
		),
		goldmark.WithRendererOptions(
			renderer.WithNodeRenderers(util.Prioritized(nodes{}, 100)),
		),
	)
})

// job is the work on one page.
type job struct {
	file     string
	body     []byte
	before   int   // lines of the file before body
	starts   []int // offset of each line of body
	options  Options
	problems diag.Problems
	page     Page
	ids      map[string]bool // ids of headings, without prefix, and of data blocks
	linked   map[string]bool // addresses in page.Links
}

func render(file string, src []byte, o Options) (Page, diag.Problems) {
	if at := firstInvalid(src); at >= 0 {
		line := 1 + bytes.Count(src[:at], []byte("\n"))
		column := at - bytes.LastIndexByte(src[:at], '\n')
		return Page{}, diag.Problems{{
			Place:    diag.Place{File: file, Line: line, Column: column},
			Severity: diag.Error,
			Message:  fmt.Sprintf("not UTF-8: byte 0x%02X", src[at]),
			Hint:     "save the file as UTF-8 in your editor",
		}}
	}
	s := strings.TrimPrefix(string(src), "\uFEFF")
	s = strings.ReplaceAll(s, "\r\n", "\n")
	s = strings.ReplaceAll(s, "\r", "\n")

	if p := beyond(file, s); p != nil {
		return Page{}, diag.Problems{*p}
	}
	card, body, before, problems := splitCard(file, s, o.Fragment)
	j := &job{file: file, body: []byte(body), before: before, options: o, problems: problems,
		ids: map[string]bool{}, linked: map[string]bool{}, starts: []int{0}}
	j.page.Card = card
	for i, c := range j.body {
		if c == '\n' {
			j.starts = append(j.starts, i+1)
		}
	}

	doc := markdown().Parser().Parse(text.NewReader(j.body))
	j.inspect(doc)
	var out bytes.Buffer
	if err := markdown().Renderer().Render(&out, j.body, doc); err != nil {
		j.error(0, "", "cannot be rendered: %v", err)
	}
	j.page.Body = template.HTML(out.String())
	return j.page, j.problems.Sort()
}

func firstInvalid(src []byte) int {
	if utf8.Valid(src) {
		return -1
	}
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// place turns an offset into the body into a place in the file.
func (j *job) place(offset int) diag.Place {
	offset = min(max(offset, 0), len(j.body))
	line := sort.SearchInts(j.starts, offset+1) - 1
	return diag.Place{File: j.file, Line: j.before + line + 1, Column: offset - j.starts[line] + 1}
}

func (j *job) error(offset int, hint, format string, args ...any) {
	j.say(diag.Error, offset, hint, format, args...)
}

func (j *job) warn(offset int, hint, format string, args ...any) {
	j.say(diag.Warning, offset, hint, format, args...)
}

func (j *job) say(s diag.Severity, offset int, hint, format string, args ...any) {
	j.problems = append(j.problems, diag.Problem{Place: j.place(offset), Severity: s,
		Message: fmt.Sprintf(format, args...), Hint: hint})
}
