package calendar

import (
	"encoding/json"
	"maps"
	"strings"
	"testing"

	"ripeward/build/day"
)

// RFC 9562 appendix A.4: the UUID of version 5 of www.example.com in the DNS
// namespace.
func TestUUIDOfTheStandard(t *testing.T) {
	dns := [16]byte{0x6b, 0xa7, 0xb8, 0x10, 0x9d, 0xad, 0x11, 0xd1, 0x80, 0xb4, 0x00, 0xc0, 0x4f, 0xd4, 0x30, 0xc8}
	if got := uuid5(dns, []byte("www.example.com")); got != "2ed6657d-e927-568b-95e1-2665a8aea6a2" {
		t.Errorf("uuid5 of www.example.com is %s", got)
	}
}

// A changed UID doubles every event in every subscriber's calendar. The values
// are those of uuid5 in Python's standard library for the same namespace and
// names.
func TestUIDNeverChanges(t *testing.T) {
	for _, c := range []struct{ club, want string }{
		{"Verger Club", "b6fbdf3e-2a50-56a2-a509-489356d03e49"},
		{"Société des figuiers", "7de45a5f-2098-5b6b-a581-1b621f92cfad"},
	} {
		if got := UID(c.club, "hill-town", "pot-plain", "wake"); got != c.want {
			t.Errorf("UID of %s is %s, was %s", c.club, got, c.want)
		}
	}
}

// CHECKS IC-8 (RFC 5545 3.8.4.7): one UID for each combination and no other.
func TestUIDsDiffer(t *testing.T) {
	seen := map[string]string{}
	parts := []string{"", "a", "b", "ab", "ba", "1:a,", "a,1:b"}
	for _, club := range parts {
		for _, town := range parts {
			for _, method := range parts {
				for _, task := range parts {
					uid, of := UID(club, town, method, task), strings.Join([]string{club, town, method, task}, "|")
					if other, has := seen[uid]; has {
						t.Fatalf("%s and %s share %s", of, other, uid)
					}
					seen[uid] = of
				}
			}
		}
	}
	if len(seen) != 7*7*7*7 {
		t.Errorf("%d UIDs", len(seen))
	}
}

func TestSequence(t *testing.T) {
	from, until := day.Of(2026, 5, 12), day.Of(2026, 5, 25)
	old := map[string]Published{"a": {from, until, 3}}
	for _, c := range []struct {
		what        string
		uid         string
		from, until day.Date
		want        int
	}{
		{"no entry", "b", from, until, 0},
		{"the same days", "a", from, until, 3},
		{"another first day", "a", from + 1, until, 4},
		{"another last day", "a", from, until - 1, 4},
		{"the same day and month a year on", "a", day.Of(2027, 5, 12), day.Of(2027, 5, 25), 4},
	} {
		if got := Sequence(old, c.uid, c.from, c.until); got != c.want {
			t.Errorf("%s: %d, want %d", c.what, got, c.want)
		}
	}
	if got := Sequence(nil, "a", from, until); got != 0 {
		t.Errorf("without a baseline: %d", got)
	}
}

// Five years of one task: closed each year, published twice in between, and
// left out once. The numbers never fall, rise with each move, and stay where
// nothing moved.
func TestSequenceOverTheYears(t *testing.T) {
	uid := UID("Verger Club", "hill-town", "pot-plain", "wake")
	var baseline map[string]Published
	publish := func(from day.Date) *Calendar {
		return &Calendar{Events: []Event{{Key: uid, From: from, Until: from + 7, Sequence: Sequence(baseline, uid, from, from+7)}}}
	}
	for _, c := range []struct {
		from day.Date
		want int
	}{
		{day.Of(2024, 3, 1), 0},
		{day.Of(2025, 3, 1), 1}, // a new year
		{0, 1},                  // the task is left out
		{day.Of(2027, 3, 4), 2}, // it comes back
		{day.Of(2027, 3, 4), 2}, // closed again, nothing moved
	} {
		if c.from == 0 {
			baseline = Close(baseline)
			continue
		}
		first, again := publish(c.from), publish(c.from)
		if string(first.Bytes()) != string(again.Bytes()) {
			t.Errorf("%v: a second publish differs", c.from)
		}
		if got := first.Events[0].Sequence; got != c.want {
			t.Errorf("%v: sequence %d, want %d", c.from, got, c.want)
		}
		before := maps.Clone(baseline)
		next := Close(baseline, first)
		if !maps.Equal(before, baseline) {
			t.Error("Close changes the old baseline")
		}
		baseline = next
	}
}

func TestBaselineAsJSON(t *testing.T) {
	old := map[string]Published{"a": {day.Of(2026, 12, 28), day.Of(2027, 1, 10), 2}}
	b, err := json.Marshal(old)
	if want := `{"a":{"from":"2026-12-28","until":"2027-01-10","sequence":2}}`; err != nil || string(b) != want {
		t.Fatalf("%s, %v", b, err)
	}
	var back map[string]Published
	if err := json.Unmarshal(b, &back); err != nil || !maps.Equal(old, back) {
		t.Errorf("reads back as %v, %v", back, err)
	}
	for in, want := range map[string]string{
		`{"from":"2026-02-30","until":"2026-03-01"}`:               `from: "2026-02-30" is not a day of the calendar`,
		`{"from":"2026-02-03"}`:                                    `until: "" is not a date`,
		`{"from":"2026-02-03","until":"2026-02-02"}`:               `until: 2026-02-02 is before 2026-02-03`,
		`{"from":"2026-02-03","until":"2026-02-03","sequence":-1}`: `sequence: -1 is below 0`,
		`{"from":20260203}`:                                        `cannot unmarshal number`,
		`[]`:                                                       `cannot unmarshal array`,
	} {
		var p Published
		if err := json.Unmarshal([]byte(in), &p); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", in, err, want)
		}
	}
}
