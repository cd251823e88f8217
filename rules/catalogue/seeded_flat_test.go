package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// flatMutations are mistakes with what a converter drives into a flat auxiliary battery,
// with the leads of batteries, and with the way home of consumers.
func flatMutations() []mutation {
	return []mutation{
		{kind: "an alarm battery in the auxiliary's place", rule: "battery-charge-high", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(battery, _ string) []change {
				path := "batteries." + battery
				if v.Text(path+".chemistry") != "lead-acid" {
					return nil
				}
				step := change{path + ".charge_max_A": 1.5}
				if v.Has(path + ".float_A") {
					step[path+".float_A"] = nil // its sheet is for charging in cycles
				}
				return []change{step}
			})
		}},
		{kind: "a lithium battery on a stronger converter", rule: "battery-charge-high", find: func(v *oracle.Vehicle) []fault {
			return held(v, func(battery, _ string) []change {
				var out []change
				for _, amps := range []float64{10, 8, 5, 3} {
					out = append(out, merge(lithium(v, battery, "LFP", 4, 2.8, 3.2, 3.65), change{"batteries." + battery + ".charge_max_A": amps}))
				}
				return out
			})
		}},
		{kind: "a thin lead at a battery's negative pole", rule: "fuse-above-ampacity", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, battery := range v.IDs("batteries") {
				for _, id := range v.At(battery + ".neg") {
					if v.Kind(id) == "wires" {
						out = append(out, fault{id, smaller(v, id)})
					}
				}
			}
			return out
		}},
		{kind: "a lamp returned to a chassis without its strap", rule: "load-voltage-low", find: strapless},
	}
}

// strapless returns a critical consumer of no stated voltage to the chassis, and takes
// off what ties that to the negative.
func strapless(v *oracle.Vehicle) []fault {
	straps := change{}
	for _, id := range v.At("chassis") {
		straps[v.Path(id)] = nil
	}
	if len(straps) == 0 {
		return nil
	}
	return each(v, "loads", func(id string) []change {
		returns := v.At(id + ".neg")
		if !v.True("loads."+id+".critical") || len(returns) != 1 {
			return nil
		}
		end := map[string]string{"from": "to", "to": "from"}[endAt(v, returns[0], id+".neg")]
		step := merge(straps, change{v.Path(returns[0]) + "." + end: "chassis"})
		if v.Has("loads." + id + ".min_V") {
			step["loads."+id+".min_V"] = nil
		}
		return []change{step}
	})
}
