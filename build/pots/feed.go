package pots

// Nitrogen in feed water is given in ppm by weight, mg a litre.

// FeedGrams returns the grams of a feed with nPercent per cent of nitrogen in a
// litre of water that make ppmN parts per million of it:
// ppm / (1000 × share of N). nPercent must be above 0.
func FeedGrams(ppmN, nPercent float64) float64 { return ppmN / (10 * nPercent) }

// Stock returns the strength of the stock solution of an injector that adds one
// part of it to dilution parts of water, as ppm of nitrogen and as grams of feed
// a litre of stock. Injectors are named by the whole, so 1:100 is taken as a
// hundredfold.
func Stock(ppmN, nPercent, dilution float64) (ppm, gramsPerLitre float64) {
	return ppmN * dilution, FeedGrams(ppmN, nPercent) * dilution
}

// US units of feed, exact by definition.
const (
	GramsPerOunce   = 28.349523125
	LitresPerGallon = 3.785411784
)

// OuncesPer100Gallons turns grams a litre into ounces in 100 US gallons.
func OuncesPer100Gallons(gramsPerLitre float64) float64 {
	return gramsPerLitre * 100 * LitresPerGallon / GramsPerOunce
}
