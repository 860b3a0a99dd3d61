package pots

// Shares returns the share (0-1) of each part of a mix by volume.
func Shares(parts []float64) []float64 { return Volumes(parts, 1) }

// Volumes returns how much of each part of a mix makes so many litres of it, in
// litres measured loose. Parts that fall into each other's gaps make less than
// their sum; how much less depends on the parts, and is not allowed for.
func Volumes(parts []float64, litres float64) []float64 {
	sum := 0.0
	for _, p := range parts {
		sum += p
	}
	out := make([]float64, len(parts))
	for i, p := range parts {
		out[i] = litres * p / sum
	}
	return out
}

// MixFor returns the litres of mix for so many pots of a size.
func MixFor(p Pot, pots int) float64 { return p.Litres * float64(pots) }
