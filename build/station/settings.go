package station

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"ripeward/build/diag"
	"ripeward/build/shallow"
)

// Settings is what a file NAME.toml beside a station file says of it. NAME is
// the whole name of the file (hill.csv.gz.toml) or that name without its last
// endings .gz, .csv, .txt and .dly (hill.csv.toml, hill.toml); the longest that
// is there is read.
//
//	station_id = "1018935"     # of a file whose rows carry none, or to replace the one they carry
//	separator = ";"            # or "tab"; told by content if left out
//	units = "metric"           # or "us": both units below at once; settles an NCEI order
//	temperature_unit = "c"     # or "f", "tenths" (of °C)
//	precip_unit = "mm"         # or "in", "tenths" (of mm)
//	missing = ["NA", "-"]      # besides an empty cell and the usual marks
//	trace = ["T"]              # an amount of rain, or a flag beside one, that stands for 0
//	refuse_flags = ["A", "F"]  # a value whose flag holds one of these is not used
//	date_form = "day-month-year"    # or "year-month-day", "month-day-year"; ISO 8601 if left out; for the plain form too
//	stations = ["XX000000001"] # of a file with many, the only ones to read
//
//	[columns]                  # needed only where the file is of no known dialect
//	date = "when"              # or year and day_of_year, or year, month and day
//	station = "id"
//	tmin = "low"               # any of the three elements, each with its flag column
//	tmin_flags = "low flag"
//	tmax = "high"
//	precip = "rain"
type Settings struct {
	file                             string
	stationID, units                 string
	separator                        byte
	unit                             [nElements]unit
	missing, trace, refuse, stations []string
	dates                            dateForm
	columns                          map[role]setColumn
}

// setColumn is a column that the settings name, and where they do.
type setColumn struct {
	key, name string
	at        diag.Place
}

func (s *Settings) missingMark(b []byte) bool { return s != nil && holds(s.missing, b) }
func (s *Settings) traceMark(b []byte) bool   { return s != nil && holds(s.trace, b) }

func holds(marks []string, b []byte) bool {
	for _, m := range marks {
		if string(b) == m {
			return true
		}
	}
	return false
}

var columnKeys = map[string]role{
	"station": roleStation, "date": roleDate, "year": roleYear, "month": roleMonth, "day": roleDayOfMonth, "day_of_year": roleDayOfYear,
	"tmin": roleValue + role(tmin), "tmax": roleValue + role(tmax), "precip": roleValue + role(precip),
	"tmin_flags": roleFlag + role(tmin), "tmax_flags": roleFlag + role(tmax), "precip_flags": roleFlag + role(precip),
}

var settingKeys = []string{"station_id", "separator", "units", "temperature_unit", "precip_unit", "missing", "trace",
	"refuse_flags", "date_form", "stations", "columns"}

var (
	temperatureUnits = map[string]unit{"c": wholeUnits, "f": fahrenheit, "tenths": wholeTenths}
	precipUnits      = map[string]unit{"mm": wholeUnits, "in": inches, "tenths": wholeTenths}
	dateForms        = map[string]dateForm{"year-month-day": datesYearFirst, "day-month-year": datesDayFirst, "month-day-year": datesMonthFirst}
)

// Beside lists the names that the settings of a station file may have, nearest
// to its own first.
func Beside(path string) []string {
	names := []string{path + ".toml"}
	for {
		ext := filepath.Ext(path)
		switch strings.ToLower(ext) {
		case ".csv", ".gz", ".txt", ".dly":
			path = strings.TrimSuffix(path, ext)
			names = append(names, path+".toml")
			continue
		}
		return names
	}
}

// settingsBeside reads the settings beside a file; nil if there are none. The
// error is for I/O.
func settingsBeside(path string) (*Settings, diag.Problems, error) {
	var found *Settings
	var problems diag.Problems
	for _, name := range Beside(path) {
		text, refused, err := settingsText(name)
		switch {
		case refused != nil:
			return nil, diag.Problems{*refused}, nil
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return nil, nil, err
		case found != nil:
			problems = append(problems, diag.Problem{Place: diag.Place{File: name, Line: 1}, Severity: diag.Warning,
				Message: fmt.Sprintf("not read: %s stands nearer to %s", filepath.Base(found.file), filepath.Base(path)), Hint: "keep one of the two"})
		default:
			found, problems = ReadSettings(name, text)
		}
	}
	return found, problems, nil
}

