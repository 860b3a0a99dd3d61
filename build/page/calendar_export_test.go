package page

// What the tests outside look into.
var (
	ShortCautionsIn = shortCautionsIn
	CautionKeys     = cautionKeys
)
