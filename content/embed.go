// Package content holds the guides and the welcome text that every club gets
// unless its own content folder has a page of the same name.
package content

import "embed"

// Files are the Markdown pages, with paths as in the content folder:
// home.md and guides/NAME.md.
//
//go:embed home.md guides/*.md
var Files embed.FS