// settingsText reads the text of a settings file of a fit kind and size.
func settingsText(name string) ([]byte, *diag.Problem, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, nil, err
	}
	message := ""
	if !info.Mode().IsRegular() {
		message = "not a regular file"
	} else if info.Size() > shallow.MaxBytes {
		message = fmt.Sprintf("file of %d bytes; the limit is %d", info.Size(), shallow.MaxBytes)
	}
	if message != "" {
		return nil, &diag.Problem{Place: diag.Place{File: name, Line: 1}, Severity: diag.Error, Message: message, Hint: "settings of a station file are short"}, nil
	}
	text, err := os.ReadFile(name)
	return text, nil, err
}

// ReadSettings reads the text of a NAME.toml; name stands in messages. What is
// unknown in it is a warning, what is wrong an error.
func ReadSettings(name string, text []byte) (*Settings, diag.Problems) {
	r := &settingsReader{text: strings.TrimPrefix(string(text), "\ufeff"),
		s: &Settings{file: name, unit: [nElements]unit{wholeUnits, wholeUnits, wholeUnits}, columns: map[role]setColumn{}}}
	if at := firstBadByte([]byte(r.text)); !utf8.ValidString(r.text) {
		r.fail(r.place(at), "not UTF-8", "save the file as UTF-8")
		return r.s, r.problems
	}
	if at, message := shallow.Check(r.text); message != "" {
		r.fail(r.place(at), message, "settings are short lines, one level deep")
		return r.s, r.problems
	}
	values := map[string]toml.Primitive{}
	md, err := toml.Decode(r.text, &values)
	if err != nil {
		at, message := diag.Place{File: name, Line: 1}, strings.TrimPrefix(err.Error(), "toml: ")
		var pe toml.ParseError
		if errors.As(err, &pe) && pe.Message != "" {
			at = r.place(pe.Position.Start)
			message = strings.ToLower(pe.Message[:1]) + strings.TrimSuffix(pe.Message[1:], ".")
		}
		r.fail(at, message, `texts stand in quotation marks: station_id = "1018935"`)
		return r.s, r.problems
	}
	r.md = md
	r.read(values)
	return r.s, r.problems
}

type settingsReader struct {
	text     string
	md       toml.MetaData
	problems diag.Problems
	s        *Settings
}

func (r *settingsReader) place(offset int) diag.Place {
	head := r.text[:min(max(offset, 0), len(r.text))]
	return diag.Place{File: r.s.file, Line: strings.Count(head, "\n") + 1, Column: len(head) - strings.LastIndexByte(head, '\n')}
}

func (r *settingsReader) fail(at diag.Place, message, hint string) {
	r.problems = append(r.problems, diag.Problem{Place: at, Severity: diag.Error, Message: message, Hint: hint})
}

// locator makes the TOML package tell where a value stands: the error of an
// Unmarshaler carries the position, which is not to be had otherwise.
type locator struct{}

func (*locator) UnmarshalTOML(any) error { return errors.New("here") }

// lineOf returns the place where the line that holds a value begins.
func (r *settingsReader) lineOf(v toml.Primitive) diag.Place {
	var pe toml.ParseError
	if !errors.As(r.md.PrimitiveDecode(v, &locator{}), &pe) {
		return diag.Place{File: r.s.file, Line: 1}
	}
	at := r.place(pe.Position.Start)
	line := strings.Split(r.text, "\n")[at.Line-1]
	at.Column = len(line) - len(strings.TrimLeft(line, " \t")) + 1
	return at
}

