package almanac

import (
	"math"
	"slices"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// soFar tells of the season that a town's record ends in: its heat to date
// beside the reference years', and the odds and dates of first ripening if it
// goes on as each of them did (SCIENCE 10).
func (k *kit) soFar(b *Book, p *place) {
	w := p.weather
	if w.partial == nil || len(w.years) == 0 || k.reference == nil {
		return
	}
	y := w.partial
	s := &SoFar{Season: y.Season, Until: w.until, Of: len(w.years)}
	crop := &k.reference.model
	now := heatUntil(y, crop, y.Hemisphere.Rank(w.until))
	var past []float64
	for _, ref := range w.years {
		h := heatUntil(ref, crop, y.Hemisphere.Rank(w.until))
		past = append(past, h)
		if h < now {
			s.Rank++
		}
	}
	s.Heat = quantity.Step(now, stepHeat)
	slices.Sort(past)
	for i, at := range []*float64{&s.Cool, &s.Normal, &s.Warm} {
		*at = quantity.Step(climate.Quantile(past, [...]float64{0.1, 0.5, 0.9}[i]), stepHeat)
	}
	for i := y.Index(y.Hemisphere.RankOf(3, 1)); i <= int(w.until-y.Start()); i++ {
		if math.IsNaN(y.TMin[i]) || math.IsNaN(y.TMax[i]) {
			s.MissingDays++
		}
	}
	spliced := make([]*ripening.Year, len(w.years))
	for i, ref := range w.years {
		spliced[i] = splice(y, ref, w.until)
	}
	p.town.SoFar = s
	many := len(b.Club.Towns) > ManyTowns
	for i := range k.methods {
		m := &k.methods[i]
		if many && m != k.together[0] && m != k.together[1] {
			continue
		}
		for _, ck := range k.cropOrder {
			if ck.ripens {
				k.soFarRows(p, ck, m, spliced)
			}
		}
	}
	slices.SortStableFunc(s.Rows, func(a, b SoFarRow) int {
		return compareOdds(&Odds{Cultivar: a.Cultivar, Part: a.Part, Method: a.Method, Brebas: a.Brebas}, &Odds{Cultivar: b.Cultivar, Part: b.Part, Method: b.Method, Brebas: b.Brebas})
	})
}

// soFarRows answers a crop's lines under a method over the spliced years.
func (k *kit) soFarRows(p *place, ck *cropKit, m *methodKit, spliced []*ripening.Year) {
	s := p.town.SoFar
	r := &run{kit: k, place: p, crop: ck, method: m, made: map[*ripening.Year]*ripening.Season{},
		plans: []ripening.Plan{p.anchors.plan(m, m.defaultWeeks())}}
	a := &asking{run: r, weeks: m.defaultWeeks()}
	if !m.model.Ground && !r.plans[0].Out.OK {
		return
	}
	leafed, heat := true, 0.0
	for _, y := range spliced {
		u := r.season(y).Supply(r.plans[0].Out.Rank, a.weeks)
		a.supplies = append(a.supplies, u)
		a.grown = append(a.grown, grown{u.Season, u.Heat, u.SetBacks, u.Carried})
		leafed = leafed && u.Leafed && u.LeafOut <= p.weather.hemisphere.Rank(s.Until)
		heat += u.HeatOn(s.Until) / float64(len(spliced))
	}
	for c := range ck.cultivars {
		cu := &ck.cultivars[c]
		for i := range cu.parts {
			q := &cu.parts[i]
			if q.reason != "" {
				continue
			}
			o := a.odds(cu, q)
			row := SoFarRow{Cultivar: o.Cultivar, Part: o.Part, Method: o.Method, Brebas: o.Brebas, Weeks: o.Weeks, Now: o.Odds, FirstRipe: o.FirstRipe,
				LeafedOut: leafed, HeatSoFar: quantity.Step(heat, stepNeed)}
			if j, found := slices.BinarySearchFunc(p.town.Odds, &o, func(u Odds, o *Odds) int { return compareOdds(&u, o) }); found {
				row.Usual, row.UsualRipe = p.town.Odds[j].Odds, p.town.Odds[j].FirstRipe
			}
			s.Rows = append(s.Rows, row)
		}
	}
}

// heatUntil is the outdoor heat above the crop's base, without upper cut-off,
// from the season's start to the end of a day.
func heatUntil(y *ripening.Year, c *ripening.Crop, until day.Rank) float64 {
	return heatBetween(y, c.Base, math.Inf(1), until)
}

func heatBetween(y *ripening.Year, base, upper float64, until day.Rank) float64 {
	sum := 0.0
	for i := 0; i < len(y.TMin) && y.Rank(i) <= until; i++ {
		if lo, hi := y.TMin[i], y.TMax[i]; !math.IsNaN(lo) && !math.IsNaN(hi) {
			sum += climate.SineDegreeDays(lo, hi, base, upper)
		}
	}
	return sum
}

// splice is a season that runs as now until a day, and from then on as ref did.
func splice(now, ref *ripening.Year, until day.Date) *ripening.Year {
	n := len(now.TMin)
	y := &ripening.Year{Season: now.Season, Hemisphere: now.Hemisphere, Latitude: now.Latitude, Valid: true,
		TMin: slices.Clone(now.TMin), TMax: slices.Clone(now.TMax)}
	for i := int(until-now.Start()) + 1; i < n; i++ {
		j := min(max(ref.Index(now.Rank(i)), 0), len(ref.TMin)-1)
		y.TMin[i], y.TMax[i] = ref.TMin[j], ref.TMax[j]
	}
	return y
}
