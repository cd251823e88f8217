package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// senseMutations are mistakes at the sense screws of shunts and with the leads on them.
func senseMutations() []mutation {
	return []mutation{
		{kind: "a sense lead on a stud of the other pole", rule: "meter-sense-high", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			onSenseLeads(v, func(meter, shunt, path string) {
				for _, stud := range []string{"plus.stud", "isolator.b", "drive.pos"} {
					if len(v.At(stud)) > 0 && !v.OneMetal(stud, shunt+".a") {
						out = append(out, fault{meter, []change{{path: stud}}})
					}
				}
			})
			return out
		}},
		{kind: "a power lead on a sense screw", rule: "shunt-overloaded", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, shunt := range v.IDs("shunts") {
				for _, end := range []string{"a", "b"} {
					for _, id := range v.At(shunt + "." + end) {
						screw := shunt + ".sense_" + end
						out = append(out, fault{screw, []change{{v.Path(id) + "." + endAt(v, id, shunt+"."+end): screw}}})
					}
				}
			}
			return out
		}},
		{kind: "a converter's return on a sense screw", rule: "shunt-overloaded", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, shunt := range v.IDs("shunts") {
				for _, converter := range v.IDs("converters") {
					for _, id := range v.At(converter + ".in_neg") {
						if v.Kind(id) == "wires" && v.OneMetal(converter+".in_neg", shunt+".b") {
							out = append(out, fault{shunt + ".sense_b", []change{{"wires." + id + ".to": shunt + ".sense_b"}}})
						}
					}
				}
			}
			return out
		}},
	}
}

// onSenseLeads calls for each meter on a shunt, and the path of each end on a sense screw.
func onSenseLeads(v *oracle.Vehicle, use func(meter, shunt, path string)) {
	for _, meter := range v.IDs("meters") {
		shunt := v.Text("meters." + meter + ".shunt")
		if shunt == "" {
			continue
		}
		for _, screw := range []string{shunt + ".sense_a", shunt + ".sense_b"} {
			for _, id := range v.At(screw) {
				use(meter, shunt, v.Path(id)+"."+endAt(v, id, screw))
			}
		}
	}
}
