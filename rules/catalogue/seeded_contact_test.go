package catalogue_test

import (
	"math"

	"example.org/headroom/rules/internal/oracle"
)

// both makes faults of a field of the contacts of contactors and relays.
func both(field string, trade []float64) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return append(ratings("contactors", field, trade)(v), ratings("relays", field, trade)(v)...)
	}
}

// breaks lists lower breaking capacities at the voltages that a part states.
func breaks(v *oracle.Vehicle, path string) []change {
	list, _ := v.Get(path + ".break").([]any)
	if len(list) == 0 {
		return nil
	}
	var out []change
	volts := list[0].(map[string]any)["V"]
	for _, amps := range tradeAmps {
		if amps < list[0].(map[string]any)["A"].(float64) {
			out = append(out, change{path + ".break": []any{map[string]any{"V": volts, "A": amps}}})
		}
	}
	return out
}

// lowerContact lists lower rated voltages, each with what it breaks there.
func lowerContact(v *oracle.Vehicle, path string) []change {
	steps := down(v, path+".rated_V_dc", tradeVolts)
	list, _ := v.Get(path + ".break").([]any)
	for i := range steps {
		if len(list) > 0 {
			steps[i][path+".break"] = []any{map[string]any{"V": steps[i][path+".rated_V_dc"], "A": list[0].(map[string]any)["A"]}}
		}
	}
	return steps
}

// brief lists lower short-time ratings together with the carrying current that
// lies below them.
func brief(v *oracle.Vehicle, path string, seconds float64) []change {
	var out []change
	for _, amps := range tradeAmps {
		if carry := v.Number(path+".carry_A", 0); amps < carry {
			out = append(out, change{path + ".carry_A": amps, path + ".short_time": []any{map[string]any{"A": amps * 1.1, "s": seconds}, map[string]any{"A": amps * 1.3, "s": 2.0}}})
		}
	}
	return out
}

// withoutIsolator joins what is behind the isolator to what is before it.
func withoutIsolator(v *oracle.Vehicle) change {
	step := change{}
	for _, id := range v.At("isolator.b") {
		end := ".to"
		if from, _ := v.Ends(id); from == "isolator.b" {
			end = ".from"
		}
		step[v.Path(id)+end] = "isolator.a"
	}
	return step
}

