package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// timerMutations are mistakes with what makes a contactor wait for its pre-charge,
// and with the capacitors on which it closes.
func timerMutations() []mutation {
	return []mutation{
		{kind: "a coil wired past its timer", rule: "precharge-delay-unmade", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, t := range v.IDs("timers") {
				for _, wire := range v.At(t + ".no") {
					for _, past := range []string{t + ".common", t + ".pos"} {
						out = append(out, fault{"main_contactor", []change{{"wires." + wire + ".from": past}}})
					}
				}
			}
			return out
		}},
		{kind: "a bridge across a timer", rule: "precharge-delay-unmade", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, t := range v.IDs("timers") {
				out = append(out, fault{"main_contactor", []change{{"wires.w_bridge": wire(t+".common", t+".no", "1.5 mm2", 0.05)}}})
			}
			return out
		}},
		{kind: "a relay for the pre-charge on the wire of the contactor's coil", rule: "precharge-delay-unmade", find: func(v *oracle.Vehicle) []fault {
			step := rivalRelay(v)
			return only(step != nil, "main_contactor", step)
		}},
		{kind: "a timer fed ahead of the key or stop", rule: "precharge-delay-unmade", find: timersAhead},
		{kind: "a coil returned past the controller's output", rule: "precharge-delay-unmade", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, c := range v.IDs("controllers") {
				for _, id := range v.At(c + ".coil_out") {
					for _, home := range []string{c + ".neg", "minus.stud", "minus_aux.stud"} {
						if len(v.At(home)) > 0 && v.OneMetal(home, c+".neg") {
							out = append(out, fault{"main_contactor", []change{{v.Path(id) + "." + endAt(v, id, c+".coil_out"): home}}})
						}
					}
				}
			}
			return out
		}},
		{kind: "a controller's output for the coil that is left unused", rule: "precharge-delay-unmade", find: func(v *oracle.Vehicle) []fault {
			// A person makes this one wait, though the controller could.
			_, ok := coilFeed(v)
			return only(ok && v.Kind("drive") == "controllers" && !v.Has("controllers.drive.coil_out"), "main_contactor",
				change{"controllers.drive.coil_out": map[string]any{"max_A": 2.0, "max_V": 120.0}})
		}},
		{kind: "a converter with film capacitors", rule: "capacitors-ring-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				if !v.Has("converters." + id + ".input.esr_mOhm") {
					return nil
				}
				return values("converters."+id+".input.esr_mOhm", 50.0, 20.0, 10.0, 5.0, 2.0)
			})
		}},
		{kind: "a converter with a few ceramic capacitors", rule: "capacitors-ring-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				path := "converters." + id + ".input"
				if !v.Has(path + ".esr_mOhm") {
					return nil
				}
				return []change{{path + ".esr_mOhm": 10.0, path + ".capacitance_uF": 40.0}}
			})
		}},
		{kind: "film capacitors at the end of a long cable", rule: "capacitors-ring-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				path := "converters." + id + ".input"
				var out []change
				for _, metres := range []float64{2, 4, 6, 8} {
					// Most of the resistance of the loop is that of the capacitors.
					step := change{path + ".esr_mOhm": 80.0, path + ".capacitance_uF": 25.0}
					for _, pole := range []string{".in_pos", ".in_neg"} {
						for _, w := range v.At(id + pole) {
							if v.Kind(w) == "wires" {
								step["wires."+w+".length_m"] = metres
							}
						}
					}
					out = append(out, step)
				}
				return out
			})
		}},
		{kind: "a timer that recovers slowly", rule: "timer-recovery-long", find: onTimers(func(string, *oracle.Vehicle) []change {
			return []change{{"recovery_s": 0.25}, {"recovery_s": 0.5}}
		})},
		{kind: "a timer for a lower voltage", rule: "timer-supply-outside", find: onTimers(func(id string, v *oracle.Vehicle) []change {
			return []change{{"supply_V.max": 48.0, "supply_V.min": 24.0}, {"supply_V.max": 12.0, "supply_V.min": 8.0}}
		})},
		{kind: "a timer for a higher voltage", rule: "timer-supply-outside", find: onTimers(func(id string, v *oracle.Vehicle) []change {
			return []change{{"supply_V.min": 16.0}, {"supply_V.min": 60.0}}
		})},
	}
}

// timersAhead feeds a timer from before a pole of the key or of the emergency stop, so
// that its time is over when that one closes; the rest stays behind its contact.
func timersAhead(v *oracle.Vehicle) []fault {
	var out []fault
	for _, t := range v.IDs("timers") {
		step := change{}
		for _, id := range v.At(t + ".pos") {
			if from, to := v.Ends(id); from == t+".common" || to == t+".common" {
				step[v.Path(id)] = nil
			} else {
				step[v.Path(id)+"."+endAt(v, id, t+".pos")] = t + ".common"
			}
		}
		for _, name := range v.IDs("switches") {
			for _, pole := range v.IDs("switches." + name + ".poles") {
				if role := v.Text("switches." + name + ".role"); (role == "key" || role == "emergency-stop") && !v.FedWithout(name+"."+pole, t+".pos") {
					out = append(out, fault{"main_contactor", []change{merge(step, change{"wires.w_timer_pos": wire(name+"."+pole+"_a", t+".pos", "1.5 mm2", 1.5)})}})
				}
			}
		}
	}
	return out
}

