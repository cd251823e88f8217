package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// keyedMutations are mistakes with what shall open when key or emergency stop do,
// with what tells that it has not, and with where a vehicle is driven.
func keyedMutations() []mutation {
	return []mutation{
		{kind: "a latching contactor", rule: "contactor-stays-latched", find: func(v *oracle.Vehicle) []fault {
			return each(v, "contactors", func(id string) []change { return values("contactors."+id+".coil.latching", true) })
		}},
		{kind: "the emergency stop in the coil's return", rule: "coil-return-switched", find: func(v *oracle.Vehicle) []fault {
			return only(houseCoil(v), "main_contactor", stopInReturn(v))
		}},
		{kind: "the key in the coil's return", rule: "coil-return-switched", find: func(v *oracle.Vehicle) []fault {
			return only(houseCoil(v), "main_contactor", keyInReturn(v))
		}},
		{kind: "a controller that looks for no weld", rule: "weld-unnoticed", find: func(v *oracle.Vehicle) []fault {
			return only(v.True("controllers.drive.weld_check"), "main_contactor", change{"controllers.drive.weld_check": false})
		}},
		{kind: "a pilot lamp on a plain auxiliary contact in the place of the check", rule: "weld-unnoticed", find: func(v *oracle.Vehicle) []fault {
			return only(v.True("controllers.drive.weld_check") && houseCoil(v), "main_contactor", change{
				"controllers.drive.weld_check":        false,
				"contactors.main_contactor.auxiliary": map[string]any{"form": "no", "kind": "plain", "min_V": 5.0, "min_mA": 1.0, "carry_A": 2.0},
				"wires.w_aux":                         wire("key.house_b", "main_contactor.aux_a", "1.5 mm2", 1),
				"wires.w_ready_pos.from":              "main_contactor.aux_b",
			})
		}},
		{kind: "a check behind a permanent pre-charge", rule: "weld-unnoticed", find: func(v *oracle.Vehicle) []fault {
			return only(v.True("controllers.drive.weld_check") && v.Kind("soft_relay") == "relays", "main_contactor", permanent(v))
		}},
		{kind: "a pass of a higher altitude", rule: "altitude-above-ratings", find: func(v *oracle.Vehicle) []fault {
			return only(true, "vehicle", values("vehicle.altitude_m", 2300.0, 2700.0, 3600.0)...)
		}},
	}
}

// houseCoil reports whether the main contactor's coil is on the house network, with
// key and emergency stop one after the other in its feed.
func houseCoil(v *oracle.Vehicle) bool {
	return v.Kind("w_coil_stop") == "wires" && v.Kind("w_coil_ret") == "wires"
}

// stopInReturn leads the coil's feed past the emergency stop, and its return through it.
func stopInReturn(v *oracle.Vehicle) change {
	out := change{
		"wires.w_coil_stop.from": "main_contactor.coil_neg",
		"wires.w_coil_ret.from":  "stop.house_b",
	}
	for _, id := range v.At("stop.house_b") {
		out[v.Path(id)+"."+endAt(v, id, "stop.house_b")] = "key.house_b"
	}
	return out
}

// keyInReturn leads the coil's feed past the key, and its return through it; pilot
// lamp and display are then fed past it too.
func keyInReturn(v *oracle.Vehicle) change {
	out := change{
		"wires.w_coil_key.to":    "stop.house_a",
		"wires.w_coil_stop.from": "main_contactor.coil_neg",
		"wires.w_coil_stop.to":   "key.house_a",
		"wires.w_coil_ret.from":  "key.house_b",
	}
	for _, id := range v.At("key.house_b") {
		if id != "w_coil_stop" {
			out[v.Path(id)+"."+endAt(v, id, "key.house_b")] = "stop.house_a"
		}
	}
	return out
}

// permanent puts the pre-charge resistor across the contactor and leaves its relay, and
// the fuse before that, out.
func permanent(v *oracle.Vehicle) change {
	out := change{
		"relays.soft_relay":        nil,
		"fuses.soft_fuse":          nil,
		"resistors.soft.permanent": true,
		"wires.w_soft":             wire("main_contactor.a", "soft.a", "2.5 mm2", 0.08),
	}
	for _, terminal := range []string{"soft_fuse.a", "soft_fuse.b", "soft_relay.no", "soft_relay.coil_pos", "soft_relay.coil_neg"} {
		for _, id := range v.At(terminal) {
			out[v.Path(id)] = nil
		}
	}
	return out
}
