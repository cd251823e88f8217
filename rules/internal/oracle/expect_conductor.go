package oracle

import "math"

func conductorExpectations() map[string]Expectation {
	return map[string]Expectation{
		"conductor-overloaded": func(v *Vehicle, wire string) float64 {
			if v.Length(wire) < 0.7 && !v.severe {
				return 0 // its terminals cool it; the oracle leaves that open
			}
			return over(v.Steadily(wire), v.Carries(wire))
		},
		"conductor-peak-hot": func(v *Vehicle, wire string) float64 {
			limit, worst := v.conductorLimit(wire), 0.0
			for _, mode := range v.Modes(false) {
				if v.Number("modes."+mode+".lasts_s", 0) >= 3600 || v.severe { // as hot as it gets
					worst = max(worst, v.settles(v.InMode(wire, mode)/v.Carries(wire), v.Ambient(wire, true), limit))
				}
			}
			for _, c := range v.IDs("controllers") {
				if v.severe {
					worst = max(worst, v.settles(v.AtPeak(wire, c)/v.Carries(wire), v.Ambient(wire, true), limit))
				}
			}
			return worst
		},
		"conductor-drop-high": func(v *Vehicle, wire string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(!v.severe) {
				s := v.Solve(Case{Mode: mode, Supply: "empty", Copper: v.Number("policy.terminal_max_C", 90)})
				for _, c := range v.IDs("controllers") {
					if len(v.IDs("modes."+mode+".draw."+c)) == 0 {
						continue
					}
					b := v.traction()
					drop := s.Volts(b+".pos", v.lowest(b)) - s.Volts(c+".pos", c+".neg")
					worst = max(worst, drop/v.PackNominal()*100)
				}
			}
			return over(worst, v.Number("policy.drop_critical_percent", 3))
		},
		"insulation-voltage-low": func(v *Vehicle, wire string) float64 {
			from, to := v.Ends(wire)
			if !v.severe && v.sharedReturn(from) && v.sharedReturn(to) {
				return math.NaN() // which of the networks a common return belongs to is left open
			}
			return over(max(v.Working(from), v.Working(to)), v.Number("wires."+wire+".insulation.rated_V", 60))
		},
		"bundle-voltage-low": func(v *Vehicle, wire string) float64 {
			bundle, most := v.Text("wires."+wire+".bundle"), 0.0
			if bundle == "" {
				return 0
			}
			for _, id := range v.IDs("wires") {
				if from, _ := v.Ends(id); v.Text("wires."+id+".bundle") == bundle {
					most = max(most, v.Working(from))
				}
			}
			return over(most, v.Number("wires."+wire+".insulation.rated_V", 60))
		},
		"orange-missing": func(v *Vehicle, wire string) float64 {
			from, _ := v.Ends(wire)
			return certain(v.Working(from) > 60 && v.Text("wires."+wire+".colour") != "orange" && !v.True("wires."+wire+".enclosed"))
		},
		"limited-source-unprotected": func(v *Vehicle, wire string) float64 {
			from, to := v.Ends(wire)
			limit := 0.0
			for _, c := range v.IDs("converters") {
				for _, end := range []string{from, to} {
					if end == c+".out_pos" || end == c+".out_neg" || v.severe && v.unfused(c, end) {
						limit = max(limit, v.Limit(c))
					}
				}
			}
			if v.Kind(wire) == "busbars" {
				return over(limit, v.barCarries(wire))
			}
			return over(limit, v.Carries(wire))
		},
		"lug-hole-mismatch": func(v *Vehicle, wire string) float64 {
			hole, worst := v.Number("wires."+wire+".lug_hole_mm", 0), 0.0
			from, to := v.Ends(wire)
			for _, end := range []string{from, to} {
				part, _ := split(end)
				var thread float64
				for _, c := range v.Text(v.Path(part) + ".thread") {
					if c >= '0' && c <= '9' {
						thread = 10*thread + float64(c-'0')
					}
				}
				if hole == 0 || thread == 0 {
					continue
				}
				worst = max(worst, thread/hole, hole/(thread+1)) // DIN 46235 gives up to 1 mm
			}
			return worst
		},
		"stud-overloaded": func(v *Vehicle, id string) float64 {
			worst := 0.0
			if v.severe {
				for _, c := range v.At(id + ".stud") {
					worst += v.Steadily(c)
				}
			}
			for _, mode := range v.Modes(true) {
				for _, c := range v.cases(mode) {
					sum := 0.0
					for _, conductor := range v.At(id + ".stud") {
						sum += math.Abs(v.Solve(c).Amps(conductor))
					}
					worst = max(worst, sum)
				}
			}
			return over(worst/2, v.Number("studs."+id+".rated_A", math.NaN()))
		},
		"stud-crowded": func(v *Vehicle, id string) float64 {
			lugs, bar := 0.0, 0.0
			for _, c := range v.At(id + ".stud") {
				if v.Kind(c) == "busbars" {
					bar = 1
				} else {
					lugs++
				}
			}
			return (lugs + bar) / v.Number("policy.stud_lugs", 4)
		},
		"torque-missing": func(v *Vehicle, id string) float64 {
			if v.Has(v.Path(id) + ".torque_Nm") {
				return 0
			}
			most := 0.0
			for _, end := range []string{".stud", ".a", ".b", ".pos"} {
				for _, c := range v.At(id + end) {
					most = max(most, v.Steadily(c))
				}
			}
			return most / v.Number("policy.torque_above_A", 50)
		},
		"bond-resistance-high": func(v *Vehicle, id string) float64 {
			if v.True(v.Path(id) + ".pluggable") {
				return math.NaN() // it is not fitted
			}
			for _, bond := range v.IDs("bonds") {
				if v.Text("bonds."+bond+".of") == id {
					return v.Number("bonds."+bond+".resistance_Ohm", 0) / v.Number("policy.bond_Ohm", 0.1)
				}
			}
			return math.NaN()
		},
		"bond-missing": func(v *Vehicle, id string) float64 {
			if v.True(v.Path(id) + ".pluggable") {
				return 0 // it is not fitted
			}
			for _, bond := range v.IDs("bonds") {
				if v.Text("bonds."+bond+".of") == id {
					return 0
				}
			}
			terminal := map[string]string{"converters": ".in_pos"}[v.Kind(id)]
			if terminal == "" {
				terminal = ".pos"
			}
			return certain(v.Working(id+terminal) > 60)
		},
	}
}

