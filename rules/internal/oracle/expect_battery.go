package oracle

import "math"

func batteryExpectations() map[string]Expectation {
	return map[string]Expectation{
		"battery-cells-mismatch": func(v *Vehicle, id string) float64 {
			path := "batteries." + id
			row, ok := map[string][3]float64{ // volts of a cell: end of charge, nominal, end of discharge
				"LFP": {3.65, 3.2, 2.5}, "NMC": {4.2, 3.6, 2.75}, "lead-acid": {2.45, 2.0, 1.75},
			}[v.Text(path+".chemistry")]
			n := v.Number(path+".series", 0)
			if !ok || n == 0 {
				return math.NaN()
			}
			top, low := v.Number(path+".max_V", 0), v.Number(path+".min_V", 0)
			return max(top/(n*row[0]*1.03), n*row[1]/top, n*row[2]*0.95/low, low/(n*row[1]))
		},
		"battery-overloaded": func(v *Vehicle, id string) float64 {
			return over(v.ForGood(id, 1800), v.Number("batteries."+id+".continuous_A", 0))
		},
		"battery-peak-high": func(v *Vehicle, id string) float64 {
			path, worst := "batteries."+id, 0.0
			for _, mode := range v.Modes(false) {
				if lasts := v.Number("modes."+mode+".lasts_s", 0); lasts > 0 {
					worst = max(worst, v.InMode(id, mode)/v.bears(path, "", lasts))
				}
			}
			return worst
		},
		"battery-cutoff-trips": func(v *Vehicle, id string) float64 {
			most := v.Greatest(id)
			for _, c := range v.IDs("controllers") {
				most = max(most, v.AtPeak(id, c))
			}
			return over(most, v.Number("batteries."+id+".cutoff.trip_A", 0))
		},
		"battery-charge-high": func(v *Vehicle, id string) float64 {
			most, metal := 0.0, v.metal()
			for _, c := range v.IDs("chargers") {
				if metal.same(c+".pos", id+".pos") {
					most = max(most, v.Number("chargers."+c+".max_A", 0))
				}
			}
			if v.Text("batteries."+id+".role") == "traction" {
				for _, mode := range v.Modes(false) {
					for _, c := range v.IDs("controllers") {
						most = max(most, v.Number("modes."+mode+".draw."+c+".regen_A", 0))
					}
				}
			} else {
				most = max(most, v.Number("batteries."+id+".float_A", 0), v.fillsUp(id))
			}
			return over(most, v.Number("batteries."+id+".charge_max_A", 0))
		},
		"battery-parallel-inrush": func(v *Vehicle, id string) float64 {
			metal, worst := v.metal(), 0.0
			for _, other := range v.IDs("batteries") {
				if other == id || !metal.same(id+".pos", other+".pos") {
					continue
				}
				apart := v.Number("batteries."+id+".connect_within_V", v.Number("batteries."+id+".max_V", 0)-v.Number("batteries."+other+".min_V", 0))
				// Cables and fuses between count with 5 mOhm, more than they have.
				amps := apart / (v.BatteryResistance(id, "min") + v.BatteryResistance(other, "min") + 0.005)
				bears := min(v.Number("batteries."+id+".charge_max_A", math.NaN()), v.Number("batteries."+other+".charge_max_A", math.NaN()))
				for _, breaker := range v.IDs("breakers") {
					if v.severe && !v.metalWithout(map[string]bool{breaker: true}).same(id+".pos", other+".pos") {
						bears = min(bears, v.Number("breakers."+breaker+".rated_A", 0)) // it may trip above that
					}
				}
				worst = max(worst, over(amps, bears))
			}
			return worst
		},
		"battery-shorted": func(v *Vehicle, id string) float64 {
			return certain(v.metal().same(id+".pos", id+".neg"))
		},
		"string-tapped": func(v *Vehicle, id string) float64 {
			// Kirchhoff: what two batteries in series carry differs by what leaves
			// between them; a meter takes milliamperes.
			const least = 0.05
			most := 0.0
			for _, other := range v.IDs("batteries") {
				if other == id || !v.metal().same(id+".pos", other+".neg") {
					continue
				}
				for _, mode := range v.Modes(false) {
					if len(v.List("modes."+mode+".connected")) > 0 {
						continue // a charger of one battery is there to make them equal
					}
					for _, c := range v.cases(mode) {
						s := v.Solve(c)
						most = max(most, math.Abs(math.Abs(s.Amps(id))-math.Abs(s.Amps(other))))
					}
				}
			}
			return certain(most > least)
		},
		"charger-voltage-high": func(v *Vehicle, id string) float64 {
			return over(v.Number("chargers."+id+".max_V", 0), v.packVolts("max_V"))
		},
		"house-energy-high": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(true) {
				drive := 0.0
				for _, c := range v.IDs("controllers") {
					draw := "modes." + mode + ".draw." + c
					drive += v.Number(draw+".power_W", 0) + v.Number(draw+".current_A", 0)*v.PackNominal()
				}
				if drive == 0 {
					continue
				}
				house := 0.0
				for _, c := range v.IDs("converters") {
					path := "converters." + c
					house += v.budget(c, mode, false) * v.Number(path+".output.nominal_V", 0) / (v.Number(path+".efficiency_percent", 85) / 100)
				}
				worst = max(worst, house/(house+drive)/0.20)
			}
			return worst
		},
	}
}

