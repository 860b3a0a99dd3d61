package ripening

import (
	"slices"

	"ripeward/build/day"
)

// halfRefill is the share of the leaf-out heat that new shoots need after a
// set-back (judgement).
const halfRefill = 0.5

// course is a tree's way through one season, in places of its days: which may
// lie before the season.
type course struct {
	wakeAt, outAt int
	// indoors: before outAt the tree is warmed indoors; else it stands in its
	// store and grows by the outdoor heat.
	indoors bool
	leafed  bool
	leafAt  int // the day of leaf-out
	carryAt int // the first day whose night may be carried
	// H counts the days after from, where growing: after leaf-out, or after the
	// day that refilled the shoots of the last set-back.
	growing  bool
	from     int
	setBacks int
}

// begin places a tree at the start of its season.
func (s *Season) begin(out day.Rank, weeks int, st Start) course {
	y, m := s.year, s.method
	place := func(d day.Date) int { return int(d - y.Start()) }
	c := course{}
	switch {
	case m.Ground:
	case st.Out != day.None:
		c.outAt = place(st.Out)
	default:
		c.outAt = y.Index(out)
	}
	c.indoors = m.Planned && (weeks > 0 || st.Woke != day.None || st.Leafed != day.None)
	switch {
	case st.Woke != day.None:
		c.wakeAt = place(st.Woke)
	case c.indoors:
		c.wakeAt = c.outAt - 7*weeks
	}
	if st.Leafed != day.None {
		c.leafed, c.leafAt, c.from = true, place(st.Leafed), place(st.Leafed)
	} else if s.crop.LeafOutHeat <= 0 {
		c.leafed, c.leafAt, c.from = true, c.wakeAt, c.wakeAt-1
	}
	return c
}

// follow takes the tree through the season; tell, where not nil, hears of every
// set-back.
func (s *Season) follow(out day.Rank, weeks int, st Start, tell *Story) course {
	c := s.begin(out, weeks, st)
	if !c.leafed {
		s.leafOut(&c)
	}
	c.growing = c.leafed
	c.carryAt = max(c.outAt, c.from+1, 0)
	for c.growing && !st.NoSetBacks {
		k, _ := slices.BinarySearch(s.felt.freezes, int32(max(c.from+1, c.outAt)))
		if k == len(s.felt.freezes) {
			break
		}
		s.setBack(&c, int(s.felt.freezes[k]), tell)
	}
	return c
}

// leafOut fills the leaf-out heat from waking; the day that fills it is
// leaf-out.
func (s *Season) leafOut(c *course) {
	filled := 0.0
	for i := c.wakeAt; i <= s.felt.last; i++ {
		switch {
		case i < c.outAt && c.indoors:
			filled += s.indoorGain
		case i < 0: // no weather is known from before the season
		case i < c.outAt:
			filled += s.felt.outdoor[i]
		default:
			filled += s.felt.bare[i]
		}
		if filled >= s.crop.LeafOutHeat {
			c.leafed, c.leafAt, c.from = true, i, i
			return
		}
	}
}

// setBack takes the young shoots on place i: the banked heat is lost, and that
// day's with it. New shoots need half of the leaf-out heat before H counts
// again; while they come there is nothing to lose.
func (s *Season) setBack(c *course, i int, tell *Story) {
	if tell != nil {
		tell.SetBackDays = append(tell.SetBackDays, s.year.Rank(i))
		tell.LostHeat += s.heat(c, i-1)
	}
	c.setBacks++
	c.growing = false
	filled := 0.0
	for i++; i <= s.felt.last; i++ {
		if filled += s.felt.leafed[i]; filled >= halfRefill*s.crop.LeafOutHeat {
			c.growing, c.from = true, i
			return
		}
	}
}

// heat returns H at the end of place i, never past the last ripening day.
func (s *Season) heat(c *course, i int) float64 {
	f := s.felt
	i = min(i, f.last)
	if !c.growing || i <= c.from {
		return 0
	}
	h := 0.0
	if in := min(i, c.outAt-1); in > c.from {
		if c.indoors {
			h = float64(in-c.from) * s.indoorGain
		} else if in >= 0 {
			h = f.outdoorSum[in+1] - f.outdoorSum[max(c.from+1, 0)]
		}
	}
	if from := max(c.from+1, c.outAt, 0); i >= from {
		h += f.leafedSum[i+1] - f.leafedSum[from]
	}
	return h
}

// nights returns how many nights the pot is carried, from leaf-out to the last
// ripening day.
func (s *Season) nights(c *course) int {
	if s.felt.carried == nil || !c.leafed || c.carryAt > s.felt.last {
		return 0
	}
	return int(s.felt.carried[s.felt.last+1] - s.felt.carried[c.carryAt])
}
