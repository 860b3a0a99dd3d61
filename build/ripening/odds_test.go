package ripening_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ripeward/build/day"
	"ripeward/build/ripening"
)

var need = ripening.Need{Mu: 1200, SE: 50, GardenSd: 105, YearSd: 75}

func heats(v ...float64) []ripening.YearOf {
	out := make([]ripening.YearOf, len(v))
	for i := range v {
		out[i].Heat = v[i]
	}
	return out
}

func TestAsk(t *testing.T) {
	sd := need.Sd()
	for _, c := range []struct {
		name  string
		years []ripening.YearOf
		q     ripening.Question
		want  float64
	}{
		{"heat equals need", heats(1200), ripening.Question{Need: need}, 0.5},
		{"one sd more: Φ(1)", heats(1200 + sd), ripening.Question{Need: need}, 0.8413447},
		{"mean of years", heats(1200+sd, 1200-sd), ripening.Question{Need: need}, 0.5},
		{"a delay of one sd", heats(1200), ripening.Question{Need: need, Delay: sd}, 0.1586553},
		{"wood killed for certain, delayed one sd", []ripening.YearOf{{Heat: 1200, Kill: 1}}, ripening.Question{Need: need, DiebackDelay: sd}, 0.1586553},
		{"killed in half", []ripening.YearOf{{Heat: 1200, Kill: 0.5}}, ripening.Question{Need: need, DiebackDelay: sd}, (0.5 + 0.1586553) / 2},
		{"brebas die with the wood", []ripening.YearOf{{Heat: 1200, Kill: 0.5}}, ripening.Question{Need: need, OnOldWood: true}, 0.25},
		{"a lost year counts as none", []ripening.YearOf{{Heat: 1200}, {Heat: 9999, Lost: true}}, ripening.Question{Need: need}, 0.25},
	} {
		a := ripening.Ask(c.years, c.q)
		if math.Abs(a.Odds-c.want) > 1e-6 {
			t.Errorf("%s: %v, want %v", c.name, a.Odds, c.want)
		}
		if !(a.Low <= a.Odds && a.Odds <= a.High) {
			t.Errorf("%s: %v not within %v-%v", c.name, a.Odds, a.Low, a.High)
		}
		if !(a.Cool <= a.Odds+1e-12 && a.Odds-1e-12 <= a.Warm) {
			t.Errorf("%s: cool %v, middle %v, warm %v", c.name, a.Cool, a.Odds, a.Warm)
		}
		if math.Abs(a.RipeYears-a.Odds*float64(len(c.years))) > 1e-9 {
			t.Errorf("%s: ripe years %v", c.name, a.RipeYears)
		}
	}
	// A cool garden lies 1.28 garden sd higher in need, with the year's
	// scatter alone (SCIENCE 6).
	a := ripening.Ask(heats(1250), ripening.Question{Need: need})
	if want := distuv.UnitNormal.CDF((1250 - 1200 - 1.28*105) / 75); math.Abs(a.Cool-want) > 1e-9 {
		t.Errorf("cool garden %v, want %v", a.Cool, want)
	}
	if got := ripening.Ask(nil, ripening.Question{Need: need}); got.N != 0 || got.Odds != 0 {
		t.Errorf("no years: %+v", got)
	}
}

