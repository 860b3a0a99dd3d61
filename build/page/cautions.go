package page

import (
	"slices"
	"strings"

	"ripeward/build/words"
)

// Caution is a warning that stands where its hazard is. None of them is
// advice on electricity, heating or medicine: each hands over to the people
// and papers that decide.
type Caution struct{ Key, Title, Text string }

// cautions is the one list. Sources: sap, BMJ Case Reports 2021 and
// PMC6229212 (furocoumarins and ultraviolet light); heaters, Ohio State
// University fact sheet AEX-790; the rest common practice.
var cautions = []Caution{
	{"sap", words.Mark("Sap burns in sunlight"), words.Mark("Fig sap and leaves make skin burn and blister in sunlight within a day or two, and the marks can last for months. Wear gloves and long sleeves, prune on dull days, wash at once, and keep sap from eyes and children. Blisters are for a doctor.")},
	{"heaters", words.Mark("Heaters: fire and carbon monoxide"), words.Mark("Fuel burnt in a tent, shed or garage gives off carbon monoxide, which kills without a smell. Keep any heater a metre (3 ft) from plastic, leaves and wraps, never leave a fuel heater alone or burning overnight, and hang smoke and carbon monoxide alarms. Follow the maker’s instructions and your local fire code.")},
	{"electricity", words.Mark("Electricity near water"), words.Mark("Use outlets with a residual-current device (RCD, called GFCI in North America), cords rated for outdoors, and loops that let water drip off before the plug. No cords under doors or pots, and no heating cable used in a way its maker does not list. New circuits are work for a licensed electrician under your local code.")},
	{"lifting", words.Mark("Heavy pots"), words.Mark("A wet pot of 40 to 60 litres weighs as much as a person can safely lift or more. Move pots before watering, with a hand truck, a ramp, straps and a second pair of hands.")},
	{"bait", words.Mark("Mice, traps and bait"), words.Mark("Mesh collars and traps in boxes come first. Bait only as its label says and out of reach of children, pets and wildlife. Wet droppings down and wear gloves and a mask; do not sweep them dry. Local rules may forbid some baits.")},
	{"mould", words.Mark("Mould and dust"), words.Mark("Air a store before working in it. Wear a mask when cleaning out mouldy wraps, damp peat and compost before handling them, and wear gloves: their dust can carry germs that harm the lungs.")},
	{"storage-fumes", words.Mark("Garages and fumes"), words.Mark("A car, mower or generator must not run where trees are stored and people work: exhaust gathers behind closed doors. Keep paint, fuel and sprays away from heaters, and keep a carbon monoxide alarm there.")},
	{"ladder", words.Mark("Ladders"), words.Mark("Stand ladders on level ground, keep three points of contact, and do not reach out for the last fig. Ask somebody to hold it.")},
	{"snow", words.Mark("Snow, ice and wind"), words.Mark("Wet snow brings tents and tunnels down. Clear it from outside, never while somebody is inside, and leave roofs and ice alone.")},
	{"sprays", words.Mark("Sprays"), words.Mark("Use only products labelled for this crop where you live. The label is the law, the waiting time before harvest with it; some places forbid garden pesticides altogether.")},
	{"eating", words.Mark("Eating"), words.Mark("Eat ripe fruit only: unripe figs and their milk irritate mouth and skin. Throw sour, fizzy or mouldy fruit away. Anybody allergic to latex or mulberry should ask a doctor first.")},
	{"moving-plants", words.Mark("Moving plants and cuttings"), words.Mark("Plants and cuttings often need permits and papers across a border, and sometimes between provinces or states. Ask the plant health agency before you post or carry any.")},
}

// cautionOf finds a caution by key, in the language.
func (v voice) cautionOf(key string) (Caution, bool) {
	i := slices.IndexFunc(cautions, func(c Caution) bool { return c.Key == key })
	if i < 0 {
		return Caution{}, false
	}
	c := cautions[i]
	return Caution{c.Key, v.Say(c.Title), v.Say(c.Text)}, true
}

// cautionKeys lists the keys, for messages.
func cautionKeys() []string {
	keys := make([]string, len(cautions))
	for i, c := range cautions {
		keys[i] = c.Key
	}
	return keys
}

// cautionsIn reads a caution cell: keys of the list separated by ";". A part
// that is no key is the club's own text and is kept as it is.
func (v voice) cautionsIn(cell string) []Caution {
	var out []Caution
	for _, part := range strings.Split(cell, ";") {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		c, ok := v.cautionOf(part)
		if !ok {
			c = Caution{Text: part}
		}
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}
