package ripening_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/ripening"
)

// walked is what a plain walk, day by day, makes of a season.
type walked struct {
	heat, lost        float64
	setBacks, carried int
	leafed            bool
	leafAt            int
	byDay             []float64
}

// walk follows a tree one day after the other as SCIENCE 5 says it, to hold
// against the sums that the package keeps. last is the last ripening day, as a
// place in the season; st holds no dates or the grower's own.
func walk(y *ripening.Year, c ripening.Crop, m ripening.Method, out day.Rank, weeks, last int, st ripening.Start) walked {
	outAt, from := 0, 0
	if !m.Ground {
		outAt = y.Index(out)
		if st.Out != day.None {
			outAt = int(st.Out - y.Start())
		}
	}
	indoors := m.Planned && (weeks > 0 || st.Woke != day.None || st.Leafed != day.None)
	if indoors {
		from = outAt - 7*weeks
	}
	if st.Woke != day.None {
		from = int(st.Woke - y.Start())
	}
	w := walked{byDay: make([]float64, len(y.TMin))}
	growing, need, filled := false, c.LeafOutHeat, 0.0
	if st.Leafed != day.None {
		w.leafed, w.leafAt, growing = true, int(st.Leafed-y.Start()), true
		from = w.leafAt + 1
	}
	august := y.Index(y.Hemisphere.RankOf(8, 1))
	for i := from; i <= last; i++ {
		gain, low := 0.0, 99.0
		switch {
		case i < outAt && indoors:
			gain = m.IndoorShare * climate.SineDegreeDays(m.IndoorC, m.IndoorC, c.Base, c.Upper)
		case i < 0:
		case i < outAt:
			gain = climate.SineDegreeDays(y.TMin[i], y.TMax[i], c.Base, c.Upper)
		default:
			low = y.TMin[i] + m.NightGain
			if m.HeatFloor > low && m.HeaterW >= m.LossWPerK*(m.HeatFloor-y.TMin[i]) {
				low = m.HeatFloor
			}
			if w.leafed && y.TMin[i] <= m.CarryBelow {
				low = math.Max(low, m.CarriedTo)
				w.carried++
			}
			high := math.Min(y.TMax[i]+m.DayGain, math.Max(m.Vent, y.TMax[i]))
			gain = climate.SineDegreeDays(low, high, c.Base, c.Upper)
			if i >= august && (low+high)/2 < c.RipeningFloor {
				gain = 0
			}
		}
		if math.IsNaN(gain) {
			gain = 0
		}
		switch {
		case growing && low <= c.ShootDamage && i < august && !st.NoSetBacks:
			w.setBacks++
			w.lost += w.heat
			w.heat, growing, filled, need = 0, false, 0, c.LeafOutHeat/2
			clear(w.byDay)
		case growing:
			w.heat += gain
		default:
			if filled += gain; filled >= need {
				growing = true
				if !w.leafed {
					w.leafed, w.leafAt = true, i
				}
			}
		}
		if i >= 0 {
			w.byDay[i] = w.heat
		}
	}
	for i := max(last+1, 0); i < len(w.byDay); i++ {
		w.byDay[i] = w.heat
	}
	return w
}

// randomYear is a season of made weather, with frosts into summer now and then
// and days missing, also all days from some day on.
func randomYear(rng *rand.Rand) *ripening.Year {
	h := day.North
	if rng.IntN(2) == 0 {
		h = day.South
	}
	y := &ripening.Year{Season: 1990 + rng.IntN(30), Hemisphere: h, Latitude: float64(h) * (20 + 40*rng.Float64())}
	mean, end := 4+12*rng.Float64(), 999
	if rng.IntN(6) == 0 {
		end = 150 + rng.IntN(200)
	}
	for i := range int(h.End(y.Season)-h.Start(y.Season)) + 1 {
		t := mean + 13*math.Cos(2*math.Pi*float64(i-200)/365) + 4*rng.NormFloat64()
		half := 2 + 6*rng.Float64()
		lo, hi := t-half, t+half
		if rng.IntN(200) == 0 || i > end {
			lo, hi = math.NaN(), math.NaN()
		}
		y.TMin, y.TMax = append(y.TMin, lo), append(y.TMax, hi)
	}
	return y
}

func randomMethod(rng *rand.Rand) ripening.Method {
	m := ripening.Method{Planned: rng.IntN(4) > 0, Ground: rng.IntN(6) == 0, IndoorC: 15 + 20*rng.Float64(), IndoorShare: rng.Float64(),
		Vent: 20 + 15*rng.Float64(), HeatFloor: nan, CarryBelow: nan}
	if m.Ground {
		m.Planned = false
	}
	if rng.IntN(2) == 0 {
		m.DayGain, m.NightGain = 8*rng.Float64(), 2*rng.Float64()
	}
	if rng.IntN(2) == 0 {
		m.CarryBelow, m.CarriedTo = 4*rng.Float64(), 6+10*rng.Float64()
	}
	if rng.IntN(4) == 0 {
		m.HeatFloor, m.HeaterW, m.LossWPerK = 12*rng.Float64(), 2000, 150
	}
	return m
}

