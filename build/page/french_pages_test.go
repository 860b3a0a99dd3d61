package page_test

import (
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ripeward/build/page"
)

// sourceNames are names of sources, files and codes of tables, which stay as they are.
var sourceNames = regexp.MustCompile(`University of|Journal of the|Nursery and Flower Grower, Soil mixes part|third-of-month|[a-z-]+/?[a-z-]*\.csv`)

// englishWords matches words that French has not, save in texts marked as English,
// in code and in the catalogue's sources.
var englishWords = regexp.MustCompile(`(?i)\b(the|of|with|and|from|which|years|winter|when|where|ripens?|weeks|town|their|this|that|there|are|heat|below|above|between)\b`)

// frenchText is the text of a page that ought to be French.
func frenchText(n *html.Node) string {
	var out strings.Builder
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			if l := attr(n, "lang"); l != "" && l != "fr" {
				return
			}
			switch n.Data {
			case "code", "cite", "script", "style", "i":
				return
			}
			for _, a := range []string{"aria-label", "data-l", "title", "alt"} {
				out.WriteString(" " + attr(n, a))
			}
		}
		if n.Type == html.TextNode {
			out.WriteString(n.Data)
		}
		for c := range n.ChildNodes() {
			walk(c)
		}
		if n.Type == html.ElementNode {
			out.WriteString(" ")
		}
	}
	walk(n)
	return out.String()
}

// Every page in French is sound, and in French: what is left in English is
// marked so, or is the name of a source.
func TestEveryPageInFrench(t *testing.T) {
	long(t)
	files, _ := render(t, inLanguages(demoBook(t), "fr"), page.Options{Content: os.DirFS("../../content"), Version: "0"})
	docs := map[string]doc{}
	for _, at := range slices.Sorted(maps.Keys(files)) {
		if isPage(at) && !oneFile.MatchString(at) {
			docs[at] = parse(t, files[at])
		}
	}
	if len(docs) < 150 {
		t.Fatalf("only %d pages", len(docs))
	}
	for _, at := range slices.Sorted(maps.Keys(docs)) {
		t.Run(at, func(t *testing.T) {
			d := docs[at]
			strict(t, d)
			headings(t, d)
			tableCells(t, d)
			links(t, at, "", docs, files)
			drawings(t, files[at])
			if twiceEscaped.Match(files[at]) || leftOver.Match(files[at]) {
				t.Error("something is escaped twice or left over")
			}
			all := frenchText(d.root)
			for _, must := range []string{"À noter.", "Une aide à la planification, pas une prévision.", "Données jusqu’au"} {
				if !strings.Contains(strings.ReplaceAll(all, "\u00a0", " "), must) {
					t.Errorf("the page does not say %q", must)
				}
			}
			if at == "methods/index.html" { // names of papers and standards
				return
			}
			all = sourceNames.ReplaceAllString(all, "")
			for _, m := range englishWords.FindAllStringIndex(all, 4) {
				t.Errorf("English: …%s…", strings.Join(strings.Fields(all[max(0, m[0]-60):min(len(all), m[1]+60)]), " "))
			}
		})
	}
}
