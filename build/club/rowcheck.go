package club

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strings"
)

// pair notes an error where both numbers are set and the first is not below
// (or, with equal, not above) the second.
func pair(t *tableBase, i int, low, high string, a, b Number, equal bool) {
	if !a.Set || !b.Set || t.faulty(i, low) || t.faulty(i, high) || a.Value < b.Value || (equal && a.Value == b.Value) {
		return
	}
	word := "not below"
	if equal {
		word = "above"
	}
	t.fault(i, low, fmt.Sprintf("%s %s is %s %s %s", low, plain(a.Value), word, high, plain(b.Value)), "")
}

func number(w Whole) Number { return Number{float64(w.Value), w.Set} }

func (l *loader) checkRows() {
	l.checkPlaces()
	for i, c := range l.crops.rows {
		t := &l.crops.tableBase
		if !t.whole(i) {
			continue
		}
		if c.RipeningModel == FirstRipeHeat {
			for _, x := range []struct {
				column string
				n      Number
			}{{"base_c", c.BaseC}, {"upper_c", c.UpperC}} {
				if !x.n.Set && !t.faulty(i, x.column) {
					t.fault(i, x.column, x.column+" is blank", "a crop with a ripening model needs one")
				}
			}
		}
		pair(t, i, "base_c", "upper_c", c.BaseC, c.UpperC, false)
		pair(t, i, "store_low_c", "store_high_c", c.StoreLowC, c.StoreHighC, false)
	}
	for i, c := range l.classes.rows {
		t := &l.classes.tableBase
		if t.whole(i) && c.MainHeatCd.Set && (!c.GardenSd.Set || !c.YearSd.Set) && !t.faulty(i, "garden_sd_cd") && !t.faulty(i, "year_sd_cd") {
			t.warn(i, "main_heat_cd", "main_heat_cd without garden_sd_cd and year_sd_cd", "odds need to know how far gardens and years differ")
		}
	}
	l.checkCultivars()
	l.checkMethods()
	for i, s := range l.stores.rows {
		t := &l.stores.tableBase
		if !t.whole(i) {
			continue
		}
		if s.HouseShare.Or(0) > 0 && !s.HouseC.Set && !t.faulty(i, "house_c") {
			t.fault(i, "house_c", "house_c is blank where house_share is not 0", "how warm is the house in winter?")
		}
		if sum := s.HouseShare.Or(0) + s.GroundShare.Or(0); sum > 1 && !t.faulty(i, "house_share") && !t.faulty(i, "ground_share") {
			t.fault(i, "house_share", fmt.Sprintf("house_share and ground_share make %s together", plain(math.Round(sum*1e6)/1e6)), "they are shares of one whole: at most 1")
		}
	}
	for i, r := range l.storeLog.rows {
		t := &l.storeLog.tableBase
		if !t.whole(i) {
			continue
		}
		pair(t, i, "low_c", "high_c", r.LowC, r.HighC, true)
		if r.Date.Set() && r.ResetOn.Set() && r.ResetOn.Date > r.Date.Date {
			t.fault(i, "reset_on", fmt.Sprintf("reset_on %s is after date %s", r.ResetOn, r.Date), "reset_on is the day the reading before this one was cleared")
		}
	}
	for i, k := range l.tasks.rows {
		if t := &l.tasks.tableBase; t.whole(i) && !safeLink(string(k.Link)) {
			t.fault(i, "link", fmt.Sprintf("link %q is not a page or a web address", k.Link), "write guides/NAME/ or https://...")
		}
	}
	for i, r := range l.trees.rows {
		if t := &l.trees.tableBase; t.whole(i) {
			pair(t, i, "since_year", "until_year", number(r.SinceYear), number(r.UntilYear), true)
		}
	}
	l.checkReports()
}

// safeLink tells whether a link may stand on a page: a web address, or a path
// inside the site.
func safeLink(link string) bool {
	if link == "" {
		return true
	}
	u, err := url.Parse(link)
	if err != nil || strings.ContainsAny(link, " \\\t\n") || strings.HasPrefix(link, "/") {
		return false
	}
	if u.Scheme != "" {
		return (u.Scheme == "http" || u.Scheme == "https") && u.Host != ""
	}
	return !slices.Contains(strings.Split(u.Path, "/"), "..")
}

// highest is above every weather station and town of the Americas, Europe and
// Oceania: a greater figure is more likely in feet.
const highest = 5000

