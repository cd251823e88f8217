package catalogue_test

import (
	"strings"

	"example.org/headroom/rules/internal/oracle"
)

// longHill makes the hardest mode of the drive go on for more than an hour.
func longHill(v *oracle.Vehicle) change {
	if !v.Has("modes.climb.lasts_s") {
		return nil
	}
	return change{"modes.climb.lasts_s": 5400.0, "modes.climb.every_s": 9000.0}
}

func conductorMutations() []mutation {
	return []mutation{
		{kind: "a thinner wire", rule: "conductor-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change { return smaller(v, id) })
		}},
		{kind: "a thinner wire on a longer hill", rule: "conductor-peak-hot", find: func(v *oracle.Vehicle) []fault {
			hill := longHill(v)
			if hill == nil {
				return nil
			}
			return each(v, "wires", func(id string) []change {
				steps := smaller(v, id)
				for i := range steps {
					steps[i] = merge(steps[i], hill)
				}
				return steps
			})
		}},
		{kind: "a longer run to the controller", rule: "conductor-drop-high", find: func(v *oracle.Vehicle) []fault {
			if !v.Has("controllers.drive") {
				return nil
			}
			var out []fault
			for _, id := range append(v.At("drive.pos"), v.At("drive.neg")...) {
				if v.Area(id) >= 35 {
					out = append(out, fault{"drive", values("wires."+id+".length_m", 9.0, 14.0, 20.0, 30.0, 60.0, 90.0, 150.0)})
				}
			}
			return out
		}},
		{kind: "a thinner cable to a distant controller", rule: "conductor-drop-high", find: func(v *oracle.Vehicle) []fault {
			var steps []change
			for _, metres := range []float64{5, 8, 12} {
				for _, size := range []string{"35 mm2", "25 mm2", "16 mm2", "10 mm2"} {
					step := change{}
					for _, id := range append(v.At("drive.pos"), v.At("drive.neg")...) {
						if v.Area(id) >= 35 {
							step["wires."+id+".size"], step["wires."+id+".length_m"] = size, metres
						}
					}
					if len(step) > 0 {
						steps = append(steps, step)
					}
				}
			}
			return only(len(steps) > 0, "drive", steps...)
		}},
		{kind: "a wire for 12 V", rule: "insulation-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				return values("wires."+id+".insulation.rated_V", 60.0, 50.0, 30.0)
			})
		}},
		{kind: "a traction wire in the lamp bundle", rule: "bundle-voltage-low", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, id := range []string{"w_enable", "w_key_drive", "w_charge_pos", "w_voltmeter_pos", "w_converter_pos"} {
				if v.Kind(id) != "wires" {
					continue
				}
				for _, lamp := range v.IDs("wires") {
					if v.Text("wires."+lamp+".bundle") == "rear" {
						out = append(out, fault{lamp, []change{{"wires." + id + ".bundle": "rear"}}})
					}
				}
			}
			return out
		}},
		{kind: "a red traction cable", rule: "orange-missing", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				if v.Text("wires."+id+".colour") != "orange" {
					return nil
				}
				return values("wires."+id+".colour", "red")
			})
		}},
		{kind: "a thinner wire at a converter", rule: "limited-source-unprotected", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, c := range v.IDs("converters") {
				for _, id := range v.At(c + ".out_pos") {
					if v.Kind(id) == "wires" {
						out = append(out, fault{id, smaller(v, id)})
					}
				}
			}
			return out
		}},
		{kind: "the wrong lug", rule: "lug-hole-mismatch", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change {
				return values("wires."+id+".lug_hole_mm", 13.0, 17.0, 21.0, 6.4, 5.3)
			})
		}},
		{kind: "a stud of a smaller rating", rule: "stud-overloaded", find: ratings("studs", "rated_A", tradeAmps)},
		{kind: "all returns on one stud", rule: "stud-crowded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "studs", func(id string) []change {
				step, moved := change{}, 0
				for _, wire := range v.IDs("wires") {
					from, to := v.Ends(wire)
					other, _, _ := strings.Cut(to, ".")
					if moved < 4 && v.Kind(other) == "studs" && other != id && from != id+".stud" && v.OneMetal(to, id+".stud") {
						step["wires."+wire+".to"] = id + ".stud"
						moved++
					}
				}
				return []change{step}
			})
		}},
		{kind: "a torque not written down", rule: "torque-missing", find: func(v *oracle.Vehicle) []fault {
			return append(
				each(v, "studs", func(id string) []change { return present(v, "studs."+id+".torque_Nm") }),
				each(v, "fuses", func(id string) []change { return present(v, "fuses."+id+".torque_Nm") })...)
		}},
		{kind: "a bond left out", rule: "bond-missing", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, bond := range v.IDs("bonds") {
				out = append(out, fault{v.Text("bonds." + bond + ".of"), []change{{"bonds." + bond: nil}}})
			}
			return out
		}},
		{kind: "a painted bond", rule: "bond-resistance-high", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, bond := range v.IDs("bonds") {
				out = append(out, fault{v.Text("bonds." + bond + ".of"), values("bonds."+bond+".resistance_Ohm", 0.12, 0.3)})
			}
			return out
		}},
		{kind: "a thin and long bar", rule: "busbar-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "busbars", func(id string) []change { return thinBars(id, nil) })
		}},
		{kind: "a thin and long bar on a longer hill", rule: "busbar-peak-hot", find: func(v *oracle.Vehicle) []fault {
			hill := longHill(v)
			if hill == nil {
				return nil
			}
			return each(v, "busbars", func(id string) []change { return thinBars(id, hill) })
		}},
		{kind: "thin bars close together", rule: "busbar-force-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "busbars", func(id string) []change {
				var out []change
				for _, length := range []float64{600, 900, 1200, 1500} {
					out = append(out, merge(dropped(v, "busbars."+id, "clearance_mm", "creepage_mm"), change{
						"busbars." + id + ".length_mm": length, "busbars." + id + ".thickness_mm": 1.0,
						"busbars." + id + ".spacing_mm": 6.0,
					}))
				}
				return out
			})
		}},
		{kind: "supports for 12 V", rule: "busbar-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "busbars", func(id string) []change {
				return down(v, "busbars."+id+".rated_V", append([]float64{1000, 690, 600}, tradeVolts...))
			})
		}},
		{kind: "a short overlap", rule: "busbar-overlap-short", find: func(v *oracle.Vehicle) []fault {
			return each(v, "busbars", func(id string) []change { return values("busbars."+id+".overlap_mm", 20.0, 12.0, 8.0, 5.0) })
		}},
		{kind: "poles too close", rule: "clearance-small", find: spaced("clearance_mm")},
		{kind: "a short way along the support", rule: "creepage-small", find: spaced("creepage_mm")},
	}
}

