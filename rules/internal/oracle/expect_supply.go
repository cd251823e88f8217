package oracle

import "math"

func converterExpectations() map[string]Expectation {
	return map[string]Expectation{
		"converter-input-low": func(v *Vehicle, id string) float64 {
			least := math.Inf(1)
			for _, mode := range v.Modes(false) {
				s := v.Solve(Case{Mode: mode, Supply: "empty", Resistance: "cold", Copper: v.hot()})
				if u := s.Volts(id+".in_pos", id+".in_neg"); u > 5 {
					least = min(least, u)
				}
			}
			return over(v.Number("converters."+id+".input.min_V", 0), least)
		},
		"converter-input-high": func(v *Vehicle, id string) float64 {
			return over(v.Working(id+".in_pos"), v.Number("converters."+id+".input.max_V", 0))
		},
		"converter-start-high": func(v *Vehicle, id string) float64 {
			return over(v.Number("converters."+id+".input.start_V", 0), v.packVolts("min_V"))
		},
		"converter-overloaded": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(false) {
				lasts, peak := v.Number("modes."+mode+".lasts_s", math.Inf(1)), v.Number("converters."+id+".output.peak_s", 0)
				if lasts > peak {
					worst = max(worst, v.budget(id, mode, true))
				}
			}
			return over(worst, v.Number("converters."+id+".output.continuous_A", 0)*v.derated(id))
		},
		"converter-peak-overloaded": func(v *Vehicle, id string) float64 {
			worst, helps := 0.0, 0.0
			for _, b := range v.IDs("batteries") {
				if v.metal().same(b+".pos", id+".out_pos") {
					helps += v.Number("batteries."+b+".peak_A", v.Number("batteries."+b+".continuous_A", 0))
				}
			}
			path := "converters." + id + ".output"
			peak := v.Number(path+".peak_A", v.Number(path+".continuous_A", 0))
			for _, mode := range v.Modes(false) {
				worst = max(worst, v.budget(id, mode, false)+v.starting(id, mode))
			}
			return over(worst, peak*v.derated(id)+helps)
		},
		"converter-input-overloaded": func(v *Vehicle, id string) float64 {
			path, least := "converters."+id, math.Inf(1)
			for _, mode := range v.Modes(false) {
				if u := v.Solve(Case{Mode: mode, Supply: "empty", Copper: v.hot()}).Volts(id+".in_pos", id+".in_neg"); u > 5 {
					least = min(least, u)
				}
			}
			amps := v.Limit(id)
			if !v.backsUp(id) {
				amps = 0
				for _, mode := range v.Modes(false) {
					amps = max(amps, v.budget(id, mode, true))
				}
			}
			efficiency := v.Number(path+".efficiency_percent", v.Number("policy.converter_efficiency_percent", 85)) / 100
			in := amps * v.Number(path+".output.nominal_V", 0) / efficiency / least
			worst := 0.0
			for _, fuse := range v.Before(id + ".in_pos")[:min(1, len(v.Before(id+".in_pos")))] {
				worst = over(in, v.classFactor(fuse)*v.Number("fuses."+fuse+".rated_A", 0))
			}
			for _, wire := range v.At(id + ".in_pos") {
				worst = max(worst, over(in, v.Carries(wire)))
			}
			return worst
		},
		"converter-inrush-high": func(v *Vehicle, id string) float64 {
			farads, worst := v.Number("converters."+id+".input.capacitance_uF", 0)/1e6, 0.0
			if farads == 0 {
				return math.NaN()
			}
			ohms, metres := v.loop(id+".in_pos", id+".in_neg")
			ohms += v.Number("converters."+id+".input.esr_mOhm", 0) / 1000
			peak := firstPeak(v.Working(id+".in_pos"), ohms, metres*henryPerMetre, farads)
			for _, d := range v.IDs("disconnects") {
				if !v.metalWithout(map[string]bool{d: true}).same(id+".in_pos", v.IDs("batteries")[len(v.IDs("batteries"))-1]+".pos") {
					worst = max(worst, over(peak, v.Number("disconnects."+d+".make_A", 0)))
				}
			}
			for _, s := range v.IDs("switches") {
				for _, pole := range v.IDs("switches." + s + ".poles") {
					if !v.metalWithout(map[string]bool{s + "." + pole: true}).same(id+".in_pos", v.IDs("batteries")[len(v.IDs("batteries"))-1]+".pos") {
						path := "switches." + s + ".poles." + pole
						worst = max(worst, over(peak, v.Number(path+".make_A", v.Number(path+".carry_A", 0))))
					}
				}
			}
			return worst
		},
		"converter-not-isolated": func(v *Vehicle, id string) float64 {
			top := v.Working(id + ".in_pos")
			if top <= 60 {
				return 0
			}
			path := "converters." + id
			if !v.True(path + ".isolated") {
				return math.Inf(1)
			}
			if forGood := v.Number(path+".isolation_working_V", 0); forGood > 0 {
				return top / forGood
			}
			return over(2*top+1000, v.Number(path+".isolation_V", 0)) // the test of basic insulation
		},
		"converter-lamp-inrush": func(v *Vehicle, id string) float64 {
			if v.backsUp(id) {
				return 0
			}
			worst, metal := 0.0, v.metal()
			for _, mode := range v.Modes(false) {
				for _, load := range v.List("modes." + mode + ".on") {
					if v.Text("loads."+load+".kind") == "filament" && metal.same(load+".pos", id+".out_pos") {
						worst = max(worst, v.budget(id, mode, false)+9*v.ownAmps(load))
					}
				}
			}
			return over(worst, v.Limit(id))
		},
	}
}

