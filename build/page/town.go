package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"ripeward/build/almanac"
	"ripeward/build/climate"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/words"
)

// townPage is the model of a town's first page.
type townPage struct {
	ID, Name, About string
	Zone            link
	All             string // address of the page with every method
	More            []link // planner, explanations, this season
	Spans           *sheet // odds then and now
	Lead            string
	Answers         []answer
	Charts          []chart
	Showcase        string // the method the charts are drawn for
	Heads           []methodHead
	Rows            []cropRow
	Groups          []string // crops present, for the filter
	Freezes         []freezeRow
	Spring          *sheet // freezes still to come
	Chill           string
	Tasks           *taskList
	Week            *weekCard
	Jobs, Sheet     string // addresses of the whole list and of the sheet
	TakeAlong       string // address of the page in one file
	Subscribe       string
	Calendar        calendarLinks
	Winter          []sheet
	Then            *sheet
	Station         template.HTML
	Years           string
	Recent          string
	Scale           []scaleWord
	Notes           []template.HTML // why some rows have no odds
	Endings         string
	Downloads       string
}

// methodHead is a column of odds.
type methodHead struct{ ID, Name, Note string }

// cropRow is one cultivar's crop part in a town.
type cropRow struct {
	Cultivar  link
	Crop      string
	Part      string
	Class     string
	Cells     []oddsCell
	Easiest   template.HTML
	EaseSort  int
	Ripe      template.HTML
	RipeSort  int
	Share     string
	ShareSort int
	Winter    oddsCell
	Hours     string // of work a year, way by way
	Basis     string // printed where the heat need is a guess
	Reason    string
}

// freezeRow is one threshold of the freeze table.
type freezeRow struct {
	Threshold      template.HTML
	What           string
	Spring, Autumn [3]string
	SpringNone     bool
}

// scaleWord is a likelihood word with its meaning.
type scaleWord struct{ Word, Meaning string }

// likelihoodScale is the IPCC's calibrated language as far as the site uses
// it. Source: Mastrandrea et al. 2010, Guidance Note for Lead Authors of the
// IPCC Fifth Assessment Report, table 1.
var likelihoodScale = []scaleWord{
	{words.Mark("virtually certain"), words.Mark("99 years in 100 or more")},
	{words.Mark("very likely"), words.Mark("9 years in 10 or more")},
	{words.Mark("likely"), words.Mark("two years in three or more")},
	{words.Mark("about as likely as not"), words.Mark("between one and two years in three")},
	{words.Mark("unlikely"), words.Mark("one year in three or fewer")},
	{words.Mark("very unlikely"), words.Mark("1 year in 10 or fewer")},
	{words.Mark("exceptionally unlikely"), words.Mark("1 year in 100 or fewer")},
}

func rankOf(p climate.Point) day.Rank { return day.Rank(int(p.V)) }

