package oracle

import "math"

// parallelExpectations are of traction packs in parallel, each by itself and not a string.
func parallelExpectations() map[string]Expectation {
	return map[string]Expectation{
		// The pack with the least resistance takes most: the others have more by the spread.
		"parallel-share-high": func(v *Vehicle, id string) float64 {
			share, _, spread := v.shares(id)
			uneven := share / (share + (1-share)/(1+spread/100))
			return over(v.ForGood(id, 1800)*uneven/share, v.Number("batteries."+id+".continuous_A", 0))
		},
		// One is out, and the others carry its part.
		"parallel-pack-cascade": func(v *Vehicle, id string) float64 {
			share, lost, _ := v.shares(id)
			path, rest := "batteries."+id, 1-lost
			if math.IsNaN(share) || rest <= 0 {
				return math.NaN()
			}
			worst := over(v.ForGood(id, 1800)/rest, v.Number(path+".continuous_A", 0))
			for _, limit := range []string{".cutoff.trip_A", ".bms.discharge_A"} {
				if v.Has(path + limit) {
					worst = max(worst, over(v.Greatest(id)/rest, v.Number(path+limit, 0)))
				}
			}
			return worst
		},
	}
}

// shares is what a pack takes of the current of those beside it, and the greatest that one
// of these does; with the spread of their resistances in percent.
func (v *Vehicle) shares(id string) (own, lost, spread float64) {
	metal, all, others := v.metal(), 0.0, 0
	conducts := func(b string) float64 { return 1 / v.BatteryResistance(b, "typ") }
	for _, b := range v.IDs("batteries") {
		if !metal.same(b+".pos", id+".pos") || !metal.same(b+".neg", id+".neg") {
			continue
		}
		all += conducts(b)
		spread = max(spread, v.Number("batteries."+b+".spread_percent", 30))
		if b != id {
			others++
			lost = max(lost, conducts(b))
		}
	}
	if others == 0 {
		return math.NaN(), math.NaN(), spread
	}
	return conducts(id) / all, lost / all, spread
}
