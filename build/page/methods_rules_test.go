package page

import (
	"reflect"
	"slices"
	"testing"

	"ripeward/build/club"
)

// Every date that a way of growing may hang on has words.
func TestAnchorsHaveWords(t *testing.T) {
	for _, a := range club.Anchors {
		if anchorTexts[string(a)].plain == "" {
			t.Errorf("anchor %s has no words", a)
		}
	}
}

// A way of growing says every rule that it has: no column can be added to
// methods.csv that the methods page is silent about, but for those that other
// pages speak of.
func TestMethodsSayEveryRule(t *testing.T) {
	elsewhere := map[string]string{"TentAreaM2": "tents", "TentVolumeM3": "tents", "TentU": "tents", "AirChangesH": "tents", "SunShare": "tents",
		"HoursSetup": "hours of work", "MinutesPerCarry": "hours of work"}
	s := *english
	s.club = &club.Club{}
	full := club.Method{Place: "pot", Wake: "planned", OutAnchor: club.Text(club.Anchors[0]), InAnchor: club.Text(club.Anchors[1])}
	v := reflect.ValueOf(&full).Elem()
	for i := range v.NumField() {
		switch f := v.Field(i).Addr().Interface().(type) {
		case *club.Number:
			*f = club.Number{Value: 0.5 + float64(i), Set: true}
		case *club.Whole:
			*f = club.Whole{Value: 3 + i, Set: true}
		}
	}
	all := s.methodRules(&full)
	for i := range v.NumField() {
		name, f := v.Type().Field(i).Name, v.Field(i)
		switch f.Interface().(type) {
		case club.Number, club.Whole:
		default:
			continue
		}
		without := reflect.New(v.Type()).Elem()
		without.Set(v)
		without.Field(i).SetZero()
		m := without.Interface().(club.Method)
		switch silent := slices.Equal(all, s.methodRules(&m)); {
		case silent && elsewhere[name] == "":
			t.Errorf("methodRules says nothing of club.Method.%s", name)
		case !silent && elsewhere[name] != "":
			t.Errorf("methodRules does speak of club.Method.%s", name)
		}
	}
}
