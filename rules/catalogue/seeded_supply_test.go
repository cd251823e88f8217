package catalogue_test

import "example.org/headroom/rules/internal/oracle"

func converterMutations() []mutation {
	return []mutation{
		{kind: "a converter for a higher pack", rule: "converter-input-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				var out []change
				low := v.Number("converters."+id+".input.min_V", 0)
				top := v.PackNominal() * 0.99 / low // above that it never runs
				for _, f := range []float64{1.15, 1.3, 1.45, 1.6, top} {
					if f > top {
						continue
					}
					step := change{"converters." + id + ".input.min_V": low * f}
					for _, field := range []string{".input.start_V", ".input.stop_V"} {
						if now := v.Number("converters."+id+field, 0); now > 0 {
							step["converters."+id+field] = now * f
						}
					}
					out = append(out, step)
				}
				return out
			})
		}},
		{kind: "a converter for a lower pack", rule: "converter-input-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change { return down(v, "converters."+id+".input.max_V", tradeVolts) })
		}},
		{kind: "a pack of more cells", rule: "converter-input-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(string) []change { return moreCells(v, 1.2, 1.3, 1.45, 1.6) })
		}},
		{kind: "a converter that starts late", rule: "converter-start-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				return times(v, "converters."+id+".input.start_V", 1.15, 1.3, 1.45, 1.6, 1.8)
			})
		}},
		{
			kind: "the enable input on the negative", rule: "converter-never-runs", given: "nothing ever lifts the enable input",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "converters", func(id string) []change {
					return []change{{"wires.stray_enable": wire(id+".enable", id+".in_neg", "1.5 mm2", 0.1)}}
				})
			},
		},
		{kind: "a smaller converter", rule: "converter-overloaded", find: smallerConverter},
		{kind: "more lamps", rule: "converter-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change { return brighter(v, 2, 3, 4, 5, 6) })
		}},
		{kind: "a hotter bay", rule: "converter-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				var out []change
				for _, percent := range []float64{60, 50, 40, 30, 20} {
					out = append(out, change{"converters." + id + ".derating": []any{
						map[string]any{"at_C": 20.0, "percent": 100.0}, map[string]any{"at_C": 39.0, "percent": percent},
					}})
				}
				return out
			})
		}},
		{kind: "a smaller converter", rule: "converter-peak-overloaded", find: smallerConverter},
		{kind: "a pump that pulls more at its start", rule: "converter-peak-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				var out []change
				for _, load := range v.IDs("loads") {
					if v.Has("loads."+load+".stall_A") && v.OneMetal(load+".pos", id+".out_pos") {
						out = append(out, times(v, "loads."+load+".stall_A", 1.5, 2, 3, 5, 8)...)
					}
				}
				return out
			})
		}},
		{kind: "a smaller link before the converter", rule: "converter-input-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				before := v.Before(id + ".in_pos")
				if len(before) == 0 {
					return nil
				}
				return links(v, before[0], false)
			})
		}},
		{kind: "a thinner wire to the converter", rule: "converter-input-overloaded", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				var out []change
				for _, feed := range v.At(id + ".in_pos") {
					out = append(out, smaller(v, feed)...)
				}
				return out
			})
		}},
		{kind: "an isolator that may close on less", rule: "converter-inrush-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(string) []change {
				return down(v, "disconnects.isolator.make_A", breakingAmps)
			})
		}},
		{kind: "larger input capacitors", rule: "converter-inrush-high", find: multiples("converters", "input.capacitance_uF", 3, 6, 12, 25, 50, 100)},
		{kind: "a converter without isolation", rule: "converter-not-isolated", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change {
				step := change{"converters." + id + ".isolated": false}
				if v.Has("converters." + id + ".isolation_V") {
					step["converters."+id+".isolation_V"] = nil
				}
				return []change{step}
			})
		}},
		{kind: "a converter of weaker isolation", rule: "converter-not-isolated", find: func(v *oracle.Vehicle) []fault {
			return each(v, "converters", func(id string) []change { return down(v, "converters."+id+".isolation_V", tradeVolts) })
		}},
		{kind: "filament lamps on a converter alone", rule: "converter-lamp-inrush", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, id := range v.IDs("converters") {
				for _, load := range v.IDs("loads") {
					if v.Text("loads."+load+".kind") != "led" || !v.OneMetal(load+".pos", id+".out_pos") {
						continue
					}
					var steps []change
					for _, watts := range []float64{0, 25, 40, 60} {
						step := change{"loads." + load + ".kind": "filament"}
						if watts > 0 {
							step["loads."+load+".power_W"] = watts
						}
						steps = append(steps, step)
					}
					out = append(out, fault{id, steps})
				}
			}
			return out
		}},
		{
			kind: "no auxiliary battery", rule: "critical-load-single-fuse", given: "the fuse before the converter takes every critical consumer with it",
			find: func(v *oracle.Vehicle) []fault {
				if v.Kind("aux") != "batteries" || v.Kind("w_aux_pos") != "wires" {
					return nil
				}
				return only(true, "converter_fuse", change{"wires.w_aux_pos": nil, "wires.w_aux_house": nil, "wires.w_aux_neg": nil})
			},
		},
		{
			kind: "all critical consumers on one fuse", rule: "critical-load-single-fuse", given: "every critical consumer of every mode hangs on that fuse",
			find: func(v *oracle.Vehicle) []fault {
				if use := v.Text("vehicle.use"); use != "road" && use != "road-light" {
					return nil
				}
				step := change{}
				fuse := "tail_fuse"
				if v.Kind(fuse) != "fuses" {
					return nil
				}
				for _, id := range v.IDs("wires") {
					from, _ := v.Ends(id)
					for _, other := range []string{"head_fuse", "head_l_fuse", "head_r_fuse", "brake_fuse", "horn_fuse"} {
						if from == other+".b" {
							step["wires."+id+".from"] = fuse + ".b"
						}
					}
				}
				return only(true, fuse, merge(step, link(v, fuse, 10)))
			},
		},
		{kind: "a small parked battery", rule: "battery-flat-when-parked", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, load := range v.IDs("loads") {
				// A consumer that stays on when the vehicle is stored.
				if v.Text("loads."+load+".kind") != "electronic" {
					continue
				}
				for _, battery := range v.IDs("batteries") {
					if v.Has("batteries."+battery+".capacity_Ah") && v.OneMetal(battery+".pos", load+".pos") && v.Has("modes.stored") && v.FedWithout("key", load+".pos") {
						out = append(out, fault{battery, []change{{"modes.stored.on": []any{load}}}})
					}
				}
			}
			return out
		}},
		{kind: "a converter that draws in standby", rule: "battery-flat-when-parked", find: func(v *oracle.Vehicle) []fault {
			return each(v, "batteries", func(id string) []change {
				if !v.Has("batteries."+id+".capacity_Ah") || v.Text("batteries."+id+".role") != "traction" || !v.Has("modes.parked") {
					return nil
				}
				c := firstOf(v, "converters")
				var out []change
				for _, ma := range []float64{200, 400, 800, 1600} {
					out = append(out, change{"converters." + c + ".input.standby_mA": ma, "modes.stored": nil, "modes.parked.closed": []any{"isolator"}})
				}
				return out
			})
		}},
		{kind: "brighter lamps", rule: "battery-reserve-short", find: func(v *oracle.Vehicle) []fault {
			return each(v, "batteries", func(id string) []change {
				if v.Text("batteries."+id+".role") != "auxiliary" {
					return nil
				}
				return brighter(v, 4, 8, 12, 20)
			})
		}},
		{kind: "a smaller auxiliary battery", rule: "battery-reserve-short", find: multiples("batteries", "capacity_Ah", 0.5, 0.25, 0.12, 0.08, 0.05, 0.03)},
	}
}

