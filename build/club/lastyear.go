package club

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ripeward/build/calendar"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// LastYearFile is the baseline's place in a club's folder.
const LastYearFile = "data/last-year.json"

// LastYear is what a club told its readers when it last closed a year: the
// baseline that says what has changed since. It is written by "publish
// --close-year" and kept by the club like any table. Each part of it is a key
// of its own, and keys that are not known are skipped, so that a file of a
// newer program can still be read.
type LastYear struct {
	PlanYear   int      // the year that the dates are for
	DataCutOff day.Date // last day with data then
	// Calendar has each event of the calendars by its UID.
	Calendar map[string]calendar.Published
	// Told is what pages said; nil in a file of a program that kept none.
	Told *Told
	// Before is what pages said when the year before was closed: until there is
	// another plan year, it is what this year's almanac is compared with.
	Before *YearTold
}

// YearTold is what pages said of a plan year, from data to a day.
type YearTold struct {
	PlanYear   int
	DataCutOff day.Date
	Told       *Told
}

// Baseline is what an almanac for planYear is compared with; nil where nothing
// is known.
func (y *LastYear) Baseline(planYear int) *YearTold {
	switch {
	case y == nil || y.Told == nil:
		return nil
	case y.PlanYear >= planYear && y.Before != nil:
		return y.Before
	}
	return &YearTold{y.PlanYear, y.DataCutOff, y.Told}
}

// lastYearJSON is the form of the file; keys stand in this order.
type lastYearJSON struct {
	PlanYear   int                           `json:"plan_year"`
	DataCutOff string                        `json:"data_cut_off"`
	Calendar   map[string]calendar.Published `json:"calendar"`
	Told       *Told                         `json:"told,omitempty"`
	Before     *yearToldJSON                 `json:"before,omitempty"`
}

type yearToldJSON struct {
	PlanYear   int    `json:"plan_year"`
	DataCutOff string `json:"data_cut_off"`
	Told       *Told  `json:"told"`
}

// Encode returns the file's text: events by UID, one value a line, so that a
// version control system shows what moved.
func (y LastYear) Encode() ([]byte, error) {
	events := y.Calendar
	if events == nil {
		events = map[string]calendar.Published{}
	}
	out := lastYearJSON{y.PlanYear, y.DataCutOff.String(), events, y.Told, nil}
	if b := y.Before; b != nil {
		out.Before = &yearToldJSON{b.PlanYear, b.DataCutOff.String(), b.Told}
	}
	b, err := json.MarshalIndent(out, "", "  ")
	return append(b, '\n'), err
}

// Write replaces the baseline in club folder dir in one step: whoever looks
// finds the old file or the new one, whole.
func (y LastYear) Write(dir string) error {
	b, err := y.Encode()
	if err != nil {
		return err
	}
	target := filepath.Join(dir, filepath.FromSlash(LastYearFile))
	if info, err := os.Stat(target); err == nil && !info.Mode().IsRegular() {
		return problem(LastYearFile, "not a regular file", "move it away")
	}
	f, err := os.CreateTemp(filepath.Dir(target), ".last-year-*.json")
	if err != nil {
		return cannotClose(err)
	}
	_, err = f.Write(b)
	err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), target)
	}
	if err != nil {
		os.Remove(f.Name())
		return cannotClose(err)
	}
	return nil
}

func cannotClose(err error) error {
	return problem(LastYearFile, fmt.Sprintf("cannot be written: %v", err), "make the club's data folder writable and publish again with --close-year")
}

// lastYear reads the baseline, if there is one.
func (l *loader) lastYear() error {
	b, there, err := l.read(LastYearFile)
	if err != nil || !there || b == nil {
		return err
	}
	y, p := readLastYear(b)
	if p != nil {
		l.problems = append(l.problems, *p)
		return nil
	}
	l.club.LastYear = y
	return nil
}

// lastYearReader walks the file by its tokens, which is how the place of a
// wrong value is known.
type lastYearReader struct {
	src []byte
	dec *json.Decoder
	at  int64 // where the value being read begins
}

