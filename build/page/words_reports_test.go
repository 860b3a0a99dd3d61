package page

import (
	"testing"

	"ripeward/build/almanac"
)

// Growers are counted from three on and never named; a need that is not
// learned says what stands in.
func TestLearnedWords(t *testing.T) {
	for _, c := range []struct {
		basis            string
		reports, growers int
		long, short      string
	}{
		{"reports", 14, 6, "learned from 14 reports of 6 growers", "14 reports of 6 growers"},
		{"reports", 3, 3, "learned from 3 reports of 3 growers", "3 reports of 3 growers"},
		{"reports", 9, 2, "not yet enough reports: rests on what was known before", "rests on what was known before"},
		{"class", 0, 0, "not yet enough reports: rests on its class", "rests on its class"},
		{"cultivar-row", 5, 2, "not yet enough reports: rests on its own row", "rests on its own row"},
		{"crop", 1, 1, "not yet enough reports: rests on its crop", "rests on its crop"},
		{"", 0, 0, "not yet enough reports: no heat need known", "no heat need known"},
	} {
		if got := english.learnedWords(c.basis, c.reports, c.growers); got != c.long {
			t.Errorf("got %q, want %q", got, c.long)
		}
		if got := english.shortBasis(c.basis, c.reports, c.growers); got != c.short {
			t.Errorf("got %q, want %q", got, c.short)
		}
	}
	if got := english.reportsOf(5, 2); got != "5 reports of fewer than 3 growers" {
		t.Errorf("got %q", got)
	}
}

// Below three growers no count of theirs is spoken, whatever waits or is held.
func TestCountsWords(t *testing.T) {
	for _, c := range []struct {
		need almanac.HeatNeed
		want string
	}{
		{almanac.HeatNeed{Growers: 2, Reports: 4, Held: 1}, "Reports of fewer than 3 growers are kept waiting until there are more; until then they change nothing."},
		{almanac.HeatNeed{}, "Nobody has reported it yet: three growers’ reports are needed before they count."},
		{almanac.HeatNeed{Growers: 4, Reports: 9, Censored: 3, Held: 1, Waiting: 2}, "3 of them say only “not yet ripe” or “already ripe”, which counts too; 1 report is held back because it does not fit; 2 reports wait."},
		{almanac.HeatNeed{Growers: 4, Reports: 9}, ""},
	} {
		if got := english.countsWords(&c.need); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestWarmRank(t *testing.T) {
	for _, c := range []struct {
		rank, of int
		want     string
	}{
		{0, 30, "less than in any of the 30 years of reference by that day"},
		{30, 30, "more than in any of the 30 years of reference by that day"},
		{14, 30, "more than in 14 of the 30 years of reference by that day"},
		{0, 0, ""},
	} {
		if got := english.warmRank(c.rank, c.of); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