// smallerConverter scales the currents of a converter's output down.
func smallerConverter(v *oracle.Vehicle) []fault {
	return each(v, "converters", func(id string) []change {
		var out []change
		for _, f := range []float64{0.75, 0.6, 0.5, 0.4, 0.3, 0.22, 0.16, 0.12} {
			step := change{}
			for _, field := range []string{"continuous_A", "peak_A", "limit_A"} {
				if now := v.Number("converters."+id+".output."+field, 0); now > 0 {
					step["converters."+id+".output."+field] = now * f
				}
			}
			out = append(out, step)
		}
		return out
	})
}

// brighter multiplies the power of all LED lamps.
func brighter(v *oracle.Vehicle, factors ...float64) []change {
	var out []change
	for _, f := range factors {
		step := change{}
		for _, load := range v.IDs("loads") {
			if v.Text("loads."+load+".kind") == "led" {
				step["loads."+load+".power_W"] = v.Number("loads."+load+".power_W", 0) * f
			}
		}
		out = append(out, step)
	}
	return out
}

// moreCells scales a traction pack to more cells.
func moreCells(v *oracle.Vehicle, factors ...float64) []change {
	var out []change
	for _, f := range factors {
		step := change{}
		for _, id := range v.IDs("batteries") {
			path := "batteries." + id
			if v.Text(path+".role") != "traction" {
				continue
			}
			for _, field := range []string{"min_V", "nominal_V", "max_V"} {
				step[path+"."+field] = v.Number(path+"."+field, 0) * f
			}
			if n := v.Number(path+".series", 0); n > 0 {
				if whole := n * f; whole != float64(int(whole)) {
					step[path+".series"] = float64(int(whole + 0.5))
				} else {
					step[path+".series"] = whole
				}
			}
		}
		for _, id := range v.IDs("chargers") {
			step["chargers."+id+".max_V"] = v.Number("chargers."+id+".max_V", 0) * f
		}
		if len(step) > 0 {
			out = append(out, step)
		}
	}
	return out
}

