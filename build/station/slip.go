package station

import (
	"math"
	"slices"

	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// slip is a change of unit within a record. expected is what a usual value in
// tenths of °C looks like when it slipped.
type slip struct {
	says     string // with the days, their mean and the usual mean, °C
	expected func(usual float64) float64
}

var slips = [...]slip{
	{diag.Mark("°F read as °C: the mean of %d days is %.1f where %.1f is usual for these months"), func(u float64) float64 { return 1.8*u + 320 }},
	{diag.Mark("°C read as °F: the mean of %d days is %.1f where %.1f is usual for these months"), func(u float64) float64 { return (u - 320) / 1.8 }},
}

// slips looks for stretches in another unit and tells whether there are any.
func (q *inspector) slips() bool {
	q.refused = q.refused[:0]
	usual := q.usual()
	if q.hotFile(usual) {
		return true
	}
	if usual == nil {
		return false
	}
	for k, s := range slips {
		q.stretches(usual, k, s)
	}
	return len(q.refused) > 0
}

// hotMonth tells a month that no place on Earth has.
func (m *month) hotMonth() bool { return m.hot >= slipHotDays && 2*m.hot > m.n }

// usual returns the median over the years of the mean of each month of the
// year, NaN where there are fewer than slipYears; nil when no month is so far
// from the others, and none so hot, that it needs to be known.
func (q *inspector) usual() *[13]float64 {
	var low, high [13]float64
	for m := range low {
		low[m], high[m] = math.Inf(1), math.Inf(-1)
	}
	need := false
	for i := range q.months {
		m := &q.months[i]
		if m.hot >= slipHotDays {
			need = need || m.hotMonth()
		}
		if m.n >= slipDays {
			x := m.mean()
			low[m.of], high[m.of] = min(low[m.of], x), max(high[m.of], x)
		}
	}
	for m := range low {
		need = need || high[m]-low[m] >= float64(SlipLeast*10)
	}
	if !need {
		return nil
	}
	var means [13][]float64
	for i := range q.months {
		if m := &q.months[i]; m.n >= slipDays {
			means[m.of] = append(means[m.of], m.mean())
		}
	}
	usual := new([13]float64)
	for m, xs := range means {
		usual[m] = math.NaN()
		if len(xs) >= slipYears {
			slices.Sort(xs)
			usual[m] = (xs[(len(xs)-1)/2] + xs[len(xs)/2]) / 2
		}
	}
	return usual
}

// hotFile refuses a record of which at least half of the years have a month
// that is too hot for °C: from the first such year to the last, and the years
// beside them that look the same.
func (q *inspector) hotFile(usual *[13]float64) bool {
	if usual == nil {
		return false
	}
	type span struct {
		from, to  int // months
		hot       bool
		like, not int // months that look like the hot years, and that do not
	}
	var years []span
	hotYears := 0
	for i := 0; i < len(q.months); {
		y, values := span{from: i}, 0
		for ; i < len(q.months) && q.months[i].year == q.months[y.from].year; i++ {
			m := &q.months[i]
			values += int(m.n)
			y.hot = y.hot || m.hotMonth()
			if u := usual[m.of]; m.n >= slipDays && !math.IsNaN(u) {
				if math.Abs(m.mean()-u) < math.Abs(m.mean()-(u-320)/1.8) {
					y.like++
				} else {
					y.not++
				}
			}
		}
		y.to = i
		if y.hot {
			hotYears++
		}
		if values > 0 {
			years = append(years, y)
		}
	}
	if hotYears == 0 || 2*hotYears < len(years) {
		return false
	}
	first, last := 0, len(years)-1
	for !years[first].hot {
		first++
	}
	for !years[last].hot {
		last--
	}
	for first > 0 && years[first-1].not <= years[first-1].like {
		first--
	}
	for last < len(years)-1 && years[last+1].not <= years[last+1].like {
		last++
	}
	hot, n := 0, 0
	for _, m := range q.months[years[first].from:years[last].to] {
		n += int(m.n)
		hot += int(m.hot)
	}
	limit := SlipHotTMin
	if q.element == tmax {
		limit = SlipHotTMax
	}
	r := stretch{int(q.months[years[first].from].from), int(q.months[years[last].to-1].to)}
	q.refused = append(q.refused, r)
	q.add(KindUnits, elementNames[q.element], r.from, r.to, n, false,
		diag.Say("°F read as °C: in %d of %d years there are months mostly above %.0f °C, %d days in all, which no station on Earth has",
			hotYears, len(years), float64(limit), hot))
	return true
}

// stretches refuses the stretches that one kind of slip explains.
func (q *inspector) stretches(usual *[13]float64, kind int, s slip) {
	explained := func(m *month, least quantity.Celsius) bool {
		u := usual[m.of]
		if m.n < slipDays || math.IsNaN(u) {
			return false
		}
		off := m.mean() - u
		return math.Abs(off) >= float64(least*10) && 2*math.Abs(m.mean()-s.expected(u)) <= math.Abs(off)
	}
	slipped := func(m *month) bool { return kind == 0 && m.hotMonth() || explained(m, SlipLeast) }
	asUsual := func(m *month) bool {
		u := usual[m.of]
		return m.n >= slipDays && !math.IsNaN(u) && math.Abs(m.mean()-u) < math.Abs(m.mean()-s.expected(u))
	}
	const longestGap = 12
	for i := 0; i < len(q.months); i++ {
		if !slipped(&q.months[i]) {
			continue
		}
		// A month beside one that slipped is easier to believe in.
		reach := func(i, step int) int {
			last := i
			for j := i + step; j >= 0 && j < len(q.months) && max(j-last, last-j) <= longestGap; j += step {
				if m := &q.months[j]; slipped(m) || explained(m, SlipBeside) {
					last = j
				} else if asUsual(m) {
					break
				}
			}
			return last
		}
		first, last := reach(i, -1), reach(i, 1)
		from := q.extend(usual, s, int(q.months[first].from), -1)
		to := q.extend(usual, s, int(q.months[last].to)-1, 1) + 1
		q.refuse(usual, s, from, to)
		i = last
	}
}

// endDays is how many days in a row must look as usual to end a stretch.
const endDays = 3

// extend moves the end i of a stretch outwards, day by day for at most a month,
// or inwards, to where the values begin to be nearer to the usual ones.
func (q *inspector) extend(usual *[13]float64, s slip, i, step int) int {
	// like tells whether a day is nearer to the slip; a missing one is neither.
	like := func(i int) (yes, no bool) {
		v := q.values[i]
		_, m, _ := q.date(i).YMD()
		if u := usual[m]; v != quantity.Missing && !math.IsNaN(u) {
			yes = math.Abs(float64(v)-s.expected(u)) < math.Abs(float64(v)-u)
			return yes, !yes
		}
		return false, false
	}
	for n := 1; n <= 31 && i-n*step >= 0 && i-n*step < len(q.values); n++ {
		// n days from the end all look as usual: the slip begins further in.
		if _, no := like(i - (n-1)*step); !no {
			if n > endDays {
				i -= (n - 1) * step
			}
			break
		}
	}
	end, against := i, 0
	for n := 1; n <= 31 && against < endDays && i+n*step >= 0 && i+n*step < len(q.values); n++ {
		yes, no := like(i + n*step)
		if no {
			against++
		}
		if yes {
			end, against = i+n*step, 0
		}
	}
	return end
}

func (q *inspector) refuse(usual *[13]float64, s slip, from, to int) {
	n, sum, normal := 0, 0.0, 0.0
	for i := from; i < to; i++ {
		if v := q.values[i]; v != quantity.Missing {
			_, m, _ := q.date(i).YMD()
			if u := usual[m]; !math.IsNaN(u) {
				n++
				sum += float64(v) / 10
				normal += u / 10
			}
		}
	}
	if n == 0 {
		return
	}
	q.refused = append(q.refused, stretch{from, to})
	q.add(KindUnits, elementNames[q.element], from, to, n, false,
		diag.Sentence{Form: s.says, Values: []any{n, sum / float64(n), normal / float64(n)}})
}
