package day

import "fmt"

// Hemisphere decides where a season year begins.
type Hemisphere int8

// North has season years of 1 January-31 December; South of 1 July of the
// label year to 30 June of the next.
const (
	North Hemisphere = 1
	South Hemisphere = -1
)

// HemisphereOf returns South for a negative latitude (degrees), else North.
func HemisphereOf(latitude float64) Hemisphere {
	if latitude < 0 {
		return South
	}
	return North
}

// Start returns the first day of season y.
func (h Hemisphere) Start(y int) Date {
	if h == South {
		return Of(y, 7, 1)
	}
	return Of(y, 1, 1)
}

// End returns the last day of season y.
func (h Hemisphere) End(y int) Date { return h.Start(y+1) - 1 }

// Season returns the label of the season that d falls in.
func (h Hemisphere) Season(d Date) int {
	y, m, _ := d.YMD()
	if h == South && m < 7 {
		return y - 1
	}
	return y
}

// Label prints season y as pages do: "2020", or "2020/21" in the south.
func (h Hemisphere) Label(y int) string {
	if h == South {
		return fmt.Sprintf("%d/%02d", y, (y+1)%100)
	}
	return fmt.Sprint(y)
}

// Northern maps a northern month to the hemisphere's own month of the same
// time of year: month m itself, or six months later in the south.
func (h Hemisphere) Northern(m int) int {
	if h == South {
		return (m+5)%12 + 1
	}
	return m
}

// On returns the day of season y that has the northern date m-dom: the same
// day and month, six months later in the south. 30 or 31 turn into the last
// day of a shorter month (31 December becomes 30 June).
func (h Hemisphere) On(y, m, dom int) Date {
	own, cy := h.Northern(m), y
	if h == South && own < 7 {
		cy = y + 1
	}
	return Of(cy, own, min(dom, DaysIn(cy, own)))
}

// Rank is a day of the season on the 365-day calendar, 1-365. Values outside
// 1-365 are days before or after the season (a wake date before 1 January).
type Rank int

// cum[m] is the number of days before month m (1-12) in a 365-day year.
var cum = [13]int{0, 0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334}

// Rank returns the day of season of d; 29 February ranks as the 28th.
func (h Hemisphere) Rank(d Date) Rank {
	_, m, dom := d.YMD()
	if m == 2 && dom == 29 {
		dom = 28
	}
	r := cum[m] + dom
	if h == South {
		r = (r - cum[7] + 365 - 1) % 365
		return Rank(r + 1)
	}
	return Rank(r)
}

// RankOf returns the rank of the northern date m-dom (1 for 1 January) shifted
// to the hemisphere: see On.
func (h Hemisphere) RankOf(m, dom int) Rank { return h.Rank(h.On(2001, m, dom)) }

// MonthDay returns the calendar month and day of rank r; ranks outside 1-365
// wrap around.
func (h Hemisphere) MonthDay(r Rank) (m, dom int) {
	k := ((int(r)-1)%365 + 365) % 365
	if h == South {
		k = (k + cum[7]) % 365
	}
	for m = 12; cum[m] > k; m-- {
	}
	return m, k - cum[m] + 1
}

// InSeason returns the day of season y that has rank r; ranks outside 1-365
// fall in the seasons around.
func (h Hemisphere) InSeason(y int, r Rank) Date {
	for r < 1 {
		r, y = r+365, y-1
	}
	for r > 365 {
		r, y = r-365, y+1
	}
	m, dom := h.MonthDay(r)
	if h == South && m < 7 {
		y++
	}
	return Of(y, m, dom)
}
