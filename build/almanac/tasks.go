package almanac

import (
	"math"
	"slices"
	"sort"

	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// floor is the whole day before or at v; what lies a hair below a day is it,
// as in quantity.Round.
func floor(v float64) int { return int(math.Floor(v + 1e-9)) }

// anchors are a town's dates that plans and tasks hang on (SCIENCE 5).
type anchors struct {
	byName   map[string]ripening.Anchor
	supplies map[string][]ripening.Supply // by method, of the reference crop at default weeks
}

// anchorsOf reads the climate's anchors off the normals. dormant_out and the
// leafed-out date fall back to the first warm day where the place has no such
// freeze.
func anchorsOf(t *Town, w *weather) *anchors {
	a := &anchors{byName: map[string]ripening.Anchor{}, supplies: map[string][]ripening.Supply{}}
	at := func(measure string, tenth int) ripening.Anchor {
		n := t.Normal(measure)
		if n == nil {
			return ripening.Anchor{}
		}
		p := n.P[tenth-1]
		return ripening.Anchor{Rank: day.Rank(p.V), OK: p.OK && !p.None}
	}
	warm := ripening.FirstWarm(w.hemisphere, w.mean10)
	or := func(x, fallback ripening.Anchor) ripening.Anchor {
		if x.OK {
			return x
		}
		return fallback
	}
	// After this date in 1 year in 10: nine tenths of the years lie before it.
	a.byName["dormant_out"] = or(at("last_spring_freeze_m44", 9), warm)
	a.byName["last_freeze_1_in_10"] = or(at("last_spring_freeze_0", 9), warm)
	a.byName["last_freeze_1_in_2"] = or(at("last_spring_freeze_0", 5), warm)
	a.byName["first_freeze_1_in_10"] = at("first_autumn_freeze_0", 1)
	a.byName["first_freeze_1_in_2"] = at("first_autumn_freeze_0", 5)
	a.byName["first_freeze_m22_1_in_10"] = at("first_autumn_freeze_m22", 1)
	a.byName["first_freeze_m22_1_in_2"] = at("first_autumn_freeze_m22", 5)
	a.byName["feed_stop"] = a.byName["first_freeze_m22_1_in_2"].Plus(-63)
	a.byName["uncover"] = at("last_spring_freeze_m44", 9)
	return a
}

// plan applies a method's anchors and offsets.
func (a *anchors) plan(m *methodKit, weeks int) ripening.Plan {
	dormant := a.byName["dormant_out"]
	leafed := a.byName[string(m.row.OutAnchor)].Plus(m.row.OutOffsetDays.Or(0))
	in := a.byName[string(m.row.InAnchor)].Plus(m.row.InOffsetDays.Or(0))
	if m.row.OutAnchor == "" {
		leafed = a.byName["last_freeze_1_in_10"].Plus(m.row.OutOffsetDays.Or(0))
	}
	return ripening.MakePlan(dormant, leafed, in, m.model.Planned, weeks)
}

// window is an anchor that varies by cultivar: from the earliest to the latest.
type window struct{ from, until day.Rank }

// rankMedian is the middle rank over those years that have one; ok where at
// least half of all years do. A date of spring rounds later, of autumn earlier:
// cautious says which way.
func rankMedian(ranks []float64, years int, round func(float64) float64) (day.Rank, bool) {
	if years == 0 || 2*len(ranks) < years {
		return 0, false
	}
	sort.Float64s(ranks)
	return day.Rank(round(climate.Quantile(ranks, 0.5))), true
}

// tasks dates the club's jobs for every method, in the plan year.
func (k *kit) tasks(b *Book, t *Town, w *weather, a *anchors) []TaskDate {
	if k.reference == nil || len(w.years) == 0 {
		return nil
	}
	var out []TaskDate
	for i := range k.methods {
		m := &k.methods[i]
		windows := k.windows(t, w, a, m)
		for _, task := range k.club.Tasks {
			if len(task.Methods) > 0 && !slices.Contains(task.Methods, string(m.row.ID)) {
				continue
			}
			win, ok := windows[string(task.Anchor)]
			if !ok {
				continue
			}
			from := win.from + day.Rank(task.OffsetDays.Or(0))
			until := win.until + day.Rank(task.OffsetDays.Or(0)+task.LastsDays.Or(0))
			out = append(out, TaskDate{Method: string(m.row.ID), Task: string(task.ID),
				From: t.Hemisphere.InSeason(b.PlanYear, from), Until: t.Hemisphere.InSeason(b.PlanYear, until)})
		}
	}
	slices.SortStableFunc(out, func(x, y TaskDate) int {
		switch {
		case x.Method != y.Method:
			if x.Method < y.Method {
				return -1
			}
			return 1
		case x.From != y.From:
			return int(x.From - y.From)
		}
		return int(x.Until - y.Until)
	})
	return out
}

// windows computes every anchor of the closed list for one method.
func (k *kit) windows(t *Town, w *weather, a *anchors, m *methodKit) map[string]window {
	out := map[string]window{}
	set := func(name string, r day.Rank, ok bool) {
		if ok {
			out[name] = window{r, r}
		}
	}
	for name, anchor := range a.byName {
		set(name, anchor.Rank, anchor.OK)
	}
	if n := t.Normal("last_spring_freeze_m44"); n != nil && n.P[7].OK && !n.P[7].None && a.byName["uncover"].OK {
		// The first stage comes off when the chance is down to 1 in 5.
		out["uncover"] = window{day.Rank(n.P[7].V), a.byName["uncover"].Rank}
	}
	if m.model.Ground {
		delete(out, "dormant_out")
	} else {
		delete(out, "uncover")
		p := a.plan(m, m.defaultWeeks())
		set("out", p.Out.Rank, p.Out.OK)
		set("harden_off", p.HardenOff.Rank, p.HardenOff.OK)
		set("wake", p.Wake.Rank, p.Wake.OK)
		if p.Weeks > 0 {
			delete(out, "dormant_out") // it leaves its store awake
		}
	}

	crop := k.reference
	var usefulEnd, dormantIn []float64
	for _, y := range w.years {
		if r, ok := y.LastWarm(crop.row.UsefulEndC.Or(math.Inf(1))); ok {
			usefulEnd = append(usefulEnd, float64(r))
		}
		if r, ok := firstAutumnLow(y, crop.row.BringInC.Or(math.Inf(-1))); ok {
			dormantIn = append(dormantIn, float64(r))
		}
	}
	n := len(w.years)
	r, ok := rankMedian(usefulEnd, n, math.Floor)
	set("useful_end_1_in_2", r, ok)
	r, ok = rankMedian(dormantIn, n, math.Floor)
	set("dormant_in", r, ok)

	for _, s := range t.Stores {
		// A tree that is woken on purpose before then has left its store.
		wake, planned := out["wake"]
		if s.Store == string(m.row.StoreID) && s.Crop == string(crop.row.ID) && !s.Wrapped {
			set("store_wakes", s.WakesP50.Rank, !s.WakesP50.None && !(planned && wake.from <= s.WakesP50.Rank))
		}
	}
	supplies := a.supplies[string(m.row.ID)]
	var leaf []float64
	for _, s := range supplies {
		if s.Leafed {
			leaf = append(leaf, float64(s.LeafOut))
		}
	}
	r, ok = rankMedian(leaf, n, math.Ceil)
	set("leaf_out", r, ok)
	k.cultivarWindows(t, m, supplies, out)
	return out
}

// cultivarWindows adds the anchors that vary by cultivar: the earliest to the
// latest over those of the reference crop that ripen in at least 5 years of 10
// here; where none does, the class that needs least.
func (k *kit) cultivarWindows(t *Town, m *methodKit, supplies []ripening.Supply, out map[string]window) {
	crop := k.reference
	widen := func(name string, r day.Rank, ok bool) {
		if !ok {
			return
		}
		if w, has := out[name]; has {
			out[name] = window{min(w.from, r), max(w.until, r)}
		} else {
			out[name] = window{r, r}
		}
	}
	n := len(supplies)
	heats := func(main, figlet float64) {
		var seen, lastSeen []float64
		for i := range supplies {
			if r, ok := supplies[i].RankWhen(figlet); ok {
				seen = append(seen, float64(r))
			}
			if r, ok := supplies[i].LastRankWith(main - figlet); ok {
				lastSeen = append(lastSeen, float64(r))
			}
		}
		shown, ok := rankMedian(seen, n, math.Ceil)
		widen("figlet", shown, ok)
		// Still supplied in 5 years of 10: half of all years lie at or after
		// that day; a year in which it never is lies before all days.
		for len(lastSeen) < n {
			lastSeen = append(lastSeen, math.Inf(-1))
		}
		sort.Float64s(lastSeen)
		if n > 0 {
			// A day before there are figlets would tell nobody what to take off.
			if v := lastSeen[n/2]; ok && v >= float64(shown) {
				widen("last_useful_figlet", day.Rank(v), true)
				widen("last_useful_pinch", day.Rank(v)-14, true)
			}
		}
	}
	any := false
	likely := map[string]*Odds{} // by cultivar
	for i := range t.Odds {
		if o := &t.Odds[i]; o.Odds >= 0.5 && o.Method == string(m.row.ID) && o.Part == "main" && o.Brebas != "kept" {
			likely[o.Cultivar] = o
		}
	}
	for i := range crop.cultivars {
		cu := &crop.cultivars[i]
		if o := likely[string(cu.row.ID)]; o != nil {
			any = true
			for j, name := range [3]string{"first_ripe_1_in_10", "first_ripe_1_in_2", "first_ripe_9_in_10"} {
				widen(name, o.FirstRipe[j].Rank, !o.FirstRipe[j].None)
			}
			if cu.class != nil && cu.class.FigletHeatCd.Set {
				heats(mainNeed(cu), cu.class.FigletHeatCd.Value)
			}
		}
	}
	if any {
		return
	}
	c := k.earliestClass(crop)
	if c == nil {
		return
	}
	if c.FigletHeatCd.Set {
		heats(c.MainHeatCd.Value, c.FigletHeatCd.Value)
	}
	for _, x := range []struct {
		name  string
		share float64
	}{{"first_ripe_1_in_10", 0.1}, {"first_ripe_1_in_2", 0.5}, {"first_ripe_9_in_10", 0.9}} {
		r, ok := reachedBy(supplies, c.MainHeatCd.Value, x.share)
		widen(x.name, r, ok)
	}
}

// reachedBy returns the day of season by which a share of the years have
// supplied the heat; not ok where fewer years ever do.
func reachedBy(supplies []ripening.Supply, heat, share float64) (day.Rank, bool) {
	var ranks []int
	for i := range supplies {
		if r, ok := supplies[i].RankWhen(heat); ok {
			ranks = append(ranks, int(r))
		}
	}
	slices.Sort(ranks)
	i := int(math.Ceil(share*float64(len(supplies)))) - 1
	if i < 0 || i >= len(ranks) {
		return 0, false
	}
	return day.Rank(ranks[i]), true
}

func mainNeed(cu *cultivarKit) float64 {
	for _, p := range cu.parts {
		if p.name == "main" {
			return quantity.Step(p.need.Mu, stepNeed)
		}
	}
	return 0
}

func (k *kit) earliestClass(crop *cropKit) *club.Class {
	var best *club.Class
	for i := range k.club.Classes {
		c := &k.club.Classes[i]
		if c.CropID == crop.row.ID && c.MainHeatCd.Set && (best == nil || c.MainHeatCd.Value < best.MainHeatCd.Value) {
			best = c
		}
	}
	return best
}

// firstAutumnLow returns the first day of season from 1 August (S 1 February)
// on whose outdoor low is at or below limit (°C).
func firstAutumnLow(y *ripening.Year, limit float64) (day.Rank, bool) {
	for i := y.Index(y.Hemisphere.RankOf(8, 1)); i < len(y.TMin); i++ {
		if y.TMin[i] <= limit {
			return y.Rank(i), true
		}
	}
	return 0, false
}
