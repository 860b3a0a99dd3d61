package station

import (
	"cmp"
	"errors"
	"slices"
	"sync"

	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/quantity"
)

// ReadAll reads several files, jobs at a time (at least one), and joins those
// of one station: where two files disagree about a day, the one whose record
// ends later wins (of two that end on the same day, the one whose path sorts
// first). Records come ordered by station id and do not depend on the order of
// paths or on jobs. The error joins the I/O failures, in order of path; what
// could be read is returned beside it.
func ReadAll(paths []string, jobs int) ([]Record, diag.Problems, error) {
	return ReadAllWith(paths, jobs, Options{})
}

// ReadAllWith is ReadAll with options that hold for all files.
func ReadAllWith(paths []string, jobs int, o Options) ([]Record, diag.Problems, error) {
	paths = slices.Clone(paths)
	slices.Sort(paths)
	paths = slices.Compact(paths)

	type result struct {
		records  []Record
		problems diag.Problems
		err      error
	}
	results := make([]result, len(paths))
	parallel(len(paths), jobs, func(i int) {
		r := &results[i]
		if o.Each != nil {
			defer o.Each()
		}
		if o.Memory != nil {
			if s, ok := o.Memory.Recall(paths[i]); ok {
				r.records, r.problems = s.Records, s.Problems
				return
			}
		}
		f, err := scanPath(paths[i], o)
		if err != nil {
			r.err = err
			return
		}
		defer f.release()
		r.records = f.finish()
		r.problems = f.problems
		if o.Memory != nil {
			o.Memory.Keep(paths[i], &Scanned{r.records, r.problems})
		}
	})
	var problems diag.Problems
	var failures []error
	parts := map[string][]Record{}
	var ids []string
	for _, r := range results {
		problems = append(problems, r.problems...)
		failures = append(failures, r.err)
		for _, rec := range r.records {
			if parts[rec.ID] == nil {
				ids = append(ids, rec.ID)
			}
			parts[rec.ID] = append(parts[rec.ID], rec)
		}
	}
	slices.Sort(ids)
	records := make([]Record, len(ids))
	noted := make([]diag.Problems, len(ids))
	parallel(len(ids), jobs, func(i int) {
		records[i], noted[i] = join(parts[ids[i]], o)
		noted[i] = append(noted[i], records[i].settle()...)
	})
	for _, ps := range noted {
		problems = append(problems, ps...)
	}
	return records, problems.Sort(), errors.Join(failures...)
}

