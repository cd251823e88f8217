package catalogue_test

import (
	"slices"

	"example.org/headroom/rules/internal/oracle"
)

// diodeMutations puts diodes and drivers where teams put them.
func diodeMutations() []mutation {
	return []mutation{
		{kind: "a small diode in the feed of a coil", rule: "diode-overloaded", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, coil := range v.IDs("contactors") {
				on := v.At(coil + ".coil_pos")
				if len(on) != 1 || v.Kind(on[0]) != "wires" {
					continue
				}
				end := "to"
				if from, _ := v.Ends(on[0]); from == coil+".coil_pos" {
					end = "from"
				}
				var steps []change
				for _, amps := range []float64{0.2, 0.1, 0.05, 0.02} {
					steps = append(steps, change{
						"diodes.apart":               map[string]any{"forward_V": 0.8, "forward_at_A": 1.0, "continuous_A": amps, "reverse_V": 400.0, "source": "sheet"},
						"wires.w_apart":              wire("apart.cathode", coil+".coil_pos", "1.5 mm2", 0.1),
						"wires." + on[0] + "." + end: "apart.anode",
					})
				}
				out = append(out, fault{"apart", steps})
			}
			return out
		}},
		{kind: "a diode of a low voltage across a coil", rule: "diode-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return acrossCoils(v, func(id string) []change {
				var steps []change
				for _, volts := range []float64{60, 40, 20, 10, 5} {
					steps = append(steps, change{
						"diodes.wheel":  map[string]any{"continuous_A": 3.0, "reverse_V": volts, "source": "sheet"},
						"wires.w_wheel": wire("wheel.cathode", id+".coil_pos", "1.5 mm2", 0.05),
						"wires.w_other": wire("wheel.anode", id+".coil_neg", "1.5 mm2", 0.05),
					})
				}
				return steps
			}, "wheel")
		}},
		{kind: "a weak coil output", rule: "coil-output-overloaded", find: func(v *oracle.Vehicle) []fault {
			if v.Has("controllers.drive.coil_out") {
				return only(true, "drive", values("controllers.drive.coil_out.max_A", 0.5, 0.2, 0.1, 0.05)...)
			}
			return driven(v)
		}},
	}
}

// acrossCoils makes faults of the coils of contactors, with a subject of their own.
func acrossCoils(v *oracle.Vehicle, make func(id string) []change, subject string) []fault {
	var out []fault
	for _, id := range v.IDs("contactors") {
		out = append(out, fault{subject, make(id)})
	}
	return out
}

// driven lets the controller's output switch the main contactor's return.
func driven(v *oracle.Vehicle) []fault {
	on := v.At("main_contactor.coil_neg")
	if len(on) != 1 || v.Kind(on[0]) != "wires" {
		return nil
	}
	from, to := v.Ends(on[0])
	end := "to"
	if to == "main_contactor.coil_neg" {
		end, to = "from", from
	}
	if to != "drive.neg" {
		return nil
	}
	var steps []change
	for _, amps := range []float64{0.3, 0.1, 0.05, 0.02} {
		step := change{
			"controllers.drive.coil_out": map[string]any{"max_A": amps, "max_V": 1000.0},
			"wires." + on[0] + "." + end: "drive.coil_out",
		}
		for _, mode := range v.IDs("modes") {
			if closed := v.List("modes." + mode + ".closed"); slices.Contains(closed, "key") {
				list := []any{"drive.coil_out"}
				for _, id := range closed {
					list = append(list, id)
				}
				step["modes."+mode+".closed"] = list
			}
		}
		steps = append(steps, step)
	}
	return []fault{{"drive", steps}}
}

// enableMutations feed a controller's enable input past the key.
func enableMutations() []mutation {
	return []mutation{
		{
			kind: "the enable input fed past the key", rule: "enable-not-keyed", given: "metal feeds it with every pole of the key open",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "controllers", func(id string) []change {
					on := v.At(id + ".enable")
					if len(on) != 1 || v.Kind(on[0]) != "wires" {
						return nil
					}
					for _, end := range []string{"from", "to"} {
						if v.Text("wires."+on[0]+"."+end) == "key.drive_b" {
							return []change{{"wires." + on[0] + "." + end: "key.drive_a"}}
						}
					}
					return nil
				})
			},
		},
	}
}
