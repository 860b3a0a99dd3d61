package tables

import (
	"bytes"
	"crypto/sha256"

	"ripeward/build/club"
)

// Blanks hands over the empty tables that members fill in, and the Data Package
// that describes them. They hold no figures.
func Blanks(put func(name string, data []byte) error) error {
	p := packageFile{Profile: "tabular-data-package", Name: "empty-tables", Title: "Empty tables of a growers' almanac",
		Description: "Tables for members to fill in, with what each column may hold. Columns may come in any order; those that are not required may be left out."}
	for _, b := range club.Blanks() {
		resource, text, err := describeBlank(b)
		if err != nil {
			return err
		}
		if err := put(resource.Path, text); err != nil {
			return err
		}
		p.Resources = append(p.Resources, resource)
	}
	text, err := p.encode()
	if err != nil {
		return err
	}
	return put(PackageName, text)
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
	p := describe(resource{path: b.Name + ".csv", title: b.Title, description: b.About + " Rows go into " + b.File + "."}, t, text.Len(), sha256.Sum256(text.Bytes()))
	for i, f := range b.Fields {
		c := packageConstraints{Required: f.Required, Pattern: f.Pattern, Enum: f.Enum, MaxLength: f.MaxLength, Minimum: f.Min, Maximum: f.Max}
		if c.Required || c.Pattern != "" || c.Enum != nil || c.MaxLength > 0 || c.Minimum != nil || c.Maximum != nil {
			p.Schema.Fields[i].Constraints = &c
		}
	}
	return p, text.Bytes(), nil
}
