package almanac

import (
	"math"
	"strings"

	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/ripening"
)

// The doubt that a start adds to the heat of a report, °C·d (SCIENCE 6,
// judgement): none where the leaf-out was noted, some where only the waking
// was, more where both are planned or told from the weather.
const (
	startWoke    = 40
	startPlanned = 80
)

// ripeWindow is the days within which the first fruit was ripe: after one, up
// to and with the other. An open side is day.None.
type ripeWindow struct{ after, until day.Date }

// windowOf reads a report's dates (SCIENCE 6): date_precision widens seen_on,
// checked_on closes the side before it.
func windowOf(r *club.Report) ripeWindow {
	first, last := r.SeenOn.Date, r.SeenOn.Date
	switch y, m, d := r.SeenOn.Date.YMD(); r.DatePrecision {
	case "3-days":
		first, last = first-1, last+1
	case "week":
		first, last = first-3, last+3
	case "third-of-month":
		switch {
		case d <= 10:
			first, last = day.Of(y, m, 1), day.Of(y, m, 10)
		case d <= 20:
			first, last = day.Of(y, m, 11), day.Of(y, m, 20)
		default:
			first, last = day.Of(y, m, 21), day.Of(y, m, day.DaysIn(y, m))
		}
	case "month":
		first, last = day.Of(y, m, 1), day.Of(y, m, day.DaysIn(y, m))
	}
	switch r.Outcome {
	case "not-ripe":
		return ripeWindow{after: first, until: day.None} // ripe later than the earliest day of that look
	case "already-ripe":
		return ripeWindow{after: day.None, until: last}
	}
	w := ripeWindow{after: first - 1, until: last}
	if r.CheckedOn.Set() {
		// Ripe between two looks, however well the second is dated.
		w.after = min(r.CheckedOn.Date, last-1)
	}
	return w
}

// sighting is one report as the heat model sees it.
type sighting struct {
	row       *club.Report
	part      string
	crop      *cropKit
	model     *ripening.Crop // the crop's limits, or those above another base
	cultivar  *cultivarKit
	method    *methodKit
	place     *place
	supply    ripening.Supply
	weeks     int
	start     ripening.Start
	window    ripeWindow
	low, high float64 // heat of the window, less all delays; ±Inf where open
	startSd   float64
	delay     float64
	whole     bool // the season is whole: its heat to the last ripening day is known
}

// refusal says why a report says nothing about a heat need, or nothing that
// can be believed.
type refusal struct {
	verdict       string
	reason, frees diag.Sentence
}

func hold(reason, frees diag.Sentence) *refusal { return &refusal{ReportHeld, reason, frees} }

func unusable(reason, frees diag.Sentence) *refusal { return &refusal{ReportUnusable, reason, frees} }

// nothing is what frees a report that nothing frees.
var nothing diag.Sentence

// Named is a crop or cultivar in a sentence: its name in its own table, and
// what finds its names in other languages.
type Named struct {
	Of   string // crop or cultivar
	ID   string
	Name string
}

func (n Named) String() string { return n.Name }

// see works out the heat behind a report under its crop's limits.
func (g *Grow) see(r *club.Report) (*sighting, *refusal) {
	s := &sighting{row: r, part: string(r.CropPart), method: g.kit.method(string(r.MethodID))}
	for _, ck := range g.kit.cropOrder {
		for i := range ck.cultivars {
			if ck.cultivars[i].row.ID == r.CultivarID {
				s.crop, s.cultivar = ck, &ck.cultivars[i]
			}
		}
	}
	switch {
	case s.cultivar == nil || s.method == nil:
		return nil, unusable(diag.Say("its cultivar or method is not in the club's tables"), diag.Say("add the row, or mend the id"))
	case !s.crop.ripens:
		return nil, unusable(diag.Say("%s has no ripening model", Named{"crop", string(s.crop.row.ID), string(s.crop.row.Name)}), nothing)
	case !r.SeenOn.Set():
		return nil, unusable(diag.Say("without a date of the last look it says nothing"), diag.Say("fill in seen_on"))
	}
	if no := g.plausible(s, g.treeOf(r)); no != nil {
		return nil, no
	}
	s.place = g.place(string(r.TownID))
	if s.place == nil || s.place.weather == nil {
		return nil, unusable(diag.Say("its town has no weather"), nothing)
	}
	y := s.place.weather.year(r.Year.Value)
	if y == nil {
		return nil, unusable(diag.Say("the station of its town has gaps in %s", s.place.town.Hemisphere.Label(r.Year.Value)), diag.Say("a station that fills them"))
	}
	s.whole = y.Valid
	s.window = windowOf(r)
	if until := s.place.weather.until; !s.whole && max(s.window.after, s.window.until) > until {
		return nil, unusable(diag.Say("the weather is known until %s only", until), diag.Say("newer station data"))
	}
	if !g.starts(s) {
		return nil, unusable(diag.Say("no date can be planned for this method in its town"), diag.Say("fill in leafed_on"))
	}
	s.model = &s.crop.model
	s.supply = ripening.NewSeason(y, s.model, &s.method.model).SupplyFrom(g.outOf(s), s.weeks, s.start)
	return s, s.heat()
}