// A long record is the mean of its years, whatever happened in each: wood
// killed, brebas lost, neither.
func TestAskIsTheMeanOfItsYears(t *testing.T) {
	for _, onOldWood := range []bool{false, true} {
		q := ripening.Question{Need: need, Delay: 20, DiebackDelay: 300, OnOldWood: onOldWood, Spread: 200}
		var years []ripening.YearOf
		var want ripening.Answer
		for i := range 150 {
			y := ripening.YearOf{Heat: 900 + 5*float64(i), Lost: i%11 == 0}
			if i%3 == 0 {
				y.Kill = float64(i%7) / 6
			}
			years = append(years, y)
			one := ripening.Ask([]ripening.YearOf{y}, q)
			want.Odds, want.CropShare = want.Odds+one.Odds/150, want.CropShare+one.CropShare/150
			want.Cool, want.Warm = want.Cool+one.Cool/150, want.Warm+one.Warm/150
		}
		got := ripening.Ask(years, q)
		for k, d := range []float64{got.Odds - want.Odds, got.CropShare - want.CropShare, got.Cool - want.Cool, got.Warm - want.Warm, got.RipeYears - 150*want.Odds} {
			if math.Abs(d) > 1e-9 {
				t.Errorf("on old wood %v: figure %d is off by %v", onOldWood, k, d)
			}
		}
		odds := ripening.AskOdds(years, q)
		if odds.Odds != got.Odds || odds.Low != got.Low || odds.High != got.High || odds.RipeYears != got.RipeYears {
			t.Errorf("the odds alone %+v, with the rest %+v", odds, got)
		}
		if !(got.Low < got.Odds && got.Odds < got.High) {
			t.Errorf("%+v", got)
		}
	}
}

// Winter kill delays the main crop and takes the brebas: their share is that of
// the wood that lives (SCIENCE 6).
func TestWinterKill(t *testing.T) {
	brebas, main := ripening.Question{Need: need, OnOldWood: true, DiebackDelay: 300}, ripening.Question{Need: need, DiebackDelay: 300}
	whole := ripening.Ask(heats(1250), brebas).Odds
	delayed := ripening.Ask(heats(950), main).Odds
	for _, k := range []float64{0.1, 0.5, 0.9, 1} {
		year := []ripening.YearOf{{Heat: 1250, Kill: k}}
		if got := ripening.Ask(year, brebas).Odds; math.Abs(got-(1-k)*whole) > 1e-12 {
			t.Errorf("kill %v: brebas %v, want %v", k, got, (1-k)*whole)
		}
		if got, want := ripening.Ask(year, main).Odds, (1-k)*whole+k*delayed; math.Abs(got-want) > 1e-9 {
			t.Errorf("kill %v: main crop %v, want %v", k, got, want)
		}
	}
}

// The crop share against a sum over 100,000 fruits with needs spread evenly.
func TestCropShare(t *testing.T) {
	for _, heat := range []float64{900, 1150, 1200, 1300, 1450, 1700} {
		got := ripening.Ask(heats(heat), ripening.Question{Need: need, Spread: 200}).CropShare
		want, n := 0.0, 100_000
		for i := range n {
			u := 200 * (float64(i) + 0.5) / float64(n)
			want += distuv.UnitNormal.CDF((heat - need.Mu - u) / need.Sd())
		}
		if want /= float64(n); math.Abs(got-want) > 1e-5 {
			t.Errorf("at %v °C·d: share %v, want %v", heat, got, want)
		}
	}
}

func TestSplitKeepsTheWhole(t *testing.T) {
	g, y := ripening.Split(140, 105, 75)
	if math.Abs(math.Hypot(g, y)-140) > 1e-9 || math.Abs(g/y-105.0/75) > 1e-9 {
		t.Errorf("140 splits into %v and %v", g, y)
	}
}

func TestFirstRipe(t *testing.T) {
	y := steady(day.North, 20, 20, nil)
	s := []ripening.Supply{supply(y, plainPot, 1, 0)}
	years := heats(s[0].Heat)
	q := ripening.Question{Need: need}
	r, ok := ripening.FirstRipe(s, years, q, 0.5)
	// 1,200 °C·d at 10 a day after leaf-out on day 10.
	if !ok || r != 130 {
		t.Errorf("half of all years ripe by day %d, want 130", r)
	}
	early, _ := ripening.FirstRipe(s, years, q, 0.1)
	late, _ := ripening.FirstRipe(s, years, q, 0.9)
	if !(early < r && r < late) {
		t.Errorf("first ripe on %d, %d, %d", early, r, late)
	}
	// The share is of all years: what never ripens leaves no late date.
	cold := append(heats(0), years...)
	none := supply(steady(day.North, 0, 5, nil), plainPot, 1, 0)
	if _, ok := ripening.FirstRipe([]ripening.Supply{none, s[0]}, cold, q, 0.9); ok {
		t.Error("a date by which 9 in 10 years ripen, where one in two has no heat")
	}
}

