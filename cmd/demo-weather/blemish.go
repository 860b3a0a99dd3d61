package main

import "ripeward/build/day"

// blemish is one thing wrong with a record, so that the demonstration shows
// what happens to such days.
type blemish struct {
	From, Through day.Date
	Kind          blemishKind
}

type blemishKind int

const (
	missing        blemishKind = iota // no value at all that day
	missingRain                       // rain gauge out of order
	missingMin                        // only the night is missing
	crossed                           // Tmin above Tmax, and no flag
	impossible                        // a value no thermometer shows, and no flag
	failedCheck                       // the publisher's quality flag on Tmax
	failedCheckMin                    // the same on Tmin
	estimated                         // filled in by the publisher
	repeated                          // the day stands twice, with other values
	stuckMin                          // the night's thermometer shows one value, and no flag
	spikeMax                          // one high far from the days beside it, and no flag
)

func on(y, m, d int, kind blemishKind) blemish {
	return blemish{day.Of(y, m, d), day.Of(y, m, d), kind}
}

func between(y, m, d, days int, kind blemishKind) blemish {
	at := day.Of(y, m, d)
	return blemish{at, at + day.Date(days) - 1, kind}
}

// blemished returns the readings of the station's years with its blemishes
// put in.
func blemished(s site, days []reading) []reading {
	out := make([]reading, 0, len(days))
	for _, q := range days {
		if q.Day < s.From || q.Day > s.Through {
			continue
		}
		for _, b := range s.Blemishes {
			if q.Day < b.From || q.Day > b.Through {
				continue
			}
			switch b.Kind {
			case missing:
				q.NoMin, q.NoMax, q.NoPrecip = true, true, true
			case missingRain:
				q.NoPrecip = true
			case missingMin:
				q.NoMin = true
			case crossed:
				q.TMin, q.TMax = q.TMax, q.TMin
			case impossible:
				q.TMax = 731
			case failedCheck:
				q.TMax += 140
				q.QMax = "I"
			case failedCheckMin:
				q.TMin -= 120
				q.QMin = "S"
			case estimated:
				q.Estimated = true
			case stuckMin:
				q.TMin = -5
			case spikeMax:
				q.TMax += 260
			case repeated:
				q.RepeatedAfter = true
				q.RepeatMin, q.RepeatX = q.TMin-8, q.TMax+11
			}
		}
		out = append(out, q)
	}
	return out
}
