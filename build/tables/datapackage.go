package tables

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strings"

	"ripeward/build/almanac"
)

// The types below follow the Frictionless Data Package, version 1
// (specs.frictionlessdata.io: data-package, tabular-data-resource,
// table-schema, csv-dialect). "unit" is ours; the standard allows properties
// of one's own.

type packageFile struct {
	Profile     string            `json:"profile"`
	Name        string            `json:"name"`
	Title       string            `json:"title"`
	Description string            `json:"description"`
	Licenses    []packageLicense  `json:"licenses,omitempty"`
	Sources     []packageSource   `json:"sources,omitempty"`
	Resources   []packageResource `json:"resources"`
}

type packageLicense struct {
	Name  string `json:"name,omitempty"`
	Path  string `json:"path,omitempty"`
	Title string `json:"title,omitempty"`
}

type packageSource struct {
	Title string `json:"title"`
}

type packageResource struct {
	Profile     string         `json:"profile"`
	Name        string         `json:"name"`
	Path        string         `json:"path"`
	Title       string         `json:"title"`
	Description string         `json:"description"`
	Format      string         `json:"format"`
	Mediatype   string         `json:"mediatype"`
	Encoding    string         `json:"encoding"`
	Bytes       int            `json:"bytes"`
	Hash        string         `json:"hash"`
	Dialect     packageDialect `json:"dialect"`
	Schema      packageSchema  `json:"schema"`
}

type packageDialect struct {
	LineTerminator string `json:"lineTerminator"`
}

type packageSchema struct {
	Fields        []packageField `json:"fields"`
	MissingValues []string       `json:"missingValues"`
	PrimaryKey    []string       `json:"primaryKey,omitempty"`
}

type packageField struct {
	Name        string              `json:"name"`
	Type        string              `json:"type"`
	Unit        string              `json:"unit,omitempty"`
	Description string              `json:"description,omitempty"`
	Constraints *packageConstraints `json:"constraints,omitempty"`
}

type packageConstraints struct {
	Required  bool     `json:"required,omitempty"`
	Pattern   string   `json:"pattern,omitempty"`
	Enum      []string `json:"enum,omitempty"`
	MaxLength int      `json:"maxLength,omitempty"`
	Minimum   *float64 `json:"minimum,omitempty"`
	Maximum   *float64 `json:"maximum,omitempty"`
}

func describe(r resource, t Table, size int, sum [32]byte) packageResource {
	p := packageResource{
		Profile: "tabular-data-resource", Name: Slug(t.Name), Path: r.path, Title: r.called(), Description: r.description,
		Format: "csv", Mediatype: "text/csv", Encoding: "utf-8", Bytes: size, Hash: "sha256:" + hex.EncodeToString(sum[:]),
		Dialect: packageDialect{LineTerminator: "\n"},
		Schema:  packageSchema{MissingValues: []string{""}, PrimaryKey: t.Key},
	}
	for _, c := range t.Columns {
		f := packageField{Name: c.Name, Type: c.Type, Unit: c.Unit, Description: c.Description}
		if c.Pattern != "" || c.Allowed != nil {
			f.Constraints = &packageConstraints{Pattern: c.Pattern, Enum: c.Allowed}
		}
		p.Schema.Fields = append(p.Schema.Fields, f)
	}
	return p
}

func dataPackage(b *almanac.Book, resources []packageResource) ([]byte, error) {
	set := b.Club.Settings
	p := packageFile{Profile: "tabular-data-package", Name: Slug(set.Name), Title: set.Name,
		Description: strings.TrimSpace("Season lengths, ripening odds and dates by town. Figures are in metric units. " + set.Notice),
		Resources:   resources}
	if l := strings.TrimSpace(set.DataLicence); l != "" {
		p.Licenses = []packageLicense{licence(l)}
	}
	for _, s := range b.Stations {
		title := "daily record of " + s.ID
		if s.Name != "" {
			title += ", " + s.Name
		}
		if s.Credit != "" {
			title += ": " + s.Credit
		}
		if s.Licence != "" {
			title += " (" + s.Licence + ")"
		}
		p.Sources = append(p.Sources, packageSource{title})
	}
	slices.SortFunc(p.Sources, func(a, b packageSource) int { return strings.Compare(a.Title, b.Title) })
	return p.encode()
}

func (p packageFile) encode() ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(p)
	return out.Bytes(), err
}

// licence reads the club's licence: an address becomes the path, an id such as
// CC-BY-4.0 the name, and any other words the title.
func licence(text string) packageLicense {
	switch {
	case strings.HasPrefix(text, "https://") || strings.HasPrefix(text, "http://"):
		return packageLicense{Path: text}
	case strings.HasPrefix(text, "CC BY ") || strings.HasPrefix(text, "CC BY-SA "):
		return packageLicense{Name: strings.ReplaceAll(text, " ", "-"), Title: text} // the id that opendefinition.org lists
	case !strings.ContainsAny(text, " \t"):
		return packageLicense{Name: text}
	}
	return packageLicense{Name: Slug(text), Title: text}
}

// Slug makes a name as the Data Package wants it: lower-case ASCII letters,
// digits, ".", "_" and "-".
func Slug(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(s) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '.' || r == '_' {
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(r)
		} else {
			gap = true
		}
	}
	if b.Len() == 0 {
		return "almanac"
	}
	return b.String()
}
