package winter

import "math"

// AirHeat is the heat that a cubic metre of air carries for each degree,
// W·h m-3 K-1: 0.018 BTU ft-3 °F-1 of the greenhouse handbooks, rounded to the
// 0.33 that they print in metric units (20 °C: 0.336).
const AirHeat = 0.33

// Tent is a heated tent or greenhouse as its losses see it: the area of its
// cover (m²), its volume (m³), the cover's U (W m-2 K-1), the air changes an
// hour, the share (0-1) of the loss that the sun makes good in daylight, and
// the power of its heater (W; 0: as much as it takes).
type Tent struct{ AreaM2, VolumeM3, U, AirChangesH, SunShare, HeaterW float64 }

// LossWPerK returns the heat (W) that the tent loses for each degree that it is
// warmer than the air outside: conduction U·A and air changes 0.33·n·V.
func (t Tent) LossWPerK() float64 {
	return t.U*t.AreaM2 + AirHeat*t.AirChangesH*t.VolumeM3
}

// Heating is what holding a temperature took.
type Heating struct {
	KWh   float64 // drawn by the heater
	PeakW float64 // most that the heater drew, W
	NeedW float64 // most that holding the temperature took, W; above PeakW where the heater is too small
	// ShortHours is how many hours the heater could not hold it.
	ShortHours int
}

// Energy returns what it takes to hold setC (°C) through the hours whose
// outdoor temperatures (°C) are given, NaN hours skipped: each hour
// (U·A + 0.33·n·V)(setC - T_out)⁺, in an hour with the sun above the horizon
// less SunShare of it, and no more than the heater's power (SCIENCE 9). Hours
// beyond the end of sunUp are dark.
func (t Tent) Energy(hours []float64, sunUp []bool, setC float64) Heating {
	var h Heating
	loss := t.LossWPerK()
	var wattHours float64
	for i, out := range hours {
		if !(out < setC) { // NaN too
			continue
		}
		need := loss * (setC - out)
		if i < len(sunUp) && sunUp[i] {
			need *= 1 - t.SunShare
		}
		h.NeedW = math.Max(h.NeedW, need)
		if t.HeaterW > 0 && need > t.HeaterW {
			need = t.HeaterW
			h.ShortHours++
		}
		h.PeakW = math.Max(h.PeakW, need)
		wattHours += need
	}
	h.KWh = wattHours / 1000
	return h
}
