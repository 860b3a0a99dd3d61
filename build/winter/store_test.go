package winter_test

import (
	"math"
	"math/cmplx"
	"testing"

	"ripeward/build/day"
	"ripeward/build/winter"
)

var noFloor = math.NaN()

// RC-1..5 of CHECKS 12 (computed from the lumped-capacity formulas, Incropera &
// DeWitt ch. 5): a sine of 24 h comes through at ratio 1/√(1+(ωτ)²), later by
// atan(ωτ)/ω, and a step is filled to 1 - e^(-24/τ) in a day.
func TestLagAgainstSineAndStep(t *testing.T) {
	for _, c := range []struct{ tau, ratio, lag, step float64 }{
		{6, 0.5370, 3.835, 0.9817},
		{12, 0.3033, 4.823, 0.8647},
		{24, 0.1572, 5.397, 0.6321},
		{48, 0.0793, 5.697, 0.3935},
		{96, 0.0398, 5.848, 0.2212},
	} {
		// In steps of a minute the straight lines between the values are the
		// sine itself, to 2e-6.
		ratio, lag := response(c.tau*60, 24*60)
		near(t, "ratio", ratio, c.ratio, 0.00005)
		near(t, "lag, h", lag/60, c.lag, 0.0005)
		// In steps of an hour they cut its peaks by less than one per cent and
		// move nothing.
		ratio, lag = response(c.tau, 24)
		near(t, "ratio from hourly values", ratio/c.ratio, 1, 0.01)
		near(t, "lag from hourly values, h", lag, c.lag, 0.001)

		step := winter.NewLag(c.tau, 0)
		for range 24 {
			step.Hour(1, 1)
		}
		near(t, "step", step.T, c.step, 0.00005)
	}
	at := winter.NewLag(0, 5)
	if at.Hour(5, -3); at.T != -3 {
		t.Errorf("no time constant follows at once, not to %v", at.T)
	}
}

// response returns how much of a sine a lag lets through and how much later, in
// steps, from the last of many periods.
func response(tau float64, period int) (ratio, lag float64) {
	l := winter.NewLag(tau, 0)
	omega := 2 * math.Pi / float64(period)
	var in, out complex128
	periods := 2 + int(25*tau)/period
	for i := range periods * period {
		l.Hour(math.Sin(omega*float64(i)), math.Sin(omega*float64(i+1)))
		if i >= (periods-1)*period {
			turn := cmplx.Exp(complex(0, -omega*float64(i+1)))
			in += complex(math.Sin(omega*float64(i+1)), 0) * turn
			out += complex(l.T, 0) * turn
		}
	}
	return cmplx.Abs(out) / cmplx.Abs(in), cmplx.Phase(in/out) / omega
}

// US-4 of CHECKS 12 (computed from b = (Ti-Tu)/(Ti-Te), EN 12831): an unheated
// room between 20 °C and -10 °C.
func TestTarget(t *testing.T) {
	for b, want := range map[float64]float64{0.5: 5, 0.6: 2, 0.8: -4, 1: -10} {
		s := winter.Store{HouseShare: 1 - b, HouseC: 20}
		near(t, "between house and outdoors", s.Target(-10, 7), want, 1e-9)
	}
	near(t, "ground alone", (&winter.Store{GroundShare: 1}).Target(-10, 7), 7, 1e-9)
	near(t, "all three", (&winter.Store{HouseShare: 0.45, HouseC: 20, GroundShare: 0.35}).Target(-10, 6), -10+13.5+5.6, 1e-9)
	near(t, "no house", (&winter.Store{HouseC: math.NaN()}).Target(-10, 7), -10, 0)
}

var first = day.Of(2001, 7, 1)

// sineDays are days of a daily sine on a yearly one, at whole hours, coldest in
// January.
func sineDays(n int, mean, yearly, daily float64) []float64 {
	hours := make([]float64, 24*n)
	for i := range hours {
		h := float64(i)
		hours[i] = mean + yearly*math.Cos(2*math.Pi*(h/24-19)/365.25) - daily*math.Cos(2*math.Pi*(h-3)/24)
	}
	return hours
}

func TestFollow(t *testing.T) {
	hours := sineDays(365, 6, 16, 5)
	store := winter.Store{TimeConstantH: 24, HouseShare: 0.37, HouseC: 20, HeaterFloorC: noFloor, WrapTimeConstantH: 24}
	bare, wrapped := store.Follow(first, hours, 6)
	if bare.First != first || len(bare.Low) != 365 || len(wrapped.High) != 365 {
		t.Fatalf("%v, %d days, %d of the wrapped pot", bare.First, len(bare.Low), len(wrapped.High))
	}
	const i = 200 // mid-January: the mean hardly moves, the swing of 10 °C comes through at 0.1572
	swing := 0.63 * 10
	near(t, "swing in the store", bare.High[i]-bare.Low[i], swing*0.1572, 0.03)
	near(t, "swing of a wrapped pot", wrapped.High[i]-wrapped.Low[i], swing*0.1572*0.1572, 0.03)
	near(t, "middle", (bare.High[i]+bare.Low[i])/2, 0.63*-10+0.37*20, 0.1)

	store.HeaterFloorC = 2
	floored, _ := store.Follow(first, hours, 6)
	for i := range floored.Low {
		if floored.Low[i] != math.Max(bare.Low[i], 2) || floored.High[i] != math.Max(bare.High[i], 2) {
			t.Fatalf("day %d: %v to %v over a floor of 2, %v to %v without", i, floored.Low[i], floored.High[i], bare.Low[i], bare.High[i])
		}
	}
	plain := winter.Store{HeaterFloorC: noFloor}
	out, same := plain.Follow(first, hours, 6)
	for i := range out.Low {
		low, high := math.Inf(1), math.Inf(-1)
		for _, h := range hours[24*i : 24*i+24] {
			low, high = math.Min(low, h), math.Max(high, h)
		}
		if out.Low[i] != low || out.High[i] != high || same.Low[i] != low {
			t.Fatalf("day %d of a store that is the outdoors: %v to %v, want %v to %v", i, out.Low[i], out.High[i], low, high)
		}
	}
}

