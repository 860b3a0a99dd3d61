package calendar

import (
	"crypto/sha1"
	"encoding/json"
	"fmt"

	"ripeward/build/day"
)

// namespace is ours alone, drawn once at random (RFC 9562 6.6). Another one
// would give every event of every club a new UID.
var namespace = [16]byte{0x7c, 0x69, 0x44, 0xeb, 0xcd, 0x3a, 0x41, 0x5d, 0x9e, 0x79, 0x38, 0x58, 0x02, 0x77, 0xc1, 0x8e}

// UID returns the identifier of a task's event: a name-based UUID (RFC 9562
// 5.5, the form that RFC 7986 5.3 asks for) of the club's name and the ids of
// town, method and task. It names neither year nor language nor the site's
// address, so that next year's date replaces this year's in a subscriber's
// calendar, also after the site has moved.
func UID(club, town, method, task string) string {
	// Lengths before the texts keep ("a", "bc") apart from ("ab", "c").
	var name []byte
	for _, s := range []string{club, town, method, task} {
		name = fmt.Appendf(name, "%d:%s,", len(s), s)
	}
	return uuid5(namespace, name)
}

// uuid5 returns the UUID of version 5 (RFC 9562 5.5).
func uuid5(space [16]byte, name []byte) string {
	h := sha1.Sum(append(space[:], name...))
	u := h[:16]
	u[6] = u[6]&0x0f | 0x50
	u[8] = u[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", u[:4], u[4:6], u[6:8], u[8:10], u[10:])
}

// Published is an event as subscribers last had it when a year was closed; the
// club's baseline keeps one for each UID. Its JSON form is
// {"from":"2026-05-12","until":"2026-05-25","sequence":1}.
type Published struct {
	From, Until day.Date // both included
	Sequence    int      // revisions up to then, from 0
}

// Sequence returns the revision number of an event (RFC 5545 3.8.7.4): the
// baseline's, one more where the days differ from those told there, 0 without
// an entry. The year counts: the UID has none, so that next year's event is this
// year's, moved, and a program that has seen the old one needs a higher number
// to move it.
func Sequence(old map[string]Published, uid string, from, until day.Date) int {
	p, ok := old[uid]
	switch {
	case !ok:
		return 0
	case p.From != from || p.Until != until:
		return p.Sequence + 1
	}
	return p.Sequence
}

// Close returns the baseline for the next year: the old one with the events of
// the calendars, as they were published, in place of their former entries.
// Events no longer published keep theirs, so that one which comes back does
// not start again at 0, below what subscribers have seen.
func Close(old map[string]Published, calendars ...*Calendar) map[string]Published {
	next := make(map[string]Published, len(old))
	for uid, p := range old {
		next[uid] = p
	}
	for _, c := range calendars {
		for _, e := range c.Events {
			next[e.Key] = Published{From: e.From, Until: e.Until, Sequence: e.Sequence}
		}
	}
	return next
}

// published is the JSON form of Published.
type published struct {
	From     string `json:"from"`
	Until    string `json:"until"`
	Sequence int    `json:"sequence"`
}

// MarshalJSON writes the days as YYYY-MM-DD.
func (p Published) MarshalJSON() ([]byte, error) {
	return json.Marshal(published{p.From.String(), p.Until.String(), p.Sequence})
}

// UnmarshalJSON refuses days that cannot be and numbers below 0.
func (p *Published) UnmarshalJSON(b []byte) error {
	var raw published
	if err := json.Unmarshal(b, &raw); err != nil {
		return err
	}
	from, err := day.Parse(raw.From)
	if err != nil {
		return fmt.Errorf("from: %w", err)
	}
	until, err := day.Parse(raw.Until)
	if err != nil {
		return fmt.Errorf("until: %w", err)
	}
	if until < from {
		return fmt.Errorf("until: %v is before %v", until, from)
	}
	if raw.Sequence < 0 {
		return fmt.Errorf("sequence: %d is below 0; it counts revisions from 0", raw.Sequence)
	}
	*p = Published{From: from, Until: until, Sequence: raw.Sequence}
	return nil
}
