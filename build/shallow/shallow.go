// Package shallow bounds a settings file before it is parsed. A TOML parser
// takes a time that grows with the square of the depth of a value and worse, so
// that a file of a few kilobytes can keep it busy for minutes; the settings of
// a club are one level deep.
package shallow

import (
	"fmt"
	"strings"
)

// Limits of a settings file.
const (
	MaxBytes = 1 << 20  // of a file
	maxLine  = 64 << 10 // bytes of a line
	maxDepth = 16       // of brackets in each other, and parts of a dotted key
)

// Check returns the byte offset of the first place of a TOML text that goes
// beyond the limits with what is wrong there; message is "" where nothing is.
// Texts in quotation marks and comments count for the line alone.
func Check(text string) (offset int, message string) {
	if len(text) > MaxBytes {
		return 0, fmt.Sprintf("file of %d bytes; the limit is %d", len(text), MaxBytes)
	}
	for line := range strings.Lines(text) {
		if len(line) > maxLine {
			return offset, fmt.Sprintf("line of more than %d bytes", maxLine)
		}
		offset += len(line)
	}
	depth, parts := 0, 0 // of brackets, of the dotted key
	for i := 0; i < len(text); {
		if text[i] == '\n' || text[i] == '\r' {
			parts = 0
		}
		switch c := text[i]; c {
		case '#':
			i += upTo(text[i:], "\n")
			continue
		case '"', '\'':
			i += quoted(text[i:])
			continue
		case '[', '{':
			depth, parts = depth+1, 0
		case ']', '}':
			depth = max(depth-1, 0)
		case '.':
			parts++
		case '=', ',':
			parts = 0
		}
		if depth > maxDepth || parts > maxDepth {
			return i, fmt.Sprintf("more than %d levels deep", maxDepth)
		}
		i++
	}
	return 0, ""
}

// upTo returns the length of s up to the first mark, which is left in it.
func upTo(s, mark string) int {
	if i := strings.Index(s, mark); i >= 0 {
		return i
	}
	return len(s)
}

// quoted returns the length of the text in quotation marks at the start of s
// (TOML 1.0, "String"): of one line, or of several between three marks.
func quoted(s string) int {
	mark, end := s[:1], "\n"
	if strings.HasPrefix(s, strings.Repeat(mark, 3)) {
		mark, end = s[:3], ""
	}
	for i := len(mark); i < len(s); i++ {
		switch {
		case strings.HasPrefix(s[i:], mark):
			return i + len(mark)
		case end != "" && s[i] == '\n':
			return i
		case s[i] == '\\' && mark[0] == '"':
			i++
		}
	}
	return len(s)
}
