package catalogue_test

import (
	"slices"

	"example.org/headroom/rules/internal/oracle"
)

// roof is a solar part as it stands on the tool cart: three modules, 72.9 V at
// -5 C and 73.9 V at -10 C, on a regulator for 100 V.
func roof() map[string]any {
	return map[string]any{
		"Voc_V": 22.3, "Isc_A": 6.0, "percent_per_K": -0.30, "in_series": 3.0, "source": "sheet MO-1",
		"regulator": map[string]any{"max_pv_V": 100.0, "output_V": 56.0, "max_A": 5.0, "without_battery_V": 57.0},
		"cable":     map[string]any{"size": "2.5 mm2", "max_C": 105.0, "rated_V": 1000.0},
	}
}

// roofed is what puts a sound roof on a vehicle that has none and a pack of 48 V:
// behind the isolator, with a fuse at its end of the lead. Nothing where there
// is a roof already; false where there is no place for one.
func roofed(v *oracle.Vehicle) (change, bool) {
	if v.Has("solar.roof") {
		return change{}, true
	}
	if v.PackNominal() > 52 || !v.Has("contactors.main_contactor") || !v.Has("controllers.drive") || !v.Has("disconnects.isolator") ||
		!slices.Contains(v.At("main_contactor.a"), "w3") {
		return nil, false
	}
	out := change{
		"solar.roof":        roof(),
		"fuses.roof_fuse":   map[string]any{"class": "ul", "rated_A": 10.0, "rated_V_dc": 80.0, "breaking_A_dc": 20000.0, "source": "sheet FU-2"},
		"wires.w_roof_fuse": wire("main_contactor.a", "roof_fuse.a", "2.5 mm2", 0.1),
		"wires.w_roof_pos":  wire("roof_fuse.b", "roof.pos", "2.5 mm2", 1.5),
		"wires.w_roof_neg":  wire("roof.neg", "drive.neg", "2.5 mm2", 1.5),
		"modes.sunning":     map[string]any{"closed": []any{"isolator"}, "connected": []any{"roof"}},
	}
	for _, id := range v.IDs("batteries") {
		if v.Text("batteries."+id+".role") == "traction" {
			out["batteries."+id+".charge_max_A"], out["batteries."+id+".charge_min_C"] = 50.0, -10.0
		}
	}
	return out, true
}

// onRoof makes faults of the roof of each vehicle that has one or gets one.
func onRoof(v *oracle.Vehicle, steps ...change) []fault {
	sound, ok := roofed(v)
	if !ok {
		return nil
	}
	all := make([]change, len(steps))
	for i, step := range steps {
		all[i] = merge(sound, step)
	}
	return []fault{{"roof", all}}
}

// risen lets the regulator rise to a voltage without its battery, with a motor that
// withstands it.
func risen(v *oracle.Vehicle, volts ...float64) []change {
	var steps []change
	for _, u := range volts {
		step := change{"solar.roof.regulator.without_battery_V": u}
		if v.Has("motors.motor") {
			step["motors.motor.rated_V"] = 120.0
		}
		steps = append(steps, step)
	}
	return steps
}

func solarMutations() []mutation {
	return []mutation{
		{kind: "more modules in series", rule: "solar-voltage-high", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, values("solar.roof.in_series", 4.0, 5.0, 6.0)...)
		}},
		{kind: "a regulator for fewer modules", rule: "solar-voltage-high", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, values("solar.roof.regulator.max_pv_V", 75.0, 60.0, 50.0)...)
		}},
		{kind: "a lead of weak insulation on the roof", rule: "solar-voltage-high", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, values("solar.roof.cable.rated_V", 60.0, 50.0)...)
		}},
		{kind: "a thin lead on the roof", rule: "solar-cable-overloaded", find: func(v *oracle.Vehicle) []fault {
			var steps []change
			for _, strings := range []float64{1, 2} {
				for _, size := range []string{"1 mm2", "0.75 mm2", "0.5 mm2"} {
					steps = append(steps, change{"solar.roof.cable.size": size, "solar.roof.in_parallel": strings, "solar.roof.cable.max_C": 70.0})
				}
			}
			return onRoof(v, steps...)
		}},
		{kind: "larger modules on the same lead", rule: "solar-cable-overloaded", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, values("solar.roof.Isc_A", 9.5, 13.0, 18.0, 24.0, 30.0, 40.0)...)
		}},
		{kind: "a third string", rule: "solar-strings-unfused", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, values("solar.roof.in_parallel", 3.0)...)
		}},
		{kind: "string fuses larger than the modules withstand", rule: "solar-strings-unfused", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, change{"solar.roof.in_parallel": 3.0, "solar.roof.string_fuse_A": 20.0, "solar.roof.max_series_fuse_A": 15.0})
		}},
		{kind: "a regulator that rises without its battery", rule: "solar-battery-lost", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, risen(v, 64, 72, 80, 90)...)
		}},
		{kind: "a regulator above the touch voltage", rule: "solar-live-past-disconnect", find: func(v *oracle.Vehicle) []fault {
			return onRoof(v, risen(v, 65)...)
		}},
	}
}
