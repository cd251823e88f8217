package catalogue_test

import (
	"strconv"
	"strings"

	"example.org/headroom/rules/internal/oracle"
)

func sprint(x float64) string { return strconv.FormatFloat(x, 'f', 6, 64) }

// loadKinds with a polarity.
func polarized(v *oracle.Vehicle, load string) bool {
	kind := v.Text("loads." + load + ".kind")
	return kind == "led" || kind == "electronic"
}

func circuitMutations() []mutation {
	return []mutation{
		{kind: "a wire left out", rule: "terminal-unconnected", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, group := range []string{"loads", "controllers", "converters", "contactors", "fuses"} {
				for _, id := range v.IDs(group) {
					for _, end := range []string{".neg", ".pos", ".in_neg", ".coil_neg", ".b"} {
						if on := v.At(id + end); len(on) == 1 && v.Kind(on[0]) == "wires" {
							out = append(out, fault{id, []change{{"wires." + on[0]: nil}}})
							break
						}
					}
				}
			}
			return out
		}},
		{kind: "a longer run before the fuse", rule: "conductor-unprotected", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				if from, _ := v.Ends(id); v.Unfused(id) > 3 || len(v.Before(from)) > 0 {
					return nil
				}
				return values("wires."+id+".length_m", 0.25, 0.4, 0.8, 1.5, 2.4)
			})
		}},
		{kind: "a main fuse left out", rule: "conductor-unprotected", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, battery := range v.IDs("batteries") {
				for _, id := range v.At(battery + ".pos") {
					fuse, _, _ := strings.Cut(v.Text("wires."+id+".to"), ".")
					if v.Kind(fuse) != "fuses" {
						continue
					}
					for _, behind := range v.At(fuse + ".b") {
						if v.Kind(behind) == "wires" && v.Text("wires."+behind+".from") == fuse+".b" {
							out = append(out, fault{behind, []change{{"wires." + behind + ".from": fuse + ".a"}}})
						}
					}
				}
			}
			return out
		}},
		{kind: "the two terminals of a part swapped", rule: "polarity-reversed", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, id := range v.IDs("loads") {
				if polarized(v, id) && len(v.At(id+".pos")) == 1 && len(v.At(id+".neg")) == 1 {
					out = append(out, fault{id, []change{swap(v, id+".pos", id+".neg")}})
				}
			}
			for _, id := range v.IDs("converters") {
				out = append(out, fault{id, []change{swap(v, id+".in_pos", id+".in_neg")}})
			}
			for _, id := range v.IDs("controllers") {
				out = append(out, fault{id, []change{swap(v, id+".pos", id+".neg")}})
			}
			for _, id := range v.IDs("meters") {
				if v.Text("meters."+id+".shows") == "voltage" {
					out = append(out, fault{id, []change{swap(v, id+".pos", id+".neg")}})
				}
			}
			return out
		}},
		{
			kind: "a wire across the contactor", rule: "contactor-bypassed", given: "metal joins the two sides of the open contact",
			find: func(v *oracle.Vehicle) []fault {
				id := "main_contactor"
				return only(v.Kind(id) == "contactors" && !negativeSide(v), id, change{"wires.stray": wire(id+".a", id+".b", "2.5 mm2", 0.1)})
			},
		},
		{
			kind: "a pre-charge resistor of a tenth", rule: "contactor-bypassed", given: "more than 1 A flows past the open contact continuously",
			find: func(v *oracle.Vehicle) []fault {
				return only(v.True("resistors.soft.permanent") && !negativeSide(v), "main_contactor", change{"resistors.soft.resistance_Ohm": 33.0, "resistors.soft.power_W": 200.0})
			},
		},
		{
			kind: "a stray return", rule: "return-path-second", given: "a conductor leads round the open contact in the negative side",
			find: func(v *oracle.Vehicle) []fault {
				if !negativeSide(v) {
					return nil
				}
				var out []fault
				for _, size := range []string{"1.5 mm2", "16 mm2"} {
					out = append(out, fault{"main_contactor", []change{{"wires.stray": wire("drive.neg", "pack.neg", size, 0.8)}}})
				}
				return append(out, fault{"main_contactor", []change{{
					"wires.stray_1": wire("drive.neg", "chassis", "10 mm2", 0.5), "wires.stray_2": wire("pack.neg", "chassis", "10 mm2", 0.5),
				}}})
			},
		},
		{kind: "a feed from before the isolator", rule: "disconnect-leaves-live", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			if v.Kind("isolator") != "disconnects" || v.Number("disconnects.isolator.poles", 1) == 2 {
				return nil
			}
			for _, id := range v.Conductors() {
				from, to := v.Ends(id)
				part, _, _ := strings.Cut(to, ".")
				if v.Kind(part) != "fuses" || from == "isolator.a" || len(v.Before(from)) == 0 {
					continue
				}
				// What alone hangs on that fuse.
				for _, group := range []string{"converters", "contactors", "controllers", "meters"} {
					for _, subject := range v.IDs(group) {
						out = append(out, fault{subject, []change{{v.Path(id) + ".from": "isolator.a"}}})
					}
				}
			}
			return out
		}},
		{
			kind: "a common negative", rule: "networks-joined", given: "metal joins the input and the output of an isolated converter",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "converters", func(id string) []change {
					if !v.True("converters." + id + ".isolated") {
						return nil
					}
					return []change{{"wires.common": wire(id+".in_neg", id+".out_neg", "2.5 mm2", 0.1)}}
				})
			},
		},
		{
			kind: "a meter's return on the house network", rule: "networks-joined", given: "the meter joins the traction and the house network",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "converters", func(id string) []change {
					if !v.True("converters."+id+".isolated") || v.Kind("minus_aux") != "studs" || v.Kind("house_minus") != "studs" {
						return nil
					}
					return []change{{"wires.stray": wire("minus_aux.stud", "house_minus.stud", "1.5 mm2", 0.5)}}
				})
			},
		},
		{
			kind: "the pack's negative on the chassis", rule: "networks-joined", given: "the chassis carries the house negative, so it joins the two sides of the converter",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "converters", func(id string) []change {
					if !v.True("converters."+id+".isolated") || v.Text("vehicle.chassis") != "house-negative" {
						return nil
					}
					return []change{{"wires.stray": wire(id+".in_neg", "chassis", "6 mm2", 0.3)}}
				})
			},
		},
		{
			kind: "a second feed behind the key", rule: "key-off-backfeed", given: "a wire feeds the load side of an open pole",
			find: func(v *oracle.Vehicle) []fault {
				var out []fault
				for _, id := range v.IDs("switches") {
					if v.Text("switches."+id+".role") != "key" {
						continue
					}
					for _, pole := range v.IDs("switches." + id + ".poles") {
						name := id + "." + pole
						out = append(out, fault{id, []change{{"wires.second_feed": wire(name+"_a", name+"_b", "1.5 mm2", 0.1)}}})
					}
				}
				return out
			},
		},
		{
			kind: "a coil fed through its own normally closed contact", rule: "contact-chatters", given: "closing opens the coil's own feed: a buzzer",
			find: func(v *oracle.Vehicle) []fault {
				if v.Has("relays.key_relay") {
					return only(true, "key_relay", change{
						"relays.key_relay.form": "nc", "wires.w13.from": "key_relay.nc", "wires.w15.from": "key.drive_b", "wires.w11.from": "key_relay.nc",
					})
				}
				var out []fault
				for _, id := range []string{"main_contactor"} {
					feeds := fromContacts(v, id+".coil_pos")
					if v.Kind(id) != "contactors" || len(feeds) == 0 || v.Kind(feeds[0]) != "wires" || v.Text("wires."+feeds[0]+".to") != id+".coil_pos" {
						continue
					}
					coil := map[string]any{"nominal_V": 12.0, "operate_V": 6.6, "release_V": 1.2, "max_V": 20.0, "resistance_Ohm": 90.0, "suppression": "diode+zener", "clamp_V": 24.0}
					if v.Number("contactors."+id+".coil.nominal_V", 0) > 24 {
						coil = map[string]any{"nominal_V": 48.0, "operate_V": 33.0, "release_V": 4.8, "max_V": 80.0, "resistance_Ohm": 2300.0, "suppression": "diode+zener", "clamp_V": 36.0}
					}
					out = append(out, fault{"buzzer", []change{{
						"relays.buzzer": map[string]any{
							"form": "nc", "source": "sheet", "coil": coil,
							"contact": map[string]any{"carry_A": 10.0, "rated_V_dc": 125.0, "make_A": 20.0, "break": []any{map[string]any{"V": 125.0, "A": 10.0}}},
						},
						"wires." + feeds[0] + ".to": "buzzer.common",
						"wires.buzz_1":              wire("buzzer.nc", id+".coil_pos", "1.5 mm2", 0.1),
						"wires.buzz_2":              wire("buzzer.nc", "buzzer.coil_pos", "1.5 mm2", 0.1),
						"wires.buzz_3":              wire("buzzer.coil_neg", id+".coil_neg", "1.5 mm2", 0.1),
					}}})
				}
				return out
			},
		},
		{kind: "a worn-out pack", rule: "supply-collapses", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, c := range v.IDs("controllers") {
				var steps []change
				for _, f := range []float64{1.5, 2, 2.5, 3, 4, 5, 6, 8} {
					step := change{}
					for _, b := range v.IDs("batteries") {
						if v.Text("batteries."+b+".role") == "traction" {
							for _, which := range []string{"min", "typ", "max"} {
								step["batteries."+b+".resistance_mOhm."+which] = 1000 * f * v.BatteryResistance(b, which)
							}
						}
					}
					steps = append(steps, wholeResistance(v, step))
				}
				out = append(out, fault{c, steps})
			}
			return out
		}},
		{
			kind: "an impossible output resistance", rule: "circuit-unsolved", given: "a picoohm beside milliohms leaves no digits in the balance of currents",
			find: func(v *oracle.Vehicle) []fault {
				var out []fault
				for _, mode := range v.Modes(false) {
					if len(v.IDs("converters")) > 0 && len(v.List("modes."+mode+".on")) > 0 {
						out = append(out, fault{mode, []change{{"policy.converter_output_mOhm": 1e-9}}})
					}
				}
				return out
			},
		},
		{kind: "a small bleed resistor", rule: "resistor-overloaded", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, id := range v.IDs("controllers") {
				var steps []change
				for _, watts := range []float64{0.5, 0.25, 0.125} {
					steps = append(steps, change{
						"resistors.drain": map[string]any{"role": "bleed", "resistance_Ohm": 22000.0, "power_W": watts, "max_V": 500.0, "source": "sheet"},
						"wires.w_drain_1": wire("drain.a", id+".pos", "1.5 mm2", 0.1),
						"wires.w_drain_2": wire("drain.b", id+".neg", "1.5 mm2", 0.1),
					})
				}
				out = append(out, fault{"drain", steps})
			}
			return out
		}},
	}
}

// fromContacts lists the wires that come to a terminal from a switch or relay.
func fromContacts(v *oracle.Vehicle, terminal string) []string {
	var out []string
	for _, id := range v.At(terminal) {
		from, to := v.Ends(id)
		part, _, _ := strings.Cut(from, ".")
		if kind := v.Kind(part); to == terminal && (kind == "switches" || kind == "relays") {
			out = append(out, id)
		}
	}
	return out
}

// negativeSide reports whether the main contactor stands in the negative side.
func negativeSide(v *oracle.Vehicle) bool {
	return v.Kind("drive") == "controllers" && v.OneMetal("main_contactor.a", "drive.neg")
}

// wholeResistance writes resistances as one value where the file gives a plain number.
func wholeResistance(v *oracle.Vehicle, step change) change {
	out := change{}
	for path, value := range step {
		group := path[:strings.LastIndex(path, ".")]
		if _, plain := v.Get(group).(float64); plain {
			if strings.HasSuffix(path, ".typ") {
				out[group] = value
			}
			continue
		}
		out[path] = value
	}
	return out
}