func loadMutations() []mutation {
	return []mutation{
		{kind: "a lamp for a higher voltage", rule: "load-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "loads", func(id string) []change {
				var out []change
				for _, f := range []float64{0.85, 0.95, 1.05, 1.15, 1.3} {
					volts := f * v.Number("loads."+id+".at_V", 0)
					step := change{"loads." + id + ".min_V": volts, "loads." + id + ".at_V": volts * 1.05}
					if volts*1.1 > v.Number("loads."+id+".max_V", 1e9) {
						step["loads."+id+".max_V"] = volts * 1.2
					}
					out = append(out, step)
				}
				return out
			})
		}},
		{kind: "a lamp for a lower voltage", rule: "load-voltage-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "loads", func(id string) []change {
				at := v.Number("loads."+id+".at_V", 0)
				var out []change
				for _, f := range []float64{0.98, 0.9, 0.8, 0.6, 0.5} {
					top := at * f
					out = append(out, change{"loads." + id + ".max_V": top, "loads." + id + ".at_V": top * 0.95, "loads." + id + ".min_V": top * 0.6})
				}
				return out
			})
		}},
		{kind: "a longer run to the consumer", rule: "load-drop-high", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, load := range v.IDs("loads") {
				for _, id := range v.At(load + ".pos") {
					if v.Kind(id) == "wires" {
						out = append(out, fault{load, values("wires."+id+".length_m", 6.0, 10.0, 15.0, 25.0, 40.0, 60.0)})
						break
					}
				}
			}
			return out
		}},
		{kind: "a thinner wire to the consumer", rule: "load-drop-high", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, load := range v.IDs("loads") {
				for _, id := range v.At(load + ".pos") {
					if v.Kind(id) != "wires" {
						continue
					}
					var steps []change
					for _, step := range smaller(v, id) {
						for _, metres := range []float64{3, 6, 9} {
							steps = append(steps, merge(step, change{"wires." + id + ".length_m": metres}))
						}
					}
					out = append(out, fault{load, steps})
					break
				}
			}
			return out
		}},
	}
}
