package station

import "ripeward/build/diag"

var ecccColumns = map[string]role{
	"climate id": roleStation, "station name": roleName, "date/time": roleDate,
	"latitude (y)": roleLat, "longitude (x)": roleLon, "data quality": roleQuality,
	"min temp (c)": roleValue + role(tmin), "min temp flag": roleFlag + role(tmin),
	"max temp (c)": roleValue + role(tmax), "max temp flag": roleFlag + role(tmax),
	"total precip (mm)": roleValue + role(precip), "total precip flag": roleFlag + role(precip),
}

// ecccFlag reads a flag of the publisher's legend: E, B and F say estimated; A
// and F a total that gathers several days; C and L an amount that is not
// certain; M missing, N and Y missing but known to be above or below 0 °C; T
// trace; D and S and any other are used; ^ is a value from incomplete data.
func ecccFlag(_ element, b []byte) (why reason, note remark, sourced bool) {
	for _, c := range b {
		switch c {
		case ' ':
		case 'M', 'N', 'Y':
			why = saysMissing
		case 'A', 'F':
			why = accumulated
		case 'C', 'L':
			why = uncertain
		case '^':
			why = failedCheck
		case 'T':
			note = trace
		case 'E', 'B':
			note = estimated
		case 'D':
			note = preliminary
		default:
			if note == plainValue {
				note = measurementFlag
			}
		}
	}
	return why, note, false
}

// recogniseECCC knows the columns by their ASCII letters, because copies of
// these files have the degree sign of the header as UTF-8, as Latin-1 or
// garbled; numbers and flags are ASCII in all of them. Where the header is not
// UTF-8 the station's name is read as Latin-1.
func recogniseECCC(h *head, _ Options) (func(*scanner), *diag.Problem) {
	if !h.has("date/time") || !h.has("min temp (c)") && !h.has("max temp (c)") && !h.has("total precip (mm)") {
		return nil, nil
	}
	roles, problem := h.roles(ecccColumns)
	if problem != nil {
		return nil, problem
	}
	f := form{
		roles: roles, sep: h.sep, latin1: h.latin1, flag: ecccFlag, comma: h.sep == ';',
		units: [nElements]unit{wholeUnits, wholeUnits, wholeUnits},
	}
	return func(s *scanner) {
		if h.latin1 {
			s.problem(diag.Note, h.lines[0].number, firstBadByte(h.lines[0].text)+1, "the header is not UTF-8: read as Latin-1", "")
		}
		if !h.has("climate id") {
			f.id = baseID(s.options)
		}
		newTable(s, f).read(h)
	}, nil
}
