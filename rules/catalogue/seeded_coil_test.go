package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// coils makes faults of the coils of contactors and relays.
func coils(make func(v *oracle.Vehicle, path, id string) []change) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		var out []fault
		for _, group := range []string{"contactors", "relays"} {
			out = append(out, each(v, group, func(id string) []change { return make(v, group+"."+id+".coil", id) })...)
		}
		return out
	}
}

// flat raises the operate voltage, below the nominal one as a maker would.
func flat(v *oracle.Vehicle, path string, shares ...float64) []change {
	var out []change
	nominal := v.Number(path+".nominal_V", 0)
	for _, share := range shares {
		if volts := share * nominal; volts > v.Number(path+".operate_V", 1e9) {
			out = append(out, change{path + ".operate_V": volts})
		}
	}
	return out
}

func coilMutations() []mutation {
	return []mutation{
		{kind: "a coil that needs more volts", rule: "coil-pull-in-low", find: coils(func(v *oracle.Vehicle, path, _ string) []change {
			return flat(v, path, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95)
		})},
		{kind: "a hotter coil", rule: "coil-pull-in-low", find: coils(func(v *oracle.Vehicle, path, _ string) []change {
			var out []change
			for _, share := range []float64{0.6, 0.65, 0.7, 0.75} {
				for _, step := range flat(v, path, share) {
					out = append(out, merge(step, change{path + ".rise_K": 75.0}))
				}
			}
			return out
		})},
		{kind: "a thin and long wire to the coil", rule: "coil-pull-in-low", find: coils(func(v *oracle.Vehicle, path, id string) []change {
			var out []change
			for _, feed := range v.At(id + ".coil_pos") {
				if v.Kind(feed) != "wires" || v.Number(path+".resistance_Ohm", 1e9) > 100 {
					continue
				}
				for _, metres := range []float64{20, 40, 60, 100, 150} {
					out = append(out, change{"wires." + feed + ".size": "0.5 mm2", "wires." + feed + ".length_m": metres})
				}
			}
			return out
		})},
		{kind: "a coil that holds at more", rule: "coil-hold-low", find: coils(func(v *oracle.Vehicle, path, _ string) []change {
			var out []change
			nominal, operate := v.Number(path+".nominal_V", 0), v.Number(path+".operate_V", 0)
			for _, share := range []float64{0.5, 0.6, 0.7, 0.8, 0.85, 0.9} {
				if hold := share * nominal; hold > v.Number(path+".hold_V", 0) && hold > v.Number(path+".release_V", 0) {
					step := change{path + ".hold_V": hold}
					if hold > operate {
						step[path+".operate_V"] = hold
					}
					out = append(out, step)
				}
			}
			return out
		})},
		{kind: "a pilot lamp's resistor across the key", rule: "coil-self-holding", find: coils(func(v *oracle.Vehicle, _, _ string) []change {
			var out []change
			for _, ohms := range []float64{2200, 1200, 820, 560, 330, 220, 150, 100, 68, 47, 33} {
				for _, pole := range []string{"key.house", "key.drive"} {
					if len(v.At(pole+"_a")) == 0 {
						continue
					}
					out = append(out, change{
						"resistors.glow": map[string]any{"role": "dropper", "resistance_Ohm": ohms, "power_W": 50.0, "source": "sheet"},
						"wires.glow_in":  wire(pole+"_a", "glow.a", "1.5 mm2", 0.1),
						"wires.glow_out": wire("glow.b", pole+"_b", "1.5 mm2", 0.1),
					})
				}
			}
			return out
		})},
		{
			kind: "the coil fed from before the key", rule: "contactor-not-keyed", given: "metal feeds the coil with every pole of the key open",
			find: func(v *oracle.Vehicle) []fault {
				feed := v.At("main_contactor.coil_pos")
				if v.Kind("main_contactor") != "contactors" || len(feed) == 0 || v.Kind("key") != "switches" {
					return nil
				}
				for _, pole := range []string{"key.house", "key.drive"} {
					if len(v.At(pole+"_a")) == 0 || !v.OneMetal(pole+"_a", "main_contactor.coil_pos") {
						continue
					}
					step := change{}
					for _, id := range v.At(pole + "_b") {
						if from, _ := v.Ends(id); from == pole+"_b" && len(v.At(pole+"_b")) > 1 {
							if _, to := v.Ends(id); to != "drive.enable" {
								step["wires."+id+".from"] = pole + "_a"
								break
							}
						}
					}
					if len(step) == 0 {
						continue
					}
					if only := solely(v, step, pole); only {
						return []fault{{"main_contactor", []change{step}}}
					}
				}
				return nil
			},
		},
		{
			kind: "the coil fed past the key", rule: "contactor-not-keyed", given: "a wire feeds the coil with every pole of the key open",
			find: func(v *oracle.Vehicle) []fault {
				for _, pole := range []string{"key.house", "key.drive"} {
					if v.Kind("main_contactor") == "contactors" && len(v.At(pole+"_a")) > 0 && v.OneMetal(pole+"_a", "main_contactor.coil_pos") {
						return only(true, "main_contactor", change{"wires.past": wire(pole+"_a", "main_contactor.coil_pos", "1.5 mm2", 1)})
					}
				}
				return nil
			},
		},
		{
			kind: "the coil fed past the emergency stop", rule: "emergency-stop-indirect", given: "a wire feeds the coil with the emergency stop open",
			find: func(v *oracle.Vehicle) []fault {
				for _, pole := range v.IDs("switches.stop.poles") {
					return only(true, "main_contactor", change{"wires.past": wire("stop."+pole+"_a", "main_contactor.coil_pos", "1.5 mm2", 1)})
				}
				return nil
			},
		},
		{kind: "a coil of another voltage", rule: "coil-nominal-mismatch", find: coils(func(v *oracle.Vehicle, path, _ string) []change {
			nominal := v.Number(path+".nominal_V", 0)
			var out []change
			for _, other := range []float64{24, 48, 12, 96} {
				k := other / nominal
				if k == 1 {
					continue
				}
				step := change{path + ".nominal_V": other}
				for _, field := range []string{"operate_V", "release_V", "hold_V", "max_V"} {
					if now := v.Number(path+"."+field, 0); now > 0 {
						step[path+"."+field] = now * k
					}
				}
				for _, field := range []string{"resistance_Ohm"} {
					if now := v.Number(path+"."+field, 0); now > 0 {
						step[path+"."+field] = now * k * k
					}
				}
				for _, field := range []string{"pickup_A", "hold_A"} {
					if now := v.Number(path+"."+field, 0); now > 0 {
						step[path+"."+field] = now / k
					}
				}
				out = append(out, step)
			}
			return out
		})},
		{kind: "a coil that bears less", rule: "coil-overvoltage", find: coils(func(v *oracle.Vehicle, path, _ string) []change {
			var out []change
			for _, share := range []float64{1.3, 1.2, 1.1, 1.05, 1} {
				if top := share * v.Number(path+".nominal_V", 0); top < v.Number(path+".max_V", 0) {
					out = append(out, change{path + ".max_V": top})
				}
			}
			return out
		})},
		{
			kind: "a coil without suppression", rule: "suppression-missing",
			find: coils(func(v *oracle.Vehicle, path, id string) []change {
				if !v.Has(path+".clamp_V") || v.Kind("soft_relay") == "relays" && id != "pump_contactor" {
					return nil // the coil beside it in parallel takes its energy
				}
				return []change{{path + ".suppression": "none", path + ".clamp_V": nil}}
			}),
		},
		{
			kind: "a suppression diode the wrong way round", rule: "suppression-reversed", given: "its anode stands at the end that the positive pole feeds",
			find: coils(func(v *oracle.Vehicle, path, id string) []change {
				if v.Kind(id) != "contactors" {
					return nil
				}
				return []change{{
					"diodes.flyback":  map[string]any{"forward_V": 0.8, "forward_at_A": 1.0, "continuous_A": 3.0, "reverse_V": 200.0, "source": "sheet"},
					"wires.flyback_a": wire(id+".coil_pos", "flyback.anode", "1.5 mm2", 0.05),
					"wires.flyback_k": wire("flyback.cathode", id+".coil_neg", "1.5 mm2", 0.05),
				}}
			}),
		},
		{kind: "a suppressor of a higher clamp", rule: "suppression-clamp-high", find: coils(func(v *oracle.Vehicle, path, id string) []change {
			if v.Kind("soft_relay") == "relays" && id != "pump_contactor" {
				return nil // the coil beside it in parallel clamps first
			}
			return times(v, path+".clamp_V", 1.5, 2, 2.5, 3, 4, 6)
		})},
		{kind: "a plain diode across the coil", rule: "suppression-slow", find: coils(func(v *oracle.Vehicle, path, id string) []change {
			if v.Kind(id) != "contactors" {
				return nil
			}
			return []change{{path + ".suppression": "diode", path + ".clamp_V": 0.8}}
		})},
	}
}

// solely reports whether a change leaves the coil no other feed than past the key.
func solely(v *oracle.Vehicle, step change, pole string) bool {
	changed, err := v.Changed(step)
	return err == nil && changed.FedWithout(pole, "main_contactor.coil_pos")
}
