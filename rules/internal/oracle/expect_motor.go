package oracle

import "math"

// motorExpectations compares what a controller gives, and what a motor gives back,
// with the ratings of motor and phase cables. Currents are effective values.
func motorExpectations() map[string]Expectation {
	return map[string]Expectation{
		"phase-shorted": func(v *Vehicle, id string) float64 { return certain(v.phaseShorted(id)) },
		"motor-cutout-missing": func(v *Vehicle, id string) float64 {
			path := "motors." + id + ".thermal_cutout"
			return certain(v.Has(path) && !v.True(path))
		},
		"motor-overloaded": func(v *Vehicle, id string) float64 {
			drive := "controllers." + v.drives(id+".u")
			steady := v.Number("motors."+id+".phase_continuous_A", math.NaN())
			worst := v.Number(drive+".phase_continuous_A", 0) / steady
			return max(worst, v.windingAtPeak(id, drive, steady))
		},
		// Without load a motor turns at kv rpm for each volt, and gives that volt back.
		"motor-voltage-high": func(v *Vehicle, id string) float64 {
			if v.Text("motors."+id+".kind") != "permanent-magnet" {
				return 0
			}
			gone := map[string]bool{}
			for _, k := range v.IDs("contactors") {
				gone[k] = true
			}
			for _, r := range v.IDs("resistors") {
				gone[r] = true
			}
			metal := v.metalWithout(gone)
			if v.severe {
				metal = v.metal()
			}
			volts := v.Number("motors."+id+".max_rpm", math.NaN()) / v.Number("motors."+id+".kv_rpm_per_V", math.NaN())
			return volts / v.weakestOn(metal, v.drives(id+".u")+".pos")
		},
		// A step of 50 ns has gone 7.5 m, there and back, before it is over: about 4 m.
		"phase-cable-long": func(v *Vehicle, id string) float64 {
			longest := 0.0
			for _, phase := range phases {
				for _, wire := range v.At(id + phase) {
					longest = max(longest, v.Length(wire))
				}
			}
			return longest / 4
		},
		"phase-cable-overloaded": func(v *Vehicle, wire string) float64 {
			return over(v.Number("controllers."+v.drivesWire(wire)+".phase_continuous_A", 0), v.Carries(wire))
		},
		"phase-cable-peak-hot": func(v *Vehicle, wire string) float64 {
			drive := "controllers." + v.drivesWire(wire)
			carries := v.Carries(wire)
			before, peak := v.Number(drive+".phase_continuous_A", 0)/carries, v.Number(drive+".phase_peak_A", 0)/carries
			if peak <= 1 {
				return peak * peak
			}
			if before >= 1 {
				return math.Inf(1)
			}
			takes := v.heatsIn(wire) * math.Log((peak*peak-before*before)/(peak*peak-1))
			return v.Number(drive+".phase_peak_s", math.NaN()) / takes
		},
		// Between two phases stands the whole voltage of the supply.
		"phase-voltage-low": func(v *Vehicle, id string) float64 {
			if v.Kind(id) == "motors" {
				return over(v.Working(v.drives(id+".u")+".pos"), v.Number("motors."+id+".rated_V", 0))
			}
			return over(v.Working(v.drivesWire(id)+".pos"), v.Number("wires."+id+".insulation.rated_V", 0))
		},
	}
}

// phases are the terminals that a controller and its motor have alike.
var phases = [...]string{".u", ".v", ".w"}

// drives is the controller whose output metal joins to a terminal, "" if none.
func (v *Vehicle) drives(terminal string) string {
	metal := v.metal()
	for _, id := range v.IDs("controllers") {
		for _, phase := range phases {
			if metal.same(terminal, id+phase) {
				return id
			}
		}
	}
	return ""
}

// drivesWire is the controller in whose phase a conductor is.
func (v *Vehicle) drivesWire(wire string) string {
	from, _ := v.Ends(wire)
	return v.drives(from)
}

// windingAtPeak is the peak of a controller against what a winding takes for as long:
// its own peak, for longer the current with the same heat or, where its time
// constant alone is stated, the time against the one after which it is as hot as its
// rating makes it.
func (v *Vehicle) windingAtPeak(motor, drive string, steady float64) float64 {
	peak, lasts := v.Number(drive+".phase_peak_A", 0), v.Number(drive+".phase_peak_s", math.NaN())
	path := "motors." + motor
	if most := v.Number(path+".phase_peak_A", 0); most > 0 {
		if stated := v.Number(path+".phase_peak_s", math.NaN()); lasts > stated {
			most = math.Sqrt(steady*steady + (most*most-steady*steady)*stated/lasts)
		}
		return peak / most
	}
	if peak <= steady {
		return peak / steady
	}
	before := v.Number(drive+".phase_continuous_A", 0)
	takes := v.Number(path+".winding_tau_s", math.NaN()) * math.Log((peak*peak-before*before)/(peak*peak-steady*steady))
	return lasts / takes
}

// heatsIn is the time constant of a wire, s: the heat that its copper holds (3.45
// J/(cm3 K), IEC 60949) over the loss that its greatest current brings, and three
// tenths for the insulation, which it has to warm as well.
func (v *Vehicle) heatsIn(wire string) float64 {
	limit := v.conductorLimit(wire)
	amps, ohmPerMetre := v.Carries(wire), v.resistance(wire, limit)/v.Length(wire)
	tau := 3.45 * v.Area(wire) * (limit - v.Ambient(wire, true)) / (amps * amps * ohmPerMetre)
	if v.severe {
		return tau
	}
	return 1.3 * tau
}

// phaseShorted reports whether metal joins a phase of a motor to a pole or to the chassis,
// or, over what cannot open, to another phase. One end of a brushed motor may be on a pole.
func (v *Vehicle) phaseShorted(id string) bool {
	metal, opens := v.metal(), map[string]bool{}
	for _, kind := range []string{"disconnects", "breakers", "switches", "contactors", "relays", "timers", "cutouts", "connectors"} {
		for _, part := range v.IDs(kind) {
			opens[part] = true
		}
	}
	fixed, phases := v.metalWithout(opens), []string{}
	for _, t := range []string{"u", "v", "w"} {
		if len(v.At(id+"."+t)) > 0 {
			phases = append(phases, id+"."+t)
		}
	}
	for i, phase := range phases {
		for _, kind := range []string{"batteries", "controllers"} {
			for _, part := range v.IDs(kind) {
				on := metal.same(phase, part+".pos") || metal.same(phase, part+".neg")
				if on && v.Text("motors."+id+".kind") != "brushed" {
					return true
				}
			}
		}
		if metal.same(phase, "chassis") && v.Text("motors."+id+".kind") != "brushed" {
			return true
		}
		for _, other := range phases[:i] {
			if fixed.same(phase, other) {
				return true
			}
		}
	}
	return false
}
