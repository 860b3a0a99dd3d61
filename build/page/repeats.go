package page

import (
	"bytes"
	"html/template"
	"sync"
)

// repeats renders small parts that stand on a site a million times, cells and
// heads of rows, once for each value: a template costs some microseconds, and
// most cells say what others say.
type repeats struct {
	parts *template.Template
	done  sync.Map // repeat → template.HTML
}

// repeat is a part with its value, which must be comparable.
type repeat struct {
	part  string
	value any
}

// same is the template of parts.html with the name part, for a value.
func (r *repeats) same(part string, value any) (template.HTML, error) {
	key := repeat{part, value}
	if html, ok := r.done.Load(key); ok {
		return html.(template.HTML), nil
	}
	var buf bytes.Buffer
	if err := r.parts.ExecuteTemplate(&buf, part, value); err != nil {
		return "", err
	}
	html := template.HTML(buf.String())
	r.done.Store(key, html)
	return html, nil
}
