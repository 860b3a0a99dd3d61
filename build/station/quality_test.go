package station_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
	"ripeward/build/station"
	"ripeward/build/station/stationtest"
)

// place is a kind of climate to invent weather for, in °C: the mean of the
// year, half the range of the seasons, the spread of the days about them.
type climateOf struct {
	name               string
	mean, swing, daily float64
	warming            float64 // a decade
	south              bool
}

var climates = []climateOf{
	{"continental", 6, 17, 5, 0, false},
	{"continental, warming", 6, 17, 5, 0.4, false},
	{"mild coast", 10, 6, 2, 0.2, false},
	{"tropical island", 25, 1.5, 0.9, 0.1, true},
	{"subarctic", -5, 20, 6, 0.5, false},
	{"hot desert", 25, 11, 3, 0.2, true},
}

// invent makes a clean record of so many years: seasons, days that remember
// the day before (0.7), winters more changeable than summers, rain on every
// third day.
func invent(c climateOf, seed uint64, years int) station.Series {
	rng := rand.New(rand.NewPCG(seed, 99))
	s := station.Series{ID: "X", First: day.Of(1981, 1, 1)}
	x := 0.0
	for d := s.First; d < day.Of(1981+years, 1, 1); d++ {
		wave := -math.Cos(2 * math.Pi * (float64(d.YearDay()) - 15) / 365.25)
		if c.south {
			wave = -wave
		}
		x = 0.7*x + 0.714*rng.NormFloat64()
		mid := c.mean + c.swing*wave + c.daily*(1-0.2*wave)*x + c.warming*float64(d-s.First)/3652.5
		half := max(0.5, 5+1.5*rng.NormFloat64())
		lo, hi := quantity.ToTenths(mid-half), quantity.ToTenths(mid+half)
		if rng.IntN(300) == 0 {
			lo = quantity.Missing
		}
		rain := quantity.Tenths(0)
		if rng.IntN(3) == 0 {
			rain = quantity.ToTenths(5 * rng.ExpFloat64())
		}
		s.TMin, s.TMax, s.Precip = append(s.TMin, lo), append(s.TMax, hi), append(s.Precip, rain)
	}
	return s
}

// Clean records raise no alarm but, now and then, that of a jump, which changes
// no value.
func TestCleanRecordsAreLeftAlone(t *testing.T) {
	const seeds = 20
	jumps, records := 0, 0
	for _, c := range climates {
		for seed := range uint64(seeds) {
			s := invent(c, seed, 40)
			records++
			for _, f := range station.FindSuspects(&s, nil) {
				if f.Kind == station.KindJump && f.Used {
					jumps++
					continue
				}
				t.Errorf("%s, seed %d: %+v", c.name, seed, f)
			}
		}
	}
	t.Logf("%d jumps in %d clean records", jumps, records)
	if jumps*50 > records {
		t.Errorf("%d jumps in %d clean records", jumps, records)
	}
}

