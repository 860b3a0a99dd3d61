package page

import (
	"encoding/json"
	"fmt"
	"html/template"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/pots"
)

// townPotsPage is the model of a town's page on water and feed.
type townPotsPage struct {
	Name, Town, Pots string
	Lead             template.HTML
	Years            string
	Water            *sheet // litres a day
	Lasts            *sheet // days
	Feeding          *sheet
	FeedNote         string
	Year             int // of the feeding dates
	Methods          string
	Cautions         []Caution
}

// The tasks of the club's table that start and stop feeding.
const feedStart, feedStop = "feed-start", "feed-stop"

// hasTownPots tells whether a town has anything to say on water or feed.
func (s *site) hasTownPots(t *almanac.Town) bool {
	if len(s.feeding(t)) > 0 {
		return true
	}
	for _, v := range t.Evaporation {
		if v.OK && len(s.club.Pots) > 0 {
			return true
		}
	}
	return false
}

// feedDates is when a way of growing is fed.
type feedDates struct {
	method                     string
	from, startBy, stop, until day.Date // None where the club's table has no such task
}

func (s *site) feeding(t *almanac.Town) []feedDates {
	var out []feedDates
	for i := range s.club.Methods {
		f := feedDates{method: string(s.club.Methods[i].ID), from: day.None, startBy: day.None, stop: day.None, until: day.None}
		for _, d := range t.Tasks {
			switch {
			case d.Method != f.method:
			case d.Task == feedStart:
				f.from, f.startBy = d.From, d.Until
			case d.Task == feedStop:
				f.stop, f.until = d.From, d.Until
			}
		}
		if f.from != day.None || f.stop != day.None {
			out = append(out, f)
		}
	}
	return out
}

func (s *site) windowWords(from, until day.Date) string {
	if from == day.None {
		return "–"
	}
	return s.taskWhen(almanac.TaskDate{From: from, Until: until})
}

// leafMonths are the calendar months in which a tree in a plain pot is in leaf,
// in the order of the season; all twelve where that is not known.
func (s *site) leafMonths(t *almanac.Town) []int {
	first, last := day.Rank(1), day.Rank(365)
	if s.plain != nil {
		if leaf, ok := leafOut(t, string(s.plain.ID)); ok {
			first = leaf
		}
		if p := planOf(t, s.plain); p != nil && !p.In.None {
			last = p.In.Rank
		}
	}
	var out []int
	for r := day.Rank(1); r <= 365; r++ {
		if m, d := t.Hemisphere.MonthDay(r); d == 15 && r+15 >= first && r-15 <= last {
			out = append(out, m)
		}
	}
	return out
}

func (s *site) townPotsPage(t *almanac.Town) *townPotsPage {
	p := paths{"../../../"}
	m := &townPotsPage{Name: s.in(t.Row.Row, "name", t.Row.Name), Town: p.town(string(t.Row.ID)), Pots: p.page("pots/"), Years: yearsWords(s.book.Span), Year: s.book.PlanYear, Methods: p.page("methods/"), Cautions: s.cautionsIn("lifting")}
	m.Water, m.Lasts = s.townWater(t)
	m.Feeding = s.feedingSheet(t)
	m.Lead = s.townPotsLead(t, m)
	return m
}

func (s *site) townWater(t *almanac.Town) (water, lasts *sheet) {
	sizes := s.sizes()
	if len(sizes) == 0 {
		return nil, nil
	}
	water = &sheet{Caption: s.Say("Water a day for a tree in full leaf, by month"), Head: []string{s.Say("Month"), s.Say("Evaporation a day")}}
	lasts = &sheet{Caption: s.Say("Days that a wet pot lasts without rain, by month"), Head: []string{s.Say("Month")}}
	for _, x := range sizes {
		head := "–"
		if x.Litres == x.Litres {
			head = s.text(s.Trimmed(x.Litres, 1)+"\u00a0L", s.Trimmed(x.Litres/pots.LitresPerGallon, 1)+"\u00a0gal")
		}
		water.Head, lasts.Head = append(water.Head, head), append(lasts.Head, head)
	}
	for _, month := range s.leafMonths(t) {
		v := t.Evaporation[month-1]
		if !v.OK {
			continue
		}
		a, b := []template.HTML{cell(s.monthHead(month)), s.millimetres(v.V)}, []template.HTML{cell(s.monthHead(month))}
		for _, x := range sizes {
			a, b = append(a, known(x.NeedLitres(v.V, 1), s.litres1)), append(b, s.lastsCell(x.LastsDays(v.V)))
		}
		water.Rows, lasts.Rows = append(water.Rows, a), append(lasts.Rows, b)
	}
	if len(water.Rows) == 0 {
		return nil, nil
	}
	return water, lasts
}

// monthHead is a month at the head of a row.
func (s *site) monthHead(month int) string { return upperFirst(s.Months[month-1]) }

func (s *site) feedingSheet(t *almanac.Town) *sheet {
	sh := &sheet{Caption: s.Say("When to feed, %d", s.book.PlanYear), Head: []string{s.Say("Way of growing"), s.Say("Start|feeding"), s.Say("Stop|feeding")}}
	for _, f := range s.feeding(t) {
		sh.Rows = append(sh.Rows, htmlRow(s.methodName(f.method), s.windowWords(f.from, f.startBy), s.windowWords(f.stop, f.until)))
	}
	if len(sh.Rows) == 0 {
		return nil
	}
	return sh
}

