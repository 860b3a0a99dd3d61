package page

import (
	"fmt"
	"html/template"
	"math"

	"ripeward/build/almanac"
	"ripeward/build/figure"
	"ripeward/build/words"
)

// howGoodPage is the public record of how good the predictions were.
type howGoodPage struct {
	Lead       string
	NotYet     []string // why there is no score yet
	Views      []viewBlock
	Methods    *sheet
	Bases      *sheet
	BaseName   template.HTML
	Downloads  string
	MethodsRef string
	Tried      string // how many reports were predicted
	Left       string // which were not, and what to bear in mind
}

// viewBlock is one of the two tests.
type viewBlock struct {
	ID, Name, About string
	Words           []string
	Rules           []ruleRow
	Chart           *chart
}

type ruleRow struct {
	Name                         string
	Dates, Error, Bias, Coverage string
	Chances, Brier, Beaten       string
}

var viewNames = map[string][2]string{
	"weather": {words.Mark("Given that year’s weather"), words.Mark("The weather of the year is known, its report is not. This tests whether the heat need is right.")},
	"season":  {words.Mark("Before the season"), words.Mark("Only the plan and the weather of other years are known. This tests what the pages promise.")},
}

var ruleNames = map[string]string{
	almanac.RuleOurs: words.Mark("The almanac"),
	almanac.RuleDays: words.Mark("A fixed number of days after leaf-out"),
	almanac.RuleRow:  words.Mark("The cultivar’s own row, no reports"),
}

func (v voice) ruleName(id string) string {
	if n := ruleNames[id]; n != "" {
		return v.Say(n)
	}
	return id
}

func (s *site) howGoodPage() (*howGoodPage, error) {
	p := paths{"../"}
	m := &howGoodPage{Downloads: p.page("downloads/"), MethodsRef: p.page("methods/")}
	score := s.book.Score
	if score == nil {
		m.Lead = s.Say("There is no record yet of how good the almanac’s predictions were.")
		m.NotYet = s.notYetWords()
		return m, nil
	}
	m.Tried = s.Count(score.Reports, "%s was predicted, without any report of its own grower.", "%s were predicted, each without any report of its own grower.", upperFirst(s.reportsOf(score.Reports, score.Growers)))
	m.Left = s.leftOutOfScore()
	m.Lead = m.Tried
	for i := range score.Views {
		v, err := s.viewBlock(&score.Views[i])
		if err != nil {
			return nil, err
		}
		m.Views = append(m.Views, v)
	}
	if words, ok := s.saidWords(score); ok {
		m.Lead = words
	}
	m.Methods, m.Bases = s.methodSheet(score), s.baseSheet(score)
	return m, nil
}

// leftOutOfScore says which reports are not among those predicted, and why more
// fruit ripens in reports than in gardens.
func (s *site) leftOutOfScore() string {
	held := 0
	for i := range s.book.Reports {
		if s.book.Reports[i].Verdict == almanac.ReportHeld {
			held++
		}
	}
	text := s.Say("None is left out because it went badly.")
	if held > 0 {
		text = s.Count(held, "%s held for a look, because something in them does not fit, is not among them.",
			"%s held for a look, because something in them does not fit, are not among them.", s.countDigits(held, "report"))
	}
	if r := s.book.Reporting; r.OK {
		text += " " + s.Say("Failures are told less often than successes, about %s in 10 by what the reports themselves show, so fruit ripens more often in reports than in gardens: somewhat more than was said is what to expect.", s.Trimmed(r.R*10, 0))
	}
	return text
}

// saidWords is the record in one sentence, of what pages promise where that
// has been tested, near the 8 years in 10 that the pages call good enough.
func (s *site) saidWords(score *almanac.Score) (string, bool) {
	for _, id := range []string{"season", "weather"} {
		for i := range score.Views {
			if score.Views[i].ID != id {
				continue
			}
			best := -1
			for j, r := range score.Views[i].Reliability {
				if r.N > 0 && (best < 0 || math.Abs(r.Said-0.8) < math.Abs(score.Views[i].Reliability[best].Said-0.8)) {
					best = j
				}
			}
			if best >= 0 {
				r := score.Views[i].Reliability[best]
				return s.Say("When the almanac said %s years in 10, fruit ripened in %s of 10 (%s).", s.Trimmed(r.Said*10, 1), s.Trimmed(r.Ripe*10, 1), s.countDigits(r.N, "report")), true
			}
		}
	}
	return "", false
}