func contactMutations() []mutation {
	return []mutation{
		{
			kind: "the isolator left out", rule: "disconnect-missing",
			find: func(v *oracle.Vehicle) []fault {
				if v.Kind("isolator") != "disconnects" || v.Number("disconnects.isolator.poles", 1) != 1 {
					return nil
				}
				var out []fault
				for _, battery := range v.IDs("batteries") {
					if v.Text("batteries."+battery+".role") == "traction" {
						out = append(out, fault{battery, []change{withoutIsolator(v)}})
					}
				}
				return out
			},
		},
		{
			kind: "a plug in the place of the isolator", rule: "plug-inrush-high", given: "it closes on the input capacitors of a converter, which take more than 0.2 J",
			find: func(v *oracle.Vehicle) []fault {
				uF := 0.0
				for _, id := range v.IDs("converters") {
					uF += v.Number("converters."+id+".input.capacitance_uF", 0)
				}
				if v.Kind("isolator") != "disconnects" || v.Number("disconnects.isolator.poles", 1) != 1 || v.Kind("pack") != "batteries" ||
					uF*1e-6*math.Pow(v.Number("batteries.pack.max_V", 0), 2)/2 < 0.2 {
					return nil
				}
				step := withoutIsolator(v)
				step["batteries.pack.pluggable"] = true
				return only(true, "pack", step)
			},
		},
		{
			kind: "an isolator of one pole", rule: "disconnect-single-pole", given: "above 60 V the negative pole of the pack stays joined to what lies beyond",
			find: func(v *oracle.Vehicle) []fault {
				if v.Number("disconnects.isolator.poles", 0) != 2 || v.Kind("w_shunt_isolator") != "wires" {
					return nil
				}
				return only(true, "isolator", change{
					"disconnects.isolator.poles": 1.0, "wires.w_shunt_isolator.to": "pack.neg", "wires.w_isolator_pack": nil,
				})
			},
		},
		{kind: "an isolator of a lower voltage", rule: "disconnect-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "disconnects", func(id string) []change { return lowerContact(v, "disconnects."+id) })
		}},
		{kind: "a smaller isolator", rule: "disconnect-carry-low", find: ratings("disconnects", "carry_A", tradeAmps)},
		{kind: "an isolator without overload capacity", rule: "disconnect-short-time-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "disconnects", func(id string) []change { return brief(v, "disconnects."+id, 600) })
		}},
		{kind: "an isolator that interrupts less", rule: "disconnect-break-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "disconnects", func(id string) []change { return breaks(v, "disconnects."+id) })
		}},
		{kind: "a contactor bridged by a bar", rule: "disconnect-make-low", find: func(v *oracle.Vehicle) []fault {
			if negativeSide(v) {
				return nil
			}
			var out []fault
			for _, id := range v.At("main_contactor.a") {
				if _, to := v.Ends(id); to == "main_contactor.a" && v.Area(id) != 2.5 {
					for _, make := range []float64{600, 400, 250, 100, 50} {
						out = append(out, fault{"isolator", []change{{v.Path(id) + ".to": "main_contactor.b", "disconnects.isolator.make_A": make}}})
					}
				}
			}
			return out
		}},

		{kind: "a smaller contactor", rule: "contactor-carry-low", find: both("contact.carry_A", tradeAmps)},
		{kind: "a contactor without overload capacity", rule: "contactor-short-time-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(id string) []change { return brief(v, "contactors."+id+".contact", 600) })
		}},
		{kind: "a contact of a lower voltage", rule: "contactor-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return append(
				each(v, "contactors", func(id string) []change { return lowerContact(v, "contactors."+id+".contact") }),
				each(v, "relays", func(id string) []change { return lowerContact(v, "relays."+id+".contact") })...)
		}},
		{kind: "a contactor that closes too soon", rule: "contactor-make-low", find: multiples("contactors", "closes_after_s", 0.5, 0.35, 0.25, 0.18, 0.12, 0.08, 0.04)},
		{kind: "a contact that may close on less", rule: "contactor-make-low", find: ratings("contactors", "contact.make_A", tradeAmps)},
		{kind: "larger capacitors", rule: "contactor-make-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(string) []change {
				return times(v, "controllers.drive.capacitance_uF", 1.5, 2, 2.5, 3, 4, 6)
			})
		}},
		{kind: "a contactor that interrupts less", rule: "contactor-break-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(id string) []change { return breaks(v, "contactors."+id+".contact") })
		}},
		{kind: "a contactor with weaker reverse break", rule: "contactor-break-reverse-low", find: ratings("contactors", "contact.reverse_break_A", tradeAmps)},
		{kind: "a contactor with magnets, the wrong way up", rule: "contactor-break-reverse-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(id string) []change {
				if v.Number("contactors."+id+".contact.carry_A", 0) < 100 {
					return nil
				}
				path := "contactors." + id + ".contact."
				var steps []change
				for _, amps := range []float64{80, 60, 40, 25, 15} {
					steps = append(steps, merge(swap(v, id+".a", id+".b"), change{path + "polarized": true, path + "reverse_break_A": amps}))
				}
				return steps
			})
		}},
		{kind: "a controller of a much higher limit", rule: "contactor-drops-under-load", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(string) []change {
				return times(v, "controllers.drive.battery_peak_A", 2, 3, 4, 5, 6, 8)
			})
		}},
		{kind: "a contactor that interrupts less", rule: "contactor-drops-under-load", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(id string) []change { return breaks(v, "contactors."+id+".contact") })
		}},
		{kind: "a fuse of much let-through energy", rule: "contactor-welds-on-short", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(id string) []change {
				before := v.Before(id + ".a")
				if len(before) == 0 {
					return nil
				}
				return times(v, "fuses."+before[0]+".total_I2t_A2s", 5, 10, 20, 40, 80, 160, 300)
			})
		}},
	}
}

