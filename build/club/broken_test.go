package club_test

import (
	"slices"
	"strings"
	"testing"

	"ripeward/build/club"
)

const (
	townHead   = "town_id,name,zone_id,latitude,longitude,elevation_m\n"
	reportHead = "report_id,town_id,cultivar_id,crop_part,method_id,year,outcome,seen_on,grower\n"
	treeHead   = "tree_id,town_id,cultivar_id,grower,since_year,until_year,site\n"
	methodHead = "method_id,name,place,"
)

// broken is a file put into the tiny club, and everything that is then said.
var broken = []struct {
	name, file, text string
	want             []string
}{
	// The file as a whole.
	{"empty file", "data/zones.csv", "\n", []string{
		"data/zones.csv:1:1: the file has no header | its first line names the columns: zone_id, name"}},
	{"comments only", "data/zones.csv", "# nothing yet\n", []string{
		"data/zones.csv:1:1: the file has no header | its first line names the columns: zone_id, name"}},
	{"header only", "data/zones.csv", "zone_id,name\n", []string{
		"data/zones.csv: the table has a header and no rows | it needs the columns zone_id, name"}},
	{"Latin-1", "data/zones.csv", "zone_id,name\nvalley,Vall\xe9e\n", []string{
		"data/zones.csv:2:12: byte 0xE9 is not UTF-8 text | save the file as CSV in UTF-8: in the spreadsheet's \"Save as\", the kind \"CSV UTF-8\" or the character set UTF-8"}},
	{"UTF-16", "data/zones.csv", "\xff\xfez\x00o\x00n\x00e\x00", []string{
		"data/zones.csv:1:1: byte 0xFF is not UTF-8 | this looks like UTF-16; save the file as CSV in UTF-8: in the spreadsheet's \"Save as\", the kind \"CSV UTF-8\" or the character set UTF-8"}},
	{"UTF-16 without a mark", "data/zones.csv", "z\x00o\x00n\x00e\x00", []string{
		"data/zones.csv:1:2: byte 0x00 is not UTF-8 text | this looks like UTF-16 or no text at all; save the file as CSV in UTF-8: in the spreadsheet's \"Save as\", the kind \"CSV UTF-8\" or the character set UTF-8"}},
	{"truncated letter", "data/zones.csv", "zone_id,name\nvalley,Vall\xc3", []string{
		"data/zones.csv:2:12: byte 0xC3 is not UTF-8 text | save the file as CSV in UTF-8: in the spreadsheet's \"Save as\", the kind \"CSV UTF-8\" or the character set UTF-8"}},
	{"lone carriage returns", "data/zones.csv", "zone_id,name\rvalley,Valley\r", []string{
		"data/zones.csv:1:13: lines end in a lone carriage return | save the file with line ends LF or CRLF"}},
	{"long line", "data/zones.csv", "zone_id,name\nvalley,Valley\nhill," + strings.Repeat("x", 65532) + "\n", []string{
		"data/zones.csv:3: line of 65537 bytes; the limit is 65536 | look for a missing quotation mark or line end"}},
	{"unknown sep", "data/zones.csv", "sep=|\nzone_id|name\n", []string{
		"data/zones.csv:1:1: separator \"|\" is not one of comma, semicolon and tab | save the file with one of these separators"}},
	{"no header", "data/zones.csv", "valley,Valley\nhill,Hill\n", []string{
		"data/zones.csv:1:1: this is no header of data/zones.csv: none of its columns is known | a title above the header begins with #; the header names at least: zone_id, name"}},

	// The header.
	{"missing column", "data/zones.csv", "zone_id,about\nvalley,Low\n", []string{
		"data/zones.csv:1:1: required column name is missing | add it to the header"}},
	{"misspelt required column", "data/zones.csv", "# c\nzone_id,nmae\nvalley,Valley\n", []string{
		"data/zones.csv:2:9: required column name is missing | rename the column \"nmae\" to name"}},
	{"misspelt optional column", "data/zones.csv", "zone_id,name,abuot\nvalley,Valley,Low\n", []string{
		"data/zones.csv:1:14: warning: unknown column \"abuot\" is not read | did you mean about?"}},
	{"foreign column", "data/zones.csv", "zone_id,name,population\nvalley,Valley,12\n", []string{
		"data/zones.csv:1:14: warning: unknown column \"population\" is not read | columns: zone_id, name, about"}},
	{"capitals in the header", "data/zones.csv", "Zone_ID,NAME\nvalley,Valley\n", []string{
		"data/zones.csv:1:1: warning: column \"Zone_ID\" is read as zone_id | write column names in small letters",
		"data/zones.csv:1:9: warning: column \"NAME\" is read as name | write column names in small letters"}},
	{"duplicate column", "data/zones.csv", "zone_id,name,name\nvalley,Valley,Hill\n", []string{
		"data/zones.csv:1:14: column name stands twice; the first is at data/zones.csv:1:9 | delete or rename one of them"}},
	{"duplicate column in other capitals", "data/zones.csv", "zone_id,name,Name\nvalley,Valley,Hill\n", []string{
		"data/zones.csv:1:14: warning: column \"Name\" is read as name | write column names in small letters",
		"data/zones.csv:1:14: column name stands twice; the first is at data/zones.csv:1:9 | delete or rename one of them"}},
	{"column without a name", "data/zones.csv", "zone_id,name,\nvalley,Valley,low\n", []string{
		"data/zones.csv:1:14: warning: column 3 has no name and is not read | name it, or delete its cells"}},
	{"translation of no column", "data/zones.csv", "zone_id,name,nom_fr\nvalley,Valley,Vallée\n", []string{
		"data/zones.csv:1:14: warning: unknown column \"nom_fr\" is not read | columns: zone_id, name, about"}},
	{"translation of a number", "data/towns.csv", "town_id,name,zone_id,latitude,longitude,elevation_m,elevation_m_fr\nmill,Mill,valley,45,7,300,1\n", []string{
		"data/towns.csv:1:53: warning: unknown column \"elevation_m_fr\" is not read | columns: town_id, name, zone_id, latitude, longitude, elevation_m, station_ids, day_offset_c, night_offset_c, about"}},

	// Rows.
	{"too few cells", "data/zones.csv", "zone_id,name\nvalley,Valley\nhill\n", []string{
		"data/zones.csv:3:1: row has 1 cell, the header has 2 | leave a cell blank rather than out"}},
	{"remarks sorted below the header", "data/zones.csv", "zone_id,name\n\"# zone_id, name\",\n# more,\nvalley,Valley\n", []string{
		"data/zones.csv:2:1: warning: a line that begins with # below the header is not read | remarks stand above the header"}},
	{"too many cells", "data/towns.csv", townHead + "mill,Mill, by the weir,valley,45,7,300\n", []string{
		"data/towns.csv:2:36: row has 7 cells, the header has 6 | put a cell that holds ',' in quotation marks; numbers have a decimal point"}},
	{"decimal commas between commas", "data/towns.csv", townHead + "mill,Mill,valley,45,25,-7,50,300\n", []string{
		"data/towns.csv:2:27: row has 8 cells, the header has 6 | put a cell that holds ',' in quotation marks; numbers have a decimal point"}},
	{"quotation mark in a bare cell", "data/zones.csv", "zone_id,name\nvalley,Valley\nhill,6\" hill\n", []string{
		"data/zones.csv:3:7: a quotation mark inside a cell that does not begin with one | put the whole cell in quotation marks and double the one inside: \"6\"\" pot\""}},
	{"text after a quoted cell", "data/zones.csv", "zone_id,name\nvalley,\"The\" valley\n", []string{
		"data/zones.csv:2:8: a cell in quotation marks goes on after the closing one | double a quotation mark inside such a cell: \"6\"\" pot\""}},
	{"quotation mark never closed", "data/zones.csv", "zone_id,name\nvalley,Valley\nhill,\"Hill\nridge,Ridge\nslope,Slope\n", []string{
		"data/zones.csv:3:6: a quotation mark opens here and is never closed | put one at the end of the cell",
		"data/zones.csv:4:1: warning: zone \"ridge\" has no town | towns.csv says in zone_id where a town lies",
		"data/zones.csv:5:1: warning: zone \"slope\" has no town | towns.csv says in zone_id where a town lies"}},
	{"blank required cell", "data/towns.csv", townHead + "mill,Mill,valley,45,,300\n", []string{
		"data/towns.csv:2:21: longitude is blank | every row needs one"}},
	{"control character", "data/zones.csv", "zone_id,name\nvalley,Val\x07ley\n", []string{
		"data/zones.csv:2:8: name: control character U+0007 in a text | delete the cell and type it again"}},
	{"turned text", "data/zones.csv", "zone_id,name\nvalley,Val\u202eley\n", []string{
		"data/zones.csv:2:8: name: character U+202E, which turns the direction of writing, in a text | delete the cell and type it again"}},
	{"id that climbs", "data/zones.csv", "zone_id,name\nvalley,Valley\n../../etc,Up\n", []string{
		"data/zones.csv:3:1: zone_id \"../../etc\" is not a plain id | use small letters, digits, \"-\" and \"_\": etc"}},
	{"control character in a translation", "data/zones.csv", "zone_id,name,name_fr\nvalley,Valley,Val\x07\n", []string{
		"data/zones.csv:2:15: name_fr: control character U+0007 in a text | delete the cell and type it again"}},

	// Places stay true where gocsv counts rows: after blank lines, comments,
	// an empty row of a spreadsheet and a line end inside a cell.
	{"after blank lines", "data/towns.csv", "# c\n\n" + townHead + "\n\nmill,Mill,valley,45,7,300\n\n,,,,,\ncrag,Crag,valley,45,7,high\n", []string{
		"data/towns.csv:9:23: elevation_m: \"high\" is not a number | write digits with a decimal point, like -3.5"}},
	{"after a line end in a cell", "data/towns.csv", townHead + "mill,\"Mill\nby the\n\nweir\",valley,45,7,300\ncrag,\"Crag\n2\",valley,45,7,high\n", []string{
		"data/towns.csv:7:16: elevation_m: \"high\" is not a number | write digits with a decimal point, like -3.5"}},
	{"CRLF and a byte order mark", "data/towns.csv", "\ufeff" + strings.ReplaceAll(townHead+"\nmill,Mill,valley,45,7,high\n", "\n", "\r\n"), []string{
		"data/towns.csv:3:23: elevation_m: \"high\" is not a number | write digits with a decimal point, like -3.5"}},
	{"columns are bytes", "data/towns.csv", townHead + "mill,Mühlé,valley,45,7,high\n", []string{
		"data/towns.csv:2:26: elevation_m: \"high\" is not a number | write digits with a decimal point, like -3.5"}},

	// Numbers that a kinder reader would take for something.
	{"thousands comma", "data/towns.csv", townHead + "mill,Mill,valley,45,7,\"1,234\"\n", []string{
		"data/towns.csv:2:23: elevation_m: \"1,234\" is not a number | write a decimal point and no thousands mark; a decimal comma is read only in files separated by \";\""}},
	{"decimal comma in a tab file", "data/towns.csv", strings.ReplaceAll(townHead, ",", "\t") + "mill\tMill\tvalley\t45,5\t7\t300\n", []string{
		"data/towns.csv:2:18: latitude: \"45,5\" is not a number | write a decimal point and no thousands mark; a decimal comma is read only in files separated by \";\""}},
	{"both marks", "data/towns.csv", strings.ReplaceAll(townHead, ",", ";") + "mill;Mill;valley;45,5;7;1.234,5\n", []string{
		"data/towns.csv:2:25: elevation_m: \"1.234,5\" is not a number | write digits with a decimal point, like -3.5"}},
	{"NaN", "data/towns.csv", townHead + "mill,Mill,valley,45,7,NaN\n", []string{
		"data/towns.csv:2:23: elevation_m: \"NaN\" is not a number | leave the cell blank where nothing is known"}},
	{"Inf", "data/towns.csv", townHead + "mill,Mill,valley,45,7,-Inf\n", []string{
		"data/towns.csv:2:23: elevation_m: \"-Inf\" is not a number | write digits with a decimal point, like -3.5"}},
	{"hexadecimal", "data/towns.csv", townHead + "mill,Mill,valley,45,7,0x10\n", []string{
		"data/towns.csv:2:23: elevation_m: \"0x10\" is not a number | write digits with a decimal point, like -3.5"}},
	{"underscore", "data/towns.csv", townHead + "mill,Mill,valley,45,7,1_000\n", []string{
		"data/towns.csv:2:23: elevation_m: \"1_000\" is not a number | write the number without thousands marks"}},
	{"exponent", "data/towns.csv", townHead + "mill,Mill,valley,45,7,3e2\n", []string{
		"data/towns.csv:2:23: elevation_m: \"3e2\" is not a number | write digits with a decimal point, like -3.5"}},
	{"unit", "data/towns.csv", townHead + "mill,Mill,valley,45,7,300 m\n", []string{
		"data/towns.csv:2:23: elevation_m: \"300 m\" is not a number | write the number alone; the column's name says the unit"}},
	{"degrees and minutes", "data/towns.csv", townHead + "mill,Mill,valley,45°23′ N,7,300\n", []string{
		"data/towns.csv:2:18: latitude: \"45°23′ N\" is not a number | write degrees with a decimal point, minutes divided by 60; south and west are negative"}},
	{"formula that failed", "data/towns.csv", townHead + "mill,Mill,valley,45,7,#REF!\n", []string{
		"data/towns.csv:2:23: elevation_m: \"#REF!\" is not a number | the spreadsheet could not reckon this cell: mend its formula, or leave it blank"}},
	{"printer's minus", "data/towns.csv", townHead + "mill,Mill,valley,45,−7,300\n", []string{
		"data/towns.csv:2:21: longitude: \"−7\" is not a number | write the minus sign as a plain hyphen"}},
	{"huge", "data/towns.csv", townHead + "mill,Mill,valley,45,7,1" + strings.Repeat("0", 12) + "\n", []string{
		"data/towns.csv:2:23: elevation_m: \"1000000000000\" is too large a number"}},
	{"fraction in a whole number", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020.9,ripe,2020-09-01,g1\n", []string{
		"data/reports/r.csv:2:30: year: \"2020.9\" is not a whole number | write digits only, like 12"}},
	{"hexadecimal whole number", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,0x7E4,ripe,2020-09-01,g1\n", []string{
		"data/reports/r.csv:2:30: year: \"0x7E4\" is not a whole number | write digits with a decimal point, like -3.5"}},

	// Dates.
	{"slashed date, two readings", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,9/8/2020,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"9/8/2020\" can be 2020-08-09 (day first) or 2020-09-08 (month first) | write dates as YYYY-MM-DD, or set date_order = \"day-first\" or \"month-first\" in data/club.toml"}},
	{"slashed date, one reading", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,9/18/2020,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"9/18/2020\" is not of the form YYYY-MM-DD | write 2020-09-18, or set date_order = \"month-first\" in data/club.toml"}},
	{"date with the year first", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2020/9/8,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"2020/9/8\" is not of the form YYYY-MM-DD | write 2020-09-08"}},
	{"year of two digits", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,9/8/20,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"9/8/20\" has a year of two digits | write dates as YYYY-MM-DD"}},
	{"day that is not", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2021,ripe,2021-02-29,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"2021-02-29\" is not a day of the calendar | month 2 of 2021 has 28 days"}},
	{"day that is not, day first", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2021,ripe,31/09/2021,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"31/09/2021\" is not a day of the calendar | month 9 of 2021 has 30 days"}},
	{"month that is not", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2021,ripe,2021-13-01,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"2021-13-01\" is not a day of the calendar | there is no month 13"}},
	// 38749 is 2006-02-01 in the 1900 date base system (ECMA-376, SpreadsheetML).
	{"spreadsheet's number of a day", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2006,ripe,38749,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"38749\" is not a date | a spreadsheet's number for a day, mostly 2006-02-01: show the column as dates, year-month-day, and save again"}},
	{"date with a time", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2020-09-08 00:00:00,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"2020-09-08 00:00:00\" has a time of day | write 2020-09-08"}},
	{"date without hyphens", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,20200908,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: \"20200908\" is not of the form YYYY-MM-DD | write 2020-09-08"}},
	{"date in another age", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,0202-09-08,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on: the year of 0202-09-08 is outside 1600 to 2200"}},

	// Ids.
	{"id with capitals and a space", "data/zones.csv", "zone_id,name\nvalley,Valley\nÉpine Noire,Hill\n", []string{
		"data/zones.csv:3:1: zone_id \"Épine Noire\" is not a plain id | use small letters, digits, \"-\" and \"_\": epine-noire"}},
	{"id out of the folder", "data/zones.csv", "zone_id,name\nvalley,Valley\n../up,Hill\n", []string{
		"data/zones.csv:3:1: zone_id \"../up\" is not a plain id | use small letters, digits, \"-\" and \"_\": up"}},
	{"id of a device", "data/zones.csv", "zone_id,name\nvalley,Valley\naux,Hill\n", []string{
		"data/zones.csv:3:1: zone_id \"aux\" is a name that Windows keeps for itself | add a letter or a digit"}},
	{"id of a page", "data/zones.csv", "zone_id,name\nvalley,Valley\nall,Hill\n", []string{
		"data/zones.csv:3:1: zone_id \"all\" is a name that pages of the site have | choose another"}},
	{"id too long", "data/zones.csv", "zone_id,name\nvalley,Valley\n" + strings.Repeat("z", 65) + ",Hill\n", []string{
		"data/zones.csv:3:1: zone_id \"" + strings.Repeat("z", 57) + "...\" is longer than 64 letters | the id is for addresses; the name may be long"}},
	{"id twice", "data/zones.csv", "zone_id,name\nvalley,Valley\nvalley,Hill\n", []string{
		"data/zones.csv:3:1: zone_id \"valley\" stands twice; the first is at data/zones.csv:2:1 | give each row its own id"}},
	{"name twice", "data/zones.csv", "zone_id,name\nvalley,Valley\nhill,Valley\n", []string{
		"data/zones.csv:3:1: warning: zone \"hill\" has no town | towns.csv says in zone_id where a town lies",
		"data/zones.csv:3:6: warning: name \"Valley\" stands twice; the first is at data/zones.csv:2:8 | readers cannot tell them apart"}},
	{"a very long wrong word", "data/towns.csv", townHead + "mill,Mill," + strings.Repeat("v", 5000) + ",45,7,300\n", []string{
		"data/towns.csv:2:11: zone_id \"" + strings.Repeat("v", 57) + "...\" is not in data/zones.csv | there are: valley"}},
	{"ids that differ in capitals", "data/stations.csv", "station_id,name,latitude,longitude,elevation_m\nS1,Weir,45,7,300\ns1,Hut,45,7,300\n", []string{
		"data/stations.csv:3:1: station_id \"s1\" differs from another only in capitals; the first is at data/stations.csv:2:1 | give each row its own id"}},

	// Ranges.
	{"swapped degrees", "data/towns.csv", townHead + "mill,Mill,valley,-97.2,45,300\n", []string{
		"data/towns.csv:2:18: latitude -97.2 is outside -90 to 90 | latitude and longitude look swapped"}},
	{"degrees without a point", "data/towns.csv", townHead + "mill,Mill,valley,4510,7,300\n", []string{
		"data/towns.csv:2:18: latitude 4510 is outside -90 to 90 | write degrees with a decimal point; south and west are negative"}},
	{"town in the ocean", "data/towns.csv", townHead + "mill,Mill,valley,0,0,300\n", []string{
		"data/towns.csv:2:18: warning: latitude and longitude are both 0: in the ocean off Africa | write degrees with a decimal point"}},
	{"feet", "data/towns.csv", townHead + "mill,Mill,valley,45,7,5400\n", []string{
		"data/towns.csv:2:23: warning: elevation_m 5400 is higher than most towns | is it in feet?"}},
	{"scatter of zero", "data/cultivars.csv", "cultivar_id,crop_id,name,main_heat_cd,main_heat_sd_cd\nfirst,fig,First,1200,0\n", []string{
		"data/cultivars.csv:2:22: main_heat_sd_cd 0 is not above 0"}},
	{"share above one", "data/stores.csv", "store_id,name,house_share,house_c,ground_share\nattached-garage,G,37,20,0\n", []string{
		"data/stores.csv:2:19: house_share 37 is outside 0 to 1"}},
	{"shares above one together", "data/stores.csv", "store_id,name,house_share,house_c,ground_share\nbarn,B,0.7,20,0.6\n", []string{
		"data/stores.csv:2:8: house_share and ground_share make 1.3 together | they are shares of one whole: at most 1"}},
	{"share of a house without its warmth", "data/stores.csv", "store_id,name,house_share,house_c\nbarn,B,0.7,\n", []string{
		"data/stores.csv:2:12: house_c is blank where house_share is not 0 | how warm is the house in winter?"}},
	{"base above upper", "data/crops.csv", "crop_id,name,ripening_model,base_c,upper_c\nfig,Fig,first-ripe-heat,30,10\n", []string{
		"data/crops.csv:2:25: base_c 30 is not below upper_c 10"}},
	{"model without a base", "data/crops.csv", "crop_id,name,ripening_model,base_c,upper_c\nfig,Fig,first-ripe-heat,,30\nlemon,Lemon,none,,\n", []string{
		"data/crops.csv:2:25: base_c is blank | a crop with a ripening model needs one"}},
	{"head start above its limit", "data/methods.csv", methodHead + "head_start_weeks,head_start_max_weeks\nm,M,pot,8,4\n", []string{
		"data/methods.csv:2:9: head_start_weeks 8 is above head_start_max_weeks 4"}},
	{"carried without a warmth", "data/methods.csv", methodHead + "carry_below_c,carried_to_c\nm,M,pot,2,\n", []string{
		"data/methods.csv:2:11: carried_to_c is blank where carry_below_c is not | fill both, or neither where nothing is carried"}},
	{"thermometer upside down", "data/store-log.csv", "store_id,town_id,date,low_c,high_c,reset_on\ncellar,mill,2021-01-05,9,4,2021-01-06\n", []string{
		"data/store-log.csv:2:24: low_c 9 is above high_c 4",
		"data/store-log.csv:2:28: reset_on 2021-01-06 is after date 2021-01-05 | reset_on is the day the reading before this one was cleared"}},

	// Closed lists.
	{"unknown place", "data/methods.csv", methodHead + "wake\nm,M,tub,planned\n", []string{
		"data/methods.csv:2:5: place \"tub\" is not known | one of: pot, ground"}},
	{"misspelt anchor", "data/methods.csv", methodHead + "out_anchor\nm,M,pot,last_freeze_1_in_20\n", []string{
		"data/methods.csv:2:9: out_anchor \"last_freeze_1_in_20\" is not known | did you mean \"last_freeze_1_in_10\"?"}},
	{"word with a capital", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,Ripe,2020-09-01,g1\n", []string{
		"data/reports/r.csv:2:35: outcome \"Ripe\" is not known | did you mean \"ripe\"?"}},
	{"pollination", "data/cultivars.csv", "cultivar_id,crop_id,name,pollination\nfirst,fig,First,san pedro\n", []string{
		"data/cultivars.csv:2:17: pollination \"san pedro\" is not known | did you mean \"san-pedro\"?"}},

	// References.
	{"name in the place of an id", "data/reports/r.csv", reportHead + "r1,mill,First,main,pot-plain,2020,ripe,2020-09-08,g1\n", []string{
		"data/reports/r.csv:2:9: cultivar_id \"First\" is not in data/cultivars.csv | that is its name: write first"}},
	{"unknown zone", "data/towns.csv", townHead + "mill,Mill,vally,45,7,300\n", []string{
		"data/towns.csv:2:11: zone_id \"vally\" is not in data/zones.csv | did you mean \"valley\"?"}},
	{"stations with a comma", "data/towns.csv", strings.TrimSpace(townHead) + ",station_ids\nmill,Mill,valley,45,7,300,\"S1, S2 and others\"\n", []string{
		"data/towns.csv:2:27: station_ids \"S1, S2 and others\" is not in data/stations.csv | separate several ids by \";\""}},
	{"station twice", "data/towns.csv", strings.TrimSpace(townHead) + ",station_ids\nmill,Mill,valley,45,7,300,S1;S1\n", []string{
		"data/towns.csv:2:27: station_ids names \"S1\" twice"}},
	{"class of another crop", "data/cultivars.csv", "cultivar_id,crop_id,name,class_id\nfirst,grape,First,fig-early\n", []string{
		"data/cultivars.csv:2:19: class \"fig-early\" is of crop \"fig\", not of \"grape\" | choose a class of the cultivar's own crop"}},
	{"task for no method", "data/tasks.csv", "task_id,name,anchor,offset_days,methods\nprune,Prune,out,0,pot-plan;ground-open\n", []string{
		"data/tasks.csv:2:19: methods \"pot-plan\" is not in built-in/methods.csv | did you mean \"pot-plain\"?"}},
	{"task with a script", "data/tasks.csv", "task_id,name,anchor,offset_days,link\nprune,Prune,out,0,javascript:alert(1)\n", []string{
		"data/tasks.csv:2:19: link \"javascript:alert(1)\" is not a page or a web address | write guides/NAME/ or https://..."}},
	{"tree that ends before it begins", "data/trees.csv", treeHead + "t1,mill,first,g1,2020,2018,open\n", []string{
		"data/trees.csv:2:18: since_year 2020 is above until_year 2018"}},

	// Reports.
	{"ripe on no day", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,,g1\nr2,mill,first,main,pot-plain,2020,not-ripe,,g1\n", []string{
		"data/reports/r.csv:2:40: seen_on is blank in a report of ripe fruit | the day the first ripe fruit was seen; date_precision says how exactly it is known",
		"data/reports/r.csv:3:44: warning: seen_on is blank: a report without a last look cannot count | the day of the last look"}},
	{"seen in another year", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2021,ripe,2020-09-01,g1\n", []string{
		"data/reports/r.csv:2:40: warning: seen_on 2020-09-01 is not in the season of 2021 | that season runs from 2021-01-01 to 2021-12-31"}},
	{"growers by name", "data/reports/r.csv", reportHead +
		"r1,mill,first,main,pot-plain,2020,ripe,2020-09-01,Xena Quill\nr2,mill,first,main,pot-plain,2021,ripe,2021-09-01,Xena Quill\n" +
		"r3,mill,first,main,pot-plain,2020,ripe,2020-09-01,x@example.org\nr4,mill,first,main,pot-plain,2020,ripe,2020-09-01,+1 555 0100\nr5,mill,first,main,pot-plain,2020,ripe,2020-09-01,g07\n", []string{
		"data/reports/r.csv:2:51: warning: grower looks like a name | write a code that only the club can read, like g07",
		"data/reports/r.csv:4:51: warning: grower looks like an e-mail address | write a code that only the club can read, like g07",
		"data/reports/r.csv:5:51: warning: grower looks like a telephone number | write a code that only the club can read, like g07"}},
	{"report id in two files", "data/reports/r.csv", reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2020-09-01,g1\nr1,mill,first,main,pot-plain,2021,ripe,2021-09-01,g1\n", []string{
		"data/reports/r.csv:3:1: report_id \"r1\" stands twice; the first is at data/reports/r.csv:2:1 | give each row its own id"}},
	{"reports in a spreadsheet", "data/reports/r.ods", "PK", []string{
		"data/reports/r.ods: warning: file is not read | save reports as CSV"}},

	// Files.
	{"workbook in the place of a table", "data/zones.csv", "PK\x03\x04\x14", []string{
		"data/zones.csv:1:1: a workbook, not a CSV table | open it in the spreadsheet and save the table as CSV in UTF-8; another ending does not change what is in it"}},
	{"workbook beside a table", "data/zones.xlsx", "PK\x03\x04\x14", []string{
		"data/zones.xlsx: warning: file is not read | a workbook is for you alone: save its table as CSV in UTF-8, and keep the workbook elsewhere"}},
	{"reports in the folder of tables", "data/2020.csv", reportHead, []string{
		"data/2020.csv: warning: file is not read | tables: zones.csv, towns.csv, stations.csv, crops.csv, classes.csv, cultivars.csv, methods.csv, stores.csv, store-log.csv, mixes.csv, pots.csv, feeds.csv, tasks.csv, trees.csv; reports stand in the folder data/reports"}},
	{"table with a wrong name", "data/tree.csv", treeHead, []string{
		"data/tree.csv: warning: file is not read | did you mean trees.csv?"}},
}

