// Package templates holds the page templates, the style sheet and the scripts
// of the site, embedded so that the program works alone.
package templates

import "embed"

// Files holds *.html (html/template sources) and assets/ (style sheet and
// scripts).
//
//go:embed *.html assets
var Files embed.FS
