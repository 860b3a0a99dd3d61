package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"

	"ripeward/templates"
)

// Pages that are one file: style and scripts stand inside, and a policy of
// their own allows just those, by their hashes (Content Security Policy Level
// 3, 2.3.1). They open from a stick or a mail and ask for nothing.

// aloneKinds are the kinds of such pages with the templates that each needs.
var aloneKinds = map[string][]string{
	"one-file":         {"town", "one-file", "alone"},
	"roll-call-filled": {"roll-call-filled", "alone"},
}

// alone is what the template of a page in one file needs.
type alone struct {
	Lang, Title, Kind, Units, Club, Notice string
	Policy                                 string
	Style, Early, Script                   template.HTML // whole elements, as their hashes are of the exact bytes
	Site                                   string        // address of the page on the site, or ""
	CutOff, Years, Version                 string
	Body                                   any
	After                                  any
}

// prepareAlone reads the templates of pages in one file.
func (s *site) prepareAlone(base *template.Template) error {
	for kind, names := range aloneKinds {
		t := template.Must(base.Clone())
		for _, name := range names {
			if err := s.parse(t, name); err != nil {
				return err
			}
		}
		s.templates[kind] = t
	}
	return nil
}

// script is a script in the page's language.
func (s *site) script(name string) ([]byte, error) {
	src, err := templates.Files.ReadFile("assets/" + name)
	if err != nil {
		return nil, err
	}
	return s.Script(src), nil
}

// within puts a file's text into an element, and returns the element with the
// source expression that allows it. A text that would end the element is an
// error.
func within(element string, text []byte) (template.HTML, string, error) {
	if bytes.Contains(bytes.ToLower(text), []byte("</"+element)) {
		return "", "", fmt.Errorf("a %s element cannot hold a text with its own end in it", element)
	}
	sum := sha256.Sum256(text)
	return template.HTML("<" + element + ">" + string(text) + "</" + element + ">"), "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'", nil
}

// alonePage renders a page in one file.
func (s *site) alonePage(kind string, f alone) ([]byte, error) {
	early, err := s.script("early.js")
	if err != nil {
		return nil, err
	}
	main, err := s.script("almanac.js")
	if err != nil {
		return nil, err
	}
	var hashes [3]string
	for i, x := range []struct {
		element string
		text    []byte
		to      *template.HTML
	}{{"style", s.assets.files[s.assets.Style], &f.Style}, {"script", early, &f.Early}, {"script", main, &f.Script}} {
		if *x.to, hashes[i], err = within(x.element, x.text); err != nil {
			return nil, err
		}
	}
	f.Policy = strings.Join([]string{"default-src 'none'", "img-src data:", "style-src " + hashes[0], "script-src " + hashes[1] + " " + hashes[2], "base-uri 'none'", "form-action 'none'"}, "; ")
	f.Lang, f.Kind, f.Club, f.Notice, f.Units = s.Tag, kind, s.clubName(), s.notice(), "metric"
	if s.us {
		f.Units = "us"
	}
	var buf bytes.Buffer
	if err := s.templates[kind].ExecuteTemplate(&buf, "alone", f); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}
