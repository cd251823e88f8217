package catalogue_test

import "example.org/headroom/rules/internal/oracle"

func batteryMutations() []mutation {
	traction := func(make func(id string, v *oracle.Vehicle) []change) func(v *oracle.Vehicle) []fault {
		return func(v *oracle.Vehicle) []fault {
			return each(v, "batteries", func(id string) []change {
				if v.Text("batteries."+id+".role") != "traction" {
					return nil
				}
				return make(id, v)
			})
		}
	}
	return []mutation{
		{kind: "a pack of another number of cells", rule: "battery-cells-mismatch", find: func(v *oracle.Vehicle) []fault {
			return each(v, "batteries", func(id string) []change {
				n := v.Number("batteries."+id+".series", 0)
				if n == 0 {
					return nil
				}
				var out []change
				for _, f := range []float64{0.9, 0.8, 0.7, 0.6, 0.5, 1.4, 1.6} {
					out = append(out, change{"batteries." + id + ".series": float64(int(n * f))})
				}
				return out
			})
		}},
		{kind: "a smaller pack", rule: "battery-overloaded", find: traction(func(id string, v *oracle.Vehicle) []change {
			return down(v, "batteries."+id+".continuous_A", tradeAmps)
		})},
		{kind: "a pack of a lower peak", rule: "battery-peak-high", find: traction(func(id string, v *oracle.Vehicle) []change {
			var out []change
			for _, amps := range tradeAmps {
				if amps < v.Number("batteries."+id+".peak_A", 0) {
					step := change{"batteries." + id + ".peak_A": amps}
					if amps < v.Number("batteries."+id+".continuous_A", 0) {
						step["batteries."+id+".continuous_A"] = amps
					}
					out = append(out, step)
				}
			}
			return out
		})},
		{kind: "a cut-off at a lower current", rule: "battery-cutoff-trips", find: ratings("batteries", "cutoff.trip_A", tradeAmps)},
		{kind: "a controller of a much higher limit", rule: "battery-cutoff-trips", find: func(v *oracle.Vehicle) []fault {
			return each(v, "batteries", func(id string) []change { return times(v, "controllers.drive.battery_peak_A", 2, 3, 4, 5) })
		}},
		{kind: "a larger charger", rule: "battery-charge-high", find: func(v *oracle.Vehicle) []fault {
			c := firstOf(v, "chargers")
			if c == "" {
				return nil
			}
			return traction(func(string, *oracle.Vehicle) []change {
				return times(v, "chargers."+c+".max_A", 2, 3, 4, 5, 6)
			})(v)
		}},
		{kind: "a pack that takes less", rule: "battery-charge-high", find: ratings("batteries", "charge_max_A", tradeAmps)},
		{
			kind: "a pack not to be charged in the cold", rule: "battery-charge-cold", given: "it is charged in air that is colder by 10 K or more",
			find: traction(func(id string, v *oracle.Vehicle) []change {
				if !v.Has("batteries." + id + ".charge_min_C") {
					return nil
				}
				return values("batteries."+id+".charge_min_C", v.Number("vehicle.ambient_C.min", -10)+10)
			}),
		},
		{
			kind: "a colder winter", rule: "battery-charge-cold", given: "the air is colder by 10 K or more than the pack may be charged in",
			find: traction(func(id string, v *oracle.Vehicle) []change {
				if !v.Has("batteries." + id + ".charge_min_C") {
					return nil
				}
				return values("vehicle.ambient_C.min", v.Number("batteries."+id+".charge_min_C", 0)-12)
			}),
		},
		{kind: "packs joined at any charge", rule: "battery-parallel-inrush", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			if len(v.IDs("batteries")) == 2 && v.Has("batteries.pack2.connect_within_V") {
				for _, volts := range []float64{2, 4, 8} {
					out = append(out, fault{"pack", []change{{"batteries.pack.connect_within_V": volts, "batteries.pack2.connect_within_V": volts}}})
				}
			}
			return out
		}},
		{kind: "a second pack beside the first", rule: "battery-parallel-inrush", find: secondPack},
		{kind: "a charger of a higher voltage", rule: "charger-voltage-high", find: multiples("chargers", "max_V", 1.15, 1.3, 1.5)},
		{
			kind: "a charger straight on the pack", rule: "charger-unfused", given: "no fuse stands in the loop from the pack through the charger's cable",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "chargers", func(id string) []change {
					on := v.At(id + ".pos")
					if len(on) != 1 {
						return nil
					}
					return []change{{"wires." + on[0] + ".from": "pack.pos"}}
				})
			},
		},
		{
			kind: "no interlock of the charger", rule: "charger-drive-possible", given: "nothing keeps the vehicle from driving off with its lead",
			find: func(v *oracle.Vehicle) []fault {
				return each(v, "chargers", func(id string) []change {
					if !v.True("chargers." + id + ".inhibits_drive") {
						return nil
					}
					return values("chargers."+id+".inhibits_drive", false)
				})
			},
		},
		{kind: "hungry house loads", rule: "house-energy-high", find: traction(func(id string, v *oracle.Vehicle) []change {
			if len(v.IDs("converters")) == 0 {
				return nil
			}
			var out []change
			for _, f := range []float64{0.5, 0.3, 0.2, 0.1, 0.05} {
				out = append(out, modesOf(v, "draw.drive.power_W", f)...)
			}
			return out
		})},
		{kind: "a drive that asks for little", rule: "house-energy-high", find: traction(func(id string, v *oracle.Vehicle) []change {
			if len(v.IDs("converters")) == 0 {
				return nil
			}
			var out []change
			for _, f := range []float64{0.5, 0.2, 0.1, 0.06, 0.03} {
				out = append(out, modesOf(v, "draw.drive.current_A", f)...)
			}
			return out
		})},
	}
}

