package club

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"ripeward/build/diag"
	"ripeward/build/shallow"
	"ripeward/build/words"
)

// Languages are the languages a site can be in, by their BCP 47 codes.
var Languages = words.Tags()

// Values of Settings.DateOrder and Settings.HomeUnits.
const (
	dayFirst   = "day-first"
	monthFirst = "month-first"
	metric     = "metric"
	us         = "us"
)

// Defaults of settings. The lapse is the mean of the standard atmosphere (ISO
// 2533:1975, 6.5 K/km); an hour a week for plants indoors is judgement.
const (
	defaultLapse        = 6.5
	defaultHoursPerWeek = 1
)

const settingsFile = "data/club.toml"

// settingsReader reads club.toml key by key, so that every wrong key is
// reported and not just the first.
type settingsReader struct {
	src      string
	md       toml.MetaData
	values   map[string]toml.Primitive
	problems diag.Problems
	s        *Settings
}

// settingTexts are the text settings; those that may be translated are true.
var settingTexts = map[string]bool{"name": true, "tagline": true, "notice": true, "data_licence": true, "contact": true,
	"home_units": false, "site_url": false, "reference_years": false, "currency": false, "date_order": false}

var otherSettings = []string{"languages", "plan_year", "lapse_c_per_km", "energy_price_per_kwh", "hours_per_indoor_week", "keep"}

// readSettings reads the text of club.toml.
func readSettings(src []byte) (Settings, diag.Problems) {
	r := &settingsReader{src: string(bytes.TrimPrefix(src, []byte("\uFEFF"))), s: &Settings{
		Languages: []string{"en"}, HomeUnits: metric, LapseCPerKm: defaultLapse, HoursPerWeek: defaultHoursPerWeek}}
	if i := firstBadByte([]byte(r.src)); i >= 0 {
		r.fail(r.place(i), fmt.Sprintf("byte 0x%02X is not UTF-8 text", r.src[i]), "save the file as UTF-8")
		return *r.s, r.problems
	}
	if i, message := shallow.Check(r.src); message != "" {
		r.fail(r.place(i), message, "settings are short lines, one level deep")
		return *r.s, r.problems
	}
	md, err := toml.Decode(r.src, &r.values)
	if err != nil {
		at, message := diag.Place{File: settingsFile}, strings.TrimPrefix(err.Error(), "toml: ")
		var pe toml.ParseError
		if errors.As(err, &pe) && pe.Message != "" {
			at = r.place(pe.Position.Start)
			message = strings.ToLower(pe.Message[:1]) + strings.TrimSuffix(pe.Message[1:], ".")
		}
		r.fail(at, message, r.syntaxHint(at, message))
		return *r.s, r.problems
	}
	r.md = md
	r.unknown()
	r.read()
	return *r.s, r.problems
}

// syntaxHint says what to try with a line that is no setting.
func (r *settingsReader) syntaxHint(at diag.Place, message string) string {
	lines := strings.Split(r.src, "\n")
	if at.Line < 1 || at.Line > len(lines) {
		return ""
	}
	key, value, ok := strings.Cut(lines[at.Line-1], "=")
	key, value = strings.TrimSpace(key), strings.TrimSpace(value)
	switch {
	case strings.Contains(message, "already been defined"):
		return "keep one of the two lines"
	case !ok:
		return `a line is a name, an equals sign and a value: name = "Our Circle"; remarks begin with #`
	case commaNumber.MatchString(value):
		return fmt.Sprintf("write a decimal point: %s = %s", key, strings.Replace(value, ",", ".", 1))
	case strings.ContainsAny(value, "“”„«»‘’") && !strings.HasPrefix(value, `"`):
		return fmt.Sprintf("write straight quotation marks: %s = %s", key, strconv.Quote(strings.Trim(value, "“”„«»‘’ \u00a0\u202f")))
	case strings.Count(value, `"`) == 1:
		return fmt.Sprintf("a quotation mark on each side: %s = %s", key, strconv.Quote(strings.Trim(value, `"`)))
	case !strings.ContainsAny(value, "\"'[]{}"):
		return fmt.Sprintf("texts stand in quotation marks: %s = %s", key, strconv.Quote(value))
	}
	return `texts stand in quotation marks: reference_years = "1991-2020"`
}