// notYetWords says what is missing before predictions can be tested. Growers
// below three are not counted aloud.
func (s *site) notYetWords() []string {
	used, waiting, fresh := 0, 0, 0
	growers := map[string]bool{}
	for i := range s.book.Reports {
		r := &s.book.Reports[i]
		switch r.Verdict {
		case almanac.ReportUsed:
			used++
		case almanac.ReportWaiting:
			waiting++
		case almanac.ReportNew:
			fresh++
		default:
			continue
		}
		if r.Row != nil {
			who := string(r.Row.Grower)
			if who == "" {
				who = "\x00" + string(r.Row.TownID)
			}
			growers[who] = true
		}
	}
	out := []string{s.Say("To test a prediction, one grower’s reports are left out and predicted from the reports of all others. That needs reviewed reports of one cultivar by at least 3 growers, some of them before and some after the fruit was ripe.")}
	switch n := used + waiting; {
	case n+fresh == 0:
		out = append(out, s.Say("The club has no reports yet."))
	case len(growers) < almanac.FewGrowers:
		out = append(out, s.Count(n+fresh, "So far there is %s of fewer than 3 growers: at least one report each of 3 growers is missing.",
			"So far there are %s of fewer than 3 growers: at least one report each of 3 growers is missing.", s.countDigits(n+fresh, "report")))
	default:
		out = append(out, s.Say("So far %s and %s: too few of them can be left out.", s.usedSoFar(used), s.waitingSoFar(waiting)))
	}
	if fresh > 0 {
		out = append(out, s.Count(fresh, "%s is not reviewed yet: they count from then on.", "%s are not reviewed yet: they count from then on.", upperFirst(s.countWords(fresh, "report"))))
	}
	return out
}

func (v voice) usedSoFar(n int) string {
	if n == 0 {
		return v.Say("no report is used")
	}
	return v.Count(n, "%s report is used", "%s reports are used", v.Whole(n))
}

func (v voice) waitingSoFar(n int) string {
	if n == 0 {
		return v.Say("none is waiting for more growers of the same cultivar")
	}
	return v.Count(n, "%s is waiting for more growers of the same cultivar", "%s are waiting for more growers of the same cultivar", v.numberWord(n))
}

func (s *site) viewBlock(v *almanac.View) (viewBlock, error) {
	names := viewNames[v.ID]
	if names[0] == "" {
		names[0] = upperFirst(v.ID)
	}
	b := viewBlock{ID: "view-" + v.ID, Name: s.Say(names[0])}
	if names[1] != "" {
		b.About = s.Say(names[1])
	}
	for i := range v.Rules {
		r := &v.Rules[i]
		row := ruleRow{Name: s.ruleName(r.Rule), Dates: "–", Error: "–", Bias: "–", Coverage: "–", Chances: "–", Brier: "–", Beaten: s.beatenWords(r.Beaten)}
		if r.Dates > 0 {
			row.Dates, row.Error, row.Bias = s.Whole(r.Dates), s.someDays(s.Fixed(r.MedianError, 1), r.MedianError), s.someDays(s.Plus(r.Bias, 1), r.Bias)
			row.Coverage = percentWords(r.Coverage)
			if math.IsNaN(r.Coverage) {
				row.Coverage = "–"
			}
		}
		if r.Chances > 0 {
			row.Chances, row.Brier = s.Whole(r.Chances), s.Fixed(r.Brier, 3)
		}
		b.Rules = append(b.Rules, row)
		if r.Rule == almanac.RuleOurs {
			b.Words = append(b.Words, s.oursWords(r)...)
		} else if r.Beaten != "" {
			b.Words = append(b.Words, s.Say("Against %s: %s.", lowerFirst(s.ruleName(r.Rule)), s.beatenWords(r.Beaten)))
		}
	}
	var err error
	b.Chart, err = s.reliabilityChart(v, b.ID)
	return b, err
}

// oursWords says how far off the almanac was.
func (s *site) oursWords(r *almanac.RuleScore) []string {
	var out []string
	if r.Dates > 0 {
		of, within := s.countDigits(r.Dates, "report"), s.Fixed(r.MedianError, 1)
		switch off := s.Fixed(math.Abs(r.Bias), 1); {
		case r.Bias >= 0.05:
			out = append(out, s.Say("In half of %s the first ripe fruit was predicted to within %s days; the predictions were %s days late on average.", of, within, off))
		case r.Bias <= -0.05:
			out = append(out, s.Say("In half of %s the first ripe fruit was predicted to within %s days; the predictions were %s days early on average.", of, within, off))
		default:
			out = append(out, s.Say("In half of %s the first ripe fruit was predicted to within %s days; the predictions were neither early nor late on average.", of, within))
		}
		if !math.IsNaN(r.Coverage) {
			out = append(out, s.Say("Of 10 dates, %s lay in the band that should hold 8.", s.Trimmed(r.Coverage*10, 1)))
		}
	}
	return out
}

