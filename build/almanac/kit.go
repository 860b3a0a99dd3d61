package almanac

import (
	"cmp"
	"math"
	"slices"

	"ripeward/build/club"
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// kit is the club's rule tables in the ripening model's own types, made once
// and read by all towns.
type kit struct {
	club      *club.Club
	crops     map[string]*cropKit
	cropOrder []*cropKit // crops that some cultivar needs, in table order
	methods   []methodKit
	together  [2]*methodKit // the plain pot and the plain head start; nil where the club has none
	reference *cropKit      // the first crop with a ripening model: plans and tasks speak of it
}

type cropKit struct {
	row       club.Crop
	model     ripening.Crop
	ripens    bool
	cultivars []cultivarKit
}

type methodKit struct {
	row   club.Method
	model ripening.Method
	weeks []int // every head start asked for, the default among them
}

// cultivarKit is a cultivar with its questions worked out, as far as they do
// not depend on the town.
type cultivarKit struct {
	row   club.Cultivar
	parts []part
	class *club.Class
}

// part is one line of the odds of a cultivar: a crop part with or without
// brebas.
type part struct {
	name, brebas string
	reason       string // why there are no odds
	basis        string
	need         ripening.Need
	delay        float64
	onOldWood    bool
	reports      int // behind the need; 0 where it is not learned
	growers      int
}

// Reasons why there are no odds.
const (
	NoModel    = "no-model"
	NoWasp     = "no-wasp"
	NoHeatNeed = "no-heat-need"
	NoYears    = "no-years"
)

// Where a heat need came from.
const (
	BasisCultivar = "cultivar-row"
	BasisClass    = "class"
	BasisCrop     = "crop"
)

func newKit(c *club.Club) *kit {
	k := &kit{club: c, crops: map[string]*cropKit{}}
	for _, row := range c.Crops {
		ck := &cropKit{row: row, ripens: row.RipeningModel == "first-ripe-heat", model: ripening.Crop{
			Base: row.BaseC.Or(10), Upper: row.UpperC.Or(math.Inf(1)), LeafOutHeat: row.LeafOutHeatCd.Or(0),
			ShootDamage: row.ShootDamageC.Or(math.Inf(-1)), RipeningFloor: row.RipeningFloorC.Or(math.Inf(-1)),
			FruitEnd: row.FruitEndC.Or(math.Inf(-1)), CropSpread: row.CropSpreadCd.Or(0),
			BrebaDelay: row.BrebaDelayCd.Or(0), DiebackDelay: row.DiebackDelayCd.Or(0),
		}}
		k.crops[string(row.ID)] = ck
	}
	for _, row := range c.Cultivars {
		ck := k.crops[string(row.CropID)]
		if ck == nil {
			continue // the club room has said so; it was set aside
		}
		cu := cultivarKit{row: row}
		for i := range c.Classes {
			if c.Classes[i].ID == row.ClassID && row.ClassID != "" {
				cu.class = &c.Classes[i]
			}
		}
		cu.parts = k.partsOf(ck, &cu)
		ck.cultivars = append(ck.cultivars, cu)
	}
	for _, row := range c.Crops {
		if ck := k.crops[string(row.ID)]; len(ck.cultivars) > 0 {
			k.cropOrder = append(k.cropOrder, ck)
			if k.reference == nil && ck.ripens {
				k.reference = ck
			}
		}
	}
	for _, row := range c.Methods {
		m := methodKit{row: row, model: ripening.Method{
			Ground: row.Place == "ground", Planned: row.Wake == "planned",
			IndoorC: row.IndoorC.Or(0), IndoorShare: row.IndoorShare.Or(0),
			DayGain: row.DayGainC.Or(0), Vent: row.VentC.Or(defaultVent), NightGain: row.NightGainC.Or(0),
			HeatFloor: row.HeatFloorC.Or(nan), HeaterW: row.HeaterW.Or(0),
			CarryBelow: row.CarryBelowC.Or(nan), CarriedTo: row.CarriedToC.Or(0), ExtraNeed: row.ExtraNeedCd.Or(0),
		}}
		tent := m.tent()
		m.model.LossWPerK = tent.LossWPerK()
		m.weeks = []int{0}
		if m.model.Planned && !m.model.Ground {
			for w := 1; w <= max(row.HeadStartMax.Or(0), row.HeadStartWeeks.Or(0)); w++ {
				m.weeks = append(m.weeks, w)
			}
		}
		k.methods = append(k.methods, m)
	}
	slices.SortStableFunc(k.methods, func(a, b methodKit) int { return cmp.Compare(a.row.ID, b.row.ID) })
	for i := range k.methods {
		m := &k.methods[i]
		if m.model.Ground || m.model.Warms() {
			continue
		}
		at := 0
		if m.model.Planned && m.defaultWeeks() > 0 {
			at = 1
		} else if m.row.CarryBelowC.Set {
			continue
		}
		// Of several, the one that leaves the most nights outdoors.
		if have := k.together[at]; have == nil || m.row.CarryBelowC.Or(-99) < have.row.CarryBelowC.Or(-99) {
			k.together[at] = m
		}
	}
	return k
}

// defaultVent is the temperature (°C) at which tents are opened where
// methods.csv does not say (TABLES, vent_c).
const defaultVent = 28

func (k *kit) method(id string) *methodKit {
	for i := range k.methods {
		if string(k.methods[i].row.ID) == id {
			return &k.methods[i]
		}
	}
	return nil
}

func (m *methodKit) defaultWeeks() int {
	if len(m.weeks) == 1 {
		return 0
	}
	return m.row.HeadStartWeeks.Or(0)
}

// partsOf lists the lines of odds of a cultivar.
func (k *kit) partsOf(ck *cropKit, cu *cultivarKit) []part {
	row := &cu.row
	if !ck.ripens {
		return []part{{name: "main", reason: NoModel}}
	}
	main := part{name: "main"}
	k.setNeed(ck, cu, &main)
	breba := part{name: "breba", onOldWood: true}
	k.setNeed(ck, cu, &breba)
	borne := string(row.CropsBorne)
	switch row.Pollination {
	case "san-pedro": // its brebas set by themselves, its main crop does not
		main.reason = NoWasp
		if borne == "" {
			borne = "both"
		}
	case "smyrna":
		main.reason, breba.reason = NoWasp, NoWasp
	}
	switch borne {
	case "breba":
		return []part{breba}
	case "both":
		breba.brebas = "kept"
		if main.reason != "" {
			return []part{breba, main}
		}
		removed, kept := main, main
		removed.brebas, kept.brebas = "removed", "kept"
		kept.delay += ck.model.BrebaDelay
		return []part{breba, kept, removed}
	}
	return []part{main}
}

// setNeed fills in the heat need: the cultivar's own row, else its class, else
// the mean of its crop's classes (SCIENCE 6).
func (k *kit) setNeed(ck *cropKit, cu *cultivarKit, p *part) {
	mu, se, sd := cu.row.MainHeatCd, cu.row.MainHeatSe, cu.row.MainHeatSd
	if p.onOldWood {
		mu, se, sd = cu.row.BrebaHeatCd, cu.row.BrebaHeatSe, cu.row.BrebaHeatSd
	}
	class, found := k.classNeed(ck, cu.class, p.onOldWood)
	p.need, p.basis = class.need, class.basis
	if mu.Set {
		p.need.Mu, p.basis = mu.Value, BasisCultivar
	}
	if se.Set {
		p.need.SE = se.Value
	}
	if sd.Set {
		garden, year := class.need.GardenSd, class.need.YearSd
		if garden == 0 && year == 0 {
			garden, year = 1, 1 // nothing to split by: evenly
		}
		p.need.GardenSd, p.need.YearSd = ripening.Split(sd.Value, garden, year)
	}
	if !mu.Set && !found || p.need.Sd() == 0 {
		p.reason = NoHeatNeed
	}
}

type classNeed struct {
	need  ripening.Need
	basis string
}

// classNeed returns a class's need, or the mean of the crop's classes with
// their spread as doubt.
func (k *kit) classNeed(ck *cropKit, class *club.Class, breba bool) (classNeed, bool) {
	of := func(c *club.Class) (mu, se club.Number) {
		if breba {
			return c.BrebaHeatCd, c.BrebaHeatSe
		}
		return c.MainHeatCd, c.MainHeatSe
	}
	if class != nil {
		if mu, se := of(class); mu.Set {
			return classNeed{ripening.Need{Mu: mu.Value, SE: se.Or(0), GardenSd: class.GardenSd.Or(0), YearSd: class.YearSd.Or(0)}, BasisClass}, true
		}
	}
	var n, sum, sumSq, garden, year float64
	for i := range k.club.Classes {
		c := &k.club.Classes[i]
		if mu, _ := of(c); c.CropID == ck.row.ID && mu.Set {
			n++
			sum += mu.Value
			sumSq += mu.Value * mu.Value
			garden += c.GardenSd.Or(0)
			year += c.YearSd.Or(0)
		}
	}
	if n == 0 {
		return classNeed{}, false
	}
	mean := sum / n
	return classNeed{ripening.Need{Mu: mean, SE: math.Sqrt(math.Max(0, sumSq/n-mean*mean)), GardenSd: garden / n, YearSd: year / n}, BasisCrop}, true
}

// hours is what a method asks of the grower in a season, h: setting up,
// carrying, and tending indoors (SCIENCE 7).
func (k *kit) hours(m *methodKit, weeks int, carried float64) float64 {
	perWeek := k.club.Settings.HoursPerWeek
	return quantity.Step(m.row.HoursSetup.Or(0)+carried*m.row.MinutesPerCarry.Or(0)/60+float64(weeks)*perWeek, 1)
}
