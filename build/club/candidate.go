package club

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ripeward/build/diag"
)

// A Candidate is a file that lies outside the club's folder and is read as if
// it were one more file of one of its tables.
type Candidate struct {
	File  string // as problems name it
	Table string // reports, cultivars, ...; "" where the header is of no table
	Text  []byte // unpacked
	// Daily is set for a daily station file: where it lies. Table and Text may
	// then hold the row of stations.csv that it lacks.
	Daily string
}

// An Offer is a row of the candidate.
type Offer struct {
	At     diag.Place
	ID     string
	Faults diag.Problems // none where the row can be read
	// Replaces is where the club's own row of the same id stands.
	Replaces diag.Place
}

// ReadCandidate reads a file, plain or packed with gzip, and tells from its
// header which table it is of. A file that is no text is of none.
func ReadCandidate(path string) (*Candidate, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil {
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, problem(path, "not a regular file", "name a file")
	}
	c := &Candidate{File: path}
	if strings.HasPrefix(filepath.ToSlash(path), "data/") {
		c.File = "./" + path // the club's own tables are named like this
	}
	text, whole, err := unpacked(f)
	if err != nil || !whole {
		return c, nil // station files say what is wrong with the packing, and may be larger
	}
	if c.Table = tableOf(path, text); c.Table != "" {
		c.Text = text
	}
	return c, nil
}

// unpacked reads all of r, unpacked where it is packed; whole is false where
// there is more than a table may have.
func unpacked(r io.Reader) (text []byte, whole bool, err error) {
	text, err = io.ReadAll(io.LimitReader(r, maxFileBytes+1))
	if err == nil && bytes.HasPrefix(text, []byte{0x1f, 0x8b}) {
		var z *gzip.Reader
		if z, err = gzip.NewReader(bytes.NewReader(text)); err == nil {
			text, err = io.ReadAll(io.LimitReader(z, maxFileBytes+1))
		}
	}
	return text, int64(len(text)) <= maxFileBytes, err
}

// tableOf returns the table that a header is of: the one that knows most of
// its columns, if those are two or more and half of them at least.
func tableOf(file string, text []byte) string {
	// Bytes that are not UTF-8 are told when the table is read.
	s := takeApart(file, bytes.ToValidUTF8(text[:min(len(text), maxLineBytes)], []byte("?")), "")
	best, most := "", 1
	for _, t := range newLoader("").order {
		known := 0
		for _, h := range s.header {
			if t.spec.byName[h.text] != nil || t.spec.translated(h.text) != "" {
				known++
			}
		}
		if known > most && 2*known >= len(s.header) {
			best, most = t.spec.name, known
		}
	}
	return best
}

// candidate joins the rows of a candidate to its table.
func (l *loader) candidate() error {
	c := l.offered
	if c == nil || c.Table == "" {
		return nil
	}
	t := l.tables[c.Table]
	if t == nil {
		return fmt.Errorf("club: there is no table %q", c.Table)
	}
	t.offer = c.File
	t.addTo(l, c.File, c.Text)
	return nil
}

// isOffer tells whether row i came from the candidate.
func (t *tableBase) isOffer(i int) bool { return t.offer != "" && t.from[i].sheet.file == t.offer }

// replace lets row i of the candidate stand for the club's own row k, unless
// reports: those are told apart by their ids.
func (t *tableBase) replace(i, k int) bool {
	if t.spec.name == "reports" || !t.isOffer(i) || t.isOffer(k) {
		return false
	}
	if t.replaced == nil {
		t.replaced = map[int]int{}
	}
	t.replaced[i], t.unused[k] = k, true
	return true
}

// takeOffers lists what became of the candidate's rows, once all has been
// checked. The club's own row comes back where the candidate's has an error.
func (l *loader) takeOffers() {
	for _, t := range l.order {
		if t.offer == "" {
			continue
		}
		for i := range t.from {
			if !t.isOffer(i) {
				continue
			}
			o := Offer{At: t.from[i].sheet.records[t.from[i].record].at}
			if t.spec.key != "" {
				o.ID = strings.Join(t.values(i, t.spec.byName[t.spec.key]), ";")
			}
			for _, f := range t.faults[i] {
				o.Faults = append(o.Faults, f.problem)
			}
			if k, ok := t.replaced[i]; ok {
				o.Replaces = t.from[k].sheet.records[t.from[k].record].at
				t.unused[k] = len(o.Faults) == 0
			}
			l.club.Offers = append(l.club.Offers, o)
		}
		for _, p := range t.lost {
			if p.Place.File == t.offer {
				l.club.Offers = append(l.club.Offers, Offer{At: p.Place, Faults: diag.Problems{p}})
			}
		}
	}
	slices.SortStableFunc(l.club.Offers, func(a, b Offer) int { return a.At.Line - b.At.Line })
}
