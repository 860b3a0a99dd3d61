// Package prose turns the club's Markdown pages into safe HTML. It reads the
// page card at the head of a file, replaces data blocks by what the caller's
// functions return, checks links, pictures and headings, and says where in the
// file each problem stands. It is the only importer of goldmark and knows
// nothing of climate or cultivars.
//
// # The page card
//
// A page starts with its card: lines of the form "key: value" between two
// lines of three per cent signs.
//
//	%%%
//	title: Waking and hardening off
//	order: 20
//	language: en
//	summary: When to carry the pots out, and how to do it without sunburn.
//	%%%
//
// The title is required. The order is a whole number (lists of pages show the
// smallest first), the language a code such as en or fr-CA. A line starting
// with # is a remark.
//
// # Data blocks
//
// A fenced code block whose first word starts with "ripeward:" is replaced by
// what the function of that name returns; key=value pairs may follow (a value
// with spaces stands in double quotes), and the lines inside the fence are the
// block's body.
//
//	```ripeward:town-odds town=lowmarsh
//	```
//
// All other fenced blocks stay code.
package prose

import (
	"html/template"

	"ripeward/build/diag"
)

// Prefix marks a fenced block as a data block.
const Prefix = "ripeward:"

// Card is the page card at the head of a file.
type Card struct {
	Title    string
	Order    int    // 0 if the card does not say
	Language string // blank if the card does not say
	Summary  string
}

// Call is a data block as an author wrote it. Word comes without Prefix.
type Call struct {
	Word  string
	Args  map[string]string // never nil
	Body  string            // lines between the fences, as written
	Place diag.Place        // of the word
}

// Block fills a data block. What it returns is trusted and goes into the page
// as it is. An error becomes a problem at the block's place; an error that is
// a diag.Problem keeps its message and hint.
type Block func(Call) (template.HTML, error)

// Options says what a page may use.
type Options struct {
	// Blocks holds the data blocks by word, without Prefix.
	Blocks map[string]Block
	// Link turns the address of a link or picture that has no scheme (such as
	// "../towns/lowmarsh/index.html#odds" or "files/pot.jpg") into the one to
	// write; false means that there is no such thing. It is not asked about
	// places on the same page ("#odds"). Nil keeps addresses as they are.
	Link func(dest string) (href string, ok bool)
	// IDPrefix stands before every heading id, for two texts on one page.
	IDPrefix string
	// Fragment says that src is a piece of text without a card.
	Fragment bool
}

// Heading is a heading of the page, in order. ID includes Options.IDPrefix.
type Heading struct {
	Level    int
	ID, Text string
}

// Page is a rendered page. Links holds the addresses of links and pictures as
// they were written into Body, each once, in order of first use.
type Page struct {
	Card     Card
	Body     template.HTML
	Headings []Heading
	Words    int
	Links    []string
}

// Render turns src into a page. The problems are sorted and name file; an
// error among them means that the page must not be published, though Body
// still shows the rest of it. Render may be called by many goroutines.
func Render(file string, src []byte, o Options) (Page, diag.Problems) {
	return render(file, src, o)
}
