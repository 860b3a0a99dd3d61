package station

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/station/stationtest"
)

// readRows reads a GHCN wide file, each row on its own or with a mould, and
// tells how many rows the mould took.
func readRows(t *testing.T, text []byte, mould bool) (recs []Record, ps diag.Problems, taken int) {
	t.Helper()
	s := &scanner{source: open("wide.csv", bytes.NewReader(text)), options: Options{Name: "wide.csv"}, stations: map[string]*builder{}}
	defer s.release()
	h := look(s.source, 0)
	f, problem := nceiForm(h, [nElements]unit{})
	if f == nil || problem != nil {
		t.Fatal("not a wide file")
	}
	f.attributes = true
	for i := range dialects {
		if dialects[i].Name == "ghcn-wide" {
			s.dialect = &dialects[i]
		}
	}
	tab := newTable(s, *f)
	header := h.lines[0].number
	for {
		if mould && tab.again() {
			taken++
			continue
		}
		line, ok := tab.next()
		if !ok {
			break
		}
		if s.line > header && len(line) > 0 {
			tab.row(line)
		}
	}
	recs = s.finish()
	return recs, s.settle(recs), taken
}

// A row that the mould takes is read as it would be on its own, and rows of
// any other kind are left alone: files with all sorts of damage give the same
// records, accounts and messages either way.
func TestMould(t *testing.T) {
	rows := bytes.SplitAfter(stationtest.WideFile(3, 1), []byte("\n"))
	header, rows := rows[0], rows[1:150]
	other := bytes.SplitAfter(stationtest.WideFile(4, 1), []byte("\n"))[1:150]
	odd := []string{"\"", "\n", "\r", ",", "x", " ", "-", "\xff", "é", "0", "9", "\"\"", "T"}
	taken, of := 0, 0
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 7))
		text := bytes.Clone(header)
		for i := range rows {
			row := rows[i]
			switch rng.IntN(40) {
			case 0:
				row = other[i]
			case 1:
				text = append(text, row...) // the same day twice
			case 2:
				row = bytes.Replace(row, []byte(`,,X,`), []byte(`T,,X,`), 1)
			case 3:
				row = bytes.Replace(row, []byte(`",,X,0`), []byte(`",I,X,0`), 1)
			case 4:
				row = rows[rng.IntN(len(rows))] // perhaps another value for its day
			case 5:
				row = bytes.Replace(row, []byte("\n"), []byte(" \n"), 1)
			case 6, 7, 8, 9: // any byte becomes another
				at, by := rng.IntN(len(row)), odd[rng.IntN(len(odd))]
				row = append(append(bytes.Clone(row[:at]), by...), row[at+1:]...)
			}
			text = append(text, row...)
		}
		if seed%4 == 1 {
			text = bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n"))
		}
		if seed%4 == 2 {
			text = bytes.TrimRight(text, "\n")
		}
		want, wantSaid, _ := readRows(t, text, false)
		got, said, n := readRows(t, text, true)
		taken, of = taken+n, of+len(rows)
		for i := range got { // NaN is not equal to itself
			for _, x := range []*float64{&got[i].Latitude, &got[i].Longitude, &got[i].ElevationM, &want[i].Latitude, &want[i].Longitude, &want[i].ElevationM} {
				if *x != *x {
					*x = -1e6
				}
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: %s", seed, difference(got, want))
		}
		if !reflect.DeepEqual(said, wantSaid) {
			t.Fatalf("seed %d: said %v\nand row by row %v", seed, said, wantSaid)
		}
	}
	if taken*2 < of {
		t.Errorf("the mould took %d of %d rows", taken, of)
	}
	t.Logf("the mould took %d of %d rows", taken, of)
}

func difference(got, want []Record) string {
	if len(got) != len(want) {
		return fmt.Sprintf("%d records, row by row %d", len(got), len(want))
	}
	for i := range got {
		if !reflect.DeepEqual(got[i].Account, want[i].Account) {
			return fmt.Sprintf("account %+v\nand row by row %+v", got[i].Account, want[i].Account)
		}
	}
	return "the series differ"
}

// Of a file whose rows are alike the mould takes all but a handful.
func TestMouldTakes(t *testing.T) {
	text := stationtest.WideFile(1, 10)
	recs, ps, taken := readRows(t, text, true)
	if len(recs) != 1 || len(ps) > 0 || int(recs[0].Account.Rows)-taken > 10 {
		t.Errorf("%d records, %v, %d rows taken", len(recs), ps, taken)
	}
}

// The last row may lack its line end and begin in one buffer to end in the next.
func TestMouldAtEnd(t *testing.T) {
	text := stationtest.WideFile(1, 6)
	end := bufferSize + bytes.IndexByte(text[bufferSize:], '\n')
	last := bytes.LastIndexByte(text[:end], '\n')
	// Rows with a remark are not of the bulk: no mould before the last.
	text = append(bytes.ReplaceAll(text[:last], []byte(`",,X,0`), []byte(`"H,,X,`)), text[last:end]...)
	if last >= bufferSize || bytes.Contains(text[:last], []byte(`",,X,0`)) {
		t.Fatal("not the file that was meant")
	}
	recs, ps, _ := readRows(t, text, true)
	if len(recs) != 1 || len(ps) > 0 || int(recs[0].Account.Rows) != bytes.Count(text, []byte("\n")) {
		t.Errorf("%d records, %v", len(recs), ps)
	}
}
