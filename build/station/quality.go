package station

import (
	"cmp"
	"math"
	"slices"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// Suspect is a value, or a stretch of them, that our own quality control found
// odd beside the flags of the publisher.
type Suspect struct {
	Kind        string // one of Kinds
	Element     string // tmin, tmax, precip, or "tmin, tmax" for both
	First, Last day.Date
	Values      int           // how many values the suspicion rests on
	Reason      diag.Sentence // in plain words, with the numbers
	// Used tells whether the values are used all the same. Those that are not
	// stand among what was set aside.
	Used bool
}

// Kinds of suspects.
const (
	KindUnits   = "unit slip"
	KindSwapped = "tmin and tmax swapped"
	KindRun     = "run of one value"
	KindSpike   = "spike"
	KindJump    = "jump in level"
)

// Kinds lists the kinds of suspects in the order in which they are looked for,
// each among the values that those before it left.
func Kinds() []string { return []string{KindUnits, KindSwapped, KindRun, KindSpike, KindJump} }

// The rule: a spike, a run of at least RunRefused days, a stretch in the other
// unit and a stretch with the columns exchanged are not used, for such values
// are wrong for certain or nearly so; a shorter run and a jump in level are
// reported and used, for nature and a moved station make them too. The
// thresholds are on the careful side: a wrong value that stays does less harm
// to a percentile than a good record frost that goes.
const (
	// SpikeRefused is by how much a temperature must stand above, or below,
	// both the day before and the day after (Durre et al. 2010, Comprehensive
	// Automated Quality Assurance of Daily Surface Observations, J. Appl.
	// Meteor. Climatol. 49, 1615-1633, spike/dip check; from memory).
	SpikeRefused quantity.Celsius = 25
	// Where the weather changes little from day to day less is enough:
	// SpikeSpreads times the spread of the day-to-day change in that month of
	// the year, but no less than SpikeLeast. Judgement: set so that the
	// records of a mild coast lose none of their values.
	SpikeSpreads                  = 7
	SpikeLeast   quantity.Celsius = 12
	// spikePairs is how many day-to-day changes it takes to know their spread.
	spikePairs = 100

	// RunRefused is how many days in a row one temperature, or one amount of
	// rain that is not 0, must stand to be refused: the publisher of
	// GHCN-Daily takes 15 to 20 (NCEI, GHCN-Daily, Methods - Quality Control,
	// streak check). RunReported is judgement.
	RunRefused  = 20
	RunReported = 10
	// RunRain is the least daily rain looked at: drizzle and dew repeat.
	RunRain quantity.Millimetres = 1

	// SwappedDays is how many days with tmin above tmax and none in order
	// between them make a stretch (judgement; each such day is left out
	// anyhow).
	SwappedDays = 5

	// A stretch in another unit is known by the means of whole months, so
	// that one of a few weeks may be missed. SlipLeast is by how much such a
	// mean must be off the usual one of that month of the year, while the
	// other unit explains it at least twice as well. Real months stay within
	// some 12 °C of the usual (judgement).
	SlipLeast quantity.Celsius = 15
	// SlipBeside is the same for a month beside one that is (judgement).
	SlipBeside quantity.Celsius = 8
	// SlipHotTMin and SlipHotTMax: a month with more than half of its values
	// above is in °F; no station on Earth has such a month in °C (Death
	// Valley in July 2018, the hottest month on record: mean low 35, mean
	// high 49 °C; from memory).
	SlipHotTMin quantity.Celsius = 40
	SlipHotTMax quantity.Celsius = 52
	// slipDays is how many values a month must have to be judged by its mean,
	// slipHotDays by its hot days, slipYears how many years make a month usual.
	slipDays, slipHotDays, slipYears = 10, 5, 5

	// JumpStatistic is the least value of the standard normal homogeneity
	// test (Alexandersson 1986, J. Climatol. 6, 661-675) on the yearly means:
	// above the 99 % point of up to 150 years of noise (simulated in the
	// tests). JumpLeast is the least step between the means before and after,
	// JumpOverTrend how many times more the best line with one bend must leave
	// than the step does, for climate warms without jumping (both judgement).
	JumpStatistic                  = 13.0
	JumpLeast     quantity.Celsius = 1
	JumpOverTrend                  = 1.2
	// jumpYears on either side, each with at least jumpDays values.
	jumpYears, jumpDays = 5, 330
)

func tenths(c quantity.Celsius) int { return int(math.Round(float64(c) * 10)) }

// FindSuspects looks a series over. crossed has the days, in order, on which
// both temperatures were left out for tmin stood above tmax. The series is not
// changed. Suspects come ordered by day.
func FindSuspects(s *Series, crossed []day.Date) []Suspect {
	var found []Suspect
	q := &inspector{first: s.First}
	q.swapped(s, crossed)
	for e, values := range [nElements][]quantity.Tenths{s.TMin, s.TMax, s.Precip} {
		q.element, q.values = element(e), values
		if q.element == precip {
			q.rain()
			continue
		}
		q.walk()
		if q.slips() { // the rest is judged without them
			q.values = slices.Clone(values)
			for _, sl := range q.refused {
				for d := sl.from; d < sl.to; d++ {
					q.values[d] = quantity.Missing
				}
			}
			q.walk()
		}
		q.runs()
		q.spikes()
		q.jump()
	}
	found = q.found
	slices.SortStableFunc(found, func(a, b Suspect) int {
		return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Last, b.Last), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Element, b.Element))
	})
	return found
}

