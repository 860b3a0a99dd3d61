package almanac

import (
	"math"
	"reflect"
	"testing"

	"ripeward/build/club"
	"ripeward/build/ripening"
)

// fullMethod is a way of growing with every cell of numbers filled, each with
// a number of its own.
func fullMethod() club.Method {
	m := club.Method{ID: "full", Place: "pot", Wake: "planned"}
	v := reflect.ValueOf(&m).Elem()
	for i := range v.NumField() {
		switch f := v.Field(i).Addr().Interface().(type) {
		case *club.Number:
			*f = club.Number{Value: float64(100 + i), Set: true}
		case *club.Whole:
			*f = club.Whole{Value: 2, Set: true}
		}
	}
	return m
}

// No rule can be added to the model that no column of methods.csv fills.
func TestEveryRuleOfGrowingHasAColumn(t *testing.T) {
	filled := newKit(&club.Club{Methods: []club.Method{fullMethod()}}).methods[0].model
	blank := newKit(&club.Club{Methods: []club.Method{{ID: "blank", Place: "ground"}}}).methods[0].model
	a, b := reflect.ValueOf(filled), reflect.ValueOf(blank)
	seen := map[float64]string{}
	for i := range a.NumField() {
		name := reflect.TypeFor[ripening.Method]().Field(i).Name
		if a.Field(i).Equal(b.Field(i)) || a.Field(i).CanFloat() && math.IsNaN(a.Field(i).Float()) {
			t.Errorf("newKit fills ripening.Method.%s from no column of methods.csv", name)
		}
		if !a.Field(i).CanFloat() {
			continue
		}
		if other := seen[a.Field(i).Float()]; other != "" {
			t.Errorf("%s and %s are filled from one column", name, other)
		}
		seen[a.Field(i).Float()] = name
	}
}
