package content_test

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ripeward/content"
)

// The French papers for webmasters say the same: headings, rows, steps and
// what stands in code.
func TestFrenchPapersMatchTheEnglish(t *testing.T) {
	shape := regexp.MustCompile(`(?m)^(#+ |\||- |[0-9]+\. |    ripeward [^#\n]*)`)
	code := regexp.MustCompile("`[^`]*`")
	english := regexp.MustCompile(`(?i)(^|[^\pL])(the|and|of|with|that|your|from|which|is|are|when|years)([^\pL]|$)`)
	wrong := regexp.MustCompile(`« | »| [;:?!%]|\pL[;?!]|['"]|(?i)(^|[^\pL])(tu|ton|tes)([^\pL]|$)`)
	papers, err := fs.Glob(content.Webmaster, "webmaster/*.md")
	if err != nil || len(papers) != 3 {
		t.Fatalf("%q, %v", papers, err)
	}
	for _, name := range papers {
		read := func(name string) string {
			src, err := fs.ReadFile(content.Webmaster, name)
			if err != nil {
				t.Fatal(err)
			}
			return string(src)
		}
		en, fr := read(name), read("fr/"+name)
		if a, b := shape.FindAllString(en, -1), shape.FindAllString(fr, -1); !slices.Equal(a, b) {
			t.Errorf("fr/%s: %q, want %q", name, b, a)
		}
		if a, b := slices.Sorted(slices.Values(code.FindAllString(en, -1))), slices.Sorted(slices.Values(code.FindAllString(fr, -1))); !slices.Equal(a, b) {
			t.Errorf("fr/%s: code %q, want %q", name, b, a)
		}
		for i, line := range strings.Split(code.ReplaceAllString(fr, ""), "\n") {
			if m := english.FindString(line); m != "" {
				t.Errorf("fr/%s:%d: English word %q", name, i+1, m)
			}
			if m := wrong.FindString(line); m != "" {
				t.Errorf("fr/%s:%d: %q", name, i+1, m)
			}
		}
	}
}