// place turns a byte offset into a line and column.
func (r *settingsReader) place(offset int) diag.Place {
	head := r.src[:min(max(offset, 0), len(r.src))]
	return diag.Place{File: settingsFile, Line: strings.Count(head, "\n") + 1, Column: len(head) - strings.LastIndexByte(head, '\n')}
}

func (r *settingsReader) fail(at diag.Place, message, hint string) {
	r.problems = append(r.problems, diag.Problem{Place: at, Severity: diag.Error, Message: message, Hint: hint})
}

func (r *settingsReader) warn(at diag.Place, message, hint string) {
	r.problems = append(r.problems, diag.Problem{Place: at, Severity: diag.Warning, Message: message, Hint: hint})
}

// locator makes the TOML package tell where a value stands: the error of an
// Unmarshaler carries the position, which is not to be had otherwise.
type locator struct{}

func (*locator) UnmarshalTOML(any) error { return errors.New("here") }

// at returns the place of the value of key.
func (r *settingsReader) at(key string) diag.Place {
	var pe toml.ParseError
	if v, ok := r.values[key]; ok && errors.As(r.md.PrimitiveDecode(v, &locator{}), &pe) {
		// The package counts from behind the opening mark of a value.
		head := r.src[:min(max(pe.Position.Start, 0), len(r.src))]
		switch r.md.Type(key) {
		case "String":
			head = strings.TrimRight(head, `"'`)
		case "Array":
			head = strings.TrimSuffix(head, "[")
		}
		return r.place(len(head))
	}
	return diag.Place{File: settingsFile}
}

// lineOf returns the place where the line of key's value begins to be text:
// the key itself.
func (r *settingsReader) lineOf(key string) diag.Place {
	at := r.at(key)
	if at.Line == 0 {
		return at
	}
	line := strings.Split(r.src, "\n")[at.Line-1]
	at.Column = len(line) - len(strings.TrimLeft(line, " \t")) + 1
	return at
}

// mostUnknown is how many unknown settings are listed: finding the place of one
// takes a look through the file.
const mostUnknown = 50

func (r *settingsReader) unknown() {
	known := slices.Concat(slices.Sorted(maps.Keys(settingTexts)), otherSettings)
	told := 0
	for _, key := range slices.Sorted(maps.Keys(r.values)) {
		if slices.Contains(known, key) || r.translated(key) != "" {
			continue
		}
		if told++; told > mostUnknown {
			r.warn(diag.Place{File: settingsFile}, fmt.Sprintf("more than %d unknown settings", mostUnknown), "is this the settings file of a club?")
			break
		}
		at := r.lineOf(key)
		if t := r.md.Type(key); t == "Hash" || t == "ArrayHash" {
			r.warn(at, fmt.Sprintf("unknown table %q is not read", key), "all settings stand at the top level")
			continue
		}
		hint := "settings: " + strings.Join(slices.Sorted(slices.Values(known)), ", ")
		if n := nearest(key, known); n != "" {
			hint = "did you mean " + n + "?"
		}
		r.warn(at, fmt.Sprintf("unknown setting %q is not read", key), hint)
	}
}

// translated returns the text setting that key translates, or "".
func (r *settingsReader) translated(key string) string {
	for _, lang := range Languages {
		if x, ok := strings.CutSuffix(key, "_"+lang); ok && settingTexts[x] {
			return x
		}
	}
	return ""
}

