package club

import "ripeward/build/diag"

// Row is what every table row carries beside its own columns: where it stands
// and its translated texts.
type Row struct {
	At diag.Place `csv:"-"`
	// Other holds translated columns by name (name_fr), and nothing else.
	Other map[string]string `csv:"-"`
}

// In returns the text of column in language lang ("fr"), else fallback, and
// whether a translation was found.
func (r Row) In(lang, column, fallback string) (string, bool) {
	if t := r.Other[column+"_"+lang]; t != "" {
		return t, true
	}
	return fallback, false
}

// Zone is a row of zones.csv: towns that the club treats alike.
type Zone struct {
	Row
	ID    Text `csv:"zone_id"`
	Name  Text `csv:"name"`
	About Text `csv:"about"`
}

// Town is a row of towns.csv. Offsets are in °C and apply on top of the lapse.
type Town struct {
	Row
	ID          Text   `csv:"town_id"`
	Name        Text   `csv:"name"`
	ZoneID      Text   `csv:"zone_id"`
	Latitude    Number `csv:"latitude"`
	Longitude   Number `csv:"longitude"`
	ElevationM  Number `csv:"elevation_m"`
	StationIDs  List   `csv:"station_ids"` // lead first
	DayOffset   Number `csv:"day_offset_c"`
	NightOffset Number `csv:"night_offset_c"`
	About       Text   `csv:"about"`
}

// Station is a row of stations.csv.
type Station struct {
	Row
	ID              Text   `csv:"station_id"`
	Name            Text   `csv:"name"`
	Latitude        Number `csv:"latitude"`
	Longitude       Number `csv:"longitude"`
	ElevationM      Number `csv:"elevation_m"`
	Dialect         Text   `csv:"dialect"`
	ObservationTime Text   `csv:"observation_time"`
	Credit          Text   `csv:"credit"`
	Licence         Text   `csv:"licence"`
	About           Text   `csv:"about"`
}

// Crop is a row of crops.csv: temperatures in °C, heat in °C·d, spread and
// delays in °C·d.
type Crop struct {
	Row
	ID             Text   `csv:"crop_id"`
	Name           Text   `csv:"name"`
	Latin          Text   `csv:"latin"`
	RipeningModel  Text   `csv:"ripening_model"` // first-ripe-heat or none
	BaseC          Number `csv:"base_c"`
	UpperC         Number `csv:"upper_c"`
	LeafOutHeatCd  Number `csv:"leaf_out_heat_cd"`
	ShootDamageC   Number `csv:"shoot_damage_c"`
	RipeningFloorC Number `csv:"ripening_floor_c"`
	FruitEndC      Number `csv:"fruit_end_c"`
	UsefulEndC     Number `csv:"useful_end_c"`
	CropSpreadCd   Number `csv:"crop_spread_cd"`
	BrebaDelayCd   Number `csv:"breba_delay_cd"`
	DiebackDelayCd Number `csv:"dieback_delay_cd"`
	WoodKillSdC    Number `csv:"wood_kill_sd_c"`
	ChillNeed      Number `csv:"chill_need_portions"`
	StoreLowC      Number `csv:"store_low_c"`
	StoreHighC     Number `csv:"store_high_c"`
	BringInC       Number `csv:"bring_in_c"`
	RootKillC      Number `csv:"root_kill_c"`
	Source         Text   `csv:"source"`
}

// Class is a row of classes.csv: cultivars of a crop that ripen alike. Heat in
// °C·d from leaf-out to the first ripe fruit.
type Class struct {
	Row
	ID           Text   `csv:"class_id"`
	CropID       Text   `csv:"crop_id"`
	Name         Text   `csv:"name"`
	MainHeatCd   Number `csv:"main_heat_cd"`
	MainHeatSe   Number `csv:"main_heat_se_cd"`
	GardenSd     Number `csv:"garden_sd_cd"`
	YearSd       Number `csv:"year_sd_cd"`
	BrebaHeatCd  Number `csv:"breba_heat_cd"`
	BrebaHeatSe  Number `csv:"breba_heat_se_cd"`
	FigletHeatCd Number `csv:"figlet_heat_cd"`
	Source       Text   `csv:"source"`
}

// Cultivar is a row of cultivars.csv.
type Cultivar struct {
	Row
	ID            Text   `csv:"cultivar_id"`
	CropID        Text   `csv:"crop_id"`
	Name          Text   `csv:"name"`
	AlsoCalled    List   `csv:"also_called"`
	ClassID       Text   `csv:"class_id"`
	CropsBorne    Text   `csv:"crops_borne"` // main, breba, both
	Pollination   Text   `csv:"pollination"` // common, san-pedro, smyrna or blank
	MainHeatCd    Number `csv:"main_heat_cd"`
	MainHeatSe    Number `csv:"main_heat_se_cd"`
	MainHeatSd    Number `csv:"main_heat_sd_cd"`
	BrebaHeatCd   Number `csv:"breba_heat_cd"`
	BrebaHeatSe   Number `csv:"breba_heat_se_cd"`
	BrebaHeatSd   Number `csv:"breba_heat_sd_cd"`
	WoodKillC     Number `csv:"wood_kill_c"`
	FruitG        Number `csv:"fruit_g"`
	YieldClass    Text   `csv:"yield_class"`
	RainTolerance Text   `csv:"rain_tolerance"`
	Eye           Text   `csv:"eye"`
	Skin          Text   `csv:"skin"`
	Flavour       Text   `csv:"flavour"`
	Source        Text   `csv:"source"`
	Notes         Text   `csv:"notes"`
}

