package ripening

// The likelihood words of the IPCC AR5 guidance note (Mastrandrea et al. 2010,
// table 1), widest to narrowest on either side.
const (
	VirtuallyCertain      = "virtually certain"
	VeryLikely            = "very likely"
	Likely                = "likely"
	AboutAsLikelyAsNot    = "about as likely as not"
	Unlikely              = "unlikely"
	VeryUnlikely          = "very unlikely"
	ExceptionallyUnlikely = "exceptionally unlikely"
)

// yearsForCertain is how many years it takes before a chance of 1 in 100 can
// be spoken of at all.
const yearsForCertain = 100

// Likelihood returns the narrowest term that holds p (bands are nested, so 0.95
// is likely and very likely: the answer is very likely). Bounds are inclusive;
// where two terms of one width meet, the lower one is said. What the record
// cannot carry is not claimed: with fewer than 3 growers' reports nothing
// beyond likely or unlikely, with fewer than 100 years nothing beyond very
// likely or very unlikely.
func Likelihood(p float64, growers, years int) string {
	few, short := growers < 3, years < yearsForCertain
	switch {
	case p >= 0.99 && !short && !few:
		return VirtuallyCertain
	case p >= 0.90 && !few:
		return VeryLikely
	case p > 0.66: // at 0.66 itself the middle band (33-66) is the narrower
		return Likely
	case p > 0.33:
		return AboutAsLikelyAsNot
	case p <= 0.01 && !short && !few:
		return ExceptionallyUnlikely
	case p <= 0.10 && !few:
		return VeryUnlikely
	}
	return Unlikely
}
