package page

import (
	"testing"

	"ripeward/build/club"
)

// Every date that a way of growing may hang on has words.
func TestAnchorsHaveWords(t *testing.T) {
	for _, a := range club.Anchors {
		if anchorTexts[string(a)].plain == "" {
			t.Errorf("anchor %s has no words", a)
		}
	}
}
