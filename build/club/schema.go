package club

// Anchors are the dates that methods and tasks may hang on: the closed list of
// SCIENCE, section 5.
var Anchors = []string{
	"dormant_out", "harden_off", "out", "wake", "leaf_out", "figlet",
	"last_useful_figlet", "last_useful_pinch",
	"first_ripe_1_in_10", "first_ripe_1_in_2", "first_ripe_9_in_10",
	"useful_end_1_in_2",
	"last_freeze_1_in_10", "last_freeze_1_in_2",
	"first_freeze_1_in_10", "first_freeze_1_in_2",
	"first_freeze_m22_1_in_10", "first_freeze_m22_1_in_2",
	"dormant_in", "store_wakes", "feed_stop", "uncover",
}

var (
	folder = rule{need: wantCell, form: folderForm}
	code   = rule{need: wantCell, form: codeForm}
	anchor = rule{oneOf: Anchors}
	year   = span(firstYear, lastYear)
)

// The tables. Columns that TABLES prints in bold must be there; for tables
// that print none, the columns without which a row says nothing. Bounds of
// numbers are wide on purpose: they catch a wrong unit, a shifted column or a
// slip of the finger, not an unusual garden.
var (
	zoneSpec = specOf[Zone]("zones", "zone_id", map[string]rule{"zone_id": folder, "name": filled})

	townSpec = specOf[Town]("towns", "town_id", map[string]rule{
		"town_id": folder, "name": filled, "zone_id": ref("zones").with(wantCell),
		"latitude": span(-90, 90).with(wantCell), "longitude": span(-180, 180).with(wantCell),
		"elevation_m": span(-500, 9000).with(wantCell), "station_ids": ref("stations"),
		"day_offset_c": span(-15, 15), "night_offset_c": span(-15, 15),
	})

	// The data files may fill blanks of position and height.
	stationSpec = specOf[Station]("stations", "station_id", map[string]rule{
		"station_id": code, "name": filled, "latitude": span(-90, 90).with(wantColumn),
		"longitude": span(-180, 180).with(wantColumn), "elevation_m": span(-500, 9000).with(wantColumn),
	})

	cropSpec = specOf[Crop]("crops", "crop_id", map[string]rule{
		"crop_id": folder, "name": filled,
		"ripening_model": oneOf(FirstRipeHeat, NoModel).with(wantCell),
		"base_c":         span(-10, 30).with(wantColumn), "upper_c": span(0, 60).with(wantColumn),
		"leaf_out_heat_cd": span(0, 5000), "shoot_damage_c": span(-40, 15), "ripening_floor_c": span(-10, 40),
		"fruit_end_c": span(-10, 40), "useful_end_c": span(-10, 40), "crop_spread_cd": span(0, 5000),
		"breba_delay_cd": span(0, 5000), "dieback_delay_cd": span(0, 5000), "wood_kill_sd_c": above(0, 20),
		"chill_need_portions": span(0, 200), "store_low_c": span(-40, 30), "store_high_c": span(-40, 40),
		"bring_in_c": span(-40, 30), "root_kill_c": span(-60, 15),
	})

	classSpec = specOf[Class]("classes", "class_id", map[string]rule{
		"class_id": folder, "crop_id": ref("crops").with(wantCell), "name": filled,
		"main_heat_cd": above(0, 10000), "main_heat_se_cd": span(0, 5000), "garden_sd_cd": above(0, 5000),
		"year_sd_cd": above(0, 5000), "breba_heat_cd": above(0, 10000), "breba_heat_se_cd": span(0, 5000),
		"figlet_heat_cd": span(0, 10000),
	})

	cultivarSpec = specOf[Cultivar]("cultivars", "cultivar_id", map[string]rule{
		"cultivar_id": folder, "crop_id": ref("crops").with(wantCell), "name": filled,
		"class_id": ref("classes"), "crops_borne": oneOf("main", "breba", "both"),
		"pollination": oneOf("common", "san-pedro", "smyrna"), "main_heat_cd": above(0, 10000),
		"main_heat_se_cd": span(0, 5000), "main_heat_sd_cd": above(0, 5000), "breba_heat_cd": above(0, 10000),
		"breba_heat_se_cd": span(0, 5000), "breba_heat_sd_cd": above(0, 5000), "wood_kill_c": span(-60, 15),
		"fruit_g": above(0, 20000),
	})

	methodSpec = specOf[Method]("methods", "method_id", map[string]rule{
		"method_id": folder, "name": filled, "place": oneOf("pot", "ground").with(wantCell),
		"store_id": ref("stores"), "wake": oneOf("planned", "natural"), "out_anchor": anchor, "in_anchor": anchor,
		"out_offset_days": span(-366, 366), "in_offset_days": span(-366, 366),
		"head_start_weeks": span(0, 52), "head_start_max_weeks": span(0, 52), "indoor_c": span(-10, 45),
		"indoor_share": span(0, 1), "day_gain_c": span(-10, 40), "vent_c": span(0, 60), "night_gain_c": span(-10, 40),
		"heat_floor_c": span(-30, 40), "carry_below_c": span(-30, 40), "carried_to_c": span(-30, 40),
		"extra_need_cd": span(-5000, 5000), "tent_area_m2": above(0, 100000), "tent_volume_m3": above(0, 1e6),
		"tent_u": above(0, 50), "air_changes_h": span(0, 1000), "sun_share": span(0, 1), "heater_w": span(0, 1e6),
		"winter_gain_low_c": span(-20, 50), "winter_gain_high_c": span(-20, 50),
		"hours_setup": span(0, 1000), "minutes_per_carry": span(0, 600),
	})

	storeSpec = specOf[Store]("stores", "store_id", map[string]rule{
		"store_id": folder, "name": filled, "time_constant_h": above(0, 10000), "house_share": span(0, 1),
		"house_c": span(-30, 40), "ground_share": span(0, 1), "heater_floor_c": span(-30, 40),
		"wrap_time_constant_h": span(0, 10000),
	})

	storeLogSpec = specOf[StoreReading]("store-log", "", map[string]rule{
		"store_id": ref("stores").with(wantCell), "town_id": ref("towns").with(wantCell), "date": filled,
		"low_c": span(-70, 60).with(wantCell), "high_c": span(-70, 60).with(wantCell), "reset_on": filled,
	})

	// A mix has a row for each of its parts, so its id is no key.
	mixSpec = specOf[Mix]("mixes", "", map[string]rule{
		"mix_id": folder, "part": filled, "parts": above(0, 1000).with(wantCell),
	})

	potSpec = specOf[Pot]("pots", "pot_id", map[string]rule{
		"pot_id": folder, "litres": above(0, 5000).with(wantCell), "diameter_cm": above(0, 1000),
		"canopy_m2": span(0, 100), "wet_kg_per_l": above(0, 5), "usable_water_share": span(0, 1),
	})

	feedSpec = specOf[Feed]("feeds", "feed_id", map[string]rule{
		"feed_id": folder, "n_percent": span(0, 100), "ppm_n": span(0, 10000), "every_days": above(0, 366),
	})

	taskSpec = specOf[Task]("tasks", "task_id", map[string]rule{
		"task_id": folder, "name": filled, "anchor": anchor.with(wantCell),
		"offset_days": span(-366, 366).with(wantColumn), "lasts_days": span(0, 366), "methods": ref("methods"),
	})

	treeSpec = specOf[Tree]("trees", "tree_id", map[string]rule{
		"tree_id": code, "town_id": ref("towns").with(wantCell), "cultivar_id": ref("cultivars").with(wantCell),
		"method_id": ref("methods"), "since_year": year, "until_year": year, "pot_litres": above(0, 5000),
		"site": oneOf("open", "wall", "tent", "hollow"),
	})

	reportSpec = specOf[Report]("reports", "report_id", map[string]rule{
		"report_id": code, "town_id": ref("towns").with(wantCell), "cultivar_id": ref("cultivars").with(wantCell),
		"crop_part": oneOf("main", "breba").with(wantCell), "method_id": ref("methods").with(wantCell),
		"year": year.with(wantCell), "outcome": oneOf("ripe", "not-ripe", "already-ripe").with(wantCell),
		"head_start_weeks": span(0, 52), "seen_on": titled,
		"date_precision": oneOf("day", "3-days", "week", "third-of-month", "month"),
		"brebas":         oneOf("kept", "removed"), "dieback": oneOf("none", "part", "ground"),
		"tree_id": ref("trees"), "tree_age_y": span(0, 500), "consent": oneOf("public"),
		"status": oneOf("reviewed", "kept", "held", "rejected"),
	})
)

// Values of Crop.RipeningModel.
const (
	FirstRipeHeat = "first-ripe-heat"
	NoModel       = "none"
)