// Two needs of 1,000 and 2,000 °C·d take times in the ratio 2 under constant
// daily heat (SCIENCE 11).
func TestTimeIsProportionalToNeed(t *testing.T) {
	s := supply(steady(day.North, 20, 20, nil), plainPot, 1, 0)
	a, ok1 := s.RankWhen(1000)
	b, ok2 := s.RankWhen(2000)
	if !ok1 || !ok2 || (b-s.LeafOut) != 2*(a-s.LeafOut) {
		t.Errorf("1,000 °C·d on day %d, 2,000 on day %d after leaf-out on day %d", a, b, s.LeafOut)
	}
}

// IPCC AR5 guidance note, table 1 (Mastrandrea et al. 2010): nested bands, the
// narrowest one is said. The limits of what may be claimed are SCIENCE 6.
func TestLikelihood(t *testing.T) {
	for _, c := range []struct {
		p              float64
		growers, years int
		want           string
	}{
		{0.99, 9, 200, ripening.VirtuallyCertain}, {0.989, 9, 200, ripening.VeryLikely},
		{0.95, 9, 200, ripening.VeryLikely}, {0.90, 9, 200, ripening.VeryLikely}, {0.89, 9, 200, ripening.Likely},
		{0.67, 9, 200, ripening.Likely}, {0.66, 9, 200, ripening.AboutAsLikelyAsNot}, {0.34, 9, 200, ripening.AboutAsLikelyAsNot},
		{0.33, 9, 200, ripening.Unlikely}, {0.11, 9, 200, ripening.Unlikely}, {0.10, 9, 200, ripening.VeryUnlikely},
		{0.02, 9, 200, ripening.VeryUnlikely}, {0.01, 9, 200, ripening.ExceptionallyUnlikely},
		{0.99, 9, 30, ripening.VeryLikely}, {0.01, 9, 30, ripening.VeryUnlikely},
		{0.99, 2, 30, ripening.Likely}, {0.01, 2, 30, ripening.Unlikely}, {0.5, 0, 30, ripening.AboutAsLikelyAsNot},
	} {
		if got := ripening.Likelihood(c.p, c.growers, c.years); got != c.want {
			t.Errorf("%v with %d growers, %d years: %s, want %s", c.p, c.growers, c.years, got, c.want)
		}
	}
}

func TestPlan(t *testing.T) {
	dormant, leafed, in := ripening.Anchor{Rank: 110, OK: true}, ripening.Anchor{Rank: 140, OK: true}, ripening.Anchor{Rank: 290, OK: true}
	p := ripening.MakePlan(dormant, leafed, in, true, 6)
	if p.Out.Rank != 140 || p.HardenOff.Rank != 126 || p.Wake.Rank != 98 || p.Weeks != 6 {
		t.Errorf("%+v", p)
	}
	for _, p := range []ripening.Plan{ripening.MakePlan(dormant, leafed, in, true, 0), ripening.MakePlan(dormant, leafed, in, false, 6)} {
		if p.Out.Rank != 110 || p.Wake.OK || p.HardenOff.OK || p.Weeks != 0 {
			t.Errorf("a cold pot goes out with the dormant ones: %+v", p)
		}
	}
}

func TestFirstWarm(t *testing.T) {
	// A place at 10 °C from day 20 on is not sent out before 15 February.
	change := map[day.Rank][2]float64{}
	for r := day.Rank(1); r < 20; r++ {
		change[r] = [2]float64{0, 4}
	}
	h := day.North
	mean10 := ripening.NormalMean10([]*ripening.Year{steady(h, 5, 15, change)})
	if a := ripening.FirstWarm(h, mean10); !a.OK || a.Rank != h.RankOf(2, 15) {
		t.Errorf("%+v", a)
	}
	mean10 = ripening.NormalMean10([]*ripening.Year{steady(h, 0, 15, nil)})
	if a := ripening.FirstWarm(h, mean10); a.OK {
		t.Errorf("a place never at 10 °C has a warm day %+v", a)
	}
}
