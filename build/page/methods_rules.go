package page

import (
	"html/template"

	"ripeward/build/club"
	"ripeward/build/words"
)

// anchorText is a date of the plan as a text says it: after "3 days after",
// and after "on the day of".
type anchorText struct{ plain, of string }

var anchorTexts = map[string]anchorText{
	"dormant_out":              {words.Mark("the day dormant pots may go out"), ""},
	"harden_off":               {words.Mark("the start of hardening off"), words.Mark("the start of hardening off|the day of")},
	"out":                      {words.Mark("moving out"), words.Mark("moving out|the day of")},
	"wake":                     {words.Mark("waking"), words.Mark("waking|the day of")},
	"leaf_out":                 {words.Mark("leaf-out"), words.Mark("leaf-out|the day of")},
	"figlet":                   {words.Mark("the first figlets"), words.Mark("the first figlets|the day of")},
	"last_useful_figlet":       {words.Mark("the last figlets that can still ripen"), words.Mark("the last figlets that can still ripen|the day of")},
	"last_useful_pinch":        {words.Mark("the last useful pinch"), words.Mark("the last useful pinch|the day of")},
	"first_ripe_1_in_10":       {words.Mark("the first ripe fruit of an early year"), words.Mark("the first ripe fruit of an early year|the day of")},
	"first_ripe_1_in_2":        {words.Mark("the first ripe fruit of the middle year"), words.Mark("the first ripe fruit of the middle year|the day of")},
	"first_ripe_9_in_10":       {words.Mark("the first ripe fruit of a late year"), words.Mark("the first ripe fruit of a late year|the day of")},
	"useful_end_1_in_2":        {words.Mark("the end of useful ripening in 1 year in 2"), words.Mark("the end of useful ripening in 1 year in 2|the day of")},
	"last_freeze_1_in_10":      {words.Mark("the last spring freeze of 1 year in 10"), words.Mark("the last spring freeze of 1 year in 10|the day of")},
	"last_freeze_1_in_2":       {words.Mark("the last spring freeze of 1 year in 2"), words.Mark("the last spring freeze of 1 year in 2|the day of")},
	"first_freeze_1_in_10":     {words.Mark("the first autumn freeze of 1 year in 10"), words.Mark("the first autumn freeze of 1 year in 10|the day of")},
	"first_freeze_1_in_2":      {words.Mark("the first autumn freeze of 1 year in 2"), words.Mark("the first autumn freeze of 1 year in 2|the day of")},
	"first_freeze_m22_1_in_10": {words.Mark("the first hard freeze of 1 year in 10"), words.Mark("the first hard freeze of 1 year in 10|the day of")},
	"first_freeze_m22_1_in_2":  {words.Mark("the first hard freeze of 1 year in 2"), words.Mark("the first hard freeze of 1 year in 2|the day of")},
	"dormant_in":               {words.Mark("the day dormant pots come in"), ""},
	"store_wakes":              {words.Mark("the week the store wakes the trees"), words.Mark("the week the store wakes the trees|the day of")},
	"feed_stop":                {words.Mark("the end of feeding"), words.Mark("the end of feeding|the day of")},
	"uncover":                  {words.Mark("uncovering"), words.Mark("uncovering|the day of")},
}

// anchorWhen says a number of days from a date of the plan.
func (v voice) anchorWhen(anchor string, offset int) string {
	a := anchorTexts[anchor]
	if a.plain == "" {
		a = anchorText{anchor, anchor} // the club's own has no words
	}
	switch {
	case offset > 0:
		return v.Count(offset, "%d day after %s", "%d days after %s", offset, v.Say(a.plain))
	case offset < 0:
		return v.Count(-offset, "%d day before %s", "%d days before %s", -offset, v.Say(a.plain))
	case a.of == "":
		return v.Say("on %s|a day", v.Say(a.plain))
	}
	return v.Say("on the day of %s", v.Say(a.of))
}

