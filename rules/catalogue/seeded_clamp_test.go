package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// clampMutations are mistakes with what stands across a contact that breaks a coil's
// current.
func clampMutations() []mutation {
	return []mutation{
		{kind: "a suppressor above the contact of the relay before the coil", rule: "suppression-clamp-high", find: func(v *oracle.Vehicle) []fault {
			step := keyRelay(v)
			if step == nil {
				return nil
			}
			var out []change
			for _, volts := range []float64{60, 80, 100, 120} {
				out = append(out, merge(step, change{"contactors.main_contactor.coil.clamp_V": volts}))
			}
			return only(true, "main_contactor", out...)
		}},
		{kind: "a resistor of more Ohm across the coil", rule: "suppression-clamp-high", find: func(v *oracle.Vehicle) []fault {
			var out []change
			for _, ohms := range []float64{330, 390, 470, 560} {
				if v.Kind("damper") == "resistors" {
					out = append(out, change{"resistors.damper.resistance_Ohm": ohms})
				} else if _, ok := coilFeed(v); ok {
					out = append(out, change{
						"contactors.main_contactor.coil.suppression": "external",
						"contactors.main_contactor.coil.clamp_V":     nil,
						"resistors.damper":                           map[string]any{"role": "load", "resistance_Ohm": ohms, "power_W": 30.0, "max_V": 300.0, "source": "sheet RS-1"},
						"wires.damper_a":                             wire("damper.a", "main_contactor.coil_pos", "1.5 mm2", 0.1),
						"wires.damper_b":                             wire("damper.b", "main_contactor.coil_neg", "1.5 mm2", 0.1),
					})
				}
			}
			return only(len(out) > 0, "main_contactor", out...)
		}},
	}
}

// keyRelay lets the key work a relay that works the contactor, whose contact is rated for
// 100 V; nil where the coil does not hang on the key.
func keyRelay(v *oracle.Vehicle) change {
	feed, ok := coilFeed(v)
	if !ok || v.Kind("key_relay") == "relays" {
		return nil
	}
	from, _ := v.Ends(feed)
	if from != "key.drive_b" || len(v.At("key.drive_a")) != 1 {
		return nil
	}
	return change{
		"relays.key_relay": map[string]any{
			"form": "no", "source": "sheet KR-1",
			"contact": map[string]any{
				"carry_A": 5.0, "rated_V_dc": 100.0, "make_A": 10.0, "polarized": false,
				"break": []any{map[string]any{"V": 72.0, "A": 5.0, "operations": 10000.0}},
			},
			"coil": map[string]any{
				"nominal_V": 48.0, "operate_V": 33.0, "release_V": 4.8, "max_V": 80.0, "resistance_Ohm": 2300.0, "rise_K": 30.0,
				"suppression": "diode+zener", "clamp_V": 36.0,
			},
		},
		"wires.w_relay_pos":       wire("key.drive_b", "key_relay.coil_pos", "1.5 mm2", 1.0),
		"wires.w_relay_neg":       wire("key_relay.coil_neg", "main_contactor.coil_neg", "1.5 mm2", 0.2),
		"wires.w_relay_feed":      wire("key.drive_a", "key_relay.common", "1.5 mm2", 1.0),
		"wires." + feed + ".from": "key_relay.no",
	}
}