func (s *site) townPage(t *almanac.Town, by *oddsBy) (*townPage, error) {
	p := paths{"../../"}
	id := string(t.Row.ID)
	m := &townPage{
		ID: id, Name: s.townName(t), About: s.in(t.Row.Row, "about", t.Row.About),
		All: p.townAll(id), Lead: s.lead(t, by), Answers: s.answers(t, by, p),
		Years: yearsWords(s.book.Span), Recent: yearsWords(s.book.Recent),
		Station: s.leadWords(t), Scale: s.scale(), Downloads: p.page("downloads/"),
	}
	m.More = append(m.More, link{s.Say("What would it take?"), p.plan(id)})
	m.More = append(m.More, link{s.Say("Beside other towns"), p.page("compare/") + "#towns=" + id})
	if len(t.Why) > 0 {
		m.More = append(m.More, link{s.Say("Why these odds?"), p.why(id)})
	}
	if t.SoFar != nil {
		m.More = append(m.More, link{s.Say("This season so far"), p.soFar(id)})
	}
	m.More = append(m.More, s.moreOf(t)...)
	m.TakeAlong = p.root + s.oneFilePage(id)
	if z := s.zones[string(t.Row.ZoneID)]; z != nil {
		m.Zone = link{s.in(z.Row, "name", z.Name), p.zone(string(z.ID))}
	}
	show := s.showcase(t)
	if show != nil {
		m.Showcase = s.methodIn(show)
	}
	charts, err := s.townCharts(t, by, show)
	if err != nil {
		return nil, err
	}
	m.Charts = charts
	for _, k := range s.key {
		m.Heads = append(m.Heads, s.headOf(k))
	}
	reasons := map[string]bool{}
	for _, k := range by.keys {
		row := s.cropRow(t, by, k, p)
		m.Rows = append(m.Rows, row)
		if row.Crop != "" && !slices.Contains(m.Groups, row.Crop) {
			m.Groups = append(m.Groups, row.Crop)
		}
		for _, o := range by.at[k] {
			reasons[o.Reason] = true
		}
	}
	for _, r := range []string{"no-model", "no-wasp", "no-heat-need", "no-years"} {
		if reasons[r] {
			short, long := s.reasonWords(r)
			m.Notes = append(m.Notes, template.HTML(s.Say("<b>%s:</b> %s", esc(upperFirst(short)), esc(long))))
		}
	}
	m.Freezes, m.Spring, m.Chill = s.freezes(t), s.springSheet(t), s.chillWords(t)
	if show != nil {
		if m.Tasks = s.taskList(t, show, p); m.Tasks != nil {
			m.Week, m.Calendar = s.weekCard(t, show), s.calendarLinks(id, string(show.ID), p)
			m.Jobs, m.Subscribe, m.Sheet = p.jobs(id, string(show.ID)), p.year(id)+"#subscribe", p.sheet(id)
		}
		if m.Endings = s.endingWords(t, string(show.ID)); m.Endings != "" {
			if end := s.usefulEnd(t); end != "" {
				m.Endings += " " + end
			}
		}
	}
	m.Winter = s.winterSheets(t)
	m.Then = s.thenAndNow(t)
	if show != nil {
		m.Spans = s.spansSheet(t, by, show, spansRows)
	}
	return m, nil
}

func (s *site) headOf(m *club.Method) methodHead {
	h := methodHead{ID: string(m.ID), Name: s.in(m.Row, "name", m.Name)}
	if w := m.HeadStartWeeks.Or(0); w > 0 {
		h.Note = s.Count(w, "%d week", "%d weeks", w)
	}
	return h
}