// bears is the current that a battery or, with a prefix, a controller may give
// for some seconds, A: its peak, beyond the peak's time what heats no more.
func (v *Vehicle) bears(path, prefix string, seconds float64) float64 {
	steady := v.Number(path+"."+prefix+"continuous_A", math.NaN())
	peak, lasts := v.Number(path+"."+prefix+"peak_A", steady), v.Number(path+".peak_s", 0)
	if seconds <= lasts || lasts == 0 {
		return peak
	}
	return math.Sqrt(steady*steady + (peak*peak-steady*steady)*lasts/seconds)
}

func controllerExpectations() map[string]Expectation {
	return map[string]Expectation{
		"controller-voltage-high": func(v *Vehicle, id string) float64 {
			return over(v.Working(id+".pos"), v.Number("controllers."+id+".max_V", 0))
		},
		"controller-voltage-low": func(v *Vehicle, id string) float64 {
			return over(v.Number("controllers."+id+".min_V", 0), v.packVolts("min_V"))
		},
		"controller-undervoltage": func(v *Vehicle, id string) float64 {
			least := math.Inf(1)
			for _, mode := range v.Modes(false) {
				draw := "modes." + mode + ".draw." + id
				if v.Number(draw+".power_W", 0)+v.Number(draw+".current_A", 0) == 0 {
					continue
				}
				s := v.Solve(Case{Mode: mode, Supply: "empty", Resistance: "max", Copper: v.hot()})
				least = min(least, s.Volts(id+".pos", id+".neg"))
			}
			return over(v.Number("controllers."+id+".min_V", 0), max(least, 1e-6))
		},
		"controller-current-high": func(v *Vehicle, id string) float64 {
			path, worst := "controllers."+id, 0.0
			for _, mode := range v.Modes(false) {
				draw := "modes." + mode + ".draw." + id
				amps := max(v.Number(draw+".current_A", 0), v.Number(draw+".power_W", 0)/v.PackNominal())
				if u := v.Solve(Case{Mode: mode, Supply: "empty", Copper: v.hot()}).Volts(id+".pos", id+".neg"); v.severe && u > 1 {
					amps = max(amps, v.Number(draw+".power_W", 0)/u)
				}
				bears := v.Number(path+".battery_continuous_A", math.NaN())
				if lasts := v.Number("modes."+mode+".lasts_s", 0); lasts > 0 {
					bears = v.bears(path, "battery_", lasts)
				}
				worst = max(worst, amps/bears)
			}
			return worst
		},
		"controller-above-battery": func(v *Vehicle, id string) float64 {
			sum := 0.0
			for _, b := range v.IDs("batteries") {
				if v.Text("batteries."+b+".role") == "traction" {
					sum += v.bears("batteries."+b, "", v.Number("controllers."+id+".peak_s", 60)) / float64(v.InString(b))
				}
			}
			return over(v.Number("controllers."+id+".battery_peak_A", 0), sum)
		},
		"regeneration-blocked": func(v *Vehicle, id string) float64 {
			return over(v.Working(id+".pos"), v.Number("controllers."+id+".max_V", 0))
		},
		"regeneration-high": func(v *Vehicle, id string) float64 {
			most, sum := v.Number("controllers."+id+".regen_A", 0), 0.0
			for _, mode := range v.Modes(false) {
				most = max(most, v.Number("modes."+mode+".draw."+id+".regen_A", 0))
			}
			for _, b := range v.IDs("batteries") {
				if v.Text("batteries."+b+".role") == "traction" {
					sum += v.Number("batteries."+b+".charge_max_A", math.NaN())
				}
			}
			return over(most, sum)
		},
		"cutoff-regeneration-high": func(v *Vehicle, id string) float64 {
			level, metal := v.fedBackTo(id), v.metal()
			most := over(level, v.Number("controllers."+id+".max_V", math.Inf(1)))
			for _, c := range v.IDs("converters") {
				if metal.same(c+".in_pos", id+".pos") {
					most = max(most, level/v.Number("converters."+c+".input.max_V", math.Inf(1)))
				}
			}
			for _, group := range []string{"meters", "loads"} {
				for _, part := range v.IDs(group) {
					if metal.same(part+".pos", id+".pos") {
						most = max(most, level/v.Number(group+"."+part+".max_V", math.Inf(1)))
					}
				}
			}
			return most
		},
	}
}

// fedBackTo is the voltage to which a controller that is cut off feeds what stays
// connected to it: the one at which it stops, or its own rating, and what the
// current adds on the capacitors until it has reacted, V.
func (v *Vehicle) fedBackTo(id string) float64 {
	path, metal := "controllers."+id, v.metal()
	amps, before := 0.0, v.packVolts("max_V")
	for _, mode := range v.Modes(false) {
		amps = max(amps, v.Number("modes."+mode+".draw."+id+".regen_A", 0))
		if v.severe { // what the way to a full pack takes stands on the capacitors already
			s := v.Solve(Case{Mode: mode, Supply: "full", Resistance: "max", Copper: v.hot(), Start: true})
			before = max(before, s.Volts(id+".pos", id+".neg"))
		}
	}
	if v.severe {
		amps = max(amps, v.Number(path+".regen_A", 0))
	}
	if amps == 0 {
		return 0
	}
	farads := v.Number(path+".capacitance_uF", 0) / 1e6
	for _, c := range v.IDs("converters") {
		if metal.same(c+".in_pos", id+".pos") && !v.severe {
			farads += v.Number("converters."+c+".input.capacitance_uF", 0) / 1e6
		}
	}
	level := max(before, v.Number(path+".overvoltage_V", v.Number(path+".max_V", 0)))
	if farads > 0 {
		level += amps / farads * v.Number(path+".overvoltage_reaction_us", 0) / 1e6
	}
	return level
}
