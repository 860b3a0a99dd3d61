package station

import (
	"fmt"
	"maps"
	"slices"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// verdictOf is why the values of a suspect that is not used are set aside.
var verdictOf = map[string]reason{KindUnits: otherUnit, KindRun: stuck, KindSpike: lone}

// mostSuspects bounds the messages about one station; all suspects are in its
// Account.
const mostSuspects = 20

// judge runs the quality control on a record that is otherwise done, and takes
// out what is not used. place tells where a value stands. What the record was
// before is kept, in case it is to be joined with others.
func (r *Record) judge(place func(element, day.Date) diag.Place) {
	found := FindSuspects(&r.Series, r.crossed)
	if len(found) == 0 {
		return
	}
	before := *r
	r.before = &before
	r.Account.Suspects = found
	refused := false
	for i := range found {
		refused = refused || !found[i].Used
	}
	if refused {
		r.TMin, r.TMax, r.Precip = slices.Clone(r.TMin), slices.Clone(r.TMax), slices.Clone(r.Precip)
		r.Account.SetAsideCounts = maps.Clone(r.Account.SetAsideCounts)
		if r.Account.SetAsideCounts == nil {
			r.Account.SetAsideCounts = map[string]int{}
		}
	}
	var more []SetAside
	for _, s := range found {
		at := diag.Place{File: r.Account.Files[0]}
		if s.Kind == KindSwapped {
			at = place(tmin, s.First)
		}
		for e, values := range [nElements][]quantity.Tenths{r.TMin, r.TMax, r.Precip} {
			if elementNames[e] != s.Element {
				continue
			}
			at = place(element(e), s.First)
			why, refused := verdictOf[s.Kind]
			if s.Used || !refused {
				continue
			}
			for d := s.First; d <= s.Last; d++ {
				i := d - r.First
				if values[i] == quantity.Missing {
					continue
				}
				values[i] = quantity.Missing
				r.Account.SetAsideCounts[reasons[why].phrase]++
				if len(more) < MaxListed {
					more = append(more, SetAside{Place: place(element(e), d), Element: s.Element, Date: d, Reason: reasons[why].phrase})
				}
			}
		}
		r.tell(s, at)
	}
	if len(more) > 0 {
		r.Account.list(more)
	}
	if refused {
		r.trim()
	}
}

// tell adds a message about a suspect.
func (r *Record) tell(s Suspect, at diag.Place) {
	n := len(r.judged)
	if n > mostSuspects {
		return
	}
	if n == mostSuspects {
		r.judged = append(r.judged, diag.Problem{Place: diag.Place{File: r.Account.Files[0], Line: 1}, Severity: diag.Note,
			Message: fmt.Sprintf("station %s: %d more suspects are listed with its record", r.ID, len(r.Account.Suspects)-n)})
		return
	}
	if at.Line == 0 {
		at.Line = 1
	}
	p := diag.Problem{Place: at, Severity: diag.Note}
	when := s.First.String()
	if s.Last != s.First {
		when += " to " + s.Last.String()
	}
	p.Message = fmt.Sprintf("station %s, %s of %s: %s: %s", r.ID, s.Element, when, s.Kind, s.Reason)
	if s.Used {
		p.Message += "; used all the same"
	} else {
		p.Severity, p.Hint = diag.Warning, suspectHints[s.Kind]
		p.Message += "; not used"
	}
	r.judged = append(r.judged, p)
}

var suspectHints = map[string]string{
	KindUnits:   "correct the values, or say in a NAME.toml beside the file which units it is in",
	KindSwapped: "exchange the two columns in the file, or name them in a NAME.toml beside it",
	KindRun:     "delete the values if the instrument was stuck",
	KindSpike:   "correct the value if it is a slip of the pen",
}

// unjudged returns the record as it was before the quality control.
func (r *Record) unjudged() Record {
	if r.before != nil {
		return *r.before
	}
	return *r
}

// settle closes a record: what was kept for joining goes, and the messages of
// the quality control are returned.
func (r *Record) settle() diag.Problems {
	ps := r.judged
	r.judged, r.before, r.crossed = nil, nil, nil
	return ps
}
