package page

import (
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// A calendar leaves the site: its texts stand alone on a phone, so they carry
// the caution, the call for a forecast and the source in few words. The sheet
// for the wall takes its cautions from here too.

// shortCaution is a caution in a line.
type shortCaution struct{ key, text string }

// shortCautions follow the order of cautions, whose sources are theirs.
var shortCautions = []shortCaution{
	{"sap", words.Mark("Sap and sun blister skin: gloves, long sleeves, a dull day, wash at once.")},
	{"heaters", words.Mark("Heaters: fire and carbon monoxide. Alarms up, a metre (3 ft) clear, no fuel heater alone or overnight; local fire code.")},
	{"electricity", words.Mark("Electricity near water: residual-current outlet, outdoor cords; new circuits are for a licensed electrician.")},
	{"lifting", words.Mark("Wet pots are heavy: move before watering, hand truck, two people.")},
	{"bait", words.Mark("Mice: mesh and boxed traps first; bait only as labelled, away from children and animals.")},
	{"mould", words.Mark("Mould and dust: air first, wear mask and gloves.")},
	{"storage-fumes", words.Mark("No engine running where trees are stored; carbon monoxide alarm there.")},
	{"ladder", words.Mark("Ladder on level ground, three points of contact.")},
	{"snow", words.Mark("Clear snow from outside, nobody under it.")},
	{"sprays", words.Mark("Sprays: only as labelled for this crop where you live.")},
	{"eating", words.Mark("Eat ripe fruit only; latex or mulberry allergy: ask a doctor first.")},
	{"moving-plants", words.Mark("Plants across a border: ask the plant health agency.")},
}

// shortCautionsIn reads a caution cell as cautionsIn does, in few words. A text
// of the club's own is kept as it is.
func (v voice) shortCautionsIn(cell string) []string {
	var out []string
	for _, c := range v.cautionsIn(cell) {
		text := c.Text
		for _, s := range shortCautions {
			if s.key == c.Key && c.Key != "" {
				text = v.Say(s.text)
			}
		}
		out = append(out, text)
	}
	return out
}

// eventText is what an event says: why, what to take care of, to look at the
// forecast, and where the date comes from.
func (s *site) eventText(t *almanac.Town, k *club.Task) string {
	var lines []string
	if why := s.in(k.Row, "why", k.Why); why != "" {
		lines = append(lines, why)
	}
	if c := s.shortCautionsIn(s.in(k.Row, "caution", k.Caution)); len(c) > 0 {
		lines = append(lines, s.Say("Take care: %s", strings.Join(c, " ")))
	}
	years := yearsWords(s.book.Span)
	source := s.Say("Dates from the station’s record, %s.", years)
	if t.Lead.StationID != "" {
		source = s.Say("Dates from the record of %s, %s.", s.stationName(t.Lead.StationID), years)
	}
	return strings.Join(append(lines, s.Say("A planning aid, not a forecast: check your national weather service first.")+" "+source), "\n")
}
