package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// cutoutMutations are mistakes with thermal cut-outs in the feed of a contactor's coil.
func cutoutMutations() []mutation {
	on := func(make func(path string) []change) func(v *oracle.Vehicle) []fault {
		return func(v *oracle.Vehicle) []fault {
			with, id := cutOut(v)
			if with == nil {
				return nil
			}
			var out []change
			for _, fields := range make("cutouts." + id) {
				out = append(out, over(with, fields))
			}
			return []fault{{id, out}}
		}
	}
	return []mutation{
		{kind: "a cut-out of a lower voltage", rule: "cutout-contact-low", find: on(func(path string) []change {
			return values(path+".contact.rated_V_dc", 60.0, 48.0, 32.0, 24.0)
		})},
		{kind: "a smaller cut-out", rule: "cutout-contact-low", find: on(func(path string) []change {
			return values(path+".contact.carry_A", 0.5, 0.2, 0.1, 0.05)
		})},
		{kind: "a cut-out at the limit of the winding", rule: "cutout-opens-late", find: on(func(path string) []change {
			return values(path+".opens_C", 140.0, 150.0, 160.0, 180.0)
		})},
		{kind: "a motor of a lower class", rule: "cutout-opens-late", find: func(v *oracle.Vehicle) []fault {
			with, id := cutOut(v)
			if with == nil {
				return nil
			}
			return only(true, id, over(with, change{"motors.motor.limit_C": 130.0}), over(with, change{"motors.motor.limit_C": 120.0}))
		}},
		{kind: "a cut-out that the pre-charge resistor does not outlast", rule: "cutout-opens-late", find: func(v *oracle.Vehicle) []fault {
			with, id := cutOut(v)
			if with == nil || v.Kind("soft") != "resistors" {
				return nil
			}
			path := "cutouts." + id
			return only(true, id, over(with, change{path + ".guards": "soft", path + ".opens_C": 130.0, "resistors.soft.limit_C": 120.0}))
		}},
		{kind: "a cut-out that resets itself", rule: "cutout-restarts-drive", find: on(func(path string) []change {
			return values(path+".reset", "automatic")
		})},
	}
}

// cutOut puts a cut-out in the winding of the motor and into the feed of the main
// contactor's coil: nothing where there is one, nil where there is no place.
func cutOut(v *oracle.Vehicle) (with change, id string) {
	if v.Kind("motor_cutout") == "cutouts" {
		return change{}, "motor_cutout"
	}
	with = motored(v)
	feeds := v.At("main_contactor.coil_pos")
	if with == nil || len(feeds) != 1 || v.Kind(feeds[0]) != "wires" {
		return nil, ""
	}
	with["motors.motor.limit_C"] = 155.0
	with["cutouts.winding.guards"], with["cutouts.winding.source"] = "motor", "sheet TC-1"
	with["cutouts.winding.opens_C"], with["cutouts.winding.tolerance_K"] = 130.0, 5.0
	with["cutouts.winding.reset"] = "manual"
	with["cutouts.winding.contact.carry_A"], with["cutouts.winding.contact.rated_V_dc"] = 2.5, 250.0
	end := "to"
	if farEnd(v, feeds[0], "main_contactor.coil_pos") == "to" {
		end = "from"
	}
	with[v.Path(feeds[0])+"."+end] = "winding.a"
	with["wires.w_winding"] = wire("winding.b", "main_contactor.coil_pos", "1.5 mm2", 0.8)
	return with, "winding"
}
