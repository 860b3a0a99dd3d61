package station_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/station"
)

// repeated is text n times over, never held as a whole.
type repeated struct {
	text string
	n    int
	rest string
}

func (r *repeated) Read(b []byte) (int, error) {
	if r.rest == "" {
		if r.n == 0 {
			return 0, io.EOF
		}
		r.n, r.rest = r.n-1, r.text
	}
	n := copy(b, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// allocated is how many bytes f asks for in all, freed ones included.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// bombs are files that unpack to far more than they are, or hold one enormous
// line; size is what is unpacked.
func bombs(size int) map[string]io.Reader {
	block := func(c string) *repeated { return &repeated{text: strings.Repeat(c, 1<<16), n: size >> 16} }
	return map[string]io.Reader{
		"zero bytes":           block("\x00"),
		"one line":             block("x"),
		"one line of a table":  io.MultiReader(strings.NewReader(plainHead), block("9")),
		"one quoted cell":      io.MultiReader(strings.NewReader(plainHead+"\""), block("\"\"")),
		"line ends":            block("\n"),
		"carriage returns":     block("\r"),
		"header without end":   io.MultiReader(strings.NewReader("date,tmin_c"), block(",x")),
		"separators of a line": io.MultiReader(strings.NewReader(plainHead), block(",")),
	}
}

// However much a file unpacks to, reading takes little memory, ends, and says
// what is wrong.
func TestBombs(t *testing.T) {
	size := 32 << 20
	if os.Getenv("RIPEWARD_LONG") != "" {
		size = 1 << 30
	}
	for name, text := range bombs(size) {
		t.Run(name, func(t *testing.T) {
			var ps diag.Problems
			bytes := allocated(func() {
				in, out := io.Pipe()
				go func() {
					z, _ := gzip.NewWriterLevel(out, gzip.BestSpeed)
					_, err := io.Copy(z, text)
					_ = z.Close()
					_ = out.CloseWithError(err)
				}()
				var err error
				if _, ps, err = station.Read("bomb.csv.gz", in); err != nil {
					t.Error(err)
				}
				_ = in.Close()
			})
			if bytes > 16<<20 {
				t.Errorf("%d MiB asked for", bytes>>20)
			}
			if ps.Count(diag.Error)+ps.Count(diag.Warning) == 0 {
				t.Errorf("nothing is said: %v", ps)
			}
			for _, p := range ps {
				if p.Place.File != "bomb.csv.gz" || p.Place.Line < 1 || len(p.Message)+len(p.Hint) > 1000 {
					t.Errorf("%v", p)
				}
			}
		})
	}
}

// Ten million rows, half of them bad, are counted one by one, and a few listed.
func TestTenMillionRows(t *testing.T) {
	n := 200_000
	if os.Getenv("RIPEWARD_LONG") != "" {
		n = 10_000_000
	}
	rows := &repeated{text: "2001-05-03,3.0,12.0,1.0\n2001-06-31,3.0,12.0,1.0\n", n: n / 2}
	var recs []station.Record
	var err error
	asked := allocated(func() {
		recs, _, err = station.Read("many.csv", io.MultiReader(strings.NewReader(plainHead), rows))
	})
	if err != nil || len(recs) != 1 {
		t.Fatal(len(recs), err)
	}
	a := recs[0].Account
	kept := strings.Count(plainHead, "\n") - 1 // rows that stand below the header of the sample
	if a.Rows != int64(n+kept) || a.SetAsideCounts["day not in the calendar"] != n/2 || len(a.SetAside) > station.MaxListed {
		t.Errorf("%d rows, %v, %d listed", a.Rows, a.SetAsideCounts, len(a.SetAside))
	}
	if asked > 32<<20 {
		t.Errorf("%d MiB asked for", asked>>20)
	}
}

// A file packed within a packed one is no table.
func TestPackedTwice(t *testing.T) {
	_, ps, err := station.Read("twice.csv.gz", bytes.NewReader(pack(t, string(pack(t, plainHead)))))
	if err != nil || ps.Count(diag.Error) == 0 {
		t.Errorf("%v, %v", ps, err)
	}
}
