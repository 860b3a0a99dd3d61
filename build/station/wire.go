package station

import (
	"bytes"
	"encoding/binary"
	"encoding/gob"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// Scanned is what one file holds, as Memory keeps it.
type Scanned struct {
	Records  []Record
	Problems diag.Problems
}

// Memory remembers the content of files from one run to the next.
type Memory interface {
	// Recall returns what was kept of a file, if it is still the same.
	Recall(path string) (*Scanned, bool)
	// Keep is told what a file holds. It must not hold on to it.
	Keep(path string, s *Scanned)
}

// wire is a record as gob carries it: the unexported half too, and the series
// as bytes, which are read a hundred times faster than numbers.
type wire struct {
	Series             Series // without its three slices
	TMin, TMax, Precip []byte
	Account            Account
	Crossed            []day.Date
	Before             []Record // none or one
	Judged             diag.Problems
}

// GobEncode writes a record that is not settled yet.
func (r *Record) GobEncode() ([]byte, error) {
	w := wire{Series: r.Series, TMin: packed(r.TMin), TMax: packed(r.TMax), Precip: packed(r.Precip), Account: r.Account, Crossed: r.crossed, Judged: r.judged}
	w.Series.TMin, w.Series.TMax, w.Series.Precip = nil, nil, nil
	if r.before != nil {
		w.Before = []Record{*r.before}
	}
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(w)
	return b.Bytes(), err
}

// GobDecode reads what GobEncode wrote.
func (r *Record) GobDecode(data []byte) error {
	var w wire
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&w); err != nil {
		return err
	}
	*r = Record{Series: w.Series, Account: w.Account, crossed: w.Crossed, judged: w.Judged}
	r.TMin, r.TMax, r.Precip = unpacked(w.TMin), unpacked(w.TMax), unpacked(w.Precip)
	if len(w.Before) > 0 {
		r.before = &w.Before[0]
	}
	if r.Account.SetAsideCounts == nil {
		r.Account.SetAsideCounts = map[string]int{}
	}
	if r.Account.UsedCounts == nil {
		r.Account.UsedCounts = map[string]int{}
	}
	return nil
}

func packed(v []quantity.Tenths) []byte {
	b := make([]byte, 0, 2*len(v))
	for _, x := range v {
		b = binary.LittleEndian.AppendUint16(b, uint16(x))
	}
	return b
}

func unpacked(b []byte) []quantity.Tenths {
	if len(b) == 0 {
		return nil
	}
	v := make([]quantity.Tenths, len(b)/2)
	for i := range v {
		v[i] = quantity.Tenths(binary.LittleEndian.Uint16(b[2*i:]))
	}
	return v
}