// cropRow fills one row of a town's main table.
func (s *site) cropRow(t *almanac.Town, by *oddsBy, k oddsKey, p paths) cropRow {
	row := cropRow{Cultivar: link{s.cultivarName(k.cultivar), p.cultivar(k.cultivar)}, Part: s.partWords(k.part), EaseSort: 1 << 20, RipeSort: 1 << 20}
	c := s.cultivars[k.cultivar]
	if c != nil {
		row.Crop = s.cropName(k.cultivar)
		if class := s.classes[string(c.ClassID)]; class != nil {
			row.Class = lowerFirst(s.in(class.Row, "name", class.Name))
		}
		if bornParts(c) == 1 && k.part == "main" {
			row.Part = "" // nothing to tell apart
		}
	}
	var hours []string
	for _, m := range s.key {
		o := by.at[k][string(m.ID)]
		row.Cells = append(row.Cells, s.cellOf(o, ""))
		hours = append(hours, s.hoursCell(o))
	}
	row.Hours = strings.Join(hours, " ")
	easy, best := by.cheap[k], by.best[k]
	shown := easy
	switch {
	case easy != nil:
		row.Easiest = template.HTML(esc(s.howWords(easy)))
		row.EaseSort = int(easy.Hours)
	case best != nil && best.Reason == "":
		row.Easiest = template.HTML(`<span class="quiet">` + esc(s.Say("none; best: %s, %s in 10", lowerFirst(s.howWords(best)), s.shortInTen(best.Odds))) + `</span>`)
		row.EaseSort = 1<<19 - hundredths(best.Odds)
		shown = best
	case best != nil:
		short, long := s.reasonWords(best.Reason)
		row.Easiest, row.Reason = template.HTML(`<span class="quiet">`+esc(short)+`</span>`), long
	}
	if best != nil && best.Reason == "" {
		row.Basis = s.shortBasis(best.Basis, best.Reports, best.Growers)
	}
	if shown != nil && shown.Reason == "" {
		ripe := ""
		shown, ripe = by.dated(k, shown)
		row.Ripe = template.HTML(esc(s.ripeSpan(t.Hemisphere, shown) + ripe))
		if !shown.FirstRipe[0].None {
			row.RipeSort = int(shown.FirstRipe[0].Rank)
		}
		row.Share = fmt.Sprintf("%d\u00a0%%", hundredths(shown.CropShare))
		row.ShareSort = hundredths(shown.CropShare)
	}
	row.Winter = oddsCell{Note: "–", Sort: -1}
	if m := s.groundMethod(); m != nil {
		if w := by.winters[k.cultivar][string(m.ID)]; w != nil {
			row.Winter = s.winterCell(w)
		}
	}
	return row
}

// cardHeads names the columns of a town's main table after the first.
func (s *site) cardHeads() []string {
	heads := []string{s.Say("Easiest way to 8 in 10")}
	for _, m := range s.key {
		heads = append(heads, s.in(m.Row, "name", m.Name))
	}
	return append(heads, s.Say("First ripe"), s.Say("Share of crop"), s.Say("Wood lives, in the ground"))
}

// hoursCell is a year's work for a way of growing, for the filter of a table.
func (s *site) hoursCell(o *almanac.Odds) string {
	if o == nil || o.Reason != "" {
		return "-"
	}
	return s.Trimmed(o.Hours, 0)
}

// cropName is the crop that a cultivar is of.
func (s *site) cropName(cultivar string) string {
	if c := s.cultivars[cultivar]; c != nil {
		if crop := s.crops[string(c.CropID)]; crop != nil {
			return s.in(crop.Row, "name", crop.Name)
		}
	}
	return ""
}

// bornParts is how many parts of the crop a cultivar bears.
func bornParts(c *club.Cultivar) int {
	if c.CropsBorne == "both" {
		return 2
	}
	return 1
}

// winterCell says in how many winters the wood lives.
func (s *site) winterCell(w *almanac.WinterLoss) oddsCell {
	low, high := 1-w.KillHigh, 1-w.KillLow
	if low > high {
		low, high = high, low
	}
	mid := (low + high) / 2
	return oddsCell{Has: true, Level: yearsLevel(mid), Number: s.shortBand(low, high), Sort: hundredths(mid)}
}

// howWords names a method with its weeks.
func (s *site) howWords(o *almanac.Odds) string {
	name := s.methodName(o.Method)
	if o.Weeks > 0 {
		return s.Count(o.Weeks, "%s, %d week", "%s, %d weeks", name, o.Weeks)
	}
	m := s.methods[o.Method]
	switch {
	case m == nil || m.HeadStartMax.Or(0) == 0:
		return name
	case m.CarryBelowC.Set:
		// Without its weeks it is a cold pot that may still be carried in.
		return s.Say("%s, 0 weeks (only carried in on cold nights)", name)
	}
	return s.Say("%s, 0 weeks", name)
}

