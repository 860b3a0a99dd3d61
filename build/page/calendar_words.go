package page

import (
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
)

// A calendar leaves the site: its texts stand alone on a phone, so they carry
// the caution, the call for a forecast and the source in few words. The sheet
// for the wall takes its cautions from here too.

// shortCaution is a caution in a line, in both languages.
type shortCaution struct{ key, en, fr string }

// shortCautions follow the order of cautions, whose sources are theirs.
var shortCautions = []shortCaution{
	{"sap", "Sap and sun blister skin: gloves, long sleeves, a dull day, wash at once.", "La sève et le soleil brûlent la peau : gants, manches longues, temps couvert, lavez aussitôt."},
	{"heaters", "Heaters: fire and carbon monoxide. Alarms up, a metre (3 ft) clear, no fuel heater alone or overnight; local fire code.", "Chauffages : feu et monoxyde de carbone. Détecteurs, un mètre d’écart, jamais de flamme sans surveillance ni la nuit ; règles locales d’incendie."},
	{"electricity", "Electricity near water: residual-current outlet, outdoor cords; new circuits are for a licensed electrician.", "Électricité près de l’eau : prise différentielle, rallonges d’extérieur ; un nouveau circuit est l’affaire d’un électricien agréé."},
	{"lifting", "Wet pots are heavy: move before watering, hand truck, two people.", "Un pot mouillé est lourd : déplacez-le avant d’arroser, avec un diable, à deux."},
	{"bait", "Mice: mesh and boxed traps first; bait only as labelled, away from children and animals.", "Souris : grillage et pièges en boîte d’abord ; appâts selon l’étiquette, loin des enfants et des animaux."},
	{"mould", "Mould and dust: air first, wear mask and gloves.", "Moisissure et poussière : aérez d’abord, masque et gants."},
	{"storage-fumes", "No engine running where trees are stored; carbon monoxide alarm there.", "Aucun moteur en marche là où l’on hiverne ; détecteur de monoxyde de carbone."},
	{"ladder", "Ladder on level ground, three points of contact.", "Échelle sur sol plat, trois points d’appui."},
	{"snow", "Clear snow from outside, nobody under it.", "Déneigez de l’extérieur, personne dessous."},
	{"sprays", "Sprays: only as labelled for this crop where you live.", "Traitements : seulement selon l’étiquette pour cette culture, chez vous."},
	{"eating", "Eat ripe fruit only; latex or mulberry allergy: ask a doctor first.", "Ne mangez que des fruits mûrs ; allergie au latex ou à la mûre : demandez à un médecin."},
	{"moving-plants", "Plants across a border: ask the plant health agency.", "Plants au-delà d’une frontière : demandez au service phytosanitaire."},
}

// shortCautionsIn reads a caution cell as cautionsIn does, in few words. A text
// of the club's own is kept as it is.
func shortCautionsIn(cell, lang string) []string {
	var out []string
	for _, c := range cautionsIn(cell) {
		text := c.Text
		for _, s := range shortCautions {
			if s.key == c.Key && c.Key != "" {
				text = s.en
				if lang == "fr" {
					text = s.fr
				}
			}
		}
		out = append(out, text)
	}
	return out
}

// calendarWords are the sentences that calendars put together, by language.
type calendarWords struct {
	colon            string // between town and method
	careful          string
	forecast         string
	station, noPlace string // %s: station, years
}

var calendarLanguages = map[string]calendarWords{
	"en": {": ", "Take care: ", "A planning aid, not a forecast: check your national weather service first.",
		"Dates from the record of %s, %s.", "Dates from the station’s record, %s."},
	"fr": {"\u00a0: ", "Attention\u00a0: ", "Une aide à la planification, pas une prévision\u00a0: consultez d’abord votre service météorologique national.",
		"Dates tirées du relevé de %s, %s.", "Dates tirées du relevé de la station, %s."},
}

// wordsIn returns the sentences of a language, the English ones where it has
// none.
func wordsIn(lang string) calendarWords {
	if w, ok := calendarLanguages[lang]; ok {
		return w
	}
	return calendarLanguages["en"]
}

// textIn is a text column in a language, in the table's own where it is not
// translated.
func textIn(r club.Row, lang, column string, own club.Text) string {
	t, _ := r.In(lang, column, string(own))
	return t
}

// eventText is what an event says: why, what to take care of, to look at the
// forecast, and where the date comes from.
func (s *site) eventText(t *almanac.Town, k *club.Task, lang string) string {
	w := wordsIn(lang)
	var lines []string
	if why := textIn(k.Row, lang, "why", k.Why); why != "" {
		lines = append(lines, why)
	}
	if c := shortCautionsIn(textIn(k.Row, lang, "caution", k.Caution), lang); len(c) > 0 {
		lines = append(lines, w.careful+strings.Join(c, " "))
	}
	years := yearsWords(s.book.Span)
	source := strings.Replace(w.noPlace, "%s", years, 1)
	if t.Lead.StationID != "" {
		source = strings.Replace(strings.Replace(w.station, "%s", s.stationName(t.Lead.StationID), 1), "%s", years, 1)
	}
	return strings.Join(append(lines, w.forecast+" "+source), "\n")
}