// No rule can be added that the plain walk is not tried with.
func TestRandomMethodsHaveEveryRule(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	first, varies := reflect.ValueOf(randomMethod(rng)), map[string]bool{}
	for range 200 {
		m := reflect.ValueOf(randomMethod(rng))
		for i := range m.NumField() {
			if !m.Field(i).Equal(first.Field(i)) && !(m.Field(i).CanFloat() && math.IsNaN(m.Field(i).Float()) && math.IsNaN(first.Field(i).Float())) {
				varies[m.Type().Field(i).Name] = true
			}
		}
	}
	for f := range reflect.TypeFor[ripening.Method]().Fields() {
		if f.Name != "ExtraNeed" && !varies[f.Name] { // which is added to the need, not to a day
			t.Errorf("randomMethod leaves out ripening.Method.%s: let it vary there, and let walk reckon with it", f.Name)
		}
	}
}

// randomStart tells some dates, as a grower might.
func randomStart(rng *rand.Rand, y *ripening.Year) ripening.Start {
	st := ripening.NoDates
	told := func(d *day.Date, from, days int) {
		if rng.IntN(3) == 0 {
			*d = y.Start() + day.Date(from+rng.IntN(days))
		}
	}
	told(&st.Woke, -40, 150)
	told(&st.Leafed, -20, 170)
	told(&st.Out, 30, 130)
	st.NoSetBacks = rng.IntN(4) == 0
	return st
}

func TestSupplyAgainstAPlainWalk(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 26))
	setBacks, starts := 0, 0
	for trial := range 1500 {
		y, m := randomYear(rng), randomMethod(rng)
		s := ripening.NewSeason(y, &fig, &m)
		out, weeks := day.Rank(20+rng.IntN(160)), rng.IntN(14)
		st := ripening.NoDates
		if trial%2 == 1 {
			st = randomStart(rng, y)
			starts++
		}
		got := s.SupplyFrom(out, weeks, st)
		want := walk(y, fig, m, out, weeks, y.Index(got.LastDay), st)
		setBacks += want.setBacks
		if math.Abs(got.Heat-want.heat) > 1e-9 || got.SetBacks != want.setBacks || got.Carried != want.carried || got.Leafed != want.leafed ||
			got.Leafed && got.LeafOut != y.Rank(want.leafAt) {
			t.Fatalf("season %d, out %d, %d weeks, %+v, %+v:\n%v °C·d, %d set-backs, %d nights, leafed %v on %d\nwant %v, %d, %d, %v on %d", trial, out, weeks, st, m,
				got.Heat, got.SetBacks, got.Carried, got.Leafed, got.LeafOut, want.heat, want.setBacks, want.carried, want.leafed, y.Rank(want.leafAt))
		}
		for i, h := range want.byDay {
			if on := got.HeatOn(y.Start() + day.Date(i)); math.Abs(on-h) > 1e-9 {
				t.Fatalf("season %d: %v °C·d on place %d, want %v", trial, on, i, h)
			}
		}
		story := s.Story(out, weeks, st)
		sum := 0.0
		for _, v := range story.ByMonth {
			sum += v
		}
		if math.Abs(sum-got.Heat) > 1e-9 || math.Abs(story.LostHeat-want.lost) > 1e-9 || len(story.SetBackDays) != got.SetBacks || story.Heat != got.Heat {
			t.Fatalf("season %d: months give %v of %v °C·d, lost %v of %v, %d days of %d set-backs", trial, sum, got.Heat, story.LostHeat, want.lost, len(story.SetBackDays), got.SetBacks)
		}
	}
	if setBacks < 100 {
		t.Errorf("only %d set-backs in all the seasons: they test too little", setBacks)
	}
}

// Weeks gives what Supply gives for each head start.
func TestWeeks(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 12))
	var yields []ripening.Yield
	shifted := 0
	for range 800 {
		y, m := randomYear(rng), randomMethod(rng)
		s := ripening.NewSeason(y, &fig, &m)
		out := day.Rank(20 + rng.IntN(345))
		yields = s.Weeks(out, 16, yields[:0])
		if len(yields) != 16 {
			t.Fatalf("%d yields", len(yields))
		}
		for k, got := range yields {
			u := s.Supply(out, k+1)
			if math.Abs(got.Heat-u.Heat) > 1e-9 || got.SetBacks != u.SetBacks || got.Carried != u.Carried || got.Leafed != u.Leafed {
				t.Fatalf("out on %d, %d weeks: %+v, want %v, %d, %d, %v; method %+v", out, k+1, got, u.Heat, u.SetBacks, u.Carried, u.Leafed, m)
			}
			if u.Leafed && m.Planned && u.LeafOut < out {
				shifted++
			}
		}
		if got, u := s.Yield(out, 0), s.Supply(out, 0); got != (ripening.Yield{Heat: u.Heat, SetBacks: u.SetBacks, Carried: u.Carried, Leafed: u.Leafed}) {
			t.Fatalf("0 weeks: %+v, want %+v", got, u)
		}
	}
	if shifted < 1000 {
		t.Errorf("only %d head starts leafed out indoors", shifted)
	}
}
