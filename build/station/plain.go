package station

import (
	"fmt"

	"ripeward/build/diag"
)

// plainColumn is a column of the plain form.
type plainColumn struct {
	e element
	u unit
}

var plainColumns = map[string]plainColumn{
	"tmin_c": {tmin, wholeUnits}, "tmax_c": {tmax, wholeUnits}, "precip_mm": {precip, wholeUnits},
	"tmin_f": {tmin, fahrenheit}, "tmax_f": {tmax, fahrenheit}, "precip_in": {precip, inches},
}

var plainNames = []string{"date", "tmin_c", "tmax_c", "precip_mm", "tmin_f", "tmax_f", "precip_in"}

func recognisePlainC(h *head, o Options) (func(*scanner), *diag.Problem) {
	if h.has("tmin_f") || h.has("tmax_f") || h.has("precip_in") {
		return nil, nil
	}
	return recognisePlain(h, o)
}

func recognisePlainF(h *head, o Options) (func(*scanner), *diag.Problem) { return recognisePlain(h, o) }

// recognisePlain takes a date and any of the plain columns, since files of one
// station may each hold one element. In a file with ";" between its cells a
// number may have a decimal comma; date_form beside the file says how its dates
// are written.
func recognisePlain(h *head, o Options) (func(*scanner), *diag.Problem) {
	names := map[string]role{"date": roleDate}
	var units [nElements]unit
	for _, c := range h.columns {
		if p, ok := plainColumns[c.name]; ok {
			names[c.name] = roleValue + role(p.e)
			units[p.e] = p.u
		}
	}
	if !h.has("date") || len(names) == 1 {
		return nil, nil
	}
	roles, problem := h.roles(names)
	if problem != nil {
		return nil, problem
	}
	f := form{roles: roles, sep: h.sep, units: units, comma: h.sep == ';', traceMark: true}
	if o.Settings != nil {
		f.dates = o.Settings.dates
	}
	return func(s *scanner) {
		for i, c := range h.columns {
			if roles[i] != roleSkip || c.name == "" {
				continue
			}
			hint := "the plain form has date, tmin_c, tmax_c, precip_mm, or tmin_f, tmax_f, precip_in"
			if near := diag.Nearest(c.name, plainNames); near != "" {
				hint = fmt.Sprintf("did you mean %s?", near)
			}
			s.problem(diag.Warning, h.lines[0].number, c.at, fmt.Sprintf("unknown column %q is left out", c.written), hint)
		}
		f.id = baseID(s.options)
		newTable(s, f).read(h)
	}, nil
}