// Damage of each kind, done to clean records, is found where it was done.
func TestInjectedErrorsAreFound(t *testing.T) {
	at := func(s *station.Series, y, m, d int) int { return int(day.Of(y, m, d) - s.First) }
	for _, c := range []struct {
		name, kind, element string
		from, to            [3]int // what must be found: the days between, give or take slack
		slack               int
		used                bool
		damage              func(s *station.Series)
		not                 []string // climates in which it cannot be told
	}{
		{"a high 30 °C up", station.KindSpike, "tmax", [3]int{1999, 4, 7}, [3]int{1999, 4, 7}, 0, false, func(s *station.Series) {
			i := at(s, 1999, 4, 7)
			s.TMax[i] = max(s.TMax[i-1], s.TMax[i+1]) + 300
		}, nil},
		{"a low 30 °C down", station.KindSpike, "tmin", [3]int{2003, 9, 17}, [3]int{2003, 9, 17}, 0, false, func(s *station.Series) {
			i := at(s, 2003, 9, 17)
			s.TMin[i-1], s.TMin[i], s.TMin[i+1] = 80, 80-300, 80
		}, nil},
		{"a low 20 °C down", station.KindSpike, "tmin", [3]int{2003, 9, 17}, [3]int{2003, 9, 17}, 0, false, func(s *station.Series) {
			i := at(s, 2003, 9, 17)
			s.TMin[i-1], s.TMin[i], s.TMin[i+1] = 80, 80-200, 80
		}, []string{"continental", "continental, warming", "subarctic", "hot desert"}},
		{"a high stuck for 25 days", station.KindRun, "tmax", [3]int{1990, 6, 1}, [3]int{1990, 6, 25}, 1, false, func(s *station.Series) {
			i := at(s, 1990, 6, 1)
			for k := range 25 {
				s.TMax[i+k] = s.TMax[i]
			}
		}, nil},
		{"a low stuck for 12 days", station.KindRun, "tmin", [3]int{1990, 6, 1}, [3]int{1990, 6, 12}, 1, true, func(s *station.Series) {
			i := at(s, 1990, 6, 1)
			for k := range 12 {
				s.TMin[i+k] = 111
			}
		}, nil},
		{"the same rain for 21 days", station.KindRun, "precip", [3]int{2010, 11, 20}, [3]int{2010, 12, 10}, 1, false, func(s *station.Series) {
			for k := range 21 {
				s.Precip[at(s, 2010, 11, 20)+k] = 254
			}
		}, nil},
		{"a jump of 2 °C", station.KindJump, "tmin", [3]int{2001, 1, 1}, [3]int{2020, 12, 31}, 800, true, func(s *station.Series) {
			for i := at(s, 2001, 1, 1); i < len(s.TMin); i++ {
				if s.TMin[i] != quantity.Missing {
					s.TMin[i] -= 20
				}
			}
		}, []string{"subarctic"}}, // its warming makes up for it
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, cl := range climates {
				if slices.Contains(c.not, cl.name) {
					continue
				}
				missed := 0
				const seeds = 5
				for seed := range uint64(seeds) {
					s := invent(cl, 100+seed, 40)
					c.damage(&s)
					if c.kind != station.KindJump {
						for _, f := range station.FindSuspects(&s, nil) {
							if f.Kind != station.KindJump && f.Kind != c.kind {
								t.Errorf("%s, seed %d: taken for something else: %+v", cl.name, seed, f)
							}
						}
					}
					first, last := day.Of(c.from[0], c.from[1], c.from[2]), day.Of(c.to[0], c.to[1], c.to[2])
					near := func(a, b day.Date) bool { return int(max(a-b, b-a)) <= c.slack }
					if !slices.ContainsFunc(station.FindSuspects(&s, nil), func(f station.Suspect) bool {
						return f.Kind == c.kind && f.Element == c.element && near(f.First, first) && near(f.Last, last) && f.Used == c.used && f.Values > 0 && strings.ContainsAny(f.Reason.String(), "0123456789")
					}) {
						missed++
						t.Logf("%s, seed %d: found %+v", cl.name, seed, station.FindSuspects(&s, nil))
					}
				}
				if missed > 0 {
					t.Errorf("%s: missed in %d of %d records", cl.name, missed, seeds)
				}
			}
		})
	}
}

// Stretches in the other unit: three quarters or more of what is damaged is refused, and
// next to nothing of what is not.
func TestUnitSlips(t *testing.T) {
	fahrenheit := func(c float64) float64 { return math.Round(c*1.8 + 32) }
	celsius := func(c float64) float64 { return (math.Round(c) - 32) / 1.8 }
	for _, c := range []struct {
		name     string
		from, to day.Date
		read     func(float64) float64
		not      []string // climates in which it cannot be told
	}{
		{"a year in °F", day.Of(2005, 1, 1), day.Of(2006, 1, 1), fahrenheit, []string{"tropical island"}}, // there hardly any of it is below 60
		{"eight years in °F", day.Of(1995, 5, 3), day.Of(2003, 9, 19), fahrenheit, []string{"tropical island", "hot desert"}},
		{"one spring in °F", day.Of(2005, 3, 1), day.Of(2005, 6, 1), fahrenheit, []string{"tropical island"}},
		{"one April in °F", day.Of(2005, 4, 1), day.Of(2005, 5, 1), fahrenheit, []string{"tropical island"}},
		{"all in °F", day.Of(1981, 1, 1), day.Of(2021, 1, 1), fahrenheit, []string{"tropical island"}},
		{"most in °F", day.Of(1990, 1, 1), day.Of(2021, 1, 1), fahrenheit, []string{"tropical island", "hot desert"}},
		{"a year in °C read as °F", day.Of(2005, 1, 1), day.Of(2006, 1, 1), celsius, []string{"continental", "continental, warming", "subarctic"}}, // in a hard winter the two scales meet
		{"a summer in °C read as °F", day.Of(2005, 5, 1), day.Of(2005, 10, 1), celsius, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, cl := range climates {
				if slices.Contains(c.not, cl.name) {
					continue
				}
				for seed := range uint64(5) {
					s := invent(cl, 200+seed, 40)
					from, to := int(c.from-s.First), int(c.to-s.First)
					for e, values := range [][]quantity.Tenths{s.TMin, s.TMax} {
						for i := from; i < to; i++ {
							if v := values[i]; v != quantity.Missing {
								x := c.read(float64(v.Celsius()))
								if values[i] = quantity.ToTenths(x); x > 60 || x < -90 { // as the reader does
									values[i] = quantity.Missing
								}
							}
						}
						damaged, caught, wronged := 0, 0, 0
						found := station.FindSuspects(&s, nil)
						refused := func(i int) bool {
							return slices.ContainsFunc(found, func(f station.Suspect) bool {
								return !f.Used && f.Kind == station.KindUnits && f.Element == []string{"tmin", "tmax"}[e] && f.First <= s.First+day.Date(i) && s.First+day.Date(i) <= f.Last
							})
						}
						for i, v := range values {
							switch in := i >= from && i < to; {
							case v == quantity.Missing:
							case in:
								damaged++
								if refused(i) {
									caught++
								}
							case refused(i):
								wronged++
							}
						}
						if damaged >= 20 && caught*100 < 75*damaged || wronged > 20 {
							t.Errorf("%s, seed %d, element %d: %d of %d refused, and %d good ones: %+v", cl.name, seed, e, caught, damaged, wronged, found)
						}
					}
				}
			}
		})
	}
}

