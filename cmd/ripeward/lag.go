package main

import (
	"fmt"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/diag"
)

// lag warns where the figures end before the records do: the newest years have
// too many gaps to be counted. Whoever has just added a year looks for it.
func lag(b *almanac.Book) diag.Problems {
	if s := b.Club.Settings; s.FirstRef != 0 || b.CutOff == day.None || len(b.Towns) == 0 {
		return nil
	}
	h := b.Towns[0].Hemisphere
	newest := h.Season(b.CutOff)
	if h.End(newest) > b.CutOff {
		newest-- // the season is still under way
	}
	if newest <= b.Span.Last {
		return nil
	}
	return diag.Problems{{Place: diag.Place{File: "data/stations"}, Severity: diag.Warning,
		Message: fmt.Sprintf("the records reach to %s, but no station has enough days of a season after %s: figures are for %s to %s, dates for %s",
			fullDate(b.CutOff), h.Label(b.Span.Last), h.Label(b.Span.First), h.Label(b.Span.Last), h.Label(b.PlanYear)),
		Hint: fmt.Sprintf("a second station nearby fills gaps (station_ids of the town); ripeward season --years %d-%d FILE counts what is missing; reference_years and plan_year in data/club.toml choose other years",
			b.Span.Last+1, newest)}}
}