// reliabilityChart sets what was said against what came.
func (s *site) reliabilityChart(v *almanac.View, id string) (*chart, error) {
	c := &chart{ID: "said-" + v.ID, Title: s.Say("What was said and what came")}
	c.Data = sheet{Caption: c.Title, Head: []string{s.Say("Years in 10, said"), s.Say("on average"), s.Say("ripe, in 10"), s.Say("reports|a heading")}}
	line := figure.Line{Label: s.Say("the almanac|a line of a chart"), Kind: "ripe-1"}
	pairs := ""
	for _, r := range v.Reliability {
		if r.N == 0 {
			continue
		}
		c.Data.Rows = append(c.Data.Rows, []template.HTML{cell(s.Say("%s to %s|numbers", s.Trimmed(r.From*10, 1), s.Trimmed(r.To*10, 1))), cell(s.Fixed(r.Said*10, 1)), cell(s.Fixed(r.Ripe*10, 1)), cell(s.Whole(r.N))})
		if n := len(line.X); n == 0 || r.Said > line.X[n-1] {
			line.X, line.Y = append(line.X, r.Said), append(line.Y, r.Ripe)
		}
		pairs += " " + s.Say("Said %s, came %s of 10.", s.Fixed(r.Said*10, 1), s.Fixed(r.Ripe*10, 1))
	}
	if len(line.X) == 0 {
		return nil, nil
	}
	ticks := []figure.Tick{{At: 0, Label: "0"}, {At: 0.2, Label: "2"}, {At: 0.4, Label: "4"}, {At: 0.6, Label: "6"}, {At: 0.8, Label: "8"}, {At: 1, Label: "10"}}
	f := figure.Course{Head: figure.Head{ID: c.ID, Title: c.Title, Desc: s.Say("Years in 10 said against years in 10 that ripened; on the dashed line both agree.") + pairs, Width: narrowChart},
		From: 0, Until: 1, Ticks: ticks, YTicks: ticks, High: 1, YLabel: s.Say("ripened, years in 10, against what was said"),
		Lines: []figure.Line{{Label: s.Say("said and came agree"), Kind: "level", X: []float64{0, 1}, Y: []float64{0, 1}}, line}}
	svg, err := f.SVG()
	if err != nil {
		return nil, fmt.Errorf("chart %s: %w", c.ID, err)
	}
	c.SVG = template.HTML(svg)
	c.Caption = cell(s.Say("Below the dashed line the almanac promised too much, above it too little."))
	return c, nil
}

// methodSheet says which ways of growing lie off the rules.
func (s *site) methodSheet(score *almanac.Score) *sheet {
	sh := &sheet{Caption: s.Say("Ways of growing against their rules, given the weather"),
		Head: []string{s.Say("Way of growing"), s.Say("Reports"), s.Say("Later than expected"), s.Say("More heat than expected"), s.Say("Band")}}
	for _, r := range score.Methods {
		if r.N == 0 {
			continue
		}
		sh.Rows = append(sh.Rows, []template.HTML{cell(s.methodName(r.Method)), cell(s.Whole(r.N)), cell(s.someDays(s.Plus(r.MeanDays, 1), r.MeanDays)), s.heatPlus(r.Mean), template.HTML(s.Say("%s to %s|heat", s.heatPlus(r.Low), s.heatPlus(r.High)))})
	}
	if len(sh.Rows) == 0 {
		return nil
	}
	return sh
}

// heatPlus prints a difference of heat with its sign.
func (s *site) heatPlus(cd float64) template.HTML {
	return s.both(s.Plus(cd, 0)+"\u00a0°C·d", s.Plus(fahrenheitDays(cd), 0)+"\u00a0°F·d")
}

// baseSheet compares base temperatures.
func (s *site) baseSheet(score *almanac.Score) *sheet {
	sh := &sheet{Caption: s.Say("Other base temperatures, given the weather"),
		Head: []string{s.Say("Heat counts above"), s.Say("Dates|how many"), s.Say("Middle error"), s.Say("Brier score")}}
	for _, r := range score.Bases {
		name := s.temp(r.BaseC, 0)
		if r.Used {
			name = template.HTML(s.Say("%s <small>the one used</small>", name))
		}
		row := []template.HTML{name, cell(s.Whole(r.Dates)), "–", "–"}
		if r.Dates > 0 {
			row[2], row[3] = cell(s.someDays(s.Fixed(r.MedianError, 1), r.MedianError)), cell(s.Fixed(r.Brier, 3))
		}
		sh.Rows = append(sh.Rows, row)
	}
	if len(sh.Rows) == 0 {
		return nil
	}
	return sh
}