// Method is a row of methods.csv: a way of growing as day-by-day thermal
// rules. See package ripening for what each column does.
type Method struct {
	Row
	ID              Text   `csv:"method_id"`
	Name            Text   `csv:"name"`
	Place           Text   `csv:"place"` // pot or ground
	StoreID         Text   `csv:"store_id"`
	Wake            Text   `csv:"wake"` // planned or natural
	OutAnchor       Text   `csv:"out_anchor"`
	OutOffsetDays   Whole  `csv:"out_offset_days"`
	InAnchor        Text   `csv:"in_anchor"`
	InOffsetDays    Whole  `csv:"in_offset_days"`
	HeadStartWeeks  Whole  `csv:"head_start_weeks"`
	HeadStartMax    Whole  `csv:"head_start_max_weeks"`
	IndoorC         Number `csv:"indoor_c"`
	IndoorShare     Number `csv:"indoor_share"`
	DayGainC        Number `csv:"day_gain_c"`
	VentC           Number `csv:"vent_c"`
	NightGainC      Number `csv:"night_gain_c"`
	HeatFloorC      Number `csv:"heat_floor_c"`
	CarryBelowC     Number `csv:"carry_below_c"`
	CarriedToC      Number `csv:"carried_to_c"`
	ExtraNeedCd     Number `csv:"extra_need_cd"`
	TentAreaM2      Number `csv:"tent_area_m2"`
	TentVolumeM3    Number `csv:"tent_volume_m3"`
	TentU           Number `csv:"tent_u"`
	AirChangesH     Number `csv:"air_changes_h"`
	SunShare        Number `csv:"sun_share"`
	HeaterW         Number `csv:"heater_w"`
	WinterGainLowC  Number `csv:"winter_gain_low_c"`
	WinterGainHighC Number `csv:"winter_gain_high_c"`
	HoursSetup      Number `csv:"hours_setup"`
	MinutesPerCarry Number `csv:"minutes_per_carry"`
	Cautions        Text   `csv:"cautions"`
}

// Store is a row of stores.csv: where pots spend the winter.
type Store struct {
	Row
	ID                Text   `csv:"store_id"`
	Name              Text   `csv:"name"`
	TimeConstantH     Number `csv:"time_constant_h"`
	HouseShare        Number `csv:"house_share"`
	HouseC            Number `csv:"house_c"`
	GroundShare       Number `csv:"ground_share"`
	HeaterFloorC      Number `csv:"heater_floor_c"`
	WrapTimeConstantH Number `csv:"wrap_time_constant_h"`
	Source            Text   `csv:"source"`
}

// StoreReading is a row of store-log.csv: a minimum-maximum thermometer read
// on Date and last reset on ResetOn.
type StoreReading struct {
	Row
	StoreID Text   `csv:"store_id"`
	TownID  Text   `csv:"town_id"`
	Date    Date   `csv:"date"`
	LowC    Number `csv:"low_c"`
	HighC   Number `csv:"high_c"`
	ResetOn Date   `csv:"reset_on"`
}

// Mix is a row of mixes.csv: one ingredient of a potting mix, in parts by
// volume.
type Mix struct {
	Row
	ID    Text   `csv:"mix_id"`
	Name  Text   `csv:"name"`
	Part  Text   `csv:"part"`
	Parts Number `csv:"parts"`
}

// Pot is a row of pots.csv.
type Pot struct {
	Row
	ID              Text   `csv:"pot_id"`
	Litres          Number `csv:"litres"`
	DiameterCm      Number `csv:"diameter_cm"`
	CanopyM2        Number `csv:"canopy_m2"`
	WetKgPerL       Number `csv:"wet_kg_per_l"`
	UsableWaterFrac Number `csv:"usable_water_share"`
}

// Feed is a row of feeds.csv.
type Feed struct {
	Row
	ID        Text   `csv:"feed_id"`
	Name      Text   `csv:"name"`
	NPercent  Number `csv:"n_percent"`
	PpmN      Number `csv:"ppm_n"`
	EveryDays Number `csv:"every_days"`
}