// backsUp reports whether a battery stands beside a converter's output.
func (v *Vehicle) backsUp(converter string) bool {
	metal := v.metal()
	for _, b := range v.IDs("batteries") {
		if metal.same(b+".pos", converter+".out_pos") {
			return true
		}
	}
	return false
}

// derated is the share of its output that a converter keeps in the heat.
func (v *Vehicle) derated(id string) float64 {
	list, _ := v.Get("converters." + id + ".derating").([]any)
	air, last := v.Ambient(id, true), point{-300, 100}
	for _, x := range list {
		p, _ := x.(map[string]any)
		at, _ := p["at_C"].(float64)
		percent, _ := p["percent"].(float64)
		if air <= at {
			if last.amps < -200 {
				return percent / 100
			}
			return (last.seconds + (percent-last.seconds)*(air-last.amps)/(at-last.amps)) / 100
		}
		last = point{at, percent}
	}
	return last.seconds / 100
}

// budget sums what a mode asks of a converter's output, A: loads at its output
// voltage, coils, and what floats the auxiliary battery; as a mean over the
// duty, or all at once.
func (v *Vehicle) budget(id, mode string, mean bool) float64 {
	sum, metal := 0.0, v.metal()
	volts := v.Number("converters."+id+".output.nominal_V", 0)
	for _, load := range v.List("modes." + mode + ".on") {
		if !metal.same(load+".pos", id+".out_pos") {
			continue
		}
		path := "loads." + load
		watts, at := v.Number(path+".power_W", 0), v.Number(path+".at_V", volts)
		amps := watts / volts
		switch v.Text(path + ".kind") {
		case "filament", "resistive", "inductive":
			amps = watts / at * volts / at
		}
		if mean {
			amps *= v.Number(path+".duty_percent", 100) / 100
		}
		sum += amps
	}
	s := v.Solve(Case{Mode: mode, Supply: "nominal", Copper: v.hot()})
	for _, kind := range []string{"contactors", "relays"} {
		for _, coil := range v.IDs(kind) {
			if metal.same(coil+".coil_pos", id+".out_pos") {
				sum += math.Abs(s.Amps(coil + ":coil"))
			}
		}
	}
	for _, b := range v.IDs("batteries") {
		if metal.same(b+".pos", id+".out_pos") {
			sum += v.Number("batteries."+b+".float_A", 0)
		}
	}
	return sum
}

// starting is what the largest starting motor of a mode asks above its running
// current, A.
func (v *Vehicle) starting(id, mode string) float64 {
	most, metal := 0.0, v.metal()
	for _, load := range v.List("modes." + mode + ".on") {
		if v.Text("loads."+load+".kind") == "motor" && metal.same(load+".pos", id+".out_pos") {
			most = max(most, v.Number("loads."+load+".stall_A", 6*v.ownAmps(load))-v.ownAmps(load))
		}
	}
	return most
}

