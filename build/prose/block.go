package prose

import (
	"errors"
	"regexp"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"ripeward/build/diag"
)

var idAttribute = regexp.MustCompile(`\sid="([^"]+)"`)

// fill replaces a fence that calls a data block by what the block returns.
func (j *job) fill(n *ast.FencedCodeBlock) {
	if n.Info == nil {
		return
	}
	info := string(n.Info.Segment.Value(j.body))
	start := n.Info.Segment.Start
	trimmed := strings.TrimLeft(info, " \t")
	start += len(info) - len(trimmed)
	name := trimmed
	if i := strings.IndexAny(trimmed, " \t"); i >= 0 {
		name = trimmed[:i]
	}
	word, ok := strings.CutPrefix(name, Prefix)
	if !ok {
		own := strings.TrimSuffix(Prefix, ":")
		if before, _, colon := strings.Cut(name, ":"); colon && diag.Nearest(before, []string{own}) != "" {
			j.error(start, "did you mean "+Prefix+"?", "%q calls no data block", name)
		}
		return
	}
	drop := func() { n.Parent().RemoveChild(n.Parent(), n) }
	block, ok := j.options.Blocks[word]
	if !ok || block == nil {
		words := make([]string, 0, len(j.options.Blocks))
		for w := range j.options.Blocks {
			words = append(words, w)
		}
		slices.Sort(words)
		hint := "there are no data blocks here"
		if near := diag.Nearest(word, words); near != "" {
			hint = "did you mean " + Prefix + near + "?"
		} else if len(words) > 0 {
			hint = "there are " + strings.Join(words, ", ")
		}
		j.error(start, hint, "no data block is called %q", word)
		drop()
		return
	}
	args, ok := j.args(trimmed[len(name):], start+len(name))
	if !ok {
		drop()
		return
	}
	call := Call{Word: word, Args: args, Body: string(n.Lines().Value(j.body)), Place: j.place(start)}
	html, err := block(call)
	if err != nil {
		p := diag.Problem{Place: call.Place, Severity: diag.Error, Message: name + ": " + err.Error()}
		var own diag.Problem
		if errors.As(err, &own) {
			p.Message, p.Hint = name+": "+own.Message, own.Hint
			if own.Place.Line > 0 {
				p.Place = own.Place
			}
		}
		j.problems = append(j.problems, p)
		drop()
		return
	}
	for _, m := range idAttribute.FindAllStringSubmatch(string(html), -1) {
		j.ids[m[1]] = true
	}
	n.Parent().ReplaceChild(n.Parent(), n, &filled{html: string(html)})
}

// args reads key=value and key="two words" pairs; at is the offset of s. In
// quotes, \" is a quote and \\ a backslash.
func (j *job) args(s string, at int) (map[string]string, bool) {
	args, ok := map[string]string{}, true
	const hint = `write key=value, or key="two words"`
	for {
		rest := strings.TrimLeft(s, " \t")
		at += len(s) - len(rest)
		s = rest
		if s == "" {
			return args, ok
		}
		end := strings.IndexAny(s, "= \t")
		if end <= 0 || s[end] != '=' {
			word := s
			if i := strings.IndexAny(s, " \t"); i >= 0 {
				word = s[:i]
			}
			j.error(at, hint, "%q is not of the form key=value", word)
			s, at, ok = s[len(word):], at+len(word), false
			continue
		}
		key, value, used := s[:end], "", end+1
		if strings.HasPrefix(s[used:], `"`) {
			v, n, closed := quoted(s[used:])
			if !closed {
				j.error(at+used, hint, "the quote after %s= is not closed", key)
				return args, false
			}
			value, used = v, used+n
		} else {
			value = s[used:]
			if i := strings.IndexAny(value, " \t"); i >= 0 {
				value = value[:i]
			}
			used += len(value)
		}
		if _, twice := args[key]; twice {
			j.error(at, "keep one of them", "%q stands twice", key)
			ok = false
		}
		args[key] = value
		s, at = s[used:], at+used
	}
}

// quoted reads a quoted value at the start of s and tells how many bytes it
// took.
func quoted(s string) (value string, n int, closed bool) {
	var b strings.Builder
	for i := 1; i < len(s); i++ {
		switch {
		case s[i] == '"':
			return b.String(), i + 1, true
		case s[i] == '\\' && i+1 < len(s) && (s[i+1] == '"' || s[i+1] == '\\'):
			i++
			b.WriteByte(s[i])
		default:
			b.WriteByte(s[i])
		}
	}
	return "", 0, false
}
