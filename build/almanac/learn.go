package almanac

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"ripeward/build/diag"
	"ripeward/build/needs"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// priorDoubt is the doubt of a mean heat need, as a share of it, where neither
// the cultivar nor its class states one (judgement).
const priorDoubt = 0.08

// BasisReports means that a heat need was learned from members' reports.
const BasisReports = "reports"

// needKey names a heat need.
type needKey struct{ cultivar, part string }

// lessons is what the club's reports say, on the way to the book.
type lessons struct {
	keys      []needKey
	place     map[needKey]int // in keys and priors
	priors    []needs.Prior
	growers   map[string]int // by crop and code
	cases     []*sighting    // those that count, in file order
	seen      []needs.Observation
	uses      []int // place in Book.Reports, for each of cases
	learned   *needs.Learned
	byGrowers [][]int // cases of each grower
}

// learn fits heat needs to the club's reports, puts what came of each report
// and each need into the book, and hands the needs to the kit (SCIENCE 6).
func (g *Grow) learn(ctx context.Context) (*lessons, error) {
	l := g.newLessons()
	reports := g.book.Club.Reports
	if len(reports) > 0 {
		g.say("reports")
	}
	if err := g.observe(ctx, l); err != nil {
		return nil, err
	}
	var err error
	if l.learned, err = needs.Learn(l.priors, l.seen, needs.Options{UnreportedFailures: true}); err != nil {
		return nil, fmt.Errorf("heat needs from reports: %w", err)
	}
	g.judge(l)
	g.keep(l)
	g.warnOfHeld()
	return l, ctx.Err()
}

// newLessons lists the needs that reports can speak of, with what is known
// before any report.
func (g *Grow) newLessons() *lessons {
	l := &lessons{place: map[needKey]int{}, growers: map[string]int{}}
	for crop, ck := range g.kit.cropOrder {
		for i := range ck.cultivars {
			cu := &ck.cultivars[i]
			for j := range cu.parts {
				p := &cu.parts[j]
				k := needKey{string(cu.row.ID), p.name}
				if _, have := l.place[k]; have || p.reason != "" {
					continue
				}
				l.place[k] = len(l.keys)
				l.keys = append(l.keys, k)
				l.priors = append(l.priors, priorOf(crop, p.need))
			}
		}
	}
	return l
}

func priorOf(crop int, n ripening.Need) needs.Prior {
	p := needs.Prior{Crop: crop, Mu: n.Mu, SE: n.SE, GardenSd: n.GardenSd, YearSd: n.YearSd}
	if p.SE == 0 {
		p.SE = priorDoubt * n.Mu
	}
	return p
}

// observe works out the heat behind every report that may count.
func (g *Grow) observe(ctx context.Context, l *lessons) error {
	b := g.book
	b.Reports = make([]ReportUse, len(b.Club.Reports))
	found := make([]*sighting, len(b.Club.Reports))
	for i := range b.Club.Reports {
		r := &b.Club.Reports[i]
		b.Reports[i].Row = r
		if like := namedLike(b.Club, string(r.NameAsGiven)); like != "" && like != r.CultivarID {
			b.Reports[i].NamedLike = string(like)
		}
	}
	linkDuplicates(b.Reports)
	err := g.each(ctx, len(found), func(i int) {
		u := &b.Reports[i]
		if u.Verdict != "" {
			return
		}
		s, no := g.see(u.Row)
		if s != nil {
			u.Known, u.Low, u.High = true, quantity.Step(s.low, 1), quantity.Step(s.high, 1)
		}
		switch status := u.Row.Status; {
		case status == "rejected":
			u.Verdict, u.Reason = ReportRejected, diag.Say("rejected by hand")
		case status == "held":
			u.Verdict, u.Reason, u.Frees = ReportHeld, diag.Say("held by hand"), diag.Say("write reviewed or kept as its status")
		case no != nil:
			u.Verdict, u.Reason, u.Frees = no.verdict, no.reason, no.frees
		case status == "":
			u.Verdict, u.Reason, u.Frees = ReportNew, diag.Say("not reviewed yet"), diag.Say("look at it, then write reviewed as its status")
		default:
			found[i] = s
		}
	})
	for i, s := range found {
		if s != nil {
			l.add(s, i)
		}
	}
	return err
}