// plainText writes a series in the plain form.
func plainText(s *station.Series) string {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c,precip_mm\n")
	cell := func(v quantity.Tenths) string {
		if v == quantity.Missing {
			return ""
		}
		return fmt.Sprintf("%.1f", float64(v)/10)
	}
	for i := range s.TMin {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", s.First+day.Date(i), cell(s.TMin[i]), cell(s.TMax[i]), cell(s.Precip[i]))
	}
	return b.String()
}

// Read finds the damage in a file, takes the values out, tells the places, and
// does the same when the file comes in two halves, in any order of rows.
func TestQualityControlOfAFile(t *testing.T) {
	s := invent(climates[0], 7, 20)
	i := int(day.Of(1990, 5, 11) - s.First)
	s.TMax[i] = max(s.TMax[i-1], s.TMax[i+1]) + 300
	k := int(day.Of(1995, 7, 1) - s.First)
	for n := range 20 {
		s.TMin[k+n], s.TMax[k+n] = 180, 250+quantity.Tenths(n)
	}
	for n := range 12 {
		a, b := &s.TMin[k+100+n], &s.TMax[k+100+n]
		*a, *b = max(*b, 0)+10, min(*a, 0)-10
	}
	text := plainText(&s)
	recs, ps, err := station.Read("x.csv", strings.NewReader(text))
	if err != nil || len(recs) != 1 {
		t.Fatal(len(recs), err)
	}
	r := &recs[0]
	check(t, r)
	sameCounts(t, "set aside", r.Account.SetAsideCounts, map[string]int{
		"suspect: spike against the days beside it": 1, "suspect: one value for 20 days or more": 20, "tmin above tmax": 24,
	})
	var kinds []string
	for _, f := range r.Account.Suspects {
		kinds = append(kinds, fmt.Sprintf("%s %s %v %v %v", f.Kind, f.Element, f.First, f.Last, f.Used))
	}
	want := []string{
		"spike tmax 1990-05-11 1990-05-11 false",
		"run of one value tmin 1995-07-01 1995-07-20 false",
		"tmin and tmax swapped tmin, tmax 1995-10-09 1995-10-20 false",
	}
	if !slices.Equal(kinds, want) {
		t.Errorf("%q, want %q", kinds, want)
	}
	if _, hi, _ := at(t, &r.Series, "1990-05-11"); hi != quantity.Missing {
		t.Errorf("the spike is used: %d", hi)
	}
	lines := strings.Split(text, "\n")
	for _, a := range r.Account.SetAside {
		if !strings.HasPrefix(lines[a.Place.Line-1], a.Date.String()) || a.Place.Column < 12 {
			t.Errorf("%v is not at %v", a.Date, a.Place)
		}
	}
	for _, kind := range []string{station.KindSpike, station.KindRun, station.KindSwapped} {
		if !slices.ContainsFunc(ps, func(p diag.Problem) bool {
			return p.Severity == diag.Warning && strings.Contains(p.Message, kind) && p.Hint != "" && p.Place.Line > 0
		}) {
			t.Errorf("no message about %s in %v", kind, ps)
		}
	}

	off, _, err := station.ReadWith(strings.NewReader(text), station.Options{Name: "x.csv", Unchecked: true})
	if err != nil || len(off[0].Account.Suspects) > 0 {
		t.Fatalf("switched off it still finds %v, %v", off[0].Account.Suspects, err)
	}
	sameCounts(t, "switched off", off[0].Account.SetAsideCounts, map[string]int{"tmin above tmax": 24})

	// Halves with the damage at their seams: a spike is none at the end of a
	// file, a run of 20 is two of 10.
	rows := lines[1 : len(lines)-1]
	for _, split := range []int{i, i + 1, k + 10, k + 106} {
		dir := t.TempDir()
		a, b := slices.Clone(rows[:split]), slices.Clone(rows[split:])
		rng := rand.New(rand.NewPCG(uint64(split), 1))
		rng.Shuffle(len(a), func(i, j int) { a[i], a[j] = a[j], a[i] })
		paths := []string{
			write(t, dir, "b/x.csv", lines[0]+"\n"+strings.Join(a, "\n")+"\n"),
			write(t, dir, "a/x.csv", lines[0]+"\n"+strings.Join(b, "\n")+"\n"),
		}
		joined, _, err := station.ReadAll(paths, 2)
		if err != nil || len(joined) != 1 {
			t.Fatal(len(joined), err)
		}
		j := &joined[0]
		check(t, j)
		if !sameValues(&j.Series, &r.Series) || !reflect.DeepEqual(j.Account.Suspects, r.Account.Suspects) {
			t.Errorf("split at %d: %+v", split, j.Account.Suspects)
		}
		sameCounts(t, "split", j.Account.SetAsideCounts, r.Account.SetAsideCounts)
	}
}

