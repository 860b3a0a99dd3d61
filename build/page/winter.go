package page

import (
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/words"
)

// winterPage is the model of a town's page on winter: the stores, and the wood
// in the ground.
type winterPage struct {
	Name, Town     string
	Lead           template.HTML
	Years          string
	Crop           string // the crop that the stores are told for
	Stores         []storeBlock
	StoreCautions  []Caution
	WrapCautions   []Caution
	Bands          *sheet // how figs take to a temperature; nil for other crops
	Others         *sheet // the other crops in the same stores
	Fits           []template.HTML
	StoreGuide     string
	WakeGuide      string
	Ground         *groundBlock
	GroundCautions []Caution
	GroundGuide    string
	Figlets        string // address of the count-down; blank without one
	Tents          string // address of the tents' page; blank without one
	Methods        string
	Downloads      string
}

// storeBlock is one store with its figures.
type storeBlock struct {
	ID, Name, Question string
	Answer             template.HTML
	Wrapping           template.HTML // what it buys; blank where there is no row of a wrapped pot
	Figures            sheet
	Chart              *chart
}

// storePair is a store's winters for one crop: bare pots, and wrapped ones
// where the book has them.
type storePair struct{ bare, wrapped *almanac.StoreWinter }

// hasWinter tells whether there is anything to say of winter beyond the town's
// own page.
func hasWinter(t *almanac.Town) bool { return len(t.Stores) > 0 || len(t.Winters) > 0 }

// storesOf pairs a town's rows of one crop, in the order of the club's stores.
func (s *site) storesOf(t *almanac.Town, crop string) []storePair {
	var out []storePair
	for i := range s.club.Stores {
		var p storePair
		for j := range t.Stores {
			switch x := &t.Stores[j]; {
			case x.Store != string(s.club.Stores[i].ID) || x.Crop != crop:
			case x.Wrapped:
				p.wrapped = x
			default:
				p.bare = x
			}
		}
		if p.bare != nil && p.bare.Winters > 0 {
			out = append(out, p)
		}
	}
	return out
}

// storedCrop is the crop that stores are told for: the first with a ripening
// model that has rows, else the first that has any; nil without rows.
func (s *site) storedCrop(t *almanac.Town) *club.Crop {
	var any *club.Crop
	for i := range s.club.Crops {
		c := &s.club.Crops[i]
		if len(s.storesOf(t, string(c.ID))) == 0 {
			continue
		}
		if c.RipeningModel != "none" {
			return c
		}
		if any == nil {
			any = c
		}
	}
	return any
}

// isFig tells whether what growers say of figs in store holds for a crop.
func isFig(c *club.Crop) bool {
	return c != nil && (c.ID == "fig" || strings.HasPrefix(string(c.Latin), "Ficus"))
}

func (s *site) storeName(id string) string {
	for i := range s.club.Stores {
		if x := &s.club.Stores[i]; string(x.ID) == id && x.Name != "" {
			return s.in(x.Row, "name", x.Name)
		}
	}
	return id
}