// month sums up one month of one element.
type month struct {
	from, to int32 // days of the series
	sum      int32
	n, hot   int16
	of       int8 // 1 to 12
	year     int16
}

func (m *month) mean() float64 { return float64(m.sum) / float64(m.n) }

// stretch is the days from up to, not including, to.
type stretch struct{ from, to int }

// inspector looks at one element after the other.
type inspector struct {
	first   day.Date
	element element
	values  []quantity.Tenths
	months  []month
	// candidates of runs, and of spikes by SpikeLeast; few, if any
	long    []stretch
	peaks   []int
	refused []stretch
	found   []Suspect
}

func (q *inspector) date(i int) day.Date { return q.first + day.Date(i) }

func (q *inspector) add(kind, elements string, from, to, values int, used bool, why diag.Sentence) {
	q.found = append(q.found, Suspect{Kind: kind, Element: elements, First: q.date(from), Last: q.date(to - 1),
		Values: values, Used: used, Reason: why})
}

// walk goes over the values once and leaves the sums of the months and what
// may be a run or a spike. It is on the way of every file that is read: what is
// rare is looked at again, so that the common value costs little.
func (q *inspector) walk() {
	if q.months == nil {
		q.months = make([]month, 0, len(q.values)/28+2)
	}
	q.months, q.long, q.peaks = q.months[:0], q.long[:0], q.peaks[:0]
	hot := quantity.Tenths(tenths(SlipHotTMin))
	if q.element == tmax {
		hot = quantity.Tenths(tenths(SlipHotTMax))
	}
	y, m, d := q.first.YMD()
	prev, same := quantity.Missing, 0 // same: days before this one with its value
	for i := 0; i < len(q.values); {
		to := min(len(q.values), i+day.DaysIn(y, m)-d+1)
		sum, missing, top := int32(0), 0, quantity.Missing
		for k, v := range q.values[i:to] {
			if v == quantity.Missing {
				if same > 0 {
					q.ends(i+k-same-1, i+k)
				}
				prev, same = v, 0
				missing++
				continue
			}
			sum += int32(v)
			top = max(top, v)
			c := int32(v) - int32(prev)
			if c == 0 {
				same++
			} else if same > 0 {
				q.ends(i+k-same-1, i+k)
				same = 0
			}
			if uint32(c+spikeLeast-1) > uint32(2*spikeLeast-2) { // up or down by spikeLeast or more
				q.mayEndSpike(i + k)
			}
			prev = v
		}
		k := month{from: int32(i), to: int32(to), sum: sum, n: int16(to - i - missing), of: int8(m), year: int16(y)}
		if top > hot {
			for _, v := range q.values[i:to] {
				if v > hot {
					k.hot++
				}
			}
		}
		q.months = append(q.months, k)
		i = to
		if d, m = 1, m+1; m > 12 {
			y, m = y+1, 1
		}
	}
	if same > 0 {
		q.ends(len(q.values)-same-1, len(q.values))
	}
}

const spikeLeast = int32(SpikeLeast * 10)

// mayEndSpike notes the day before i if it stands out by spikeLeast against both
// the days beside it.
func (q *inspector) mayEndSpike(i int) {
	if i < 2 || q.values[i-1] == quantity.Missing || q.values[i-2] == quantity.Missing {
		return
	}
	v := int32(q.values[i-1])
	before, after := v-int32(q.values[i-2]), v-int32(q.values[i])
	if before >= spikeLeast && after >= spikeLeast || before <= -spikeLeast && after <= -spikeLeast {
		q.peaks = append(q.peaks, i-1)
	}
}

