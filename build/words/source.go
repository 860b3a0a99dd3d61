package words

import (
	"encoding/json"
	"regexp"
	"strings"
)

// What is said stands between doubled brackets in a template ("[[What
// ripens, {{.Year}}]]", with its actions and its inline elements) and between
// say(" and ") in a script. Both are put into a language before anything else
// reads the source, so that a page costs no look-up.
var (
	inTemplate = regexp.MustCompile(`(?s)\[\[(.*?)\]\]`)
	inScript   = regexp.MustCompile(`\bsay\(("(?:[^"\\\n]|\\.)*")\)`)
)

// Template puts the source of a template into the language.
func (l *Language) Template(src string) string {
	return inTemplate.ReplaceAllStringFunc(src, func(s string) string {
		return l.text(templateKey(s[2 : len(s)-2]))
	})
}

// Script puts the source of a script into the language.
func (l *Language) Script(src []byte) []byte {
	return inScript.ReplaceAllFunc(src, func(s []byte) []byte {
		var key string
		if json.Unmarshal(s[len("say("):len(s)-1], &key) != nil {
			return s // stays a call, which the browser tests trip over
		}
		text, _ := json.Marshal(l.text(key))
		return text
	})
}

// TemplateKeys and ScriptKeys list the keys that a source says.
func TemplateKeys(src string) []string {
	var out []string
	for _, m := range inTemplate.FindAllStringSubmatch(src, -1) {
		out = append(out, templateKey(m[1]))
	}
	return out
}

// ScriptKeys lists the keys that a script says.
func ScriptKeys(src []byte) []string {
	var out []string
	for _, m := range inScript.FindAllSubmatch(src, -1) {
		var key string
		if json.Unmarshal(m[1], &key) == nil {
			out = append(out, key)
		}
	}
	return out
}

// templateKey is a text with its line breaks and runs of spaces made single
// spaces, as a browser reads it.
func templateKey(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' }), " ")
}
