package climate_test

import (
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/climate"
	"ripeward/build/day"
)

// lacking returns what a declaration lacks.
func lacking(e climate.Entry) (what []string) {
	for name, text := range map[string]string{
		"name": e.Name, "unit": e.Unit, "formula": e.Formula, "source": e.Source,
		"English label": e.Label.English, "French label": e.Label.French,
		"English definition": e.Definition.English, "French definition": e.Definition.French,
		"policy": e.Policy.Name.English, "French policy": e.Policy.Name.French,
		"policy's basis": e.Policy.Basis.English, "policy's French basis": e.Policy.Basis.French,
	} {
		if strings.TrimSpace(text) == "" {
			what = append(what, name)
		}
		if text != strings.TrimSpace(text) || strings.HasSuffix(text, ".") {
			what = append(what, "tidy "+name)
		}
	}
	if e.Label.English == e.Label.French || e.Definition.English == e.Definition.French {
		what = append(what, "words of its own in French")
	}
	if !slices.Contains([]string{"", "<", "<=", ">", ">="}, e.Operator) {
		what = append(what, "known operator")
	}
	if (e.Operator == "") != (e.LimitUnit == "") {
		what = append(what, "operator with a limit")
	}
	if e.Operator == "" && e.Limit != 0 {
		what = append(what, "operator for its limit")
	}
	slices.Sort(what)
	return what
}

func TestEveryFigureIsDeclared(t *testing.T) {
	names, words := map[string]bool{}, map[string]string{}
	for _, e := range climate.Catalogue() {
		if l := lacking(e); l != nil {
			t.Errorf("%s lacks %s", e.Name, strings.Join(l, ", "))
		}
		if names[e.Name] {
			t.Errorf("%s is declared twice", e.Name)
		}
		names[e.Name] = true
		for _, text := range []string{e.Label.English, e.Label.French, e.Definition.English, e.Definition.French} {
			if other, twice := words[text]; twice {
				t.Errorf("%s and %s share the words %q", e.Name, other, text)
			}
			words[text] = e.Name
		}
	}
	// The check itself finds what is missing.
	if len(lacking(climate.Entry{})) < 12 || lacking(climate.Entry{Name: "x", Operator: "≥"}) == nil {
		t.Error("an empty declaration passes")
	}
	for _, base := range []float64{8, 10, 7.2} {
		for _, m := range climate.Measures(base) {
			if l := lacking(m.Entry); l != nil {
				t.Errorf("measure %s lacks %s", m.Name, strings.Join(l, ", "))
			}
			if base == 10 && !names[m.Name] {
				t.Errorf("measure %s is not in the catalogue", m.Name)
			}
			if set := (m.Value != nil) != (m.Freeze != nil); set == (m.Kind == climate.Zone) || m.IsDate() != (m.Freeze != nil) {
				t.Errorf("measure %s: kind %d does not fit how it is read", m.Name, m.Kind)
			}
		}
	}
	for _, n := range climate.Normals(nil, span(30), 10) {
		if !names[n.Measure] {
			t.Errorf("normal %s is not in the catalogue", n.Measure)
		}
	}
	for _, symbol := range climate.SymbolsOfFormulas {
		if symbol.Symbol == "" || symbol.Means.English == "" || symbol.Means.French == "" {
			t.Errorf("symbol %+v lacks words", symbol)
		}
	}
}

// No figure can be added to a season without being read by a measure, and each
// measure reads a figure of its own.
func TestEveryFigureOfASeasonIsAMeasure(t *testing.T) {
	beside := map[string]string{"HeatMean": "heat_by_means"} // in the catalogue, but no column
	var s climate.Season
	v := reflect.ValueOf(&s).Elem()
	fields := map[float64]string{}
	next := 1.0
	mark := func(f reflect.Value, name string) {
		switch x := f.Addr().Interface().(type) {
		case *climate.Value:
			*x = climate.Value{V: next, OK: true}
		case *climate.Freeze:
			*x = climate.Freeze{Outcome: climate.Found, Rank: day.Rank(next)}
		default:
			return
		}
		fields[next] = name
		next++
	}
	for i := range v.NumField() {
		f, name := v.Field(i), v.Type().Field(i).Name
		if f.Kind() == reflect.Array {
			for k := range f.Len() {
				mark(f.Index(k), name)
			}
		}
		mark(f, name)
	}
	if len(fields) < 3*4+10+36 {
		t.Fatalf("only %d figures found", len(fields))
	}
	for _, m := range climate.Measures(10) {
		var at float64
		switch {
		case m.Kind == climate.Zone:
			continue
		case m.IsDate():
			at = float64(m.Freeze(&s).Rank)
		default:
			at = m.Value(&s).V
		}
		if fields[at] == "" {
			t.Errorf("%s reads %v, which is no figure or already read", m.Name, at)
		}
		delete(fields, at)
	}
	for _, name := range fields {
		declared := slices.ContainsFunc(climate.Catalogue(), func(e climate.Entry) bool { return e.Name == beside[name] })
		if !declared {
			t.Errorf("figure %s is read by no measure", name)
		}
	}
}

// countFormula is the formula of a count of days: which of the two
// temperatures, how it is compared, and with what.
var countFormula = regexp.MustCompile(`^[A-Z]+ = #\{d: (TN|TX)\(d\) (<|<=|>|>=) (\S+) °C\}$`)

// What the declaration of a count of days says of a limit is what its formula
// says, and what the figure does at it.
func TestOperatorsHold(t *testing.T) {
	counts := 0
	for _, m := range climate.SeasonMeasures(10) {
		f := countFormula.FindStringSubmatch(m.Formula)
		if f == nil {
			continue
		}
		counts++
		if f[2] != m.Operator || f[3] != strconv.FormatFloat(m.Limit, 'f', -1, 64) {
			t.Errorf("%s: %s, but it is declared %s %v", m.Name, m.Formula, m.Operator, m.Limit)
		}
		count := func(d *climate.Daily) float64 {
			s := season(t, d, 2001)
			return m.Value(&s).V
		}
		for _, by := range []float64{-0.1, 0, 0.1} {
			d := clone(dry(day.North, 2001, 2001))
			far := map[byte][2]float64{'<': {m.Limit + 5, m.Limit + 15}, '>': {m.Limit - 15, m.Limit - 5}}[m.Operator[0]]
			for k := range d.TMin {
				d.TMin[k], d.TMax[k] = tenth(far[0]), tenth(far[1])
			}
			before, value := count(d), m.Limit+by
			if f[1] == "TX" {
				d.TMax[100] = tenth(value)
				d.TMin[100] = min(d.TMin[100], d.TMax[100])
			} else {
				d.TMin[100] = tenth(value)
				d.TMax[100] = max(d.TMax[100], d.TMin[100])
			}
			counted := count(d) - before
			want := map[string]bool{"<": value < m.Limit, "<=": value <= m.Limit, ">": value > m.Limit, ">=": value >= m.Limit}[m.Operator]
			if before != 0 || (counted == 1) != want {
				t.Errorf("%s: %v °C counts %v days beside %v, but it is declared %s %v", m.Name, value, counted, before, m.Operator, m.Limit)
			}
		}
	}
	if counts < 4 {
		t.Errorf("only %d counts of days found", counts)
	}
}
