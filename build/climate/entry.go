package climate

// Bilingual is a text in both languages of the house.
type Bilingual struct{ English, French string }

// Entry declares a figure. Whatever describes figures - the methods page, the
// schema of the downloads, the list of a command, the documentation - takes its
// words from here, and every figure has one.
type Entry struct {
	Name       string // of the column, row or figure; never translated
	Unit       string // date, days, °C, mm, °C·d, zone ...; 1 for shares
	Label      Bilingual
	Definition Bilingual // in words
	Operator   string    // <, <=, > or >= where the figure compares; else empty
	Limit      float64   // what Operator compares with
	LimitUnit  string
	Formula    string // in the symbols of the glossary, SymbolsOfFormulas
	Source     string // where the definition or the formula comes from
	Policy     Policy // what may be missing
}

// SymbolsOfFormulas says what the letters in Entry.Formula stand for.
var SymbolsOfFormulas = []struct {
	Symbol string
	Means  Bilingual
}{
	{"TN, TX", Bilingual{"lowest and highest temperature of a day, °C", "température la plus basse et la plus haute d’un jour, °C"}},
	{"TG", Bilingual{"(TN + TX) / 2", "(TN + TX) / 2"}},
	{"RR", Bilingual{"rain and melted snow of a day, mm", "pluie et neige fondue d’un jour, mm"}},
	{"T", Bilingual{"temperature at a full hour of solar time, °C", "température à une heure pleine de temps solaire, °C"}},
	{"d, h, y, n", Bilingual{"a day, an hour, a year, the number of years", "un jour, une heure, une année, le nombre d’années"}},
	{"phi, delta, J", Bilingual{"latitude, declination of the sun (rad), day of the year", "latitude, déclinaison du soleil (rad), jour de l’année"}},
	{"#{...}", Bilingual{"how many there are", "leur nombre"}},
}

// Sources that several figures share.
const (
	sourceETCCDI  = "Zhang et al. 2011, WIREs Clim. Change 2:851-870 (ETCCDI)"
	sourceWMO     = "WMO-No. 1203 (2017)"
	sourceNCEI    = "NOAA/NCEI U.S. Climate Normals 1991-2020, freeze dates (TN at or below the threshold)"
	sourceFAO56   = "Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56"
	sourceLinvill = "on hourly temperatures of Linvill 1990, HortScience 25:14-16"
)