// sharedReturn reports whether a terminal is on the negative pole of more than
// one source.
func (v *Vehicle) sharedReturn(terminal string) bool {
	metal, sources := v.metal(), 0
	for _, id := range v.IDs("batteries") {
		if metal.same(terminal, id+".neg") {
			sources++
		}
	}
	for _, id := range v.IDs("converters") {
		if metal.same(terminal, id+".out_neg") {
			sources++
		}
	}
	return sources > 1
}

// unfused reports whether metal joins a terminal to the output of a converter
// with every fuse taken out.
func (v *Vehicle) unfused(converter, terminal string) bool {
	gone := map[string]bool{}
	for _, id := range v.IDs("fuses") {
		gone[id] = true
	}
	metal := v.metalWithout(gone)
	return metal.same(terminal, converter+".out_pos") || metal.same(terminal, converter+".out_neg")
}

// settles is the temperature that a conductor comes to at a share of its
// current capacity, against its limit: the rise goes with the square.
func (v *Vehicle) settles(share, ambient, limit float64) float64 {
	return (ambient + (limit-ambient)*share*share) / limit
}

// traction is the battery at the head of the traction string.
func (v *Vehicle) traction() string {
	metal := v.metal()
	for _, id := range v.IDs("batteries") {
		if v.Text("batteries."+id+".role") != "traction" {
			continue
		}
		head := true
		for _, other := range v.IDs("batteries") {
			head = head && (other == id || !metal.same(id+".pos", other+".neg"))
		}
		if head {
			return id
		}
	}
	return ""
}

// barCarries is the published formula for flat copper bars in still air, 50 K
// above 40 C (Copper Development Association, Publication 22), A.
func (v *Vehicle) barCarries(id string) float64 {
	w, t := v.Number("busbars."+id+".width_mm", math.NaN()), v.Number("busbars."+id+".thickness_mm", math.NaN())
	return 7.73 * math.Sqrt(w*t) * math.Pow(2*(w+t), 0.39)
}

func busbarExpectations() map[string]Expectation {
	size := func(v *Vehicle, id, field string) float64 { return v.Number("busbars."+id+"."+field, math.NaN()) }
	carries := (*Vehicle).barCarries
	return map[string]Expectation{
		"busbar-overloaded": func(v *Vehicle, id string) float64 {
			if v.Length(id) < 0.5 && !v.severe {
				return 0 // what it joins cools it; the oracle leaves that open
			}
			return over(v.Steadily(id), carries(v, id))
		},
		"busbar-peak-hot": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(false) {
				if v.severe || v.Number("modes."+mode+".lasts_s", 0) >= 3600 && v.Length(id) >= 0.5 {
					worst = max(worst, v.settles(v.InMode(id, mode)/carries(v, id), 40, 90))
				}
			}
			return worst
		},
		"busbar-force-high": func(v *Vehicle, id string) float64 {
			from, to := v.Ends(id)
			cold := v.Number("vehicle.ambient_C.min", -10)
			amps := min(v.fault(from, "short", "full", "min", cold, v.severe), v.fault(to, "short", "full", "min", cold, v.severe))
			if !v.severe {
				amps *= 0.85 // the way back
			}
			length := size(v, id, "length_mm") / 1000
			force := 2e-7 * amps * amps * length / (size(v, id, "spacing_mm") / 1000)
			w, d := size(v, id, "width_mm")/1000, size(v, id, "thickness_mm")/1000
			return force * length / (8 * w * d * d / 6) / (1.5 * 200e6) // half-hard copper yields at 200 MPa or more
		},
		"busbar-voltage-low": func(v *Vehicle, id string) float64 {
			from, _ := v.Ends(id)
			return over(v.Working(from), v.Number("busbars."+id+".rated_V", 0))
		},
		"busbar-overlap-short": func(v *Vehicle, id string) float64 {
			return over(5*size(v, id, "thickness_mm"), v.Number("busbars."+id+".overlap_mm", 0))
		},
		"clearance-small": func(v *Vehicle, id string) float64 {
			return over(10, v.Number(v.Path(id)+".clearance_mm", 0))
		},
		"creepage-small": func(v *Vehicle, id string) float64 {
			from, _ := v.Ends(id)
			if v.Kind(id) == "studs" {
				from = id + ".stud"
			}
			for _, way := range v.ways(id) {
				from = way // one is as good as another
			}
			needs := math.NaN()
			for _, row := range published().creepage {
				if v.Working(from) <= row.volts {
					needs = row.mm
					break
				}
			}
			return over(needs, v.Number(v.Path(id)+".creepage_mm", 0))
		},
	}
}
