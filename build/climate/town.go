package climate

import (
	"math"

	"ripeward/build/day"
	"ripeward/build/quantity"
)

// EarthRadiusKm is the mean radius of the Earth (IUGG, R1 of WGS 84).
const EarthRadiusKm = 6371.0088

// DistanceKm returns the great-circle distance in km between two places given
// in degrees (haversine formula, spherical Earth).
func DistanceKm(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	sinLat := math.Sin((lat2 - lat1) * rad / 2)
	sinLon := math.Sin((lon2 - lon1) * rad / 2)
	h := sinLat*sinLat + math.Cos(lat1*rad)*math.Cos(lat2*rad)*sinLon*sinLon
	return 2 * EarthRadiusKm * math.Asin(math.Sqrt(min(1, h)))
}

// LeadYears is how many valid years a lead station should have: WMO's 24 of
// 30.
const LeadYears = 24

// Candidate is a station that might lead a town.
type Candidate struct {
	ID                  string
	DistanceKm, HeightM float64 // HeightM: town minus station, m
	ValidYears          int     // years with a valid heat sum
}

// Score is what ChooseLead makes small: 10 km count like 50 m of height.
func (c Candidate) Score() float64 { return c.DistanceKm/10 + math.Abs(c.HeightM)/50 }

// ChooseLead returns the index of the candidate with the least score among
// those with LeadYears valid years or more; equal scores go to the lesser id.
// Where no candidate has that many, ok is false and the index is that of the
// least score among those with any valid year, or -1 if there is none.
// Candidates whose distance or height is NaN are passed over.
func ChooseLead(cs []Candidate) (index int, ok bool) {
	for _, least := range [...]int{LeadYears, 1} {
		index = -1
		for i, c := range cs {
			s := c.Score()
			if c.ValidYears < least || math.IsNaN(s) {
				continue
			}
			if index >= 0 {
				best := cs[index]
				if b := best.Score(); s > b || s == b && c.ID >= best.ID {
					continue
				}
			}
			index = i
		}
		if index >= 0 {
			return index, least == LeadYears
		}
	}
	return -1, false
}

// Shift is how far a station's days are moved to a town, in °C.
type Shift struct{ Day, Night float64 } // Day on Tmax, Night on Tmin

// ShiftFor returns the shift to a town that lies heightM metres above
// (negative: below) its station. Tmax moves by the lapse rate both ways; Tmin
// only where that cools it, because on calm nights valleys are colder than
// slopes. The town's own offsets are then added.
func ShiftFor(lapseCPerKm, heightM, dayOffset, nightOffset float64) Shift {
	byHeight := -lapseCPerKm * heightM / 1000
	return Shift{Day: byHeight + dayOffset, Night: min(byHeight, 0) + nightOffset}
}

// leastRange is the least Tmax - Tmin, in tenths of °C, of a day that moved.
const leastRange = 5

// Move returns d moved by s, in rounded tenths. On days that changed, Tmin is
// held at least 0.5 °C below Tmax. d is not changed; the result shares its rain
// and its marks of filled days, and all of it when s moves nothing.
func Move(d *Daily, s Shift) Daily {
	out := *d
	if s == (Shift{}) {
		return out
	}
	out.TMin = moved(d.TMin, s.Night)
	out.TMax = moved(d.TMax, s.Day)
	for i, hi := range out.TMax {
		lo := out.TMin[i]
		if lo == quantity.Missing || hi == quantity.Missing || lo <= hi-leastRange {
			continue
		}
		if lo != d.TMin[i] || hi != d.TMax[i] {
			out.TMin[i] = hi - leastRange
		}
	}
	return out
}

func moved(from []quantity.Tenths, by float64) []quantity.Tenths {
	to := make([]quantity.Tenths, len(from))
	for i, t := range from {
		if t == quantity.Missing {
			to[i] = t
			continue
		}
		to[i] = tenths(float64(t) + by*10)
	}
	return to
}

