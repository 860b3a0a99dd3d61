// Package content holds the guides and the welcome text that every club gets
// unless its own content folder has a page of the same name.
package content

import "embed"

// Files are the Markdown pages, with paths as in the content folder:
// home.md and guides/NAME.md in English, and the same under fr/ in French.
//
//go:embed home.md guides/*.md fr/home.md fr/guides/*.md
var Files embed.FS

// Webmaster are the papers for whoever keeps the site, in webmaster/ and
// fr/webmaster/: no pages, they lie in the club's folder.
//
//go:embed webmaster/*.md fr/webmaster/*.md
var Webmaster embed.FS
