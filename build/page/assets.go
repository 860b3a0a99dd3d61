package page

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	"ripeward/build/figure"
	"ripeward/build/words"
	"ripeward/templates"
)

// assets are the style sheet and the scripts under names that hold a hash of
// their content, so that a host may keep them for ever.
type assets struct {
	Style, Early, Main, Planner, Pots, Figlets, Garden, Icon string
	Tables, Find, Compare, Names                             string
	files                                                    map[string][]byte

	icons
}

// names are the paths of all assets: each holds a hash of its bytes.
func (a *assets) names() []string { return slices.Sorted(maps.Keys(a.files)) }

// newAssets reads the assets, the scripts in a language; extra rules are put at
// the end of the style sheet.
func newAssets(lang *words.Language, extra string) (assets, error) {
	a := assets{files: map[string][]byte{}}
	read := func(name string) ([]byte, error) {
		data, err := templates.Files.ReadFile("assets/" + name)
		if path.Ext(name) == ".js" {
			data = lang.Script(data)
		}
		return data, err
	}
	style, err := read("almanac.css")
	if err != nil {
		return a, err
	}
	for _, name := range []string{"finding.css", "swift.css", "print.css"} {
		more, err := read(name)
		if err != nil {
			return a, err
		}
		style = append(append(style, '\n'), more...)
	}
	style = append(style, "\n/* charts */\n"...)
	style = append(style, figure.StyleSheet()...)
	for _, theme := range []struct{ before, palette, after string }{
		{":root {\n", "light", "}\n"},
		{"@media screen and (prefers-color-scheme: dark) { :root:not([data-theme=light]) {\n", "dark", "} }\n"},
		{"@media screen { :root[data-theme=dark] {\n", "dark", "} }\n"},
		{"@media print { :root {\n", "print", "} }\n"},
	} {
		style = append(style, theme.before+figure.Palette(theme.palette)+theme.after...)
	}
	style = append(style, extra...)
	forced, err := read("forced.css") // over the charts' own colours
	if err != nil {
		return a, err
	}
	style = append(style, forced...)
	put := a.put
	for _, script := range []struct {
		name string
		at   *string
	}{{"tables.js", &a.Tables}, {"find.js", &a.Find}, {"compare.js", &a.Compare}} {
		data, err := read(script.name)
		if err != nil {
			return a, err
		}
		*script.at = put(script.name, data)
	}
	a.Style = put("almanac.css", comments.ReplaceAll(style, nil))
	early, err := read("early.js")
	if err != nil {
		return a, err
	}
	a.Early = put("early.js", early)
	script, err := read("almanac.js")
	if err != nil {
		return a, err
	}
	offline, err := read("offline.js")
	if err != nil {
		return a, err
	}
	a.Main = put("almanac.js", append(script, offline...))
	planner, err := read("planner.js")
	if err != nil {
		return a, err
	}
	a.Planner = put("planner.js", planner)
	reckon, err := read("pots.js")
	if err != nil {
		return a, err
	}
	a.Pots = put("pots.js", reckon)
	figlets, err := read("figlets.js")
	if err != nil {
		return a, err
	}
	a.Figlets = put("figlets.js", figlets)
	garden, err := read("garden.js")
	if err != nil {
		return a, err
	}
	a.Garden = put("garden.js", garden)
	icon, err := read("icon.svg")
	if err != nil {
		return a, err
	}
	a.Icon = put("icon.svg", icon)
	a.icons, err = putIcons(put)
	return a, err
}

// comments are for those who keep the style sheet, not for those who load it.
var comments = regexp.MustCompile(`(?s)/\*.*?\*/\n?`)

// put keeps a file under a name with its hash, and returns that name.
func (a *assets) put(name string, data []byte) string {
	sum := sha256.Sum256(data)
	ext := path.Ext(name)
	at := fmt.Sprintf("assets/%s.%s%s", name[:len(name)-len(ext)], hex.EncodeToString(sum[:5]), ext)
	a.files[at] = data
	return at
}

// scripts are the addresses of what a kind of page needs to find, to choose
// and to compare.
func (a *assets) scripts(kind, root string) []string {
	switch kind {
	case "lost":
		return nil
	case "home", "search":
		return []string{root + a.Find}
	case "compare":
		return []string{root + a.Names, root + a.Tables, root + a.Compare}
	}
	return []string{root + a.Tables}
}

// cardLabels are the rules that name the cells of a town's main table where it
// turns into cards: the columns are the same on every page, and naming them
// here keeps a label out of each of a few hundred cells.
func cardLabels(heads []string) string {
	var b strings.Builder
	b.WriteString("@media screen and (max-width: 46rem) {\n")
	for i, h := range heads {
		fmt.Fprintf(&b, ".byway > tbody td:nth-child(%d)::before { content: %s; }\n", i+2, cssString(h))
	}
	b.WriteString("}\n")
	return b.String()
}

// cssString quotes a text for a style sheet (CSS Syntax Level 3, section 4.3.5).
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ', r == '<', r == '>': // "</style>" would end the sheet that stands inside a page
			fmt.Fprintf(&b, "\\%x ", r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
