package ripening_test

import (
	"flag"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"ripeward/build/day"
	"ripeward/build/ripening"
)

var (
	benchTowns    = flag.Int("towns", 40, "towns of BenchmarkClub; the goal is set for 1000")
	everyInterval = flag.Bool("every-interval", false, "hold every case of the intervals against draws")
)

const (
	clubCultivars = 100
	clubWeeks     = 13 // head starts of 0 to 12 weeks
	clubYears     = 30
)

// clubMethods are ten methods with a planned start, so that each has all head
// starts: pots in the open, carried, in tents, heated.
func clubMethods() []ripening.Method {
	var out []ripening.Method
	for k := range 10 {
		m := ripening.Method{Planned: true, IndoorC: 18 + float64(k%4), IndoorShare: 0.6 + 0.04*float64(k),
			Vent: 30, HeatFloor: math.NaN(), CarryBelow: math.NaN()}
		if k%3 == 1 {
			m.CarryBelow, m.CarriedTo = 2, 8
		}
		if k%2 == 1 {
			m.DayGain, m.NightGain = 2+float64(k), 1
		}
		if k == 9 {
			m.HeatFloor, m.HeaterW, m.LossWPerK = 10, 3000, 180
		}
		out = append(out, m)
	}
	return out
}

// clubTown is 30 years of made weather: a yearly wave, days that remember the
// day before, some summers warmer than others.
func clubTown(town uint64) []*ripening.Year {
	rng := rand.New(rand.NewPCG(town, 1))
	mean, wave, spell := 6+6*rng.Float64(), 11+4*rng.Float64(), 0.0
	years := make([]*ripening.Year, clubYears)
	for j := range years {
		y := &ripening.Year{Season: 1991 + j, Hemisphere: day.North, Latitude: 38 + 14*rng.Float64(), Valid: true}
		n := int(day.North.End(y.Season)-day.North.Start(y.Season)) + 1
		y.TMin, y.TMax = make([]float64, n), make([]float64, n)
		warm := 0.7 * rng.NormFloat64()
		for i := range n {
			spell = 0.75*spell + 2.4*rng.NormFloat64()
			t := mean + warm + spell + wave*math.Cos(2*math.Pi*float64(i-200)/365)
			half := 3 + 5*rng.Float64()
			y.TMin[i], y.TMax[i] = t-half, t+half
		}
		years[j] = y
	}
	return years
}

// clubQuestions are the main and the breba questions of 100 cultivars: half of
// the needs learned, with a covariance.
func clubQuestions() (main, breba []ripening.Question) {
	rng := rand.New(rand.NewPCG(7, 7))
	for k := range clubCultivars {
		n := ripening.Need{Mu: 1000 + 12*float64(k), SE: 25 + 60*rng.Float64(), GardenSd: 80 + 50*rng.Float64(), YearSd: 60 + 30*rng.Float64()}
		if k%2 == 0 {
			n.Learned, n.VarLnSd = true, 0.02
			n.CovMuLnSd = 0.4 * n.SE * math.Sqrt(n.VarLnSd)
		}
		main = append(main, ripening.Question{Need: n, Delay: fig.BrebaDelay, DiebackDelay: fig.DiebackDelay, Spread: fig.CropSpread})
		n.Mu *= 0.6
		breba = append(breba, ripening.Question{Need: n, OnOldWood: true, Spread: fig.CropSpread})
	}
	return main, breba
}

// anchorOf is the day of season by which share of the years have had their last
// low at or below limit before August.
func anchorOf(years []*ripening.Year, limit, share float64) day.Rank {
	var last []int
	for _, y := range years {
		at := 0
		for i := range 212 {
			if y.TMin[i] <= limit {
				at = i
			}
		}
		last = append(last, at)
	}
	slices.Sort(last)
	return years[0].Rank(last[int(share*float64(len(last)-1))])
}

// clubWork is what one goroutine keeps from town to town.
type clubWork struct {
	main, breba []ripening.Question
	methods     []ripening.Method
	answers     []ripening.Answer // of a town
	years       []ripening.YearOf
	yields      [clubYears][]ripening.Yield
	asking      func([]ripening.YearOf, ripening.Question) ripening.Answer
	ripe, dates float64
	making      time.Duration // the weather
}