// treeOf returns the tree that a report names, or nil.
func (g *Grow) treeOf(r *club.Report) *club.Tree {
	if r.TreeID == "" {
		return nil
	}
	return g.book.Club.Tree(r.TreeID)
}

// plausible looks for what no tree does.
func (g *Grow) plausible(s *sighting, tree *club.Tree) *refusal {
	r, row := s.row, &s.cultivar.row
	town := g.rows[string(r.TownID)]
	h := day.HemisphereOf(town.Latitude.Value)
	ripe := r.Outcome != "not-ripe"
	part := g.kit.part(s.cultivar, s.part)
	switch {
	case part == nil && ripe:
		return hold(bearsNone(row, s.part), diag.Say("mend crop_part, or crops_borne of the cultivar"))
	case part == nil:
		return unusable(bearsNone(row, s.part), nothing)
	case part.reason == NoWasp && ripe:
		return hold(setsNone(row, s.part), diag.Say("mend crop_part or cultivar_id, or pollination of the cultivar"))
	case part.reason == NoWasp:
		return unusable(diag.Say("without the wasp there is no such crop: it says nothing about heat"), nothing)
	case h.Season(r.SeenOn.Date) != r.Year.Value:
		return hold(diag.Say("seen on %s, which is not in the season of %s", r.SeenOn.Date, h.Label(r.Year.Value)), diag.Say("mend year or seen_on"))
	case r.CheckedOn.Set() && r.CheckedOn.Date > r.SeenOn.Date:
		return hold(diag.Say("the look before, %s, is after %s", r.CheckedOn.Date, r.SeenOn.Date), diag.Say("mend checked_on or seen_on"))
	case r.LeafedOn.Set() && ripe && r.SeenOn.Date <= r.LeafedOn.Date:
		return hold(diag.Say("ripe on %s, before its leaves on %s", r.SeenOn.Date, r.LeafedOn.Date), diag.Say("mend leafed_on or seen_on"))
	case r.LeafedOn.Set() && h.Season(r.LeafedOn.Date) != r.Year.Value && h.Season(r.LeafedOn.Date) != r.Year.Value-1:
		return hold(diag.Say("in leaf on %s, outside its year", r.LeafedOn.Date), diag.Say("mend leafed_on"))
	case r.WokeOn.Set() && r.LeafedOn.Set() && r.LeafedOn.Date < r.WokeOn.Date:
		return hold(diag.Say("in leaf on %s, before it woke on %s", r.LeafedOn.Date, r.WokeOn.Date), diag.Say("mend woke_on or leafed_on"))
	case r.FigletOn.Set() && ripe && s.part == "main" && r.SeenOn.Date <= r.FigletOn.Date:
		return hold(diag.Say("ripe on %s, not after its figlets on %s", r.SeenOn.Date, r.FigletOn.Date), diag.Say("mend figlet_on or seen_on"))
	case tree != nil && tree.SinceYear.Set && r.Year.Value < tree.SinceYear.Value:
		return hold(diag.Say("tree %s is there since %d only", tree.ID, tree.SinceYear.Value), diag.Say("mend year, tree_id, or since_year of the tree"))
	case tree != nil && tree.UntilYear.Set && r.Year.Value > tree.UntilYear.Value:
		return hold(diag.Say("tree %s was kept until %d only", tree.ID, tree.UntilYear.Value), diag.Say("mend year, tree_id, or until_year of the tree"))
	case ripe && s.part == "breba" && r.Dieback == "ground":
		return hold(diag.Say("brebas on wood that had died to the ground"), diag.Say("mend dieback or crop_part"))
	case !ripe && s.part == "breba" && (r.Dieback == "ground" || r.Dieback == "part"):
		return unusable(diag.Say("the wood that bears brebas had died: it says nothing about heat"), nothing)
	case !ripe && s.part == "breba" && r.Brebas == "removed":
		return unusable(diag.Say("the brebas were taken off"), nothing)
	case !ripe && firstYear(r, tree):
		// Common practice: nothing is expected of a tree in its first year.
		return unusable(diag.Say("a tree in its first year"), nothing)
	}
	return nil
}

func firstYear(r *club.Report, tree *club.Tree) bool {
	return r.TreeAgeY.Set && r.TreeAgeY.Value <= 1 || tree != nil && tree.SinceYear.Set && tree.SinceYear.Value == r.Year.Value
}

func bearsNone(cu *club.Cultivar, part string) diag.Sentence {
	if part == "breba" {
		return diag.Say("%s bears no breba crop by the cultivar table", nameOf(cu))
	}
	return diag.Say("%s bears no main crop by the cultivar table", nameOf(cu))
}