// townPotsLead says what a middle pot drinks in its thirstiest month, and until
// when it is fed.
func (s *site) townPotsLead(t *almanac.Town, m *townPotsPage) template.HTML {
	var text []string
	if m.Water != nil {
		best := 0
		for _, month := range s.leafMonths(t) {
			if v := t.Evaporation[month-1]; v.OK && (best == 0 || v.V > t.Evaporation[best-1].V) {
				best = month
			}
		}
		sizes := s.sizes()
		if x := sizes[len(sizes)/2]; best != 0 && x.NeedLitres(1, 1) > 0 {
			e := t.Evaporation[best-1].V
			text = append(text, s.Say("A tree in full leaf in a pot of %s drinks about <b>%s a day in %s</b>, its thirstiest month here, and the wet pot lasts %s.",
				string(s.litres(x.Litres)), string(s.litres1(x.NeedLitres(e, 1))), s.Months[best-1], s.lastsWords(x.LastsDays(e))))
		}
	}
	for _, f := range s.feeding(t) {
		if s.plain != nil && f.method == string(s.plain.ID) && f.from != day.None && f.stop != day.None {
			text = append(text, s.Say("Feed it from about %s to %s.", esc(s.dayOfPlan(f.from)), esc(s.dayOfPlan(f.stop))))
		}
	}
	if len(text) == 0 {
		return cell(s.Say("Water and feed for pots in this town."))
	}
	return template.HTML(strings.Join(text, " "))
}

// reckonData is what the calculators of the page on pots work from.
type reckonData struct {
	Pots   []reckonPot  `json:"pots"`
	Mixes  []reckonMix  `json:"mixes"`
	Feeds  []reckonFeed `json:"feeds"`
	Months []string     `json:"months"`
	Towns  []reckonTown `json:"towns"`
}

type reckonPot struct {
	Litres float64 `json:"litres"`
	Kg     float64 `json:"kg"`     // wet; 0: not known
	Usable float64 `json:"usable"` // L
	Canopy float64 `json:"canopy"` // m²
}

type reckonMix struct {
	Name  string       `json:"name"`
	Parts []reckonPart `json:"parts"`
}

type reckonPart struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"`
}

type reckonFeed struct {
	Name  string  `json:"name"`
	Grams float64 `json:"grams"` // in a litre of water
	PPM   float64 `json:"ppm"`
}

type reckonTown struct {
	Name  string     `json:"name"`
	ET0   []*float64 `json:"et0"` // mm a day, January first; null: not known
	Start string     `json:"start"`
	Stop  string     `json:"stop"`
}

// reckonFile is the data file of the calculators, a classic script so that it
// can be read from a plain folder too.
func (s *site) reckonFile() ([]byte, error) {
	d := reckonData{Pots: []reckonPot{}, Mixes: []reckonMix{}, Feeds: []reckonFeed{}, Months: s.Months[:], Towns: []reckonTown{}}
	or0 := func(v float64) float64 {
		if v != v {
			return 0
		}
		return v
	}
	for _, x := range s.sizes() {
		if x.Litres == x.Litres {
			d.Pots = append(d.Pots, reckonPot{x.Litres, or0(x.WetKg()), or0(x.UsableLitres()), or0(x.CanopyM2)})
		}
	}
	for _, r := range s.recipes() {
		m := reckonMix{Name: r.name}
		for i, share := range pots.Shares(r.parts) {
			m.Parts = append(m.Parts, reckonPart{r.names[i], share})
		}
		d.Mixes = append(d.Mixes, m)
	}
	for i := range s.club.Feeds {
		if f := &s.club.Feeds[i]; f.PpmN.Set && f.NPercent.Or(0) > 0 {
			d.Feeds = append(d.Feeds, reckonFeed{s.in(f.Row, "name", f.Name), pots.FeedGrams(f.PpmN.Value, f.NPercent.Value), f.PpmN.Value})
		}
	}
	for i := range s.book.Towns {
		if t := &s.book.Towns[i]; s.hasTownPots(t) {
			d.Towns = append(d.Towns, s.reckonTown(t))
		}
	}
	text, err := json.Marshal(d)
	if err != nil {
		return nil, fmt.Errorf("data of the calculators: %w", err)
	}
	return append(append([]byte("window.ripewardPots = "), text...), ";\n"...), nil
}

func (s *site) reckonTown(t *almanac.Town) reckonTown {
	x := reckonTown{Name: s.in(t.Row.Row, "name", t.Row.Name)}
	leaf := map[int]bool{}
	for _, m := range s.leafMonths(t) {
		leaf[m] = true
	}
	for m, v := range t.Evaporation {
		if !v.OK || !leaf[m+1] {
			x.ET0 = append(x.ET0, nil)
			continue
		}
		x.ET0 = append(x.ET0, &v.V)
	}
	for _, f := range s.feeding(t) {
		if s.plain != nil && f.method == string(s.plain.ID) {
			if f.from != day.None {
				x.Start = s.dayOfPlan(f.from)
			}
			if f.stop != day.None {
				x.Stop = s.dayOfPlan(f.stop)
			}
		}
	}
	return x
}