func (s *site) winterPage(t *almanac.Town) (*winterPage, error) {
	p := paths{"../../../"}
	id := string(t.Row.ID)
	m := &winterPage{Name: s.in(t.Row.Row, "name", t.Row.Name), Town: p.town(id), Years: yearsWords(s.book.Span), Methods: p.page("methods/"), Downloads: p.page("downloads/")}
	m.StoreGuide, _ = s.taskLink("winter-storage", p)
	m.GroundGuide, _ = s.taskLink("ground-protection#"+s.Say("after-a-bad-winter|heading of a guide"), p)
	m.WakeGuide, _ = s.taskLink("waking-and-hardening-off#"+s.Say("awake-too-soon|heading of a guide"), p)
	if hasFiglets(t) {
		m.Figlets = p.page("towns/" + id + "/figlets/")
	}
	if s.hasTents(t) {
		m.Tents = p.tents(id)
	}
	crop := s.storedCrop(t)
	var pairs []storePair
	if crop != nil {
		m.Crop = s.in(crop.Row, "name", crop.Name)
		pairs = s.storesOf(t, string(crop.ID))
		for _, pair := range pairs {
			b, err := s.storeBlock(t, crop, pair)
			if err != nil {
				return nil, err
			}
			m.Stores = append(m.Stores, b)
		}
		if isFig(crop) {
			m.Bands = s.storeBands()
		}
		m.Others = s.otherCrops(t, crop)
		m.StoreCautions = s.cautionsIn("storage-fumes;lifting")
		if slices.ContainsFunc(s.club.Stores, func(x club.Store) bool { return x.HeaterFloorC.Set }) {
			m.StoreCautions = append(s.cautionsIn("heaters;electricity"), m.StoreCautions...)
		}
		m.WrapCautions = s.cautionsIn("mould;bait")
	}
	for i := range t.StoreFits {
		m.Fits = append(m.Fits, s.fitWords(&t.StoreFits[i]))
	}
	if m.Ground = s.groundBlock(t, p); m.Ground != nil {
		m.GroundCautions = s.cautionsIn("sap;snow")
		if len(m.Stores) == 0 {
			m.GroundCautions = s.cautionsIn("mould;bait;lifting;sap;snow")
		}
	}
	m.Lead = s.winterLead(crop, pairs, m.Ground)
	return m, nil
}

func (s *site) storeBlock(t *almanac.Town, crop *club.Crop, x storePair) (storeBlock, error) {
	name := s.storeName(x.bare.Store)
	b := storeBlock{ID: "store-" + x.bare.Store, Name: name, Question: upperFirst(s.Say("Is the %s too cold, or too warm?", lowerFirst(name)))}
	b.Answer = s.storeAnswer(t, crop, x.bare)
	if x.wrapped != nil {
		b.Wrapping = s.wrapWords(crop, x)
	}
	b.Figures = s.storeSheet(t, crop, x)
	var err error
	b.Chart, err = s.storeChart(t, crop, x)
	return b, err
}

// storeSheet has the figures of one store, bare and wrapped side by side.
func (s *site) storeSheet(t *almanac.Town, crop *club.Crop, x storePair) sheet {
	sh := sheet{Caption: s.Say("%s: %s pots over %s", s.storeName(x.bare.Store), lowerFirst(s.in(crop.Row, "name", crop.Name)), s.countDigits(x.bare.Winters, "winter")), Head: []string{"", s.Say("Bare pot")}}
	rows := []*almanac.StoreWinter{x.bare}
	if x.wrapped != nil {
		sh.Head = append(sh.Head, s.Say("Wrapped pot"))
		rows = append(rows, x.wrapped)
	}
	add := func(name string, show func(*almanac.StoreWinter) template.HTML) {
		row := []template.HTML{template.HTML(name)}
		for _, r := range rows {
			row = append(row, show(r))
		}
		sh.Rows = append(sh.Rows, row)
	}
	add(s.Say("Lowest, middle winter"), func(r *almanac.StoreWinter) template.HTML { return s.temp(r.LowestP50, 1) })
	add(s.Say("Lowest, 1 winter in 10"), func(r *almanac.StoreWinter) template.HTML { return s.temp(r.LowestP10, 1) })
	add(s.Say("Lowest of all"), func(r *almanac.StoreWinter) template.HTML {
		return s.temp(r.ColdestC, 1) + cell(", "+s.calendarDate(r.Coldest))
	})
	sides := func(limit club.Number, words [3]string, days, many func(*almanac.StoreWinter) float64, with func(*almanac.StoreWinter) int) {
		if !limit.Set {
			return
		}
		c := string(s.tempTrim(limit.Value))
		add(s.Say(words[0], c), func(r *almanac.StoreWinter) template.HTML { return cell(s.ofWinters(with(r), r.Winters)) })
		add(s.Say(words[1], c), func(r *almanac.StoreWinter) template.HTML { return cell(s.Grouped(days(r))) })
		add(s.Say(words[2], c), func(r *almanac.StoreWinter) template.HTML { return cell(s.Grouped(many(r))) })
	}
	sides(crop.StoreLowC, belowWords, func(r *almanac.StoreWinter) float64 { return r.BelowP50 }, func(r *almanac.StoreWinter) float64 { return r.BelowP90 }, func(r *almanac.StoreWinter) int { return r.WithBelow })
	sides(crop.StoreHighC, aboveWords, func(r *almanac.StoreWinter) float64 { return r.AboveP50 }, func(r *almanac.StoreWinter) float64 { return r.AboveP90 }, func(r *almanac.StoreWinter) int { return r.WithAbove })
	date := func(p almanac.Point, none string) template.HTML {
		if p.None {
			return cell(none)
		}
		return cell(s.dateWords(t.Hemisphere, p.Rank))
	}
	add(s.Say("Goes in"), func(r *almanac.StoreWinter) template.HTML { return date(r.In, "–") })
	add(s.Say("Wakes in the store, 1 winter in 10, by"), func(r *almanac.StoreWinter) template.HTML { return date(r.WakesP10, s.Say(sleepsOn)) })
	add(s.Say("Wakes in the store, middle winter, by"), func(r *almanac.StoreWinter) template.HTML { return date(r.WakesP50, s.Say(sleepsOn)) })
	add(s.Say("Goes out"), func(r *almanac.StoreWinter) template.HTML { return date(r.Out, "–") })
	return sh
}