// Real, reviewed records keep all but one in a thousand of their values, as
// they must: the figures published for them rest on these.
func TestRealRecordsKeepTheirValues(t *testing.T) {
	for name, path := range map[string]func(testing.TB) string{
		"ottawa": stationtest.Ottawa, "sion": stationtest.Sion, "twin cities": stationtest.TwinCities, "william head": stationtest.WilliamHead,
	} {
		t.Run(name, func(t *testing.T) {
			p := path(t)
			checked, _, err := station.ReadFile(p)
			if err != nil {
				t.Fatal(err)
			}
			raw, _, err := station.ReadFileWith(p, station.Options{Unchecked: true})
			if err != nil {
				t.Fatal(err)
			}
			n, gone := 0, 0
			for e, values := range [][]quantity.Tenths{raw[0].TMin, raw[0].TMax, raw[0].Precip} {
				left := [][]quantity.Tenths{checked[0].TMin, checked[0].TMax, checked[0].Precip}[e]
				for _, v := range values {
					if v != quantity.Missing {
						n++
					}
				}
				for _, v := range left {
					if v != quantity.Missing {
						gone--
					}
				}
			}
			gone += n
			t.Logf("%d of %d values refused; suspects: %+v", gone, n, checked[0].Account.Suspects)
			if gone*1000 > n {
				t.Errorf("%d of %d values refused", gone, n)
			}
		})
	}
}

// Columns exchanged in a whole file: every day is out of order.
func TestExchangedColumns(t *testing.T) {
	s := invent(climates[2], 3, 2)
	text := strings.Replace(plainText(&s), "tmin_c,tmax_c", "tmax_c,tmin_c", 1)
	recs, ps, err := station.Read("x.csv", bytes.NewReader([]byte(text)))
	if err != nil || len(recs) != 1 {
		t.Fatal(len(recs), err)
	}
	f := recs[0].Account.Suspects
	if len(f) != 1 || f[0].Kind != station.KindSwapped || f[0].Used || f[0].Values < 2*700 {
		t.Errorf("%+v", f)
	}
	if !slices.ContainsFunc(ps, func(p diag.Problem) bool { return strings.Contains(p.Hint, "exchange the two columns") }) {
		t.Errorf("%v", ps)
	}
}

func BenchmarkFindSuspects(b *testing.B) {
	s := invent(climates[0], 1, 60)
	for b.Loop() {
		station.FindSuspects(&s, nil)
	}
}
