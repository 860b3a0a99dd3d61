package page

import (
	"ripeward/build/tables"
	"ripeward/build/words"
)

// Where members read how to contribute, beside the empty tables and their
// description. They are no part of the downloads: they hold no figures.
const (
	contributeFolder  = "contribute"
	contributePage    = contributeFolder + "/index.html"
	contributePackage = contributeFolder + "/" + tables.PackageName
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
	return tables.Blanks(func(name string, data []byte) error { return r.emit(contributeFolder+"/"+name, data) })
}