// gardensOf is the sentence on warm and cool gardens, for a cultivar in the
// middle of what the town can do.
func (s *site) gardensOf(t *almanac.Town, by *oddsBy, p paths) string {
	show := s.showcase(t)
	if show == nil {
		return ""
	}
	var pick *almanac.Odds
	far := 2.0
	for _, k := range by.keys {
		o := by.at[k][string(show.ID)]
		if o == nil || o.Reason != "" || o.Odds < 0.05 {
			continue
		}
		d := o.Odds - 0.75
		if d < 0 {
			d = -d
		}
		if d < far {
			pick, far = o, d
		}
	}
	if pick == nil {
		return ""
	}
	name := string(leadTo(p.cultivar(pick.Cultivar), s.cultivarName(pick.Cultivar)))
	text := s.Say("%s %s: %s. A warm wall, a windy corner or a cold hollow makes that much of a difference.", name,
		esc(s.methodIn(show)), esc(s.gardens(pick.Odds, pick.Cool, pick.Warm)))
	if guide, there := s.taskLink("how-to-read#"+s.Say("why-dates-differ-in-one-town|heading of a guide"), p); there {
		text += " " + s.Say("<a href=\"%s\">Why dates differ in one town</a>.", esc(guide))
	}
	return text
}

// freezeMeasures are the four thresholds. They are whole °F; °C is in the
// tenths that records are kept in (SCIENCE 3).
var freezeMeasures = [4]struct {
	suffix string
	c, f   float64
	what   string
}{
	{"_p22", 2.2, 36, words.Mark("frost on leaves: carry leafed pots in")},
	{"_0", 0, 32, words.Mark("freeze|a night at 0 °C")},
	{"_m22", -2.2, 28, words.Mark("ends the season in leaf")},
	{"_m44", -4.4, 24, words.Mark("hurts dormant pots")},
}

// freezes says in words after and before which dates it freezes how often.
func (s *site) freezes(t *almanac.Town) []freezeRow {
	var out []freezeRow
	for _, f := range freezeMeasures {
		spring, autumn := t.Normal("last_spring_freeze"+f.suffix), t.Normal("first_autumn_freeze"+f.suffix)
		if spring == nil || autumn == nil {
			continue
		}
		row := freezeRow{Threshold: s.both(s.threshold(f.c, f.f)), What: s.Say(f.what)}
		for i, at := range [3]int{8, 4, 0} {
			row.Spring[i] = s.pointDate(t, spring.P[at], words.Mark("after %s"))
			row.Autumn[i] = s.pointDate(t, autumn.P[8-at], words.Mark("before %s"))
		}
		out = append(out, row)
	}
	return out
}

// pointDate says a date of freezing, in a phrase where one is given.
func (s *site) pointDate(t *almanac.Town, p climate.Point, phrase string) string {
	switch {
	case !p.OK:
		return s.Say("not known|a date of freezing")
	case p.None:
		return s.Say("none|a freeze")
	case phrase == "":
		return s.rankWords(t, p)
	}
	return s.Say(phrase, s.rankWords(t, p))
}

// endingWords says what ended ripening.
func (s *site) endingWords(t *almanac.Town, method string) string {
	for _, e := range t.Endings {
		if e.Method != method {
			continue
		}
		n := e.Freeze + e.Cold + e.ShortDays
		if n == 0 {
			return ""
		}
		var parts []string
		for _, x := range []struct {
			n         int
			one, many string
		}{
			{e.Freeze, words.Mark("a killing freeze in 1"), words.Mark("a killing freeze in %d")},
			{e.Cold, words.Mark("cold (the mean of ten days fell too low) in 1"), words.Mark("cold (the mean of ten days fell too low) in %d")},
			{e.ShortDays, words.Mark("the short day in 1"), words.Mark("the short day in %d")},
		} {
			switch {
			case x.n == 1:
				parts = append(parts, s.Say(x.one))
			case x.n > 1:
				parts = append(parts, s.Say(x.many, x.n))
			}
		}
		text := s.Count(n, "What ended ripening in this %d year: %s.", "What ended ripening in these %d years: %s.", n, s.List(parts))
		if a, b := e.LastDay[0], e.LastDay[2]; !a.None && !b.None {
			text += " " + s.Say("The last ripening day lies between %s and %s in 8 years in 10.", s.dateWords(t.Hemisphere, a.Rank), s.dateWords(t.Hemisphere, b.Rank))
		}
		return text
	}
	return ""
}

