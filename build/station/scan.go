package station

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"ripeward/build/day"
	"ripeward/build/diag"
)

// scanner reads one file into a builder per station.
type scanner struct {
	*source
	options  Options
	dialect  *dialect
	problems diag.Problems
	stations map[string]*builder
	cur      *builder
	early    tally // what was set aside before any station was named
	latin1   bool
	badText  bool  // a row that is not UTF-8 was seen
	passed   int64 // rows of stations that the settings do not ask for
}

// scanPath scans a file with what NAME.toml beside it says.
func scanPath(path string, o Options) (*scanner, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	o.Name = path
	var problems diag.Problems
	if o.Settings == nil {
		if o.Settings, problems, err = settingsBeside(path); err != nil {
			return nil, err
		}
		if problems.Count(diag.Error) > 0 {
			return &scanner{source: &source{name: path}, options: o, problems: problems}, nil
		}
	}
	s, err := scan(f, o)
	if err == nil {
		s.problems = append(problems, s.problems...)
	}
	return s, err
}

// scan tells the dialect and reads all rows. The error is for I/O.
func scan(r io.Reader, o Options) (*scanner, error) {
	if set := o.Settings; set != nil {
		o.StationID = cmp.Or(o.StationID, set.stationID)
		o.Units = cmp.Or(o.Units, set.units)
	}
	s := &scanner{source: open(o.Name, r), options: o, stations: map[string]*builder{}}
	if s.err == nil && s.damage == nil || s.end > s.start {
		s.recognise()
	}
	if s.err != nil {
		return nil, fmt.Errorf("%s: %w", o.Name, s.err)
	}
	if s.damage != nil {
		s.problems = append(s.problems, *s.damage)
	}
	s.rename()
	return s, nil
}

// rename gives the station of the file the id that was asked for, where the
// rows carry one of their own.
func (s *scanner) rename() {
	id := s.options.StationID
	if id == "" || len(s.stations) == 0 || s.stations[id] != nil {
		return
	}
	if len(s.stations) > 1 {
		s.problem(diag.Error, 1, 0, fmt.Sprintf("station_id %q is set for a file of %d stations; their own ids are kept", id, len(s.stations)), "leave station_id out, or split the file by station")
		return
	}
	for old, b := range s.stations {
		delete(s.stations, old)
		b.id = id
		s.stations[id] = b
	}
}

// recognise tells the dialect by the first lines and hands over to its reader.
func (s *scanner) recognise() {
	sep := byte(0)
	if s.options.Settings != nil {
		sep = s.options.Settings.separator
	}
	h := look(s.source, sep)
	if len(h.lines) == 0 {
		if s.damage == nil {
			s.problem(diag.Error, 1, 0, "the file is empty", "fetch it again, or delete it")
		}
		return
	}
	for i := range dialects {
		d := &dialects[i]
		read, problem := d.recognise(h, s.options)
		if problem != nil {
			if problem.Severity = diag.Error; problem.Place.File == "" {
				problem.Place.File = s.name
			}
			s.problems = append(s.problems, *problem)
			return
		}
		if read == nil {
			continue
		}
		s.dialect = d
		read(s)
		switch {
		case s.total() > 0 || s.damage != nil || s.err != nil:
		case s.passed > 0:
			s.problem(diag.Error, max(s.line, 1), 0, "no rows of the stations that the settings ask for", "correct stations in the .toml file beside it")
		default:
			s.problem(diag.Error, max(s.line, 1), 0, "no rows after the header, so no data", "fetch it again, or delete it")
		}
		return
	}
	first := h.lines[0]
	s.problem(diag.Error, first.number, 0,
		fmt.Sprintf("not a daily station file of a known dialect; the first line is %q", shorten(first.text)), strangerHint(s.name, first.text))
}

// strangerHint says what to try with a file of no known dialect.
func strangerHint(name string, first []byte) string {
	if bytes.HasPrefix(trim(first), []byte("<")) {
		return "this is a web page: the download went wrong, fetch the file again"
	}
	beside := Beside(filepath.Base(name))
	return "name its columns date,tmin_c,tmax_c,precip_mm, or say below [columns] of " + beside[len(beside)-1] + " beside it which is which; " + knownDialects()
}

func (s *scanner) problem(severity diag.Severity, line, column int, message, hint string) {
	s.problems = append(s.problems, diag.Problem{
		Place: diag.Place{File: s.name, Line: line, Column: column}, Severity: severity, Message: message, Hint: hint,
	})
}

// total is how many rows were seen.
func (s *scanner) total() int64 {
	n := s.early.rows
	for _, b := range s.stations {
		n += b.rows
	}
	return n
}

// readable checks a line for what no dialect can read; a line that fails is
// set aside.
func (s *scanner) readable(line []byte) bool {
	if s.tooLong {
		s.rowAside(day.None, lineTooLong, maxLine+1)
		return false
	}
	if !ascii(line) && !s.latin1 && !utf8.Valid(line) {
		at := firstBadByte(line)
		if !s.badText {
			s.badText = true
			s.problem(diag.Warning, s.line, at+1, fmt.Sprintf("not UTF-8: the first bad byte is 0x%02x; rows like it are set aside", line[at]), reasons[notUTF8].hint)
		}
		s.rowAside(day.None, notUTF8, at+1)
		return false
	}
	return true
}

