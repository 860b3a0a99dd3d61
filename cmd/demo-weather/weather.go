package main

import (
	"math/rand/v2"

	"ripeward/build/day"
)

// The invented climate. Everything is whole-number arithmetic, in thousandths
// of a degree, of a standard deviation or of a millimetre, so that every
// machine draws the same weather to the last byte: no floating point, hence no
// fused multiply-add and no library function that differs between platforms.

const (
	seed       = 20260214
	firstYear  = 1986
	lastYear   = 2026 // drawn whole; each station's data end within it
	midYear    = 2006 // the station means below hold for the start of this year
	warming    = 36   // thousandths of °C a year
	noRain     = -1
	traceRain  = -2
	spinUpDays = 200
)

// reading is one day at one station: temperatures in tenths of °C, rain in
// tenths of mm (or noRain, traceRain). A value is missing where its flag says.
type reading struct {
	Day              day.Date
	TMin, TMax, Rain int
	NoMin, NoMax     bool
	NoPrecip         bool
	// Flags of the publisher: quality letters for a failed check, "E" for an
	// estimate.
	QMin, QMax         string
	Estimated          bool
	RepeatedAfter      bool // the publisher's file has this day twice
	RepeatMin, RepeatX int
}

// site is a station's climate and where it stands.
type site struct {
	ID, Name      string
	Lat, Lon      string // degrees, as printed
	Elevation     int    // m
	Mean          int    // mean temperature of a year, thousandths of °C
	Swing         int    // half the difference of midsummer and midwinter
	Lag           int    // days that the cycle runs late (water does that)
	Range         int    // share of the regional daily range, thousandths
	RainShare     int    // thousandths
	Local         int    // own weather, thousandths of °C
	From, Through day.Date
	Write         func(s site, days []reading) []byte
	File          string // its file name
	Blemishes     []blemish
}

// regional is what all stations share on one day.
type regional struct {
	Air      int // anomaly of the mean, thousandths of °C
	Moist    int // latent rain index, thousandths of an sd
	AmountAt int // 0-999, where in the amount table a wet day stands
	Clear    int // latent sky, thousandths of an sd
	Outbreak int // cold air, thousandths of °C, never positive
}

// bell returns a draw that is normal for our purpose (the sum of twelve
// uniform ones), in thousandths of a standard deviation.
func bell(r *rand.Rand) int {
	sum := 0
	for range 12 {
		sum += int(r.Uint64() >> 48)
	}
	return (sum - 6*65536) * 1000 / 65536
}

// below returns a uniform draw 0..n-1 from the high bits.
func below(r *rand.Rand, n int) int {
	return int((r.Uint64() >> 32) * uint64(n) >> 32)
}

// cosine returns 1000·cos of an angle in 1/365 of a turn, after Bhaskara I's
// rational formula (good to 2 in 1000).
func cosine(turn365 int) int {
	a := ((turn365%365)+365)%365*72000/365 + 18000 // hundredths of a degree ×2, sine of x+90°
	a %= 72000
	sign := 1
	if a >= 36000 {
		a -= 36000
		sign = -1
	}
	// a is in 1/200 degree, 0..36000 for 0..180°.
	p := a * (36000 - a)
	return sign * 4000 * p / (5*36000*36000/4 - p)
}

// season blends a winter and a summer value over the year, coldest on
// 20 January.
func season(yearDay, winter, summer int) int {
	w := 1000 + cosine(yearDay-20)
	return (winter*w + summer*(2000-w)) / 2000
}

// byMonth blends monthly values (at mid-month) linearly.
func byMonth(m *[12]int, yearDay int) int {
	at := (yearDay-16)*12 + 365*12
	i, rest := at/365%12, at%365
	return (m[i]*(365-rest) + m[(i+1)%12]*rest) / 365
}

var (
	// Daily range of the region, thousandths of °C: widest in dry spring air.
	dailyRange = [12]int{9200, 10000, 10300, 11800, 13200, 12700, 12300, 12000, 11300, 9900, 7400, 7600}
	// Standard deviation of passing weather, thousandths of °C.
	airSpread = [12]int{4900, 4800, 4200, 3600, 3150, 2950, 2700, 2800, 3150, 3600, 4200, 4700}
	// What the clearest nights lose beyond half the range, thousandths of °C.
	clearNight = [12]int{600, 800, 1000, 2000, 3100, 2700, 1100, 2000, 4200, 4000, 1500, 600}
	// Threshold of the rain index above which a day is wet.
	wetAbove = [12]int{330, 430, 440, 380, 340, 360, 420, 450, 380, 300, 180, 240}
	// Mean amount on a wet day, thousandths of mm.
	wetAmount = [12]int{5000, 4700, 5400, 6500, 7700, 8900, 9500, 9000, 8400, 7300, 6300, 5400}
	// Quantiles 0, 5, … 100 % of a gamma law of shape 0.75 and mean 1000
	// (rounded; the last one is a ceiling).
	gammaQuantile = [21]int{0, 19, 48, 85, 127, 175, 228, 287, 352, 424, 504, 592, 692, 805, 935, 1087, 1272, 1508, 1833, 2381, 6800}
)

