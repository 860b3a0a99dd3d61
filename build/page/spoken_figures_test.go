package page

import (
	"ripeward/build/climate"
	"ripeward/build/station"
)

// figurePhrases are the texts of the catalogue of figures that a page says in
// a language, by the file that declares them. Labels, definitions and policies
// have their French beside the English; any other language has all of them in
// its table.
func figurePhrases(tag string) map[string][]phrase {
	var units, words []phrase
	for _, e := range climate.Catalogue() {
		units = append(units, phrase{one: e.Unit + unitNote}, phrase{one: e.Formula + formulaNote}, phrase{one: e.Source + sourceNote})
		for _, b := range []climate.Bilingual{e.Label, e.Definition, e.Policy.Name, e.Policy.Basis} {
			words = append(words, phrase{one: b.English})
		}
	}
	for _, x := range climate.SymbolsOfFormulas {
		words = append(words, phrase{one: x.Means.English})
	}
	if tag != "fr" {
		units = append(units, words...)
	}
	var kinds []phrase
	for _, k := range station.Kinds() {
		kinds = append(kinds, phrase{one: k})
	}
	return map[string][]phrase{"../climate/catalogue.go": once(units), "../station/kinds": kinds}
}

// once leaves out repeats.
func once(list []phrase) []phrase {
	var out []phrase
	seen := map[phrase]bool{}
	for _, p := range list {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	return out
}