func (l *loader) checkPlaces() {
	type spot struct {
		t              *tableBase
		row            int
		lat, lon, high Number
	}
	var spots []spot
	for i, r := range l.towns.rows {
		spots = append(spots, spot{&l.towns.tableBase, i, r.Latitude, r.Longitude, r.ElevationM})
	}
	for i, r := range l.stations.rows {
		spots = append(spots, spot{&l.stations.tableBase, i, r.Latitude, r.Longitude, r.ElevationM})
	}
	good := func(s spot) bool {
		return s.t.whole(s.row) && s.lat.Set && s.lon.Set && !s.t.faulty(s.row, "latitude") && !s.t.faulty(s.row, "longitude")
	}
	spots = slices.DeleteFunc(spots, func(s spot) bool { return !good(s) })
	var lats, lons []float64
	for _, s := range spots {
		lats, lons = append(lats, s.lat.Value), append(lons, s.lon.Value)
	}
	slices.Sort(lats)
	slices.Sort(lons)
	for _, s := range spots {
		lat, lon := lats[len(lats)/2], lons[len(lons)/2]
		switch a, b := s.lat.Value, s.lon.Value; {
		case a == 0 && b == 0:
			s.t.warn(s.row, "latitude", "latitude and longitude are both 0: in the ocean off Africa", "write degrees with a decimal point")
		case math.Hypot(a-lat, b-lon) > 20 && math.Hypot(b-lat, a-lon) < 5:
			s.t.warn(s.row, "latitude", fmt.Sprintf("%s, %s is far from the other places of the club", plain(a), plain(b)), "latitude and longitude look swapped")
		case len(spots) > 2 && math.Abs(a-lat) < 2 && math.Abs(b+lon) < 5 && math.Abs(lon) > 10:
			s.t.warn(s.row, "longitude", fmt.Sprintf("%s, %s is far from the other places of the club", plain(a), plain(b)), "longitude is negative in the west")
		}
		if s.high.Set && s.high.Value > highest && !s.t.faulty(s.row, "elevation_m") {
			s.t.warn(s.row, "elevation_m", fmt.Sprintf("elevation_m %s is higher than most towns", plain(s.high.Value)), "is it in feet?")
		}
	}
	used, sure := map[Text]bool{}, !l.towns.broken && len(l.towns.lost) == 0
	for i, r := range l.towns.rows {
		used[r.ZoneID] = true
		sure = sure && !l.towns.faulty(i, "zone_id")
	}
	for i, z := range l.zones.rows {
		if t := &l.zones.tableBase; t.whole(i) && sure && !used[z.ID] && !t.faulty(i, "zone_id") {
			t.warn(i, "zone_id", fmt.Sprintf("zone %q has no town", z.ID), "towns.csv says in zone_id where a town lies")
		}
	}
}

func (l *loader) checkCultivars() {
	classes := byID(l.classes.rows, func(r *Class) Text { return r.ID })
	for i, c := range l.cultivars.rows {
		t := &l.cultivars.tableBase
		if !t.whole(i) {
			continue
		}
		class := classes[c.ClassID]
		if c.ClassID != "" && class != nil && class.CropID != c.CropID && !t.faulty(i, "class_id") && !t.faulty(i, "crop_id") {
			t.fault(i, "class_id", fmt.Sprintf("class %q is of crop %q, not of %q", c.ClassID, class.CropID, c.CropID), "choose a class of the cultivar's own crop")
		}
		if c.CropsBorne == "breba" && c.MainHeatCd.Set {
			t.warn(i, "main_heat_cd", "main_heat_cd of a cultivar that bears brebas only is not used", "crops_borne may be main, breba or both")
		}
		if c.CropsBorne == "main" && c.BrebaHeatCd.Set {
			t.warn(i, "breba_heat_cd", "breba_heat_cd of a cultivar that bears no brebas is not used", "crops_borne may be main, breba or both")
		}
	}
}

func (l *loader) checkMethods() {
	for i, m := range l.methods.rows {
		t := &l.methods.tableBase
		if !t.whole(i) {
			continue
		}
		if m.HeadStartMax.Set {
			pair(t, i, "head_start_weeks", "head_start_max_weeks", number(m.HeadStartWeeks), number(m.HeadStartMax), true)
		}
		pair(t, i, "winter_gain_low_c", "winter_gain_high_c", m.WinterGainLowC, m.WinterGainHighC, true)
		pair(t, i, "carry_below_c", "carried_to_c", m.CarryBelowC, m.CarriedToC, true)
		if m.CarryBelowC.Set != m.CarriedToC.Set && !t.faulty(i, "carry_below_c") && !t.faulty(i, "carried_to_c") {
			there, not := "carry_below_c", "carried_to_c"
			if m.CarriedToC.Set {
				there, not = not, there
			}
			t.fault(i, not, fmt.Sprintf("%s is blank where %s is not", not, there), "fill both, or neither where nothing is carried")
		}
		if m.Place == "ground" && m.StoreID != "" {
			t.warn(i, "store_id", "store_id of a method in the ground is not used", "")
		}
	}
}
