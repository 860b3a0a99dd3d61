// Package templates holds the page templates, the style sheet and the scripts
// of the site, embedded so that the program works alone.
package templates

import "embed"

// Files holds *.html (html/template sources), assets/ (style sheet and
// scripts) and words/ (a folder of gettext PO files for each language but
// English, whose sentences stand in the code), and begin/ (the folder that a new
// club starts with: tables in each language, and texts in words/).
//
//go:embed *.html assets words begin
var Files embed.FS
