package page

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/quantity"
)

// gardenData is what the script of a garden's page reads: all that the odds of
// one garden are reckoned from, in °C·d and °C. Numbers of days are given as
// half °C·d a day in the letters of base 64 (RFC 4648, section 5).
type gardenData struct {
	Town   string       `json:"town"`  // id
	Name   string       `json:"name"`  // of the town
	Start  float64      `json:"start"` // doubt of a planned start
	South  bool         `json:"south"`
	Words  []string     `json:"words"` // years in 10, from fewer than 1 to more than 9
	Short  []string     `json:"short"` // the same for a table
	Lines  []gardenLine `json:"lines"`
	Ways   []gardenWay  `json:"ways"`
	Nights *nightData   `json:"nights,omitempty"`
}

type gardenLine struct {
	ID      string  `json:"id"`
	Name    string  `json:"name"`
	Crop    string  `json:"crop"`
	Kind    string  `json:"kind"` // cultivar
	Mu      float64 `json:"mu"`
	SE      float64 `json:"se"`
	Garden  float64 `json:"garden"`
	Year    float64 `json:"year"`
	Delay   float64 `json:"delay"`
	Dieback float64 `json:"dieback"`
	Old     bool    `json:"old"` // borne on old wood
}

type gardenWay struct {
	ID      string            `json:"id"`
	Name    string            `json:"name"`
	Phrase  string            `json:"phrase"`
	Crop    string            `json:"crop"`
	Extra   float64           `json:"extra"`
	Heat    []float64         `json:"heat"`
	Lost    string            `json:"lost"`  // a digit a year: 1 where brebas are lost
	Kill    map[string]int    `json:"kill"`  // by cultivar, the place in Kills
	Kills   []string          `json:"kills"` // two hexadecimal digits a year, hundredths
	Seasons []gardenSeason    `json:"seasons"`
	Book    map[string][3]int `json:"book"` // by line: odds, in a cool and in a warm garden, hundredths
}

type gardenSeason struct {
	Year int    `json:"year"`
	From string `json:"from"` // first day of gain
	Gain string `json:"gain"`
	Lost bool   `json:"lost,omitempty"`
}

// nightData is what cold mornings are compared with.
type nightData struct {
	From   string     `json:"from"`  // first day of lows
	Lows   []*int16   `json:"lows"`  // tenths of °C
	Shift  float64    `json:"shift"` // from the station's low to the town's, °C
	Offset float64    `json:"offset"`
	Freeze [2][4]*int `json:"freeze"` // spring and autumn, 1 year in 10, day of season; at 2.2, 0, -2.2 and -4.4 °C
	Months [12]string `json:"months"`
	First  string     `json:"first"` // the first of a month
	At     [4]float64 `json:"at"`    // those thresholds
}

const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"

func lineID(cultivar, part, brebas string) string { return cultivar + "/" + part + "/" + brebas }

// gardenFile is the data file of a garden's page, a classic script so that it
// can be read from a plain folder too.
func (s *site) gardenFile(t *almanac.Town) ([]byte, error) {
	d := gardenData{Town: string(t.Row.ID), Name: s.in(t.Row.Row, "name", t.Row.Name), Start: almanac.GardenStartSd, South: t.Hemisphere == day.South}
	for level := range 11 {
		d.Words, d.Short = append(d.Words, s.yearsInTen(float64(level)/10)), append(d.Short, s.shortInTen(float64(level)/10))
	}
	for _, l := range s.book.GardenLines {
		d.Lines = append(d.Lines, gardenLine{ID: lineID(l.Cultivar, l.Part, l.Brebas), Name: s.gardenLabel(l.Cultivar, l.Part, l.Brebas), Crop: l.Crop, Kind: l.Cultivar,
			Mu: l.Mu, SE: l.SE, Garden: l.GardenSd, Year: l.YearSd, Delay: l.Delay, Dieback: l.DiebackDelay, Old: l.OnOldWood})
	}
	for i := range t.Garden.Ways {
		w, err := s.gardenWay(t, &t.Garden.Ways[i])
		if err != nil {
			return nil, err
		}
		d.Ways = append(d.Ways, w)
	}
	d.Nights = s.nightData(t)
	text, err := json.Marshal(d)
	if err != nil {
		return nil, err
	}
	return append(append([]byte("window.ripewardGarden = "), text...), ";\n"...), nil
}

