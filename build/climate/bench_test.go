package climate_test

import (
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

func BenchmarkSeasons60Years(b *testing.B) {
	d := weather(day.North, 1961, 2020, 9, 12, 1)
	b.ReportAllocs()
	for b.Loop() {
		if n := len(climate.Seasons(d, climate.DefaultHeat())); n != 60 {
			b.Fatal(n)
		}
	}
}

func BenchmarkNormals30Years(b *testing.B) {
	s := climate.Seasons(weather(day.North, 1961, 2020, 9, 12, 1), climate.DefaultHeat())
	b.ReportAllocs()
	for b.Loop() {
		climate.Normals(s, climate.Span{First: 1991, Last: 2020}, day.North, 10)
	}
}

func BenchmarkFillAndMove60Years(b *testing.B) {
	lead, other := weather(day.North, 1961, 2020, 9, 12, 1), weather(day.North, 1961, 2020, 8, 12, 2)
	lose(lead, day.Of(1985, 3, 1), 40, lead.TMin, lead.TMax)
	b.ReportAllocs()
	for b.Loop() {
		d, _, _ := climate.Fill(lead, other)
		climate.Move(&d, climate.Shift{Day: -0.6, Night: -0.6})
	}
}