// tenths rounds a value that is already in tenths, halves away from zero. Going
// by whole degrees would turn some halves into less than a half.
func tenths(v float64) quantity.Tenths {
	r := quantity.Round(v)
	if math.IsNaN(r) || r <= math.MinInt16 || r > math.MaxInt16 {
		return quantity.Missing
	}
	return quantity.Tenths(r)
}

// MinCommonDays is how many days of a calendar month two stations must have in
// common, over all years, before one may fill the other in that month: about
// two such months (judgement).
const MinCommonDays = 60

// Fill returns lead with its missing temperatures filled from other, and how
// many values of Tmin and of Tmax were filled. Other's values are moved by the
// mean difference lead - other of their calendar month, over the days on which
// both measured that element; a month with fewer than MinCommonDays of those is
// not filled. Only gaps inside lead's own span are filled, so that other never
// lengthens the record; a filled value that would put Tmin above Tmax is left
// out. Filled days are marked in the result and, where lead already has some,
// they do not count towards the difference. Rain is never filled.
func Fill(lead, other *Daily) (filled Daily, filledMin, filledMax int) {
	filled = *lead
	months := monthsFrom(lead.First, len(lead.TMin))
	lo, loFills := fillElement(lead, other, months, lead.TMin, other.TMin, lead.FilledMin, other.FilledMin)
	hi, hiFills := fillElement(lead, other, months, lead.TMax, other.TMax, lead.FilledMax, other.FilledMax)
	for i := range lo {
		if lo[i] == quantity.Missing || hi[i] == quantity.Missing || lo[i] <= hi[i] {
			continue
		}
		if loFills[i] && lead.TMin[i] == quantity.Missing {
			lo[i], loFills[i] = quantity.Missing, false
		}
		if hiFills[i] && lead.TMax[i] == quantity.Missing {
			hi[i], hiFills[i] = quantity.Missing, false
		}
	}
	for i := range lo {
		if loFills[i] && lead.TMin[i] == quantity.Missing {
			filledMin++
		}
		if hiFills[i] && lead.TMax[i] == quantity.Missing {
			filledMax++
		}
	}
	filled.TMin, filled.FilledMin, filled.TMax, filled.FilledMax = lo, loFills, hi, hiFills
	return filled, filledMin, filledMax
}

// fillElement fills one element; marks has an entry per day of lead.
func fillElement(lead, other *Daily, months []int8, own, theirs []quantity.Tenths, ownMarks, theirMarks []bool) (out []quantity.Tenths, marks []bool) {
	out, marks = make([]quantity.Tenths, len(own)), make([]bool, len(own))
	copy(out, own)
	copy(marks, ownMarks)
	shift := int(lead.First - other.First) // index in other = index in lead + shift
	from, to := max(0, -shift), min(len(own), len(theirs)-shift)
	var sum, count [13]int
	for i := from; i < to; i++ {
		a, b := own[i], theirs[i+shift]
		if a == quantity.Missing || b == quantity.Missing || marks[i] || theirMarks != nil && theirMarks[i+shift] {
			continue
		}
		sum[months[i]] += int(a) - int(b)
		count[months[i]]++
	}
	for i := from; i < to; i++ {
		m, b := months[i], theirs[i+shift]
		if own[i] != quantity.Missing || b == quantity.Missing || count[m] < MinCommonDays {
			continue
		}
		if v := tenths(float64(b) + float64(sum[m])/float64(count[m])); v != quantity.Missing {
			out[i], marks[i] = v, true
		}
	}
	return out, marks
}

// monthsFrom returns the calendar month (1-12) of n days from first on.
func monthsFrom(first day.Date, n int) []int8 {
	out := make([]int8, n)
	y, m, dom := first.YMD()
	for i := 0; i < n; {
		for left := day.DaysIn(y, m) - dom + 1; left > 0 && i < n; left-- {
			out[i] = int8(m)
			i++
		}
		dom = 1
		if m++; m > 12 {
			y, m = y+1, 1
		}
	}
	return out
}