// readLastYear reads the text of the baseline; the problem, if any, says where
// it stops being one.
func readLastYear(src []byte) (*LastYear, *diag.Problem) {
	src = bytes.TrimPrefix(src, []byte("\uFEFF"))
	r := &lastYearReader{src: src, dec: json.NewDecoder(bytes.NewReader(src))}
	y := &LastYear{}
	err := r.object(func(key string) error {
		switch key {
		case "plan_year":
			return r.planYear(y)
		case "data_cut_off":
			return r.cutOff(y)
		case "calendar":
			y.Calendar = map[string]calendar.Published{}
			return r.object(func(uid string) error {
				var p calendar.Published
				if err := r.value(&p); err != nil {
					return err
				}
				y.Calendar[uid] = p
				return nil
			})
		case "told":
			return r.value(&y.Told)
		case "before":
			before := &LastYear{}
			err := r.object(func(key string) error {
				switch key {
				case "plan_year":
					return r.planYear(before)
				case "data_cut_off":
					return r.cutOff(before)
				case "told":
					return r.value(&before.Told)
				}
				return r.skip()
			})
			if before.Told != nil {
				y.Before = &YearTold{before.PlanYear, before.DataCutOff, before.Told}
			}
			return err
		}
		return r.skip()
	})
	if err == nil {
		r.at = r.dec.InputOffset()
		if rest := bytes.TrimSpace(src[r.at:]); len(rest) > 0 {
			err = errors.New("there is more behind the end of the object")
		}
	}
	if err != nil {
		p := r.problem(err)
		return nil, &p
	}
	return y, nil
}

func (r *lastYearReader) planYear(y *LastYear) error {
	if err := r.value(&y.PlanYear); err != nil {
		return err
	}
	if y.PlanYear < firstYear || y.PlanYear > lastYear {
		return fmt.Errorf("plan_year: %d is outside %d to %d", y.PlanYear, firstYear, lastYear)
	}
	return nil
}

func (r *lastYearReader) cutOff(y *LastYear) error {
	var text string
	if err := r.value(&text); err != nil {
		return err
	}
	d, err := day.Parse(text)
	if err != nil {
		return fmt.Errorf("data_cut_off: %w", err)
	}
	y.DataCutOff = d
	return nil
}

// object reads an object and has each read the value of every key.
func (r *lastYearReader) object(each func(key string) error) error {
	r.mark()
	t, err := r.dec.Token()
	if err != nil {
		return err
	}
	if t != json.Delim('{') {
		return fmt.Errorf("there is no object here, but %v", t)
	}
	for r.dec.More() {
		r.mark()
		t, err := r.dec.Token()
		if err != nil {
			return err
		}
		key, _ := t.(string) // inside an object the decoder lets only texts be keys
		if err := each(key); err != nil {
			return err
		}
	}
	r.mark()
	_, err = r.dec.Token()
	return err
}

// skip reads a value that is not known.
func (r *lastYearReader) skip() error {
	var skipped json.RawMessage
	return r.value(&skipped)
}

func (r *lastYearReader) value(to any) error {
	r.mark()
	return r.dec.Decode(to)
}

// mark notes where the next token begins: behind the comma or colon, if any,
// and the blanks that stand between two.
func (r *lastYearReader) mark() {
	rest := bytes.TrimLeft(r.src[r.dec.InputOffset():], blanks)
	if len(rest) > 0 && (rest[0] == ',' || rest[0] == ':') {
		rest = bytes.TrimLeft(rest[1:], blanks)
	}
	r.at = int64(len(r.src) - len(rest))
}

const blanks = " \t\r\n" // RFC 8259, section 2

func (r *lastYearReader) problem(err error) diag.Problem {
	message := strings.TrimPrefix(err.Error(), "json: ")
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) && syntax.Offset > r.at {
		r.at = syntax.Offset - 1 // it counts the byte at fault in
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		r.at, message = int64(len(r.src)), "the file ends too early"
	}
	head := r.src[:min(max(r.at, 0), int64(len(r.src)))]
	return diag.Problem{Severity: diag.Error, Message: message,
		Place: diag.Place{File: LastYearFile, Line: bytes.Count(head, []byte("\n")) + 1, Column: len(head) - bytes.LastIndexByte(head, '\n')},
		Hint:  "put back the file that ripeward publish --close-year wrote; without it every event counts as new"}
}
