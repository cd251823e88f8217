package oracle

import "math"

// chilled is a point of such a curve: what a temperature makes of the resistance.
type chilled struct{ celsius, factor float64 }

// chill is the resistance of a battery in the cold over that at 25 C, by falling
// temperature, for pulses of 10 to 30 s (common practice; lead-acid after the
// cranking power that is left at 0 and -18 C, from memory).
var chill = map[string][]chilled{
	"LFP":       {{25, 1}, {0, 2}, {-10, 3.5}, {-20, 5}},
	"NMC":       {{25, 1}, {0, 2}, {-10, 3}, {-20, 5}},
	"NCA":       {{25, 1}, {0, 2}, {-10, 3}, {-20, 5}},
	"lead-acid": {{25, 1}, {0, 1.5}, {-10, 2}, {-20, 2.6}},
}

// coldResistance is the greatest resistance of a battery in a mode, Ohm: as its
// sheet states it; else that of an aged battery or of a cold one, if that is
// more. Between two points the logarithm goes with the inverse of the absolute
// temperature (Arrhenius).
func (v *Vehicle) coldResistance(id, mode string) float64 {
	path := "batteries." + id
	aged := v.BatteryResistance(id, "max")
	curve := chill[v.Text(path+".chemistry")]
	if v.Has(path+".resistance_mOhm.max") || curve == nil {
		return aged
	}
	celsius := v.Number("modes."+mode+".ambient_C", v.Ambient(id, false))
	celsius = max(celsius, v.Number(path+".cells_min_C", -300))
	factor, last := curve[len(curve)-1].factor, curve[0]
	for _, next := range curve {
		if celsius >= next.celsius {
			share := 0.0
			if next != last {
				warm, cold, here := 1/(273.15+last.celsius), 1/(273.15+next.celsius), 1/(273.15+min(celsius, last.celsius))
				share = (here - warm) / (cold - warm)
			}
			factor = last.factor * math.Pow(next.factor/last.factor, share)
			break
		}
		last = next
	}
	return max(aged, factor*v.BatteryResistance(id, "typ"))
}
