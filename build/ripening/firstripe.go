package ripening

import "ripeward/build/day"

// RipeBy returns the share of all years (and scatter) in which the first fruit
// is ripe by the end of a day, given each year's heat to that day.
func RipeBy(years []YearOf, heat []float64, q Question) float64 {
	mu, sd := q.Need.Mu+q.Delay, q.Need.Sd()
	sum := 0.0
	for i := range years {
		y := &years[i]
		if y.Lost {
			continue
		}
		p := phi(heat[i]-mu, sd)
		if y.Kill > 0 {
			p *= 1 - y.Kill
			if !q.OnOldWood {
				p += y.Kill * phi(heat[i]-mu-q.DiebackDelay, sd)
			}
		}
		sum += p
	}
	return sum / float64(len(years))
}

// seasonDays is how many days of season there are.
const seasonDays = 365

// Calendar holds the heat of each year by the end of each day of season: laid
// out once, it answers for any number of cultivars.
type Calendar struct {
	heat []float64 // of the years on day 1, then on day 2 ...
	n    int       // years
}

// NewCalendar lays out the supplies of one head start, one for each year.
func NewCalendar(supplies []Supply) *Calendar {
	c := &Calendar{heat: make([]float64, seasonDays*len(supplies)), n: len(supplies)}
	for j := range supplies {
		for r := range seasonDays {
			c.heat[r*c.n+j] = supplies[j].HeatAt(day.Rank(r + 1))
		}
	}
	return c
}

// On returns each year's heat by the end of day of season r (1-365), °C·d.
func (c *Calendar) On(r day.Rank) []float64 { return c.heat[(int(r)-1)*c.n : int(r)*c.n] }

// FirstRipe returns the first day of season by which share of all years has
// ripened, and false where that never happens.
func (c *Calendar) FirstRipe(years []YearOf, q Question, share float64) (day.Rank, bool) {
	return c.FirstRipeFrom(1, years, q, share)
}

// FirstRipeFrom is FirstRipe where it is known to lie on day from or after: that
// of a smaller share is such a day.
func (c *Calendar) FirstRipeFrom(from day.Rank, years []YearOf, q Question, share float64) (day.Rank, bool) {
	lo, hi := from-1, day.Rank(seasonDays)
	if c.n == 0 || RipeBy(years, c.On(hi), q) < share {
		return 0, false
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; RipeBy(years, c.On(mid), q) >= share {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi, true
}

// FirstRipe is Calendar.FirstRipe for a single question.
func FirstRipe(supplies []Supply, years []YearOf, q Question, share float64) (day.Rank, bool) {
	return NewCalendar(supplies).FirstRipe(years, q, share)
}