// add takes up a report that counts.
func (l *lessons) add(s *sighting, use int) {
	r := s.row
	need := l.place[needKey{string(r.CultivarID), s.part}]
	who := string(s.crop.row.ID) + " by " + s.who()
	grower, known := l.growers[who]
	if !known {
		grower = len(l.growers)
		l.growers[who] = grower
		l.byGrowers = append(l.byGrowers, nil)
	}
	l.byGrowers[grower] = append(l.byGrowers[grower], len(l.cases))
	l.cases = append(l.cases, s)
	l.seen = append(l.seen, s.observation(need, grower))
	l.uses = append(l.uses, use)
}

// who tells one grower's reports from another's: those without a code are one
// grower a town.
func (s *sighting) who() string {
	if s.row.Grower == "" {
		return "in " + string(s.row.TownID)
	}
	return "code " + strings.ToLower(string(s.row.Grower))
}

// observation is the report in heat.
func (s *sighting) observation(need, grower int) needs.Observation {
	r := s.row
	o := needs.Observation{Need: need, Grower: grower, StartSd: s.startSd, Supply: math.NaN(), Kept: r.Status == "kept"}
	if s.whole {
		o.Supply = s.supply.Heat - s.delay
	}
	switch h, exact := s.exact(); {
	case exact:
		o.Kind, o.Lo, o.Hi = needs.Exact, h, h
	case r.Outcome == "not-ripe":
		o.Kind, o.Lo = needs.Above, s.low
	case r.Outcome == "already-ripe":
		o.Kind, o.Hi = needs.Below, s.high
	case s.high <= s.low: // both looks after the last ripening day
		o.Kind, o.Lo, o.Hi = needs.Exact, s.high, s.high
	default:
		o.Kind, o.Lo, o.Hi = needs.Between, s.low, s.high
	}
	return o
}

// linkDuplicates links what is reported twice: the same grower's same tree,
// part and year. The first is kept; a person's "kept" wins.
func linkDuplicates(uses []ReportUse) {
	type key struct{ grower, town, cultivar, part, method, seen string }
	first := map[key][]int{}
	for i := range uses {
		r := uses[i].Row
		if r.Status == "rejected" {
			continue
		}
		k := key{strings.ToLower(string(r.Grower)), string(r.TownID), string(r.CultivarID), string(r.CropPart), string(r.MethodID), fmt.Sprint(r.Year.Value)}
		if r.Grower == "" && r.TreeID == "" {
			// Nobody says whose tree it is: only the very same row twice.
			k.seen += " " + r.SeenOn.String() + string(r.Outcome)
		}
		for _, j := range first[k] {
			other := uses[j].Row
			if r.TreeID != "" && other.TreeID != "" && r.TreeID != other.TreeID || r.Status == "kept" {
				continue
			}
			uses[i].Verdict, uses[i].First = ReportDuplicate, string(other.ID)
			uses[i].Reason = diag.Say("the same tree and crop of %d as in report %s", r.Year.Value, other.ID)
			uses[i].Frees = diag.Say("tree_id in both, where these are two trees; or write kept as its status")
			break
		}
		if uses[i].Verdict == "" {
			first[k] = append(first[k], i)
		}
	}
}

// judge says of each report that could count what became of it.
func (g *Grow) judge(l *lessons) {
	for i, j := range l.learned.Judgements {
		u := &g.book.Reports[l.uses[i]]
		u.Expected, u.Sd = quantity.Step(j.Expected, stepNeed), quantity.Step(j.Sd, stepNeed)
		switch j.Verdict {
		case needs.Used:
			u.Verdict = ReportUsed
		case needs.Waiting:
			u.Verdict, u.Reason = ReportWaiting, tooFew(l.cases[i].part)
			u.Frees = diag.Say("reports of other growers")
		case needs.Held:
			u.Verdict, u.Reason = ReportHeld, diag.Say("its heat lies far from what the other growers' reports lead to expect")
			if j.ByMAD {
				u.Reason = diag.Say("its heat lies far from the middle of this cultivar's reports")
			}
			u.Frees = diag.Say("a mended date, start or cultivar; or, where it is true as it stands, write kept as its status")
		}
	}
}

func tooFew(part string) diag.Sentence {
	if part == "breba" {
		return diag.Say("fewer than three growers have reported this cultivar's breba crop")
	}
	return diag.Say("fewer than three growers have reported this cultivar's main crop")
}