// present deletes a path that is there.
func present(v *oracle.Vehicle, path string) []change {
	if !v.Has(path) {
		return nil
	}
	return []change{{path: nil}}
}

// thinBars makes a bar longer and thinner.
func thinBars(id string, with change) []change {
	var out []change
	for _, size := range [][2]float64{{20, 2}, {15, 2}, {12, 1.5}, {10, 1}, {8, 1}, {6, 1}, {4, 0.6}, {2, 0.5}} {
		out = append(out, merge(with, change{
			"busbars." + id + ".width_mm": size[0], "busbars." + id + ".thickness_mm": size[1], "busbars." + id + ".length_mm": 800.0,
		}))
	}
	return out
}

// spaced makes the distance of bars and studs smaller.
func spaced(field string) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		var out []fault
		for _, group := range []string{"studs", "busbars"} {
			out = append(out, each(v, group, func(id string) []change {
				if !v.Has(group + "." + id + "." + field) {
					return nil
				}
				steps := values(group+"."+id+"."+field, 8.0, 6.0, 1.8, 1.2)
				if field == "creepage_mm" {
					// No creepage is shorter than the clearance.
					for i := range steps {
						if v.Has(group + "." + id + ".clearance_mm") {
							steps[i][group+"."+id+".clearance_mm"] = nil
						}
					}
				}
				return steps
			})...)
		}
		return out
	}
}
