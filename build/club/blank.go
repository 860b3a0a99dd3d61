package club

import "strings"

// A Blank is a table that members contribute rows to, as a description of its
// columns: what its reader checks, and what each column means.
type Blank struct {
	Name   string // reports, cultivars, ...
	Title  string
	File   string // where the rows go
	About  string
	Key    string // the column that names a row and is unique, or ""
	Fields []Field
}

// Field is a column. Type is one of the Frictionless Table Schema: string,
// number, integer, date.
type Field struct {
	Name, Type, Unit, About string
	Required                bool // every cell must be filled
	Enum                    []string
	Pattern                 string
	MaxLength               int      // in letters; 0: no limit
	Min, Max                *float64 // of a number, both allowed
}

// Blanks are the tables that members contribute to, columns in the order of
// the reader's rows.
func Blanks() []Blank {
	return []Blank{
		blank(reportSpec, "Ripening reports", "data/reports/*.csv", "One tree's crop in one year: ripe, not ripe, or ripe already when somebody looked."),
		blank(cultivarSpec, "Cultivars", cultivarSpec.file, "Cultivars and what is known of each; blank where nobody knows."),
		blank(treeSpec, "Trees", treeSpec.file, "Trees that somebody keeps, so that a year without a report is seen as unknown."),
		blank(stationSpec, "Stations", stationSpec.file, "Stations whose daily records the club uses, with who publishes them."),
		blank(storeLogSpec, "Store thermometer readings", storeLogSpec.file, "Readings of minimum-maximum thermometers in members' stores."),
	}
}

func blank(s *spec, title, file, about string) Blank {
	b := Blank{Name: s.name, Title: title, File: file, About: about, Key: s.key}
	for i := range s.columns {
		b.Fields = append(b.Fields, s.field(&s.columns[i]))
	}
	return b
}

var fieldTypes = map[kind]string{textKind: "string", listKind: "string", numberKind: "number", wholeKind: "integer", dateKind: "date"}

func (s *spec) field(c *column) Field {
	f := Field{Name: c.name, Type: fieldTypes[c.kind], Unit: unitOf(c), About: columnAbout[s.name+"."+c.name], Required: c.need == wantCell, Enum: c.oneOf}
	switch c.form {
	case folderForm:
		f.Pattern, f.MaxLength = folderName.String(), maxID
	case codeForm:
		f.Pattern, f.MaxLength = codeName.String(), maxID
	}
	if c.bounded {
		lo, hi := c.lo, c.hi
		f.Min, f.Max = &lo, &hi
		if c.above { // version 1 of the Table Schema has no bound that is itself outside
			f.About = strings.TrimSuffix(f.About, ".") + "; more than " + plain(lo) + "."
		}
	}
	if c.ref != "" {
		f.About = strings.TrimSuffix(f.About, ".") + ": an id of data/" + c.ref + ".csv."
	}
	if c.kind == listKind {
		f.About = strings.TrimSuffix(f.About, ".") + "; several are separated by \";\"."
	}
	return f
}

// unitOf reads a number's unit from the end of its name.
func unitOf(c *column) string {
	if c.kind != numberKind && c.kind != wholeKind {
		return ""
	}
	for _, u := range [][2]string{{"_cd", "°C·d"}, {"_c", "°C"}, {"_m", "m"}, {"_g", "g"}, {"_litres", "L"}, {"_weeks", "weeks"}, {"_y", "years"}, {"latitude", "°"}, {"longitude", "°"}} {
		if strings.HasSuffix(c.name, u[0]) {
			return u[1]
		}
	}
	return ""
}