// A gap leaves its days unknown, and the days after it start from the target.
func TestFollowOverGap(t *testing.T) {
	hours := sineDays(40, 0, 0, 4)
	for h := 10*24 + 5; h < 13*24; h++ {
		hours[h] = math.NaN()
	}
	store := winter.Store{TimeConstantH: 12, HeaterFloorC: noFloor, WrapTimeConstantH: 24}
	bare, wrapped := store.Follow(first, hours, 0)
	for i := range bare.Low {
		known := i < 10 || i >= 13
		if (bare.Low[i] == bare.Low[i]) != known || (wrapped.High[i] == wrapped.High[i]) != known {
			t.Errorf("day %d: %v, %v", i, bare.Low[i], wrapped.High[i])
		}
	}
	near(t, "long after", bare.Low[39], bare.Low[9], 1e-3)
}

func TestStay(t *testing.T) {
	d := winter.Days{First: day.Of(2001, 10, 1)}
	add := func(n int, low, high float64) {
		for range n {
			d.Low, d.High = append(d.Low, low), append(d.High, high)
		}
	}
	add(31, 12, 14)                 // October: too warm, and no heat towards waking
	add(30, 0, 10)                  // November: at the limits is within them
	add(31, -3.1, 2)                // December
	add(31, -8, -1)                 // January
	add(27, math.NaN(), math.NaN()) // February
	add(1, -8, 0)
	add(31, 8, 9)   // March
	add(30, 14, 16) // April: 5 °C·d a day
	fig := winter.Crop{LowC: -3, HighC: 10, BaseC: 10, UpperC: math.Inf(1), Heat: 100}
	s := d.Stay(day.Of(2001, 10, 15), day.Of(2002, 4, 30), day.Of(2002, 1, 1), fig)
	want := winter.Stay{Days: 17 + 30 + 31 + 31 + 1 + 31 + 30, Missing: 27, LowestC: -8, Coldest: day.Of(2002, 1, 1),
		Below: 31 + 31 + 1, Above: 17 + 30, Wakes: day.Of(2002, 4, 20)}
	if s != want {
		t.Errorf("%+v\nwant %+v", s, want)
	}
	if s := d.Stay(day.Of(2001, 10, 15), day.Of(2002, 4, 19), day.Of(2002, 1, 1), fig); s.Wakes != day.None {
		t.Errorf("moved out before it wakes, yet awake on %v", s.Wakes)
	}
	fig.Heat = math.NaN()
	if s := d.Stay(day.Of(2001, 10, 15), day.Of(2002, 4, 30), day.Of(2002, 1, 1), fig); s.Wakes != day.None {
		t.Errorf("a crop without a heat of leaf-out woke on %v", s.Wakes)
	}
	if s := d.Stay(day.Of(2005, 1, 1), day.Of(2005, 1, 9), day.Of(2005, 1, 1), fig); s.Days != 0 || s.Missing != 9 || s.LowestC == s.LowestC {
		t.Errorf("outside the record: %+v", s)
	}
}

func TestSummarise(t *testing.T) {
	stays := []winter.Stay{{Missing: 100, LowestC: math.NaN()}} // not counted
	for i := range 11 {
		s := winter.Stay{Days: 200, LowestC: -float64(i), Below: 10 * i, Above: 3, Wakes: day.None}
		if i >= 3 { // 8 of 11 wake, from 4 March on
			s.Wakes = day.Of(2000+i, 3, 1) + day.Date(i)
		}
		stays = append(stays, s)
	}
	w := winter.Summarise(stays, day.North)
	want := winter.Winters{Winters: 11, LowestP10: -9, LowestP50: -5, BelowP50: 50, BelowP90: 90, AboveP50: 3, AboveP90: 3,
		WithBelow: 10, WithAbove: 11, Woken: 8, WakesP10: 60 + 4, WakesP50: 60 + 8}
	if w != want {
		t.Errorf("%+v\nwant %+v", w, want)
	}
	// With 5 of 11 awake the median winter has none.
	for i := range stays[1:] {
		if i < 6 {
			stays[1+i].Wakes = day.None
		}
	}
	if w := winter.Summarise(stays, day.North); w.Woken != 5 || w.WakesP10 != 60+7 || w.WakesP50 != 0 {
		t.Errorf("%+v", w)
	}
	if w := winter.Summarise(nil, day.South); w.Winters != 0 || w.LowestP50 == w.LowestP50 || w.WakesP10 != 0 {
		t.Errorf("of nothing: %+v", w)
	}
}
