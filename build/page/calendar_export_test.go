package page

import "ripeward/build/words"

// english is a site without a book, for sentences that need none.
var english = &site{units: units{voice: voice{words.English()}}}

// What the tests outside look into.
var (
	CautionKeys = cautionKeys
)

// ShortCautionsIn says a caution cell in a language.
func ShortCautionsIn(lang, cell string) []string {
	l, err := words.Load(wordTables, lang)
	if err != nil {
		panic(err)
	}
	return voice{l}.shortCautionsIn(cell)
}
