package catalogue_test

import (
	"maps"

	"example.org/headroom/rules/internal/oracle"
)

// insideMutations are mistakes with fuses inside the batteries of a string: they protect
// the loops that they are in, and no others.
func insideMutations() []mutation {
	return []mutation{
		{kind: "a tap below the battery with the fuse inside", rule: "conductor-unprotected", find: tappedBelow},
		{kind: "a fuse of less breaking capacity behind fuses inside", rule: "fuse-breaking-low", find: func(v *oracle.Vehicle) []fault {
			inside := change{}
			for _, id := range v.IDs("batteries") {
				if v.Text("batteries."+id+".role") == "traction" {
					inside["batteries."+id+".internal_fuse_A"] = 400.0
					inside["batteries."+id+".internal_fuse_breaking_A"] = 50000.0
				}
			}
			return each(v, "fuses", func(id string) []change {
				var out []change
				for _, step := range down(v, "fuses."+id+".breaking_A_dc", breakingAmps) {
					out = append(out, merge(step, inside))
				}
				return out
			})
		}},
	}
}

// tappedBelow puts a fuse into the uppermost battery of a string, or of a pack that is
// parted in two, and a voltmeter without a fuse across the lowest.
func tappedBelow(v *oracle.Vehicle) []fault {
	top, low, step := "", "", change{}
	for _, id := range v.IDs("batteries") {
		if v.InString(id) > 1 {
			if top == "" {
				top = id
			}
			low = id
		}
	}
	if top == "" {
		if top, low, step = halves(v); top == "" {
			return nil
		}
	}
	return only(true, "tap", merge(step, change{
		"batteries." + top + ".internal_fuse_A":          250.0,
		"batteries." + top + ".internal_fuse_breaking_A": 20000.0,
		"meters.lower":   map[string]any{"shows": "voltage", "full_scale_V": 80.0, "supply_mA": 5.0, "max_V": 96.0, "source": "sheet ME-V"},
		"wires.tap":      wire(low+".pos", "lower.pos", "2.5 mm2", 1.5),
		"wires.tap_back": wire("lower.neg", low+".neg", "2.5 mm2", 1.5),
	}))
}

// halves parts a pack in two batteries that a short link joins.
func halves(v *oracle.Vehicle) (top, low string, step change) {
	for _, f := range twoBoxes(v) {
		step = maps.Clone(f.steps[0])
		link := maps.Clone(step["wires.between"].(map[string]any))
		link["length_m"] = 0.1
		step["wires.between"] = link
		return "pack", "pack_low", step
	}
	return "", "", nil
}
