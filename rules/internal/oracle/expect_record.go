package oracle

import (
	"math"
	"strings"
)

// recordExpectations are of what the specification says or leaves out.
func recordExpectations() map[string]Expectation {
	return map[string]Expectation{
		"altitude-above-ratings": func(v *Vehicle, _ string) float64 {
			return v.Number("vehicle.altitude_m", 1000) / 2000
		},
		"contact-voltage-ac-only": func(v *Vehicle, subject string) float64 {
			path := v.contactPath(subject)
			return certain(v.Has(path+".rated_V_ac") && !v.Has(path+".rated_V_dc"))
		},
		"label-duplicate": func(v *Vehicle, id string) float64 {
			own, same := v.Text(v.Path(id)+".label"), 0
			for _, kind := range sortedKeys(v.tree) {
				for _, other := range v.IDs(kind) {
					if own != "" && other != id && strings.EqualFold(own, v.Text(kind+"."+other+".label")) {
						same++
					}
				}
			}
			return certain(same > 0)
		},
		"vital-data-missing": func(v *Vehicle, id string) float64 {
			if v.True(v.Path(id)+".spare") || !v.wired(id) {
				return 0
			}
			for _, field := range v.vital(id) {
				missing := true
				for _, either := range strings.Fields(field) {
					missing = missing && !v.Has(v.Path(id)+"."+either)
				}
				if missing {
					return math.Inf(1)
				}
			}
			return 0
		},
		"isolation-unmonitored": func(v *Vehicle, id string) float64 {
			if v.Text("batteries."+id+".role") != "traction" || v.True("vehicle.isolation_monitor") {
				return 0
			}
			return v.Number("batteries."+id+".max_V", 0) * float64(v.InString(id)) / 60
		},
	}
}

// contactPath is the path of the contacts of a disconnect, contactor, relay or pole.
func (v *Vehicle) contactPath(subject string) string {
	id, pole := split(subject)
	switch path := v.Path(id); v.Kind(id) {
	case "contactors", "relays", "timers":
		return path + ".contact"
	case "switches":
		return path + ".poles." + pole
	default:
		return path
	}
}

// wired reports whether a conductor ends on a part.
func (v *Vehicle) wired(id string) bool {
	for _, conductor := range v.Conductors() {
		from, to := v.Ends(conductor)
		a, _ := split(from)
		b, _ := split(to)
		if a == id || b == id {
			return true
		}
	}
	return false
}

// vital lists the fields of a part without which nobody can say that it is safe;
// of several in one entry one is enough. Common practice, by what fails: a fuse
// or contact that does not interrupt, a coil that does not hold, capacitors that
// are not charged.
func (v *Vehicle) vital(id string) []string {
	always := map[string][]string{
		"fuses":       {"rated_V_dc", "breaking_A_dc"},
		"disconnects": {"rated_V_dc", "carry_A", "break"},
		"contactors":  {"contact.rated_V_dc", "contact.carry_A", "contact.break"},
		"batteries":   {"resistance_mOhm short_circuit_A"},
		"controllers": {"capacitance_uF"},
	}
	more := map[string][]string{
		"disconnects": {"make_A", "short_time"},
		"contactors":  {"contact.make_A", "contact.short_time", "coil.max_V", "coil.operate_V", "coil.suppression", "coil.resistance_Ohm coil.hold_A"},
		"relays":      {"contact.rated_V_dc", "contact.carry_A", "contact.break", "coil.max_V", "coil.suppression", "coil.resistance_Ohm coil.hold_A"},
		"batteries":   {"continuous_A", "charge_max_A", "internal_fuse_breaking_A", "cutoff"},
		"converters":  {"isolation_V", "derating", "input.capacitance_uF"},
		"meters":      {"isolation_V"},
		"controllers": {"battery_continuous_A", "battery_peak_A", "peak_s", "bleed_kOhm", "phase_continuous_A"},
		"resistors":   {"power_W", "pulse_J"},
		"diodes":      {"continuous_A", "reverse_V"},
		"wires":       {"insulation", "insulation.rated_V"},
		"busbars":     {"rated_V"},
		"blocks":      {"rated_A", "rated_V_dc"},
		"fuses":       {"opening", "breaking_at_V"},
	}
	kind := v.Kind(id)
	if v.severe {
		return append(always[kind], more[kind]...)
	}
	return always[kind]
}