// secondPack puts a pack of its own fuse beside the traction pack.
func secondPack(v *oracle.Vehicle) []fault {
	fuse := ""
	if before := v.Before("drive.pos"); len(before) > 0 {
		fuse = "main"
	}
	if v.Kind("pack") != "batteries" || v.Kind("pack2") == "batteries" || v.Kind(fuse) != "fuses" || !v.Has("batteries.pack.charge_max_A") {
		return nil
	}
	second := map[string]any{}
	for _, field := range []string{"role", "min_V", "nominal_V", "max_V", "charge_max_A", "charge_min_C", "continuous_A", "peak_A", "peak_s", "resistance_mOhm", "capacity_Ah"} {
		if value := v.Get("batteries.pack." + field); value != nil {
			second[field] = value
		}
	}
	link := map[string]any{}
	for field, value := range v.Get("fuses." + fuse).(map[string]any) {
		link[field] = value
	}
	var size string
	for _, id := range v.At("pack.pos") {
		size = v.Text("wires." + id + ".size")
	}
	return only(true, "pack", change{
		"batteries.second":    second,
		"fuses.second_fuse":   link,
		"wires.w_second_pos":  wire("second.pos", "second_fuse.a", size, 0.12),
		"wires.w_second_fuse": wire("second_fuse.b", fuse+".b", size, 0.3),
		"wires.w_second_neg":  wire("second.neg", "pack.neg", size, 0.3),
	})
}

// parallelMutations are mistakes with batteries side by side.
func parallelMutations() []mutation {
	return []mutation{
		{kind: "a second pack of fewer cells", rule: "battery-parallel-mismatch", given: "its end of charge is 18 % below that of the pack beside it", find: fewerCells},
		{kind: "packs of another age", rule: "parallel-share-high", find: smallPacks(func(all []string, _ string, with change, spread float64) {
			for _, b := range all {
				with["batteries."+b+".spread_percent"] = spread
			}
		}, 60, 100, 150, 200)},
		{kind: "a smaller pack of another age", rule: "parallel-share-high", find: smallPacks(func(all []string, one string, with change, spread float64) {
			for _, b := range all {
				with["batteries."+b+".spread_percent"] = spread
				if b != one {
					delete(with, "batteries."+b+".continuous_A")
				}
			}
		}, 60, 100, 150, 200)},
		{kind: "two small packs for one drive", rule: "parallel-pack-cascade", find: smallPacks(func([]string, string, change, float64) {}, 0)},
		{kind: "packs that cut off early", rule: "parallel-pack-cascade", find: smallPacks(func(all []string, _ string, with change, trip float64) {
			for _, b := range all {
				delete(with, "batteries."+b+".continuous_A")
				with["batteries."+b+".cutoff"] = map[string]any{"trip_A": trip, "trip_s": 1.0, "by": "contacts"}
			}
		}, 100, 80, 70, 60)},
	}
}

// smallPacks makes of packs in parallel ones that together just carry what the drive may
// draw continuously, with more in growing steps.
func smallPacks(more func(all []string, one string, with change, step float64), steps ...float64) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		var all []string
		for _, b := range v.IDs("batteries") {
			if v.Text("batteries."+b+".role") == "traction" && v.InString(b) == 1 {
				all = append(all, b)
			}
		}
		if len(all) < 2 {
			return nil
		}
		each := v.Number("controllers.drive.battery_continuous_A", 0) / float64(len(all))
		var out []fault
		for _, one := range all {
			f := fault{subject: one}
			for _, step := range steps {
				with := change{}
				for _, b := range all {
					with["batteries."+b+".continuous_A"] = 1.03 * max(each, v.ForGood(b, 1800))
				}
				more(all, one, with, step)
				f.steps = append(f.steps, with)
			}
			out = append(out, f)
		}
		return out
	}
}

