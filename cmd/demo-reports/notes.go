package main

import "ripeward/build/day"

// Notes by what there is to tell, in a grower's words. Invented.
var (
	notesRipe = []string{
		"First two soft on the same day, the rest a week behind.",
		"Neck bent over properly this time.",
		"One split after the rain, the others fine.",
		"Sweet but small.",
		"Best year yet.",
		"Wasps had half of it before I looked.",
		"Picked a day too early, to be honest.",
		"In the kitchen window overnight towards the end.",
		"Seven on this one, and a dozen more coming.",
		"Repotted in March, did it good.",
		"Nice and heavy, honey drop at the eye.",
		"The lowest fruit first, as always.",
		"Only the one so far.",
		"Pinched at six leaves in June.",
		"Moved it to the warm side of the shed at the last.",
		"The children found it before me.",
		"Mites in May but it shook them off.",
		"Blackbird got the first, this is the second.",
		"Same spot as last year, a few days either way.",
		"Bit of mould round the eye, eaten all the same.",
		"Ate it standing in the rain.",
		"Wrote the day on the calendar, so sure of it.",
	}
	notesFailed = []string{
		"Still hard and green when the frost came.",
		"Swelling nicely, then the cold nights.",
		"Plenty of fruit, none of it moved after mid-September.",
		"Leaves black on the morning of the frost, fruit like marbles.",
		"Stopped looking after that.",
		"Two were soft-ish but not what I call ripe.",
		"Cut the lot off and tried again next year.",
		"Poor summer, nobody here had any.",
		"Brought it in too late I think.",
		"Figlets only showed in July.",
		"Coloured, but never softened.",
	}
	notesAway = []string{
		"Away for a fortnight, several soft when we got back.",
		"Neighbour watered and says they were ripe the week before.",
		"Found three on the ground.",
		"Did not look under the leaves until then.",
	}
	notesDieback = []string{
		"Back from the root again.",
		"Dead to the soil line, new shoots by June.",
		"All top growth gone under the cover.",
		"Winter took everything above the mulch.",
	}
	notesSetBack = []string{
		"Late frost had the first leaves.",
		"Caught by the frost in May, started over.",
	}
	notesBreba = []string{
		"Kept six brebas, four made it.",
		"Huge brebas, a bit watery.",
		"Birds like these better than the main crop.",
		"Dropped most of them in June, two left.",
		"Brebas on the old wood by the wall only.",
	}
	notesNoWasp = []string{
		"All dropped in July.",
		"Yellowed and fell, every one.",
		"Dropped again. Going to a member with a greenhouse, or the compost.",
	}
)

// note picks a note that fits what was seen.
func (w *world) note(r *report, s source) string {
	from := notesRipe
	_, can := w.truth.need(r.cultivar, r.part)
	switch {
	case !can:
		from = notesNoWasp
	case r.dieback == "ground" && s.percent(60):
		from = notesDieback
	case r.life.supply.SetBacks > 0 && r.life.out == day.None && s.percent(70):
		from = notesSetBack
	case r.outcome == "not-ripe" && r.part == "breba":
		return "None left by July."
	case r.outcome == "not-ripe":
		from = notesFailed
	case r.outcome == "already-ripe":
		from = notesAway
	case r.part == "breba" && s.percent(60):
		from = notesBreba
	case r.crop(w) != "fig":
		return ""
	}
	return from[s.IntN(len(from))]
}

func (r *report) crop(w *world) string { return string(w.cultivars[r.cultivar].CropID) }