// onTimers changes fields of the timers of a vehicle or, where it has none, of one
// that is put into the path of its contactor's coil.
func onTimers(make func(id string, v *oracle.Vehicle) []change) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		id, with := "delay", timed(v)
		if ids := v.IDs("timers"); len(ids) > 0 {
			id, with = ids[0], change{}
		}
		if with == nil {
			return nil
		}
		var out []change
		for _, fields := range make(id, v) {
			step := merge(with)
			for field, value := range fields {
				step["timers."+id+"."+field] = value
			}
			out = append(out, step)
		}
		return []fault{{id, out}}
	}
}

// coilFeed is the wire that feeds a 48 V contactor's coil, where that has one on either
// side that a person makes wait, and the contactor is in the positive side: in the negative one what the controller's
// logic draws would return through the pre-charge resistor while a device makes it wait.
func coilFeed(v *oracle.Vehicle) (feed string, ok bool) {
	feeds, backs := v.At("main_contactor.coil_pos"), v.At("main_contactor.coil_neg")
	if len(feeds) != 1 || len(backs) != 1 || v.Kind(feeds[0]) != "wires" || v.Kind(backs[0]) != "wires" {
		return "", false
	}
	feed = feeds[0]
	_, to := v.Ends(feed)
	positive := false
	for _, id := range v.At("main_contactor.b") {
		_, end := v.Ends(id)
		positive = positive || end == "drive.pos"
	}
	return feed, positive && to == "main_contactor.coil_pos" && v.Has("contactors.main_contactor.closes_after_s") && v.Number("contactors.main_contactor.coil.nominal_V", 0) == 48
}

// timed puts a time relay of 6 s into the path of a 48 V coil that a person makes
// wait so far; nil where there is none.
func timed(v *oracle.Vehicle) change {
	feed, ok := coilFeed(v)
	if !ok || len(v.At("drive.coil_out")) > 0 {
		return nil
	}
	from, _ := v.Ends(feed)
	return change{
		"timers.delay.function":          "on-delay",
		"timers.delay.set_s":             6.0,
		"timers.delay.tolerance_percent": 10.0,
		"timers.delay.supply_V.min":      30.0,
		"timers.delay.supply_V.max":      100.0,
		"timers.delay.supply_mA":         15.0,
		"timers.delay.recovery_s":        0.1,
		"timers.delay.contact": map[string]any{
			"carry_A": 6.0, "rated_V_dc": 125.0, "make_A": 10.0, "polarized": false,
			"break": []any{map[string]any{"V": 125.0, "A": 2.0, "operations": 100000.0}},
		},
		"timers.delay.source":                      "sheet TR-48",
		"wires.w_delay_pos":                        wire(from, "delay.pos", "1.5 mm2", 0.1),
		"wires.w_delay_common":                     wire("delay.pos", "delay.common", "1.5 mm2", 0.05),
		"wires.w_delay_neg":                        wire("delay.neg", "main_contactor.coil_neg", "1.5 mm2", 1.4),
		"wires." + feed + ".from":                  "delay.no",
		"contactors.main_contactor.closes":         map[string]any{"by": "timer", "device": "delay"},
		"contactors.main_contactor.closes_after_s": nil,
	}
}

// rivalRelay puts a relay before a permanent pre-charge resistor, its coil on the
// very terminals of the contactor's; nil where there is no such resistor.
func rivalRelay(v *oracle.Vehicle) change {
	_, ok := coilFeed(v)
	on := v.At("soft.a")
	if !ok || len(on) != 1 || !v.True("resistors.soft.permanent") {
		return nil
	}
	from, _ := v.Ends(on[0])
	if from != "main_contactor.a" {
		return nil
	}
	return change{
		"relays.rival": map[string]any{
			"form": "no", "source": "sheet RY-48",
			"contact": map[string]any{
				"carry_A": 5.0, "rated_V_dc": 150.0, "make_A": 10.0, "polarized": false,
				"break": []any{map[string]any{"V": 150.0, "A": 2.0, "operations": 10000.0}},
			},
			"coil": map[string]any{
				"nominal_V": 48.0, "operate_V": 27.0, "release_V": 4.8, "max_V": 80.0, "resistance_Ohm": 1400.0, "rise_K": 30.0,
				"suppression": "diode+zener", "clamp_V": 36.0,
			},
		},
		"resistors.soft.permanent":  false,
		"wires." + on[0] + ".to":    "rival.common",
		"wires.w_rival_soft":        wire("rival.no", "soft.a", "2.5 mm2", 0.08),
		"wires.w_rival_coil":        wire("main_contactor.coil_pos", "rival.coil_pos", "1.5 mm2", 0.1),
		"wires.w_rival_coil_return": wire("rival.coil_neg", "main_contactor.coil_neg", "1.5 mm2", 0.1),
	}
}