func (r *settingsReader) read() {
	s := r.s
	for key, dst := range map[string]*string{"name": &s.Name, "tagline": &s.Tagline, "notice": &s.Notice,
		"data_licence": &s.DataLicence, "contact": &s.Contact, "currency": &s.Currency} {
		r.text(key, dst)
	}
	for key := range r.values {
		if r.translated(key) == "" {
			continue
		}
		var t string
		if r.text(key, &t); t != "" {
			if s.Other == nil {
				s.Other = map[string]string{}
			}
			s.Other[key] = t
		}
	}
	if s.Name == "" {
		if _, there := r.values["name"]; !there {
			r.fail(diag.Place{File: settingsFile, Line: 1, Column: 1}, "the club has no name", `write name = "..."`)
		} else if r.md.Type("name") == "String" {
			r.fail(r.at("name"), "the club's name is blank", "")
		}
	}
	r.word("home_units", &s.HomeUnits, metric, us)
	r.word("date_order", &s.DateOrder, dayFirst, monthFirst)
	r.number("lapse_c_per_km", &s.LapseCPerKm, 0, 10)
	r.number("energy_price_per_kwh", &s.EnergyPrice, 0, 1e6)
	r.number("hours_per_indoor_week", &s.HoursPerWeek, 0, 168)
	r.planYear()
	r.languages()
	r.keep()
	r.siteURL()
	r.referenceYears()
}

// has tells whether key is set to a value of one of the TOML types; another
// type is an error.
func (r *settingsReader) has(key, wanted string, types ...string) bool {
	if _, ok := r.values[key]; !ok {
		return false
	}
	if slices.Contains(types, r.md.Type(key)) {
		return true
	}
	hint := ""
	if wanted == "a text" {
		hint = fmt.Sprintf("write %s = \"...\"", key)
	} else if r.md.Type(key) == "String" && strings.HasPrefix(wanted, "a number") {
		hint = "leave the quotation marks out"
	}
	r.fail(r.at(key), fmt.Sprintf("%s is not %s", key, wanted), hint)
	return false
}

func (r *settingsReader) text(key string, dst *string) bool {
	if !r.has(key, "a text", "String") {
		return false
	}
	var t string
	if err := r.md.PrimitiveDecode(r.values[key], &t); err != nil {
		r.fail(r.at(key), fmt.Sprintf("%s: %v", key, err), "")
		return false
	}
	*dst = strings.TrimSpace(t)
	return true
}

func (r *settingsReader) word(key string, dst *string, words ...string) {
	var t string
	if !r.text(key, &t) || t == "" {
		return
	}
	if !slices.Contains(words, t) {
		r.fail(r.at(key), fmt.Sprintf("%s %q is not one of %s", key, t, strings.Join(words, ", ")), didYouMean(t, words))
		return
	}
	*dst = t
}

func (r *settingsReader) number(key string, dst *float64, lo, hi float64) {
	if !r.has(key, "a number", "Integer", "Float") {
		return
	}
	var v float64
	if err := r.md.PrimitiveDecode(r.values[key], &v); err != nil || !(v >= lo && v <= hi) {
		r.fail(r.at(key), fmt.Sprintf("%s is outside %s to %s", key, plain(lo), plain(hi)), "")
		return
	}
	*dst = v
}

func (r *settingsReader) planYear() {
	const key = "plan_year"
	if !r.has(key, "a whole number", "Integer") {
		return
	}
	var v int64
	if err := r.md.PrimitiveDecode(r.values[key], &v); err != nil || v < firstYear || v > lastYear {
		r.fail(r.at(key), fmt.Sprintf("%s is outside %d to %d", key, firstYear, lastYear), "")
		return
	}
	r.s.PlanYear = int(v)
}

// texts reads a list of texts.
func (r *settingsReader) texts(key string) ([]string, bool) {
	if !r.has(key, "a list of texts", "Array") {
		return nil, false
	}
	var list []string
	if err := r.md.PrimitiveDecode(r.values[key], &list); err != nil {
		r.fail(r.at(key), fmt.Sprintf("%s is not a list of texts", key), fmt.Sprintf("write %s = [\"...\", \"...\"]", key))
		return nil, false
	}
	return list, true
}