func (w *clubWork) town(t int, dates bool) {
	begin := time.Now()
	weather := clubTown(uint64(t))
	w.making += time.Since(begin)
	dormant, leafed := anchorOf(weather, -4.4, 0.9), anchorOf(weather, 0, 0.9)
	w.answers = w.answers[:0]
	for m := range w.methods {
		seasons := make([]*ripening.Season, len(weather))
		supplies := make([]ripening.Supply, len(weather))
		var minimum [clubYears]float64
		for y := range weather {
			seasons[y] = ripening.NewSeason(weather[y], &fig, &w.methods[m])
			w.yields[y] = append(w.yields[y][:0], seasons[y].Yield(dormant, 0))
			w.yields[y] = seasons[y].Weeks(leafed, clubWeeks-1, w.yields[y])
			minimum[y] = slices.Min(weather[y].TMin)
			if dates {
				supplies[y] = seasons[y].Supply(leafed, 6)
			}
		}
		var calendar *ripening.Calendar
		if dates {
			calendar = ripening.NewCalendar(supplies)
		}
		for c := range w.main {
			for y := range w.years {
				// Four methods winter in a shed 8 °C warmer than the night;
				// the wood dies at -12 °C and below, give or take 2.
				w.years[y].Kill = 0
				if m < 4 {
					w.years[y].Kill = math.Erfc((minimum[y]+8+12+0.05*float64(c))/2/math.Sqrt2) / 2
				}
			}
			for part, q := range [2]ripening.Question{w.main[c], w.breba[c]} {
				w.ask(part == 1, q)
				if dates {
					w.first(calendar, part == 1, q)
				}
			}
		}
	}
}

// fill sets the years to a head start.
func (w *clubWork) fill(weeks int, breba bool) {
	for y := range w.years {
		yield := &w.yields[y][weeks]
		w.years[y].Heat, w.years[y].Lost = yield.Heat, breba && yield.SetBacks > 0
	}
}

func (w *clubWork) ask(breba bool, q ripening.Question) {
	for weeks := range clubWeeks {
		w.fill(weeks, breba)
		a := w.asking(w.years, q)
		w.answers = append(w.answers, a)
		w.ripe += a.RipeYears
	}
}

func (w *clubWork) first(c *ripening.Calendar, breba bool, q ripening.Question) {
	w.fill(6, breba)
	for _, share := range [3]float64{0.1, 0.5, 0.9} {
		if _, ok := c.FirstRipe(w.years, q, share); ok {
			w.dates++
		}
	}
}

// BenchmarkClub answers for a whole club on two goroutines: towns × 100
// cultivars × 10 methods × 13 head starts × 30 years, main crop and brebas.
// Odds is the odds with their 90 % intervals; Whole has cool and warm gardens
// and crop shares too; Dates adds to that the three first-ripe dates of every
// question at one head start. Making the weather is timed with it and reported.
// For the goal: go test -run none -bench Club -benchtime 1x -towns 1000.
func BenchmarkClub(b *testing.B) {
	for _, c := range []struct {
		name   string
		asking func([]ripening.YearOf, ripening.Question) ripening.Answer
		dates  bool
	}{{"Odds", ripening.AskOdds, false}, {"Whole", ripening.Ask, false}, {"Dates", ripening.Ask, true}} {
		b.Run(c.name, func(b *testing.B) {
			for range b.N {
				benchClub(b, c.asking, c.dates)
			}
		})
	}
}

func benchClub(b *testing.B, asking func([]ripening.YearOf, ripening.Question) ripening.Answer, dates bool) {
	const goroutines = 2
	begin := time.Now()
	var work [goroutines]clubWork
	var group sync.WaitGroup
	for k := range work {
		w := &work[k]
		w.main, w.breba = clubQuestions()
		w.methods, w.asking = clubMethods(), asking
		w.years = make([]ripening.YearOf, clubYears)
		group.Go(func() {
			for t := k; t < *benchTowns; t += goroutines {
				w.town(t, dates)
			}
		})
	}
	group.Wait()
	seconds := time.Since(begin).Seconds()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	answers := float64(*benchTowns) * clubCultivars * float64(len(work[0].methods)) * clubWeeks * 2
	b.ReportMetric(seconds, "s/club")
	b.ReportMetric(answers/1e6, "Manswers")
	b.ReportMetric(seconds/answers*1e9, "ns/answer")
	b.ReportMetric((work[0].making+work[1].making).Seconds()/goroutines, "s-weather")
	b.ReportMetric(float64(m.HeapSys)/(1<<20), "MiB-heap")
	if work[0].ripe+work[1].ripe == 0 {
		b.Fatal("nothing ripens")
	}
	b.ReportMetric((work[0].ripe+work[1].ripe)/answers/clubYears, "mean-odds")
}

// BenchmarkAsk is one whole answer over 30 years.
func BenchmarkAsk(b *testing.B) {
	years := make([]ripening.YearOf, clubYears)
	for i := range years {
		years[i].Heat = 1000 + 15*float64(i)
	}
	b.ReportAllocs()
	for b.Loop() {
		ripening.Ask(years, ripening.Question{Need: need, Spread: 200})
	}
}

// BenchmarkSeason is one season felt and followed at 13 head starts.
func BenchmarkSeason(b *testing.B) {
	y, m := clubTown(1)[0], clubMethods()[7]
	var yields []ripening.Yield
	b.ReportAllocs()
	for b.Loop() {
		s := ripening.NewSeason(y, &fig, &m)
		yields = append(yields[:0], s.Yield(100, 0))
		yields = s.Weeks(130, 12, yields)
	}
}
