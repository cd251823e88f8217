package catalogue_test

import (
	"maps"
	"slices"

	"example.org/headroom/rules/internal/oracle"
)

// stringMutations are mistakes with batteries and with what turns the drive off.
func stringMutations() []mutation {
	return []mutation{
		{kind: "a lamp on one battery of a string", rule: "string-tapped", find: tapped},
		{
			kind: "a battery the wrong way round", rule: "polarity-reversed", given: "its two cables are exchanged",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "batteries", func(id string) []change {
					if v.Text("batteries."+id+".role") == "traction" && v.InString(id) == 1 {
						return nil // a drive on a battery of its own looks the wrong way round itself
					}
					return []change{swap(v, id+".pos", id+".neg")}
				})
			},
		},
		{
			kind: "a wire round the contactor, past the emergency stop", rule: "emergency-stop-indirect", given: "metal feeds the controller with the emergency stop open",
			find: func(v *oracle.Vehicle) []fault {
				for _, k := range v.IDs("contactors") {
					if len(v.IDs("switches.stop.poles")) > 0 && v.OneMetal(k+".b", "drive.pos") {
						return only(true, "drive", change{"wires.round": wire(k+".a", k+".b", "35 mm2", 0.2)})
					}
				}
				return nil
			},
		},
		{kind: "a converter that no charge of the pack reaches", rule: "converter-input-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				path := "converters." + id + ".input"
				step := change{path + ".min_V": 1.3 * v.PackNominal()}
				if v.Number(path+".max_V", 0) < 1.4*v.PackNominal() {
					step[path+".max_V"] = 1.6 * v.PackNominal()
				}
				for _, field := range []string{".start_V", ".stop_V"} {
					if v.Has(path + field) {
						step[path+field] = 1.3 * v.PackNominal()
					}
				}
				return []change{step}
			})
		}},
	}
}

// tapped puts a lamp, with a fuse at the joint, across each battery of a string
// but the uppermost.
func tapped(v *oracle.Vehicle) []fault {
	var out []fault
	for _, id := range v.IDs("batteries") {
		above := slices.ContainsFunc(v.IDs("batteries"), func(other string) bool { return other != id && v.OneMetal(id+".pos", other+".neg") })
		if !above {
			continue
		}
		lamp := change{
			"fuses.tap":      map[string]any{"class": "ul", "rated_A": 5.0, "rated_V_dc": 125.0, "breaking_A_dc": 20000.0, "source": "sheet"},
			"loads.lamp":     map[string]any{"kind": "led", "power_W": 10.0, "at_V": v.Number("batteries."+id+".nominal_V", 0), "source": "sheet"},
			"wires.tap_pos":  wire(id+".pos", "tap.a", "50 mm2", 0.05),
			"wires.tap_lamp": wire("tap.b", "lamp.pos", "50 mm2", 0.1),
			"wires.tap_neg":  wire("lamp.neg", id+".neg", "50 mm2", 0.1),
		}
		for _, mode := range v.Modes(true) {
			step := maps.Clone(lamp)
			on := []any{"lamp"}
			for _, load := range v.List("modes." + mode + ".on") {
				on = append(on, load)
			}
			step["modes."+mode+".on"] = on
			out = append(out, fault{id, []change{step}})
			break
		}
	}
	return out
}
