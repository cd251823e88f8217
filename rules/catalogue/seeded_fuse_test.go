package catalogue_test

import "example.org/headroom/rules/internal/oracle"

func fuseMutations() []mutation {
	return []mutation{
		{kind: "an AC fuse", rule: "fuse-voltage-ac-only", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				path := "fuses." + id
				if !v.Has(path + ".rated_V_dc") {
					return nil
				}
				return []change{{path + ".rated_V_dc": nil, path + ".rated_V_ac": 250.0, path + ".breaking_at_V": v.Number(path+".breaking_at_V", v.Number(path+".rated_V_dc", 0))}}
			})
		}},
		{kind: "a fuse of a lower DC voltage", rule: "fuse-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				steps := down(v, "fuses."+id+".rated_V_dc", tradeVolts)
				for i := range steps {
					if v.Has("fuses." + id + ".breaking_at_V") {
						steps[i]["fuses."+id+".breaking_at_V"] = steps[i]["fuses."+id+".rated_V_dc"]
					}
				}
				return steps
			})
		}},
		{kind: "a charger of a higher voltage", rule: "fuse-voltage-low", find: func(v *oracle.Vehicle) []fault {
			charger := firstOf(v, "chargers")
			if charger == "" {
				return nil
			}
			return each(v, "fuses", func(string) []change { return times(v, "chargers."+charger+".max_V", 1.25, 1.5, 2, 3) })
		}},
		{kind: "a fuse of less breaking capacity", rule: "fuse-breaking-low", find: ratings("fuses", "breaking_A_dc", breakingAmps)},
		{kind: "a pack of less resistance", rule: "fuse-breaking-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				var steps []change
				for _, f := range []float64{0.8, 0.6, 0.5, 0.4, 0.3} {
					step := change{}
					for _, b := range v.IDs("batteries") {
						for _, which := range []string{"min", "typ", "max"} {
							step["batteries."+b+".resistance_mOhm."+which] = 1000 * f * v.BatteryResistance(b, which)
						}
					}
					steps = append(steps, wholeResistance(v, step))
				}
				return steps
			})
		}},
		{kind: "a smaller link", rule: "fuse-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return links(v, id, false) })
		}},
		{kind: "a smaller link", rule: "fuse-opens-in-use", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return links(v, id, false) })
		}},
		{kind: "a pump that pulls more at its start", rule: "fuse-opens-in-use", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, load := range v.IDs("loads") {
				if before := v.Before(load + ".pos"); v.Has("loads."+load+".stall_A") && len(before) > 0 {
					out = append(out, fault{before[0], times(v, "loads."+load+".stall_A", 1.5, 2, 3, 4, 6)})
				}
			}
			return out
		}},
		{kind: "a controller of a higher battery-side limit", rule: "fuse-opens-in-use", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(string) []change {
				return times(v, "controllers.drive.battery_peak_A", 1.25, 1.5, 2, 2.5, 3, 4)
			})
		}},
		{kind: "a smaller link", rule: "fuse-fatigued", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return links(v, id, false) })
		}},
		{kind: "a larger link", rule: "fuse-above-ampacity", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				fuse := guard(v, id)
				if fuse == "" {
					return nil
				}
				return links(v, fuse, true)
			})
		}},
		{kind: "a thinner wire", rule: "fuse-above-ampacity", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				if guard(v, id) == "" {
					return nil
				}
				return smaller(v, id)
			})
		}},
		{kind: "a hotter bay", rule: "fuse-above-ampacity", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				if guard(v, id) == "" {
					return nil
				}
				return values("vehicle.ambient_C.max", 50.0, 60.0, 70.0)
			})
		}},
		{kind: "a thinner wire", rule: "fuse-withstand-short", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change { return smaller(v, id) })
		}},
		{kind: "a slow fuse", rule: "fuse-slower-than-damage", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				fuse := guard(v, id)
				points, _ := v.Get("fuses." + fuse + ".opening.max").([]any)
				if fuse == "" || len(points) < 2 {
					return nil
				}
				var steps []change
				for _, f := range []float64{3, 5, 10, 20, 40} {
					var slow []any
					for i, p := range points {
						point := p.(map[string]any)
						factor := f
						if i == 0 {
							factor = 1 // the gate of the standard
						}
						slow = append(slow, map[string]any{"current_A": point["current_A"], "s": point["s"].(float64) * factor})
					}
					falls := slow[1].(map[string]any)["s"].(float64) < slow[0].(map[string]any)["s"].(float64)
					if falls {
						steps = append(steps, change{"fuses." + fuse + ".opening.max": slow, "fuses." + fuse + ".total_I2t_A2s": nil})
					}
				}
				return droppable(v, "fuses."+fuse+".total_I2t_A2s", steps)
			})
		}},
		{kind: "a thinner wire", rule: "fuse-slower-than-damage", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				if guard(v, id) == "" {
					return nil
				}
				return smaller(v, id)
			})
		}},
		{kind: "a much longer run", rule: "fuse-far-fault-slow", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				return values("wires."+id+".length_m", 12.0, 20.0, 30.0, 45.0, 60.0, 90.0, 130.0, 180.0)
			})
		}},
		{kind: "a larger link behind a converter", rule: "fuse-cannot-open", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return links(v, id, true) })
		}},
		{kind: "a converter of a lower limit", rule: "fuse-cannot-open", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				c := firstOf(v, "converters")
				path := "converters." + c + ".output."
				var steps []change
				for _, f := range []float64{0.8, 0.65, 0.5, 0.4} {
					step := change{}
					for _, field := range []string{"continuous_A", "peak_A", "limit_A"} {
						if now := v.Number(path+field, 0); now > 0 {
							step[path+field] = now * f
						}
					}
					steps = append(steps, step)
				}
				return steps
			})
		}},
		{kind: "a higher minimum breaking current", rule: "fuse-below-breaking-minimum", find: multiples("fuses", "min_breaking_A", 1.5, 2, 2.5, 3, 4, 5)},
		{kind: "an old and cold pack", rule: "fuse-below-breaking-minimum", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				if !v.Has("fuses." + id + ".min_breaking_A") {
					return nil
				}
				var steps []change
				for _, mohm := range []float64{50, 70, 90, 110, 140} {
					typical := 1000 * v.BatteryResistance("pack", "typ")
					steps = append(steps, change{"batteries.pack.resistance_mOhm": map[string]any{"min": typical * 0.6, "typ": typical, "max": mohm}})
				}
				return steps
			})
		}},
		{kind: "a larger link in the branch", rule: "fuse-not-selective", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return links(v, id, true) })
		}},
		{kind: "a link for the motor's current", rule: "fuse-controller-mismatch", find: func(v *oracle.Vehicle) []fault {
			if before := v.Before("drive.pos"); len(before) == 1 {
				return only(true, before[0], links(v, before[0], true)...)
			}
			return nil
		}},
		{kind: "a larger link in the old holder", rule: "fuse-holder-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return links(v, id, true) })
		}},
		{kind: "a smaller holder", rule: "fuse-holder-overloaded", find: ratings("fuses", "holder.rated_A", linkAmps)},
		{kind: "a holder for vehicles of 12 V", rule: "fuse-holder-voltage-low", find: ratings("fuses", "holder.rated_V_dc", tradeVolts)},
		{kind: "no spare carried", rule: "fuse-spare-missing", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return values("fuses."+id+".spares", 0.0) })
		}},
		{kind: "a fuse behind a bolted plate", rule: "fuse-unreachable", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change { return values("fuses."+id+".reachable", false) })
		}},
	}
}

// droppable keeps a deletion in steps only where the path is there.
func droppable(v *oracle.Vehicle, path string, steps []change) []change {
	if !v.Has(path) {
		for _, s := range steps {
			delete(s, path)
		}
	}
	return steps
}

// guard is the smallest fuse before both ends of a wire that runs farther than
// a tap may.
func guard(v *oracle.Vehicle, id string) string {
	from, to := v.Ends(id)
	a, b := v.Before(from), v.Before(to)
	if len(a) == 0 || len(b) == 0 || v.Length(id) <= 0.3 {
		return ""
	}
	return a[0]
}
