package catalogue_test

import (
	"maps"

	"example.org/headroom/rules/internal/oracle"
)

// motorMutations are mistakes with motors and their phase cables.
func motorMutations() []mutation {
	onMotor := func(make func(v *oracle.Vehicle) []change) func(v *oracle.Vehicle) []fault {
		return withMotor("motor", make)
	}
	onCable := func(make func(v *oracle.Vehicle) []change) func(v *oracle.Vehicle) []fault {
		return withMotor("w_phase_u", make)
	}
	sizes := func(fields change) []change {
		var out []change
		for _, size := range []string{"50 mm2", "35 mm2", "25 mm2", "16 mm2", "10 mm2", "6 mm2"} {
			out = append(out, merge(fields, change{"wires.w_phase_u.size": size}))
		}
		return out
	}
	return []mutation{
		{kind: "a phase cable on a pole of the controller", rule: "phase-shorted", find: onMotor(func(*oracle.Vehicle) []change {
			return values("wires.w_phase_w.from", "drive.pos", "drive.neg")
		})},
		{kind: "a phase cable on the metalwork", rule: "phase-shorted", find: onMotor(func(*oracle.Vehicle) []change {
			return values("wires.w_phase_v.from", "chassis")
		})},
		{kind: "two phases on one terminal", rule: "phase-shorted", find: onMotor(func(*oracle.Vehicle) []change {
			return values("wires.w_phase_v.to", "motor.u")
		})},
		{kind: "a motor without a sensor in its winding", rule: "motor-cutout-missing", find: onMotor(func(*oracle.Vehicle) []change {
			return values("motors.motor.thermal_cutout", false)
		})},
		{kind: "a smaller motor", rule: "motor-overloaded", find: onMotor(func(*oracle.Vehicle) []change {
			return []change{{"motors.motor.phase_continuous_A": 90.0, "motors.motor.phase_peak_A": 180.0}, {"motors.motor.phase_continuous_A": 60.0, "motors.motor.phase_peak_A": 120.0}}
		})},
		{kind: "a controller that is set to a higher peak", rule: "motor-overloaded", find: onMotor(func(*oracle.Vehicle) []change {
			return values("controllers.drive.phase_peak_A", 260.0, 300.0, 350.0)
		})},
		{kind: "a controller whose peak lasts longer", rule: "motor-overloaded", find: onMotor(func(*oracle.Vehicle) []change {
			return values("controllers.drive.phase_peak_s", 120.0, 180.0, 300.0)
		})},
		{kind: "a motor that a hill turns faster", rule: "motor-voltage-high", find: onMotor(func(v *oracle.Vehicle) []change {
			rpm := v.Number("motors.motor.max_rpm", 60*v.Number("batteries.pack.max_V", 0))
			return values("motors.motor.max_rpm", 1.3*rpm, 1.5*rpm, 1.8*rpm, 2.2*rpm)
		})},
		{kind: "a winding for a higher voltage", rule: "motor-voltage-high", find: onMotor(func(*oracle.Vehicle) []change {
			return values("motors.motor.kv_rpm_per_V", 45.0, 38.0, 30.0, 25.0)
		})},
		{kind: "a controller far from its motor", rule: "phase-cable-long", find: onMotor(func(*oracle.Vehicle) []change {
			return []change{{"wires.w_phase_u.length_m": 5.0, "wires.w_phase_v.length_m": 5.0, "wires.w_phase_w.length_m": 5.0}}
		})},
		{kind: "a thin phase cable", rule: "phase-cable-overloaded", find: onCable(func(*oracle.Vehicle) []change { return sizes(nil) })},
		{kind: "a phase cable for the mean of the ride", rule: "phase-cable-peak-hot", find: onCable(func(*oracle.Vehicle) []change {
			return sizes(change{
				"controllers.drive.phase_continuous_A": 60.0, "controllers.drive.phase_peak_s": 55.0,
				"wires.w_phase_u.lug_hole_mm": 8.4,
			})
		})},
		{kind: "a motor of a lower voltage", rule: "phase-voltage-low", find: onMotor(func(v *oracle.Vehicle) []change {
			return values("motors.motor.rated_V", 80.0, 60.0, 48.0, 36.0)
		})},
		{kind: "a phase cable of a lower voltage", rule: "phase-voltage-low", find: onCable(func(*oracle.Vehicle) []change {
			return values("wires.w_phase_u.insulation.rated_V", 80.0, 60.0, 48.0, 36.0)
		})},
	}
}

// withMotor makes faults of a vehicle with its motor or, where none is drawn, with
// one that is.
func withMotor(subject string, make func(v *oracle.Vehicle) []change) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		with := motored(v)
		if with == nil {
			return nil
		}
		var out []change
		for _, fields := range make(v) {
			out = append(out, over(with, fields))
		}
		return []fault{{subject, out}}
	}
}

// over carries changes out on a change, in which they may reach into new parts.
func over(base, fields change) change {
	out := maps.Clone(base)
	maps.Copy(out, fields)
	return out
}

// motored is what draws a motor with three phase cables behind a controller that has
// none: nothing where there is one, nil above 60 V, where it would want a bond.
func motored(v *oracle.Vehicle) change {
	if v.Kind("motor") == "motors" {
		return change{}
	}
	volts := v.Number("batteries.pack.max_V", 0)
	if v.Kind("drive") != "controllers" || volts == 0 || volts > 60 {
		return nil
	}
	out := change{
		"controllers.drive.phase_continuous_A": 110.0, "controllers.drive.phase_peak_A": 200.0, "controllers.drive.phase_peak_s": 60.0,
		"motors.motor.kind": "permanent-magnet", "motors.motor.source": "sheet PM-1", "motors.motor.thermal_cutout": true,
		"motors.motor.phase_continuous_A": 120.0, "motors.motor.phase_peak_A": 240.0, "motors.motor.phase_peak_s": 60.0,
		"motors.motor.kv_rpm_per_V": 60.0, "motors.motor.max_rpm": 60 * volts, "motors.motor.rated_V": 100.0,
	}
	for _, phase := range []string{"u", "v", "w"} {
		path := "wires.w_phase_" + phase
		out[path+".from"], out[path+".to"] = "drive."+phase, "motor."+phase
		out[path+".size"], out[path+".length_m"] = "70 mm2", 0.7
		out[path+".insulation.max_C"], out[path+".insulation.rated_V"] = 105.0, 600.0
	}
	return out
}
