package tables

import "testing"

// Below three growers nothing is counted aloud.
func TestFewGrowersAreNotCounted(t *testing.T) {
	for n, want := range map[int]string{0: "0", 1: "", 2: "", 3: "7"} {
		m := 7
		if n == 0 {
			m = 0
		}
		if got := counted(m, n); got != want {
			t.Errorf("%d reports of %d growers print as %q, want %q", m, n, got, want)
		}
	}
}
