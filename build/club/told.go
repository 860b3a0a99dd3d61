package club

// Told is what a club's pages said when it last closed a year, as far as the
// next year is compared with it. Keys of two or three parts are joined by a
// blank, which no id holds.
type Told struct {
	Years    string              `json:"years"`        // reference years: "1991-2020"
	Reports  int                 `json:"reports_used"` // behind the heat needs
	Stations map[string]string   `json:"stations"`     // last day with data
	Needs    map[string]ToldNeed `json:"heat_needs"`   // by cultivar and part
	Towns    map[string]ToldTown `json:"towns"`
}

// ToldNeed is a heat need with its standard error, °C·d.
type ToldNeed struct {
	Heat float64 `json:"heat_cd"`
	SE   float64 `json:"se_cd"`
}

// ToldTown is what a town was told.
type ToldTown struct {
	Measures map[string]ToldMeasure `json:"measures"`
	Odds     map[string]ToldOdds    `json:"odds"` // by cultivar, part and method
}

// ToldMeasure is the middle year of a measure with its 90 % interval: days of
// season for dates, else in the measure's unit.
type ToldMeasure struct {
	Middle float64 `json:"middle"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
}

// ToldOdds are odds, 0-1, with their likelihood word.
type ToldOdds struct {
	Odds float64 `json:"odds"`
	Word string  `json:"word"`
}