func (s *site) gardenWay(t *almanac.Town, w *almanac.GardenWay) (gardenWay, error) {
	x := gardenWay{ID: w.Method, Name: s.howWords(&almanac.Odds{Method: w.Method, Weeks: w.Weeks}), Crop: w.Crop, Extra: w.ExtraNeed, Heat: w.Heat, Kill: map[string]int{}, Book: map[string][3]int{}}
	if m := s.methods[w.Method]; m != nil {
		x.Phrase = s.methodPhrase(s.in(m.Row, "name", m.Name), string(m.Place))
	}
	for _, lost := range w.SetBack {
		x.Lost += map[bool]string{false: "0", true: "1"}[lost]
	}
	// Cultivars as hardy as one another share their chances.
	for _, cultivar := range slices.Sorted(maps.Keys(w.Kill)) {
		kill := hex.EncodeToString(w.Kill[cultivar])
		at := slices.Index(x.Kills, kill)
		if at < 0 {
			at, x.Kills = len(x.Kills), append(x.Kills, kill)
		}
		x.Kill[cultivar] = at
	}
	for _, season := range w.Seasons {
		gain := make([]byte, len(season.Gain))
		for i, g := range season.Gain {
			if int(g) >= len(letters) {
				return x, fmt.Errorf("garden of town %s, %s, %d: a day of %d half degree-days", t.Row.ID, w.Method, season.Season, g)
			}
			gain[i] = letters[g]
		}
		x.Seasons = append(x.Seasons, gardenSeason{season.Season, season.From.String(), string(gain), season.SetBack})
	}
	for i := range t.Odds {
		if o := &t.Odds[i]; o.Method == w.Method && o.Weeks == w.Weeks && o.Reason == "" && s.cropOf(o.Cultivar) == w.Crop {
			x.Book[lineID(o.Cultivar, o.Part, o.Brebas)] = [3]int{hundredths(o.Odds), hundredths(o.Cool), hundredths(o.Warm)}
		}
	}
	return x, nil
}

func (s *site) cropOf(cultivar string) string {
	if c := s.cultivars[cultivar]; c != nil {
		return string(c.CropID)
	}
	return ""
}

func (s *site) nightData(t *almanac.Town) *nightData {
	if len(t.Garden.Lows) == 0 {
		return nil
	}
	n := &nightData{From: t.Garden.FirstLow.String(), Shift: t.Lead.NightShiftC, Offset: t.Row.NightOffset.Or(0), Months: s.Months, First: s.Day(1), At: [4]float64{2.2, 0, -2.2, -4.4}}
	for _, low := range t.Garden.Lows {
		if low == quantity.Missing {
			n.Lows = append(n.Lows, nil)
			continue
		}
		v := int16(low)
		n.Lows = append(n.Lows, &v)
	}
	for i, at := range [4]string{"_p22", "_0", "_m22", "_m44"} {
		for k, measure := range [2]string{"last_spring_freeze", "first_autumn_freeze"} {
			// After the spring date in 1 year in 10, before the autumn one.
			if x := t.Normal(measure + at); x != nil && x.Enough {
				if p := x.P[8-8*k]; p.OK && !p.None {
					rank := int(math.Round(p.V))
					n.Freeze[k][i] = &rank
				}
			}
		}
	}
	return n
}

// garden writes the page of one garden in a town and the data of its script.
func (r *rendering) garden(t *almanac.Town) error {
	if !hasGarden(t) {
		return nil
	}
	s := r.site
	data, err := s.gardenFile(t)
	if err != nil {
		return err
	}
	at := "towns/" + string(t.Row.ID) + "/garden/"
	if err := r.emit(at+"reckon.js", data); err != nil {
		return err
	}
	m := s.gardenPage(t)
	up := []link{{s.Say("Home"), "../../../index.html"}, {m.Name, "../index.html"}}
	return r.page(at+"index.html", "garden", s.Say("%s: your garden", m.Name), m.Lead, up, m)
}
