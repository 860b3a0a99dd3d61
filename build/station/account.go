package station

import (
	"cmp"
	"slices"
	"strings"

	"ripeward/build/day"
)

// Count is a reason with how often it occurred.
type Count struct {
	Reason string
	N      int
}

// SetAsideTotal is how many values and rows were not used.
func (a *Account) SetAsideTotal() int { return total(a.SetAsideCounts) }

// SetAsideByReason lists the counts of what was not used, most frequent first.
func (a *Account) SetAsideByReason() []Count { return byCount(a.SetAsideCounts) }

// UsedByRemark lists the counts of what was used with a remark, most frequent
// first.
func (a *Account) UsedByRemark() []Count { return byCount(a.UsedCounts) }

// DaysSetAside is on how many days something was set aside, among what is
// listed; rows without a readable date count one each.
func (a *Account) DaysSetAside() int {
	days, undated := map[day.Date]bool{}, 0
	for _, s := range a.SetAside {
		if s.Date == day.None {
			undated++
		} else {
			days[s.Date] = true
		}
	}
	return len(days) + undated
}

func total(m map[string]int) int {
	n := 0
	for _, k := range m {
		n += k
	}
	return n
}

func byCount(m map[string]int) []Count {
	var cs []Count
	for r, n := range m {
		cs = append(cs, Count{r, n})
	}
	slices.SortFunc(cs, func(a, b Count) int {
		return cmp.Or(cmp.Compare(b.N, a.N), strings.Compare(a.Reason, b.Reason))
	})
	return cs
}
