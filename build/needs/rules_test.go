package needs

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// learn fits or fails the test.
func learn(t *testing.T, priors []Prior, obs []Observation, o Options) *Learned {
	t.Helper()
	l, err := Learn(priors, obs, o)
	if err != nil {
		t.Fatal(err)
	}
	if l.FellBack {
		t.Fatal("fell back on the priors")
	}
	return l
}

// aClub is a made club of 12 growers with 4 reports each.
func aClub(seed uint64) madeClub {
	return makeClub(clubPlan{needs: 6, growers: 12, each: 4, reported: 1}, rand.New(rand.NewPCG(seed, 99)))
}

func exactly(need, grower int, h float64) Observation {
	return Observation{Need: need, Grower: grower, Kind: Exact, Lo: h, Hi: h, Supply: math.NaN()}
}

func TestNoReportsGivePriors(t *testing.T) {
	m := aClub(1)
	l := learn(t, m.priors, nil, Options{UnreportedFailures: true})
	for c, e := range l.Estimates {
		p := m.priors[c]
		v := p.GardenSd*p.GardenSd + p.YearSd*p.YearSd
		wg, wy := p.GardenSd*p.GardenSd/v, p.YearSd*p.YearSd/v
		want := Estimate{Mu: p.Mu, SE: p.SE, GardenSd: p.GardenSd, YearSd: p.YearSd}
		if got := e.VarLnSd; !near(got, (wg*wg+wy*wy)*0.35*0.35, 1e-12) {
			t.Errorf("need %d: variance of ln sd %g", c, got)
		}
		if e.VarLnSd = 0; e != want {
			t.Errorf("need %d: %+v, the prior is %+v", c, e, want)
		}
	}
	if l.Reporting.OK {
		t.Error("a chance of reporting from no report")
	}
}

// Fewer than three growers: the figure is the prior, their reports wait, and
// neighbours do not move it.
func TestTwoGrowersWait(t *testing.T) {
	m := aClub(2)
	m.priors = append(m.priors, Prior{Mu: 1234, SE: 60, GardenSd: 110, YearSd: 80})
	n := len(m.obs)
	m.obs = append(m.obs, exactly(6, 0, 1500), exactly(6, 1, 1510), exactly(6, 1, 1520))
	l := learn(t, m.priors, m.obs, Options{})
	e := l.Estimates[6]
	if e.Learned || e.Mu != 1234 || e.SE != 60 || e.GardenSd != 110 || e.Waiting != 3 || e.Growers != 2 || e.Reports != 0 {
		t.Errorf("two growers gave %+v", e)
	}
	if j := l.Judgements[n]; j.Verdict != Waiting || j.Expected != 1234 || !near(j.Distance, (1500-1234)/j.Sd, 1e-12) {
		t.Errorf("a waiting report is judged %+v", j)
	}
	if l.Estimates[0] != learn(t, m.priors[:6], m.obs[:n], Options{}).Estimates[0] {
		t.Error("waiting reports moved another need")
	}
	third := learn(t, m.priors, append(m.obs, exactly(6, 2, 1490)), Options{}).Estimates[6]
	if !third.Learned || third.Reports != 4 || third.Growers != 3 || third.Mu < 1300 {
		t.Errorf("three growers gave %+v", third)
	}
}

func TestOrderMakesNoDifference(t *testing.T) {
	for _, o := range []Options{{}, {UnreportedFailures: true}} {
		m := aClub(3)
		a := learn(t, m.priors, m.obs, o)
		perm := rand.New(rand.NewPCG(1, 1)).Perm(len(m.obs))
		shuffled := make([]Observation, len(perm))
		for i, p := range perm {
			shuffled[i] = m.obs[p]
		}
		b := learn(t, m.priors, shuffled, o)
		if !slices.Equal(a.Estimates, b.Estimates) || a.Reporting != b.Reporting {
			t.Errorf("shuffled: %+v, before %+v", b.Estimates, a.Estimates)
		}
		for i, p := range perm {
			if b.Judgements[i] != a.Judgements[p] {
				t.Errorf("report %d is judged %+v, before %+v", p, b.Judgements[i], a.Judgements[p])
			}
		}
	}
}

