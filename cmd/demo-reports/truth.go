package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"ripeward/build/club"
)

// How far the truth lies from the club's tables. A cultivar's true need is
// drawn around its row in cultivars.csv, or its class's where that is blank.
const (
	needSpread = 85.0  // standard deviation, °C·d
	needLimit  = 160.0 // no further out than this, °C·d
	// A first-year tree and one killed to the ground need more than others.
	firstYearDelay = 150
)

// The true scatters, °C·d: the club's gardens differ less than classes.csv
// says, and its years a good deal less. One effect of a garden holds for all
// its trees of a crop.
var scatter = map[string]struct{ garden, year float64 }{
	"fig":         {100, 60},
	"pomegranate": {130, 80},
	"persimmon":   {105, 65},
	"grape":       {80, 55},
}

// needKey names what has a heat need.
type needKey struct{ cultivar, part string }

type trueNeed struct {
	key         needKey
	crop        string
	true, table int // °C·d from leaf-out to the first ripe fruit
}

// truth is what the reports come from and the almanac does not know.
type truth struct {
	needs   []trueNeed // in the order of cultivars.csv, main before breba
	byKey   map[needKey]int
	gardens map[string]float64 // by grower, in standard deviations of the gardens
}

// drawTruth draws a truth around the club's tables.
func drawTruth(c *club.Club) *truth {
	t := &truth{byKey: map[needKey]int{}, gardens: map[string]float64{}}
	classes := map[club.Text]*club.Class{}
	for i := range c.Classes {
		classes[c.Classes[i].ID] = &c.Classes[i]
	}
	for _, x := range c.Cultivars {
		class := classes[x.ClassID]
		if class == nil || x.Pollination == "smyrna" {
			continue
		}
		add := func(part string, row, ofClass club.Number) {
			table := ofClass
			if row.Set {
				table = row
			}
			if !table.Set {
				return
			}
			k := needKey{string(x.ID), part}
			t.byKey[k] = len(t.needs)
			off := draw("need "+k.cultivar+" "+part).normal(needSpread, needLimit)
			t.needs = append(t.needs, trueNeed{k, string(x.CropID), int(math.Round(table.Value)) + off, int(math.Round(table.Value))})
		}
		if x.CropsBorne != "breba" && x.Pollination != "san-pedro" {
			add("main", x.MainHeatCd, class.MainHeatCd)
		}
		if x.CropsBorne == "both" || x.CropsBorne == "breba" {
			add("breba", x.BrebaHeatCd, class.BrebaHeatCd)
		}
	}
	for _, g := range growers {
		z := draw("garden "+g.Code).normal(100, 200) // hundredths of an sd
		t.gardens[g.Code] = float64(z) / 100
	}
	return t
}

// need returns a need's row, and false where the fruit never ripens.
func (t *truth) need(cultivar, part string) (trueNeed, bool) {
	i, ok := t.byKey[needKey{cultivar, part}]
	if !ok {
		return trueNeed{}, false
	}
	return t.needs[i], true
}

// garden is a garden's effect on every need of a crop, °C·d: more heat needed
// is a cool spot.
func (t *truth) garden(grower, crop string) float64 { return t.gardens[grower] * scatter[crop].garden }

// csv prints the truth.
func (t *truth) csv() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# The hidden truth behind the demonstration's reports, written by cmd/demo-reports -truth. Invented.\n"+
		"# need: heat from leaf-out to the first ripe fruit, °C·d, drawn around the club's tables (table_value) with sd %g, at most %g off.\n"+
		"# garden_sd, year_sd: how needs scatter between gardens and between years, °C·d. garden: one garden's effect, °C·d (for figs).\n"+
		"# failure_reported: the chance, in per cent, that a grower who reports a tree's season does so where nothing ripened.\n"+
		"what,id,crop_part,true_value,table_value\n", needSpread, needLimit)
	for _, n := range t.needs {
		fmt.Fprintf(&b, "need,%s,%s,%d,%d\n", n.key.cultivar, n.key.part, n.true, n.table)
	}
	var crops []string
	for crop := range scatter {
		crops = append(crops, crop)
	}
	slices.Sort(crops)
	for _, crop := range crops {
		fmt.Fprintf(&b, "garden_sd,%s,,%g,\nyear_sd,%s,,%g,\n", crop, scatter[crop].garden, crop, scatter[crop].year)
	}
	for _, g := range growers {
		fmt.Fprintf(&b, "garden,%s,,%.0f,\nfailure_reported,%s,,%d,\n", g.Code, t.garden(g.Code, "fig"), g.Code, g.Failures)
	}
	return b.Bytes()
}
