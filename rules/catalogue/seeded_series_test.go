package catalogue_test

import "example.org/headroom/rules/internal/oracle"

// seriesMutations are mistakes with what stands in series: contacts that do not
// suit the fuse before them.
func seriesMutations() []mutation {
	const rule = "fuse-above-contact-rating"
	return []mutation{
		{kind: "an isolator smaller than the fuse", rule: rule, find: ratings("disconnects", "carry_A", tradeAmps)},
		{kind: "a contactor smaller than the fuse", rule: rule, find: both("contact.carry_A", tradeAmps)},
		{kind: "a key or switch smaller than the fuse", rule: rule, find: func(v *oracle.Vehicle) []fault {
			return eachPole(v, func(path string) []change { return down(v, path+".carry_A", tradeAmps) })
		}},
		{kind: "a motor that stalls at more, with a fuse to suit", rule: rule, find: func(v *oracle.Vehicle) []fault {
			return eachPole(v, func(string) []change { return stalling(v) })
		}},
		{kind: "an isolator that suits the modes but not the controller", rule: rule, find: func(v *oracle.Vehicle) []fault {
			return each(v, "disconnects", func(id string) []change {
				steps := down(v, "disconnects."+id+".carry_A", tradeAmps)
				for i := range steps {
					steps[i]["controllers.drive.battery_continuous_A"] = v.Number("controllers.drive.battery_peak_A", 0)
				}
				return steps
			})
		}},
	}
}

// eachPole makes faults of the poles of the switches.
func eachPole(v *oracle.Vehicle, make func(path string) []change) []fault {
	var out []fault
	for _, id := range v.IDs("switches") {
		for _, pole := range v.IDs("switches." + id + ".poles") {
			if steps := make("switches." + id + ".poles." + pole); len(steps) > 0 {
				out = append(out, fault{id + "." + pole, steps})
			}
		}
	}
	return out
}

// stalling lists ever higher stall currents of the motors, each with a fuse
// that rides it.
func stalling(v *oracle.Vehicle) []change {
	var steps []change
	for _, f := range []float64{1.5, 2, 3, 4} {
		step := change{}
		for _, load := range v.IDs("loads") {
			before := v.Before(load + ".pos")
			if stall := v.Number("loads."+load+".stall_A", 0); stall > 0 && len(before) > 0 {
				step = merge(step, link(v, before[0], f*v.Number("fuses."+before[0]+".rated_A", 0)), change{"loads." + load + ".stall_A": f * stall})
			}
		}
		if len(step) > 0 {
			steps = append(steps, step)
		}
	}
	return steps
}
