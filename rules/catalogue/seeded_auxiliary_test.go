package catalogue_test

import (
	"slices"

	"example.org/headroom/rules/internal/oracle"
)

// held makes faults of the auxiliary batteries that a converter holds.
func held(v *oracle.Vehicle, make func(battery, converter string) []change) []fault {
	return each(v, "batteries", func(id string) []change {
		for _, converter := range v.IDs("converters") {
			if v.Text("batteries."+id+".role") == "auxiliary" && v.OneMetal(converter+".out_pos", id+".pos") {
				return make(id, converter)
			}
		}
		return nil
	})
}

// lithium puts cells of another chemistry in the place of an auxiliary battery, with
// the voltages of so many of them.
func lithium(v *oracle.Vehicle, battery, chemistry string, series, least, nominal, most float64) change {
	path := "batteries." + battery
	out := change{
		path + ".chemistry": chemistry, path + ".series": series,
		path + ".min_V": series * least, path + ".nominal_V": series * nominal, path + ".max_V": series * most,
		path + ".charge_min_C": v.Number("vehicle.ambient_C.min", -10), // heated
		path + ".charge_max_A": 100.0, path + ".resistance_mOhm": map[string]any{"min": 20.0, "typ": 26.0, "max": 40.0},
	}
	if v.Has(path + ".lead_acid") {
		out[path+".lead_acid"] = nil
	}
	return out
}

func auxiliaryMutations() []mutation {
	return []mutation{
		{kind: "a converter set for more cells", rule: "auxiliary-overcharged", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(_, converter string) []change {
				return values("converters."+converter+".output.nominal_V", 15.6, 16.8, 17.5, 18.5)
			})
		}},
		{kind: "three lithium cells for a lead-acid battery", rule: "auxiliary-overcharged", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(battery, converter string) []change {
				var steps []change
				for _, volts := range []float64{13.8, 14.2, 14.6} {
					steps = append(steps, merge(lithium(v, battery, "NMC", 3, 3.5, 3.6, 4.2), change{"converters." + converter + ".output.nominal_V": volts}))
				}
				return steps
			})
		}},
		{kind: "a converter set too low", rule: "auxiliary-undercharged", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(_, converter string) []change {
				return values("converters."+converter+".output.nominal_V", 12.6, 12.0, 11.7, 11.4)
			})
		}},
		{kind: "four lithium cells for a lead-acid battery", rule: "auxiliary-undercharged", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(battery, converter string) []change {
				return []change{
					lithium(v, battery, "NMC", 4, 3.0, 3.6, 3.95),
					merge(lithium(v, battery, "NMC", 4, 3.0, 3.6, 3.95), change{"converters." + converter + ".output.nominal_V": 13.2}),
				}
			})
		}},
		{kind: "a smaller link at the auxiliary battery", rule: "auxiliary-recharge-high", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(battery, _ string) []change {
				for _, id := range v.IDs("fuses") {
					if v.OneMetal(id+".a", battery+".pos") && joinedBy(v, battery+".pos", id+".a") {
						return links(v, id, false)
					}
				}
				return nil
			})
		}},
		{kind: "a thin wire to the auxiliary battery", rule: "auxiliary-recharge-high", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(battery, _ string) []change {
				for _, id := range v.At(battery + ".neg") {
					return smaller(v, id)
				}
				return nil
			})
		}},
		{kind: "a converter of a much higher limit", rule: "auxiliary-recharge-high", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(_, converter string) []change {
				return times(v, "converters."+converter+".output.limit_A", 1.5, 2, 3, 4)
			})
		}},
		{kind: "a converter that hiccups", rule: "converter-stalls-on-battery", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				return values("converters."+id+".output.at_limit", "hiccup")
			})
		}},
		{kind: "the output lead straight on the battery", rule: "backfeed-unfused", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, battery := range v.IDs("batteries") {
				for _, id := range v.IDs("converters") {
					if on := v.At(id + ".out_pos"); v.OneMetal(battery+".pos", id+".out_pos") && len(on) == 1 {
						out = append(out, fault{id, []change{{v.Path(on[0]) + "." + farEnd(v, on[0], id+".out_pos"): battery + ".pos"}}})
					}
				}
			}
			return out
		}},
		{kind: "the lead of the roof straight on the pack", rule: "backfeed-unfused", find: func(v *oracle.Vehicle) []fault {
			if v.Has("solar.roof") {
				return onRoof(v, change{"wires.w_solar_pos.from": "pack.pos", "fuses.solar_fuse": nil, "busbars.b_comb_3": nil, "busbars.b_comb_4.from": "converter_fuse.a"})
			}
			step, ok := roofed(v)
			delete(step, "fuses.roof_fuse")
			delete(step, "wires.w_roof_fuse")
			return only(ok && v.Kind("pack") == "batteries", "roof", merge(step, change{"wires.w_roof_pos": wire("pack.pos", "roof.pos", "2.5 mm2", 1.5)}))
		}},
		{kind: "a charger behind the contactor", rule: "charge-path-open", find: func(v *oracle.Vehicle) []fault {
			return each(v, "chargers", func(id string) []change {
				for _, on := range v.At(id + ".pos") {
					return []change{{v.Path(on) + "." + farEnd(v, on, id+".pos"): "main_contactor.b"}}
				}
				return nil
			})
		}},
		{kind: "an isolator that stays open for charging", rule: "charge-path-open", find: func(v *oracle.Vehicle) []fault {
			return each(v, "chargers", func(id string) []change {
				step := change{}
				for _, mode := range v.IDs("modes") {
					if slices.Contains(v.List("modes."+mode+".connected"), id) {
						var closed []any
						for _, name := range v.List("modes." + mode + ".closed") {
							if v.Kind(name) != "disconnects" {
								closed = append(closed, name)
							}
						}
						step["modes."+mode+".closed"] = closed
					}
				}
				return []change{step}
			})
		}},
	}
}

// farEnd is the end of a conductor that is not on a terminal: "from" or "to".
func farEnd(v *oracle.Vehicle, conductor, terminal string) string {
	if from, _ := v.Ends(conductor); from == terminal {
		return "to"
	}
	return "from"
}

// joinedBy reports whether one conductor joins two terminals.
func joinedBy(v *oracle.Vehicle, a, b string) bool {
	for _, id := range v.At(a) {
		if from, to := v.Ends(id); from == b || to == b {
			return true
		}
	}
	return false
}
