package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// regenerationMutations are mistakes with what opens while the motor brakes.
func regenerationMutations() []mutation {
	return []mutation{
		{kind: "no brake but the motor", rule: "braking-lost", given: "what opens ends the braking of the motor, and there is no other", find: func(v *oracle.Vehicle) []fault {
			return each(v, "controllers", func(id string) []change {
				if v.Number("controllers."+id+".regen_A", 0) == 0 {
					return nil
				}
				return values("vehicle.mechanical_brake", false)
			})
		}},
		{kind: "a stop that leaves the power on", rule: "emergency-stop-category", given: "category 2 leaves the power on", find: stops(2)},
		{kind: "a stop that is said to brake first", rule: "emergency-stop-category", given: "it opens the contactor at once", find: stops(1)},
		{kind: "a controller for a much higher voltage that brakes without a limit", rule: "contactor-voltage-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(string) []change {
				c := only1(v.IDs("controllers"))
				if c == "" || v.Number("controllers."+c+".regen_A", 0) == 0 {
					return nil
				}
				var out []change
				for _, volts := range []float64{200, 260, 330, 420} {
					out = append(out, change{"controllers." + c + ".max_V": volts, "controllers." + c + ".overvoltage_V": nil, "controllers." + c + ".overvoltage_reaction_us": nil})
				}
				return out
			})
		}},
	}
}

// stops declares a category of every emergency stop.
func stops(category float64) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, "switches", func(id string) []change {
			if v.Text("switches."+id+".role") != "emergency-stop" {
				return nil
			}
			return values("switches."+id+".stop_category", category)
		})
	}
}

// only1 is the only one of some ids, "" where there are none or several.
func only1(ids []string) string {
	if len(ids) != 1 {
		return ""
	}
	return ids[0]
}
