package catalogue_test

import "example.org/headroom/rules/internal/oracle"

func recordMutations() []mutation {
	return []mutation{
		{
			kind: "a switch that nothing is wired to", rule: "part-unused", given: "no conductor ends on it",
			find: func(v *oracle.Vehicle) []fault {
				return only(true, "forgotten", change{"switches.forgotten": map[string]any{
					"source": "sheet", "poles": map[string]any{"p": map[string]any{"carry_A": 10.0, "rated_V_dc": 125.0}},
				}})
			},
		},
		{
			kind: "a load that no mode turns on", rule: "part-unused", given: "it is taken out of every mode",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "loads", func(id string) []change {
					step := change{}
					for _, mode := range v.IDs("modes") {
						var on []any
						had := false
						for _, load := range v.List("modes." + mode + ".on") {
							if load == id {
								had = true
							} else {
								on = append(on, load)
							}
						}
						if had {
							step["modes."+mode+".on"] = on
							if on == nil {
								step["modes."+mode+".on"] = nil
							}
						}
					}
					return []change{step}
				})
			},
		},
		{
			kind: "a rating without its datasheet", rule: "rating-source-missing", given: "the field is taken out",
			find: func(v *oracle.Vehicle) []fault {
				var out []fault
				for _, group := range []string{"fuses", "contactors", "batteries", "converters"} {
					out = append(out, each(v, group, func(id string) []change { return present(v, group+"."+id+".source") })...)
				}
				return out
			},
		},
		{
			kind: "a short-circuit current that the resistance does not give", rule: "ratings-contradict", given: "V_max / R_min is far from the stated current",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "batteries", func(id string) []change {
					if !v.Has("batteries." + id + ".resistance_mOhm.min") {
						return nil
					}
					amps := v.Number("batteries."+id+".max_V", 0) / v.BatteryResistance(id, "min")
					return values("batteries."+id+".short_circuit_A", amps*0.3)
				})
			},
		},
		{
			kind: "a contact that breaks beyond its voltage", rule: "ratings-contradict", given: "it breaks at twice the voltage that it is rated for",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "contactors", func(id string) []change {
					path := "contactors." + id + ".contact"
					return values(path+".break", []any{map[string]any{"V": 2 * v.Number(path+".rated_V_dc", 0), "A": 1000.0}})
				})
			},
		},
		{
			kind: "integrals of another link", rule: "ratings-contradict", given: "the stated melting integral is tens of times what the end of the curve gives",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "fuses", func(id string) []change {
					points, _ := v.Get("fuses." + id + ".opening.min").([]any)
					if len(points) == 0 {
						return nil
					}
					last := points[len(points)-1].(map[string]any)
					integral := last["current_A"].(float64) * last["current_A"].(float64) * last["s"].(float64)
					return []change{{"fuses." + id + ".melting_I2t_A2s": 20 * integral, "fuses." + id + ".total_I2t_A2s": 22 * integral}}
				})
			},
		},
		{
			kind: "a slipped decimal point", rule: "value-unlikely", given: "a thousandth of a rating, or a thousand times, is not on sale",
			find: func(v *oracle.Vehicle) []fault {
				var out []fault
				if v.Has("fuses.main.rated_A") {
					out = append(out, fault{"main", []change{merge(change{"fuses.main.rated_A": v.Number("fuses.main.rated_A", 0) / 1000}, dropped(v, "fuses.main", "opening", "melting_I2t_A2s", "total_I2t_A2s", "min_breaking_A"))}})
				}
				if v.Has("batteries.pack.resistance_mOhm") {
					out = append(out, fault{"pack", []change{{"batteries.pack.resistance_mOhm": 1000 * v.BatteryResistance("pack", "typ") * 1000}}})
				}
				if v.Has("disconnects.isolator.carry_A") {
					out = append(out, fault{"isolator", []change{merge(change{"disconnects.isolator.carry_A": v.Number("disconnects.isolator.carry_A", 0) / 1000}, dropped(v, "disconnects.isolator", "short_time"))}})
				}
				return out
			},
		},
		{
			kind: "a part in use marked as a spare", rule: "spare-in-use", given: "conductors end on it",
			find: func(v *oracle.Vehicle) []fault {
				var out []fault
				for _, group := range []string{"fuses", "contactors", "loads", "disconnects"} {
					out = append(out, each(v, group, func(id string) []change { return values(group+"."+id+".spare", true) })...)
				}
				return out
			},
		},
		{
			kind: "no modes", rule: "modes-missing", given: "every mode is taken out",
			find: func(v *oracle.Vehicle) []fault {
				return only(true, "vehicle", merge(withoutCycle(v), change{"modes": map[string]any{}}))
			},
		},
		{
			kind: "a misspelt rule in the policy", rule: "policy-rule-unknown", given: "no rule has that name",
			find: func(v *oracle.Vehicle) []fault {
				return []fault{
					{"policy.required.fuse-voltag-low", []change{{"policy.required.fuse-voltag-low": 1.2}}},
					{"policy.levels.coil-overvoltge", []change{{"policy.levels.coil-overvoltge": "note"}}},
				}
			},
		},
		{
			kind: "a policy that asks for less", rule: "policy-weakened", given: "half the headroom that the rule asks for by itself, or a lower level",
			find: func(v *oracle.Vehicle) []fault {
				return []fault{
					{"policy", []change{{"policy.required.fuse-breaking-low": 0.5}}},
					{"policy", []change{{"policy.levels.polarity-reversed": "note"}}},
				}
			},
		},
	}
}

