package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// unlikeMutations are mistakes with batteries that do not belong together, with
// chargers, and with parts that are made for one direction or one voltage.
func unlikeMutations() []mutation {
	return []mutation{
		{kind: "a smaller battery in a string", rule: "string-unequal", given: "one battery of a string holds half of what the others do", find: unlike(
			func(id string, last bool) change { return change{"batteries." + id + ".capacity_Ah": half(last, 60)} })},
		{kind: "a larger battery in a string", rule: "string-unequal", given: "one battery of a string holds twice what the others do", find: unlike(
			func(id string, last bool) change {
				return change{"batteries." + id + ".capacity_Ah": 60 * 30 / half(last, 30)}
			})},
		{kind: "a battery of another chemistry in a string", rule: "string-unequal", given: "lead beside lithium", find: unlike(
			func(id string, last bool) change {
				if last {
					return change{"batteries." + id + ".chemistry": "lead-acid", "batteries." + id + ".series": 6}
				}
				return nil
			})},
		{kind: "a charger without isolation", rule: "charger-not-isolated", given: "nothing parts the battery from the mains", find: func(v *oracle.Vehicle) []fault {
			return each(v, "chargers", func(id string) []change { return values("chargers."+id+".isolated", false) })
		}},
		{kind: "a breaking capacity at a lower voltage", rule: "fuse-breaking-low", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				return values("fuses."+id+".breaking_at_V", 0.8*v.Working(id+".a"), 0.6*v.Working(id+".a"))
			})
		}},
		{kind: "a wire across the battery", rule: "battery-shorted", find: shorted(".pos", ".neg")},
		{kind: "a wire across the controller", rule: "battery-shorted", find: func(v *oracle.Vehicle) []fault {
			for _, id := range v.IDs("batteries") {
				if v.InString(id) == 1 && len(v.IDs("batteries")) == 1 && v.Text("batteries."+id+".role") == "traction" && v.Kind("drive") == "controllers" && v.OneMetal(id+".pos", "drive.pos") && v.OneMetal(id+".neg", "drive.neg") {
					return only(true, id, change{"wires.wrong": wire("drive.pos", "drive.neg", "16 mm2", 0.2)})
				}
			}
			return nil
		}},
		{
			kind: "a polarized contactor the wrong way round", rule: "contactor-break-reverse-low", given: "the drive's current flows from b to a",
			find: func(v *oracle.Vehicle) []fault {
				const k = "main_contactor"
				if v.Kind(k) != "contactors" || !v.OneMetal(k+".b", "drive.pos") || v.Has("contactors."+k+".contact.reverse_break_A") {
					return nil
				}
				turned := swap(v, k+".a", k+".b")
				turned["contactors."+k+".contact.polarized"] = true
				return only(true, k, turned)
			},
		},
	}
}

// shorted puts a wire across a battery that stands by itself.
func shorted(from, to string) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, "batteries", func(id string) []change {
			for _, other := range v.IDs("batteries") {
				if v.Text("batteries."+other+".role") != "traction" == (other == id) || other != id && v.OneMetal(other+".neg", id+".neg") {
					return nil // not the traction battery, or not the only one on its negative side
				}
			}
			return []change{{"wires.wrong": wire(id+from, id+to, "16 mm2", 0.2)}}
		})
	}
}

func half(last bool, of float64) float64 {
	if last {
		return of / 2
	}
	return of
}

// unlike changes the batteries of a string, the one at the positive end otherwise
// than the rest. The finding stands at the negative end.
func unlike(to func(id string, last bool) change) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		var ids []string
		lowest, highest := "", ""
		for _, id := range v.IDs("batteries") {
			if v.InString(id) < 2 {
				continue
			}
			ids = append(ids, id)
			above, below := false, false
			for _, other := range v.IDs("batteries") {
				above = above || other != id && v.OneMetal(id+".pos", other+".neg")
				below = below || other != id && v.OneMetal(id+".neg", other+".pos")
			}
			if !below {
				lowest = id
			}
			if !above {
				highest = id
			}
		}
		all := change{}
		for _, id := range ids {
			for path, value := range to(id, id == highest) {
				all[path] = value
			}
		}
		return only(len(all) > 0, lowest, all)
	}
}