func TestBroken(t *testing.T) {
	for _, b := range broken {
		t.Run(b.name, func(t *testing.T) {
			_, ps := load(t, write(t, map[string]string{b.file: b.text}), club.Options{})
			var got []string
			for _, s := range said(ps) {
				// What a club's own rule table does to the built-in ones is
				// told in notes, and tested elsewhere.
				if !strings.HasPrefix(s, "built-in/") {
					got = append(got, s)
				}
			}
			if !slices.Equal(got, b.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(b.want, "\n"))
			}
		})
	}
}

// An error that follows from another one is not told: who mends the first has
// mended both.
func TestErrorsThatFollow(t *testing.T) {
	const (
		reports = reportHead + "r1,mill,first,main,pot-plain,2020,ripe,2020-09-08,g1\nr2,mill,first,main,pot-plain,2021,ripe,2021-09-08,g1\n"
		slashed = reportHead + "r1,mill,first,main,pot-plain,2020,ripe,9/8/2020,g1\nr2,mill,first,main,pot-plain,2020,ripe,9/18/2020,g1\n"
		weir    = "weir,Weir,valley,45,7,300\n"
	)
	for _, c := range []struct {
		name  string
		files map[string]string
		want  []string
	}{
		{"id with a capital", map[string]string{"data/towns.csv": townHead + weir + "Mill,Mill,valley,45,7,300\n", "data/reports/r.csv": reports}, []string{
			"data/towns.csv:3:1: town_id \"Mill\" is not a plain id | use small letters, digits, \"-\" and \"_\": mill"}},
		{"quotation mark left open", map[string]string{"data/towns.csv": townHead + "mill,\"Mill,valley,45,7,300\n" + weir, "data/reports/r.csv": reports}, []string{
			"data/towns.csv:2:6: a quotation mark opens here and is never closed | put one at the end of the cell"}},
		{"another row's quotation mark", map[string]string{"data/towns.csv": townHead + "hill,\"Hill,valley,45,7,300\n" + weir, "data/reports/r.csv": reports}, []string{
			"data/reports/r.csv:2:4: town_id \"mill\" is not in data/towns.csv | there are: weir",
			"data/reports/r.csv:3:4: town_id \"mill\" is not in data/towns.csv | there are: weir",
			"data/towns.csv:2:6: a quotation mark opens here and is never closed | put one at the end of the cell"}},
		{"table of trees not there", map[string]string{"data/reports/r.csv": "tree_id," + strings.ReplaceAll(reports, "\nr", "\nt1,r")}, []string{
			"data/reports/r.csv:2:1: tree_id \"t1\": the club has no rows in data/trees.csv | put the table back, or leave tree_id blank in every row"}},
		{"settings that cannot be read", map[string]string{"data/club.toml": "name = \"T\"\ndate_order = day-first\n", "data/reports/r.csv": slashed}, []string{
			"data/club.toml:2:14: expected value but found \"day\" instead | texts stand in quotation marks: date_order = \"day-first\""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ps := load(t, write(t, c.files), club.Options{})
			if got := said(ps); !slices.Equal(got, c.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
			// Where rows are set aside, those that follow are too, and say so.
			if c.files["data/towns.csv"] == "" {
				return
			}
			kept, _ := load(t, write(t, c.files), club.Options{SetAside: true})
			if len(kept.Reports) != 0 || len(kept.Dropped) != 3 {
				t.Errorf("kept %d reports; %v", len(kept.Reports), kept.Dropped)
			}
		})
	}
}