func switchMutations() []mutation {
	poles := func(field string, trade []float64) func(v *oracle.Vehicle) []fault {
		return func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, id := range v.IDs("switches") {
				for _, pole := range v.IDs("switches." + id + ".poles") {
					out = append(out, fault{id + "." + pole, down(v, "switches."+id+".poles."+pole+"."+field, trade)})
				}
			}
			return out
		}
	}
	return []mutation{
		{kind: "a switch of a lower voltage", rule: "pole-voltage-low", find: poles("rated_V_dc", tradeVolts)},
		{kind: "a switch with thin walls", rule: "poles-voltage-low", find: ratings("switches", "between_poles_V", tradeVolts)},
		{kind: "a switch of a stated insulation between poles of one network", rule: "poles-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "switches", func(id string) []change {
				if len(v.IDs("switches."+id+".poles")) < 2 || v.Has("switches."+id+".between_poles_V") {
					return nil
				}
				return values("switches."+id+".between_poles_V", 24.0, 12.0)
			})
		}},
		{kind: "a switch tested between its poles as for a house circuit", rule: "poles-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "switches", func(id string) []change {
				if !v.Has("switches." + id + ".between_poles_V") {
					return nil
				}
				var out []change
				for _, volts := range []float64{1000, 500} {
					out = append(out, change{"switches." + id + ".between_poles_V": nil, "switches." + id + ".between_poles_test_V": volts})
				}
				return out
			})
		}},
		{kind: "a smaller switch", rule: "pole-carry-low", find: poles("carry_A", tradeAmps)},
		{kind: "a switch for fewer lamps", rule: "pole-load-kind-low", find: poles("lamp_A", tradeAmps)},
		{kind: "a switch for smaller motors", rule: "pole-load-kind-low", find: poles("motor_A", tradeAmps)},
		{kind: "a switch for smaller coils", rule: "pole-load-kind-low", find: poles("inductive_A", tradeAmps)},
		{kind: "filament lamps instead of LED", rule: "pole-make-low", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, id := range v.IDs("switches") {
				for _, pole := range v.IDs("switches." + id + ".poles") {
					path := "switches." + id + ".poles." + pole
					if v.Has(path + ".lamp_A") {
						for _, make := range []float64{40, 25, 15, 10, 6} {
							out = append(out, fault{id + "." + pole, []change{{path + ".lamp_A": nil, path + ".make_A": make}}})
						}
					}
				}
			}
			return out
		}},
		{kind: "a switch that may close on less", rule: "pole-make-low", find: poles("make_A", tradeAmps)},
		{kind: "a lamp or motor behind a small relay", rule: "relay-load-kind-low", find: func(v *oracle.Vehicle) []fault {
			ground := ""
			for _, load := range v.IDs("loads") {
				if v.Number("loads."+load+".at_V", 99) < 20 && v.Text("loads."+load+".kind") != "motor" {
					ground = load
				}
			}
			if ground == "" {
				return nil
			}
			var out []fault
			for _, kind := range []string{"filament", "motor", "inductive"} {
				step, mode := relayed(v, ground, kind)
				if mode != "" {
					out = append(out, fault{"small_relay", step})
				}
			}
			return out
		}},
	}
}

// relayed puts a relay before a load, makes the load one of a kind, and gives
// the contact ever smaller ratings.
func relayed(v *oracle.Vehicle, load, kind string) (steps []change, mode string) {
	feeds, returns := v.At(load+".pos"), v.At(load+".neg")
	if len(feeds) != 1 || len(returns) != 1 || v.Kind(feeds[0]) != "wires" || v.Text("wires."+feeds[0]+".to") != load+".pos" {
		return nil, ""
	}
	for _, m := range v.IDs("modes") {
		for _, on := range v.List("modes." + m + ".on") {
			if on == load {
				mode = m
			}
		}
	}
	for _, amps := range []float64{15, 10, 7.5, 5, 4, 3, 2, 1} {
		steps = append(steps, change{
			"loads." + load + ".kind":   kind,
			"wires." + feeds[0] + ".to": "small_relay.common",
			"wires.relay_load":          wire("small_relay.no", load+".pos", "1.5 mm2", 0.1),
			"wires.relay_coil":          wire("small_relay.common", "small_relay.coil_pos", "1.5 mm2", 0.1),
			"wires.relay_return":        wire("small_relay.coil_neg", load+".neg", "1.5 mm2", 0.1),
			"relays.small_relay": map[string]any{
				"source":  "sheet",
				"contact": map[string]any{"carry_A": amps, "rated_V_dc": 32.0, "make_A": 60.0, "break": []any{map[string]any{"V": 32.0, "A": amps}}},
				"coil": map[string]any{
					"nominal_V": 12.0, "operate_V": 6.6, "release_V": 1.2, "max_V": 20.0, "resistance_Ohm": 160.0,
					"suppression": "diode", "clamp_V": 0.8,
				},
			},
		})
	}
	return steps, mode
}
