package winter_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ripeward/build/winter"
)

// madeWinter is the weather of 212 days from 1 October on, with spells of cold
// and warmth of a few days.
func madeWinter(rng *rand.Rand) []float64 {
	hours := sineDays(92+212, 6, 16, 5)[92*24:]
	spell := 0.0
	for i := range hours {
		spell = spell*0.985 + 0.8*rng.NormFloat64()
		hours[i] += spell
	}
	return hours
}

// logOf is a made log: the store read every so many days, each reading off by
// noise of so many degrees and to steps of step degrees.
func logOf(s *winter.Store, hours []float64, annual float64, every int, step, noise float64, rng *rand.Rand) (log []winter.Reading) {
	l := winter.NewLag(s.TimeConstantH, s.Target(hours[0], annual))
	air := []float64{l.T}
	for i := 1; i < len(hours); i++ {
		l.Hour(s.Target(hours[i-1], annual), s.Target(hours[i], annual))
		air = append(air, l.T)
	}
	written := func(v float64) float64 { return math.Round((v+noise*rng.NormFloat64())/step) * step }
	for d := 15; d+every < len(hours)/24; d += every {
		part := air[24*d+12 : 24*(d+every)+13]
		log = append(log, winter.Reading{Reset: d, Read: d + every, LowC: written(slices.Min(part)), HighC: written(slices.Max(part))})
	}
	return log
}

var (
	garage = winter.Store{TimeConstantH: 24, HouseShare: 0.37, HouseC: 20, HeaterFloorC: noFloor, WrapTimeConstantH: 24}
	shed   = winter.Store{TimeConstantH: 12, HouseC: 20, HeaterFloorC: noFloor}
	cellar = winter.Store{TimeConstantH: 80, HouseShare: 0.6, HouseC: 18, GroundShare: 0.2, HeaterFloorC: noFloor}
)

// A log without error gives back the store that made it; one read to whole
// degrees does so within three of its own standard errors.
func TestFitFindsTheStoreOfALog(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 12))
	hours := madeWinter(rng)
	for name, truth := range map[string]winter.Store{"garage": garage, "shed": shed, "cellar": cellar} {
		start := truth
		start.TimeConstantH, start.HouseShare = 40, 0.8
		exact, err := winter.Fit(start, hours, 6, logOf(&truth, hours, 6, 14, 1e-9, 0, rng))
		if err != nil {
			t.Fatal(name, err)
		}
		near(t, name+", time constant", exact.TimeConstantH/truth.TimeConstantH, 1, 0.001)
		near(t, name+", house share", exact.HouseShare, truth.HouseShare, 0.0005)
		near(t, name+", residual", exact.ResidualC, 0, 0.005)

		f, err := winter.Fit(start, hours, 6, logOf(&truth, hours, 6, 14, 1, 0, rng))
		if err != nil {
			t.Fatal(name, err)
		}
		near(t, name+", time constant of whole degrees", f.TimeConstantH, truth.TimeConstantH, 3*f.TimeConstantSe)
		near(t, name+", house share of whole degrees", f.HouseShare, truth.HouseShare, 3*f.HouseShareSe)
		if !(f.ResidualC < 0.5) || f.Readings != 14 || f.SpanC < winter.FitSpanC {
			t.Errorf("%s: %+v", name, f)
		}
		want := truth
		want.TimeConstantH, want.HouseShare = f.TimeConstantH, f.HouseShare
		if got := f.Store; !sameStore(got, want) {
			t.Errorf("%s: more than the two was changed: %+v", name, got)
		}
	}
}

// sameStore compares two stores, no heater being equal to no heater.
func sameStore(a, b winter.Store) bool {
	if math.IsNaN(a.HeaterFloorC) && math.IsNaN(b.HeaterFloorC) {
		a.HeaterFloorC, b.HeaterFloorC = 0, 0
	}
	return a == b
}

