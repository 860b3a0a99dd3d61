package page

import (
	"bytes"

	"ripeward/build/club"
	"ripeward/build/words"
)

// Where members read how to contribute, beside the empty tables and their
// description. They are no part of the downloads: they hold no figures.
const (
	contributeFolder  = "contribute"
	contributePage    = contributeFolder + "/index.html"
	contributePackage = contributeFolder + "/datapackage.json"
)

// contributing is the model of the page on how to contribute.
type contributing struct {
	Contact string
	Tables  []emptyTable
	Package string // address of the description of the tables
}

// emptyTable is a table to fill in.
type emptyTable struct{ Name, Href, About string }

// emptyTables says for members what each table is for.
var emptyTables = []struct{ table, about string }{
	{"reports", words.Mark("what ripened and what did not, a row for each tree, crop and year")},
	{"cultivars", words.Mark("a cultivar that the almanac lacks, or figures for one that it has")},
	{"trees", words.Mark("your trees, so that a year without a report is seen as unknown")},
	{"stations", words.Mark("a weather station whose daily record anybody may use")},
	{"store-log", words.Mark("readings of the thermometer in your store")},
}

func (s *site) contributing() *contributing {
	top := s.top("../")
	m := &contributing{Contact: s.club.Settings.Contact, Package: top + contributePackage}
	for _, t := range emptyTables {
		m.Tables = append(m.Tables, emptyTable{t.table + ".csv", top + contributeFolder + "/" + t.table + ".csv", s.Say(t.about)})
	}
	return m
}

// contribute writes the page and, once for all languages, the empty tables.
func (r *rendering) contribute() error {
	s := r.site
	if err := r.page(contributePage, "contribute", s.Say("How to contribute"), s.Say("What helps the almanac most, what becomes of a report, how to get out again, and empty tables to fill in."), []link{{s.Say("Home"), "../index.html"}, {s.Say("Report what ripened"), "../report/index.html"}}, s.contributing()); err != nil {
		return err
	}
	if s.below != "" {
		return nil // the tables serve all languages
	}
	p := packageFile{Profile: "tabular-data-package", Name: "empty-tables", Title: "Empty tables of a growers' almanac",
		Description: "Tables for members to fill in, with what each column may hold. Columns may come in any order; those that are not required may be left out."}
	for _, b := range club.Blanks() {
		resource, text, err := describeBlank(b)
		if err != nil {
			return err
		}
		if err := r.emit(contributeFolder+"/"+resource.Path, text); err != nil {
			return err
		}
		p.Resources = append(p.Resources, resource)
	}
	text, err := p.encode()
	if err != nil {
		return err
	}
	return r.emit(contributePackage, text)
}

// describeBlank returns the description of an empty table, and its text.
func describeBlank(b club.Blank) (packageResource, []byte, error) {
	t := Table{Name: b.Name}
	if b.Key != "" {
		t.Key = []string{b.Key}
	}
	for _, f := range b.Fields {
		t.Columns = append(t.Columns, Column{Name: f.Name, Type: f.Type, Unit: f.Unit, Description: f.About, Pattern: f.Pattern, Allowed: f.Enum})
	}
	var text bytes.Buffer
	if err := t.CSV(&text); err != nil {
		return packageResource{}, nil, err
	}
	p := describe(resource{table: t, path: b.Name + ".csv", title: b.Title, description: b.About + " Rows go into " + b.File + "."}, text.Bytes())
	for i, f := range b.Fields {
		c := packageConstraints{Required: f.Required, Pattern: f.Pattern, Enum: f.Enum, MaxLength: f.MaxLength, Minimum: f.Min, Maximum: f.Max}
		if c.Required || c.Pattern != "" || c.Enum != nil || c.MaxLength > 0 || c.Minimum != nil || c.Maximum != nil {
			p.Schema.Fields[i].Constraints = &c
		}
	}
	return p, text.Bytes(), nil
}
