package ripening

import (
	"cmp"
	"slices"
)

// Way is one way of growing a cultivar in a town, a method with a head start,
// with its odds (0-1) and what it takes in a year: hours of work, nights
// carried, electricity in kWh and money.
type Way struct {
	Method                         string
	Weeks                          int
	Odds, Hours, Nights, KWh, Cost float64
}

// asDear compares what two ways take: w never takes more than o (first), and
// takes less of something (second).
func (w Way) asDear(o Way) (never, less bool) {
	never = w.Nights <= o.Nights && w.KWh <= o.KWh && w.Cost <= o.Cost && w.Hours <= o.Hours
	less = w.Nights < o.Nights || w.KWh < o.KWh || w.Cost < o.Cost || w.Hours < o.Hours
	return never, less
}

// beats tells whether w makes o needless: no dearer in anything and cheaper in
// something, or equal in all with fewer weeks, then the earlier method id.
func (w Way) beats(o Way) bool {
	never, less := w.asDear(o)
	if !never {
		return false
	}
	if less {
		return true
	}
	return cmp.Or(cmp.Compare(w.Weeks, o.Weeks), cmp.Compare(w.Method, o.Method)) < 0
}

// Frontier returns the ways that reach the target odds and that no other way
// reaching them beats in nights, kWh, cost and hours at once (SCIENCE 7),
// sorted by hours, nights, weeks and method.
func Frontier(ways []Way, target float64) []Way {
	var reach []Way
	for _, w := range ways {
		if w.Odds >= target {
			reach = append(reach, w)
		}
	}
	var out []Way
	for _, w := range reach {
		if !slices.ContainsFunc(reach, func(o Way) bool { return o.beats(w) }) {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, func(a, b Way) int {
		return cmp.Or(cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Nights, b.Nights),
			cmp.Compare(a.Weeks, b.Weeks), cmp.Compare(a.Method, b.Method))
	})
	return out
}
