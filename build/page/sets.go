package page

import (
	"encoding/hex"
	"encoding/json"
	"fmt"

	"ripeward/build/almanac"
)

// setBlock is one method's best sets of three cultivars.
type setBlock struct {
	Method string // with its weeks
	Phrase string
	Rows   []setRow
}

type setRow struct {
	Cultivars []link
	Level     int
	Share     string
	Weeks     string
}

// rowLabel names a row of a set: cultivar, part, and what is done with brebas.
func (s *site) rowLabel(r *almanac.TogetherRow) string {
	name := s.cultivarName(r.Cultivar)
	if note := s.partNote(oddsKey{r.Cultivar, r.Part}); note != "" {
		name += ", " + note
	}
	switch r.Brebas {
	case "kept":
		name = s.Say("%s (brebas kept)", name)
	case "removed":
		name = s.Say("%s (brebas removed)", name)
	}
	return name
}

func (s *site) setBlocks(t *almanac.Town) []setBlock {
	p := paths{"../../"}
	var out []setBlock
	for i := range t.Together {
		x := &t.Together[i]
		b := setBlock{Method: s.howWords(&almanac.Odds{Method: x.Method, Weeks: x.Weeks})}
		for _, trio := range x.Best {
			r := setRow{Level: yearsLevel(trio.Share), Share: s.Say("%s in 10", s.shortInTen(trio.Share)), Weeks: s.Trimmed(trio.Weeks, 1)}
			for _, k := range trio.Rows {
				if k >= 0 && k < len(x.Rows) {
					r.Cultivars = append(r.Cultivars, link{s.rowLabel(&x.Rows[k]), p.cultivar(x.Rows[k].Cultivar)})
				}
			}
			b.Rows = append(b.Rows, r)
		}
		if len(b.Rows) > 0 {
			out = append(out, b)
		}
	}
	return out
}

// setsData is what the script of the planner reads: per method the chance in
// hundredths of every row, year by year and garden by garden, two hexadecimal
// digits each, and the first and last day of picking of each year.
type setsData struct {
	Words   []string  `json:"words"` // years in 10, from fewer than 1 to more than 9
	Methods []setData `json:"methods"`
}

type setData struct {
	Name    string    `json:"name"`
	Years   int       `json:"years"`
	Gardens []float64 `json:"gardens"`
	Rows    []setLine `json:"rows"`
	First   []int     `json:"first"` // the rows chosen at first
}

type setLine struct {
	Name    string  `json:"name"`
	Chance  string  `json:"chance"`
	Picking []int16 `json:"picking"`
}

// setsFile is the data file of a town's planner, a classic script so that it
// can be read from a plain folder too.
func (s *site) setsFile(t *almanac.Town) ([]byte, error) {
	d := setsData{}
	for level := range 11 {
		d.Words = append(d.Words, s.yearsInTen(float64(level)/10))
	}
	for i := range t.Together {
		x := &t.Together[i]
		m := setData{Name: s.howWords(&almanac.Odds{Method: x.Method, Weeks: x.Weeks}), Years: len(x.Years), Gardens: x.Gardens}
		if len(x.Best) > 0 {
			m.First = x.Best[0].Rows[:]
		}
		for j := range x.Rows {
			r := &x.Rows[j]
			if len(r.Chance) != len(x.Years)*len(x.Gardens) || len(r.Picking) != len(x.Years) {
				return nil, fmt.Errorf("sets of town %s, %s: %d chances and %d days of picking for %d years and %d gardens", t.Row.ID, r.Cultivar, len(r.Chance), len(r.Picking), len(x.Years), len(x.Gardens))
			}
			line := setLine{Name: s.rowLabel(r), Chance: hex.EncodeToString(r.Chance)}
			for _, p := range r.Picking {
				line.Picking = append(line.Picking, p[0], p[1])
			}
			m.Rows = append(m.Rows, line)
		}
		d.Methods = append(d.Methods, m)
	}
	text, err := json.Marshal(d)
	if err != nil {
		return nil, err
	}
	return append(append([]byte("window.ripewardSets = "), text...), ";\n"...), nil
}
