package catalogue_test

import (
	"maps"

	"example.org/headroom/rules/internal/oracle"
)

// packSwitch is a switch of transistors that suits each of the sound vehicles: what
// a fault sets is the one thing that is wrong with it.
func packSwitch(wrong change) map[string]any {
	out := map[string]any{
		"discharge_A": 350.0, "charge_A": 150.0, "short_trip_A": 5000.0, "short_trip_us": 100.0,
		"break":   map[string]any{"V": 200.0, "J": 200.0},
		"on_mOhm": 0.5, "diode_V": 0.8, "diode_A": 150.0, "off_uA": 100.0, "wake": "button",
	}
	maps.Copy(out, wrong)
	return out
}

// packSwitches makes faults of such a switch in each traction battery.
func packSwitches(wrong ...change) func(*oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, "batteries", func(id string) []change {
			var steps []change
			if v.Text("batteries."+id+".role") == "traction" {
				for _, w := range wrong {
					steps = append(steps, change{"batteries." + id + ".bms": packSwitch(w)})
				}
			}
			return steps
		})
	}
}

// lesserSwitch lists a switch with ever less in a field.
func lesserSwitch(name string, trade ...float64) []change {
	var out []change
	for _, value := range trade {
		out = append(out, change{name: value})
	}
	return out
}

// quickSwitch lists switches that take ever smaller currents for a short circuit, at once.
func quickSwitch(trade ...float64) []change {
	var out []change
	for _, value := range trade {
		out = append(out, change{"discharge_A": min(350, value), "short_trip_A": value, "short_trip_us": 2.0})
	}
	return out
}

func bmsMutations() []mutation {
	var volts, joules []change
	for _, u := range tradeVolts {
		volts = append(volts, change{"break": map[string]any{"V": u, "J": 200.0}})
	}
	for _, j := range []float64{50, 20, 10, 5, 2, 1, 0.5, 0.2} {
		joules = append(joules, change{"break": map[string]any{"V": 200.0, "J": j}})
	}
	return []mutation{
		{kind: "a switch for a smaller motor", rule: "bms-overloaded", find: packSwitches(lesserSwitch("discharge_A", tradeAmps...)...)},
		{kind: "a switch for slower charging", rule: "bms-overloaded", find: packSwitches(lesserSwitch("charge_A", tradeAmps...)...)},
		{kind: "transistors of a lower voltage", rule: "bms-break-low", find: packSwitches(volts...)},
		{kind: "transistors without a clamp", rule: "bms-break-low", find: packSwitches(joules...)},
		{kind: "a switch that sees a short circuit everywhere", rule: "bms-start-trips", find: packSwitches(quickSwitch(breakingAmps...)...)},
		{kind: "a converter with large capacitors behind the switch", rule: "bms-start-trips", find: func(v *oracle.Vehicle) []fault {
			converter := firstOf(v, "converters")
			if converter == "" {
				return nil
			}
			return each(v, "batteries", func(id string) []change {
				var steps []change
				for _, uF := range []float64{220, 470, 1000, 2200, 4700} {
					if v.Text("batteries."+id+".role") == "traction" {
						steps = append(steps, change{
							"batteries." + id + ".bms":                          packSwitch(change{"short_trip_A": 700.0, "short_trip_us": 5.0}),
							"converters." + converter + ".input.capacitance_uF": uF,
						})
					}
				}
				return steps
			})
		}},
		{kind: "transistors of small body diodes", rule: "bms-diode-hot", find: packSwitches(lesserSwitch("diode_A", tradeAmps...)...)},
		{kind: "a return on the charge port", rule: "bms-charge-port-loaded", find: portLoaded},
		{kind: "a charger that waits for a battery", rule: "bms-stays-asleep", find: asleep},
	}
}

// portLoaded moves a return of a consumer from the main terminal of a pack to its
// charge port.
func portLoaded(v *oracle.Vehicle) []fault {
	var out []fault
	for _, battery := range v.IDs("batteries") {
		path := "batteries." + battery
		if v.Text(path+".role") != "traction" {
			continue
		}
		for _, wire := range v.At(battery + ".neg") {
			end := ".to"
			if from, _ := v.Ends(wire); from == battery+".neg" {
				end = ".from"
			}
			out = append(out, fault{battery, []change{{
				path + ".bms": packSwitch(change{"port": "separate"}), v.Path(wire) + end: battery + ".charge",
			}}})
		}
	}
	return out
}

// asleep gives a pack that only a charger wakes a charger that waits for a battery.
func asleep(v *oracle.Vehicle) []fault {
	charger := firstOf(v, "chargers")
	if charger == "" {
		return nil
	}
	return packSwitchesWith(v, change{"wake": "charger"}, change{"chargers." + charger + ".starts_without_battery": false})
}

// packSwitchesWith puts a switch into each traction battery, and changes something
// else with it.
func packSwitchesWith(v *oracle.Vehicle, wrong, beside change) []fault {
	return each(v, "batteries", func(id string) []change {
		if v.Text("batteries."+id+".role") != "traction" {
			return nil
		}
		return []change{merge(change{"batteries." + id + ".bms": packSwitch(wrong)}, beside)}
	})
}
