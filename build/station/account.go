package station

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ripeward/build/day"
	"ripeward/build/diag"
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

// Problems turns what is listed as set aside into one located message each, and
// one more for what the list had no room for.
func (a *Account) Problems() diag.Problems {
	var ps diag.Problems
	for _, s := range a.SetAside {
		severity, hint := diag.Warning, ""
		for _, r := range reasons {
			if r.phrase == s.Reason {
				hint = r.hint
				if r.routine {
					severity = diag.Note
				}
			}
		}
		what := s.Element
		if s.Date != day.None {
			what += " of " + s.Date.String()
		}
		ps = append(ps, diag.Problem{Place: s.Place, Severity: severity, Message: what + " not used: " + s.Reason, Hint: hint})
	}
	if more := a.SetAsideTotal() - len(a.SetAside); more > 0 && len(a.Files) > 0 {
		ps = append(ps, diag.Problem{
			Place: diag.Place{File: a.Files[0]}, Severity: diag.Note,
			Message: fmt.Sprintf("%d more values not used are counted and not listed", more),
		})
	}
	return ps
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