// The same bytes however many goroutines share the work.
func TestGoroutinesMakeNoDifference(t *testing.T) {
	m := aClub(4)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := learn(t, m.priors, m.obs, Options{UnreportedFailures: true})
	runtime.GOMAXPROCS(5)
	five := learn(t, m.priors, m.obs, Options{UnreportedFailures: true})
	if !slices.Equal(one.Estimates, five.Estimates) || !slices.Equal(one.Judgements, five.Judgements) {
		t.Error("one goroutine and five differ")
	}
}

// Without r, crops do not touch each other.
func TestCropsApart(t *testing.T) {
	a, b := aClub(5), aClub(6)
	priors, obs := slices.Clone(a.priors), slices.Clone(a.obs)
	for _, p := range b.priors {
		p.Crop = 8
		priors = append(priors, p)
	}
	for _, o := range b.obs {
		o.Need, o.Grower = o.Need+len(a.priors), o.Grower+100
		obs = append(obs, o)
	}
	both := learn(t, priors, obs, Options{}).Estimates
	apart := append(learn(t, a.priors, a.obs, Options{}).Estimates, learn(t, b.priors, b.obs, Options{}).Estimates...)
	for c := range both {
		if math.Abs(both[c].Mu-apart[c].Mu) > 1e-5 || !near(both[c].SE, apart[c].SE, 1e-8) {
			t.Errorf("need %d: %+v together, %+v apart", c, both[c], apart[c])
		}
	}
}

// Another club like it, of other growers: every standard error shrinks.
func TestMoreReportsTellMore(t *testing.T) {
	m := aClub(7)
	one := learn(t, m.priors, m.obs, Options{})
	obs := slices.Clone(m.obs)
	for _, o := range m.obs {
		o.Grower += 100
		obs = append(obs, o)
	}
	two := learn(t, m.priors, obs, Options{})
	for c, e := range two.Estimates {
		if one.Estimates[c].Learned && (e.SE >= one.Estimates[c].SE || e.VarLnSd >= one.Estimates[c].VarLnSd) {
			t.Errorf("need %d: SE %g, variance of ln sd %g; before %+v", c, e.SE, e.VarLnSd, one.Estimates[c])
		}
	}
}

// A failure says that the need is higher, an already ripe tree that it is
// lower, than without the report.
func TestBoundsPull(t *testing.T) {
	m := aClub(8)
	before := learn(t, m.priors, m.obs, Options{}).Estimates[0]
	bound := func(o Observation) Estimate {
		o.Grower, o.Supply = 50, math.NaN()
		return learn(t, m.priors, append(slices.Clone(m.obs), o), Options{}).Estimates[0]
	}
	if e := bound(Observation{Kind: Above, Lo: before.Mu}); e.Mu <= before.Mu || e.Censored != before.Censored+1 {
		t.Errorf("a failure: %+v, before %+v", e, before)
	}
	if e := bound(Observation{Kind: Below, Hi: before.Mu}); e.Mu >= before.Mu || e.Censored != before.Censored+1 {
		t.Errorf("already ripe: %+v, before %+v", e, before)
	}
}

// r is near 1 where failures come in as often as the needs let expect, and low
// where none is ever heard of.
func TestChanceOfReporting(t *testing.T) {
	plan := clubPlan{needs: 8, growers: 60, each: 6, reported: 1}
	all := learnMade(t, plan).Reporting
	plan.reported = 0
	none := learnMade(t, plan).Reporting
	plan.reported = 0.3
	some := learnMade(t, plan).Reporting
	t.Logf("r %.2f (%.2f to %.2f), %.2f (%.2f to %.2f) and %.2f (%.2f to %.2f) where 1, 0.3 and 0 are reported",
		all.R, all.Low, all.High, some.R, some.Low, some.High, none.R, none.Low, none.High)
	if !all.OK || all.R < 0.7 || none.R > 0.1 || some.Low > 0.3 || some.High < 0.3 {
		t.Error("the chance of reporting is not found again")
	}
}

func learnMade(t *testing.T, plan clubPlan) *Learned {
	t.Helper()
	m := makeClub(plan, rand.New(rand.NewPCG(11, 4)))
	return learn(t, m.priors, m.obs, Options{UnreportedFailures: true})
}

