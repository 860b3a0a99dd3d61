package station

import (
	"bytes"
	"regexp"
	"strings"

	"ripeward/build/diag"
)

var celsiusAndMillimetres = [nElements]unit{wholeUnits, wholeUnits, wholeUnits}

// tableOf is the reader of a table whose columns are the named ones.
func tableOf(h *head, names map[string]role, f form) (func(*scanner), *diag.Problem) {
	roles, problem := h.roles(names)
	if problem != nil {
		return nil, problem
	}
	f.roles, f.sep, f.comma = roles, h.sep, h.sep == ';'
	return func(s *scanner) {
		f.latin1 = h.latin1
		newTable(s, f).read(h)
	}, nil
}

var dwdColumns = map[string]role{
	"stations_id": roleStation, "mess_datum": roleDate, "qn_4": roleQuality,
	"tnk": roleValue + role(tmin), "txk": roleValue + role(tmax), "rsk": roleValue + role(precip),
}

// recogniseDWD knows the columns of the "kl" product. QN_4 is the quality level
// of the columns after it; the publisher leaves out values it found wrong, so
// that no level refuses a value. Levels 1 to 3 are checks on arrival, before
// the review that the higher levels stand for.
func recogniseDWD(h *head, _ Options) (func(*scanner), *diag.Problem) {
	if !h.has("stations_id") || !h.has("mess_datum") || !h.has("tnk") && !h.has("txk") && !h.has("rsk") {
		return nil, nil
	}
	return tableOf(h, dwdColumns, form{units: celsiusAndMillimetres, unfinished: func(level []byte) bool {
		return len(level) == 1 && level[0] >= '1' && level[0] <= '3'
	}})
}

var meteoFranceColumns = map[string]role{
	"num_poste": roleStation, "nom_usuel": roleName, "aaaammjj": roleDate,
	"lat": roleLat, "lon": roleLon, "alti": roleElevation,
	"tn": roleValue + role(tmin), "qtn": roleFlag + role(tmin),
	"tx": roleValue + role(tmax), "qtx": roleFlag + role(tmax),
	"rr": roleValue + role(precip), "qrr": roleFlag + role(precip),
}

// meteoFranceCode reads the publisher's code: 0 protected (validated for good),
// 1 validated, 2 doubtful and being verified, 9 filtered (past the first
// checks, not yet reviewed).
func meteoFranceCode(_ element, b []byte) (why reason, note remark, sourced bool) {
	switch b = trim(b); {
	case len(b) != 1:
	case b[0] == '2':
		why = failedCheck
	case b[0] == '9':
		note = preliminary
	}
	return why, note, false
}

func recogniseMeteoFrance(h *head, _ Options) (func(*scanner), *diag.Problem) {
	if !h.has("num_poste") || !h.has("aaaammjj") || !h.has("tn") && !h.has("tx") && !h.has("rr") {
		return nil, nil
	}
	return tableOf(h, meteoFranceColumns, form{units: celsiusAndMillimetres, flag: meteoFranceCode})
}

var meteoSwissColumns = map[string]role{
	"station/location": roleStation, "date": roleDate,
	"station_abbr": roleStation, "reference_timestamp": roleDate,
	"tre200dn": roleValue + role(tmin), "tre200dx": roleValue + role(tmax), "rre150d0": roleValue + role(precip),
}

// recogniseMeteoSwiss knows both headers: the older files have dates like
// 19530701 and "-" for a missing value, the newer ones 01.07.1953 00:00 and
// nothing. rre150d0 is rain from 6 to 6 UTC.
func recogniseMeteoSwiss(h *head, _ Options) (func(*scanner), *diag.Problem) {
	f := form{units: celsiusAndMillimetres}
	switch {
	case !h.has("tre200dn") && !h.has("tre200dx") && !h.has("rre150d0"):
		return nil, nil
	case h.has("station/location") && h.has("date"):
	case h.has("station_abbr") && h.has("reference_timestamp"):
		f.dates = datesDayFirst
	default:
		return nil, nil
	}
	return tableOf(h, meteoSwissColumns, f)
}

var ecadColumns = map[string]role{
	"staid": roleStation, "date": roleDate,
	"tn": roleValue + role(tmin), "q_tn": roleFlag + role(tmin),
	"tx": roleValue + role(tmax), "q_tx": roleFlag + role(tmax),
	"rr": roleValue + role(precip), "q_rr": roleFlag + role(precip),
}

// ecadCode reads the quality code of ECA&D: 0 valid, 1 suspect, 9 missing.
func ecadCode(_ element, b []byte) (why reason, note remark, sourced bool) {
	switch b = trim(b); {
	case len(b) != 1:
	case b[0] == '1':
		why = failedCheck
	case b[0] == '9':
		why = saysMissing
	}
	return why, plainValue, false
}

// The prose above an ECA&D table is some twenty lines.
const mostProse = 60

var ecadStation = regexp.MustCompile(`station (.+) \(STAID: *(\d+)\)`)

// recogniseECAD finds the header below lines of prose, in which the station's
// name stands.
func recogniseECAD(h *head, _ Options) (func(*scanner), *diag.Problem) {
	for i, l := range h.lines[:min(len(h.lines), mostProse)] {
		if first := trim(l.text); len(first) < 5 || !bytes.EqualFold(first[:5], []byte("STAID")) || bytes.IndexByte(first, ',') < 0 {
			continue
		}
		t := &head{lines: h.lines[i:]}
		t.split()
		if !t.has("staid") || !t.has("date") || !t.has("tn") && !t.has("tx") && !t.has("rr") {
			continue
		}
		read, problem := tableOf(t, ecadColumns, form{flag: ecadCode})
		if problem != nil {
			return nil, problem
		}
		var id, name string
		for _, p := range h.lines[:i] {
			if m := ecadStation.FindSubmatch(p.text); m != nil {
				name, id = strings.ToValidUTF8(string(trim(m[1])), "\uFFFD"), string(m[2])
			}
		}
		return func(s *scanner) {
			read(s)
			if b := s.stations[id]; b != nil && b.name == "" {
				b.name = name
			}
		}, nil
	}
	return nil, nil
}
