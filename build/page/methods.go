package page

import (
	"html/template"
	"strings"

	"ripeward/build/climate"
	"ripeward/build/club"
)

// methodsPage is the model of the page on how figures are made.
type methodsPage struct {
	Methods  []methodRow
	Crops    []cropFacts
	Classes  []classGroup
	Years    string
	Recent   string
	Lapse    template.HTML
	Fig      string
	Cautions []Caution
	Scale    []scaleWord
	Hours    string
	Figures  []figureGroup
	Symbols  []symbolLine
	Files    []fileForm
	Failing  string // how often a failure is reported
	// Doubt that a start adds to a report.
	StartWoke, StartPlanned template.HTML
}

// fileForm is a form of station files with the document that defines it.
type fileForm struct{ About, Format string }

// symbolLine says what a letter in the formulas stands for.
type symbolLine struct{ Symbol, Means string }

// methodRow describes a way of growing by what the table says it does.
type methodRow struct {
	ID, Name string
	Rules    []template.HTML
	Setup    string
	Cautions []Caution
}

// methodRows says in words what each method does to a day.
func (s *site) methodRows() []methodRow {
	var out []methodRow
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		out = append(out, methodRow{ID: string(m.ID), Name: s.methodName(string(m.ID)), Rules: s.methodRules(m),
			Setup: s.hoursWords(m), Cautions: s.cautionsIn(string(m.Cautions))})
	}
	return out
}

func (s *site) hoursWords(m *club.Method) string {
	var parts []string
	if m.HoursSetup.Set {
		parts = append(parts, s.Say("%s\u00a0h a year", s.Trimmed(m.HoursSetup.Value, 1)))
	}
	if m.MinutesPerCarry.Or(0) > 0 {
		parts = append(parts, s.Say("%s\u00a0min a carried night", s.Trimmed(m.MinutesPerCarry.Value, 0)))
	}
	if len(parts) == 0 {
		return "–"
	}
	return strings.Join(parts, ", ")
}

// cropFacts are the figures of a crop, with their source.
type cropFacts struct {
	Name, Latin, Source string
	NoModel             bool
	Facts               []fact
}

func (s *site) cropFacts() []cropFacts {
	var out []cropFacts
	for i := range s.club.Crops {
		c := &s.club.Crops[i]
		x := cropFacts{Name: s.in(c.Row, "name", c.Name), Latin: string(c.Latin), Source: s.in(c.Row, "source", c.Source), NoModel: c.RipeningModel == "none"}
		temp := func(name string, n club.Number, dec int) {
			if n.Set {
				x.Facts = append(x.Facts, fact{name, s.temp(n.Value, dec)})
			}
		}
		heat := func(name string, n club.Number) {
			if n.Set {
				x.Facts = append(x.Facts, fact{name, s.heat(n.Value)})
			}
		}
		temp(s.Say("Heat counts above"), c.BaseC, 0)
		temp(s.Say("No more heat counts above"), c.UpperC, 0)
		heat(s.Say("Heat from waking to leaf-out"), c.LeafOutHeatCd)
		temp(s.Say("Growing shoots are hurt at"), c.ShootDamageC, 1)
		temp(s.Say("From 1 August a day below this mean adds nothing"), c.RipeningFloorC, 0)
		temp(s.Say("Ripening ends when the mean of ten days falls below"), c.FruitEndC, 0)
		temp(s.Say("Flavour falls when the mean of ten days falls below"), c.UsefulEndC, 0)
		heat(s.Say("From the first to the last fruit"), c.CropSpreadCd)
		heat(s.Say("Brebas left on delay the main crop by"), c.BrebaDelayCd)
		heat(s.Say("Dieback in winter delays the main crop by"), c.DiebackDelayCd)
		if c.WoodKillSdC.Set {
			x.Facts = append(x.Facts, fact{s.Say("Scatter of the cold that kills wood"), s.diff(c.WoodKillSdC.Value, 1)})
		}
		if c.StoreLowC.Set && c.StoreHighC.Set {
			x.Facts = append(x.Facts, fact{s.Say("A store should stay between"), template.HTML(s.Say("%s and %s|temperatures", s.temp(c.StoreLowC.Value, 0), s.temp(c.StoreHighC.Value, 0)))})
		}
		temp(s.Say("Dormant pots come in at"), c.BringInC, 1)
		out = append(out, x)
	}
	return out
}

// classRow is one ripening class with its heat need.
type classRow struct {
	Name                      string
	Main, Doubt, Garden, Year template.HTML
	Breba, Figlet             template.HTML
	Source                    string
}

type classGroup struct {
	Crop string
	Base template.HTML
	Rows []classRow
}

func (s *site) classRows(crop string) []classRow {
	show := func(n club.Number) template.HTML {
		if !n.Set {
			return "–"
		}
		return s.heat(n.Value)
	}
	var out []classRow
	for _, c := range s.club.Classes {
		if string(c.CropID) != crop {
			continue
		}
		out = append(out, classRow{s.in(c.Row, "name", c.Name), show(c.MainHeatCd), show(c.MainHeatSe), show(c.GardenSd), show(c.YearSd),
			show(c.BrebaHeatCd), show(c.FigletHeatCd), s.in(c.Row, "source", c.Source)})
	}
	return out
}

func (s *site) methodsPage() *methodsPage {
	m := &methodsPage{Methods: s.methodRows(), Crops: s.cropFacts(), Years: yearsWords(s.book.Span), Recent: yearsWords(s.book.Recent),
		Cautions: s.allCautions(), Scale: s.scale(), Hours: s.Trimmed(s.club.Settings.HoursPerWeek, 1)}
	m.Figures = s.figureGroups()
	m.Failing, m.StartWoke, m.StartPlanned = s.failingWords(), s.heat(40), s.heat(80)
	for _, d := range s.book.Dialects {
		m.Files = append(m.Files, fileForm{s.Say(d.About), s.Say(d.Format)})
	}
	for _, x := range climate.SymbolsOfFormulas {
		m.Symbols = append(m.Symbols, symbolLine{x.Symbol, s.bilingual(x.Means)})
	}
	m.Lapse = s.diff(s.club.Settings.LapseCPerKm, 1)
	for _, c := range s.club.Crops {
		if rows := s.classRows(string(c.ID)); len(rows) > 0 {
			m.Classes = append(m.Classes, classGroup{s.in(c.Row, "name", c.Name), s.temp(c.BaseC.Or(10), 0), rows})
		}
	}
	return m
}
