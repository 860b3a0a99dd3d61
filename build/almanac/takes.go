package almanac

import (
	"ripeward/build/quantity"
	"ripeward/build/ripening"
)

// targets are the shares of years that takes are worked out for (SCIENCE 7).
var targets = [...]float64{0.5, 0.8, 0.9}

// Reasons why no way of growing reaches a target.
const (
	TooLittleHeat = "too-little-heat"
	WoodKilled    = "wood-killed"
)

// takes works out what it would take to ripen each crop part of each cultivar:
// the ways, over all methods and whole weeks, that no other beats. Where a
// cultivar bears brebas too, they are off for its main crop.
func (k *kit) takes(b *Book, t *Town) {
	ways := map[needKey][]ripening.Way{}
	reasons := map[needKey]string{}
	price := b.Club.Settings.EnergyPrice
	var order []needKey
	for _, lines := range [2][]Odds{t.Odds, t.Weeks} {
		for i := range lines {
			o := &lines[i]
			key := needKey{o.Cultivar, o.Part}
			if o.Part == "main" && o.Brebas == "kept" {
				continue
			}
			if _, seen := reasons[key]; !seen {
				order = append(order, key)
				reasons[key] = o.Reason
			}
			if o.Reason != "" || &lines[0] == &t.Odds[0] && len(k.method(o.Method).weeks) > 1 {
				continue // the weeks hold it again
			}
			reasons[key] = ""
			ways[key] = append(ways[key], ripening.Way{Method: o.Method, Weeks: o.Weeks, Odds: o.Odds, Hours: o.Hours, Nights: o.CarriedMean,
				KWh: o.KWhMean, Cost: quantity.Step(o.KWhMean*price, 1)})
		}
	}
	for _, key := range order {
		for _, target := range targets {
			t.Takes = append(t.Takes, takeOf(t, key, target, ways[key], reasons[key]))
		}
	}
}

func takeOf(t *Town, key needKey, target float64, ways []ripening.Way, reason string) Take {
	take := Take{Cultivar: key.cultivar, Part: key.part, Target: target, Reason: reason}
	for _, w := range ripening.Frontier(ways, target) {
		take.Ways = append(take.Ways, TakeWay(w))
	}
	if len(take.Ways) > 0 || reason != "" {
		return take
	}
	var best *ripening.Way
	for i := range ways {
		if w := &ways[i]; best == nil || w.Odds > best.Odds || w.Odds == best.Odds && w.Hours < best.Hours {
			best = w
		}
	}
	if best != nil && best.Odds > 0 {
		way := TakeWay(*best)
		take.Best = &way
	}
	take.Reason = TooLittleHeat
	if t.unkilled[key] >= target {
		take.Reason = WoodKilled
	}
	return take
}

// noteUnkilled remembers how a line in the ground would do if its wood always
// lived.
func (t *Town) noteUnkilled(a *asking, cu *cultivarKit, p *part) {
	if !a.method.model.Ground || p.reason != "" || len(a.grown) == 0 {
		return
	}
	years := a.yearsOf(cu, p)
	for i := range years {
		years[i].Kill = 0
	}
	if t.unkilled == nil {
		t.unkilled = map[needKey]float64{}
	}
	key := needKey{string(cu.row.ID), p.name}
	t.unkilled[key] = max(t.unkilled[key], quantity.Step(ripening.Share(years, a.question(p)), stepOdds))
}