// Leaving a grower out is learning from the reports of the others.
func TestWithout(t *testing.T) {
	for _, o := range []Options{{}, {UnreportedFailures: true}} {
		m := aClub(9)
		l := learn(t, m.priors, m.obs, o)
		for g := range 12 {
			rest := slices.DeleteFunc(slices.Clone(m.obs), func(o Observation) bool { return o.Grower == g })
			want := learn(t, m.priors, rest, o).Estimates
			for c, e := range l.Without(g) {
				w := want[c]
				if math.Abs(e.Mu-w.Mu) > 1e-4 || !near(e.SE, w.SE, 1e-6) || !near(e.YearSd, w.YearSd, 1e-6) ||
					e.Learned != w.Learned || e.Held != w.Held || e.Reports != w.Reports || e.Waiting != w.Waiting {
					t.Errorf("without %d, need %d: %+v, learned from the rest %+v", g, c, e, w)
				}
			}
		}
		if got := l.Without(77); !slices.Equal(got, l.Estimates) {
			t.Error("leaving nobody out changes the estimates")
		}
	}
}

// No scatter is raised to a tiny one; nothing breaks.
func TestZeroScatter(t *testing.T) {
	m := aClub(10)
	for _, zero := range []func(*Prior){
		func(p *Prior) { p.GardenSd = 0 },
		func(p *Prior) { p.YearSd = 0 },
		func(p *Prior) { p.SE = 0 },
		func(p *Prior) { p.GardenSd, p.YearSd, p.SE = 0, 0, 0 },
	} {
		priors := slices.Clone(m.priors)
		for c := range priors {
			zero(&priors[c])
		}
		l, err := Learn(priors, m.obs, Options{UnreportedFailures: true})
		if err != nil {
			t.Fatal(err)
		}
		for c, e := range l.Estimates {
			for _, v := range []float64{e.Mu, e.SE, e.GardenSd, e.YearSd, e.VarLnSd, e.CovMuLnSd} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("need %d: %+v", c, e)
				}
			}
		}
	}
}

func TestBadInputIsNamed(t *testing.T) {
	priors := []Prior{{Mu: 1200, SE: 50, GardenSd: 100, YearSd: 80}, {Crop: 1, Mu: 900, SE: 50, GardenSd: 100, YearSd: 80}}
	good := exactly(0, 3, 1200)
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		say string
		o   Observation
	}{
		{"need 2", exactly(2, 0, 1200)},
		{"need -1", exactly(-1, 0, 1200)},
		{"Lo = NaN", exactly(0, 0, nan)},
		{"Lo = +Inf", exactly(0, 0, inf)},
		{"Lo = NaN", Observation{Kind: Above, Lo: nan, Supply: nan}},
		{"Hi = -Inf", Observation{Kind: Below, Hi: -inf, Supply: nan}},
		{"needs Lo = Hi", Observation{Kind: Exact, Lo: 1, Hi: 2, Supply: nan}},
		{"is empty", Observation{Kind: Between, Lo: 2, Hi: 1, Supply: nan}},
		{"kind 9", Observation{Kind: 9}},
		{"StartSd = -1", Observation{Kind: Above, Lo: 1, StartSd: -1, Supply: nan}},
		{"StartSd = NaN", Observation{Kind: Above, Lo: 1, StartSd: nan, Supply: nan}},
		{"Supply = +Inf", Observation{Kind: Above, Lo: 1, Supply: inf}},
		{"two crops", exactly(1, 3, 1200)},
	} {
		_, err := Learn(priors, []Observation{good, c.o}, Options{})
		if err == nil || !strings.Contains(err.Error(), "observation 1") || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%+v: %v", c.o, err)
		}
	}
	for _, p := range []Prior{{Mu: nan}, {Mu: 1, SE: -1}, {Mu: 1, GardenSd: inf}, {Mu: 1, YearSd: nan}} {
		if _, err := Learn([]Prior{priors[0], p}, nil, Options{}); err == nil || !strings.Contains(err.Error(), "need 1") {
			t.Errorf("%+v: %v", p, err)
		}
	}
}