// fewerCells puts a pack beside the traction pack that has 82 % of its cells.
func fewerCells(v *oracle.Vehicle) []fault {
	var out []fault
	for _, f := range secondPack(v) {
		for _, step := range f.steps {
			second := step["batteries.second"].(map[string]any)
			for _, field := range []string{"min_V", "nominal_V", "max_V"} {
				second[field] = 0.82 * v.Number("batteries.pack."+field, 0)
			}
		}
		out = append(out, fault{"second", f.steps})
	}
	return out
}

func controllerMutations() []mutation {
	return []mutation{
		{kind: "a controller for a lower pack", rule: "controller-voltage-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(id string) []change { return down(v, "controllers."+id+".max_V", tradeVolts) })
		}},
		{kind: "a pack of more cells", rule: "controller-voltage-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(string) []change { return moreCells(v, 1.25, 1.4, 1.6) })
		}},
		{kind: "a controller for a higher pack", rule: "controller-voltage-low", find: multiples("controllers", "min_V", 1.2, 1.35, 1.5, 1.7)},
		{kind: "a controller for a higher pack", rule: "controller-undervoltage", find: multiples("controllers", "min_V", 1.1, 1.2, 1.3, 1.4)},
		{kind: "a worn-out pack", rule: "controller-undervoltage", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(string) []change {
				var out []change
				for _, f := range []float64{2, 2.5, 3, 4, 5} {
					step := change{}
					for _, b := range v.IDs("batteries") {
						if v.Text("batteries."+b+".role") == "traction" {
							for _, which := range []string{"min", "typ", "max"} {
								step["batteries."+b+".resistance_mOhm."+which] = 1000 * f * v.BatteryResistance(b, which)
							}
						}
					}
					out = append(out, wholeResistance(v, step))
				}
				return out
			})
		}},
		{kind: "a heavier load", rule: "controller-current-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(id string) []change { return modesOf(v, "draw."+id+".power_W", 1.3, 1.5, 1.8, 2.2) })
		}},
		{kind: "a smaller controller", rule: "controller-current-high", find: multiples("controllers", "battery_continuous_A", 0.8, 0.65, 0.5, 0.4)},
		{kind: "a pack of a lower peak", rule: "controller-above-battery", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(string) []change {
				var out []change
				for _, f := range []float64{0.7, 0.55, 0.45, 0.35, 0.25} {
					step := change{}
					for _, b := range v.IDs("batteries") {
						if v.Text("batteries."+b+".role") == "traction" {
							peak := v.Number("batteries."+b+".peak_A", 0) * f
							step["batteries."+b+".peak_A"] = peak
							step["batteries."+b+".continuous_A"] = min(peak, v.Number("batteries."+b+".continuous_A", 0))
						}
					}
					out = append(out, step)
				}
				return out
			})
		}},
		{kind: "a controller that feeds back more", rule: "regeneration-high", find: multiples("controllers", "regen_A", 1.5, 2, 3, 4)},
		{kind: "a pack that takes less", rule: "regeneration-high", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(string) []change { return down(v, "batteries.pack.charge_max_A", tradeAmps) })
		}},
		{
			kind: "regeneration with the contactor open", rule: "regeneration-blocked", given: "the current has no way to the pack",
			find: func(v *oracle.Vehicle) []fault {
				var out []fault
				for _, mode := range v.IDs("modes") {
					if !v.Has("modes." + mode + ".draw.drive.regen_A") {
						continue
					}
					var closed []any
					for _, name := range v.List("modes." + mode + ".closed") {
						if name != "key" {
							closed = append(closed, name)
						}
					}
					out = append(out, fault{"drive", []change{{"modes." + mode + ".closed": closed}}})
				}
				return out
			},
		},
		{kind: "a controller that feeds back up to a higher voltage", rule: "cutoff-regeneration-high", find: func(v *oracle.Vehicle) []fault {
			if !v.Has("modes.downhill") {
				return nil
			}
			return each(v, "controllers", func(id string) (out []change) {
				for _, more := range []float64{1.15, 1.3, 1.5} {
					step := change{}
					for _, field := range []string{"max_V", "overvoltage_V"} {
						if path := "controllers." + id + "." + field; v.Has(path) {
							step[path] = more * v.Number(path, 0)
						}
					}
					out = append(out, step)
				}
				return out
			})
		}},
		{kind: "a converter for a lower pack", rule: "cutoff-regeneration-high", find: func(v *oracle.Vehicle) []fault {
			if !v.Has("modes.downhill") {
				return nil
			}
			return each(v, "controllers", func(string) []change {
				return down(v, "converters."+firstOf(v, "converters")+".input.max_V", tradeVolts)
			})
		}},
	}
}
