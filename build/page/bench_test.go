package page_test

import (
	"testing"

	"ripeward/build/page"
)

// BenchmarkRender writes the demonstration club's whole site into nothing.
func BenchmarkRender(b *testing.B) {
	book := demoBook(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := page.Render(book, page.Options{}, func(string, []byte) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}
