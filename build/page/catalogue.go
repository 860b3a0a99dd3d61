package page

import (
	"strings"

	"ripeward/build/climate"
)

// figureGroup is the figures of the catalogue that share a completeness
// policy.
type figureGroup struct {
	ID, Name, Basis string
	Figures         []figureLine
}

type figureLine struct {
	Label, Name, Definition, Compares, Unit, Formula, Source string
}

// figureGroups is the catalogue as the methods page prints it, in its order.
// The twelve months of a measure print as one.
func figureGroups() []figureGroup {
	var out []figureGroup
	at := map[climate.Policy]int{}
	months := map[string]bool{} // measures of twelve months, by their name without the month
	for _, e := range climate.Catalogue() {
		name, month := strings.CutSuffix(e.Name, "_01")
		label, definition := e.Label.English, e.Definition.English
		switch {
		case month:
			months[name] = true
			e.Name = name + "_01 to _12"
			label, definition = strings.Replace(label, "January", "of a month", 1), strings.Replace(definition, "January", "the month", 1)
		case len(name) > 3 && months[name[:len(name)-3]]:
			continue
		}
		i, known := at[e.Policy]
		if !known {
			i = len(out)
			at[e.Policy] = i
			out = append(out, figureGroup{ID: "figures-" + slug(e.Policy.Name.English), Name: upperFirst(e.Policy.Name.English), Basis: e.Policy.Basis.English})
		}
		out[i].Figures = append(out[i].Figures, figureLine{upperFirst(label), e.Name, upperFirst(definition), comparison(&e), e.Unit, e.Formula, e.Source})
	}
	return out
}
