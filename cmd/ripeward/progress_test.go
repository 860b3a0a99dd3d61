package main

import (
	"strings"
	"testing"
	"time"

	"ripeward/build/diag"
)

func TestProgressText(t *testing.T) {
	for _, c := range []struct {
		s     diag.Step
		spent time.Duration
		want  string
	}{
		{diag.Step{What: "reports"}, time.Hour, "reports …"},
		{diag.Step{What: "towns", Done: 0, Of: 10}, 3 * time.Second, "towns          ░░░░░░░░░░░░░░░░░░░░░░░░ 0 of 10"},
		{diag.Step{What: "towns", Done: 5, Of: 10}, time.Second, "towns          ████████████░░░░░░░░░░░░ 5 of 10"},
		{diag.Step{What: "towns", Done: 5, Of: 20}, 10 * time.Second, "towns          ██████░░░░░░░░░░░░░░░░░░ 5 of 20, about 30 s left"},
		{diag.Step{What: "pages", Done: 7, Of: 7}, time.Minute, "pages          ████████████████████████ 7 of 7"},
		{diag.Step{What: "pages", Done: 1, Of: 61}, 10 * time.Second, "pages          ░░░░░░░░░░░░░░░░░░░░░░░░ 1 of 61, about 10 min left"},
	} {
		if got := progressText(c.s, c.spent); got != c.want {
			t.Errorf("%+v after %s:\n%q, want\n%q", c.s, c.spent, got, c.want)
		}
	}
}

// The line is drawn when the work changes, when it is done, and else not too
// often; it never goes back.
func TestProgressLine(t *testing.T) {
	var out strings.Builder
	clock := time.Unix(0, 0)
	l := &progressLine{to: &out, now: func() time.Time { return clock }}
	said := func(s diag.Step, after time.Duration) bool {
		out.Reset()
		clock = clock.Add(after)
		l.say(s)
		return out.Len() > 0
	}
	for i, c := range []struct {
		s     diag.Step
		after time.Duration
		drawn bool
	}{
		{diag.Step{What: "towns", Of: 4}, 0, true},
		{diag.Step{What: "towns", Done: 1, Of: 4}, time.Millisecond, false},
		{diag.Step{What: "towns", Done: 2, Of: 4}, time.Second, true},
		{diag.Step{What: "towns", Done: 1, Of: 4}, time.Second, false},
		{diag.Step{What: "towns", Done: 4, Of: 4}, time.Millisecond, true},
		{diag.Step{What: "pages", Of: 9}, time.Millisecond, true},
	} {
		if got := said(c.s, c.after); got != c.drawn {
			t.Errorf("%d: drawn %v", i, got)
		}
	}
}