func loadExpectations() map[string]Expectation {
	return map[string]Expectation{
		"load-voltage-low": func(v *Vehicle, id string) float64 {
			least := math.Inf(1)
			v.whileOn(id, func(c Case) {
				least = min(least, v.Solve(c).Volts(id+".pos", id+".neg"))
			}, "empty")
			if v.True("loads."+id+".critical") && least < 0.1 {
				return math.Inf(1) // nothing feeds it, whatever it needs
			}
			return over(v.Number("loads."+id+".min_V", 0), max(least, 1e-6))
		},
		"load-voltage-high": func(v *Vehicle, id string) float64 {
			if v.Kind(id) == "meters" {
				return over(v.Working(id+".pos"), v.Number("meters."+id+".max_V", 0))
			}
			most := 0.0
			v.whileOn(id, func(c Case) {
				c.Copper = 20
				most = max(most, v.Solve(c).Volts(id+".pos", id+".neg"))
			}, "full")
			return over(most, v.Number("loads."+id+".max_V", 0))
		},
		"load-drop-high": func(v *Vehicle, id string) float64 {
			worst := 0.0
			v.whileOn(id, func(c Case) {
				s := v.Solve(c)
				source, nominal := v.source(id, s)
				if source > 0 {
					worst = max(worst, (source-s.Volts(id+".pos", id+".neg"))/nominal*100)
				}
			}, "nominal")
			allowed := v.Number("policy.drop_other_percent", 10)
			switch v.Text("loads." + id + ".kind") {
			case "led", "filament", "electronic":
				allowed = v.Number("policy.drop_critical_percent", 3)
			}
			if v.True("loads." + id + ".critical") {
				allowed = v.Number("policy.drop_critical_percent", 3)
			}
			return over(worst, allowed)
		},
		"battery-reserve-short": func(v *Vehicle, id string) float64 {
			most := 0.0
			for _, mode := range v.Modes(false) {
				sum := 0.0
				for _, load := range v.List("modes." + mode + ".on") {
					if v.True("loads."+load+".critical") && v.metal().same(load+".pos", id+".pos") {
						sum += v.Number("loads."+load+".power_W", 0) / v.Number("batteries."+id+".nominal_V", 12) * v.Number("loads."+load+".duty_percent", 100) / 100
					}
				}
				most = max(most, sum)
			}
			if most == 0 {
				return 0
			}
			return 15 / (60 * v.Number("batteries."+id+".capacity_Ah", math.NaN()) / most)
		},
		"battery-flat-when-parked": func(v *Vehicle, id string) float64 {
			drain := 0.0
			for _, mode := range v.parked() {
				s := v.Solve(Case{Mode: mode, Supply: "nominal", Copper: 20})
				if i := -s.Amps(id); i > drain && i < 2 {
					drain = i
				}
			}
			if drain < 1e-4 {
				return 0
			}
			return v.Number("policy.standby_days", 30) / (v.Number("batteries."+id+".capacity_Ah", math.NaN()) / (24 * drain))
		},
	}
}

// parked lists the modes in which nothing but an emergency stop is closed or,
// where there is none, those that close no switch.
func (v *Vehicle) parked() []string {
	var stored, still []string
	for _, mode := range v.Modes(false) {
		if len(v.List("modes."+mode+".connected")) > 0 {
			continue
		}
		if !v.keyed(mode) {
			stored = append(stored, mode)
		}
		switched := false
		for _, name := range v.List("modes." + mode + ".closed") {
			id, _ := split(name)
			switched = switched || v.Kind(id) == "controllers" || v.Kind(id) == "switches" && v.Text("switches."+id+".role") != "emergency-stop"
		}
		if !switched {
			still = append(still, mode)
		}
	}
	if len(stored) > 0 {
		return stored
	}
	return still
}

// keyed reports whether a mode closes more than emergency stops.
func (v *Vehicle) keyed(mode string) bool {
	for _, name := range v.List("modes." + mode + ".closed") {
		id, _ := split(name)
		if v.Text("switches."+id+".role") != "emergency-stop" {
			return true
		}
	}
	return false
}

// whileOn solves the modes in which a load is on, with the converter running
// and, where a battery backs it, alone.
func (v *Vehicle) whileOn(id string, look func(Case), supply string) {
	for _, mode := range v.Modes(false) {
		if !contains(v.List("modes."+mode+".on"), id) {
			continue
		}
		for _, alone := range []bool{false, true} {
			if backed := v.anyBattery(id + ".pos"); alone && !backed {
				continue
			}
			look(Case{Mode: mode, Supply: supply, Copper: v.hot(), Alone: alone})
		}
	}
}

// anyBattery reports whether a battery's positive pole feeds a terminal.
func (v *Vehicle) anyBattery(terminal string) bool {
	metal := v.metal()
	for _, b := range v.IDs("batteries") {
		if metal.same(b+".pos", terminal) {
			return true
		}
	}
	return false
}

// source is the voltage at the terminals of what feeds a load, and the nominal
// voltage of its network, V.
func (v *Vehicle) source(load string, s Solution) (volts, nominal float64) {
	metal := v.metal()
	for _, c := range v.IDs("converters") {
		if metal.same(c+".out_pos", load+".pos") && s.Closed(c) {
			return s.Volts(c+".out_pos", c+".out_neg"), max(12, 0.87*v.Number("converters."+c+".output.nominal_V", 12))
		}
	}
	for _, b := range v.IDs("batteries") {
		if metal.same(b+".pos", load+".pos") {
			return s.Volts(b+".pos", b+".neg"), v.Number("batteries."+b+".nominal_V", 12)
		}
	}
	return 0, 1
}