// spread is the spread of the day-to-day change in a month of the year, in °C;
// 0 if it is not known. A dozen or more of such months from all over the record
// tell as much as all of them.
func (q *inspector) spread(of int) float64 {
	const most = 12
	stride := max(1, len(q.months)/12/most)
	n, squares := 0, int64(0)
	for k, j := 0, 0; k < len(q.months); k++ {
		m := &q.months[k]
		if int(m.of) != of || m.n == 0 {
			continue
		}
		if j++; j%stride != 0 {
			continue
		}
		for i := max(m.from, 1); i < m.to; i++ {
			if a, b := q.values[i-1], q.values[i]; a != quantity.Missing && b != quantity.Missing {
				n++
				squares += int64(b-a) * int64(b-a)
			}
		}
	}
	if n < spikePairs {
		return 0
	}
	return math.Sqrt(float64(squares)/float64(n)) / 10
}

// ends notes a run of equal values that is long enough.
func (q *inspector) ends(from, to int) {
	if to-from >= RunReported {
		q.long = append(q.long, stretch{from, to})
	}
}

// rain looks for runs of one amount.
func (q *inspector) rain() {
	q.long = q.long[:0]
	const least = int32(RunRain * 10)
	prev, same := int32(quantity.Missing), 0
	for i, x := range q.values {
		v := int32(x)
		// One branch for both conditions, v == prev and v >= least: dry and
		// wet days come in no order that a processor could foresee.
		if (v^prev)|^((least-1-v)>>31) == 0 {
			same++
		} else if same > 0 {
			q.ends(i-same-1, i)
			same = 0
		}
		prev = v
	}
	if same > 0 {
		q.ends(len(q.values)-same-1, len(q.values))
	}
	q.runs()
}

func (q *inspector) runs() {
	unit := "°C"
	if q.element == precip {
		unit = "mm"
	}
	for _, r := range q.long {
		n := r.to - r.from
		q.add(KindRun, elementNames[q.element], r.from, r.to, n, n < RunRefused,
			diag.Say("%d days in a row with the same value, %.1f %s", n, float64(q.values[r.from])/10, unit))
	}
}

func (q *inspector) spikes() {
	var spreads [13]float64
	var known [13]bool
	for _, i := range q.peaks {
		_, m, _ := q.date(i).YMD()
		if !known[m] {
			spreads[m], known[m] = q.spread(m), true
		}
		limit, spread := float64(SpikeRefused), spreads[m]
		if spread > 0 {
			limit = min(limit, max(float64(SpikeLeast), SpikeSpreads*spread))
		}
		v := q.values[i].Celsius()
		before, after := q.values[i-1].Celsius(), q.values[i+1].Celsius()
		off := min(math.Abs(float64(v-before)), math.Abs(float64(v-after)))
		if off < limit {
			continue
		}
		why := diag.Say("%.1f °C between %.1f the day before and %.1f the day after", float64(v), float64(before), float64(after))
		if spread > 0 {
			why = diag.Say("%.1f °C between %.1f the day before and %.1f the day after; from one day to the next it usually changes by %.1f",
				float64(v), float64(before), float64(after), spread)
		}
		q.add(KindSpike, elementNames[q.element], i, i+1, 1, false, why)
	}
}

// swapped looks for stretches of days with tmin above tmax and no day in order
// among them.
func (q *inspector) swapped(s *Series, crossed []day.Date) {
	inOrder := func(d day.Date) bool {
		i := int(d - s.First)
		return i >= 0 && i < len(s.TMin) && s.TMin[i] != quantity.Missing && s.TMax[i] != quantity.Missing && s.TMin[i] < s.TMax[i]
	}
	for a := 0; a < len(crossed); {
		b := a + 1
	grow:
		for b < len(crossed) {
			for d := crossed[b-1] + 1; d < crossed[b]; d++ {
				if inOrder(d) {
					break grow
				}
			}
			b++
		}
		if n := b - a; n >= SwappedDays {
			q.add(KindSwapped, "tmin, tmax", int(crossed[a]-s.First), int(crossed[b-1]-s.First)+1, 2*n, false,
				diag.Say("the low stands above the high on %d days, and on no day between them below it, as if the two columns were exchanged", n))
		}
		a = b
	}
}