func (r *settingsReader) unknown(v toml.Primitive, what, key string, known []string) {
	hint := "known: " + strings.Join(known, ", ")
	if near := diag.Nearest(key, known); near != "" {
		hint = fmt.Sprintf("did you mean %s?", near)
	}
	r.problems = append(r.problems, diag.Problem{Place: r.lineOf(v), Severity: diag.Warning, Message: fmt.Sprintf("unknown %s %q is not read", what, key), Hint: hint})
}

func (r *settingsReader) read(values map[string]toml.Primitive) {
	s := r.s
	for _, key := range slices.Sorted(maps.Keys(values)) {
		v := values[key]
		switch key {
		case "station_id":
			s.stationID = strings.TrimSpace(r.word(v, key))
		case "separator":
			s.separator = r.oneByte(v, key)
		case "units", "temperature_unit", "precip_unit":
		case "missing":
			s.missing = r.words(v, key)
		case "trace":
			s.trace = r.words(v, key)
		case "refuse_flags":
			s.refuse = r.words(v, key)
		case "stations":
			s.stations = r.words(v, key)
		case "date_form":
			s.dates = choose(r, v, key, dateForms)
		case "columns":
			r.columns(v)
		default:
			known := settingKeys
			if _, column := columnKeys[key]; column {
				r.fail(r.lineOf(v), fmt.Sprintf("%q names a column and stands outside [columns]", key), "put it below a line [columns]")
				continue
			}
			r.unknown(v, "setting", key, known)
		}
	}
	if _, set := values["columns"]; !set {
		for _, key := range []string{"temperature_unit", "precip_unit", "refuse_flags"} {
			if v, set := values[key]; set {
				r.problems = append(r.problems, diag.Problem{Place: r.lineOf(v), Severity: diag.Warning,
					Message: key + " has no effect: it says what the columns below [columns] hold", Hint: "name the columns, or leave it out"})
			}
		}
	}
	if v, set := values["units"]; set {
		s.units = r.word(v, "units")
		switch s.units {
		case "metric":
		case "us":
			s.unit = [nElements]unit{fahrenheit, fahrenheit, inches}
		default:
			r.fail(r.lineOf(v), fmt.Sprintf("units %q is neither metric nor us", s.units), "for one element alone use temperature_unit or precip_unit")
			s.units = ""
		}
	}
	if v, set := values["temperature_unit"]; set {
		s.unit[tmin] = choose(r, v, "temperature_unit", temperatureUnits)
		s.unit[tmax] = s.unit[tmin]
	}
	if v, set := values["precip_unit"]; set {
		s.unit[precip] = choose(r, v, "precip_unit", precipUnits)
	}
}

func (r *settingsReader) word(v toml.Primitive, key string) string {
	var w string
	if r.md.PrimitiveDecode(v, &w) != nil {
		r.fail(r.lineOf(v), key+" is not a text", fmt.Sprintf("write %s = \"...\"", key))
	}
	return w
}

// words reads a list of texts, or one text.
func (r *settingsReader) words(v toml.Primitive, key string) []string {
	var ws []string
	if r.md.PrimitiveDecode(v, &ws) == nil {
		return ws
	}
	var w string
	if r.md.PrimitiveDecode(v, &w) == nil {
		return []string{w}
	}
	r.fail(r.lineOf(v), key+" is not a list of texts", fmt.Sprintf("write %s = [\"...\"]", key))
	return nil
}

func (r *settingsReader) oneByte(v toml.Primitive, key string) byte {
	w := r.word(v, key)
	switch {
	case w == "tab" || w == "\t":
		return '\t'
	case len(w) == 1 && strings.Contains(",;|: ", w):
		return w[0]
	}
	r.fail(r.lineOf(v), fmt.Sprintf("%s %q cannot stand between cells", key, w), `one of "," ";" "|" ":" " " or "tab"`)
	return 0
}

func choose[T any](r *settingsReader, v toml.Primitive, key string, from map[string]T) T {
	w := r.word(v, key)
	x, ok := from[w]
	if !ok {
		known := slices.Sorted(maps.Keys(from))
		r.fail(r.lineOf(v), fmt.Sprintf("%s %q is not one of %s", key, w, strings.Join(known, ", ")), "")
	}
	return x
}

