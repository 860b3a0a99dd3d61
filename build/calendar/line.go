package calendar

import (
	"net/url"
	"strings"
	"unicode"
	"unicode/utf8"
)

// foldAt is the longest line in octets, its line break not counted (RFC 5545
// 3.1).
const foldAt = 75

// writer collects content lines.
type writer struct {
	b        []byte
	language string // of the texts that people read
}

// raw adds a line whose value is already in its final form.
func (w *writer) raw(name, value string) { w.b = appendFolded(w.b, name+":"+value) }

// text adds a TEXT that programs read, or that has no language.
func (w *writer) text(name, value string) { w.raw(name, escape(clean(value))) }

// worded adds a TEXT in the calendar's language, nothing for an empty one.
func (w *writer) worded(name, value string) { w.list(name, []string{value}) }

// list adds one line of several TEXTs, nothing where all are empty.
func (w *writer) list(name string, values []string) {
	var parts []string
	for _, v := range values {
		if v = clean(v); v != "" {
			parts = append(parts, escape(v))
		}
	}
	if len(parts) == 0 {
		return
	}
	if w.language != "" {
		name += ";LANGUAGE=" + w.language
	}
	w.raw(name, strings.Join(parts, ","))
}

// appendFolded adds a line and its CRLF, broken into lines of at most foldAt
// octets of which all but the first begin with a space (RFC 5545 3.1). It never
// breaks inside a character. line must be valid UTF-8.
func appendFolded(b []byte, line string) []byte {
	room := foldAt
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		b = append(append(b, line[:cut]...), "\r\n "...)
		line, room = line[cut:], foldAt-1
	}
	return append(append(b, line...), "\r\n"...)
}

// clean turns any bytes into what a TEXT may hold: valid UTF-8 with \n for all
// forms of line break and without other control characters than the tab.
func clean(s string) string {
	if strings.IndexFunc(s, unfit) < 0 {
		return s // as nearly every text is
	}
	s = lineBreaks.Replace(strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Map(func(r rune) rune {
		if r != utf8.RuneError && unfit(r) {
			return -1
		}
		return r
	}, s)
}

// unfit tells whether a text with r needs cleaning. Invalid bytes read as
// utf8.RuneError.
func unfit(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || r == '\u2028' || r == '\u2029' || r == utf8.RuneError
}

// Some readers break lines at the Unicode line breaks too.
var lineBreaks = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n")

// escape writes a cleaned text as a TEXT value (RFC 5545 3.3.11). A colon
// stands as it is.
func escape(s string) string { return escapes.Replace(s) }

var escapes = strings.NewReplacer(`\`, `\\`, `;`, `\;`, `,`, `\,`, "\n", `\n`)

// tag returns a language tag fit for a parameter, and nothing for a text that
// cannot be a tag (RFC 5646 2.1: letters, digits and hyphens).
func tag(s string) string {
	for i := range len(s) {
		c := s[i]
		if !(c == '-' || '0' <= c && c <= '9' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z') {
			return ""
		}
	}
	return s
}

// webAddress returns an absolute http or https address in the letters that a
// URI may hold (RFC 3986 2), and nothing for any other: a reader may open it at
// a touch.
func webAddress(s string) string {
	u, err := url.Parse(s)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	var b strings.Builder
	for i := range len(s) {
		if c := s[i]; 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.IndexByte("-._~:/?#[]@!$&'()*+,;=%", c) >= 0 {
			b.WriteByte(c)
		} else {
			const hex = "0123456789ABCDEF"
			b.Write([]byte{'%', hex[c>>4], hex[c&15]})
		}
	}
	return b.String()
}