// keep puts the needs into the book and hands them to the kit.
func (g *Grow) keep(l *lessons) {
	b := g.book
	r := l.learned.Reporting
	b.Reporting = Reporting{quantity.Step(r.R, stepOdds), quantity.Step(r.Low, stepOdds), quantity.Step(r.High, stepOdds), r.OK}
	handHeld := map[needKey]int{}
	for i := range b.Reports {
		// Judged ones are counted by the fit.
		if u := &b.Reports[i]; u.Verdict == ReportHeld && u.Expected == 0 {
			handHeld[needKey{string(u.Row.CultivarID), string(u.Row.CropPart)}]++
		}
	}
	for i, k := range l.keys {
		e, prior := &l.learned.Estimates[i], &l.priors[i]
		cu, ck := g.kit.cultivar(k.cultivar)
		p := g.kit.part(cu, k.part)
		n := HeatNeed{Cultivar: k.cultivar, Part: k.part, BaseC: ck.model.Base, Basis: p.basis, PriorBasis: p.basis,
			PriorMu: quantity.Step(prior.Mu, stepNeed), PriorSE: quantity.Step(prior.SE, 1),
			Reports: e.Reports, Growers: e.Growers, Censored: e.Censored, Held: e.Held + handHeld[k], Waiting: e.Waiting}
		need := p.need
		if e.Learned {
			n.Basis = BasisReports
			need = learnedNeed(*e)
		}
		need.Mu, need.SE = quantity.Step(need.Mu, stepNeed), quantity.Step(need.SE, 1)
		need.GardenSd, need.YearSd = quantity.Step(need.GardenSd, stepNeed), quantity.Step(need.YearSd, stepNeed)
		n.Mu, n.SE, n.GardenSd, n.YearSd = need.Mu, need.SE, need.GardenSd, need.YearSd
		b.Needs = append(b.Needs, n)
		for j := range cu.parts {
			if q := &cu.parts[j]; q.name == k.part && q.reason == "" {
				q.need, q.basis, q.reports, q.growers = need, n.Basis, n.Reports, n.Growers
				if !e.Learned {
					q.reports, q.growers = 0, 0
				}
			}
		}
	}
	slices.SortFunc(b.Needs, func(x, y HeatNeed) int {
		return cmp.Or(cmp.Compare(x.Cultivar, y.Cultivar), cmp.Compare(x.Part, y.Part))
	})
}

// manyHeld is the share of reviewed reports from which holding speaks against
// the model rather than the reports (SCIENCE 6).
const manyHeld = 0.05

// warnOfHeld warns where the rule holds too many reports.
func (g *Grow) warnOfHeld() {
	held, all := 0, 0
	for i := range g.book.Reports {
		switch u := &g.book.Reports[i]; {
		case u.Verdict == ReportHeld && u.Expected != 0:
			held++
			all++
		case u.Verdict == ReportUsed, u.Verdict == ReportWaiting:
			all++
		}
	}
	if float64(held) > manyHeld*float64(all) {
		g.book.Problems = append(g.book.Problems, diag.Problem{Place: diag.Place{File: "data/reports"}, Severity: diag.Warning,
			Message: fmt.Sprintf("%d of %d reviewed reports lie too far off to be used: so many speak against the heat model rather than the reports", held, all),
			Hint:    "ripeward inspect --reports lists them; look at methods.csv and at the town's offsets first"})
	}
}

func learnedNeed(e needs.Estimate) ripening.Need {
	return ripening.Need{Mu: e.Mu, SE: e.SE, GardenSd: e.GardenSd, YearSd: e.YearSd, VarLnSd: e.VarLnSd, CovMuLnSd: e.CovMuLnSd, Learned: true}
}

func (k *kit) cultivar(id string) (*cultivarKit, *cropKit) {
	for _, ck := range k.cropOrder {
		for i := range ck.cultivars {
			if string(ck.cultivars[i].row.ID) == id {
				return &ck.cultivars[i], ck
			}
		}
	}
	return nil, nil
}

// Need returns the heat need of a cultivar's crop part, or nil.
func (b *Book) Need(cultivar, part string) *HeatNeed {
	for i := range b.Needs {
		if b.Needs[i].Cultivar == cultivar && b.Needs[i].Part == part {
			return &b.Needs[i]
		}
	}
	return nil
}