// drawRegion draws the shared weather of all days.
func drawRegion(first, last day.Date) []regional {
	r := rand.New(rand.NewPCG(seed, 0))
	out := make([]regional, 0, int(last-first)+1)
	var fast, slow, moist, clear, outbreak, left int
	for d := first - spinUpDays; d <= last; d++ {
		yd := d.YearDay()
		fast = (700*fast + 714*bell(r)) / 1000 // passing weather: about 3 days
		slow = (970*slow + 243*bell(r)) / 1000 // warm and cold spells of weeks
		moist = (300*moist + 954*bell(r)) / 1000
		clear = (400*clear + 917*bell(r)) / 1000
		amount := below(r, 1000)
		start, length, depth := below(r, 1000), 3+below(r, 5), 2500+below(r, 3500)
		if left == 0 && start < season(yd, 24, -24) {
			left, outbreak = length, depth
		}
		now := 0
		if left > 0 {
			left--
			now = -outbreak
		}
		if d < first {
			continue
		}
		// Winter air is more variable, and skewed to the cold.
		sd := byMonth(&airSpread, yd)
		skew := season(yd, 90, 20)
		z := fast - skew*(fast*fast/1000-1000)/1000
		out = append(out, regional{
			Air:      sd*z/1000 + 800*slow/1000,
			Moist:    moist,
			AmountAt: amount,
			Clear:    clear,
			Outbreak: now,
		})
	}
	return out
}

// drawSite draws a station's days from the shared weather and its own.
func drawSite(s site, index int, region []regional, first day.Date) []reading {
	r := rand.New(rand.NewPCG(seed, uint64(index)+1))
	out := make([]reading, 0, len(region))
	own := 0
	for i, reg := range region {
		d := first + day.Date(i)
		yd := d.YearDay()
		own = (500*own + 866*bell(r)) / 1000
		moist := (880*reg.Moist + 475*bell(r)) / 1000
		sky := (800*reg.Clear + 600*bell(r)) / 1000
		skyNoise := bell(r)
		amountOwn := below(r, 1000)
		traceDraw := below(r, 1000)

		trend := int(d-day.Of(midYear, 1, 1)) * warming * 100 / 36525
		mean := s.Mean + s.Swing*cosine(yd-200-s.Lag)/1000 + trend + reg.Air + reg.Outbreak + s.Local*own/1000
		wet := moist > byMonth(&wetAbove, yd)
		span := byMonth(&dailyRange, yd) * s.Range / 1000
		if wet {
			span = span * 660 / 1000
			mean += season(yd, 1900, -1300)
		} else {
			span = span * (1090 + sky*150/1000) / 1000
			mean += season(yd, -900, 500)
		}
		span = max(span*(1000+skyNoise*90/1000)/1000, 1500)
		lower := span / 2
		if !wet && sky > 200 {
			// A clear, calm night falls further than the day rises.
			lower += byMonth(&clearNight, yd) * s.Range / 1000 * min(sky, 1500) / 1500
		}
		q := reading{Day: d, TMin: tenths(mean - lower), TMax: tenths(mean + span/2), Rain: noRain}
		if wet {
			// Half the amount is the region's, half the station's.
			u := (reg.AmountAt + amountOwn) / 2
			u = spread(u)
			k, rest := u/50, u%50
			g := (gammaQuantile[k]*(50-rest) + gammaQuantile[k+1]*rest) / 50
			q.Rain = (g*byMonth(&wetAmount, yd)/1000*s.RainShare/1000 + 50) / 100
			if q.Rain < 2 {
				q.Rain = 2
			}
		} else if traceDraw < 60 {
			q.Rain = traceRain
		}
		out = append(out, q)
	}
	return out
}

// spread turns the mean of two uniform draws 0..999 (a triangular law) back
// into a uniform one.
func spread(u int) int {
	if u < 500 {
		return u * u * 2 / 1000
	}
	v := 999 - u
	return min(999, 999-v*v*2/1000)
}

// tenths rounds thousandths to tenths, halves away from zero.
func tenths(m int) int {
	if m < 0 {
		return -((-m + 50) / 100)
	}
	return (m + 50) / 100
}
