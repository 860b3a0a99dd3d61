package diag

import (
	"fmt"
	"strings"
)

// Sentence is a sentence for readers that keeps its values apart. Form is the
// English text with verbs for them, and the key under which other languages
// have theirs: who shows it may say it in any of them.
type Sentence struct {
	Form   string
	Values []any
}

// Say makes a sentence. The form is a literal, so that a search of the source
// finds all that is said.
func Say(form string, values ...any) Sentence { return Sentence{form, values} }

// String is the sentence in English.
func (s Sentence) String() string {
	if len(s.Values) == 0 {
		return strings.ReplaceAll(s.Form, "%%", "%")
	}
	return fmt.Sprintf(s.Form, s.Values...)
}

// Mark does nothing but show the search for texts that this one is shown to
// readers.
func Mark(text string) string { return text }