func setsNone(cu *club.Cultivar, part string) diag.Sentence {
	if part == "breba" {
		return diag.Say("%s sets no breba crop without the wasp", nameOf(cu))
	}
	return diag.Say("%s sets no main crop without the wasp", nameOf(cu))
}

func nameOf(cu *club.Cultivar) Named { return Named{"cultivar", string(cu.ID), string(cu.Name)} }

func cropWord(part string) string {
	if part == "breba" {
		return "breba"
	}
	return "main"
}

// part returns a cultivar's line of that name; of two, the one without brebas.
func (k *kit) part(cu *cultivarKit, name string) *part {
	var found *part
	for i := range cu.parts {
		if p := &cu.parts[i]; p.name == name && (found == nil || p.brebas == "removed") {
			found = p
		}
	}
	return found
}

// starts fills in how the tree began its season, and the doubt of that.
func (g *Grow) starts(s *sighting) bool {
	r := s.row
	s.start = ripening.Start{Woke: dateOr(r.WokeOn), Leafed: dateOr(r.LeafedOn), Out: dateOr(r.MovedOutOn)}
	// A ripe breba proves that its shoots lived.
	s.start.NoSetBacks = s.part == "breba" && r.Outcome != "not-ripe"
	s.weeks = r.HeadStartWeeks.Or(s.method.defaultWeeks())
	if !s.method.model.Planned {
		s.weeks = 0
	}
	switch {
	case r.LeafedOn.Set():
	case r.WokeOn.Set():
		s.startSd = startWoke
	default:
		s.startSd = startPlanned
	}
	return s.method.model.Ground || s.start.Out != day.None || s.place.anchors.plan(s.method, s.weeks).Out.OK
}

// outOf is the day of season on which the pot was to go out.
func (g *Grow) outOf(s *sighting) day.Rank { return s.place.anchors.plan(s.method, s.weeks).Out.Rank }

func dateOr(d club.Date) day.Date {
	if d.Set() {
		return d.Date
	}
	return day.None
}

// heat works out the heat of the window, less what delays that report's fruit:
// brebas kept, dieback, the method's own.
func (s *sighting) heat() *refusal {
	r, c := s.row, s.model
	s.delay = s.method.model.ExtraNeed
	if s.part == "main" && r.Brebas == "kept" {
		s.delay += c.BrebaDelay
	}
	if s.part == "main" && r.Dieback == "ground" {
		s.delay += c.DiebackDelay
	}
	s.low, s.high = math.Inf(-1), math.Inf(1)
	if s.window.after != day.None {
		s.low = s.supply.HeatOn(s.window.after) - s.delay
	}
	if s.window.until != day.None {
		s.high = s.supply.HeatOn(s.window.until) - s.delay
	}
	switch {
	case r.Outcome == "not-ripe" && s.part == "breba" && s.supply.SetBacks > 0:
		return unusable(diag.Say("a spring freeze had taken the shoots that bear brebas"), nothing)
	case r.Outcome == "not-ripe":
		return nil
	case s.high <= 0 && s.supply.SetBacks > 0:
		return hold(diag.Say("ripe by %s, though by the town's weather a freeze had taken the shoots not long before", s.window.until), diag.Say("leafed_on or moved_out_on, or a method that keeps the frost off"))
	case s.high <= 0:
		return hold(s.beforeHeat(), diag.Say("leafed_on or woke_on, or the true head_start_weeks"))
	}
	return nil
}

// beforeHeat is why fruit before any heat is not believed.
func (s *sighting) beforeHeat() diag.Sentence {
	if !s.supply.Leafed {
		return diag.Say("ripe by %s, before any heat was gathered: by the town's weather it leafed out on no day at all", s.window.until)
	}
	return diag.Say("ripe by %s, before any heat was gathered: by the town's weather it leafed out on %s", s.window.until,
		s.supply.Year().Hemisphere.InSeason(s.row.Year.Value, s.supply.LeafOut))
}

// exact tells whether the window is a single day, and returns the heat by the
// middle of that day.
func (s *sighting) exact() (float64, bool) {
	w := s.window
	if w.after == day.None || w.until == day.None || w.until != w.after+1 {
		return 0, false
	}
	return (s.low + s.high) / 2, true
}

// namedLike returns the cultivar that a name belongs to, by name or other
// name, ignoring case; blank where none or more than one has it.
func namedLike(c *club.Club, name string) club.Text {
	name = strings.TrimSpace(name)
	if name == "" {
		return ""
	}
	var found club.Text
	for i := range c.Cultivars {
		cu := &c.Cultivars[i]
		names := append([]string{string(cu.Name), string(cu.ID)}, cu.AlsoCalled...)
		for _, n := range names {
			if strings.EqualFold(strings.TrimSpace(n), name) {
				if found != "" && found != cu.ID {
					return ""
				}
				found = cu.ID
			}
		}
	}
	return found
}
