package page

import (
	"fmt"
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

var anchorWords = map[string]string{
	"dormant_out": "the day dormant pots may go out", "harden_off": "the start of hardening off", "out": "moving out", "wake": "waking",
	"leaf_out": "leaf-out", "figlet": "the first figlets", "last_useful_figlet": "the last figlets that can still ripen",
	"last_useful_pinch": "the last useful pinch", "first_ripe_1_in_10": "the first ripe fruit of an early year",
	"first_ripe_1_in_2": "the first ripe fruit of the middle year", "first_ripe_9_in_10": "the first ripe fruit of a late year",
	"useful_end_1_in_2":        "the end of useful ripening in 1 year in 2",
	"last_freeze_1_in_10":      "the last spring freeze of 1 year in 10",
	"last_freeze_1_in_2":       "the last spring freeze of 1 year in 2",
	"first_freeze_1_in_10":     "the first autumn freeze of 1 year in 10",
	"first_freeze_1_in_2":      "the first autumn freeze of 1 year in 2",
	"first_freeze_m22_1_in_10": "the first hard freeze of 1 year in 10",
	"first_freeze_m22_1_in_2":  "the first hard freeze of 1 year in 2",
	"dormant_in":               "the day dormant pots come in", "store_wakes": "the week the store wakes the trees", "feed_stop": "the end of feeding", "uncover": "uncovering",
}

func (s *site) anchorWhen(anchor string, offset int) string {
	w := anchorWords[anchor]
	if w == "" {
		w = anchor
	}
	switch {
	case offset > 0:
		return s.countDigits(offset, "day") + " after " + w
	case offset < 0:
		return s.countDigits(-offset, "day") + " before " + w
	}
	if strings.HasPrefix(w, "the day") {
		return "on " + w
	}
	return "on the day of " + w
}

// methodRows says in words what each method does to a day.
func (s *site) methodRows() []methodRow {
	var out []methodRow
	for i := range s.club.Methods {
		m := &s.club.Methods[i]
		r := methodRow{ID: string(m.ID), Name: string(m.Name), Cautions: s.cautionsIn(string(m.Cautions))}
		add := func(text template.HTML) { r.Rules = append(r.Rules, text) }
		if m.OutAnchor != "" {
			add(cell("Out: " + s.anchorWhen(string(m.OutAnchor), m.OutOffsetDays.Or(0)) + "."))
		}
		if m.InAnchor != "" {
			add(cell("In: " + s.anchorWhen(string(m.InAnchor), m.InOffsetDays.Or(0)) + "."))
		}
		if m.HeadStartMax.Or(0) > 0 {
			text := fmt.Sprintf("Head start: %s shown, 0 to %d possible", s.countDigits(m.HeadStartWeeks.Or(0), "week"), m.HeadStartMax.Value)
			h := cell(text)
			if m.IndoorC.Set {
				h += "; indoors at " + s.temp(m.IndoorC.Value, 0)
			}
			if m.IndoorShare.Set && m.IndoorShare.Value != 1 {
				h += cell(fmt.Sprintf(", where poor light leaves %d\u00a0%% of the growth", hundredths(m.IndoorShare.Value)))
			}
			add(h + ".")
		}
		if v := m.DayGainC.Or(0); v != 0 {
			h := "By day " + s.diffPlus(v)
			if m.VentC.Set {
				h += ", vented at " + s.temp(m.VentC.Value, 0)
			}
			add(h + ".")
		}
		if v := m.NightGainC.Or(0); v != 0 {
			add("By night " + s.diffPlus(v) + ".")
		}
		if m.HeatFloorC.Set {
			h := "The heater holds " + s.temp(m.HeatFloorC.Value, 0)
			if m.HeaterW.Set {
				h += cell(", as far as " + s.Grouped(m.HeaterW.Value) + "\u00a0W suffice")
			}
			add(h + ".")
		}
		if m.CarryBelowC.Set {
			h := "Carried in when the night falls to " + s.temp(m.CarryBelowC.Value, 0)
			if m.CarriedToC.Set {
				h += "; the night is then " + s.temp(m.CarriedToC.Value, 0)
			}
			add(h + ".")
		}
		if v := m.ExtraNeedCd.Or(0); v != 0 {
			add("Needs " + s.heat(v) + " more.")
		}
		if m.WinterGainLowC.Or(0) != 0 || m.WinterGainHighC.Or(0) != 0 {
			add("In winter the wood stays " + s.diff(m.WinterGainLowC.Or(0), 0) + " to " + s.diff(m.WinterGainHighC.Or(0), 0) + " warmer than the air.")
		}
		switch store := s.storeName(string(m.StoreID)); {
		case m.Place == "pot" && store != "":
			add("Winters in store: " + cell(lowerFirst(store)) + "; what its cold kills is counted.")
		case m.Place == "pot":
			add("Losses in winter storage are not counted.")
		}
		if len(r.Rules) == 0 {
			add("The weather as it is.")
		}
		r.Setup = s.hoursWords(m)
		out = append(out, r)
	}
	return out
}

func (s *site) hoursWords(m *club.Method) string {
	var parts []string
	if m.HoursSetup.Set {
		parts = append(parts, s.Trimmed(m.HoursSetup.Value, 1)+"\u00a0h a year")
	}
	if m.MinutesPerCarry.Or(0) > 0 {
		parts = append(parts, s.Trimmed(m.MinutesPerCarry.Value, 0)+"\u00a0min a carried night")
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
		x := cropFacts{Name: string(c.Name), Latin: string(c.Latin), Source: string(c.Source), NoModel: c.RipeningModel == "none"}
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
		temp("Heat counts above", c.BaseC, 0)
		temp("No more heat counts above", c.UpperC, 0)
		heat("Heat from waking to leaf-out", c.LeafOutHeatCd)
		temp("Growing shoots are hurt at", c.ShootDamageC, 1)
		temp("From 1 August a day below this mean adds nothing", c.RipeningFloorC, 0)
		temp("Ripening ends when the mean of ten days falls below", c.FruitEndC, 0)
		temp("Flavour falls when the mean of ten days falls below", c.UsefulEndC, 0)
		heat("From the first to the last fruit", c.CropSpreadCd)
		heat("Brebas left on delay the main crop by", c.BrebaDelayCd)
		heat("Dieback in winter delays the main crop by", c.DiebackDelayCd)
		if c.WoodKillSdC.Set {
			x.Facts = append(x.Facts, fact{"Scatter of the cold that kills wood", s.diff(c.WoodKillSdC.Value, 1)})
		}
		if c.StoreLowC.Set && c.StoreHighC.Set {
			x.Facts = append(x.Facts, fact{"A store should stay between", s.temp(c.StoreLowC.Value, 0) + " and " + s.temp(c.StoreHighC.Value, 0)})
		}
		temp("Dormant pots come in at", c.BringInC, 1)
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
		out = append(out, classRow{string(c.Name), show(c.MainHeatCd), show(c.MainHeatSe), show(c.GardenSd), show(c.YearSd),
			show(c.BrebaHeatCd), show(c.FigletHeatCd), string(c.Source)})
	}
	return out
}

func (s *site) methodsPage() *methodsPage {
	m := &methodsPage{Methods: s.methodRows(), Crops: s.cropFacts(), Years: yearsWords(s.book.Span), Recent: yearsWords(s.book.Recent),
		Cautions: cautions, Scale: s.scale(), Hours: s.Trimmed(s.club.Settings.HoursPerWeek, 1)}
	m.Figures = figureGroups()
	m.Failing, m.StartWoke, m.StartPlanned = s.failingWords(), s.heat(40), s.heat(80)
	for _, d := range s.book.Dialects {
		m.Files = append(m.Files, fileForm{d.About, d.Format})
	}
	for _, x := range climate.SymbolsOfFormulas {
		m.Symbols = append(m.Symbols, symbolLine{x.Symbol, x.Means.English})
	}
	m.Lapse = s.diff(s.club.Settings.LapseCPerKm, 1)
	for _, c := range s.club.Crops {
		if rows := s.classRows(string(c.ID)); len(rows) > 0 {
			m.Classes = append(m.Classes, classGroup{string(c.Name), s.temp(c.BaseC.Or(10), 0), rows})
		}
	}
	return m
}