// columnAbout says what a column holds, by table and column. What its rule and
// its unit say already is joined to it.
var columnAbout = map[string]string{
	"reports.report_id":        "A name for the report that no other has; yours to choose.",
	"reports.town_id":          "The town whose weather the tree has",
	"reports.cultivar_id":      "The cultivar",
	"reports.name_as_given":    "What the grower calls the cultivar.",
	"reports.crop_part":        "The main crop, or brebas on last year's wood.",
	"reports.method_id":        "The way of growing",
	"reports.year":             "The year of the season; in the southern hemisphere the year in which it begins.",
	"reports.outcome":          "ripe: the first ripe fruit was seen on seen_on. not-ripe: nothing was ripe at the last look on seen_on. already-ripe: fruit was ripe at the first look on seen_on.",
	"reports.head_start_weeks": "Weeks of head start indoors; blank for the usual ones of the way of growing.",
	"reports.woke_on":          "The day the tree was woken.",
	"reports.leafed_on":        "The day the first leaf was out.",
	"reports.moved_out_on":     "The day the pot was moved out for good.",
	"reports.figlet_on":        "The day the first figlet was seen.",
	"reports.seen_on":          "The day of the first ripe fruit, or of the look; required but for not-ripe, where a report without it cannot count.",
	"reports.checked_on":       "The day of the look before; the fruit ripened after it.",
	"reports.date_precision":   "How exactly seen_on is known.",
	"reports.brebas":           "What became of the brebas, where the report is of the main crop.",
	"reports.dieback":          "How much of the wood the winter had killed.",
	"reports.tree_id":          "The tree",
	"reports.tree_age_y":       "The age of the tree.",
	"reports.grower":           "The grower's code, never a name.",
	"reports.consent":          "public where the report may be shown by itself, without the code; blank: it counts and is not shown.",
	"reports.status":           "For the club: blank until somebody has looked the report over. kept is used as it stands, held and rejected are not.",
	"reports.notes":            "Anything else; for the club, not for the site.",

	"cultivars.cultivar_id":      "A short name in addresses that no other has.",
	"cultivars.crop_id":          "The crop",
	"cultivars.name":             "The name as readers see it.",
	"cultivars.also_called":      "Other names of it",
	"cultivars.class_id":         "The cultivars that ripen like it",
	"cultivars.crops_borne":      "Which crops it bears.",
	"cultivars.pollination":      "Of figs: the type of pollination.",
	"cultivars.main_heat_cd":     "Heat from leaf-out to the first ripe fruit of the main crop, where a source states it.",
	"cultivars.main_heat_se_cd":  "Standard error of that heat.",
	"cultivars.main_heat_sd_cd":  "How far gardens and years differ in that heat, as a standard deviation.",
	"cultivars.breba_heat_cd":    "The same heat for brebas.",
	"cultivars.breba_heat_se_cd": "Standard error of the heat of brebas.",
	"cultivars.breba_heat_sd_cd": "How far gardens and years differ in the heat of brebas.",
	"cultivars.wood_kill_c":      "The low at which half of the wood dies in midwinter.",
	"cultivars.fruit_g":          "Weight of a fruit.",
	"cultivars.yield_class":      "How much it bears, in words.",
	"cultivars.rain_tolerance":   "How ripening fruit stands rain, in words.",
	"cultivars.eye":              "The eye of the fruit, in words.",
	"cultivars.skin":             "The skin of the fruit, in words.",
	"cultivars.flavour":          "The flavour, in words.",
	"cultivars.source":           "Where the row's figures come from.",
	"cultivars.notes":            "Anything else that readers should know.",

	"trees.tree_id":     "A code for the tree that no other has and that stays with it.",
	"trees.grower":      "The grower's code, never a name.",
	"trees.town_id":     "The town whose weather the tree has",
	"trees.cultivar_id": "The cultivar",
	"trees.method_id":   "The way of growing",
	"trees.since_year":  "The year it was planted or came; nothing is expected of it in that year.",
	"trees.until_year":  "The last year in which it was there; blank while it is.",
	"trees.pot_litres":  "The size of its pot.",
	"trees.site":        "Where it stands: in the open, at a wall, in a tent, in a hollow where cold air gathers.",

	"stations.station_id":       "The publisher's id, as the daily file has it.",
	"stations.name":             "The name as readers see it.",
	"stations.latitude":         "North is positive; blank where the daily file states it.",
	"stations.longitude":        "East is positive; blank where the daily file states it.",
	"stations.elevation_m":      "Height above the sea; blank where the daily file states it.",
	"stations.dialect":          "The form of the daily file, as a note; it is told from the file itself.",
	"stations.observation_time": "When the thermometer is read, as a note.",
	"stations.credit":           "Who publishes the record, in the words they ask for.",
	"stations.licence":          "The licence of the record.",
	"stations.about":            "Anything else that readers should know.",

	"store-log.store_id": "The kind of store",
	"store-log.town_id":  "The town whose weather the store has",
	"store-log.date":     "The day of the reading.",
	"store-log.low_c":    "The lowest temperature since the thermometer was cleared.",
	"store-log.high_c":   "The highest temperature since then.",
	"store-log.reset_on": "The day the thermometer was cleared before this reading.",
}
