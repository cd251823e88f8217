package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// precharged names the resistor, contactor and controller of the vehicles here.
func precharged(v *oracle.Vehicle) bool {
	return v.Kind("soft") == "resistors" && v.Kind("drive") == "controllers" && v.Kind("main_contactor") == "contactors"
}

func prechargeMutations() []mutation {
	drive := func(steps func(v *oracle.Vehicle) []change, subject string) func(v *oracle.Vehicle) []fault {
		return func(v *oracle.Vehicle) []fault {
			if !precharged(v) {
				return nil
			}
			return []fault{{subject, steps(v)}}
		}
	}
	return []mutation{
		{kind: "no pre-charge", rule: "precharge-missing", find: drive(func(v *oracle.Vehicle) []change {
			step := change{"resistors.soft": nil}
			for _, end := range []string{"soft.a", "soft.b"} {
				for _, id := range v.At(end) {
					step["wires."+id] = nil
				}
			}
			return []change{step}
		}, "drive")},
		{kind: "a bleed resistor that is much too small", rule: "precharge-stalls", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "controllers.drive.bleed_kOhm", 0.5, 0.3, 0.2, 0.1, 0.05, 0.03)
		}, "main_contactor")},
		{kind: "a pre-charge resistor that is much too large", rule: "precharge-stalls", find: drive(func(v *oracle.Vehicle) []change {
			var out []change
			for _, f := range []float64{3, 5, 8, 12, 20} {
				out = append(out, change{"resistors.soft.resistance_Ohm": f * v.Number("resistors.soft.resistance_Ohm", 0), "contactors.main_contactor.closes_after_s": 200.0})
			}
			return out
		}, "main_contactor")},
		{kind: "a contactor that closes too soon", rule: "precharge-incomplete", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "contactors.main_contactor.closes_after_s", 0.7, 0.5, 0.35, 0.25, 0.15)
		}, "main_contactor")},
		{kind: "larger capacitors", rule: "precharge-incomplete", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "controllers.drive.capacitance_uF", 2, 3, 4, 6, 8)
		}, "main_contactor")},
		{kind: "a resistor for smaller pulses", rule: "precharge-pulse-high", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "resistors.soft.pulse_J", 0.2, 0.1, 0.05, 0.03, 0.02, 0.01, 0.005)
		}, "soft")},
		{kind: "larger capacitors", rule: "precharge-pulse-high", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "controllers.drive.capacitance_uF", 10, 20, 40, 80)
		}, "soft")},
		{kind: "a resistor that cools slowly", rule: "precharge-attempts-hot", find: drive(func(v *oracle.Vehicle) []change {
			var out []change
			for _, pulse := range []float64{0.05, 0.03, 0.02, 0.015, 0.012} {
				for _, watts := range []float64{0.01, 0.004, 0.001} {
					out = append(out, change{
						"resistors.soft.pulse_J": pulse * v.Number("resistors.soft.pulse_J", 0),
						"resistors.soft.power_W": watts * v.Number("resistors.soft.power_W", 0),
					})
				}
			}
			return out
		}, "soft")},
		{kind: "a resistor of a lower voltage", rule: "precharge-voltage-low", find: drive(func(v *oracle.Vehicle) []change {
			return down(v, "resistors.soft.max_V", tradeVolts)
		}, "soft")},
		{kind: "a resistor without a heat sink", rule: "precharge-short-burns", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "resistors.soft.power_W", 0.5, 0.25, 0.1, 0.05, 0.02, 0.01)
		}, "soft")},
		{kind: "a resistor of less Ohm", rule: "precharge-short-burns", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "resistors.soft.resistance_Ohm", 0.5, 0.25, 0.15, 0.1)
		}, "soft")},
		{kind: "a permanent pre-charge that is not declared", rule: "precharge-stays-live", given: "the resistor leads past the open contactor for good", find: drive(func(v *oracle.Vehicle) []change {
			if !v.True("resistors.soft.permanent") {
				return nil
			}
			return values("resistors.soft.permanent", false)
		}, "soft")},
		{kind: "a pre-charge without its relay", rule: "precharge-stays-live", find: drive(func(v *oracle.Vehicle) []change {
			if v.Kind("w_soft_fuse") != "wires" || v.Kind("w_soft_relay") != "wires" {
				return nil
			}
			return []change{{"wires.w_soft_fuse.to": "soft.a", "wires.w_soft_relay": nil}}
		}, "soft")},
		{kind: "a larger bleed resistor", rule: "discharge-wait", find: drive(func(v *oracle.Vehicle) []change {
			return times(v, "controllers.drive.bleed_kOhm", 5, 10, 15, 22, 33, 50)
		}, "drive")},
		{kind: "a controller without its bleed resistor", rule: "discharge-wait", find: drive(func(v *oracle.Vehicle) []change {
			return []change{{"controllers.drive.bleed_kOhm": nil}}
		}, "drive")},
		{kind: "larger capacitors", rule: "discharge-wait", find: drive(func(v *oracle.Vehicle) []change {
			var out []change
			for _, f := range []float64{3, 5, 8, 12, 20} {
				out = append(out, change{
					"controllers.drive.capacitance_uF": f * v.Number("controllers.drive.capacitance_uF", 0),
					"controllers.drive.bleed_kOhm":     3 * v.Number("controllers.drive.bleed_kOhm", 0),
				})
			}
			return out
		}, "drive")},
	}
}
