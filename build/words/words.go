// Package words holds the sentences of the site in the languages it speaks.
//
// English sentences stand in the code, the templates and the scripts, where
// they are read; they are the keys of the tables of every other language. A
// table is one folder of gettext PO files (GNU gettext manual, "The Format of
// PO Files"), so that a translator needs no more than any PO editor. A key
// "text|where" has the note after the last bar as its msgctxt: it tells apart
// two uses of one English text, and is never shown.
package words

import (
	"fmt"
	"io/fs"
	"iter"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/leonelquinteros/gotext"
)

// Language is one language: its table of strings and its forms of numbers,
// dates and lists. It may be used from several goroutines.
type Language struct {
	Tag string // BCP 47: "en", "fr"
	Forms
	table  map[string]entry // nil: the language that the keys are written in
	plural func(n int) int  // which form of an entry goes with n

	mu      sync.Mutex
	missing map[string]bool
}

// entry is a string with its forms, one where it does not depend on a number.
type entry []string

// English is the language of the keys.
func English() *Language { return &Language{Tag: "en", Forms: formsOf["en"]} }

// Load reads the table of a language: all .po files of its folder. A language
// without forms of its own, without a file, or with two meanings for one key
// is an error.
func Load(fsys fs.FS, tag string) (*Language, error) {
	if tag == "en" {
		return English(), nil
	}
	forms, known := formsOf[tag]
	if !known {
		return nil, fmt.Errorf("language %q has no forms of numbers and dates: add them to build/words/forms.go", tag)
	}
	files, err := fs.Glob(fsys, tag+"/*.po")
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("language %q has no strings: there is no %s/*.po", tag, tag)
	}
	l := &Language{Tag: tag, Forms: forms, table: map[string]entry{}, plural: forms.plural, missing: map[string]bool{}}
	for _, f := range files {
		data, err := fs.ReadFile(fsys, f)
		if err != nil {
			return nil, err
		}
		if err := l.add(f, data); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// add reads one PO file.
func (l *Language) add(file string, data []byte) error {
	po := gotext.NewPo()
	po.Parse(data)
	take := func(note string, all map[string]*gotext.Translation) error {
		for id, t := range all {
			if id == "" || !t.IsTranslated() {
				continue // the header, or a string that waits for its translation
			}
			var e entry
			for i := range len(t.Trs) {
				e = append(e, t.Trs[i])
			}
			key := id
			if note != "" {
				key += "|" + note
			}
			if have, twice := l.table[key]; twice && !slices.Equal(have, e) {
				return fmt.Errorf("%s: %q is translated twice, by %q and %q: give one of them a note (msgctxt)", file, key, have[0], e[0])
			}
			l.table[key] = e
		}
		return nil
	}
	if err := take("", po.GetDomain().GetTranslations()); err != nil {
		return err
	}
	for note, all := range po.GetDomain().GetCtxTranslations() {
		if note == "" {
			continue
		}
		if err := take(note, all); err != nil {
			return err
		}
	}
	return nil
}

// Say is a sentence of the site in this language, its verbs filled as by
// fmt.Sprintf. A translation may take the values in another order: "%[2]s".
func (l *Language) Say(key string, values ...any) string {
	text := l.text(key)
	if len(values) == 0 {
		return strings.ReplaceAll(text, "%%", "%")
	}
	return fmt.Sprintf(text, values...)
}

// Count is Say with the form that goes with n: one and many are the English
// forms, and many is the msgid_plural of one. The values do not contain n of
// themselves.
func (l *Language) Count(n int, one, many string, values ...any) string {
	text := many
	if l.table == nil {
		if n == 1 {
			text = one
		}
		text = bare(text)
	} else if e, ok := l.table[one]; ok {
		text = e[min(l.plural(n), len(e)-1)]
	} else {
		l.lack(one)
		text = bare(text)
	}
	if len(values) == 0 {
		return strings.ReplaceAll(text, "%%", "%")
	}
	return fmt.Sprintf(text, values...)
}

// Table has the forms of every text by its key; nothing for the language of the
// keys.
func (l *Language) Table() iter.Seq2[string, []string] {
	return func(yield func(string, []string) bool) {
		for _, key := range slices.Sorted(maps.Keys(l.table)) {
			if !yield(key, l.table[key]) {
				return
			}
		}
	}
}

// Missing are the keys that were asked for and are not in the table, sorted.
func (l *Language) Missing() []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Sorted(maps.Keys(l.missing))
}

func (l *Language) text(key string) string {
	if l.table == nil {
		return bare(key)
	}
	if e, ok := l.table[key]; ok {
		return e[0]
	}
	l.lack(key)
	return bare(key)
}

func (l *Language) lack(key string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.missing[key] = true
}

// bare is a key without its note.
func bare(key string) string {
	if i := strings.LastIndexByte(key, '|'); i > 0 {
		return key[:i]
	}
	return key
}

// Mark does nothing but show the search for keys that a text will be said.
func Mark(key string) string { return key }
