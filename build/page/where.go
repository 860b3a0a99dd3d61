package page

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/figure"
)

// mapTowns is the most towns that the map shows one by one; beyond it the map
// shows zones.
const mapTowns = 120

// whereMap is the map of the first page, in both sizes, or "" where fewer than
// two places have coordinates.
func (s *site) whereMap(p paths) (template.HTML, error) {
	m := figure.Map{Head: figure.Head{ID: "where", Title: s.Say("Map of the towns"), Width: 640}}
	towns := slices.DeleteFunc(s.townsByZone(), func(t *almanac.Town) bool { return !t.Row.Latitude.Set || !t.Row.Longitude.Set })
	zone := map[string]int{}
	for _, t := range towns {
		n := s.zoneName(t)
		if _, there := zone[n]; !there {
			zone[n] = len(m.Zones)
			m.Zones = append(m.Zones, n)
		}
		at := figure.Place{Name: s.townName(t), Href: p.town(string(t.Row.ID)), Latitude: t.Row.Latitude.Value, Longitude: t.Row.Longitude.Value, HeightM: math.NaN(), Zone: zone[n], Note: n}
		if t.Row.ElevationM.Set {
			at.HeightM = t.Row.ElevationM.Value
			at.Note += ", " + s.heightText(at.HeightM)
		}
		m.Places = append(m.Places, at)
	}
	if len(m.Places) < 2 {
		return "", nil
	}
	if m.Desc = s.mapWords(m.Places); len(towns) > mapTowns {
		m.Title, m.Places = s.Say("Map of the zones"), s.zonePlaces(towns, zone, p)
	}
	m.Levels, m.Relief = s.levels(m.Places)
	wide, err := m.SVG()
	if err != nil {
		return "", fmt.Errorf("the map of the towns: %w", err)
	}
	m.ID, m.Width = "where-s", 360
	narrow, err := m.SVG()
	if err != nil {
		return "", fmt.Errorf("the map of the towns: %w", err)
	}
	return template.HTML(wide) + template.HTML(narrow), nil
}

func (s *site) heightText(m float64) string {
	return s.text(s.Grouped(m)+"\u00a0m", s.Grouped(m/0.3048)+"\u00a0ft")
}

// mapWords is the map's text alternative.
func (s *site) mapWords(places []figure.Place) string {
	north := slices.MaxFunc(places, func(a, b figure.Place) int { return cmp.Compare(a.Latitude, b.Latitude) })
	south := slices.MinFunc(places, func(a, b figure.Place) int { return cmp.Compare(a.Latitude, b.Latitude) })
	text := s.Say("%s, north up; %s lies furthest north, %s furthest south.", upperFirst(s.countWords(len(places), "town")), north.Name, south.Name)
	known := slices.DeleteFunc(slices.Clone(places), func(x figure.Place) bool { return math.IsNaN(x.HeightM) })
	if len(known) > 1 {
		byHeight := func(a, b figure.Place) int { return cmp.Compare(a.HeightM, b.HeightM) }
		high, low := slices.MaxFunc(known, byHeight), slices.MinFunc(known, byHeight)
		text += " " + s.Say("%s is the highest at %s, %s the lowest at %s.", high.Name, s.heightText(high.HeightM), low.Name, s.heightText(low.HeightM))
	}
	return text + " " + s.Say("Every mark is a link; the list below has the same towns.")
}

// zonePlaces is one mark a zone, in the middle of its towns.
func (s *site) zonePlaces(towns []*almanac.Town, number map[string]int, p paths) []figure.Place {
	var out []figure.Place
	for i := range s.club.Zones {
		z := &s.club.Zones[i]
		name := s.in(z.Row, "name", z.Name)
		x := figure.Place{Name: name, Href: p.zone(string(z.ID)), HeightM: math.NaN(), Zone: number[name]}
		n, sumHeight, heights := 0.0, 0.0, 0.0
		for _, t := range towns {
			if t.Row.ZoneID != z.ID {
				continue
			}
			n++
			x.Latitude += t.Row.Latitude.Value
			x.Longitude += t.Row.Longitude.Value
			if t.Row.ElevationM.Set {
				heights++
				sumHeight += t.Row.ElevationM.Value
			}
		}
		if n == 0 {
			continue
		}
		x.Latitude, x.Longitude, x.Note = x.Latitude/n, x.Longitude/n, s.countDigits(int(n), "town")
		if heights > 0 {
			x.HeightM = sumHeight / heights
		}
		out = append(out, x)
	}
	return out
}

// levels are the heights at which the map's tone changes: round ones, at most
// five.
func (s *site) levels(places []figure.Place) (levels []float64, words string) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range places {
		if !math.IsNaN(x.HeightM) {
			lo, hi = math.Min(lo, x.HeightM), math.Max(hi, x.HeightM)
		}
	}
	if hi-lo < 20 {
		return nil, ""
	}
	step := 10.0
	for _, next := range []float64{20, 50, 100, 200, 500, 1000, 2000} {
		if (hi-lo)/step > 5 {
			step = next
		}
	}
	var m, ft []string
	for v := (math.Floor(lo/step) + 1) * step; v < hi; v += step {
		levels = append(levels, v)
		m, ft = append(m, s.Grouped(v)), append(ft, s.Grouped(v/0.3048))
	}
	if len(levels) == 0 {
		return nil, ""
	}
	steps := func(list []string, unit string) string { return strings.Join(list, ", ") + "\u00a0" + unit }
	return levels, s.Say("height: a step of tone at %s", s.text(steps(m, "m"), steps(ft, "ft")))
}
