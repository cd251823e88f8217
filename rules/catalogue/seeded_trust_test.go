package catalogue_test

import (
	"maps"
	"strings"

	"example.org/headroom/rules/internal/oracle"
)

// trustMutations are mistakes in what a specification says of its parts, and
// circuits that one failure or one wire makes useless.
func trustMutations() []mutation {
	return []mutation{
		{kind: "a contact for AC", rule: "contact-voltage-ac-only", find: func(v *oracle.Vehicle) []fault {
			return contacts(v, func(path string) []change {
				if !v.Has(path + ".rated_V_dc") {
					return nil
				}
				return []change{{path + ".rated_V_dc": nil, path + ".rated_V_ac": 400.0}}
			})
		}},
		{kind: "a label copied", rule: "label-duplicate", find: func(v *oracle.Vehicle) []fault {
			var out []fault
			for _, group := range []string{"fuses", "relays", "contactors", "wires", "loads"} {
				ids := v.IDs(group)
				for i := 1; i < len(ids); i++ {
					out = append(out, fault{ids[i], []change{{group + "." + ids[i-1] + ".label": "X77", group + "." + ids[i] + ".label": "x77"}}})
				}
			}
			return out
		}},
		{kind: "a line of the datasheet left out", rule: "vital-data-missing", find: leftOut},
		{kind: "no monitor of the isolation", rule: "isolation-unmonitored", find: func(v *oracle.Vehicle) []fault {
			return each(v, "batteries", func(id string) []change {
				if v.Text("batteries."+id+".role") != "traction" {
					return nil
				}
				return values("vehicle.isolation_monitor", false)
			})
		}},
		{kind: "a coil on the wrong side of its switch", rule: "coil-never-off", find: wiredForGood},
		{kind: "two functions on one fuse", rule: "functions-lost-together", find: oneFuse},
	}
}

// contacts makes faults of contacts; make is given their path.
func contacts(v *oracle.Vehicle, make func(path string) []change) []fault {
	var out []fault
	out = append(out, each(v, "disconnects", func(id string) []change { return make("disconnects." + id) })...)
	for _, group := range []string{"contactors", "relays"} {
		out = append(out, each(v, group, func(id string) []change { return make(group + "." + id + ".contact") })...)
	}
	for _, id := range v.IDs("switches") {
		for _, pole := range v.IDs("switches." + id + ".poles") {
			if steps := make("switches." + id + ".poles." + pole); steps != nil {
				out = append(out, fault{id + "." + pole, steps})
			}
		}
	}
	return out
}

// leftOut leaves a rating out of a part.
func leftOut(v *oracle.Vehicle) []fault {
	var out []fault
	for _, of := range []struct {
		group  string
		fields []string
	}{
		{"fuses", []string{"rated_V_dc", "breaking_A_dc"}},
		{"disconnects", []string{"rated_V_dc", "carry_A", "break"}},
		{"contactors", []string{"contact.rated_V_dc", "contact.carry_A", "contact.break"}},
		{"batteries", []string{"resistance_mOhm"}},
		{"controllers", []string{"capacitance_uF"}},
	} {
		for _, id := range v.IDs(of.group) {
			for _, field := range of.fields {
				path := of.group + "." + id + "." + field
				if v.Has(path) {
					out = append(out, fault{id, []change{{path: nil}}})
				}
			}
		}
	}
	return out
}

// wiredForGood moves the feed of a coil to before whatever switches it, behind a
// fuse of its own. Where the feed came from something else is left.
func wiredForGood(v *oracle.Vehicle) []fault {
	var out []fault
	for _, group := range []string{"contactors", "relays"} {
		for _, id := range v.IDs(group) {
			feed := v.At(id + ".coil_pos")
			if len(feed) != 1 || v.Kind(feed[0]) != "wires" {
				continue
			}
			from, end := id+".coil_pos", ".to"
			if a, b := v.Ends(feed[0]); b == from {
				from, end = a, ".from"
			} else {
				from = b
			}
			before := v.Before(from)
			if len(before) == 0 || len(v.At(from)) < 2 {
				continue
			}
			out = append(out, fault{id, []change{{
				"fuses.coil_tap":      maps.Clone(v.Get("fuses." + before[0]).(map[string]any)),
				"wires.coil_feed":     wire(before[len(before)-1]+".b", "coil_tap.a", "16 mm2", 0.1),
				v.Path(feed[0]) + end: "coil_tap.b",
			}}})
		}
	}
	return out
}

// oneFuse feeds what one fuse feeds from behind another.
func oneFuse(v *oracle.Vehicle) []fault {
	var out []fault
	for _, a := range v.IDs("fuses") {
		for _, b := range v.IDs("fuses") {
			behind := v.At(a + ".b")
			if a == b || len(behind) != 1 || len(v.At(b+".b")) != 1 || !strings.HasSuffix(a, "_fuse") {
				continue
			}
			if from, _ := v.Ends(behind[0]); from == a+".b" {
				out = append(out, fault{b, []change{{v.Path(behind[0]) + ".from": b + ".b"}}})
			}
		}
	}
	return out
}