func (r *settingsReader) columns(v toml.Primitive) {
	values := map[string]toml.Primitive{}
	if r.md.Type("columns") != "Hash" || r.md.PrimitiveDecode(v, &values) != nil {
		r.fail(r.lineOf(v), "columns is not a table", "write a line [columns] and below it lines like date = \"day\"")
		return
	}
	for _, key := range slices.Sorted(maps.Keys(values)) {
		v := values[key]
		as, ok := columnKeys[key]
		if !ok {
			r.unknown(v, "column", key, slices.Sorted(maps.Keys(columnKeys)))
			continue
		}
		if name := r.word(v, key); fold(name) != "" {
			r.s.columns[as] = setColumn{key, name, r.lineOf(v)}
		}
	}
}

// mappedProblem is a problem with the settings rather than with the file.
func mappedProblem(at diag.Place, hint, format string, args ...any) *diag.Problem {
	return &diag.Problem{Place: at, Severity: diag.Error, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// recogniseMapped is the reader of files whose columns the settings name.
func recogniseMapped(h *head, o Options) (func(*scanner), *diag.Problem) {
	s := o.Settings
	if s == nil || len(s.columns) == 0 {
		return nil, nil
	}
	f := form{sep: h.sep, units: s.unit, comma: h.sep != ',', latin1: h.latin1, dates: s.dates}
	has := func(r role) bool { _, ok := s.columns[r]; return ok }
	var days diag.Place
	for _, r := range []role{roleDate, roleYear} {
		if has(r) {
			days = s.columns[r].at
		}
	}
	switch {
	case has(roleDate) && (has(roleYear) || has(roleMonth) || has(roleDayOfMonth) || has(roleDayOfYear)):
		return nil, mappedProblem(days, "keep the one or the other", "both a date and parts of one are named as columns")
	case has(roleDate):
	case has(roleYear) && has(roleDayOfYear) && !has(roleMonth) && !has(roleDayOfMonth):
		f.dates = datesDayOfYear
	case has(roleYear) && has(roleMonth) && has(roleDayOfMonth) && !has(roleDayOfYear):
		f.dates = datesYearMonthDay
	default:
		return nil, mappedProblem(diag.Place{File: s.file, Line: 1}, "name date, or year and day_of_year, or year, month and day, below [columns]", "no columns named that make up a date")
	}
	if !has(roleValue+role(tmin)) && !has(roleValue+role(tmax)) && !has(roleValue+role(precip)) {
		return nil, mappedProblem(diag.Place{File: s.file, Line: 1}, "name tmin, tmax or precip below [columns]", "no column named that holds an element")
	}
	var written []string
	for _, c := range h.columns {
		written = append(written, c.written)
	}
	f.roles = make([]role, len(h.columns))
	for _, r := range slices.Sorted(maps.Keys(s.columns)) {
		set := s.columns[r]
		i := slices.IndexFunc(h.columns, func(c column) bool { return c.name == fold(set.name) })
		if i < 0 {
			hint := "the columns are " + strings.Join(written, ", ")
			if near := diag.Nearest(set.name, written); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			return nil, mappedProblem(set.at, hint, "column %q is not in the file", set.name)
		}
		if f.roles[i] != roleSkip {
			return nil, mappedProblem(set.at, "name each column once", "column %q is named twice", set.name)
		}
		f.roles[i] = r
	}
	f.flag = s.flag
	if !has(roleStation) {
		f.id = baseID(o)
	}
	return func(sc *scanner) { newTable(sc, f).read(h) }, nil
}

// flag reads a flag cell by the marks of the settings.
func (s *Settings) flag(e element, b []byte) (why reason, note remark, sourced bool) {
	b = trim(b)
	if e == precip && s.traceMark(b) {
		note = trace
	}
	for _, m := range s.refuse {
		if m != "" && strings.Contains(string(b), m) {
			why = refused
		}
	}
	if note == plainValue && len(b) > 0 && why == none {
		note = measurementFlag
	}
	return why, note, false
}
