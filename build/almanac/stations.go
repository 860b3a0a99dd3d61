package almanac

import (
	"cmp"

	"ripeward/build/climate"
	"ripeward/build/day"
	"ripeward/build/station"
)

// SeasonOptions steer SeasonTables.
type SeasonOptions struct {
	Years    *climate.Span // nil: the last 30 ending with the last complete season
	Heat     climate.HeatOptions
	Latitude *float64 // overrides what the files say
}

// StationSeasons are the figures of one station, without any club.
type StationSeasons struct {
	ID         string
	Hemisphere day.Hemisphere
	Assumed    bool // no latitude known: north assumed
	Span       climate.Span
	Seasons    []climate.Season // rounded, oldest first
	Normals    []climate.Normal // rounded, over Span
}

// SeasonTables computes the figures of each station record as it stands,
// unmoved. A station without any usable season has an empty span.
func SeasonTables(records []station.Record, o SeasonOptions) []StationSeasons {
	out := make([]StationSeasons, 0, len(records))
	for i := range records {
		r := &records[i]
		s := StationSeasons{ID: r.ID}
		latitude := r.Latitude
		if o.Latitude != nil {
			latitude = *o.Latitude
		}
		s.Assumed = latitude != latitude
		s.Hemisphere = day.HemisphereOf(latitude)
		d := dailyOf(&r.Series, latitude)
		seasons := climate.Seasons(&d, o.Heat)
		if o.Years != nil {
			s.Span = *o.Years
		} else {
			s.Span = lastYears(seasons)
		}
		s.Normals = roundNormals(climate.Normals(seasons, s.Span, o.Heat.Base))
		s.Seasons = roundSeasons(seasons)
		out = append(out, s)
	}
	return out
}

// lastYears is the default span: 30 years ending with the last complete
// season, or with the last valid heat sum where none is complete.
func lastYears(seasons []climate.Season) climate.Span {
	complete, warm := lastSeasons(seasons)
	last := cmp.Or(complete, warm)
	if last == 0 {
		return climate.Span{First: 0, Last: -1}
	}
	return climate.Span{First: last - defaultYears + 1, Last: last}
}

// lastSeasons returns the last complete season and the last with a valid heat
// sum; 0 where there is none.
func lastSeasons(seasons []climate.Season) (complete, warm int) {
	for _, y := range seasons {
		if y.Complete {
			complete = y.Year
		}
		if y.Heat.OK {
			warm = y.Year
		}
	}
	return complete, warm
}
