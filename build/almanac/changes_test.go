package almanac

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
)

// changedBook is a book of one town, of one cultivar, with one measure.
func changedBook(heat, low, high, odds float64, word string, need, se float64) *Book {
	n := climate.Normal{Measure: "heat_cd_base10", Unit: "°C·d"}
	n.P[4] = climate.Point{V: heat, OK: true}
	n.Low[4], n.High[4] = climate.Point{V: low, OK: true}, climate.Point{V: high, OK: true}
	return &Book{Club: &club.Club{}, Span: climate.Span{First: 1991, Last: 2020}, CutOff: day.Of(2020, 12, 31), PlanYear: 2021,
		Stations: []Station{{ID: "s", Last: day.Of(2020, 12, 31)}},
		Needs:    []HeatNeed{{Cultivar: "c", Part: "main", Mu: need, SE: se}},
		Towns: []Town{{Row: club.Town{ID: "t"}, Normals: []climate.Normal{n},
			Odds: []Odds{{Cultivar: "c", Part: "main", Method: "m", Odds: odds, Likelihood: word}, {Cultivar: "d", Part: "main", Method: "m", Reason: "no-wasp"}}}}}
}

func TestChanges(t *testing.T) {
	then := changedBook(1000, 960, 1040, 0.6, "about as likely as not", 1100, 30)
	if then.compare(); then.Changes != nil {
		t.Error("changes without a baseline")
	}
	against := func(now *Book) *Changes {
		now.Club.LastYear = &club.LastYear{PlanYear: 2021, DataCutOff: then.CutOff, Told: then.Told()}
		now.compare()
		return now.Changes
	}
	if c := against(changedBook(1000, 960, 1040, 0.6, "about as likely as not", 1100, 30)); !c.Empty() {
		t.Errorf("nothing moved, and it says %+v", c)
	}
	// Within the band, the word and the doubt: nothing.
	if c := against(changedBook(1040, 1000, 1080, 0.65, "about as likely as not", 1130, 30)); !c.Empty() {
		t.Errorf("small steps, and it says %+v", c)
	}
	now := changedBook(1041, 1000, 1080, 0.7, "likely", 1131, 30)
	now.Span.Last = 2021
	now.Stations = append(now.Stations, Station{ID: "n", Last: day.Of(2021, 12, 31)})
	now.Towns = append(now.Towns, Town{Row: club.Town{ID: "u"}})
	now.Needs = append(now.Needs, HeatNeed{Cultivar: "e", Part: "breba", Mu: 500})
	c := against(now)
	if len(c.Measures) != 1 || c.Measures[0].Before != 1000 || c.Measures[0].After != 1041 || c.Measures[0].Date {
		t.Errorf("measures %+v", c.Measures)
	}
	if len(c.Odds) != 1 || c.Odds[0].WordBefore != "about as likely as not" || c.Odds[0].WordAfter != "likely" {
		t.Errorf("odds %+v", c.Odds)
	}
	if len(c.Needs) != 1 || c.Needs[0].After != 1131 {
		t.Errorf("needs %+v", c.Needs)
	}
	if len(c.Stations) != 1 || c.Stations[0].Before != day.None || len(c.NewTowns) != 1 || len(c.NewParts) != 1 || c.NewParts[0] != (PartKey{"e", "breba"}) || c.Years != [2]string{"1991-2020", "1991-2021"} {
		t.Errorf("%+v", c)
	}
	if got := c.Towns(); len(got) != 1 || got[0] != "t" {
		t.Errorf("towns %v", got)
	}
	// What went.
	now = changedBook(1000, 960, 1040, 0.6, "about as likely as not", 1100, 30)
	now.Towns, now.Needs, now.Stations = nil, nil, nil
	if c := against(now); len(c.GoneTowns) != 1 || len(c.GoneParts) != 1 || len(c.Stations) != 1 || c.Stations[0].After != day.None {
		t.Errorf("%+v", c)
	}
}
