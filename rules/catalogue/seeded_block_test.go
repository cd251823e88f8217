package catalogue_test

import (
	"fmt"

	"example.org/headroom/rules/internal/oracle"
)

// blockMutations are mistakes with distribution blocks: those that there are, and
// some in the place of a stud.
func blockMutations() []mutation {
	return []mutation{
		{kind: "a block of a smaller rating", rule: "block-overloaded", find: onBlocks(func(v *oracle.Vehicle, id string) [][]change {
			return [][]change{down(v, "blocks."+id+".rated_A", tradeAmps)}
		})},
		{kind: "a way of a smaller rating", rule: "block-overloaded", find: onWays(func(v *oracle.Vehicle, path, _ string) []change {
			return values(path+".rated_A", 200.0, 100.0, 76.0, 57.0, 41.0, 32.0, 24.0, 17.5, 10.0, 5.0)
		})},
		{kind: "a block made for a lower voltage", rule: "block-voltage-low", find: onBlocks(func(v *oracle.Vehicle, id string) [][]change {
			return [][]change{down(v, "blocks."+id+".rated_V_dc", tradeVolts)}
		})},
		{kind: "a block rated for AC alone", rule: "block-voltage-low", find: onBlocks(func(v *oracle.Vehicle, id string) [][]change {
			return [][]change{{{"blocks." + id + ".rated_V_dc": nil, "blocks." + id + ".rated_V_ac": 690.0}}}
		})},
		{kind: "a clamp for thinner wires", rule: "clamp-size-mismatch", find: onWays(func(v *oracle.Vehicle, path, wire string) []change {
			var out []change
			for _, size := range oracle.MetricSizes() {
				if size > 0.5 && size < v.Area(wire) {
					out = append([]change{{path + ".clamp": clamp(0.5, size)}}, out...)
				}
			}
			return out
		})},
		{kind: "a clamp for thicker wires", rule: "clamp-size-mismatch", find: onWays(func(v *oracle.Vehicle, path, wire string) []change {
			var out []change
			for _, size := range oracle.MetricSizes() {
				if size > v.Area(wire) {
					out = append(out, change{path + ".clamp": clamp(size, 150)})
				}
			}
			return out
		})},
		{kind: "two wires in one clamp", rule: "clamp-size-mismatch", find: onBlocks(func(v *oracle.Vehicle, id string) [][]change {
			var all [][]change
			first, end := "", ""
			for _, way := range v.IDs("blocks." + id + ".ways") {
				for _, wire := range v.At(id + "." + way) {
					if v.Kind(wire) != "wires" {
						continue
					}
					if first != "" {
						all = append(all, []change{{
							v.Path(wire) + "." + endAt(v, wire, id+"."+way): id + "." + end,
							"blocks." + id + ".ways." + end + ".clamp":      clamp(0.5, 150),
						}})
					}
					first, end = wire, way
				}
			}
			return all
		})},
	}
}

// clamp describes the clamp of a way that holds one wire.
func clamp(least, most float64) map[string]any {
	return map[string]any{"min": number(least) + " mm2", "max": number(most) + " mm2"}
}

// endAt is the end of a conductor that stands on a terminal: "from" or "to".
func endAt(v *oracle.Vehicle, conductor, terminal string) string {
	if from, _ := v.Ends(conductor); from == terminal {
		return "from"
	}
	return "to"
}

// blocked makes a distribution block of a stud, with a way for each of its lugs.
func blocked(v *oracle.Vehicle, stud string) change {
	block, ways := map[string]any{}, map[string]any{}
	for _, field := range []string{"thread", "torque_Nm", "clearance_mm", "creepage_mm"} {
		if value := v.Get("studs." + stud + "." + field); value != nil {
			block[field] = value
		}
	}
	block["rated_A"], block["rated_V_dc"], block["source"] = v.Number("studs."+stud+".rated_A", 100), 300.0, "sheet"
	block["ways"] = ways
	out := change{"studs." + stud: nil, "blocks." + stud: block}
	for i, conductor := range v.At(stud + ".stud") {
		way := fmt.Sprintf("way_%d", i+1)
		ways[way] = map[string]any{}
		out[v.Path(conductor)+"."+endAt(v, conductor, stud+".stud")] = stud + "." + way
	}
	return out
}

// onBlocks changes the blocks of a vehicle, and those that stand in the place of its
// studs: each list of steps is a fault.
func onBlocks(make func(v *oracle.Vehicle, id string) [][]change) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		var out []fault
		add := func(in *oracle.Vehicle, id string, with change) {
			for _, steps := range make(in, id) {
				whole := []change{}
				for _, step := range steps {
					whole = append(whole, merge(with, step))
				}
				out = append(out, fault{subject: id, steps: whole})
			}
		}
		for _, id := range v.IDs("blocks") {
			add(v, id, nil)
		}
		for _, stud := range v.IDs("studs") {
			with := blocked(v, stud)
			if in, err := v.Changed(with); err == nil {
				add(in, stud, with)
			}
		}
		return out
	}
}

// onWays changes the ways on which a wire stands, by their paths.
func onWays(make func(v *oracle.Vehicle, path, wire string) []change) func(v *oracle.Vehicle) []fault {
	return onBlocks(func(v *oracle.Vehicle, id string) [][]change {
		var all [][]change
		for _, way := range v.IDs("blocks." + id + ".ways") {
			for _, wire := range v.At(id + "." + way) {
				if v.Kind(wire) == "wires" {
					all = append(all, make(v, "blocks."+id+".ways."+way, wire))
				}
			}
		}
		return all
	})
}
