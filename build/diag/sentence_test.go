package diag_test

import (
	"testing"

	"ripeward/build/diag"
)

func TestSentence(t *testing.T) {
	for want, s := range map[string]diag.Sentence{
		"":                         {},
		"no value at 90 %":         diag.Say("no value at 90 %%"),
		"2 of 3 days, 1.5 °C, 7 %": diag.Say("%d of %d days, %.1f °C, %d %%", 2, 3, 1.5, 7),
	} {
		if got := s.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
