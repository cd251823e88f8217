package oracle

import "math"

// cutoutExpectations are of thermal cut-outs.
func cutoutExpectations() map[string]Expectation {
	return map[string]Expectation{
		"cutout-contact-low": func(v *Vehicle, id string) float64 {
			path, amps := "cutouts."+id+".contact", v.Greatest(id)
			for _, mode := range v.Modes(false) {
				amps = max(amps, math.Abs(v.Solve(Case{Mode: mode, Supply: "full", Idle: true, Start: true, PickUp: true, Copper: 20}).Amps(id)))
			}
			worst, volts := 0.0, v.worksAt(id)
			for _, kind := range []string{"contactors", "relays"} {
				for _, k := range v.IDs(kind) {
					if contains(v.behind(id), k) { // its coil adds what it clamps at
						volts = max(volts, v.Working(k+".coil_pos")+v.clampVolts(k))
					}
				}
			}
			for _, ratio := range []float64{over(volts, v.Number(path+".rated_V_dc", 0)), over(amps, v.Number(path+".carry_A", 0))} {
				if ratio > worst {
					worst = ratio
				}
			}
			return worst
		},
		// A winding is 10 K hotter somewhere else; a bimetal is off by 5 K (common practice).
		"cutout-opens-late": func(v *Vehicle, id string) float64 {
			path := "cutouts." + id
			guards := v.Text(path + ".guards")
			limit := v.Number(v.Path(guards)+".limit_C", math.NaN())
			return over(v.Number(path+".opens_C", 0)+v.Number(path+".tolerance_K", 5), limit-10)
		},
		"cutout-restarts-drive": func(v *Vehicle, id string) float64 {
			return certain(v.Text("cutouts."+id+".reset") == "automatic" && !v.True("cutouts."+id+".one_shot") && v.startsAgain(id))
		},
	}
}

// startsAgain reports whether what a cut-out has opened comes back with it: a contactor
// that falls off without it and pulls in from rest once it is closed, or an enable input
// that has no voltage without it and has one from rest.
func (v *Vehicle) startsAgain(id string) bool {
	for _, mode := range v.Modes(false) {
		for _, supply := range []string{"full", "nominal"} {
			cold := v.Solve(Case{Mode: mode, Supply: supply, Idle: true, Copper: 20})
			open := v.Solve(Case{Mode: mode, Supply: supply, Idle: true, Copper: 20, Start: true, Gone: map[string]bool{id: true}})
			for _, c := range v.IDs("contactors") {
				if cold.Closed(c) && !open.Closed(c) {
					return true
				}
			}
			for _, c := range v.IDs("controllers") {
				volts := func(s Solution) float64 { return math.Abs(s.Volts(c+".enable", c+".neg")) }
				if volts(cold) > 5 && volts(open) < 5 {
					return true
				}
			}
		}
	}
	return false
}
