package station

import (
	"strings"

	"ripeward/build/diag"
)

// Dialect names a form in which a publisher hands out daily records.
type Dialect struct {
	Name    string // short, stable: appears in Account.Dialects
	Label   string // a few words for readers, in a list of stations
	About   string // one sentence for readers
	Format  string // the publisher's format document
	Address string // where it stands; empty for forms of the house
}

// dialect is one row of the table below. recognise looks at the first lines of
// a file and returns the reader of its rows, or nil if the file is of another
// dialect, or a problem if it is of this one and cannot be read.
type dialect struct {
	Dialect
	recognise func(*head, Options) (func(*scanner), *diag.Problem)
}

// dialects are tried in this order. To add one: a row here, its reader in a
// file of its own, and an invented sample in testdata/station; tests name what
// is still missing.
var dialects []dialect

func init() {
	dialects = []dialect{
		{Dialect{
			Name:   "mapped",
			Label:  diag.Mark("table described by the club"),
			About:  diag.Mark("any table with a header whose columns a file NAME.toml beside it names"),
			Format: diag.Mark("the house's own"),
		}, recogniseMapped},
		{Dialect{
			Name:    "ghcn-dly",
			Label:   diag.Mark("GHCN-Daily, fixed width"),
			About:   diag.Mark("GHCN-Daily, fixed width: one line a month and element, tenths of °C and mm"),
			Format:  diag.Mark("NOAA NCEI, GHCN-Daily readme.txt, section III (format of data files)"),
			Address: "https://www1.ncdc.noaa.gov/pub/data/ghcn/daily/readme.txt",
		}, recogniseDly},
		{Dialect{
			Name:    "ghcn-wide",
			Label:   diag.Mark("GHCN-Daily, table of one station"),
			About:   diag.Mark("GHCN-Daily, one CSV a station: tenths of °C and mm, a column of attributes beside each element"),
			Format:  diag.Mark("NOAA NCEI, GHCND_documentation.pdf; flags as in GHCN-Daily readme.txt, section III"),
			Address: "https://www.ncei.noaa.gov/data/global-historical-climatology-network-daily/doc/GHCND_documentation.pdf",
		}, recogniseWide},
		{Dialect{
			Name:    "ncei-order-metric",
			Label:   diag.Mark("NCEI daily summaries, metric"),
			About:   diag.Mark("NCEI daily summaries ordered in metric units: CSV of one or more stations, °C and mm with decimals"),
			Format:  diag.Mark("NOAA NCEI, GHCND_documentation.pdf (daily summaries)"),
			Address: "https://www1.ncdc.noaa.gov/pub/data/cdo/documentation/GHCND_documentation.pdf",
		}, recogniseOrderMetric},
		{Dialect{
			Name:    "ncei-order-us",
			Label:   diag.Mark("NCEI daily summaries, US units"),
			About:   diag.Mark("NCEI daily summaries ordered in standard units: CSV of one or more stations, whole °F and inches"),
			Format:  diag.Mark("NOAA NCEI, GHCND_documentation.pdf (daily summaries)"),
			Address: "https://www1.ncdc.noaa.gov/pub/data/cdo/documentation/GHCND_documentation.pdf",
		}, recogniseOrderUS},
		{Dialect{
			Name:    "eccc-daily",
			Label:   diag.Mark("Environment Canada, daily table"),
			About:   diag.Mark("Environment and Climate Change Canada, daily CSV of one station: °C and mm with decimals and flags"),
			Format:  diag.Mark("ECCC, Technical Documentation, Digital Archive of Canadian Climatological Data, section 5 (table of flags)"),
			Address: "https://climate.weather.gc.ca/doc/Technical_Documentation.pdf",
		}, recogniseECCC},
		{Dialect{
			Name:    "ghcn-by-year",
			Label:   diag.Mark("GHCN-Daily, table by year"),
			About:   diag.Mark("GHCN-Daily by year, CSV of many stations with one value a row: tenths of °C and mm"),
			Format:  diag.Mark("NOAA NCEI, readme-by_year.txt; flags as in GHCN-Daily readme.txt, section III"),
			Address: "https://www1.ncdc.noaa.gov/pub/data/ghcn/daily/by_year/readme-by_year.txt",
		}, recogniseLong},
		{Dialect{
			Name:    "dwd-klima-tag",
			Label:   diag.Mark("DWD, daily climate table"),
			About:   diag.Mark("Deutscher Wetterdienst, produkt_klima_tag of one station: °C and mm with decimals, a quality level a row"),
			Format:  diag.Mark("DWD Climate Data Center, data set description of daily climate observations (kl), table of columns and quality levels"),
			Address: "https://opendata.dwd.de/climate_environment/CDC/observations_germany/climate/daily/kl/",
		}, recogniseDWD},
		{Dialect{
			Name:    "meteo-france",
			Label:   diag.Mark("Météo-France, daily table"),
			About:   diag.Mark("Météo-France, daily CSV of the stations of a département: °C and mm with decimals, a quality code beside each value"),
			Format:  diag.Mark("Météo-France, Données climatologiques de base quotidiennes, descriptif des champs (Q_descriptif_champs_RR-T-Vent.csv)"),
			Address: "https://meteo.data.gouv.fr/",
		}, recogniseMeteoFrance},
		{Dialect{
			Name:    "ecad",
			Label:   diag.Mark("ECA&D, series of one element"),
			About:   diag.Mark("European Climate Assessment & Dataset, text of one station and element: tenths of °C and mm with a quality code"),
			Format:  diag.Mark("ECA&D, the file format in the first lines of each file"),
			Address: "https://www.ecad.eu/dailydata/",
		}, recogniseECAD},
		{Dialect{
			Name:    "meteoswiss",
			Label:   diag.Mark("MeteoSwiss, daily table"),
			About:   diag.Mark("MeteoSwiss, daily CSV of one or more stations, with the older (station/location) or the newer header (station_abbr): °C and mm"),
			Format:  diag.Mark("MeteoSwiss, Swiss National Basic Climatological Network, description of the data file; Open Data documentation, Data structure"),
			Address: "https://opendatadocs.meteoswiss.ch/",
		}, recogniseMeteoSwiss},
		{Dialect{
			Name:   "plain-c",
			Label:  diag.Mark("plain table in °C"),
			About:  diag.Mark("the plain form in metric units: date,tmin_c,tmax_c and optionally precip_mm; the station id is the file name"),
			Format: diag.Mark("the house's own"),
		}, recognisePlainC},
		{Dialect{
			Name:   "plain-f",
			Label:  diag.Mark("plain table in °F"),
			About:  diag.Mark("the plain form in US units: date,tmin_f,tmax_f and optionally precip_in; the station id is the file name"),
			Format: diag.Mark("the house's own"),
		}, recognisePlainF},
	}
}

// Dialects lists what can be read, in a fixed order.
func Dialects() []Dialect {
	var ds []Dialect
	for _, d := range dialects {
		ds = append(ds, d.Dialect)
	}
	return ds
}

func knownDialects() string {
	var names []string
	for _, d := range dialects[1:] { // the first is what a NAME.toml makes of any table
		names = append(names, d.Name)
	}
	return "known dialects: " + strings.Join(names, ", ")
}
