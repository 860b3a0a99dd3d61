package station_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/station"
)

// Each sample of a dialect with some bytes written over: no panic, every row
// is counted, and messages stand inside the file. The first lines, by which the
// dialect is told, stay as they are unless the place is among them.
func FuzzDialects(f *testing.F) {
	entries, err := os.ReadDir(samples)
	if err != nil {
		f.Fatal(err)
	}
	var texts [][]byte
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".md" {
			continue
		}
		b, err := os.ReadFile(filepath.Join(samples, e.Name()))
		if err != nil {
			f.Fatal(err)
		}
		texts = append(texts, b[:min(len(b), 3000)])
		for _, s := range []string{"\x00", "-9999", "\n", "99999", "\"", "2001-02-30", ";;", "\xff", "-"} {
			f.Add(byte(len(texts)-1), uint16(len(b)/2), byte(len(s)), []byte(s))
		}
	}
	f.Fuzz(func(t *testing.T, which byte, at uint16, cut byte, put []byte) {
		text := texts[int(which)%len(texts)]
		i := int(at) % (len(text) + 1)
		text = slices.Concat(text[:i], put, text[min(len(text), i+int(cut)):])
		recs, ps, err := station.Read("f.csv", bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		lines := bytes.Count(text, []byte("\n")) + bytes.Count(text, []byte("\r")) + 1
		if len(recs) == 0 && ps.Count(diag.Error)+ps.Count(diag.Warning) == 0 {
			t.Error("nothing read and nothing said")
		}
		for _, p := range ps {
			if p.Place.File != "f.csv" || p.Place.Line < 1 || p.Place.Line > lines+1 || p.Message == "" {
				t.Errorf("%v is outside a file of %d lines", p, lines)
			}
		}
		for i := range recs {
			check(t, &recs[i])
		}
	})
}
