package climate

import (
	"math"

	"ripeward/build/day"
)

// LinvillDay returns the temperature t hours after sunrise on a day of
// dayLength hours between its extremes tmin and tmax: a sine with its peak two
// hours after noon (Linvill 1990, HortScience 25:14-16; the paper cited from
// memory, the equation as published libraries have it).
func LinvillDay(t, dayLength, tmin, tmax float64) float64 {
	return tmin + (tmax-tmin)*math.Sin(math.Pi*t/(dayLength+4))
}

// LinvillNight returns the temperature t hours after sunset in a night of
// nightLength hours, from the temperature at sunset (LinvillDay's) down to the
// next day's minimum: a logarithm that is steep at first (Linvill 1990). It
// divides by ln(nightLength + 1), nightLength = 24 - dayLength, all night long,
// so that the curve ends at the minimum and never below it.
func LinvillNight(t, nightLength, sunset, tminNext float64) float64 {
	return sunset - (sunset-tminNext)*math.Log(t+1)/math.Log(nightLength+1)
}

// HourlyTemperatures returns the temperatures, in °C, at the whole hours 0-23
// of solar time of so many days from first on, by Linvill's curves between the
// daily extremes, with sunrise and sunset as SunlightAt has them. A night lasts
// from one day's sunset to the next day's sunrise.
//
// Gaps of at most HeatSum.MaxRun days are filled as for heat sums; hours of
// days still missing, and of days on or next to which the sun does not rise or
// does not set, are NaN. Where the day before is missing, the night before a
// day starts from that day's own extremes; where the day after is missing, the
// night ends at the day's own minimum. ok is false, and nothing is returned,
// where the latitude is unknown.
func HourlyTemperatures(d *Daily, first day.Date, days int) (hours []float64, ok bool) {
	latitude, known := d.Latitude.Degrees()
	if !known || days < 0 {
		return nil, false
	}
	tmin, tmax := make([]float64, days+2), make([]float64, days+2)
	fillLinear(d.TMin, int(first-d.First)-1, tmin)
	fillLinear(d.TMax, int(first-d.First)-1, tmax)
	hours = make([]float64, 24*days)
	c := curves{latitude: latitude}
	c.days(first, tmin, tmax, func(i int, h *[24]float64) { copy(hours[24*i:], h[:]) })
	return hours, true
}

// curve is Linvill's curve of one day of the year, as shares that do not depend
// on the temperatures.
type curve struct {
	made, polar bool
	rise, set   int         // first whole hours of the day and of the evening
	sunset      float64     // share of the way from Tmin to Tmax at sunset
	share       [24]float64 // by day of that way, by night of the way down
}

// curves makes the curves of a latitude as they are asked for.
type curves struct {
	latitude float64
	ofDay    [367]curve
}

// of returns the curve of day yearDay (1-366) of the calendar year.
func (cs *curves) of(yearDay int) *curve {
	c := &cs.ofDay[yearDay]
	if c.made {
		return c
	}
	c.made = true
	before, today, after := SunlightAt(cs.latitude, yearDay-1), SunlightAt(cs.latitude, yearDay), SunlightAt(cs.latitude, yearDay+1)
	if c.polar = before.Polar() || today.Polar() || after.Polar(); c.polar {
		return c
	}
	c.sunset = LinvillDay(today.Length(), today.Length(), 0, 1)
	c.rise, c.set = int(math.Ceil(today.Rise)), int(today.Set)+1
	for h := range c.share {
		t := float64(h)
		switch {
		case h < c.rise:
			c.share[h] = 1 - LinvillNight(t+24-before.Set, 24-before.Set+today.Rise, 1, 0)
		case h < c.set:
			c.share[h] = LinvillDay(t-today.Rise, today.Length(), 0, 1)
		default:
			c.share[h] = 1 - LinvillNight(t-today.Set, 24-today.Set+after.Rise, 1, 0)
		}
	}
	return c
}

// days calls each with the hours of the days from first on, in the unit of tmin
// and tmax, which have one more day at either end. The hours of a day without
// a curve or without extremes are NaN.
func (cs *curves) days(first day.Date, tmin, tmax []float64, each func(i int, hours *[24]float64)) {
	var hours [24]float64
	date := first - 1
	yesterday := cs.of(date.YearDay())
	left := 0 // days of the calendar year still to come
	yearDay := 0
	for i := range len(tmin) - 2 {
		if left == 0 {
			today := first + day.Date(i)
			yearDay = today.YearDay() - 1
			left = int(day.Of(today.Year()+1, 1, 1) - today)
		}
		yearDay++
		left--
		c := cs.of(yearDay)
		c.hours(&hours, yesterday, tmin[i:i+3], tmax[i:i+3])
		each(i, &hours)
		yesterday = c
	}
}

// hours sets the hours of the middle one of three days. yesterday is the curve
// of the first.
func (c *curve) hours(out *[24]float64, yesterday *curve, tmin, tmax []float64) {
	lo, hi := min(tmin[1], tmax[1]), max(tmin[1], tmax[1]) // filled days may cross
	if c.polar || math.IsNaN(lo) {
		for h := range out {
			out[h] = math.NaN()
		}
		return
	}
	dusk := lo + (hi-lo)*c.sunset
	before := lo + (hi-lo)*yesterday.sunset
	if a, b := tmin[0], tmax[0]; a == a && b == b {
		before = min(a, b) + math.Abs(b-a)*yesterday.sunset
	}
	dawn := lo // the next one
	if tmin[2] == tmin[2] {
		dawn = tmin[2]
		if tmax[2] == tmax[2] {
			dawn = min(tmin[2], tmax[2])
		}
	}
	rise, set := c.rise, c.set
	for h, share := range c.share[:rise] {
		out[h] = before - (before-lo)*share
	}
	for h, share := range c.share[rise:set] {
		out[rise+h] = lo + (hi-lo)*share
	}
	for h, share := range c.share[set:] {
		out[set+h] = dusk - (dusk-dawn)*share
	}
}

// SunUp tells for each whole hour of solar time of so many days from first on
// whether the sun is above the horizon (SunlightAt); nil where the latitude is
// unknown. It goes with the hours of HourlyTemperatures.
func SunUp(l Latitude, first day.Date, days int) []bool {
	latitude, known := l.Degrees()
	if !known || days <= 0 {
		return nil
	}
	up := make([]bool, 24*days)
	var ofDay [367]Sunlight // a day of the year is the same in every year
	for i := range days {
		yearDay := (first + day.Date(i)).YearDay()
		sun := ofDay[yearDay]
		if sun == (Sunlight{}) {
			sun = SunlightAt(latitude, yearDay)
			ofDay[yearDay] = sun
		}
		if sun.Length() >= 24 {
			for h := range 24 {
				up[24*i+h] = true
			}
			continue
		}
		for h := int(math.Ceil(sun.Rise)); h < 24 && float64(h) < sun.Set; h++ {
			up[24*i+h] = true
		}
	}
	return up
}
