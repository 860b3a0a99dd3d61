package page

import (
	"strings"

	"ripeward/build/climate"
	"ripeward/build/tables"
	"ripeward/build/words"
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

// monthTexts are the label and the definition of a measure of twelve months,
// whichever the month.
var monthTexts = map[string][2]string{
	"tmin_mean": {words.Mark("mean low, of a month"), words.Mark("mean of the daily lows of the month")},
	"tmax_mean": {words.Mark("mean high, of a month"), words.Mark("mean of the daily highs of the month")},
	"precip":    {words.Mark("rain, of a month"), words.Mark("rain and melted snow of the month")},
}

// figureGroups is the catalogue as the methods page prints it, in its order.
// The twelve months of a measure print as one.
func (s *site) figureGroups() []figureGroup {
	var out []figureGroup
	at := map[climate.Policy]int{}
	months := map[string]bool{} // measures of twelve months, by their name without the month
	for _, e := range climate.Catalogue() {
		name, month := strings.CutSuffix(e.Name, "_01")
		label, definition := s.bilingual(e.Label), s.bilingual(e.Definition)
		switch {
		case month:
			months[name] = true
			e.Name = s.Say("%s_01 to _12", name)
			if t := monthTexts[name]; t[0] != "" {
				label, definition = s.Say(t[0]), s.Say(t[1])
			}
		case len(name) > 3 && months[name[:len(name)-3]]:
			continue
		}
		i, known := at[e.Policy]
		if !known {
			i = len(out)
			at[e.Policy] = i
			out = append(out, figureGroup{ID: "figures-" + tables.Slug(e.Policy.Name.English), Name: upperFirst(s.bilingual(e.Policy.Name)), Basis: s.bilingual(e.Policy.Basis)})
		}
		out[i].Figures = append(out[i].Figures, figureLine{upperFirst(label), e.Name, upperFirst(definition), s.comparison(&e),
			s.Say(e.Unit + unitNote), s.Say(e.Formula + formulaNote), s.Say(e.Source + sourceNote)})
	}
	return out
}

// The notes that tell a unit, a formula and a source of the catalogue from
// other texts of the table.
const (
	unitNote    = "|unit of a figure"
	formulaNote = "|formula"
	sourceNote  = "|source"
)

// comparison is what a figure compares with, as the language writes numbers.
func (s *site) comparison(e *climate.Entry) string {
	if e.Operator == "" {
		return ""
	}
	return e.Operator + " " + s.Trimmed(e.Limit, 2) + " " + e.LimitUnit
}