// ascii is a quick look that spares most lines utf8.Valid.
func ascii(b []byte) bool {
	var all uint64
	for ; len(b) >= 32; b = b[32:] {
		all |= binary.LittleEndian.Uint64(b) | binary.LittleEndian.Uint64(b[8:]) |
			binary.LittleEndian.Uint64(b[16:]) | binary.LittleEndian.Uint64(b[24:])
	}
	for ; len(b) >= 8; b = b[8:] {
		all |= binary.LittleEndian.Uint64(b)
	}
	for _, c := range b {
		all |= uint64(c)
	}
	return all&topBits == 0
}

func firstBadByte(b []byte) int {
	for i := 0; i < len(b); {
		r, n := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return 0
}

// station makes id the current one. Rows of a station more than maxStations
// are set aside.
func (s *scanner) station(id []byte) (*builder, reason) {
	id = trim(id)
	if s.cur != nil && string(id) == s.cur.id {
		return s.cur, none
	}
	b := s.stations[string(id)]
	if b == nil {
		if len(id) == 0 {
			return nil, noStation
		}
		if set := s.options.Settings; set != nil && len(set.stations) > 0 && !slices.Contains(set.stations, string(id)) {
			return nil, notAskedFor
		}
		if len(s.stations) >= maxStations {
			return nil, tooManyStations
		}
		b = newBuilder(s.text(id))
		b.firstLine = s.line
		s.stations[string(id)] = b
	}
	s.cur = b
	return b, none
}

// text turns the bytes of a name into a string.
func (s *scanner) text(b []byte) string {
	if !s.latin1 || utf8.Valid(b) {
		return strings.ToValidUTF8(string(b), "\uFFFD")
	}
	rs := make([]rune, len(b))
	for i, c := range b {
		rs[i] = rune(c)
	}
	return string(rs)
}

// rowAside sets a whole row aside, under the station of the row before it
// where its own is not known.
func (s *scanner) rowAside(d day.Date, why reason, column int) {
	if why == notAskedFor {
		s.passed++
		return
	}
	t := &s.early
	if s.cur != nil {
		t = &s.cur.tally
	}
	t.rows++
	t.setAside(s.name, wholeRow, d, why, spot{s.line, column})
}

// finish closes the file: one record per station in order of id, and one note
// per reason and station in the problems.
func (s *scanner) finish() []Record {
	var all []*builder
	for _, b := range s.stations {
		all = append(all, b)
	}
	slices.SortFunc(all, func(a, b *builder) int { return cmp.Compare(a.id, b.id) })
	if len(all) > 0 {
		first := slices.MinFunc(all, func(a, b *builder) int { return cmp.Compare(a.firstLine, b.firstLine) })
		first.add(&s.early)
	} else {
		s.report("", &s.early)
	}
	var recs []Record
	for _, b := range all {
		rec := Record{Series: b.series(s.name)}
		rec.Account = b.account(s.name, s.dialect.Name)
		if b.rows == 0 {
			continue
		}
		if len(rec.TMin) == 0 {
			s.problem(diag.Warning, max(b.firstLine, 1), 0, fmt.Sprintf("station %s has rows and not one value that can be used", b.id), "look at the reasons below it")
		}
		s.report(b.id, &b.tally)
		rec.crossed = b.crossed
		if !s.options.Unchecked {
			rec.judge(func(e element, d day.Date) diag.Place {
				at := diag.Place{File: s.name}
				if c := b.peek(d); c != nil {
					p := c.spot(e)
					at.Line, at.Column = p.line, p.column
				}
				return at
			})
		}
		recs = append(recs, rec)
	}
	return recs
}

// report notes what was set aside, once per reason, at its first place.
func (s *scanner) report(id string, t *tally) {
	for why, n := range t.aside {
		if n == 0 {
			continue
		}
		at := diag.Place{File: s.name, Line: t.first[why].line, Column: t.first[why].column}
		s.problems = append(s.problems, reasonProblem(at, id, reason(why), n))
	}
}

// reasonProblem says how often something was set aside, at its first place.
func reasonProblem(at diag.Place, id string, why reason, n int64) diag.Problem {
	r, severity := reasons[why], diag.Warning
	if r.routine {
		severity = diag.Note
	}
	what := "value"
	if why <= dateRange {
		what = "row"
	}
	if n != 1 {
		what += "s"
	}
	if id != "" {
		what += " of station " + id
	}
	message := fmt.Sprintf("%d %s set aside: %s", n, what, r.phrase)
	if n > 1 {
		message += " (the first of them here)"
	}
	return diag.Problem{Place: at, Severity: severity, Message: message, Hint: r.hint}
}

// baseID is the station id that a file name stands for.
func baseID(o Options) string {
	if o.StationID != "" {
		return o.StationID
	}
	id := filepath.Base(o.Name)
	for {
		ext := filepath.Ext(id)
		switch strings.ToLower(ext) {
		case ".csv", ".gz", ".txt":
			id = strings.TrimSuffix(id, ext)
			continue
		}
		return id
	}
}

func shorten(b []byte) string {
	const most = 60
	if len(b) > most {
		return strings.ToValidUTF8(string(b[:most]), "?") + "…"
	}
	return strings.ToValidUTF8(string(b), "?")
}