// winterSheets are the winter figures in words and numbers.
func (s *site) winterSheets(t *almanac.Town) []sheet {
	n := t.Normal("winter_min_c")
	if n == nil || !n.Mean.OK {
		return nil
	}
	sh := sheet{Caption: s.Say("Coldest night of the winter, %s", yearsWords(s.book.Span)), Head: []string{s.Say("How often"), s.Say("It is this cold or colder")}}
	for _, x := range []struct {
		words string
		at    int
	}{{s.Say("1 winter in 10"), 0}, {s.Say("2 winters in 10"), 1}, {s.Say("1 winter in 2"), 4}, {s.Say("9 winters in 10"), 8}} {
		if n.P[x.at].OK && !n.P[x.at].None {
			show := s.temp(n.P[x.at].V, 1)
			if low, high := n.Low[x.at], n.High[x.at]; x.at == 0 && low.OK && high.OK {
				show += s.coldBand(low.V, high.V)
			}
			sh.Rows = append(sh.Rows, []template.HTML{cell(x.words), show})
		}
	}
	sh.Rows = append(s.returnRows(t), sh.Rows...)
	return []sheet{sh}
}

// thenAndNow sets the last 15 years beside the reference years.
func (s *site) thenAndNow(t *almanac.Town) *sheet {
	sh := &sheet{Caption: s.Say("Then and now"), Head: []string{"", yearsWords(s.book.Span), s.Say("last 15 years, %s", yearsWords(s.book.Recent))}}
	// What differs is the middle year, so rows of rarer years go unmarked.
	add := func(name string, measure string, middle bool, show func(*climate.Normal) (template.HTML, bool)) {
		a, b := t.Normal(measure), t.RecentNormal(measure)
		if a == nil || b == nil {
			return
		}
		x, ok1 := show(a)
		y, ok2 := show(b)
		if ok1 && ok2 {
			if middle && t.Differs(measure) {
				y += template.HTML(" <small>" + esc(s.Say("differs|from the years before")) + "</small>")
				sh.Differs = true
			}
			sh.Rows = append(sh.Rows, []template.HTML{cell(name), x, y})
		}
	}
	date := func(at int) func(*climate.Normal) (template.HTML, bool) {
		return func(n *climate.Normal) (template.HTML, bool) {
			p := n.P[at]
			return cell(s.pointDate(t, p, "")), p.OK
		}
	}
	add(s.Say("Last spring freeze, later in 1 year in 10"), "last_spring_freeze_0", false, date(8))
	add(s.Say("Last spring freeze, middle year"), "last_spring_freeze_0", true, date(4))
	add(s.Say("First autumn freeze, middle year"), "first_autumn_freeze_0", true, date(4))
	add(s.Say("Days without a freeze, middle year"), "freeze_free_days_0", true, func(n *climate.Normal) (template.HTML, bool) {
		return cell(s.Grouped(n.P[4].V)), n.P[4].OK && !n.P[4].None
	})
	add(s.Say("Heat of the season above 10 °C (50 °F)"), "heat_cd_base10", true, func(n *climate.Normal) (template.HTML, bool) {
		return s.heat(n.Mean.V), n.Mean.OK
	})
	add(s.Say("Coldest night of the winter, average"), "winter_min_c", true, func(n *climate.Normal) (template.HTML, bool) {
		return s.temp(n.Mean.V, 1), n.Mean.OK
	})
	add(s.Say("Hardiness zone"), "hardiness_zone", false, func(n *climate.Normal) (template.HTML, bool) {
		return cell(n.Zone), n.Zone != ""
	})
	if len(sh.Rows) == 0 {
		return nil
	}
	return sh
}
