package page

import (
	"slices"

	"ripeward/build/words"
)

// Where the forms for paper and the table for spreadsheets stand. The table is
// no part of the downloads: it holds no figures, and needs no description there.
const (
	reportFormPage = "report/index.html"
	rollCallPage   = "report/roll-call/index.html"
	reportTable    = contributeFolder + "/reports.csv"
)

// reportForm is the model of the form on which a member reports by hand.
type reportForm struct {
	Slips    []int // blank reports on a side
	Ways     []idName
	Towns    []idName // nil where there are too many
	Kinds    []idName
	Columns  []formColumn
	Table    string // address of the empty table
	RollCall string
	Guide    string // address of how to contribute
	Contact  string
	Head     bool // some way of growing has a head start
}

// idName is what a table is keyed by, with its name.
type idName struct{ ID, Name string }

// formColumn says where an entry of the form goes.
type formColumn struct{ Entry, Column string }

// Lists longer than this are left off the form: a name will do.
const mostOnForm = 120

// slipsOnForm is how many blank reports one side of A4 and of Letter holds;
// measured in a browser, see the test that prints the form.
const slipsOnForm = 2

// formEntries are the entries of the form in the order of the table's columns,
// which the test of the form compares them with.
var formEntries = []struct{ entry, column string }{
	{words.Mark("Town|on the form"), "town_id"},
	{words.Mark("Cultivar|on the form"), "cultivar_id"},
	{words.Mark("Cultivar, as its grower calls it|on the form"), "name_as_given"},
	{words.Mark("Crop: main, breba|on the form"), "crop_part"},
	{words.Mark("Way of growing|on the form"), "method_id"},
	{words.Mark("Year|on the form"), "year"},
	{words.Mark("What happened: ripe, not-ripe, already-ripe|on the form"), "outcome"},
	{words.Mark("Weeks of head start|on the form"), "head_start_weeks"},
	{words.Mark("Woken|on the form"), "woke_on"},
	{words.Mark("First leaf out|on the form"), "leafed_on"},
	{words.Mark("Moved out for good|on the form"), "moved_out_on"},
	{words.Mark("First figlet seen|on the form"), "figlet_on"},
	{words.Mark("On: the first ripe fruit, or the last look|on the form"), "seen_on"},
	{words.Mark("Looked before on|on the form"), "checked_on"},
	{words.Mark("Known to the: day, 3-days, week, third-of-month, month|on the form"), "date_precision"},
	{words.Mark("Brebas: kept, removed|on the form"), "brebas"},
	{words.Mark("Died back: none, part, ground|on the form"), "dieback"},
	{words.Mark("Tree|on the form"), "tree_id"},
	{words.Mark("Age of the tree in years|on the form"), "tree_age_y"},
	{words.Mark("Your grower code|on the form"), "grower"},
	{words.Mark("Consent: public, or blank|on the form"), "consent"},
	{words.Mark("Notes|on the form"), "notes"},
	{words.Mark("Pot and spot, in data/trees.csv|on the form"), "pot_litres, site"},
}

func (s *site) reportForm() *reportForm {
	m := &reportForm{Table: s.top("../") + reportTable, RollCall: "roll-call/index.html", Guide: "../" + contributePage, Contact: s.club.Settings.Contact}
	for i := range slipsOnForm {
		m.Slips = append(m.Slips, i+1)
	}
	for i := range s.club.Methods {
		w := &s.club.Methods[i]
		m.Ways = append(m.Ways, idName{string(w.ID), s.in(w.Row, "name", w.Name)})
		m.Head = m.Head || w.HeadStartWeeks.Or(0) > 0 || w.HeadStartMax.Or(0) > 0
	}
	for _, t := range s.townsByZone() {
		m.Towns = append(m.Towns, idName{string(t.Row.ID), s.in(t.Row.Row, "name", t.Row.Name)})
	}
	for i := range s.club.Cultivars {
		c := &s.club.Cultivars[i]
		m.Kinds = append(m.Kinds, idName{string(c.ID), s.in(c.Row, "name", c.Name)})
	}
	for _, list := range []*[]idName{&m.Ways, &m.Towns, &m.Kinds} {
		if len(*list) > mostOnForm {
			*list = nil
		}
	}
	for _, e := range formEntries {
		m.Columns = append(m.Columns, formColumn{s.Say(e.entry), e.column})
	}
	return m
}

// blankRoll is the model of a roll-call without names.
type blankRoll struct {
	Rows []int
	Back string
}

// rowsOnRoll is how many trees one side of A4 and of Letter holds; measured in
// a browser, see the test that prints the sheet.
const rowsOnRoll = 16

// reporting writes the forms for paper, and how to contribute with the empty
// tables.
func (r *rendering) reporting() error {
	s := r.site
	if err := r.page(reportFormPage, "report", s.Say("Report what ripened"), s.Say("A form to print and fill in by hand: what ripened, and what did not."), []link{{s.Say("Home"), "../index.html"}}, s.reportForm()); err != nil {
		return err
	}
	roll := &blankRoll{Rows: slices.Repeat([]int{0}, rowsOnRoll), Back: "../index.html"}
	if err := r.page(rollCallPage, "roll-call", s.Say("Roll-call of your trees"), s.Say("A sheet to print: every tree of yours in autumn, ripe, not ripe or gone."), []link{{s.Say("Home"), "../../index.html"}, {s.Say("Report what ripened"), "../index.html"}}, roll); err != nil {
		return err
	}
	return r.contribute()
}
