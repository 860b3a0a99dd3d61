package tables

import (
	"strconv"

	"ripeward/build/climate"
)

// describeFigure is what a schema says of a figure: its label, its definition
// and how much may be missing, as the catalogue has them.
func describeFigure(e *climate.Entry) string {
	text := e.Label.English + ": " + e.Definition.English
	if e.Policy != climate.NoRecord {
		text += " (valid when: " + e.Policy.Basis.English + ")"
	}
	return text
}

// figureWords is describeFigure by the figure's name in the catalogue; a name
// that is not there is a mistake in this package.
func figureWords(name string) string {
	for _, e := range climate.Catalogue() {
		if e.Name == name {
			return describeFigure(&e)
		}
	}
	panic("no figure " + name + " in the catalogue")
}

// comparison prints what a figure compares with: "<= -2.2 °C".
func comparison(e *climate.Entry) string {
	if e.Operator == "" {
		return ""
	}
	return e.Operator + " " + strconv.FormatFloat(e.Limit, 'f', -1, 64) + " " + e.LimitUnit
}

// MeasuresTable lists the measures of normals.csv in their order, and then the
// catalogue's other figures, with what the catalogue declares of each. The heat
// sum is that of heatBase, °C.
func MeasuresTable(heatBase float64) Table {
	t := Table{Name: "measures", Key: []string{"measure"}, Columns: []Column{
		{Name: "measure", Type: "string"}, {Name: "unit", Type: "string"}, {Name: "compares", Type: "string"},
		{Name: "name", Type: "string"}, {Name: "definition", Type: "string"}, {Name: "formula", Type: "string"},
		{Name: "complete_enough", Type: "string"}, {Name: "source", Type: "string"},
	}}
	add := func(e *climate.Entry) {
		t.Rows = append(t.Rows, []string{e.Name, e.Unit, comparison(e), e.Label.English, e.Definition.English, e.Formula, e.Policy.Name.English, e.Source})
	}
	measures := climate.Measures(heatBase)
	for i := range measures {
		add(&measures[i].Entry)
	}
	all := climate.Catalogue()
	for i := range all[len(measures):] {
		add(&all[len(measures)+i])
	}
	return t
}