// Task is a row of tasks.csv: a job of the year hung on an anchor date.
type Task struct {
	Row
	ID         Text  `csv:"task_id"`
	Name       Text  `csv:"name"`
	Anchor     Text  `csv:"anchor"`
	OffsetDays Whole `csv:"offset_days"`
	LastsDays  Whole `csv:"lasts_days"`
	Methods    List  `csv:"methods"`
	Why        Text  `csv:"why"`
	Caution    Text  `csv:"caution"`
	Link       Text  `csv:"link"`
}

// Tree is a row of trees.csv: a tree somebody keeps, so that a missing report
// can be seen as missing.
type Tree struct {
	Row
	ID         Text   `csv:"tree_id"`
	Grower     Text   `csv:"grower"`
	TownID     Text   `csv:"town_id"`
	CultivarID Text   `csv:"cultivar_id"`
	MethodID   Text   `csv:"method_id"`
	SinceYear  Whole  `csv:"since_year"`
	UntilYear  Whole  `csv:"until_year"`
	PotLitres  Number `csv:"pot_litres"`
	Site       Text   `csv:"site"` // open, wall, tent, hollow
}

// Report is a row of reports/*.csv: one tree's ripening in one year.
type Report struct {
	Row
	ID             Text   `csv:"report_id"`
	TownID         Text   `csv:"town_id"`
	CultivarID     Text   `csv:"cultivar_id"`
	NameAsGiven    Text   `csv:"name_as_given"`
	CropPart       Text   `csv:"crop_part"` // main, breba
	MethodID       Text   `csv:"method_id"`
	Year           Whole  `csv:"year"`
	Outcome        Text   `csv:"outcome"` // ripe, not-ripe, already-ripe
	HeadStartWeeks Whole  `csv:"head_start_weeks"`
	WokeOn         Date   `csv:"woke_on"`
	LeafedOn       Date   `csv:"leafed_on"`
	MovedOutOn     Date   `csv:"moved_out_on"`
	FigletOn       Date   `csv:"figlet_on"`
	SeenOn         Date   `csv:"seen_on"`
	CheckedOn      Date   `csv:"checked_on"`
	DatePrecision  Text   `csv:"date_precision"` // day, 3-days, week, third-of-month, month
	Brebas         Text   `csv:"brebas"`         // kept, removed or blank
	Dieback        Text   `csv:"dieback"`        // none, part, ground
	TreeID         Text   `csv:"tree_id"`
	TreeAgeY       Number `csv:"tree_age_y"`
	Grower         Text   `csv:"grower"`
	Consent        Text   `csv:"consent"` // public or blank
	Status         Text   `csv:"status"`  // blank, reviewed, kept, held, rejected
	Notes          Text   `csv:"notes"`
}

// Settings is club.toml.
type Settings struct {
	Name           string   `toml:"name"`
	Tagline        string   `toml:"tagline"`
	Languages      []string `toml:"languages"`
	HomeUnits      string   `toml:"home_units"` // metric or us
	SiteURL        string   `toml:"site_url"`
	ReferenceYears string   `toml:"reference_years"` // "1991-2020"
	PlanYear       int      `toml:"plan_year"`
	LapseCPerKm    float64  `toml:"lapse_c_per_km"` // 6.5 unless set
	EnergyPrice    float64  `toml:"energy_price_per_kwh"`
	Currency       string   `toml:"currency"`
	HoursPerWeek   float64  `toml:"hours_per_indoor_week"` // 1 unless set
	DateOrder      string   `toml:"date_order"`            // "", day-first, month-first
	Keep           []string `toml:"keep"`
	DataLicence    string   `toml:"data_licence"`
	Contact        string   `toml:"contact"`
	// Notice is printed at the head of every page; a demonstration club says
	// here that its weather, towns and cultivars are invented.
	Notice   string            `toml:"notice"`
	Other    map[string]string `toml:"-"` // translated texts: tagline_fr, notice_fr
	FirstRef int               `toml:"-"` // reference_years parsed; 0 where not set
	LastRef  int               `toml:"-"`
}

// Club is a club's folder, read and checked. Tables keep file order.
type Club struct {
	Dir       string
	Settings  Settings
	Zones     []Zone
	Towns     []Town
	Stations  []Station
	Crops     []Crop
	Classes   []Class
	Cultivars []Cultivar
	Methods   []Method
	Stores    []Store
	StoreLog  []StoreReading
	Mixes     []Mix
	Pots      []Pot
	Feeds     []Feed
	Tasks     []Task
	Trees     []Tree
	Reports   []Report
	// LastYear is the baseline of the last closed year; nil without one.
	LastYear *LastYear
	// StationFiles are the daily files in data/stations, sorted, as paths
	// that can be opened.
	StationFiles []string
	// Offers are the rows of Options.Candidate, in its order.
	Offers []Offer
	// Dropped are the rows left out by --set-aside.
	Dropped diag.Problems
	// Inputs are all files read, sorted, as slash paths relative to Dir
	// (embedded defaults are not among them).
	Inputs []string

	index *index // by id; nil in a Club that was not loaded
}
