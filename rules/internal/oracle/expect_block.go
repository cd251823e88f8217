package oracle

import "math"

// blockExpectations are of distribution blocks.
func blockExpectations() map[string]Expectation {
	return map[string]Expectation{
		"block-overloaded": func(v *Vehicle, id string) float64 {
			path, all := "blocks."+id, []string{}
			worst := 0.0
			for _, way := range v.ways(id) {
				_, name := split(way)
				all = append(all, v.At(way)...)
				if rated := v.Number(path+".ways."+name+".rated_A", 0); rated > 0 {
					worst = max(worst, v.together(v.At(way))/rated)
				}
			}
			// What flows in flows out, so that each ampere is counted twice.
			return max(worst, over(v.together(all)/2, v.Number(path+".rated_A", math.NaN())))
		},
		"block-voltage-low": func(v *Vehicle, id string) float64 {
			path := "blocks." + id
			if !v.Has(path+".rated_V_dc") && v.Has(path+".rated_V_ac") {
				return math.Inf(1) // a rating for AC alone
			}
			volts := 0.0
			for _, way := range v.ways(id) {
				volts = max(volts, v.Working(way))
			}
			return over(volts, v.Number(path+".rated_V_dc", 0))
		},
		"clamp-size-mismatch": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, way := range v.ways(id) {
				_, name := split(way)
				clamp := "blocks." + id + ".ways." + name + ".clamp"
				if !v.Has(clamp) {
					continue // a stud
				}
				least, _, _, _, _ := wireSize(v.Text(clamp + ".min"))
				most, _, _, _, _ := wireSize(v.Text(clamp + ".max"))
				count := 0.0
				for _, wire := range v.At(way) {
					if v.Kind(wire) == "wires" {
						count++
						worst = max(worst, least/v.Area(wire), v.Area(wire)/most)
					}
				}
				worst = max(worst, count/v.Number(clamp+".wires", 1))
			}
			return worst
		},
	}
}

// together is the steady current that heats a small bar as much as the currents of
// some conductors do, summed without regard to their direction, A. Its time constant
// is 10 min. Where a cycle says how often what lasts comes back, the modes that last
// continuously count alone, but to the severe side.
func (v *Vehicle) together(conductors []string) float64 {
	sum := func(mode string) float64 {
		most := 0.0
		for _, c := range v.cases(mode) {
			amps := 0.0
			for _, id := range conductors {
				amps += math.Abs(v.Solve(c).Amps(id))
			}
			most = max(most, amps)
		}
		return most
	}
	if !v.Has("cycle") || v.severe {
		return v.heats(600, sum)
	}
	most := 0.0
	for _, mode := range v.Modes(true) {
		most = max(most, sum(mode))
	}
	return most
}