// parallel calls f(0) to f(n-1), jobs at a time.
func parallel(n, jobs int, f func(int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(max(jobs, 1), n) {
		wg.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// join lays the records of one station over each other.
func join(parts []Record, o Options) (Record, diag.Problems) {
	if len(parts) == 1 {
		return parts[0], nil
	}
	for i := range parts { // what they look like together is what counts
		parts[i] = parts[i].unjudged()
	}
	slices.SortStableFunc(parts, func(a, b Record) int {
		return cmp.Or(cmp.Compare(len(b.TMin), 0)-cmp.Compare(len(a.TMin), 0),
			cmp.Compare(b.Last(), a.Last()), cmp.Compare(a.Account.Files[0], b.Account.Files[0]))
	})
	out := Record{Series: parts[0].Series, Account: newAccount()}
	first, last := day.None, day.None
	for i := range parts {
		p := &parts[i]
		out.fillFrom(&p.Series)
		out.Account.add(&p.Account)
		if len(p.TMin) == 0 {
			continue
		}
		if first == day.None || p.First < first {
			first = p.First
		}
		last = max(last, p.Last())
	}
	if first == day.None {
		return out, nil
	}
	n := int(last-first) + 1
	var joined [nElements][]quantity.Tenths
	var owner [nElements][]int32
	for e := range joined {
		joined[e] = make([]quantity.Tenths, n)
		owner[e] = make([]int32, n)
		for i := range joined[e] {
			joined[e][i] = quantity.Missing
		}
	}
	find := finder{parts: parts, options: o, files: map[int]*scanner{}}
	var tally tallyByFile
	for k := range parts {
		s := &parts[k].Series
		offset := int(s.First - first)
		for e, values := range [nElements][]quantity.Tenths{s.TMin, s.TMax, s.Precip} {
			for i, v := range values {
				switch at := offset + i; {
				case v == quantity.Missing:
				case joined[e][at] == quantity.Missing:
					joined[e][at], owner[e][at] = v, int32(k)
				case joined[e][at] != v:
					tally.add(find.place(k, element(e), first+day.Date(at)), element(e), first+day.Date(at), overruled)
				}
			}
		}
	}
	for i := range n {
		lo, hi := joined[tmin][i], joined[tmax][i]
		if lo == quantity.Missing || hi == quantity.Missing || lo <= hi {
			continue
		}
		for _, e := range []element{tmin, tmax} {
			d := first + day.Date(i)
			tally.add(find.place(int(owner[e][i]), e, d), e, d, crossed)
			joined[e][i] = quantity.Missing
		}
		out.crossed = append(out.crossed, first+day.Date(i))
	}
	out.First, out.TMin, out.TMax, out.Precip = first, joined[tmin], joined[tmax], joined[precip]
	out.trim()
	noted := tally.close(&out)
	if !o.Unchecked {
		for i := range parts {
			out.crossed = append(out.crossed, parts[i].crossed...)
		}
		slices.Sort(out.crossed)
		out.crossed = slices.Compact(out.crossed)
		out.judge(func(e element, d day.Date) diag.Place {
			k := 0
			if i := int(d - first); i >= 0 && i < n {
				k = int(owner[e][i])
			}
			for part := range parts { // a day out of order was left out before the files were joined
				if slices.Contains(parts[part].crossed, d) {
					k = part
				}
			}
			return find.place(k, e, d)
		})
	}
	for _, s := range find.files {
		if s != nil {
			s.release()
		}
	}
	return out, noted
}

// trim drops days without any value from both ends.
func (s *Series) trim() {
	empty := func(i int) bool {
		return s.TMin[i] == quantity.Missing && s.TMax[i] == quantity.Missing && s.Precip[i] == quantity.Missing
	}
	a, b := 0, len(s.TMin)
	for a < b && empty(b-1) {
		b--
	}
	for a < b && empty(a) {
		a++
	}
	s.TMin, s.TMax, s.Precip = s.TMin[a:b], s.TMax[a:b], s.Precip[a:b]
	if s.First += day.Date(a); a == b {
		s.First = 0
	}
}

// fillFrom takes over what o says of the station where s is silent.
func (s *Series) fillFrom(o *Series) {
	if s.Name == "" {
		s.Name = o.Name
	}
	for _, p := range []struct{ to, from *float64 }{
		{&s.Latitude, &o.Latitude}, {&s.Longitude, &o.Longitude}, {&s.ElevationM, &o.ElevationM},
	} {
		if *p.to != *p.to { // NaN
			*p.to = *p.from
		}
	}
}

func newAccount() Account {
	return Account{SetAsideCounts: map[string]int{}, UsedCounts: map[string]int{}}
}

// add moves the account of another file of the station into a.
func (a *Account) add(b *Account) {
	a.Files = sortedUnion(a.Files, b.Files)
	a.Dialects = sortedUnion(a.Dialects, b.Dialects)
	a.Rows += b.Rows
	for r, n := range b.SetAsideCounts {
		a.SetAsideCounts[r] += n
	}
	for r, n := range b.UsedCounts {
		a.UsedCounts[r] += n
	}
	a.list(b.SetAside)
}

// list adds to what is listed, in order of place, and keeps to MaxListed.
func (a *Account) list(more []SetAside) {
	a.SetAside = append(slices.Clone(a.SetAside), more...)
	slices.SortStableFunc(a.SetAside, comparePlaces)
	a.SetAside = a.SetAside[:min(len(a.SetAside), MaxListed)]
}

func sortedUnion(a, b []string) []string {
	u := append(slices.Clone(a), b...)
	slices.Sort(u)
	return slices.Compact(u)
}

// tallyByFile counts what the joining itself sets aside; places are in several
// files, so that it cannot be a tally of one.
type tallyByFile struct {
	counts [nReasons]int
	list   []SetAside
}

func (t *tallyByFile) add(at diag.Place, e element, d day.Date, why reason) {
	if t.counts[why]++; len(t.list) < MaxListed {
		t.list = append(t.list, SetAside{Place: at, Element: elementNames[e], Date: d, Reason: reasons[why].phrase})
	}
}

// close enters the tally into the record's account and returns a note or
// warning per reason, at its first place.
func (t *tallyByFile) close(out *Record) diag.Problems {
	var ps diag.Problems
	out.Account.list(t.list)
	slices.SortStableFunc(t.list, comparePlaces)
	for why, n := range t.counts {
		if n == 0 {
			continue
		}
		phrase := reasons[why].phrase
		out.Account.SetAsideCounts[phrase] += n
		at := diag.Place{File: out.Account.Files[0]}
		if i := slices.IndexFunc(t.list, func(s SetAside) bool { return s.Reason == phrase }); i >= 0 {
			at = t.list[i].Place
		}
		ps = append(ps, reasonProblem(at, out.ID, reason(why), int64(n)))
	}
	return ps
}

// finder tells where a value stands. Places are not kept after reading, so the
// few files that disagree are read once more.
type finder struct {
	parts   []Record
	options Options
	files   map[int]*scanner
}

func (f *finder) place(part int, e element, d day.Date) diag.Place {
	path := f.parts[part].Account.Files[0]
	s, seen := f.files[part]
	if !seen {
		if s, _ = scanPath(path, f.options); s != nil {
			s.releaseBuffer()
		}
		f.files[part] = s
	}
	if s != nil {
		if b := s.stations[f.parts[part].ID]; b != nil {
			if c := b.peek(d); c != nil {
				at := c.spot(e)
				return diag.Place{File: path, Line: at.line, Column: at.column}
			}
		}
	}
	return diag.Place{File: path}
}