// The error is the one that a fit has: over made logs with readings off by
// half a degree (sd), nine of ten truths lie within 1.645 standard errors.
func TestFitKnowsItsError(t *testing.T) {
	const logs = 60
	rng := rand.New(rand.NewPCG(9, 12))
	hours := madeWinter(rng)
	inside := 0
	for range logs {
		f, err := winter.Fit(garage, hours, 6, logOf(&garage, hours, 6, 10, 0.1, 0.5, rng))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.TimeConstantH-garage.TimeConstantH) <= 1.645*f.TimeConstantSe {
			inside++
		}
		if math.Abs(f.HouseShare-garage.HouseShare) <= 1.645*f.HouseShareSe {
			inside++
		}
	}
	// 108 of 120 are expected; three standard errors of such a count are 10.
	t.Logf("%d of %d within the 90 %% interval", inside, 2*logs)
	if inside < 98 || inside > 118 {
		t.Errorf("%d of %d within the 90 %% interval", inside, 2*logs)
	}
}

func TestFitDoesNotDependOnOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	hours := madeWinter(rng)
	log := logOf(&garage, hours, 6, 14, 0.5, 0.3, rng)
	want, err := winter.Fit(garage, hours, 6, log)
	if err != nil {
		t.Fatal(err)
	}
	rng.Shuffle(len(log), func(i, j int) { log[i], log[j] = log[j], log[i] })
	far := garage
	far.TimeConstantH, far.HouseShare = 2, 1
	got, err := winter.Fit(far, hours, 6, log)
	if err != nil || got.TimeConstantH != want.TimeConstantH || got.HouseShareSe != want.HouseShareSe {
		t.Errorf("%+v, %v; in order %+v", got, err, want)
	}
}

// Without a house temperature only the time constant is fitted; a store that
// follows at once, or hardly at all, is said to be at the end of the range.
func TestFitOfOneAndAtTheEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	hours := madeWinter(rng)
	alone := shed
	alone.HouseC = math.NaN()
	f, err := winter.Fit(alone, hours, 6, logOf(&shed, hours, 6, 14, 0.1, 0, rng))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "time constant", f.TimeConstantH, 12, 0.2)
	if f.HouseShare != 0 || f.HouseShareSe != 0 || !(f.TimeConstantSe < 0.2) || f.AtEdge {
		t.Errorf("%+v", f)
	}
	outdoors := winter.Store{HouseC: 20, HeaterFloorC: noFloor}
	if f, err := winter.Fit(outdoors, hours, 6, logOf(&outdoors, hours, 6, 14, 0.1, 0, rng)); err != nil || !f.AtEdge {
		t.Errorf("%+v, %v", f, err)
	}
}

func TestFitNeedsEnough(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 7))
	hours := madeWinter(rng)
	log := logOf(&garage, hours, 6, 14, 1, 0, rng)
	spoil := slices.Clone(log[:9])
	spoil[0].LowC = math.NaN()
	spoil[1].Read = spoil[1].Reset
	if f, err := winter.Fit(garage, hours, 6, spoil); err == nil || !strings.Contains(err.Error(), "7 readings") || f.Readings != 7 || f.TimeConstantH != garage.TimeConstantH {
		t.Errorf("%+v, %v", f, err)
	}
	if _, err := winter.Fit(garage, hours, 6, log[:8]); err != nil {
		t.Errorf("eight readings: %v", err)
	}
	unknown := slices.Clone(hours)
	for d := range log {
		unknown[24*(log[d].Reset+3)] = math.NaN()
	}
	if _, err := winter.Fit(garage, unknown, 6, log); err == nil || !strings.Contains(err.Error(), "0 readings") {
		t.Errorf("with a gap in every reading: %v", err)
	}
	steady := sineDays(212, 0, 2, 3)
	if f, err := winter.Fit(garage, steady, 6, logOf(&garage, steady, 6, 14, 1, 0, rng)); err == nil || !strings.Contains(err.Error(), "apart") || !(f.SpanC < 10) {
		t.Errorf("in steady weather: %+v, %v", f, err)
	}
}

func BenchmarkFit(b *testing.B) {
	rng := rand.New(rand.NewPCG(5, 12))
	hours := madeWinter(rng)
	log := logOf(&garage, hours, 6, 14, 1, 0, rng)
	for b.Loop() {
		if _, err := winter.Fit(garage, hours, 6, log); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFollowWinter(b *testing.B) {
	hours := sineDays(365, 6, 16, 5)
	for b.Loop() {
		garage.Follow(first, hours, 6)
	}
}