// dropped deletes those fields of a group that are there.
func dropped(v *oracle.Vehicle, path string, fields ...string) change {
	out := change{}
	for _, field := range fields {
		if v.Has(path + "." + field) {
			out[path+"."+field] = nil
		}
	}
	return out
}

// withoutCycle takes the declared cycle out, if there is one.
func withoutCycle(v *oracle.Vehicle) change {
	if !v.Has("cycle") {
		return nil
	}
	return change{"cycle": nil}
}

// A waiver as a team writes it.
func waive(rule, subject, expires string, more change) []any {
	entry := map[string]any{
		"rule": rule, "subject": subject, "reason": "The part is on order and the vehicle is not used until then.",
		"approved_by": "workshop lead", "expires": expires,
	}
	for field, value := range more {
		entry[field] = value
	}
	return []any{entry}
}

// far is a day long after that of the runs.
const far = "2033-03-31"

func waiverMutations() []mutation {
	// A finding to be waived: a fuse without its datasheet.
	unsourced := func(v *oracle.Vehicle) (string, change) {
		for _, id := range v.IDs("fuses") {
			if v.Has("fuses." + id + ".source") {
				return id, change{"fuses." + id + ".source": nil}
			}
		}
		return "", nil
	}
	return []mutation{
		{
			kind: "a waiver of a misspelt rule", rule: "waiver-rule-unknown", given: "no rule has that name",
			find: func(v *oracle.Vehicle) []fault {
				return only(v.Kind("main") == "fuses", waiverSubject("load-drop-hihg", "main"), change{"waivers": waive("load-drop-hihg", "main", far, nil)})
			},
		},
		{
			kind: "a waiver of a misspelt part", rule: "waiver-subject-unknown", given: "no part has that name",
			find: func(v *oracle.Vehicle) []fault {
				return only(true, waiverSubject("fuse-overloaded", "mian"), change{"waivers": waive("fuse-overloaded", "mian", far, nil)})
			},
		},
		{
			kind: "a waiver of what is sound", rule: "waiver-unused", given: "the check that it names passes",
			find: func(v *oracle.Vehicle) []fault {
				return only(v.Kind("main") == "fuses", waiverSubject("fuse-voltage-low", "main"), change{"waivers": waive("fuse-voltage-low", "main", far, nil)})
			},
		},
		{
			kind: "a waiver of long ago", rule: "waiver-expired", given: "its last day is before that of the run",
			find: func(v *oracle.Vehicle) []fault {
				id, without := unsourced(v)
				return only(id != "", waiverSubject("rating-source-missing", id), merge(without, change{"waivers": waive("rating-source-missing", id, "2028-03-31", nil)}))
			},
		},
		{
			kind: "a waiver of the last month", rule: "waiver-expires-soon", given: "it ends two weeks after the day of the run",
			find: func(v *oracle.Vehicle) []fault {
				id, without := unsourced(v)
				return only(id != "", waiverSubject("rating-source-missing", id), merge(without, change{"waivers": waive("rating-source-missing", id, "2030-06-15", nil)}))
			},
		},
		{
			kind: "a waiver of a smaller excess", rule: "waiver-exceeded", given: "the fuse has half the headroom that the waiver covers",
			find: func(v *oracle.Vehicle) []fault {
				if !v.Has("fuses.main.rated_V_dc") || v.Working("main.a") == 0 {
					return nil
				}
				rated := 0.45 * v.Working("main.a")
				step := change{"fuses.main.rated_V_dc": rated, "waivers": waive("fuse-voltage-low", "main", far, change{"down_to": 0.9})}
				if v.Has("fuses.main.breaking_at_V") {
					step["fuses.main.breaking_at_V"] = rated
				}
				return only(true, waiverSubject("fuse-voltage-low", "main"), step)
			},
		},
	}
}

// waiverSubject is how findings about a waiver name it.
func waiverSubject(rule, subject string) string {
	return rule + "/" + subject
}