func (r *settingsReader) languages() {
	const key = "languages"
	list, ok := r.texts(key)
	if !ok {
		return
	}
	seen := map[string]bool{}
	for _, lang := range list {
		switch {
		case !slices.Contains(Languages, lang):
			r.fail(r.at(key), fmt.Sprintf("language %q is not one of %s", lang, strings.Join(Languages, ", ")), didYouMean(lang, Languages))
			return
		case seen[lang]:
			r.fail(r.at(key), fmt.Sprintf("language %q stands twice", lang), "")
			return
		}
		seen[lang] = true
	}
	if len(list) > 0 {
		r.s.Languages = list
	}
}

func (r *settingsReader) keep() {
	const key = "keep"
	list, ok := r.texts(key)
	if !ok {
		return
	}
	for _, name := range list {
		if name == "" || name == "." || name == ".." || strings.ContainsAny(name, "/\\:\x00") {
			r.fail(r.at(key), fmt.Sprintf("keep entry %q is not a plain name", name), "name files and folders that stand directly in the site folder, like CNAME")
			return
		}
	}
	r.s.Keep = list
}

func (r *settingsReader) siteURL() {
	const key = "site_url"
	var t string
	if !r.text(key, &t) || t == "" {
		return
	}
	const hint = "write the address of the home page, like https://example.org/almanac/"
	u, err := url.Parse(t)
	switch {
	case err != nil || u.Host == "" || (u.Scheme != "http" && u.Scheme != "https") || strings.ContainsAny(t, " \t\n"):
		r.fail(r.at(key), fmt.Sprintf("site_url %q is not a web address", t), hint)
	case u.RawQuery != "" || u.ForceQuery || u.Fragment != "" || strings.Contains(t, "#"):
		r.fail(r.at(key), fmt.Sprintf("site_url %q has a query or a fragment", t), hint)
	case u.User != nil:
		r.fail(r.at(key), "site_url holds a user name", hint)
	default:
		r.s.SiteURL = t
	}
}

var yearSpan = regexp.MustCompile(`^([0-9]{4})\s*-\s*([0-9]{4})$`)

// fewYears is where normals become unreliable: WMO asks for 30, and ten is the
// least that any climate service prints (common practice).
const fewYears = 10

func (r *settingsReader) referenceYears() {
	const key = "reference_years"
	var t string
	if _, there := r.values[key]; there && r.md.Type(key) != "String" {
		r.fail(r.at(key), "reference_years is not a text", `write reference_years = "1991-2020"`)
		return
	}
	if !r.text(key, &t) || t == "" {
		return
	}
	m := yearSpan.FindStringSubmatch(t)
	if m == nil {
		r.fail(r.at(key), fmt.Sprintf("reference_years %q is not two years", t), `write reference_years = "1991-2020"`)
		return
	}
	first, _ := strconv.Atoi(m[1])
	last, _ := strconv.Atoi(m[2])
	switch {
	case first > last:
		r.fail(r.at(key), fmt.Sprintf("reference_years %q ends before it begins", t), fmt.Sprintf("did you mean \"%d-%d\"?", last, first))
		return
	case first < firstYear || last > lastYear:
		r.fail(r.at(key), fmt.Sprintf("reference_years %q is outside %d to %d", t, firstYear, lastYear), "")
		return
	case last-first+1 < fewYears:
		r.warn(r.at(key), fmt.Sprintf("reference_years %q spans only %d years", t, last-first+1), "30 years is the usual span")
	}
	r.s.ReferenceYears, r.s.FirstRef, r.s.LastRef = t, first, last
}

// nearest is diag.Nearest for words that can be a slip of an id: comparing a
// long text with every id of a club would take its time and find nothing.
func nearest(word string, words []string) string {
	if len(word) > maxID+10 {
		return ""
	}
	return diag.Nearest(word, words)
}

// didYouMean is the hint for a word that is not in a closed list.
func didYouMean(word string, words []string) string {
	if n := nearest(word, words); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return ""
}

// plain prints a number without an exponent.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