var sleepsOn = words.Mark("sleeps until it goes out")

// belowWords and aboveWords are the heads of the rows on a crop's limits.
var (
	belowWords = [3]string{words.Mark("Winters below %s"), words.Mark("Days below %s, middle winter"), words.Mark("Days below %s, 1 winter in 10 has as many or more")}
	aboveWords = [3]string{words.Mark("Winters above %s"), words.Mark("Days above %s, middle winter"), words.Mark("Days above %s, 1 winter in 10 has as many or more")}
)

// otherCrops tells of all other crops in the same stores, in bare pots.
func (s *site) otherCrops(t *almanac.Town, told *club.Crop) *sheet {
	sh := &sheet{Caption: s.Say("Other crops in bare pots: against each one’s own limits"), Head: []string{s.Say("Crop and store"), s.Say("Too cold"), s.Say("Too warm"), s.Say("Goes in"), s.Say("Wakes by, middle winter")}}
	for i := range s.club.Crops {
		c := &s.club.Crops[i]
		if c == told {
			continue
		}
		for _, x := range s.storesOf(t, string(c.ID)) {
			r := x.bare
			name := cell(s.in(c.Row, "name", c.Name) + ", " + lowerFirst(s.storeName(r.Store)))
			if c.StoreLowC.Set && c.StoreHighC.Set {
				name += template.HTML(" <small>" + s.Say("%s to %s|temperatures", string(s.tempTrim(c.StoreLowC.Value)), string(s.tempTrim(c.StoreHighC.Value))) + "</small>")
			}
			wakes := "–"
			if !r.WakesP50.None {
				wakes = s.dateWords(t.Hemisphere, r.WakesP50.Rank)
			}
			in := "–"
			if !r.In.None {
				in = s.dateWords(t.Hemisphere, r.In.Rank)
			}
			sh.Rows = append(sh.Rows, []template.HTML{name, cell(s.beyondWords(c.StoreLowC.Set, r.WithBelow, r.Winters, r.BelowP50)), cell(s.beyondWords(c.StoreHighC.Set, r.WithAbove, r.Winters, r.AboveP50)), cell(in), cell(wakes)})
		}
	}
	if len(sh.Rows) == 0 {
		return nil
	}
	return sh
}
