package page

import (
	"ripeward/build/club"
)

// clauses joins clauses of a sentence: "a; b; c".
func (v voice) clauses(parts []string) string {
	text := ""
	for i, p := range parts {
		if i == 0 {
			text = p
			continue
		}
		text = v.Say("%s; %s|clauses", text, p)
	}
	return text
}

// methodIn is a method as a place in a sentence: "in a plain pot".
func (s *site) methodIn(m *club.Method) string {
	return s.methodPhrase(s.in(m.Row, "name", m.Name), string(m.Place))
}

// likelihood is a likelihood word of the book in the page's language.
func (v voice) likelihood(word string) string {
	if word == "" {
		return ""
	}
	return v.Say(word)
}

// scale is the likelihood scale in the page's language.
func (v voice) scale() []scaleWord {
	out := make([]scaleWord, len(likelihoodScale))
	for i, w := range likelihoodScale {
		out[i] = scaleWord{v.Say(w.Word), v.Say(w.Meaning)}
	}
	return out
}
