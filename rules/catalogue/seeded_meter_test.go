package catalogue_test

import "example.org/headroom/rules/internal/oracle"

func meterMutations() []mutation {
	shunts := func(make func(v *oracle.Vehicle, shunt, meter string) []change) func(v *oracle.Vehicle) map[string][]change {
		return func(v *oracle.Vehicle) map[string][]change {
			out := map[string][]change{}
			for _, meter := range v.IDs("meters") {
				if shunt := v.Text("meters." + meter + ".shunt"); shunt != "" {
					out[meter] = make(v, shunt, meter)
				}
			}
			return out
		}
	}
	byMeter := func(make func(v *oracle.Vehicle, shunt, meter string) []change) func(v *oracle.Vehicle) []fault {
		return func(v *oracle.Vehicle) []fault {
			steps := shunts(make)(v)
			return each(v, "meters", func(id string) []change { return steps[id] })
		}
	}
	return []mutation{
		{kind: "a long unfused sense lead", rule: "sense-lead-unfused", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, shunt := range v.IDs("shunts") {
				for _, end := range []string{".sense_a", ".sense_b"} {
					for _, id := range v.At(shunt + end) {
						out = append(out, fault{shunt + end, values("wires."+id+".length_m", 0.25, 0.6, 1.5)})
					}
				}
			}
			return out
		}},
		{kind: "a meter for another shunt", rule: "shunt-meter-mismatch", find: byMeter(func(v *oracle.Vehicle, shunt, meter string) []change {
			return values("meters."+meter+".drop_mV", 60.0, 75.0, 100.0)
		})},
		{kind: "a shunt of other millivolts", rule: "shunt-meter-mismatch", find: byMeter(func(v *oracle.Vehicle, shunt, _ string) []change {
			return values("shunts."+shunt+".drop_mV", 75.0, 60.0, 100.0)
		})},
		{kind: "a scale of another shunt", rule: "shunt-meter-mismatch", find: byMeter(func(v *oracle.Vehicle, _, meter string) []change {
			return times(v, "meters."+meter+".full_scale_A", 2)
		})},
		{kind: "a smaller shunt", rule: "shunt-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "shunts", func(id string) []change {
				var out []change
				for _, step := range down(v, "shunts."+id+".rated_A", tradeAmps) {
					for _, meter := range v.IDs("meters") {
						if v.Text("meters."+meter+".shunt") == id {
							step["meters."+meter+".full_scale_A"] = step["shunts."+id+".rated_A"]
						}
					}
					out = append(out, step)
				}
				return out
			})
		}},
		{
			kind: "a shunt the wrong way round", rule: "shunt-reversed", given: "its terminal a stands on the side of the loads",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "shunts", func(id string) []change { return []change{swap(v, id+".a", id+".b")} })
			},
		},
		{
			kind: "exchanged sense leads", rule: "shunt-reversed", given: "each sense lead goes to the other terminal's name",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "shunts", func(id string) []change {
					for _, meter := range v.IDs("meters") {
						if v.Text("meters."+meter+".shunt") == id {
							return []change{swap(v, meter+".sense_a", meter+".sense_b")}
						}
					}
					return nil
				})
			},
		},
		{kind: "a return on the battery's side of the shunt", rule: "shunt-misses-current", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, shunt := range v.IDs("shunts") {
				for _, id := range v.IDs("wires") {
					_, to := v.Ends(id)
					for _, stud := range []string{"minus.stud", "minus_aux.stud", "drive.neg"} {
						if to == stud && v.OneMetal(stud, shunt+".b") {
							out = append(out, fault{shunt, []change{{"wires." + id + ".to": shunt + ".a"}}})
						}
					}
				}
			}
			return out
		}},
		{kind: "a shunt and scale of a smaller range", rule: "meter-range-low", find: byMeter(func(v *oracle.Vehicle, shunt, meter string) []change {
			var out []change
			for _, amps := range tradeAmps {
				if amps < v.Number("shunts."+shunt+".rated_A", 0) {
					out = append(out, change{"shunts." + shunt + ".rated_A": amps, "meters." + meter + ".full_scale_A": amps})
				}
			}
			return out
		})},
		{kind: "a voltmeter of a smaller range", rule: "meter-range-low", find: ratings("meters", "full_scale_V", tradeVolts)},
		{kind: "a meter fed from another network", rule: "meter-isolation-low", find: byMeter(func(v *oracle.Vehicle, _, meter string) []change {
			// A test voltage well above what stands across it, and below what class B asks for.
			return fedElsewhere(v, meter, values("meters."+meter+".isolation_V", 800.0, 500.0, 60.0, 30.0, 15.0))
		})},
		{kind: "a meter of a lower working voltage", rule: "meter-isolation-low", find: byMeter(func(v *oracle.Vehicle, _, meter string) []change {
			return fedElsewhere(v, meter, values("meters."+meter+".isolation_working_V", 80.0, 60.0, 30.0, 15.0))
		})},
		{kind: "a meter of weak isolation on the positive side", rule: "meter-isolation-low", find: byMeter(func(v *oracle.Vehicle, shunt, meter string) []change {
			if len(v.At(meter+".neg")) != 1 {
				return nil
			}
			var out []change
			for _, volts := range []float64{48, 30, 15} {
				// Its negative moves to another place of the network.
				out = append(out, change{"meters." + meter + ".isolation_V": volts, "wires." + v.At(meter + ".neg")[0] + ".to": "drive.neg"})
			}
			return out
		})},
		{kind: "a meter for a far larger vehicle", rule: "meter-unreadable", find: byMeter(func(v *oracle.Vehicle, shunt, meter string) []change {
			var out []change
			for _, amps := range []float64{800, 1000, 1500, 2000, 3000} {
				out = append(out, change{"shunts." + shunt + ".rated_A": amps, "meters." + meter + ".full_scale_A": amps})
			}
			return out
		})},
	}
}

// fedElsewhere feeds a meter from the house network, with each of some changes.
func fedElsewhere(v *oracle.Vehicle, meter string, steps []change) []change {
	if len(v.At(meter+".pos")) > 0 || v.Kind("key") != "switches" || v.Kind("returns_a") != "studs" {
		return nil
	}
	for i := range steps {
		steps[i] = merge(steps[i], change{
			"meters." + meter + ".supply_mA": 20.0,
			"wires.meter_pos":                wire("key.house_b", meter+".pos", "1.5 mm2", 0.3),
			"wires.meter_neg":                wire(meter+".neg", "returns_a.stud", "1.5 mm2", 0.3),
		})
	}
	return steps
}
