package climate

import (
	"reflect"
	"testing"
)

// A season is complete where every figure of it is valid: no figure can be
// added that completeness does not ask about, but for chill, which wants a
// latitude, the months, which are whole where the yearly counts are, and the
// heat by means, which stands beside the heat.
func TestCompletenessAsksEveryFigure(t *testing.T) {
	left := map[string]bool{"Chill": true, "ChillHours": true, "Utah": true, "MonthMin": true, "MonthMax": true, "MonthPrecip": true, "HeatMean": true}
	var s Season
	var figures []reflect.Value
	var names []string
	v := reflect.ValueOf(&s).Elem()
	for i := range v.NumField() {
		f := v.Field(i)
		add := func(f reflect.Value) {
			if f.Type() == reflect.TypeFor[Value]() {
				f.FieldByName("OK").SetBool(true)
				figures, names = append(figures, f.FieldByName("OK")), append(names, v.Type().Field(i).Name)
			}
		}
		if add(f); f.Kind() == reflect.Array {
			for k := range f.Len() {
				add(f.Index(k))
			}
		}
	}
	if !s.complete(true) || len(figures) < 3*12+4+10 {
		t.Fatalf("%d figures, all valid: complete %v", len(figures), s.complete(true))
	}
	for i, f := range figures {
		f.SetBool(false)
		if name := names[i]; s.complete(true) != left[name] {
			t.Errorf("%s is not valid: complete %v, want %v (Season.complete in seasons.go)", name, s.complete(true), left[name])
		}
		f.SetBool(true)
	}
	if s.Precip.OK = false; s.complete(true) || !s.complete(false) {
		t.Error("rain is to be asked for where the record has any, and only there")
	}
}
