package club_test

import (
	"fmt"
	"strings"
	"testing"

	"ripeward/build/club"
)

// BenchmarkLoad reads a club with many reports, good or with every cell that
// can be bad being bad.
func BenchmarkLoad(b *testing.B) {
	for name, year := range map[string]string{"good": "2020", "bad": "20x0"} {
		var text strings.Builder
		text.WriteString(reportHead)
		for i := range 20_000 {
			fmt.Fprintf(&text, "r%d,mill,first,main,pot-plain,%s,ripe,2020-09-01,g%d\n", i, year, i)
		}
		dir := write(b, map[string]string{"data/reports/r.csv": text.String()})
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, _, err := club.Load(dir, club.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