// methodRules says what a method does to a day.
func (s *site) methodRules(m *club.Method) []template.HTML {
	var out []template.HTML
	add := func(text string) { out = append(out, template.HTML(text)) }
	if m.OutAnchor != "" {
		add(s.Say("Out: %s.", esc(s.anchorWhen(string(m.OutAnchor), m.OutOffsetDays.Or(0)))))
	}
	if m.InAnchor != "" {
		add(s.Say("In: %s.", esc(s.anchorWhen(string(m.InAnchor), m.InOffsetDays.Or(0)))))
	}
	if m.HeadStartMax.Or(0) > 0 {
		add(s.headStartRule(m))
	}
	switch gain := m.DayGainC.Or(0); {
	case gain != 0 && m.VentC.Set:
		add(s.Say("By day %s, vented at %s.", s.diffPlus(gain), s.temp(m.VentC.Value, 0)))
	case gain != 0:
		add(s.Say("By day %s.", s.diffPlus(gain)))
	}
	if v := m.NightGainC.Or(0); v != 0 {
		add(s.Say("By night %s.", s.diffPlus(v)))
	}
	switch {
	case m.HeatFloorC.Set && m.HeaterW.Set:
		add(s.Say("The heater holds %s, as far as %s\u00a0W suffice.", s.temp(m.HeatFloorC.Value, 0), s.Grouped(m.HeaterW.Value)))
	case m.HeatFloorC.Set:
		add(s.Say("The heater holds %s.", s.temp(m.HeatFloorC.Value, 0)))
	}
	switch {
	case m.CarryBelowC.Set && m.CarriedToC.Set:
		add(s.Say("Carried in when the night falls to %s; the night is then %s.", s.temp(m.CarryBelowC.Value, 0), s.temp(m.CarriedToC.Value, 0)))
	case m.CarryBelowC.Set:
		add(s.Say("Carried in when the night falls to %s.", s.temp(m.CarryBelowC.Value, 0)))
	}
	if v := m.ExtraNeedCd.Or(0); v != 0 {
		add(s.Say("Needs %s more.", s.heat(v)))
	}
	if m.WinterGainLowC.Or(0) != 0 || m.WinterGainHighC.Or(0) != 0 {
		add(s.Say("In winter the wood stays %s to %s warmer than the air.", s.diff(m.WinterGainLowC.Or(0), 0), s.diff(m.WinterGainHighC.Or(0), 0)))
	}
	switch store := s.storeName(string(m.StoreID)); {
	case m.Place == "pot" && store != "":
		add(s.Say("Winters in store: %s; what its cold kills is counted.", esc(lowerFirst(store))))
	case m.Place == "pot":
		add(s.Say("Losses in winter storage are not counted."))
	}
	if len(out) == 0 {
		add(s.Say("The weather as it is."))
	}
	return out
}

// headStartRule says how long a tree may stand indoors, and how it is there.
func (s *site) headStartRule(m *club.Method) string {
	weeks := s.countDigits(m.HeadStartWeeks.Or(0), "week")
	most, share := m.HeadStartMax.Value, hundredths(m.IndoorShare.Or(1))
	dim := m.IndoorShare.Set && m.IndoorShare.Value != 1
	switch {
	case m.IndoorC.Set && dim:
		return s.Say("Head start: %s shown, 0 to %d possible; indoors at %s, where poor light leaves %d\u00a0%% of the growth.", weeks, most, s.temp(m.IndoorC.Value, 0), share)
	case m.IndoorC.Set:
		return s.Say("Head start: %s shown, 0 to %d possible; indoors at %s.", weeks, most, s.temp(m.IndoorC.Value, 0))
	case dim:
		return s.Say("Head start: %s shown, 0 to %d possible, where poor light leaves %d\u00a0%% of the growth.", weeks, most, share)
	}
	return s.Say("Head start: %s shown, 0 to %d possible.", weeks, most)
}

// allCautions is the list of cautions in the language.
func (v voice) allCautions() []Caution {
	out := make([]Caution, 0, len(cautions))
	for _, key := range cautionKeys() {
		c, _ := v.cautionOf(key)
		out = append(out, c)
	}
	return out
}
